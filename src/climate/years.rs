use crate::base::{
    Week,
    calendar::{DAYS, Day},
};

/// Many weather years by the day, for risks: index `year * 365 + day`.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct WeatherYears {
    pub years: usize,
    /// °C at 1.5 m in the open.
    pub night_min_c: Vec<f32>,
    pub day_max_c: Vec<f32>,
    /// Daily clearness index, global radiation by that outside the air
    /// ([`crate::sun::extraterrestrial::daily_mj_m2`]), 0..1. In polar night only a measure of cloud.
    pub clearness: Vec<f32>,
    pub rain_mm: Vec<f32>,
    /// Daily mean at 10 m, m/s.
    pub wind_m_s: Vec<f32>,
}

impl WeatherYears {
    #[must_use]
    pub fn at(&self, year: usize, day: usize) -> usize {
        year * DAYS + day
    }

    /// Share of years whose night of this day is at or below a limit, 0..=1.
    #[must_use]
    pub fn chance_on(&self, limit_c: f64, day: Day) -> f64 {
        self.chance_within(limit_c, day, 1)
    }

    /// Share of years with at least one night at or below a limit among `days` days from `first` on, 0..=1. A span
    /// beyond December goes on in the following year (after the last year, in the first).
    #[must_use]
    pub fn chance_within(&self, limit_c: f64, first: Day, days: usize) -> f64 {
        if self.years == 0 {
            return 0.0;
        }
        let cold = (0..self.years)
            .filter(|year| {
                (0..days.min(DAYS)).any(|k| self.night_c(*year, first.index() + k) <= limit_c)
            })
            .count();
        cold as f64 / self.years as f64
    }

    /// The first day of the cold season by which a share of years has had its first night at or below a limit;
    /// `None` if fewer years ever have one. A chance of 0.1 gives the date before which frost comes in one year
    /// in ten. The season is counted from the day with the warmest nights, in either hemisphere.
    #[must_use]
    pub fn first_cold_night(&self, limit_c: f64, chance: f64) -> Option<Day> {
        let start = self.warmest_day();
        let firsts = (0..self.years)
            .map(|year| (0..DAYS).find(|k| self.night_c(year, start.index() + k) <= limit_c));
        nth_of_years(firsts, chance).map(|k| start.plus(k as i64))
    }

    /// The last day of the cold season after which only a share of years still has a night at or below a limit;
    /// `None` if fewer years ever have one.
    #[must_use]
    pub fn last_cold_night(&self, limit_c: f64, chance: f64) -> Option<Day> {
        let start = self.warmest_day();
        // Counted back from the next warmest day, so that the latest comes first.
        let lasts = (0..self.years).map(|year| {
            (1..=DAYS).find(|k| self.night_c(year, start.index() + DAYS - k) <= limit_c)
        });
        nth_of_years(lasts, chance).map(|k| start.plus(-(k as i64)))
    }

    /// 90 % band of a chance found as a share of these years (Wilson 1927). Never quite 0 and never quite 1: so
    /// many years can't show that something does not happen.
    #[must_use]
    pub fn chance_band(&self, chance: f64) -> (f64, f64) {
        const Z: f64 = 1.645;
        let n = self.years.max(1) as f64;
        let p = chance.clamp(0.0, 1.0);
        let middle = p + Z * Z / (2.0 * n);
        let half = Z * (p * (1.0 - p) / n + Z * Z / (4.0 * n * n)).sqrt();
        let whole = 1.0 + Z * Z / n;
        (
            ((middle - half) / whole).max(0.0),
            ((middle + half) / whole).min(1.0),
        )
    }

    /// The coldest night of each year, °C, ascending.
    #[must_use]
    pub fn annual_minima_c(&self) -> Vec<f32> {
        let mut minima: Vec<f32> = self
            .night_min_c
            .chunks(DAYS)
            .map(|year| year.iter().copied().fold(f32::INFINITY, f32::min))
            .collect();
        minima.sort_by(f32::total_cmp);
        minima
    }

    /// Share of years in which some night of the week is at or below a limit, 0..=1; `None` without years.
    #[must_use]
    pub fn cold_week_share(&self, week: Week, limit_c: f64) -> Option<f64> {
        self.week_share(week, |nights| {
            let coldest = nights.iter().copied().fold(f32::INFINITY, f32::min);
            f64::from(coldest) <= limit_c
        })
    }

    /// Share of years in which the nights of the week are on average above a limit, 0..=1; `None` without years.
    #[must_use]
    pub fn warm_week_share(&self, week: Week, limit_c: f64) -> Option<f64> {
        self.week_share(week, |nights| {
            f64::from(nights.iter().sum::<f32>() / nights.len() as f32) > limit_c
        })
    }

    fn week_share(&self, week: Week, meets: impl Fn(&[f32]) -> bool) -> Option<f64> {
        let (mut counted, mut met) = (0_u32, 0_u32);
        for year in self.night_min_c.chunks_exact(DAYS) {
            let nights = year.get(week.days()).filter(|n| !n.is_empty())?;
            counted += 1;
            met += u32::from(meets(nights));
        }
        (counted > 0).then(|| f64::from(met) / f64::from(counted))
    }

    /// What each share of the nights of a week, over all years, is at or below, °C.
    #[must_use]
    pub fn night_quantiles_c<const N: usize>(
        &self,
        week: Week,
        shares: [f64; N],
    ) -> [Option<f64>; N] {
        week_quantiles(&self.night_min_c, week, shares)
    }

