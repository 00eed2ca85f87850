//! From the site and its scores to a problem that can be solved.

use std::collections::BTreeMap;

use chrono::{Days, NaiveDate};

use super::{PlantRow, Problem, SpotRow, weighing};
use crate::{
    base::{Day, Id, Week},
    needs::{Kind, StageName},
    scoring::{Scores, SpotWeek},
    site::{Plant, RoomAir, Site, Spot},
};

/// Weeks that a plan shows.
pub const PLAN_WEEKS: usize = 52;

/// Weeks that are solved: two months more, so that the last weeks shown are not planned as if the world ended then.
pub const SOLVED_WEEKS: usize = 60;

/// Points that a plant in bloom is worth more in a room where people sit, if its grower wants it there.
const SHOW_BONUS: f64 = 0.15;

/// All that a plan is made from.
#[derive(Clone)]
pub struct PlanInputs<'a> {
    pub site: &'a Site,
    pub scores: &'a Scores,
    /// What each spot offers in each of 52 calendar weeks.
    pub spot_weeks: BTreeMap<Id, &'a [SpotWeek]>,
    /// The plan's first day.
    pub from: NaiveDate,
}

impl PlanInputs<'_> {
    /// The calendar week that holds the middle of a week of the plan.
    pub(super) fn calendar_week(&self, week: usize) -> Week {
        Day::of(self.middle(week)).week()
    }

    fn middle(&self, week: usize) -> NaiveDate {
        self.from + Days::new(week as u64 * 7 + 3)
    }

    pub(super) fn offered(&self, spot: &Id, week: Week) -> Option<&SpotWeek> {
        self.spot_weeks.get(spot)?.get(week.index())
    }

    pub(super) fn stage(&self, plant: &Id, kind: &Kind, week: Week) -> StageName {
        self.scores
            .stage(plant, kind, week)
            .map_or(StageName::Growth, |(_, s)| s.stage)
    }
}

/// The problem of a site's coming year. A plant's values are points/100 times its worth, less what its risks cost
/// beyond the mean score; costs are those of `weighing`.
#[must_use]
pub fn problem(inputs: &PlanInputs<'_>) -> Problem {
    let site = inputs.site;
    let spots: Vec<(&Id, &Spot)> = site.spots.iter().map(|(id, s)| (id, &**s)).collect();
    let weeks: Vec<Week> = (0..SOLVED_WEEKS).map(|t| inputs.calendar_week(t)).collect();
    let mut problem = Problem {
        weeks: SOLVED_WEEKS,
        spots: spots
            .iter()
            .map(|(id, spot)| SpotRow {
                id: (*id).clone(),
                capacity: room(spot),
                open: weeks.iter().map(|w| spot.months.has(w.month0())).collect(),
            })
            .collect(),
        plants: site
            .plants
            .iter()
            .map(|(id, plant)| row(inputs, &spots, &weeks, id, plant))
            .collect(),
        absent: (0..SOLVED_WEEKS)
            .map(|t| {
                let middle = inputs.middle(t);
                site.choices
                    .absences
                    .iter()
                    .any(|a| (a.from..=a.to).contains(&middle))
            })
            .collect(),
    };
    keep_what_was_done(inputs, &mut problem);
    problem
}

/// Weeks up to a plant's last recorded move are as the journal tells them, as far as that is possible: what is closed,
/// too narrow or full there by the site's own figures is left to the plan.
fn keep_what_was_done(inputs: &PlanInputs<'_>, problem: &mut Problem) {
    let weeks = problem.weeks;
    for t in 0..weeks {
        let evening = inputs.from + Days::new(t as u64 * 7 + 6);
        let mut room: Vec<u32> = problem.spots.iter().map(|s| s.capacity).collect();
        for row in &problem.plants {
            if let Some(s) = row.pinned.get(t).copied().flatten()
                && let Some(room) = room.get_mut(s)
            {
                *room = room.saturating_sub(row.footprint);
            }
        }
        for row in &mut problem.plants {
            let begins = inputs.from + Days::new(t as u64 * 7);
            let moves = inputs.site.recorded_moves(&row.id);
            let told = moves
                .last()
                .is_some_and(|(date, ..)| *date > inputs.from && *date >= begins);
            let pin = row.pinned.get_mut(t).filter(|pin| told && pin.is_none());
            let stood = inputs.site.stood_on(&row.id, evening);
            let (Some(pin), Some(stood)) = (pin, stood) else {
                continue;
            };
            let Some(s) = problem.spots.iter().position(|spot| spot.id == *stood) else {
                continue;
            };
            let open = problem.spots[s].open.get(t).copied().unwrap_or(false);
            let stands = row.value.get(s * weeks + t).is_some_and(|v| v.is_finite());
            if open && stands && row.footprint <= room[s] {
                room[s] -= row.footprint;
                *pin = Some(s);
            }
        }
    }
}

