//! What a spot offers in a week, made ready to be held against many kinds: all that does not depend on the kind.

use super::{
    Factor, SpotWeek,
    wants::{ByFactor, FACTORS},
    week::TENTH_SDS,
};
use crate::{air::AirWeek, needs::LightForm};

pub(super) struct Offer<'a> {
    pub week: &'a SpotWeek,
    met: ByFactor,
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
    /// Coldest of all years, were the nights as cold as they may be; far above any frost where it is unknown.
    pub coldest_may_be: Coldest,
}

/// °C.
#[derive(Clone, Copy)]
pub(super) struct Coldest {
    pub leaf: f64,
    pub air: f64,
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
        match (self.least, self.most) {
            // Most places are warm in all years.
            (Some(least), _) if least > limit => 0,
            (_, Some(most)) if most <= limit => self.values.len(),
            _ => count(self.values, single_up_to(limit)),
        }
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

/// The largest single number that is not above a limit.
fn single_up_to(limit: f64) -> f32 {
    let single = limit as f32;
    if f64::from(single) > limit {
        single.next_down()
    } else {
        single
    }
}

/// How many are not above a limit. Of some hundred figures all are looked at: that is several at once, where a search
/// would wait for one after the other.
fn count(values: &[f32], limit: f32) -> usize {
    let mut count = 0_u32;
    for v in values {
        count += u32::from(*v <= limit);
    }
    count as usize
}

impl<'a> Offer<'a> {
    pub fn of(week: &'a SpotWeek) -> Self {
        let unknown = f64::NAN;
        let mut met = [unknown; FACTORS];
        for (met, factor) in met.iter_mut().zip(Factor::ALL) {
            *met = factor
                .offered_to(LightForm::Spreading, week)
                .unwrap_or(unknown);
        }
        let sd_k = week.night_sd_k.max(0.0);
        let air = week.air.as_ref();
        let years =
            |of: fn(&AirWeek) -> &[f32]| air.map_or_else(Years::default, |a| Years::of(of(a)));
        let coldest_air = years(|a| &a.coldest_air_c);
        let coldest_leaf = match air {
            Some(a) if a.coldest_leaf_c.is_empty() => years(|a| &a.coldest_air_c),
            _ => years(|a| &a.coldest_leaf_c),
        };
        let may_be = |coldest: &Years<'_>| {
            let least = coldest.least().unwrap_or(f64::INFINITY);
            least - TENTH_SDS * sd_k
        };
        Self {
            week,
            coldest_may_be: Coldest {
                leaf: may_be(&coldest_leaf),
                air: may_be(&coldest_air),
            },
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
            coldest_leaf,
            coldest_air,
            hottest_air: years(|a| &a.hottest_air_c),
        }
    }

    /// What leaves of a form meet.
    pub fn met(&self, form: LightForm) -> ByFactor {
        let mut met = self.met;
        if form == LightForm::Upright {
            met[Factor::Light as usize] = self.upright_light;
        }
        met
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn years_are_counted_to_the_last_digit() {
        let values = [-3.1_f32, -2.0, -2.0, 0.1, 0.3, 7.0];
        let years = Years::of(&values);
        for limit in values
            .iter()
            .flat_map(|v| [v.next_down(), *v, v.next_up()])
            .map(f64::from)
            .chain([-2.0 - 1e-12, 0.1, 0.3 - 1e-9, f64::MAX, -1e300])
        {
            let expected = values.iter().filter(|v| f64::from(**v) <= limit).count();
            assert_eq!(years.up_to(limit), expected, "{limit}");
        }
        assert_eq!(years.sum(1, 3), -4.0);
    }
}
