//! What thermometer and humidity readings do to the model.
//!
//! Empirical Bayes: before any reading the model's night minimum at a spot is off by a constant of standard deviation
//! 1.5 K. Each reading is the model plus that constant plus the scatter of single nights. With the same night's
//! minimum in the open the scatter is small, because only the difference is compared; without it the reading can only
//! be held against all nights of the season, and weighs as little as their spread says. Nights close together tell
//! the same twice: weights fall with the correlation between them (0.5 from one night to the next).

use super::{
    AirCorrection,
    weeks::Series,
    year::{OpenYear, at},
};
use crate::{
    base::{
        Day,
        calendar::{DAYS, HOURS},
    },
    climate::FilledNormals,
    site::{HumidityReading, MinMaxReading},
};

/// Standard deviation of the model's own error before readings, K.
const PRIOR_SD_K: f64 = 1.5;
/// Scatter of a single night's difference between spot and open about its usual value, K.
const NIGHT_SD_K: f64 = 1.2;
/// Correlation of the model's error from one night to the next.
const NEXT_NIGHT: f64 = 0.5;
/// Days on each side that count as the season of a reading.
const SEASON_DAYS: i64 = 30;
/// Thermometers in the shade of a spot do not read beyond these, °C.
const POSSIBLE_C: (f64, f64) = (-60.0, 55.0);
/// A reading that differs by more than this from the model, K, or by more than four of its own standard
/// deviations where those are wider, is a mistake.
const MISTAKE_K: f64 = 12.0;
/// The same for humidity, points: prior and scatter of a single hour.
const HUMIDITY_PRIOR: f64 = 10.0;
const HUMIDITY_SD: f64 = 12.0;

/// A reading held against the model.
#[derive(Clone, Copy, Debug)]
struct Evidence {
    date: i64,
    residual: f64,
    variance: f64,
}

/// What is left of the model's constant error after the evidence.
#[derive(Clone, Copy, Debug)]
struct Posterior {
    shift: f64,
    sd: f64,
    used: usize,
    set_aside: usize,
}

/// Corrections of night minima and day maxima from a spot's readings.
pub(crate) fn from_min_max(
    readings: &[MinMaxReading],
    series: &Series,
    open: &OpenYear,
    normals: &FilledNormals,
    indoors: bool,
) -> AirCorrection {
    if readings.is_empty() {
        return AirCorrection::default();
    }
    let (min_hour, max_hour) = series.extreme_hours();
    let spot_min: Vec<f64> = min_hour.iter().map(|h| at(&series.air_c, *h)).collect();
    let spot_max: Vec<f64> = max_hour.iter().map(|h| at(&series.air_c, *h)).collect();
    let (mut nights, mut days, mut set_aside) = (Vec::new(), Vec::new(), 0);
    for reading in readings {
        let day = Day::of(reading.date).index();
        let month0 = Day::new(day).month0();
        let date = i64::from(chrono::Datelike::num_days_from_ce(&reading.date));
        let upside_down = reading.max_c.is_some_and(|max| max < reading.min_c);
        if !possible(reading.min_c) || upside_down {
            set_aside += 1;
            continue;
        }
        let season = Season::around(day, &spot_min, &open.night_min_c);
        let (expected, variance) = match reading.outdoors_min_c.filter(|c| possible(*c)) {
            Some(outdoors) => season.given(outdoors),
            None => season.alone(normals.night_min_sd_k[month0]),
        };
        nights.push(Evidence {
            date,
            residual: reading.min_c - expected,
            variance,
        });
        if let Some(max) = reading.max_c.filter(|c| possible(*c)) {
            let before = (day + DAYS - 1) % DAYS;
            let season = Season::around(before, &spot_max, &open.day_max_c);
            let (expected, variance) = season.alone(normals.day_max_sd_k[month0]);
            days.push(Evidence {
                date,
                residual: max - expected,
                variance,
            });
        }
    }
    let night = weigh(&nights, PRIOR_SD_K);
    // In a room a wrong guess of its warmth shows by night and by day; in the open nights have causes of their own.
    let carried = if indoors { 0.5 * night.shift } else { 0.0 };
    for evidence in &mut days {
        evidence.residual -= carried;
    }
    let day = weigh(&days, PRIOR_SD_K);
    AirCorrection {
        night_k: night.shift,
        day_k: day.shift + carried,
        sd_k: night.sd.max(0.3),
        readings: night.used,
        set_aside: set_aside + night.set_aside,
        error_before_k: (night.used > 0).then(|| mean_error(&nights)),
    }
}

