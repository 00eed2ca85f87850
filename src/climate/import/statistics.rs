//! Monthly normals and how days scatter and hang together, from a record of days.

use chrono::{Datelike, NaiveDate};

use crate::{
    base::calendar::{DAYS, Day},
    climate::{month_days, seasonal},
    site::{DayToDay, Monthly, Normals},
};

/// What was measured on a day in the open.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DayRecord {
    pub date: NaiveDate,
    pub night_min_c: Option<f64>,
    pub day_max_c: Option<f64>,
    pub rh_pct: Option<f64>,
    pub rain_mm: Option<f64>,
    pub radiation_mj_m2: Option<f64>,
    pub sunshine_h: Option<f64>,
    pub wind_m_s: Option<f64>,
}

impl DayRecord {
    #[must_use]
    pub fn new(date: NaiveDate) -> Self {
        Self {
            date,
            night_min_c: None,
            day_max_c: None,
            rh_pct: None,
            rain_mm: None,
            radiation_mj_m2: None,
            sunshine_h: None,
            wind_m_s: None,
        }
    }
}

/// Twelve months, of which some may be unknown.
pub type Months = [Option<f64>; 12];

#[derive(Clone, Debug, Default, PartialEq)]
pub struct Statistics {
    /// Days with a minimum or maximum, by 365.25.
    pub years: f64,
    pub night_min_c: Months,
    pub day_max_c: Months,
    pub night_min_sd_k: Months,
    pub day_max_sd_k: Months,
    pub rh_pct: Months,
    pub rain_mm: Months,
    pub rain_days: Months,
    pub radiation_mj_m2_d: Months,
    pub sunshine_h: Months,
    pub wind_m_s: Months,
    pub day_to_day: Option<DayToDay>,
    /// The coldest night.
    pub lowest: Option<(NaiveDate, f64)>,
    /// The hottest day.
    pub highest: Option<(NaiveDate, f64)>,
}

/// Days of a calendar month, of all years together, below which it has no mean.
const LEAST_DAYS: usize = 20;
/// Months below which a record makes no row of normals.
const LEAST_MONTHS: usize = 6;
/// Below so many years the spread of a month is smoothed with its neighbours.
const SURE_YEARS: f64 = 4.0;
/// Below so many years nothing is said of how years differ.
const YEARS_THAT_DIFFER: f64 = 8.0;
/// A day with at least so much rain counts as wet, mm.
const WET_MM: f64 = 1.0;

impl Statistics {
    /// Of days in the order of their dates, each date once.
    #[must_use]
    pub fn of(days: &[DayRecord]) -> Self {
        let measured = days
            .iter()
            .filter(|d| d.night_min_c.is_some() || d.day_max_c.is_some());
        let years = measured.count() as f64 / 365.25;
        let mean = |of: fn(&DayRecord) -> Option<f64>| monthly(days, of, mean_of);
        let spread = |of: fn(&DayRecord) -> Option<f64>| {
            let sd = monthly(days, of, sd_of);
            if years < SURE_YEARS {
                smoothed(&sd)
            } else {
                sd
            }
        };
        let by_length = |share: Months| -> Months {
            std::array::from_fn(|m| share[m].map(|v| v * month_days(m).len() as f64))
        };
        let coldest = days
            .iter()
            .filter_map(|d| Some((d.date, d.night_min_c?)))
            .min_by(|a, b| a.1.total_cmp(&b.1));
        let hottest = days
            .iter()
            .filter_map(|d| Some((d.date, d.day_max_c?)))
            .max_by(|a, b| a.1.total_cmp(&b.1));
        Self {
            years,
            night_min_c: mean(|d| d.night_min_c),
            day_max_c: mean(|d| d.day_max_c),
            night_min_sd_k: spread(|d| d.night_min_c),
            day_max_sd_k: spread(|d| d.day_max_c),
            rh_pct: mean(|d| d.rh_pct),
            rain_mm: by_length(mean(|d| d.rain_mm)),
            rain_days: by_length(mean(|d| {
                d.rain_mm.map(|mm| f64::from(u8::from(mm >= WET_MM)))
            })),
            radiation_mj_m2_d: mean(|d| d.radiation_mj_m2),
            sunshine_h: mean(|d| d.sunshine_h),
            wind_m_s: mean(|d| d.wind_m_s),
            day_to_day: day_to_day(days, years),
            lowest: coldest,
            highest: hottest,
        }
    }

