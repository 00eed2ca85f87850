//! What thermometer and humidity readings, and loggers' records, do to the model.
//!
//! Empirical Bayes: before any reading the model's night minimum at a spot is off by an unknown error of standard
//! deviation 1.5 K, of which most is the same all year and the rest goes with the year
//! (`a + c·cos + s·sin` of the day of the year, 1.3, 0.75 and 0.75 K: equal doubt in every season). So a winter's
//! nights say much of winter and something of summer. Each reading is the model plus that error plus the scatter of
//! single nights. With the same night's minimum in the open the scatter is small, because only the difference is
//! compared; without it the reading can only be held against all nights of the season, and weighs as little as their
//! spread says. Nights close together tell the same twice: shares fall with the correlation between them.

mod evidence;
mod humidity;
mod season;
mod unexplained;

use crate::{
    base::{
        Day,
        calendar::DAYS,
        robust::{self, Fit},
    },
    climate::FilledNormals,
    site::{Logged, Spot},
};

use super::{AirCorrection, AirReadings, HeldBack, ReviewedMinMax, weeks::Series, year::OpenYear};
use evidence::{Evidence, Source};
pub(super) use humidity::from_humidity;

/// Standard deviations of the model's own error before readings, K: the same all year, and with the year; 1.5 together.
pub(super) const PRIOR_SD_K: [f64; 3] = [1.3, 0.748_331_477_354_788, 0.748_331_477_354_788];
/// No correction is surer than this, K: the spot is no point, and years differ.
pub(super) const LEAST_SD_K: f64 = 0.3;
/// A reading that differs by more than this from the model, K, or by more than four of its own standard
/// deviations where those are wider, is a mistake.
const MISTAKE_K: f64 = 12.0;
/// Nights or days that are needed to try the correction on a part of them.
const LEAST_TO_TRY: usize = 8;
/// Days of a run that is held back or learnt from as a whole: neighbours are alike, and would give the answer away.
const RUN_D: i64 = 14;

/// What a correction is made from.
pub(super) struct Inputs<'a> {
    pub spot: &'a Spot,
    /// Temperature records in the open, of the whole site.
    pub in_the_open: &'a [&'a Logged],
    /// Before correction.
    pub series: &'a Series,
    pub open: &'a OpenYear,
    pub normals: &'a FilledNormals,
    pub indoors: bool,
}

/// Day of the year as the three parts of the error.
pub(super) fn parts(day: usize) -> [f64; 3] {
    let turn = std::f64::consts::TAU * day as f64 / DAYS as f64;
    [1.0, turn.cos(), turn.sin()]
}

/// Corrections of night minima and day maxima, and what each reading says against the model.
pub(super) fn from_readings(inputs: &Inputs<'_>) -> (AirCorrection, AirReadings) {
    let mut told = AirReadings::default();
    let (nights, mut days) = evidence::gather(inputs, &mut told);
    let none = nights.is_empty() && days.is_empty();
    if none {
        let correction = AirCorrection {
            set_aside: told.min_max.iter().filter(|r| r.doubt.is_some()).count(),
            ..AirCorrection::default()
        };
        return (correction, told);
    }
    let night = fit(&nights);
    // In a room a wrong guess of its warmth shows by night and by day; in the open nights have causes of their own.
    let carried = if inputs.indoors { 0.5 } else { 0.0 };
    for e in &mut days {
        e.residual -= carried * night.value(parts(e.day));
    }
    let day = fit(&days);
    let of_day = |i: usize| day.at[i] + carried * night.at[i];
    let kept: Vec<&Evidence> = nights.iter().filter(|e| !e.is_mistake()).collect();
    let correction = AirCorrection {
        night_k: night.at[0],
        night_season_k: [night.at[1], night.at[2]],
        day_k: of_day(0),
        day_season_k: [of_day(1), of_day(2)],
        sd_k: surest(&night),
        night_covariance: night.covariance,
        readings: count(&kept, false),
        nights_logged: count(&kept, true),
        set_aside: told.min_max.iter().filter(|r| r.doubt.is_some()).count()
            + nights
                .iter()
                .filter(|e| e.is_mistake() && e.source == Source::Logger)
                .count(),
        error_before_k: (!kept.is_empty()).then(|| mean_error(&kept, None)),
        error_after_k: (!kept.is_empty()).then(|| mean_error(&kept, Some(&night))),
        held_back: held_back(&nights),
    };
    for (review, reading) in told.min_max.iter_mut().zip(&inputs.spot.min_max) {
        let day = Day::of(reading.date).index();
        review.corrected_min_c = review.model_min_c.map(|c| c + correction.night_at(day));
        review.corrected_max_c = review.model_max_c.map(|c| c + correction.day_at(day));
    }
    told.unexplained = unexplained::of(inputs, &correction);
    (correction, told)
}

fn count(kept: &[&Evidence], logged: bool) -> usize {
    kept.iter()
        .filter(|e| (e.source == Source::Logger) == logged)
        .count()
}