/// Where a plant stands as the plan begins.
pub(super) fn start<'a>(inputs: &PlanInputs<'a>, id: &Id, plant: &'a Plant) -> Option<&'a Id> {
    let moved_since = inputs
        .site
        .recorded_moves(id)
        .iter()
        .any(|(date, ..)| *date > inputs.from);
    if moved_since {
        inputs.site.stood_on(id, inputs.from)
    } else {
        plant.stands.as_ref()
    }
}

fn room(spot: &Spot) -> u32 {
    let each = (spot.holds.rim_cm * spot.holds.rim_cm)
        .round()
        .clamp(0.0, 1e6);
    (each * f64::from(spot.holds.pots.min(500))) as u32
}

fn row(
    inputs: &PlanInputs<'_>,
    spots: &[(&Id, &Spot)],
    weeks: &[Week],
    id: &Id,
    plant: &Plant,
) -> PlantRow {
    let site = inputs.site;
    let kind = site.kind(&plant.kind);
    let worth = plant.worth.clamp(0.1, 10.0);
    let index = |spot: &Id| spots.iter().position(|(s, _)| *s == spot);
    let n = spots.len();

    let mut value = Vec::with_capacity(n * weeks.len());
    for (spot_id, spot) in spots {
        let sociable = spot
            .room
            .as_ref()
            .and_then(|r| site.rooms.get(r))
            .is_some_and(|r| matches!(r.air, RoomAir::Heated { .. }));
        for week in weeks {
            if spot.holds.misfit(&plant.pot).is_some() {
                value.push(f32::NEG_INFINITY);
                continue;
            }
            let mut v = inputs.scores.get(id, spot_id, *week).map_or(
                weighing::UNKNOWN_POINTS / 100.0,
                |score| {
                    score.points.unwrap_or(weighing::UNKNOWN_POINTS) / 100.0
                        - weighing::risk_premium(score)
                },
            );
            let blooms = kind.is_some_and(|k| inputs.stage(id, k, *week) == StageName::Bloom);
            if plant.show_in_bloom && blooms && sociable {
                v += SHOW_BONUS;
            }
            value.push((v * worth) as f32);
        }
    }

    let dislike = site.choices.move_dislike.clamp(0.0, 10.0);
    let mut move_cost = Vec::with_capacity(n * n);
    for (_, from) in spots {
        for (_, to) in spots {
            let climb = site.spot_height_m(to) - site.spot_height_m(from);
            let effort = weighing::effort(plant, from, to, climb, site.choices.lift_limit_kg);
            let upset = kind.map_or(0.1 * worth, |k| weighing::upset(k, worth));
            // Never quite nothing: of two equal plans the one with fewer moves is better.
            move_cost.push((dislike * effort + upset).max(0.002) as f32);
        }
    }

    PlantRow {
        id: id.clone(),
        footprint: (plant.pot.footprint_cm2().round().clamp(1.0, 1e6)) as u32,
        value,
        start: start(inputs, id, plant).and_then(index),
        move_cost,
        shock: kind.map_or_else(Vec::new, |k| shocks(inputs, spots, weeks, (id, k), worth)),
        min_stay_weeks: site.choices.shortest_stay_weeks.clamp(1, 12) as usize,
        pinned: (0..weeks.len())
            .map(|t| {
                let middle = inputs.middle(t);
                let pins = &site.choices.pins;
                // A later pin stands over an earlier one.
                pins.iter()
                    .rev()
                    .find(|p| p.plant == *id && (p.from..=p.to).contains(&middle))
                    .and_then(|p| index(&p.spot))
            })
            .collect(),
    }
}

fn shocks(
    inputs: &PlanInputs<'_>,
    spots: &[(&Id, &Spot)],
    weeks: &[Week],
    (id, kind): (&Id, &Kind),
    worth: f64,
) -> Vec<f32> {
    let calendar = inputs.scores.calendar(id);
    let stages: Vec<(StageName, f64, f64)> = weeks
        .iter()
        .map(|w| {
            let progress = calendar.map_or(0.0, |c| c.progress_in(*w));
            calendar
                .and_then(|c| c.stage_in(kind, *w))
                .map_or((StageName::Growth, 0.0, 1.0), |(_, s)| {
                    (s.stage, progress, s.needs.dli.value.ideal_low())
                })
        })
        .collect();
    let mut shocks = Vec::with_capacity(spots.len() * spots.len() * weeks.len());
    for (from, _) in spots {
        for (to, _) in spots {
            for (week, (stage, progress, dli_low)) in weeks.iter().zip(&stages) {
                let shock = match (inputs.offered(from, *week), inputs.offered(to, *week)) {
                    (Some(a), Some(b)) if from != to => {
                        weighing::shock(kind, (*stage, *progress), *dli_low, worth, a, b)
                    }
                    _ => 0.0,
                };
                shocks.push(shock as f32);
            }
        }
    }
    shocks
}