    /// Names of the quantities and of the months that have no figure though others have.
    #[must_use]
    pub fn gaps(&self) -> Vec<(&'static str, Vec<usize>)> {
        [
            ("night minimum", &self.night_min_c),
            ("day maximum", &self.day_max_c),
            ("humidity", &self.rh_pct),
            ("rain", &self.rain_mm),
            ("radiation", &self.radiation_mj_m2_d),
            ("sunshine", &self.sunshine_h),
            ("wind", &self.wind_m_s),
        ]
        .into_iter()
        .filter_map(|(name, months)| {
            let missing: Vec<usize> = (0..12).filter(|m| months[*m].is_none()).collect();
            (!missing.is_empty() && missing.len() < 12).then_some((name, missing))
        })
        .collect()
    }

    /// Puts the known months in; the others stay as they are. Fewer than half a year of months make no row of their own.
    pub fn put_normals(&self, normals: &mut Normals) {
        for (new, old, decimals) in [
            (&self.night_min_c, &mut normals.night_min_c, 1),
            (&self.day_max_c, &mut normals.day_max_c, 1),
            (&self.night_min_sd_k, &mut normals.night_min_sd_k, 1),
            (&self.day_max_sd_k, &mut normals.day_max_sd_k, 1),
            (&self.rh_pct, &mut normals.rh_pct, 0),
            (&self.rain_mm, &mut normals.rain_mm, 0),
            (&self.rain_days, &mut normals.rain_days, 1),
            (&self.radiation_mj_m2_d, &mut normals.radiation_mj_m2_d, 1),
            (&self.sunshine_h, &mut normals.sunshine_h, 1),
            (&self.wind_m_s, &mut normals.wind_m_s, 1),
        ] {
            if new.iter().any(Option::is_some) {
                let before = old.map_or([None; 12], |o| o.months());
                let months: Months =
                    std::array::from_fn(|m| new[m].or(before[m]).map(|v| rounded(v, decimals)));
                if old.is_some() || months.iter().flatten().count() >= LEAST_MONTHS {
                    *old = Monthly::of(months);
                }
            }
        }
    }
}

/// Rounded as a person would write it, so that the file stays short.
fn rounded(value: f64, decimals: i32) -> f64 {
    let by = 10_f64.powi(decimals);
    (value * by).round() / by
}

fn monthly(
    days: &[DayRecord],
    of: fn(&DayRecord) -> Option<f64>,
    take: fn(&[f64]) -> f64,
) -> Months {
    let mut pools: [Vec<f64>; 12] = Default::default();
    for day in days {
        if let Some(value) = of(day).filter(|v| v.is_finite())
            && let Some(pool) = pools.get_mut(day.date.month0() as usize)
        {
            pool.push(value);
        }
    }
    pools.map(|pool| (pool.len() >= LEAST_DAYS).then(|| take(&pool)))
}

fn mean_of(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len().max(1) as f64
}

fn sd_of(values: &[f64]) -> f64 {
    let mean = mean_of(values);
    let squares: f64 = values.iter().map(|v| (v - mean).powi(2)).sum();
    (squares / (values.len() as f64 - 1.0).max(1.0)).sqrt()
}

/// Each month with its neighbours, weights 1, 2, 1: thirty days alone know their spread to 13 % only.
fn smoothed(months: &Months) -> Months {
    std::array::from_fn(|m| {
        let here = months[m]?;
        let at = |k: usize| months[(m + k) % 12].unwrap_or(here);
        Some((at(11) + 2.0 * here + at(1)) / 4.0)
    })
}

/// Departures from the season, by the spread of their month; `None` where nothing was measured.
fn departures(days: &[DayRecord], of: fn(&DayRecord) -> Option<f64>) -> Option<Vec<Option<f64>>> {
    let means = monthly(days, of, mean_of);
    let curve = seasonal::curve(&all(&means)?);
    let off: Vec<Option<f64>> = days
        .iter()
        .map(|d| Some(of(d)? - curve.get(Day::of(d.date).index())?))
        .collect();
    let mut squares = [(0.0, 0.0); 12];
    for (day, off) in days.iter().zip(&off) {
        if let (Some(off), Some(sum)) = (off, squares.get_mut(day.date.month0() as usize)) {
            sum.0 += off * off;
            sum.1 += 1.0;
        }
    }
    Some(
        days.iter()
            .zip(off)
            .map(|(day, off)| {
                let (sum, n) = squares.get(day.date.month0() as usize)?;
                Some(off? / (sum / f64::max(*n, 1.0)).sqrt().max(1e-3))
            })
            .collect(),
    )
}

fn all(months: &Months) -> Option<[f64; 12]> {
    let known: Vec<f64> = months.iter().copied().collect::<Option<_>>()?;
    known.try_into().ok()
}