/// Standard deviation in the season that is known best, K.
fn surest(night: &Fit<3>) -> f64 {
    (0..DAYS)
        .step_by(15)
        .map(|d| night.sd(parts(d)))
        .fold(f64::INFINITY, f64::min)
        .max(LEAST_SD_K)
}

fn fit(evidence: &[Evidence]) -> Fit<3> {
    let kept: Vec<&Evidence> = evidence.iter().filter(|e| !e.is_mistake()).collect();
    robust::fit(&evidence::rows(&kept), PRIOR_SD_K)
}

/// Mean absolute error of the model, or of the model with a correction, K.
fn mean_error(evidence: &[&Evidence], fit: Option<&Fit<3>>) -> f64 {
    let sum: f64 = evidence
        .iter()
        .map(|e| (e.residual - fit.map_or(0.0, |f| f.value(parts(e.day)))).abs())
        .sum();
    sum / evidence.len().max(1) as f64
}

/// Learns from every other fortnight, and tries what it learnt on the rest.
fn held_back(nights: &[Evidence]) -> Option<HeldBack> {
    if nights.len() < LEAST_TO_TRY {
        return None;
    }
    let first = nights.iter().map(|e| e.date).min()?;
    let run = |e: &Evidence| (e.date - first) / RUN_D % 2 == 0;
    let (mut learnt, mut tried): (Vec<Evidence>, Vec<Evidence>) =
        nights.iter().copied().partition(run);
    if tried.len() * 4 < nights.len() || learnt.len() * 4 < nights.len() {
        // All within a few weeks: the first half and the second.
        let middle = nights.len() / 2;
        let mut all = nights.to_vec();
        all.sort_by_key(|e| e.date);
        tried = all.split_off(middle);
        learnt = all;
    }
    let fit = fit(&learnt);
    let tried: Vec<&Evidence> = tried.iter().filter(|e| !e.is_mistake()).collect();
    (!tried.is_empty()).then(|| HeldBack {
        learnt_from: learnt.len(),
        tried_on: tried.len(),
        error_before: mean_error(&tried, None),
        error_after: mean_error(&tried, Some(&fit)),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn nights(n: i64, residual: f64, sd: f64) -> Vec<Evidence> {
        (0..n)
            .map(|date| Evidence {
                date,
                day: (date % 365) as usize,
                residual,
                variance: sd * sd,
                next: 0.5,
                source: Source::Reading,
            })
            .collect()
    }

    #[test]
    fn verify_shrinkage_of_fifteen_nights_in_a_row() {
        // n_eff = 15 · (1-.5)/(1+.5) = 5, a little more for the ends: shrink 5/(5 + 1.44/2.25) = 0.89, in that season.
        let night = fit(&nights(15, 2.0, 1.2));
        let (shift, sd) = (night.value(parts(7)), night.sd(parts(7)));
        assert!((shift - 1.78).abs() < 0.06, "{shift}");
        assert!((sd - 0.5).abs() < 0.05, "{sd}");
        // Half a year off less is known: the part that is the same all year is all that is carried there.
        let (shift, sd) = (night.value(parts(190)), night.sd(parts(190)));
        assert!((0.6..1.2).contains(&shift) && sd > 1.1, "{shift} ± {sd}");
    }

    #[test]
    fn no_evidence_leaves_the_prior_in_every_season() {
        let night = fit(&[]);
        for day in [0, 100, 200, 300] {
            assert_eq!(night.value(parts(day)), 0.0);
            assert!((night.sd(parts(day)) - 1.5).abs() < 0.01);
        }
    }

    #[test]
    fn a_mistake_is_set_aside_and_an_odd_night_held_back() {
        let mut all = nights(8, 1.0, 1.2);
        for (date, residual) in [(20, 25.0), (30, 8.0)] {
            all.push(Evidence {
                date,
                day: date as usize,
                residual,
                ..all[0]
            });
        }
        assert_eq!(all.iter().filter(|e| e.is_mistake()).count(), 1);
        let shift = fit(&all).value(parts(10));
        assert!(shift > 0.6 && shift < 1.8, "{shift}");
    }

    #[test]
    fn a_year_of_nights_does_not_make_it_absurdly_sure_and_finds_the_season() {
        let all: Vec<Evidence> = (0..1095)
            .map(|date| {
                let day = (date % 365) as usize;
                // Warmer by 1 K in the mean and by another 0.8 K in January; nights scatter by a fixed pattern.
                let scatter = ((date * 7919) % 13) as f64 / 6.0 - 1.0;
                Evidence {
                    date,
                    day,
                    residual: 1.0 + 0.8 * parts(day)[1] + scatter,
                    variance: 1.44,
                    next: 0.5,
                    source: Source::Logger,
                }
            })
            .collect();
        let night = fit(&all);
        assert!((night.value(parts(10)) - 1.8).abs() < 0.15);
        assert!((night.value(parts(190)) - 0.2).abs() < 0.15);
        assert!(surest(&night) >= LEAST_SD_K);
        let tried = held_back(&all).unwrap();
        assert!(tried.error_after < tried.error_before * 0.7, "{tried:?}");
    }
}
