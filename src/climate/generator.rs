//! Weather years by the day: Richardson 1981 (Water Resources Research 17:182) in the form of Richardson & Wright
//! 1984 for temperatures, with the clearness of days drawn from their own distribution.
//!
//! Beyond the source, by our choice: spells of weeks, the skewness of days (a record's, or that of moist summers), wet days duller and cooler by day,
//! winds weaker on bright days, and a recheck against the coldest night on record.

use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, Gamma, Open01, StandardNormal};

use super::{
    FilledNormals, WeatherYears,
    daily::{DailyMeans, TOO_DARK_MJ_M2},
    estimates, month_days,
    residuals::{Process, SPELL_DAYS},
    seasonal,
};
use crate::{
    base::{calendar::DAYS, seed},
    site::{Climate, DayToDay},
};

/// How much duller and, by day, cooler a wet day is, in standard deviations.
const WET_IS_DULLER: f64 = 1.2;
const WET_IS_COOLER: f64 = 0.5;
/// Day-to-day correlation and coefficient of variation of the daily mean wind.
const WIND_LAG: f64 = 0.4;
const WIND_CV: f64 = 0.5;
/// Chance of rain after a wet day less that after a dry one (Geng, Penning de Vries & Supit 1986, Agric. For. Meteorol.
/// 36:363: 0.25 + 0.75 f and 0.75 f).
const RAIN_PERSISTENCE: f64 = 0.25;
const WIND_AND_BRIGHTNESS: f64 = -0.25;
/// Shape of the gamma distribution of rain above 1 mm on a wet day (Geng et al. 1986 find 0.6 to 0.9).
const RAIN_SHAPE: f64 = 0.75;
/// Days run before the first year begins.
const RUN_IN_DAYS: usize = 100;
/// The coldest night on record is taken for that of so many years.
const RECORD_YEARS: f64 = 30.0;
/// Largest skewness that days are bent to.
const MOST_SKEW: f64 = 1.2;
/// Smallest difference between a day's maximum and its night's minimum, K.
const LEAST_RANGE_K: f64 = 0.5;

/// The weather years and sentences on how they came about.
pub(super) fn generate(
    normals: &FilledNormals,
    means: &DailyMeans,
    climate: &Climate,
) -> (WeatherYears, Vec<String>) {
    let years = climate.years.clamp(30, 400) as usize;
    let record = climate.day_to_day.as_ref();
    let process = means.process(record);
    let mut days = Draft::draw(normals, means, &process, record, climate.seed, years);
    let mut notes = vec![format!(
        "{years} weather years are drawn day by day from the normals and their spreads (weather generator after \
         Richardson 1981); they repeat exactly with the same seed. They know nothing of a changing climate."
    )];
    notes.extend(record.map(|record| of_record(record, &process)));
    let finite = |c: Option<f64>| c.filter(|c| c.is_finite());
    let annual = finite(record.and_then(|r| r.annual_min_c)).map(Coldest::OfAYear);
    if let Some(coldest) = annual.or(finite(climate.record_low_c).map(Coldest::OnRecord)) {
        notes.push(days.fit_coldest(means, coldest));
    }
    days.keep_days_above_nights();
    days.bring_to_normals(normals, means);
    (days.into_years(), notes)
}

/// What is taken from a record of days, as a sentence.
fn of_record(record: &DayToDay, process: &Process) -> String {
    if !process.own {
        return "The correlations of the record contradict one another, so days hang together as is usual."
            .to_owned();
    }
    let differ = if record.month_mean_sd_k.is_some() {
        ", how months differ from year to year"
    } else {
        ""
    };
    format!(
        "How days hang together{differ} and how they scatter is that of the record of {:.0} years, not the usual.",
        record.record_years.max(1.0)
    )
}

/// What is known of the coldest nights, °C.
#[derive(Clone, Copy)]
enum Coldest {
    /// Taken for that of [`RECORD_YEARS`] years.
    OnRecord(f64),
    /// Mean of the years.
    OfAYear(f64),
}

impl Coldest {
    fn celsius(self) -> f64 {
        match self {
            Self::OnRecord(c) | Self::OfAYear(c) => c,
        }
    }

    /// The same of drawn nights.
    fn of(self, nights_c: &[f64]) -> f64 {
        let minima = annual_minima(nights_c);
        match self {
            Self::OnRecord(_) => undercut_once_in(&minima, RECORD_YEARS),
            Self::OfAYear(_) => minima.iter().sum::<f64>() / minima.len().max(1) as f64,
        }
    }
}

