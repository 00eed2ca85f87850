//! What weather years say of frost, heat and cold snaps in the open, for people and programs alike.

use serde::Serialize;

use super::{WeatherYears, years::quantile};
use crate::base::{Day, Week, calendar::WEEKS};

/// Risks through the year, from weather years.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Risks {
    /// 52, from the one that begins on 1 January.
    pub weeks: Vec<WeekRisk>,
    pub frost_limit_c: f64,
    pub frost_dates: Vec<FrostDates>,
    /// Nights at or below the limit: mean of the years and standard deviation between them.
    pub frost_nights_a_year: f64,
    pub frost_nights_sd: f64,
    pub hot_night_limit_c: f64,
    /// Nights above the limit.
    pub hot_nights_a_year: f64,
    pub hot_nights_sd: f64,
    pub coldest_night: ByYears,
    /// Mean of the coldest nights in a row.
    pub coldest_3_nights: ByYears,
    pub coldest_7_nights: ByYears,
}

/// A week of the year over all years: what one in ten, every other and nine in ten of its nights and days are at or below.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WeekRisk {
    /// 0..52.
    pub week: usize,
    pub night_p10_c: Option<f64>,
    pub night_p50_c: Option<f64>,
    pub night_p90_c: Option<f64>,
    pub day_p10_c: Option<f64>,
    pub day_p50_c: Option<f64>,
    pub day_p90_c: Option<f64>,
    /// Share of years with a night at or below the frost limit in the week, 0..=1.
    pub frost_chance: Option<f64>,
    /// Share of years whose nights of the week are on average above the hot limit, 0..=1.
    pub hot_nights_chance: Option<f64>,
}

/// When frost begins and ends.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FrostDates {
    /// Share of years, 0..=1, that have had their first such night by then, or still have one after.
    pub chance: f64,
    /// Day of the year, 0..365; `None` where fewer years ever have one.
    pub first_day: Option<usize>,
    pub last_day: Option<usize>,
}

/// A coldest value of the year, °C: what it falls to in every other year, one in ten, and one in thirty.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ByYears {
    pub every_other_c: Option<f64>,
    pub one_in_ten_c: Option<f64>,
    pub one_in_thirty_c: Option<f64>,
}

impl ByYears {
    fn of(ascending_c: &[f32]) -> Self {
        Self {
            every_other_c: quantile(ascending_c, 0.5),
            one_in_ten_c: quantile(ascending_c, 0.1),
            one_in_thirty_c: quantile(ascending_c, 1.0 / 30.0),
        }
    }
}

impl Risks {
    /// Counts the years. Takes some milliseconds: keep it while the weather stays.
    #[must_use]
    pub fn of(years: &WeatherYears, frost_limit_c: f64, hot_night_limit_c: f64) -> Self {
        let weeks = (0..WEEKS)
            .map(|week| {
                let w = Week::new(week);
                let [night_p10_c, night_p50_c, night_p90_c] =
                    years.night_quantiles_c(w, [0.1, 0.5, 0.9]);
                let [day_p10_c, day_p50_c, day_p90_c] = years.day_quantiles_c(w, [0.1, 0.5, 0.9]);
                WeekRisk {
                    week,
                    night_p10_c,
                    night_p50_c,
                    night_p90_c,
                    day_p10_c,
                    day_p50_c,
                    day_p90_c,
                    frost_chance: years.cold_week_share(w, frost_limit_c),
                    hot_nights_chance: years.warm_week_share(w, hot_night_limit_c),
                }
            })
            .collect();
        let frost_dates = [0.1, 0.5, 0.9]
            .into_iter()
            .map(|chance| FrostDates {
                chance,
                first_day: years
                    .first_cold_night(frost_limit_c, chance)
                    .map(Day::index),
                last_day: years.last_cold_night(frost_limit_c, chance).map(Day::index),
            })
            .collect();
        let frosts = years.cold_nights(frost_limit_c);
        let hot = years.warm_nights(hot_night_limit_c);
        Self {
            weeks,
            frost_limit_c,
            frost_dates,
            frost_nights_a_year: frosts.0,
            frost_nights_sd: frosts.1,
            hot_night_limit_c,
            hot_nights_a_year: hot.0,
            hot_nights_sd: hot.1,
            coldest_night: ByYears::of(&years.annual_minima_c()),
            coldest_3_nights: ByYears::of(&years.cold_snaps_c(3)),
            coldest_7_nights: ByYears::of(&years.cold_snaps_c(7)),
        }
    }
}
