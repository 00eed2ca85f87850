//! Holds what a spot offers against what a kind wants, stage by stage.

use std::sync::Arc;

use super::{
    Factor, Hazard, Limiting, Score, SpotWeek,
    factor::Wanted,
    hazard::{self, Moment},
    offer::Offer,
    rules::rules,
    tally::{Spread, Tally},
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
        &Wanted::all_of(&stage.needs),
        &Offer::of(offered),
    )
}

/// A kind and calendar made ready for many spots.
pub(super) struct Judge<'k> {
    kind: &'k Kind,
    /// By week of the calendar year.
    weeks: Vec<Option<(Moment, Arc<[Wanted]>)>>,
}

impl<'k> Judge<'k> {
    pub fn of(kind: &'k Kind, calendar: &StageCalendar) -> Self {
        let wanted: Vec<Arc<[Wanted]>> = kind
            .stages
            .iter()
            .map(|stage| Wanted::all_of(&stage.needs))
            .collect();
        let weeks = Week::all()
            .map(|week| {
                let index = calendar.index_in(week)?;
                let wanted = wanted.get(index)?.clone();
                Some((Moment::of(kind, calendar, week, index), wanted))
            })
            .collect();
        Self { kind, weeks }
    }

    pub fn score(&self, week: Week, offer: &Offer<'_>) -> Score {
        match self.weeks.get(week.index()) {
            Some(Some((moment, wanted))) => judged(self.kind, moment, wanted, offer),
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
        wanted: Arc::new([]),
        met: [f64::NAN; Factor::ALL.len()],
        hazards: Vec::new(),
    }
}

fn judged(kind: &Kind, moment: &Moment, wanted: &Arc<[Wanted]>, offer: &Offer<'_>) -> Score {
    let mut met = [f64::NAN; Factor::ALL.len()];
    let mut tally = Tally::new();
    for (met, wanted) in met.iter_mut().zip(wanted.iter()) {
        *met = offer.met(wanted.factor, kind.light_form);
        tally.add(wanted.weight, wanted.response(*met));
    }
    let mut hazards = Vec::new();
    hazard::frosts(kind, moment, offer, &mut hazards);
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
        let band = band(
            kind,
            moment,
            wanted,
            &met,
            offer,
            &tally,
            [points, all_well, safe, left_by_others],
        );
        (band, limiting(&tally, wanted, &hazards, points, safe))
    } else {
        ((0.0, 100.0), Limiting::Unknown)
    };
    Score {
        points: known.then_some(points),
        band,
        stage: moment.stage,
        limiting,
        wanted: wanted.clone(),
        met,
        hazards,
    }
}

/// 10 and 90 % points of the score by what is uncertain. Of an unknown condition, the worst and the best are taken.
fn band(
    kind: &Kind,
    moment: &Moment,
    wanted: &[Wanted],
    met: &[f64],
    offer: &Offer<'_>,
    tally: &Tally,
    [points, all_well, safe, left_by_others]: [f64; 4],
) -> (f64, f64) {
    let mut band = Spread::around(points);
    // Where dangers take everything, no condition makes it better.
    let told = if safe > 0.0 { wanted } else { &[] };
    for (at, (wanted, met)) in told.iter().zip(met).enumerate() {
        let here = wanted.response(*met);
        let ends = match here {
            None => (Some(0.0), Some(1.0)),
            Some(_) => match offer.tenths(wanted.factor, *met) {
                Some((low, high)) => (wanted.response(low), wanted.response(high)),
                None => continue,
            },
        };
        for response in [ends.0, ends.1].into_iter().flatten() {
            if here != Some(response) {
                band.reach(tally.points_with(at, response) * safe);
            }
        }
        band.close();
    }
    let sd_k = offer.week.night_sd_k;
    if sd_k > 0.0 {
        for shift_k in [-TENTH_SDS * sd_k, TENTH_SDS * sd_k] {
            let left = hazard::left_by_frosts(kind, moment, offer, shift_k);
            band.reach(all_well * left * left_by_others);
        }
        band.close();
    }
    band.range()
}

/// What, if mended, would gain most; where several faults hide each other's gain, the worst of them.
fn limiting(
    tally: &Tally,
    wanted: &[Wanted],
    hazards: &[Hazard],
    points: f64,
    safe: f64,
) -> Limiting {
    let mut best = (NAMEABLE_POINTS, Limiting::Nothing);
    if safe > 0.0 {
        for (i, wanted) in wanted.iter().enumerate() {
            if tally.log_left(i).is_none_or(|log| log >= 0.0) {
                continue;
            }
            let gain = tally.points_with(i, 1.0) * safe - points;
            if gain > best.0 {
                best = (gain, Limiting::Factor(wanted.factor));
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
        worst(tally, wanted, hazards)
    } else {
        best.1
    }
}

/// What leaves least of the score, if that is worth naming.
fn worst(tally: &Tally, wanted: &[Wanted], hazards: &[Hazard]) -> Limiting {
    let factors = wanted
        .iter()
        .enumerate()
        .filter_map(|(i, wanted)| Some((tally.log_left(i)?, Limiting::Factor(wanted.factor))));
    let dangers = hazards
        .iter()
        .map(|h| (h.left().ln(), Limiting::Hazard(h.kind)));
    let mut worst = (NAMEABLE_LEFT.ln(), Limiting::Nothing);
    for (log_left, what) in factors.chain(dangers) {
        if log_left < worst.0 {
            worst = (log_left, what);
        }
    }
    worst.1
}