struct Draft {
    years: usize,
    night_c: Vec<f64>,
    day_c: Vec<f64>,
    clearness: Vec<f64>,
    rain_mm: Vec<f64>,
    wind_m_s: Vec<f64>,
}

impl Draft {
    fn draw(
        normals: &FilledNormals,
        means: &DailyMeans,
        process: &Process,
        record: Option<&DayToDay>,
        seed: u64,
        years: usize,
    ) -> Self {
        let mut of_temperature = seed::stream(seed, "weather years: temperature and radiation");
        let mut of_rain = seed::stream(seed, "weather years: rain");
        let mut of_wind = seed::stream(seed, "weather years: wind");
        let scale = stationary_sd(process);
        let persistence = record
            .and_then(|r| r.rain_persistence)
            .unwrap_or(RAIN_PERSISTENCE)
            .clamp(0.0, 0.9);
        let wind_cv = record
            .and_then(|r| r.wind_spread)
            .unwrap_or(WIND_CV)
            .clamp(0.05, 1.5);
        let spell_lag = (-1.0 / SPELL_DAYS).exp();
        let usual_skew = normals.night_min_c.map(estimates::usual_skew);
        let skew = |monthly: Option<[f64; 12]>| {
            seasonal::curve(&monthly.map_or(usual_skew, |m| {
                m.map(|s| {
                    if s.is_finite() {
                        s.clamp(-MOST_SKEW, MOST_SKEW)
                    } else {
                        0.0
                    }
                })
            }))
        };
        let night_skew = skew(record.and_then(|r| r.night_skew));
        let day_skew = skew(record.and_then(|r| r.day_skew));
        let night_spells = shares(&process.spells.night);
        let day_spells = shares(&process.spells.day);

        let count = years * DAYS;
        let empty = || Vec::with_capacity(count);
        let mut draft = Self {
            years,
            night_c: empty(),
            day_c: empty(),
            clearness: empty(),
            rain_mm: empty(),
            wind_m_s: empty(),
        };
        let (mut x, mut spell, mut wind, mut wet) = ([0.0; 3], 0.0, 0.0, false);
        for step in 0..count + RUN_IN_DAYS {
            let d = (step + DAYS - RUN_IN_DAYS) % DAYS;
            let mut normal = || -> f64 { StandardNormal.sample(&mut of_temperature) };
            let (e_day, e_night, e_sun, e_spell) = (normal(), normal(), normal(), normal());
            x = advance(process, x, [e_day, e_night, e_sun]);
            spell = spell_lag * spell + (1.0 - spell_lag * spell_lag).sqrt() * e_spell;

            let share = means.wet_share[d];
            let chance = (1.0 - persistence) * share + if wet { persistence } else { 0.0 };
            let u: f64 = Open01.sample(&mut of_rain);
            wet = u < chance;
            let rain_mm = if wet {
                rain_of_wet_day(means.rain_per_wet_day_mm[d], &mut of_rain)
            } else {
                0.0
            };

            let [day, night, sun] = std::array::from_fn(|i| x[i] / scale[i]);
            let brightness = shifted_by_rain(sun, WET_IS_DULLER, wet, share);
            let warmth = shifted_by_rain(day, WET_IS_COOLER, wet, share);
            let e_wind: f64 = StandardNormal.sample(&mut of_wind);
            wind = WIND_LAG * wind + (1.0 - WIND_LAG * WIND_LAG).sqrt() * e_wind;
            let gust = WIND_AND_BRIGHTNESS * brightness
                + (1.0 - WIND_AND_BRIGHTNESS * WIND_AND_BRIGHTNESS).sqrt() * wind;

            if step >= RUN_IN_DAYS {
                // Single days lean to one side, weeks and years do not: were spells bent as well, no year would be much
                // hotter than another where hot days are rare.
                let of = |mean_c: f64, sd_k: f64, skew: f64, share: f64, day_by_day: f64| {
                    let days = 1.0 - share;
                    let lean = (skew / days.powf(1.5)).clamp(-MOST_SKEW, MOST_SKEW);
                    mean_c + sd_k * (share.sqrt() * spell + days.sqrt() * skewed(day_by_day, lean))
                };
                draft.night_c.push(of(
                    means.night_min_c[d],
                    means.night_sd_k[d],
                    night_skew[d],
                    night_spells[d],
                    night,
                ));
                draft.day_c.push(of(
                    means.day_max_c[d],
                    means.day_sd_k[d],
                    day_skew[d],
                    day_spells[d],
                    warmth,
                ));
                draft
                    .clearness
                    .push(means.clearness[d].at_share(normal_share(brightness)));
                draft.rain_mm.push(rain_mm);
                let log_sd = (1.0 + wind_cv * wind_cv).ln().sqrt();
                draft
                    .wind_m_s
                    .push(means.wind_m_s[d] * (log_sd * gust - log_sd * log_sd / 2.0).exp());
            }
        }
        draft
    }

