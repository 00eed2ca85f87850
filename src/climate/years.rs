/// Many weather years by the day, for risks: index `year * 365 + day`.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct WeatherYears {
    pub years: usize,
    /// °C at 1.5 m in the open.
    pub night_min_c: Vec<f32>,
    pub day_max_c: Vec<f32>,
    /// Daily clearness index, global radiation by that outside the air, 0..1.
    pub clearness: Vec<f32>,
    pub rain_mm: Vec<f32>,
    /// Daily mean at 10 m, m/s.
    pub wind_m_s: Vec<f32>,
}

impl WeatherYears {
    #[must_use]
    pub fn at(&self, year: usize, day: usize) -> usize {
        year * crate::base::calendar::DAYS + day
    }
}
