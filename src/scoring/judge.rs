//! Holds what a spot offers against what a kind wants, stage by stage.

use std::sync::Arc;

use super::{
    Factor, Hazard, Limiting, Score, SpotWeek,
    hazard::{self, Cold, Moment},
    offer::Offer,
    rules::rules,
    tally::{Spread, Tally},
    wants::{ByFactor, FACTORS, Wants},
    week::TENTH_SDS,
};
use crate::{
    base::{Hemisphere, Week},
    needs::{Kind, StageName},
    stages::StageCalendar,
};

/// Less than this many points lost is nothing to name.
const NAMEABLE_POINTS: f64 = 1.0;
/// Nor is a share of the score that is left above this, where faults hide each other's gain.
const NAMEABLE_LEFT: f64 = 0.97;

/// Score of a kind on a spot in a week of the calendar year, by the kind's own dates.
#[must_use]
pub fn score(kind: &Kind, hemisphere: Hemisphere, week: Week, offered: &SpotWeek) -> Score {
    score_by(
        kind,
        &StageCalendar::of_kind(kind, hemisphere),
        week,
        offered,
    )
}

/// Score of a plant of a kind on a spot in a week of the calendar year, by the plant's own calendar.
#[must_use]
pub fn score_by(kind: &Kind, calendar: &StageCalendar, week: Week, offered: &SpotWeek) -> Score {
    let Some((index, stage)) = calendar.stage_in(kind, week) else {
        return nothing_known();
    };
    let moment = Moment::of(kind, calendar, week, index);
    judged(
        kind,
        &moment,
        &Arc::new(Wants::of(&stage.needs)),
        &Offer::of(offered),
    )
}

/// A kind and calendar made ready for many spots.
pub(super) struct Judge<'k> {
    kind: &'k Kind,
    /// By week of the calendar year.
    weeks: Vec<Option<(Moment, Arc<Wants>)>>,
}

impl<'k> Judge<'k> {
    pub fn of(kind: &'k Kind, calendar: &StageCalendar) -> Self {
        let wants: Vec<Arc<Wants>> = kind
            .stages
            .iter()
            .map(|stage| Arc::new(Wants::of(&stage.needs)))
            .collect();
        let weeks = Week::all()
            .map(|week| {
                let index = calendar.index_in(week)?;
                let wants = wants.get(index)?.clone();
                Some((Moment::of(kind, calendar, week, index), wants))
            })
            .collect();
        Self { kind, weeks }
    }

    pub fn score(&self, week: Week, offer: &Offer<'_>) -> Score {
        match self.weeks.get(week.index()) {
            Some(Some((moment, wants))) => judged(self.kind, moment, wants, offer),
            _ => nothing_known(),
        }
    }
}

/// Of a kind without stages.
fn nothing_known() -> Score {
    Score {
        points: None,
        band: (0.0, 100.0),
        stage: StageName::Growth,
        limiting: Limiting::Unknown,
        wants: Arc::new(Wants::nothing()),
        met: [f64::NAN; FACTORS],
        hazards: Vec::new(),
    }
}

fn judged(kind: &Kind, moment: &Moment, wants: &Arc<Wants>, offer: &Offer<'_>) -> Score {
    let met = offer.met(kind.light_form);
    let responses = wants.responses(&met);
    let tally = Tally::of(&wants.weights, &responses);
    let cold = hazard::in_the_cold(kind, moment, offer);
    let mut hazards = Vec::new();
    hazard::frosts(&cold, &mut hazards);
    let frosts = hazards.len();
    hazard::others(kind, moment, offer, &mut hazards);

    let all_well = tally.points();
    let left_by = |some: &[Hazard]| -> f64 { some.iter().map(Hazard::left).product() };
    let (by_frost, by_others) = hazards.split_at(frosts);
    let left_by_others = left_by(by_others);
    let safe = left_by(by_frost) * left_by_others;
    let points = all_well * safe;
    let known = tally.known_share() >= rules().responses.known_enough.value;
    let (band, limiting) = if known {
        let mut band = Spread::around(points);
        // Where dangers take everything, no condition makes it better.
        if safe > 0.0 {
            by_conditions(&mut band, wants, &met, &responses, offer, |at, response| {
                tally.points_with(at, response) * safe
            });
        }
        by_nights(&mut band, offer, &cold, all_well * left_by_others);
        (band.range(), limiting(&tally, &hazards, points, safe))
    } else {
        ((0.0, 100.0), Limiting::Unknown)
    };
    Score {
        points: known.then_some(points),
        band,
        stage: moment.stage,
        limiting,
        wants: wants.clone(),
        met,
        hazards,
    }
}

