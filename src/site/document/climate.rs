use std::sync::Arc;

use serde::{Deserialize, Serialize};

use super::{Monthly, TypicalHours, monthly};

/// What is known of the weather here.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Climate {
    /// Where the figures come from, in the grower's words.
    pub source: String,
    pub normals: Normals,
    /// Coldest night on record or that the grower remembers, °C.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub record_low_c: Option<f64>,
    /// How days hang together and how years differ, from a record; what is usual in temperate places where it is none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub day_to_day: Option<DayToDay>,
    /// Hours of a typical year, from a weather file.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hours: Option<Arc<TypicalHours>>,
    /// Seed of the weather years: equal seeds give equal years.
    pub seed: u64,
    /// Weather years computed for risks, 30..=400.
    pub years: u32,
}

impl Default for Climate {
    fn default() -> Self {
        Self {
            source: String::new(),
            normals: Normals::default(),
            record_low_c: None,
            day_to_day: None,
            hours: None,
            seed: 1,
            years: 200,
        }
    }
}

impl Climate {
    /// Whether neither nights nor days are given for any month, so that what is usual at the latitude is taken.
    #[must_use]
    pub fn is_guessed(&self) -> bool {
        self.normals.night_min_c.is_none() && self.normals.day_max_c.is_none()
    }

    /// What is to be said wherever figures rest on such a guess; empty where the climate is given. How far off: the
    /// worst winters of the stations in `tests/reference/climate`.
    #[must_use]
    pub fn guessed_words(&self) -> &'static str {
        if self.is_guessed() {
            "Climate guessed from the latitude: winter nights may be 9 K off. Give normals or a weather file."
        } else {
            ""
        }
    }
}

/// How days hang together, from a daily or hourly record: correlations of the departures from what is usual in the season.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct DayToDay {
    /// Length of the record, years.
    pub record_years: f64,
    /// Of a day's maximum with the maximum of the day before.
    pub day_lag_1: f64,
    /// Of a night's minimum with the minimum of the night before.
    pub night_lag_1: f64,
    /// Of a day's maximum with the minimum of the same date.
    pub day_with_night: f64,
    /// Of a day's maximum with the minimum of the date before.
    pub day_after_night: f64,
    /// Of a night's minimum with the maximum of the date before.
    pub night_after_day: f64,
    /// Standard deviation of monthly means of one calendar month between years, K; mean of the months, nights and days.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub month_mean_sd_k: Option<f64>,
    /// Standard deviation between years of the month's mean night minimum, January to December, K.
    #[serde(with = "monthly::whole", skip_serializing_if = "Option::is_none")]
    pub night_month_sd_k: Option<[f64; 12]>,
    /// The same of the mean day maximum.
    #[serde(with = "monthly::whole", skip_serializing_if = "Option::is_none")]
    pub day_month_sd_k: Option<[f64; 12]>,
    /// Lowest temperature of a year, °C, mean of the years.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub annual_min_c: Option<f64>,
    /// Skewness of night minima about what is usual in the season, January to December; positive where mild nights lie
    /// further out than cold ones.
    #[serde(with = "monthly::whole", skip_serializing_if = "Option::is_none")]
    pub night_skew: Option<[f64; 12]>,
    /// Skewness of day maxima.
    #[serde(with = "monthly::whole", skip_serializing_if = "Option::is_none")]
    pub day_skew: Option<[f64; 12]>,
    /// Chance of rain after a day with rain, less that after a dry day, 0..=1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rain_persistence: Option<f64>,
    /// Standard deviation of the daily mean wind, by the mean.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wind_spread: Option<f64>,
}

impl Default for DayToDay {
    fn default() -> Self {
        // What the matrices of Richardson & Wright 1984 amount to, rounded.
        Self {
            record_years: 0.0,
            day_lag_1: 0.62,
            night_lag_1: 0.67,
            day_with_night: 0.63,
            day_after_night: 0.44,
            night_after_day: 0.57,
            month_mean_sd_k: None,
            night_month_sd_k: None,
            day_month_sd_k: None,
            annual_min_c: None,
            night_skew: None,
            day_skew: None,
            rain_persistence: None,
            wind_spread: None,
        }
    }
}

/// Monthly normals, January to December. What is `None`, a whole row or a month, is estimated, and the result says how.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Normals {
    /// Mean daily minimum, °C. Guessed from the latitude where it is not given.
    #[serde(with = "monthly::known", skip_serializing_if = "Option::is_none")]
    pub night_min_c: Option<Monthly>,
    /// Mean daily maximum, °C. Guessed from the latitude where it is not given.
    #[serde(with = "monthly::known", skip_serializing_if = "Option::is_none")]
    pub day_max_c: Option<Monthly>,
    /// Standard deviation of daily minima within the month, K.
    #[serde(with = "monthly::known", skip_serializing_if = "Option::is_none")]
    pub night_min_sd_k: Option<Monthly>,
    /// Standard deviation of daily maxima within the month, K.
    #[serde(with = "monthly::known", skip_serializing_if = "Option::is_none")]
    pub day_max_sd_k: Option<Monthly>,
    /// Mean relative humidity over day and night, %.
    #[serde(with = "monthly::known", skip_serializing_if = "Option::is_none")]
    pub rh_pct: Option<Monthly>,
    /// Mean dew point, °C; used where humidity is not given.
    #[serde(with = "monthly::known", skip_serializing_if = "Option::is_none")]
    pub dew_point_c: Option<Monthly>,
    /// Mean daily global radiation on the level, MJ m⁻² d⁻¹.
    #[serde(with = "monthly::known", skip_serializing_if = "Option::is_none")]
    pub radiation_mj_m2_d: Option<Monthly>,
    /// Mean daily sunshine, h; used where radiation is not given.
    #[serde(with = "monthly::known", skip_serializing_if = "Option::is_none")]
    pub sunshine_h: Option<Monthly>,
    /// Rain of the month, mm.
    #[serde(with = "monthly::known", skip_serializing_if = "Option::is_none")]
    pub rain_mm: Option<Monthly>,
    /// Days with at least 1 mm of rain.
    #[serde(with = "monthly::known", skip_serializing_if = "Option::is_none")]
    pub rain_days: Option<Monthly>,
    /// Mean wind at 10 m, m/s.
    #[serde(with = "monthly::known", skip_serializing_if = "Option::is_none")]
    pub wind_m_s: Option<Monthly>,
    /// Linke turbidity of the clear sky.
    #[serde(with = "monthly::known", skip_serializing_if = "Option::is_none")]
    pub turbidity_linke: Option<Monthly>,
}