    /// Stretches or shrinks the cold tail until the coldest nights are as they are known to be.
    fn fit_coldest(&mut self, means: &DailyMeans, known: Coldest) -> String {
        let drawn = std::mem::take(&mut self.night_c);
        let stretched = |factor: f64| -> Vec<f64> {
            drawn
                .iter()
                .enumerate()
                .map(|(i, c)| {
                    let (mean_c, sd_k) = (means.night_min_c[i % DAYS], means.night_sd_k[i % DAYS]);
                    let beyond_k = (mean_c - sd_k) - c;
                    if beyond_k > 0.0 {
                        mean_c - sd_k - beyond_k * factor
                    } else {
                        *c
                    }
                })
                .collect()
        };
        let wanted_c = known.celsius();
        let before_c = known.of(&drawn);
        let (mut low, mut high) = (0.5, 2.0);
        for _ in 0..16 {
            let factor = f64::midpoint(low, high);
            if known.of(&stretched(factor)) > wanted_c {
                low = factor;
            } else {
                high = factor;
            }
        }
        self.night_c = stretched(f64::midpoint(low, high));
        let after_c = known.of(&self.night_c);
        let what = match known {
            Coldest::OnRecord(_) => {
                "The coldest night on record, {}, is taken for that of 30 years"
            }
            Coldest::OfAYear(_) => "The coldest night of a year is {} in the record's mean",
        }
        .replace("{}", &format!("{wanted_c:.1} °C"));
        let fitted = format!(
            "{what}; the spread alone gave {before_c:.1} °C, and the cold tail was {} to {after_c:.1} °C.",
            if after_c < before_c {
                "stretched"
            } else {
                "shortened"
            }
        );
        if (after_c - wanted_c).abs() > 0.5 {
            format!(
                "{fitted} It can't be reached with the night minima given: please check the record and the normals."
            )
        } else {
            fitted
        }
    }

    fn keep_days_above_nights(&mut self) {
        for (night, day) in self.night_c.iter_mut().zip(&mut self.day_c) {
            if *day < *night + LEAST_RANGE_K {
                let middle = f64::midpoint(*night, *day);
                *night = middle - LEAST_RANGE_K / 2.0;
                *day = middle + LEAST_RANGE_K / 2.0;
            }
        }
    }

    /// Corrects each calendar month over all years together, so that the pooled means are the normals while single
    /// years still differ.
    fn bring_to_normals(&mut self, normals: &FilledNormals, means: &DailyMeans) {
        for m in 0..12 {
            let pool: Vec<usize> = (0..self.years)
                .flat_map(|year| month_days(m).map(move |day| year * DAYS + day))
                .collect();
            let n = pool.len() as f64;
            let mean = |values: &[f64]| pool.iter().map(|i| values[*i]).sum::<f64>() / n;

            let night_k = normals.night_min_c[m] - mean(&self.night_c);
            let day_k = normals.day_max_c[m] - mean(&self.day_c);
            let wind = normals.wind_m_s[m] / mean(&self.wind_m_s).max(1e-6);
            let wet = pool.iter().filter(|i| self.rain_mm[**i] > 0.0).count() as f64;
            let over_mm = mean(&self.rain_mm) * n - wet;
            let wanted_mm = normals.rain_mm[m] * self.years as f64 - wet;
            let rain = if over_mm > 0.0 {
                (wanted_mm / over_mm).max(0.0)
            } else {
                0.0
            };
            for i in &pool {
                self.night_c[*i] += night_k;
                self.day_c[*i] += day_k;
                self.wind_m_s[*i] *= wind;
                if self.rain_mm[*i] > 0.0 {
                    self.rain_mm[*i] = 1.0 + (self.rain_mm[*i] - 1.0) * rain;
                }
            }
            self.scale_radiation(&pool, normals.radiation_mj_m2_d[m], means);
        }
    }

    fn scale_radiation(&mut self, pool: &[usize], wanted_mj_m2_d: f64, means: &DailyMeans) {
        let n = pool.len() as f64;
        let outside = |i: usize| means.outside_mj_m2[i % DAYS];
        if pool.iter().map(|i| outside(*i)).sum::<f64>() / n < TOO_DARK_MJ_M2 {
            return;
        }
        for _ in 0..20 {
            let now = pool
                .iter()
                .map(|i| self.clearness[*i] * outside(*i))
                .sum::<f64>()
                / n;
            let factor = wanted_mj_m2_d / now.max(1e-9);
            if (factor - 1.0).abs() < 1e-6 {
                break;
            }
            for i in pool {
                let highest = means.clearness[i % DAYS].highest();
                self.clearness[*i] = (self.clearness[*i] * factor).min(highest);
            }
        }
    }

