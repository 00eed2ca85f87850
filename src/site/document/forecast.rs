use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

/// A weather forecast as it was told, kept with the day on which it was.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Forecast {
    /// Day on which it was typed or read.
    pub told_on: NaiveDate,
    /// One entry for each day, 16 at most.
    pub days: Vec<ForecastDay>,
}

/// A day of a weather forecast, for the open at 1.5 m. What is not told counts as clear and nearly calm.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ForecastDay {
    pub date: NaiveDate,
    /// Lowest of the night that begins on this day, °C.
    pub night_min_c: f64,
    /// Highest of the day, °C; as far above the night as is usual in the month where it is not told.
    #[serde(default)]
    pub day_max_c: Option<f64>,
    /// In the night at 10 m, m/s.
    #[serde(default)]
    pub wind_m_s: Option<f64>,
    /// Cover of the night's sky by cloud, 0..=1.
    #[serde(default)]
    pub cloud: Option<f64>,
}

impl Forecast {
    /// Days whose night is still to come on a date.
    pub fn ahead(&self, today: NaiveDate) -> impl Iterator<Item = &ForecastDay> {
        self.days.iter().filter(move |d| d.date >= today)
    }
}
