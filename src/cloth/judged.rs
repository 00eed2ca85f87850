//! In which months light is wrong for a plant, without a cloth and under one.

use super::{PlantWanted, Trial, words::months_where};
use crate::{
    base::Months,
    scoring::{Factor, response},
};

/// Below this response light is a fault worth naming; below the second it is a grave one.
const FAULT: f64 = 0.9;
const GRAVE: f64 = 0.6;
/// Too little light that takes this share of the response, over the months that count, makes a spot too dark.
const DARK_SHARE: f64 = 0.15;
/// A month in which the densest cloth leaves more than this share of a clear noon's light has the sun under its edge.
const UNDER_EDGE: f64 = 0.5;

/// Months in which light is wrong for any of the plants.
#[derive(Clone, Copy)]
pub(super) struct Light {
    pub bright: Months,
    pub gravely_bright: Months,
    pub dark: Months,
    /// Share of the response that darkness takes, mean of the months that count.
    dark_share: f64,
}

impl Light {
    /// Nothing wrong.
    pub const FINE: Self = Self {
        bright: Months::NONE,
        gravely_bright: Months::NONE,
        dark: Months::NONE,
        dark_share: 0.0,
    };

    /// Whether a spot is too dark, taken over the year.
    pub fn too_dark(&self) -> bool {
        self.dark_share >= DARK_SHARE
    }

    /// As it is through the year with the trial's cloth up in its months.
    pub fn of(trial: &Trial, none: &Trial, wanted: &[PlantWanted]) -> Self {
        let worst = |m: usize, judge: &dyn Fn(f64, f64, &PlantWanted) -> f64| {
            let from = if trial.months.has(m) { trial } else { none };
            wanted
                .iter()
                .zip(&from.plants)
                .filter_map(|(w, p)| {
                    let month = p.months.get(m)?;
                    w.months.get(m).filter(|x| x.counts)?;
                    Some(judge(month.dli_mol_m2_d?, month.peak_ppfd_umol_m2_s?, w))
                })
                .fold(1.0, f64::min)
        };
        let bright = |m: usize| {
            worst(m, &|dli, peak, w| {
                w.months.get(m).map_or(1.0, |x| {
                    let band = x.dli_mol_m2_d;
                    let of_day = if dli > band.ideal_high() {
                        response(Factor::Light, band, dli)
                    } else {
                        1.0
                    };
                    of_day.min(response(Factor::PeakLight, x.peak_ppfd_umol_m2_s, peak))
                })
            })
        };
        let dark = |m: usize| {
            worst(m, &|dli, _, w| {
                w.months.get(m).map_or(1.0, |x| {
                    let band = x.dli_mol_m2_d;
                    if dli < band.ideal_low() {
                        response(Factor::Light, band, dli)
                    } else {
                        1.0
                    }
                })
            })
        };
        let counts: Vec<usize> = (0..12)
            .filter(|m| {
                wanted
                    .iter()
                    .any(|w| w.months.get(*m).is_some_and(|x| x.counts))
            })
            .collect();
        let taken: f64 = counts.iter().map(|m| 1.0 - dark(*m)).sum();
        Self {
            dark_share: taken / counts.len().max(1) as f64,
            bright: months_where(|m| bright(m) < FAULT),
            gravely_bright: months_where(|m| bright(m) < GRAVE),
            dark: months_where(|m| dark(m) < FAULT),
        }
    }
}

/// Months in which even the densest cloth leaves much of a clear noon's light.
pub(super) fn edge_months(densest: &Trial, none: &Trial) -> Months {
    let peak = |t: &Trial, m: usize| t.plants.first()?.months.get(m)?.peak_ppfd_umol_m2_s;
    months_where(|m| {
        peak(densest, m)
            .zip(peak(none, m))
            .is_some_and(|(under, open)| under > UNDER_EDGE * open)
    })
}