/// Spreads a band by what is uncertain of each condition. Of an unknown one, the worst and the best are taken.
fn by_conditions(
    band: &mut Spread,
    wants: &Wants,
    met: &ByFactor,
    responses: &ByFactor,
    offer: &Offer<'_>,
    points_with: impl Fn(usize, f64) -> f64,
) {
    for (at, factor) in Factor::ALL.into_iter().enumerate() {
        if wants.weights[at] <= 0.0 {
            continue;
        }
        let here = responses[at];
        let unknown = here.is_nan();
        let (low, high) = if unknown {
            (0.0, 1.0)
        } else {
            match offer.tenths(factor, met[at]) {
                Some((low, high)) => (wants.response(at, low), wants.response(at, high)),
                None => continue,
            }
        };
        // The points rise with the response, so the outermost say it all.
        let (least, most) = (low.min(high), low.max(high));
        if unknown || least < here {
            band.reach(points_with(at, least));
        }
        if unknown || most > here {
            band.reach(points_with(at, most));
        }
        band.close();
    }
}

/// Spreads a band by how far the nights may be out, `without` being the points but for frost.
fn by_nights(band: &mut Spread, offer: &Offer<'_>, cold: &[Option<Cold<'_>>], without: f64) {
    let sd_k = offer.week.night_sd_k;
    if sd_k > 0.0 && cold.iter().any(Option::is_some) {
        for colder_k in [-TENTH_SDS * sd_k, TENTH_SDS * sd_k] {
            band.reach(without * hazard::left_by_frosts(cold, colder_k));
        }
        band.close();
    }
}

/// What, if mended, would gain most; where several faults hide each other's gain, the worst of them.
fn limiting(tally: &Tally, hazards: &[Hazard], points: f64, safe: f64) -> Limiting {
    let mut best = (NAMEABLE_POINTS, Limiting::Nothing);
    if safe > 0.0 {
        for at in tally.worth_mending() {
            let gain = tally.points_with(at, 1.0) * safe - points;
            if gain > best.0 {
                best = (gain, Limiting::Factor(Factor::ALL[at]));
            }
        }
    }
    for hazard in hazards {
        let left = hazard.left();
        let gain = if left > 1e-9 {
            points / left - points
        } else {
            let rest: f64 = hazards
                .iter()
                .filter(|h| h.kind != hazard.kind)
                .map(Hazard::left)
                .product();
            tally.points() * rest - points
        };
        if gain > best.0 {
            best = (gain, Limiting::Hazard(hazard.kind));
        }
    }
    if best.1 == Limiting::Nothing {
        worst(tally, hazards)
    } else {
        best.1
    }
}

/// What leaves least of the score, if that is worth naming.
fn worst(tally: &Tally, hazards: &[Hazard]) -> Limiting {
    let factors = Factor::ALL
        .into_iter()
        .enumerate()
        .map(|(at, factor)| (tally.left(at), Limiting::Factor(factor)));
    let dangers = hazards.iter().map(|h| (h.left(), Limiting::Hazard(h.kind)));
    let mut worst = (NAMEABLE_LEFT, Limiting::Nothing);
    for (left, what) in factors.chain(dangers) {
        if left < worst.0 {
            worst = (left, what);
        }
    }
    worst.1
}