    /// What each share of the days' maxima of a week, over all years, is at or below, °C.
    #[must_use]
    pub fn day_quantiles_c<const N: usize>(
        &self,
        week: Week,
        shares: [f64; N],
    ) -> [Option<f64>; N] {
        week_quantiles(&self.day_max_c, week, shares)
    }

    /// Nights of a year at or below a limit: mean over the years and standard deviation between them.
    #[must_use]
    pub fn cold_nights(&self, limit_c: f64) -> (f64, f64) {
        self.nights_a_year(|night| night <= limit_c)
    }

    /// Nights of a year above a limit: mean over the years and standard deviation between them.
    #[must_use]
    pub fn warm_nights(&self, limit_c: f64) -> (f64, f64) {
        self.nights_a_year(|night| night > limit_c)
    }

    fn nights_a_year(&self, meets: impl Fn(f64) -> bool) -> (f64, f64) {
        let counts: Vec<f64> = self
            .night_min_c
            .chunks_exact(DAYS)
            .map(|year| year.iter().filter(|n| meets(f64::from(**n))).count() as f64)
            .collect();
        mean_and_sd(&counts)
    }

    /// The coldest `nights` nights in a row of each year, as their mean, °C, ascending.
    #[must_use]
    pub fn cold_snaps_c(&self, nights: usize) -> Vec<f32> {
        let nights = nights.clamp(1, DAYS);
        let mut snaps: Vec<f32> = self
            .night_min_c
            .chunks_exact(DAYS)
            .map(|year| {
                year.windows(nights)
                    .map(|run| run.iter().sum::<f32>() / nights as f32)
                    .fold(f32::INFINITY, f32::min)
            })
            .collect();
        snaps.sort_by(f32::total_cmp);
        snaps
    }

    /// The day whose nights, with the month about it and all years together, are the warmest.
    #[must_use]
    pub fn warmest_day(&self) -> Day {
        let mut by_day = vec![0.0; DAYS];
        for year in self.night_min_c.chunks(DAYS) {
            for (sum, night) in by_day.iter_mut().zip(year) {
                *sum += f64::from(*night);
            }
        }
        let about = |day: usize| -> f64 {
            (0..31)
                .map(|k| by_day[(day + DAYS + k - 15) % DAYS])
                .sum::<f64>()
        };
        let warmest = (0..DAYS).max_by(|a, b| about(*a).total_cmp(&about(*b)));
        Day::new(warmest.unwrap_or(0))
    }

    /// Night of a day counted from 1 January of a year, on into the following year.
    fn night_c(&self, year: usize, day: usize) -> f64 {
        let index = (year * DAYS + day) % (self.years * DAYS).max(1);
        self.night_min_c
            .get(index)
            .copied()
            .map_or(f64::INFINITY, f64::from)
    }
}

fn week_quantiles<const N: usize>(
    days_c: &[f32],
    week: Week,
    shares: [f64; N],
) -> [Option<f64>; N] {
    let mut pool: Vec<f32> = days_c
        .chunks_exact(DAYS)
        .filter_map(|year| year.get(week.days()))
        .flatten()
        .copied()
        .collect();
    pool.sort_unstable_by(f32::total_cmp);
    shares.map(|share| quantile(&pool, share))
}

/// The value that a share of ascending values is at or below.
#[must_use]
pub fn quantile(ascending: &[f32], share: f64) -> Option<f64> {
    let last = ascending.len().checked_sub(1)?;
    let place = share.clamp(0.0, 1.0) * last as f64;
    let (below, above) = (
        ascending.get(place.floor() as usize)?,
        ascending.get(place.ceil() as usize)?,
    );
    Some(f64::from(*below) + (f64::from(*above) - f64::from(*below)) * place.fract())
}

fn mean_and_sd(values: &[f64]) -> (f64, f64) {
    let n = values.len().max(1) as f64;
    let mean = values.iter().sum::<f64>() / n;
    let squares: f64 = values.iter().map(|v| (v - mean).powi(2)).sum();
    (mean, (squares / (n - 1.0).max(1.0)).sqrt())
}

/// The count that a share of years has reached, if as many years have one at all.
fn nth_of_years(counts: impl Iterator<Item = Option<usize>>, chance: f64) -> Option<usize> {
    let all: Vec<Option<usize>> = counts.collect();
    let mut found: Vec<usize> = all.iter().flatten().copied().collect();
    found.sort_unstable();
    let rank = (chance.clamp(0.0, 1.0) * all.len() as f64).ceil().max(1.0) as usize;
    found.get(rank - 1).copied()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shares_are_counted_over_years() {
        let mut years = WeatherYears {
            years: 4,
            night_min_c: vec![5.0; 4 * DAYS],
            ..WeatherYears::default()
        };
        let week = Week::new(3);
        let hit = years.at(2, week.days().start + 1);
        years.night_min_c[hit] = -1.0;
        assert_eq!(years.cold_week_share(week, 0.0), Some(0.25));
        assert_eq!(years.cold_week_share(Week::new(4), 0.0), Some(0.0));
        assert_eq!(years.warm_week_share(week, 4.5), Some(0.75));
        assert_eq!(WeatherYears::default().cold_week_share(week, 0.0), None);
        assert_eq!(years.cold_nights(0.0), (0.25, 0.5));
        assert_eq!(years.cold_snaps_c(2)[0], 2.0);
        assert_eq!(
            years.night_quantiles_c(week, [0.0, 0.5]),
            [Some(-1.0), Some(5.0)]
        );
    }
}