    fn into_years(self) -> WeatherYears {
        let narrow = |values: Vec<f64>| values.into_iter().map(|v| v as f32).collect();
        WeatherYears {
            years: self.years,
            night_min_c: narrow(self.night_c),
            day_max_c: narrow(self.day_c),
            clearness: narrow(self.clearness),
            rain_mm: narrow(self.rain_mm),
            wind_m_s: narrow(self.wind_m_s),
        }
    }
}

/// One day on: A x + B e.
fn advance(process: &Process, x: [f64; 3], e: [f64; 3]) -> [f64; 3] {
    std::array::from_fn(|i| {
        (0..3)
            .map(|j| process.a[i][j] * x[j] + process.b[i][j] * e[j])
            .sum()
    })
}

/// Standard deviations to which the residuals settle: nearly 1, so this only takes off rounding.
fn stationary_sd(process: &Process) -> [f64; 3] {
    let (a, b) = (&process.a, &process.b);
    let mut c = [[0.0; 3]; 3];
    for _ in 0..200 {
        let previous = c;
        for i in 0..3 {
            for j in 0..3 {
                c[i][j] = (0..3)
                    .map(|k| {
                        b[i][k] * b[j][k]
                            + (0..3)
                                .map(|l| a[i][k] * previous[k][l] * a[j][l])
                                .sum::<f64>()
                    })
                    .sum();
            }
        }
    }
    std::array::from_fn(|i| c[i][i].sqrt())
}

/// A share of variance for each day, from that of the months.
fn shares(monthly: &[f64; 12]) -> Vec<f64> {
    seasonal::curve(monthly)
        .into_iter()
        .map(|share| share.clamp(0.0, 0.6))
        .collect()
}

/// A standard normal value bent to a skewness, mean and variance nearly kept (Wilson & Hilferty 1931's cube of a normal, as
/// for the Pearson III distribution).
fn skewed(z: f64, skew: f64) -> f64 {
    if skew.abs() < 1e-3 {
        return z;
    }
    2.0 / skew * ((1.0 + skew * z / 6.0 - skew * skew / 36.0).powi(3) - 1.0)
}

/// Moves a residual down on wet and up on dry days, keeping mean 0 and variance 1 over both.
fn shifted_by_rain(residual: f64, step: f64, wet: bool, wet_share: f64) -> f64 {
    let shift = if wet {
        -step * (1.0 - wet_share)
    } else {
        step * wet_share
    };
    (residual + shift) / (1.0 + step * step * wet_share * (1.0 - wet_share)).sqrt()
}

fn rain_of_wet_day(mean_mm: f64, rng: &mut ChaCha8Rng) -> f64 {
    // Drawn even where it is not needed, so that the stream stays in step.
    let unit = Gamma::new(RAIN_SHAPE, 1.0 / RAIN_SHAPE).map_or(1.0, |gamma| gamma.sample(rng));
    1.0 + (mean_mm - 1.0).max(0.0) * unit
}

/// Share of a standard normal below `x`; Abramowitz & Stegun 7.1.26, error under 1e-7.
fn normal_share(x: f64) -> f64 {
    let z = x.abs() / std::f64::consts::SQRT_2;
    let t = 1.0 / (1.0 + 0.327_591_1 * z);
    let poly = t
        * (0.254_829_592
            + t * (-0.284_496_736
                + t * (1.421_413_741 + t * (-1.453_152_027 + t * 1.061_405_429))));
    let upper = 0.5 * poly * (-z * z).exp();
    if x > 0.0 { 1.0 - upper } else { upper }
}

/// Ascending.
fn annual_minima(nights_c: &[f64]) -> Vec<f64> {
    let mut minima: Vec<f64> = nights_c
        .chunks(DAYS)
        .map(|year| year.iter().copied().fold(f64::INFINITY, f64::min))
        .collect();
    minima.sort_by(f64::total_cmp);
    minima
}

/// The annual minimum that is undercut in one of `of_years` years.
fn undercut_once_in(minima: &[f64], of_years: f64) -> f64 {
    let place = (minima.len() as f64 / of_years - 0.5).max(0.0);
    let below = place as usize;
    match (minima.get(below), minima.get(below + 1)) {
        (Some(a), Some(b)) => a + (b - a) * place.fract(),
        (Some(a), None) => *a,
        _ => 0.0,
    }
}
