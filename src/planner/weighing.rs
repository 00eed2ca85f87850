//! What a week, a risk, a move and a shock weigh against one another.
//!
//! Unit: the score-week, a week at 100 points for a plant of worth 1. All weights here are our choice, shown as
//! such; what they are chosen to bring about stands beside each.

use crate::{
    needs::{Kind, StageName},
    scoring::{HazardKind, Score, SpotWeek},
    site::{Plant, Reach, Spot},
};

/// Points of a week of which too little is known: low enough that a known place that copes is preferred.
pub(super) const UNKNOWN_POINTS: f64 = 25.0;

/// Good weeks that a strike of a hazard costs beyond what the week's score already says. A frosted plant is set back
/// for a season, and growers are right to fear that more than the mean: at these figures a leaf frost that takes
/// half a plant one year in thirty in that week is worth ten points more elsewhere.
fn weeks_lost(hazard: HazardKind) -> f64 {
    match hazard {
        HazardKind::LeafFrost | HazardKind::RootFrost => 6.0,
        HazardKind::BudFrost => 5.0,
        HazardKind::Scorch | HazardKind::RootHeat => 1.0,
        HazardKind::BudHeat | HazardKind::HeaterPlume | HazardKind::VentJet => 0.5,
    }
}

/// Expected loss by hazards beyond the mean score, score-weeks for a plant of worth 1.
pub(super) fn risk_premium(score: &Score) -> f64 {
    score
        .hazards
        .iter()
        .map(|h| h.chance * h.severity * weeks_lost(h.kind))
        .sum()
}

/// Effort of carrying a pot from one spot to another, score-weeks, at a dislike of 1: 0.6 to 1.5 as a rule, so that
/// a move pays when it gains 20 points for three to seven weeks.
pub(super) fn effort(
    plant: &Plant,
    from: &Spot,
    to: &Spot,
    climb_m: f64,
    lift_limit_kg: f64,
) -> f64 {
    let weight = plant.weight_kg.max(0.0);
    let heavy = if weight > lift_limit_kg {
        0.4 + 0.02 * (weight - lift_limit_kg)
    } else {
        0.0
    };
    let reach = |spot: &Spot| match spot.reach {
        Reach::Easy => 0.0,
        Reach::Awkward => 0.1,
        Reach::Stairs => 0.3 + 0.01 * weight,
        Reach::Overhead => 0.3 + 0.02 * weight,
    };
    let distance = from.middle().distance(to.middle());
    let climb = if climb_m.abs() > 1.0 {
        0.05 * climb_m.abs()
    } else {
        0.0
    };
    0.5 + 0.015 * weight.min(60.0)
        + heavy
        + reach(from)
        + reach(to)
        + 0.01 * distance.min(60.0)
        + climb
}

/// What the plant itself suffers by a change of place, whoever carries it.
pub(super) fn upset(kind: &Kind, worth: f64) -> f64 {
    0.3 * worth * kind.change_sensitivity.value.clamp(0.0, 1.0)
}

/// DLI as the kind counts it.
pub(super) fn dli(kind: &Kind, week: &SpotWeek) -> Option<f64> {
    match kind.light_form {
        crate::needs::LightForm::Spreading => week.dli,
        crate::needs::LightForm::Upright => week.upright_dli.or(week.dli),
    }
}

/// How many times brighter a place is than another in the same week. Below 0.5 mol a day all is dark.
pub(super) fn brighter(kind: &Kind, from: &SpotWeek, to: &SpotWeek) -> Option<f64> {
    Some(dli(kind, to)?.max(0.5) / dli(kind, from)?.max(0.5))
}

/// Harm of a sudden change, score-weeks: more light than leaves stand, much less light, another night, a move in
/// bud or bloom.
///
/// Steep but never forbidden: where a step between is to be had, going by it costs one move more and is chosen; where
/// there is none (or it is full when all go out in May), the grower hardens the plant by hand, and the move says so.
/// To forbid would leave plants indoors all summer for want of a porch, or in the frost because they are in bud.
pub(super) fn shock(
    kind: &Kind,
    (stage, progress): (StageName, f64),
    ideal_dli_low: f64,
    worth: f64,
    from: &SpotWeek,
    to: &SpotWeek,
) -> f64 {
    let sensitivity = kind.change_sensitivity.value.clamp(0.0, 1.0);
    let mut shock = 0.0;
    if let (Some(ratio), Some(there)) = (brighter(kind, from, to), dli(kind, to)) {
        let step = kind.brighter_step.value.max(1.1);
        if ratio > step {
            // Not where it stays dim: below half of the wanted light no leaf burns.
            let bright = ((there / ideal_dli_low.max(1.0) - 0.5) / 0.5).clamp(0.0, 1.0);
            shock += bright * (1.2 * (ratio / step).log2()).min(4.0);
        } else if ratio < 0.4 {
            shock += sensitivity * (0.4 * (0.4 / ratio).log2()).min(1.0);
        }
    }
    // A spike that has just shown its tip stands a move as a leaf does; buds that swell do not (common practice).
    let tender = (0.2 + 1.6 * progress).min(1.0);
    shock += sensitivity
        * match stage {
            StageName::Bud => 1.5 * tender,
            StageName::Bloom => 0.7,
            StageName::Initiation => 0.2,
            StageName::Growth | StageName::AfterBloom | StageName::Rest => 0.0,
        };
    if stage == StageName::Bud
        && let (Some(a), Some(b)) = (&from.air, &to.air)
    {
        let step_k = (b.night_c - a.night_c).abs();
        // Buds drop after a step of more than about 6 K (common practice): then only to escape worse.
        shock += tender * (((step_k - 3.0).max(0.0) * 0.3) + if step_k > 6.0 { 3.0 } else { 0.0 });
    }
    shock * worth
}