fn day_to_day(days: &[DayRecord], years: f64) -> Option<DayToDay> {
    if years < 0.9 {
        return None;
    }
    let night = departures(days, |d| d.night_min_c)?;
    let day = departures(days, |d| d.day_max_c)?;
    let together = |a: &[Option<f64>], b: &[Option<f64>], after: bool| -> f64 {
        let (mut products, mut of_a, mut of_b) = (0.0, 0.0, 0.0);
        for i in 0..days.len() {
            let j = if after {
                // The day before must be the day before.
                let Some(j) = i.checked_sub(1) else { continue };
                let follows = days
                    .get(j)
                    .zip(days.get(i))
                    .is_some_and(|(x, y)| x.date.succ_opt() == Some(y.date));
                if !follows {
                    continue;
                }
                j
            } else {
                i
            };
            if let (Some(Some(x)), Some(Some(y))) = (a.get(i), b.get(j)) {
                products += x * y;
                of_a += x * x;
                of_b += y * y;
            }
        }
        rounded(products / f64::sqrt(of_a * of_b).max(1e-9), 3)
    };
    let whole = years >= YEARS_THAT_DIFFER;
    let minima = annual_minima(days);
    let differ = whole
        .then(|| {
            Some((
                month_sds_k(days, |d| d.night_min_c)?,
                month_sds_k(days, |d| d.day_max_c)?,
            ))
        })
        .flatten();
    // Thirty years know the spread of one month's mean to 13 % only.
    let smooth = |sds: &[f64; 12]| smoothed(&sds.map(Some)).map(|sd| rounded(sd.unwrap_or(0.0), 2));
    Some(DayToDay {
        record_years: rounded(years, 1),
        day_lag_1: together(&day, &day, true),
        night_lag_1: together(&night, &night, true),
        day_with_night: together(&day, &night, false),
        day_after_night: together(&day, &night, true),
        night_after_day: together(&night, &day, true),
        month_mean_sd_k: differ
            .map(|(night, day)| rounded(f64::midpoint(mean_of(&night), mean_of(&day)), 2)),
        night_month_sd_k: differ.map(|(night, _)| smooth(&night)),
        day_month_sd_k: differ.map(|(_, day)| smooth(&day)),
        annual_min_c: (whole && minima.len() as f64 >= YEARS_THAT_DIFFER)
            .then(|| rounded(mean_of(&minima), 1)),
        night_skew: whole.then(|| skews(days, &night)).flatten(),
        day_skew: whole.then(|| skews(days, &day)).flatten(),
        rain_persistence: rain_persistence(days),
        wind_spread: wind_spread(days),
    })
}

/// Skewness of the departures of each month, smoothed with its neighbours.
fn skews(days: &[DayRecord], departures: &[Option<f64>]) -> Option<[f64; 12]> {
    let mut sums = [(0.0_f64, 0.0_f64); 12];
    for (day, off) in days.iter().zip(departures) {
        if let (Some(off), Some(sum)) = (off, sums.get_mut(day.date.month0() as usize)) {
            sum.0 += off.powi(3);
            sum.1 += 1.0;
        }
    }
    // Departures have unit variance already.
    let monthly: Months = sums.map(|(cubes, n)| (n > 0.0).then(|| cubes / n));
    Some(all(&smoothed(&monthly))?.map(|s| rounded(s, 2)))
}

/// Lowest night of each year that has 350 days at least.
fn annual_minima(days: &[DayRecord]) -> Vec<f64> {
    let mut years: std::collections::BTreeMap<i32, (usize, f64)> =
        std::collections::BTreeMap::new();
    for day in days {
        if let Some(night) = day.night_min_c {
            let year = years.entry(day.date.year()).or_insert((0, f64::INFINITY));
            year.0 += 1;
            year.1 = year.1.min(night);
        }
    }
    years
        .into_values()
        .filter(|(n, _)| *n >= 350)
        .map(|(_, low)| low)
        .collect()
}

/// Standard deviation between years of the means of each calendar month, K.
fn month_sds_k(days: &[DayRecord], of: fn(&DayRecord) -> Option<f64>) -> Option<[f64; 12]> {
    let mut pools: std::collections::BTreeMap<(u32, i32), Vec<f64>> =
        std::collections::BTreeMap::new();
    for day in days {
        if let Some(v) = of(day) {
            pools
                .entry((day.date.month0(), day.date.year()))
                .or_default()
                .push(v);
        }
    }
    let mut spreads = [0.0; 12];
    for (month0, spread) in (0..).zip(&mut spreads) {
        let means: Vec<f64> = pools
            .iter()
            .filter(|((m, _), pool)| *m == month0 && pool.len() >= LEAST_DAYS)
            .map(|(_, pool)| mean_of(pool))
            .collect();
        if (means.len() as f64) < YEARS_THAT_DIFFER - 1.0 {
            return None;
        }
        *spread = sd_of(&means);
    }
    Some(spreads)
}

