/// A typical year in the open, 8,760 hours of local standard time. Hour k holds the mean from k to k + 1.
///
/// In each hour global = beam × sin(elevation of the sun table) + sky. Radiation too is a mean over the whole hour:
/// in the hours of rise and set the dark part counts as zero, so the beam while the sun is up is `beam_w_m2` by
/// `up_share`.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TypicalYear {
    /// Air at 1.5 m, °C.
    pub air_c: Vec<f32>,
    pub rh_pct: Vec<f32>,
    /// At 10 m, m/s.
    pub wind_m_s: Vec<f32>,
    /// Direction the wind blows from, degrees from north, where known.
    pub wind_from_deg: Option<Vec<f32>>,
    /// Global irradiance on the level, W/m².
    pub global_w_m2: Vec<f32>,
    /// Beam square to the sun, W/m².
    pub beam_w_m2: Vec<f32>,
    /// Sky irradiance on the level, W/m².
    pub sky_w_m2: Vec<f32>,
    /// Cloud cover, 0..=1.
    pub cloud: Vec<f32>,
    /// Heat radiation of the sky on the level, W/m², where it was measured.
    pub sky_heat_w_m2: Option<Vec<f32>>,
    /// Rain of each of 365 days, mm.
    pub rain_mm: Vec<f32>,
}
