use crate::base::calendar::{DAYS, Day};

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

/// The count that a share of years has reached, if as many years have one at all.
fn nth_of_years(counts: impl Iterator<Item = Option<usize>>, chance: f64) -> Option<usize> {
    let all: Vec<Option<usize>> = counts.collect();
    let mut found: Vec<usize> = all.iter().flatten().copied().collect();
    found.sort_unstable();
    let rank = (chance.clamp(0.0, 1.0) * all.len() as f64).ceil().max(1.0) as usize;
    found.get(rank - 1).copied()
}
