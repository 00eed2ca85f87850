//! What a spot offers in a week, made ready to be held against many kinds: all that does not depend on the kind.

use super::{Factor, SpotWeek, week::TENTH_SDS};
use crate::{air::AirWeek, needs::LightForm};

pub(super) struct Offer<'a> {
    pub week: &'a SpotWeek,
    /// In the order of [`Factor::ALL`]; not a number where it is unknown.
    met: [f64; Factor::ALL.len()],
    upright_light: f64,
    /// 10 and 90 % points of the light as shares of its middle.
    light_tenths: Option<(f64, f64)>,
    /// Of the night's warmth, °C, and of day less night, K.
    night_tenths: Option<(f64, f64)>,
    gap_tenths: Option<(f64, f64)>,
    /// Coldest of the week at the leaf and in the air, hottest in the air, by weather year.
    pub coldest_leaf: Years<'a>,
    pub coldest_air: Years<'a>,
    pub hottest_air: Years<'a>,
}

/// A figure in each weather year, ascending, with the sums of the first of them.
#[derive(Default)]
pub(super) struct Years<'a> {
    values: &'a [f32],
    sums: Vec<f64>,
    least: Option<f64>,
    most: Option<f64>,
}

impl<'a> Years<'a> {
    pub fn of(values: &'a [f32]) -> Self {
        let mut sum = 0.0;
        let sums = std::iter::once(0.0)
            .chain(values.iter().map(|v| {
                sum += f64::from(*v);
                sum
            }))
            .collect();
        Self {
            values,
            sums,
            least: values.first().map(|v| f64::from(*v)),
            most: values.last().map(|v| f64::from(*v)),
        }
    }

    pub fn len(&self) -> usize {
        self.values.len()
    }

    pub fn least(&self) -> Option<f64> {
        self.least
    }

    pub fn most(&self) -> Option<f64> {
        self.most
    }

    pub fn at(&self, place: usize) -> Option<f64> {
        self.values.get(place).map(|v| f64::from(*v))
    }

    /// How many are at or below a limit.
    pub fn up_to(&self, limit: f64) -> usize {
        self.values.partition_point(|v| f64::from(*v) <= limit)
    }

    /// How many are below a limit.
    pub fn below(&self, limit: f64) -> usize {
        self.values.partition_point(|v| f64::from(*v) < limit)
    }

    /// Sum of those from one place up to another.
    pub fn sum(&self, from: usize, to: usize) -> f64 {
        let at = |i: usize| self.sums.get(i).copied().unwrap_or(0.0);
        at(to) - at(from)
    }
}

impl<'a> Offer<'a> {
    pub fn of(week: &'a SpotWeek) -> Self {
        let unknown = f64::NAN;
        let mut met = [unknown; Factor::ALL.len()];
        for (met, factor) in met.iter_mut().zip(Factor::ALL) {
            *met = factor
                .offered_to(LightForm::Spreading, week)
                .unwrap_or(unknown);
        }
        let sd_k = week.night_sd_k.max(0.0);
        let air = week.air.as_ref();
        let years =
            |of: fn(&AirWeek) -> &[f32]| air.map_or_else(Years::default, |a| Years::of(of(a)));
        let has_leaf = air.is_some_and(|a| !a.coldest_leaf_c.is_empty());
        Self {
            week,
            met,
            upright_light: Factor::Light
                .offered_to(LightForm::Upright, week)
                .unwrap_or(unknown),
            light_tenths: week.dli_band.and_then(|(low, high)| {
                let middle = week.dli.filter(|d| *d > 0.0)?;
                Some((low / middle, high / middle))
            }),
            night_tenths: air.map(|a| tenths(&a.night_means_c, a.night_c, sd_k)),
            gap_tenths: air.map(|a| tenths(&a.day_night_means_k, a.day_night_k, sd_k)),
            coldest_leaf: if has_leaf {
                years(|a| &a.coldest_leaf_c)
            } else {
                years(|a| &a.coldest_air_c)
            },
            coldest_air: years(|a| &a.coldest_air_c),
            hottest_air: years(|a| &a.hottest_air_c),
        }
    }

    /// What is met of a factor by leaves of a form; not a number where it is unknown.
    pub fn met(&self, factor: Factor, form: LightForm) -> f64 {
        match (factor, form) {
            (Factor::Light, LightForm::Upright) => self.upright_light,
            _ => self.met.get(factor as usize).copied().unwrap_or(f64::NAN),
        }
    }

    /// 10 and 90 % points of what is met; `None` where it is not uncertain.
    pub fn tenths(&self, factor: Factor, met: f64) -> Option<(f64, f64)> {
        match factor {
            // The band is of the level; for upright leaves it is taken in proportion.
            Factor::Light => self.light_tenths.map(|(low, high)| (low * met, high * met)),
            Factor::NightWarmth => self.night_tenths,
            Factor::DayNightDifference => self.gap_tenths,
            _ => None,
        }
    }
}

/// 10 and 90 % points about a middle, by the years (ascending) and by an independent error.
fn tenths(ascending: &[f32], middle: f64, sd: f64) -> (f64, f64) {
    let last = ascending.len().saturating_sub(1);
    let at = |share: f64| {
        ascending
            .get((last as f64 * share).round() as usize)
            .map_or(middle, |v| f64::from(*v))
    };
    let error = TENTH_SDS * sd;
    (
        middle - (middle - at(0.1)).max(0.0).hypot(error),
        middle + (at(0.9) - middle).max(0.0).hypot(error),
    )
}