fn possible(c: f64) -> bool {
    (POSSIBLE_C.0..=POSSIBLE_C.1).contains(&c)
}

fn is_mistake(e: &Evidence) -> bool {
    e.residual.abs() > MISTAKE_K.max(4.0 * e.variance.sqrt())
}

fn mean_error(evidence: &[Evidence]) -> f64 {
    let kept: Vec<f64> = evidence
        .iter()
        .filter(|e| !is_mistake(e))
        .map(|e| e.residual.abs())
        .collect();
    kept.iter().sum::<f64>() / kept.len().max(1) as f64
}

/// The model's values within a season and how they go with those in the open.
struct Season {
    mean: f64,
    open_mean: f64,
    sd: f64,
    slope: f64,
    scatter: f64,
}

impl Season {
    fn around(day: usize, spot: &[f64], open: &[f64]) -> Self {
        let pairs: Vec<(f64, f64)> = (-SEASON_DAYS..=SEASON_DAYS)
            .map(|k| Day::new(day).plus(k).index())
            .map(|d| (spot[d], open[d]))
            .collect();
        let n = pairs.len() as f64;
        let mean = pairs.iter().map(|p| p.0).sum::<f64>() / n;
        let open_mean = pairs.iter().map(|p| p.1).sum::<f64>() / n;
        let (mut ss, mut so, mut oo) = (0.0, 0.0, 0.0);
        for (s, o) in &pairs {
            ss += (s - mean).powi(2);
            so += (s - mean) * (o - open_mean);
            oo += (o - open_mean).powi(2);
        }
        let slope = if oo > 1.0 {
            (so / oo).clamp(0.0, 1.2)
        } else {
            1.0
        };
        let left = (ss - 2.0 * slope * so + slope * slope * oo).max(0.0);
        Self {
            mean,
            open_mean,
            sd: (ss / n).sqrt(),
            slope,
            scatter: (left / n).sqrt(),
        }
    }

    /// Expected value and variance with the open's value of that night known.
    fn given(&self, open_c: f64) -> (f64, f64) {
        let expected = self.mean + self.slope * (open_c - self.open_mean);
        (expected, NIGHT_SD_K.powi(2) + self.scatter.powi(2))
    }

    /// The same without: any night of the season may have been meant.
    fn alone(&self, daily_sd_k: f64) -> (f64, f64) {
        let spread = self.sd.max(self.slope * daily_sd_k);
        (self.mean, NIGHT_SD_K.powi(2) + spread.powi(2))
    }
}

fn weigh(evidence: &[Evidence], prior_sd: f64) -> Posterior {
    let kept: Vec<Evidence> = evidence
        .iter()
        .copied()
        .filter(|e| !is_mistake(e))
        .collect();
    let set_aside = evidence.len() - kept.len();
    let prior = 1.0 / (prior_sd * prior_sd);
    // Each reading counts by what it shares with its neighbours in time.
    let alone: Vec<f64> = kept
        .iter()
        .map(|e| {
            let shared: f64 = kept
                .iter()
                .map(|o| NEXT_NIGHT.powi((e.date - o.date).abs().min(60) as i32))
                .sum();
            1.0 / (shared.max(1.0) * e.variance)
        })
        .collect();
    let (mut shift, mut precision) = (0.0, prior);
    // A few rounds of Huber's weights, so that one odd night does not carry the rest away.
    for _ in 0..5 {
        let (mut sum, mut total) = (0.0, prior);
        for (e, weight) in kept.iter().zip(&alone) {
            let off = (e.residual - shift).abs() / e.variance.sqrt();
            let held = if off > 1.5 { 1.5 / off } else { 1.0 };
            sum += weight * held * e.residual;
            total += weight * held;
        }
        shift = sum / total;
        precision = total;
    }
    Posterior {
        shift,
        sd: (1.0 / precision).sqrt(),
        used: kept.len(),
        set_aside,
    }
}