fn rain_persistence(days: &[DayRecord]) -> Option<f64> {
    let mut counts = [[0.0_f64; 2]; 2];
    for pair in days.windows(2) {
        if let [before, now] = pair
            && before.date.succ_opt() == Some(now.date)
            && let (Some(before), Some(now)) = (before.rain_mm, now.rain_mm)
            && let Some(count) = counts
                .get_mut(usize::from(before >= WET_MM))
                .and_then(|c| c.get_mut(usize::from(now >= WET_MM)))
        {
            *count += 1.0;
        }
    }
    let [dry, wet] = counts;
    let (dry_days, wet_days) = (dry[0] + dry[1], wet[0] + wet[1]);
    (dry_days >= 40.0 && wet_days >= 40.0).then(|| {
        rounded(
            f64::clamp(wet[1] / wet_days - dry[1] / dry_days, 0.0, 0.9),
            2,
        )
    })
}

fn wind_spread(days: &[DayRecord]) -> Option<f64> {
    let means = all(&monthly(days, |d| d.wind_m_s, mean_of))?;
    let shares: Vec<f64> = days
        .iter()
        .filter_map(|d| {
            let mean = means.get(d.date.month0() as usize)?;
            Some(d.wind_m_s? / mean.max(0.1))
        })
        .collect();
    (shares.len() >= DAYS - 65).then(|| rounded(sd_of(&shares), 2))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn days(count: i64, of: impl Fn(NaiveDate) -> (f64, f64)) -> Vec<DayRecord> {
        let first = NaiveDate::from_ymd_opt(2001, 1, 1).unwrap();
        (0..count)
            .map(|k| {
                let date = first + chrono::Duration::days(k);
                let (low, high) = of(date);
                DayRecord {
                    night_min_c: Some(low),
                    day_max_c: Some(high),
                    rain_mm: Some(if date.ordinal() % 4 < 2 { 2.0 } else { 0.0 }),
                    ..DayRecord::new(date)
                }
            })
            .collect()
    }

    #[test]
    fn months_are_counted_and_incomplete_ones_left_out() {
        let year = days(365, |d| (f64::from(d.month()), 20.0 + f64::from(d.day())));
        let s = Statistics::of(&year);
        assert_eq!(s.night_min_c[6], Some(7.0));
        assert_eq!(s.rain_days[0].map(f64::round), Some(15.0));
        // A pattern of two wet and two dry days: a wet day follows a wet one as often as a dry one.
        assert!(s.day_to_day.unwrap().rain_persistence.unwrap() < 0.02);
        let spring = days(100, |_| (1.0, 2.0));
        let s = Statistics::of(&spring);
        assert_eq!(s.night_min_c[3], None);
        assert_eq!(s.gaps()[0], ("night minimum", (3..12).collect()));
        assert!(s.day_to_day.is_none());
        // Months that the record lacks stay as they were typed.
        let mut normals = Normals {
            night_min_c: Some([9.0; 12].into()),
            ..Normals::default()
        };
        s.put_normals(&mut normals);
        let months = normals.night_min_c.unwrap().whole().unwrap();
        assert_eq!(months[..4], [1.0, 1.0, 1.0, 9.0]);
        assert_eq!(normals.day_max_c, None);
        // Of a record of the better part of a year, months are left open.
        Statistics::of(&days(300, |_| (1.0, 2.0))).put_normals(&mut normals);
        let months = normals.day_max_c.unwrap().months();
        assert_eq!(months[8..], [Some(2.0), Some(2.0), None, None]);
    }

    #[test]
    fn verify_correlations_of_a_known_process() {
        // x' = 0.7 x + e by a fixed congruential sequence; days = nights + 10.
        let (mut x, mut state) = (0.0, 1_u64);
        let mut series = Vec::new();
        for _ in 0..365 * 30 {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1);
            x = 0.7 * x + (state >> 11) as f64 / 2_f64.powi(53) - 0.5;
            series.push(x);
        }
        let first = NaiveDate::from_ymd_opt(2001, 1, 1).unwrap();
        let record = days(365 * 30, |d| {
            let x = series[(d - first).num_days() as usize];
            (x, x + 10.0)
        });
        let d = Statistics::of(&record).day_to_day.unwrap();
        assert!((d.night_lag_1 - 0.7).abs() < 0.02, "{}", d.night_lag_1);
        assert!((d.day_with_night - 1.0).abs() < 1e-3);
        assert!((d.day_after_night - 0.7).abs() < 0.02);
        assert!(d.annual_min_c.is_some() && d.month_mean_sd_k.is_some());
    }
}
