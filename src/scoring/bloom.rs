//! Where a plant should bud and bloom: bright, cool, airy, moist enough, out of plumes and jets, ranked with the reasons.

use serde::Serialize;

use super::{Factor, FactorScore, HazardKind, Score, Scores, why, why::figure};
use crate::{
    base::{Id, Week},
    needs::StageName,
};

/// A place to bud and bloom.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BloomPlace {
    pub spot: Id,
    /// Mean of the weeks of bud and bloom.
    pub points: f64,
    /// Worst of those weeks: a single one can cost the flowers.
    pub worst: f64,
    pub worst_week: Week,
    /// What holds the worst week back.
    pub reason: String,
    /// What is asked of such a place, one by one, in the same order for all.
    pub checks: Vec<BloomCheck>,
}

/// One thing that is asked of a place to bloom.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BloomCheck {
    /// `"bright"`
    pub asked: &'static str,
    /// Whether it is so in all these weeks but a few; `None` where it is not known.
    pub met: Option<bool>,
    /// How it is, in a word or two: `"bright"`, `"too dim"`.
    pub told: &'static str,
    /// `"6.2 mol m⁻² d⁻¹ on average, wants 3.5 to 18"`
    pub figure: String,
}

/// A response from which on a condition counts as met.
const MET: f64 = 0.8;

/// Share of the weeks in which it must be.
const WEEKS_MET: f64 = 0.9;

impl Scores {
    /// Places for a plant's bud and bloom among the spots for which `among` answers true, best first: by the mean
    /// of all its weeks and of its worst week, in equal parts. Empty for what is grown for its leaves.
    #[must_use]
    pub fn bloom_places(&self, plant: &Id, among: impl Fn(&Id) -> bool) -> Vec<BloomPlace> {
        let mut places: Vec<BloomPlace> = self
            .spots
            .iter()
            .filter(|spot| among(spot))
            .filter_map(|spot| place(spot, self.year(plant, spot)?))
            .collect();
        places.sort_by(|a, b| {
            (b.points + b.worst)
                .total_cmp(&(a.points + a.worst))
                .then_with(|| a.spot.cmp(&b.spot))
        });
        places
    }
}

fn place(spot: &Id, year: &[Score]) -> Option<BloomPlace> {
    let weeks: Vec<(Week, &Score, f64)> = Week::all()
        .zip(year)
        .filter(|(_, s)| matches!(s.stage, StageName::Bud | StageName::Bloom))
        .filter_map(|(w, s)| Some((w, s, s.points?)))
        .collect();
    let (worst_week, score, worst) = *weeks.iter().min_by(|a, b| a.2.total_cmp(&b.2))?;
    let scores: Vec<&Score> = weeks.iter().map(|(_, s, _)| *s).collect();
    Some(BloomPlace {
        spot: spot.clone(),
        points: weeks.iter().map(|(.., p)| p).sum::<f64>() / weeks.len() as f64,
        worst,
        worst_week,
        reason: why(score),
        checks: checks(&scores),
    })
}

fn checks(weeks: &[&Score]) -> Vec<BloomCheck> {
    let mut all = vec![
        condition("bright", ("too dim", "too bright"), Factor::Light, weeks),
        condition(
            "cool nights",
            ("cold nights", "warm nights"),
            Factor::NightWarmth,
            weeks,
        ),
        condition(
            "cool days",
            ("cold days", "warm days"),
            Factor::DayWarmth,
            weeks,
        ),
        condition(
            "airy",
            ("still air", "draughty"),
            Factor::AirMovement,
            weeks,
        ),
        condition(
            "moist air",
            ("dry air", "damp air"),
            Factor::Humidity,
            weeks,
        ),
    ];
    for (asked, unless, kind) in [
        (
            "no heater's plume",
            "in a heater's plume",
            HazardKind::HeaterPlume,
        ),
        ("no vent's jet", "in a vent's jet", HazardKind::VentJet),
        ("no frost", "frost on buds", HazardKind::BudFrost),
        ("no heat on buds", "heat on buds", HazardKind::BudHeat),
    ] {
        let struck = weeks.iter().filter_map(|s| s.hazard(kind));
        let worst =
            struck.max_by(|a, b| (a.chance * a.severity).total_cmp(&(b.chance * b.severity)));
        let spared = worst.is_none_or(|h| h.chance * h.severity < 0.02);
        all.push(BloomCheck {
            asked,
            met: Some(spared),
            told: if spared { asked } else { unless },
            figure: worst.map_or_else(
                || "none".to_owned(),
                |h| format!("{:.1} {} at worst", h.met, kind.unit()),
            ),
        });
    }
    all
}

/// A condition over the weeks in which it counts.
fn condition(
    asked: &'static str,
    (too_low, too_high): (&'static str, &'static str),
    factor: Factor,
    weeks: &[&Score],
) -> BloomCheck {
    let found: Vec<FactorScore> = weeks.iter().filter_map(|s| s.factor(factor)).collect();
    let known: Vec<(f64, f64)> = found
        .iter()
        .filter_map(|f| Some((f.value?, f.response?)))
        .collect();
    let n = known.len() as f64;
    let (Some(first), false) = (found.first(), known.is_empty()) else {
        return BloomCheck {
            asked,
            met: found.is_empty().then_some(true),
            told: asked,
            figure: if found.is_empty() {
                "does not matter".to_owned()
            } else {
                "not known".to_owned()
            },
        };
    };
    let mean = known.iter().map(|(v, _)| v).sum::<f64>() / n;
    let well = known.iter().filter(|(_, r)| *r >= MET).count() as f64;
    let met = well >= WEEKS_MET * n;
    // Weeks in which it is not met decide how it fails.
    let low_weeks = found
        .iter()
        .filter(|f| f.response.is_some_and(|r| r < MET))
        .filter(|f| f.value.is_some_and(|v| v < f.band.ideal_low()))
        .count() as f64;
    // Ranges of bud and of bloom, both.
    let (low, high) = found.iter().fold(
        (first.band.ideal_low(), first.band.ideal_high()),
        |(l, h), f| (l.min(f.band.ideal_low()), h.max(f.band.ideal_high())),
    );
    BloomCheck {
        asked,
        met: Some(met),
        told: if met {
            asked
        } else if low_weeks * 2.0 >= n - well {
            too_low
        } else {
            too_high
        },
        figure: format!(
            "{} {} on average, wants {} to {}",
            figure(factor, mean),
            factor.unit(),
            figure(factor, low),
            figure(factor, high)
        ),
    }
}