/// Points of relative humidity to be added to the model, from hygrometer readings, and how many counted.
pub(crate) fn from_humidity(
    readings: &[HumidityReading],
    series: &Series,
    open: &OpenYear,
) -> (f64, usize) {
    let evidence: Vec<Evidence> = readings
        .iter()
        .filter(|r| (3.0..=100.0).contains(&r.rh_pct))
        .map(|r| {
            let day = Day::of(r.when.date()).index();
            let clock = f64::from(chrono::Timelike::hour(&r.when)) + 0.5;
            let saving = open.hours[day * 24 + 12].clock_h - 12.5;
            let hour = (clock - saving).rem_euclid(24.0) as usize;
            let (mut sum, mut n) = (0.0, 0.0);
            for k in -15..=15 {
                let h = Day::new(day).plus(k).index() * 24 + hour.min(23);
                if h < HOURS {
                    sum += at(&series.rh_pct, h);
                    n += 1.0;
                }
            }
            Evidence {
                date: i64::from(chrono::Datelike::num_days_from_ce(&r.when.date())),
                residual: r.rh_pct - sum / f64::max(n, 1.0),
                variance: HUMIDITY_SD * HUMIDITY_SD,
            }
        })
        .collect();
    // The rule for mistakes is in kelvin; in points everything possible counts.
    let kept: Vec<Evidence> = evidence
        .into_iter()
        .map(|e| Evidence {
            residual: e.residual.clamp(-45.0, 45.0),
            ..e
        })
        .collect();
    let posterior = weigh(&kept, HUMIDITY_PRIOR);
    (posterior.shift, posterior.used)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn nights(n: i64, residual: f64, sd: f64) -> Vec<Evidence> {
        (0..n)
            .map(|date| Evidence {
                date,
                residual,
                variance: sd * sd,
            })
            .collect()
    }

    #[test]
    fn verify_shrinkage_of_fifteen_nights_in_a_row() {
        // n_eff = 15 · (1-.5)/(1+.5) = 5, a little more for the ends: shrink 5/(5 + 1.44/2.25) = 0.89.
        let posterior = weigh(&nights(15, 2.0, 1.2), 1.5);
        assert!((posterior.shift - 1.78).abs() < 0.06, "{}", posterior.shift);
        assert!((posterior.sd - 0.5).abs() < 0.05, "{}", posterior.sd);
    }

    #[test]
    fn no_evidence_leaves_the_prior() {
        let posterior = weigh(&[], 1.5);
        assert_eq!(posterior.shift, 0.0);
        assert!((posterior.sd - 1.5).abs() < 1e-12);
    }

    #[test]
    fn a_mistake_is_set_aside_and_an_odd_night_held_back() {
        let mut all = nights(8, 1.0, 1.2);
        all.push(Evidence {
            date: 20,
            residual: 25.0,
            variance: 1.44,
        });
        all.push(Evidence {
            date: 30,
            residual: 8.0,
            variance: 1.44,
        });
        let posterior = weigh(&all, 1.5);
        assert_eq!((posterior.used, posterior.set_aside), (9, 1));
        assert!(
            posterior.shift > 0.7 && posterior.shift < 1.8,
            "{}",
            posterior.shift
        );
    }
}
