//! Where each plant stands in each of the coming 52 weeks: as good as can be proven, within the room, effort and
//! rules there are. Knows utilities, footprints and rules; not where they come from.

mod alternatives;
mod bound;
mod build;
mod cautions;
mod exposed;
mod load;
mod network;
mod pairs;
mod reasons;
mod repair;
mod solve;
mod weighing;

use std::{collections::BTreeMap, sync::Arc};

use chrono::NaiveDate;
use serde::Serialize;

use crate::base::{Cancelled, Id, Progress};
pub use alternatives::{Alternative, alternatives};
pub use build::{PLAN_WEEKS, PlanInputs, SOLVED_WEEKS, problem};
pub use exposed::Exposed;
pub use solve::solve;

/// What is to be planned. Weeks count from the plan's first day, 0..52.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Problem {
    pub weeks: usize,
    pub spots: Vec<SpotRow>,
    pub plants: Vec<PlantRow>,
    /// Weeks in which nobody moves pots.
    pub absent: Vec<bool>,
}

#[derive(Clone, Debug, PartialEq)]
pub struct SpotRow {
    pub id: Id,
    /// Room, in the unit of the footprints (cm² of rim squared).
    pub capacity: u32,
    /// Whether pots may stand here in each week.
    pub open: Vec<bool>,
}

#[derive(Clone, Debug, PartialEq)]
pub struct PlantRow {
    pub id: Id,
    pub footprint: u32,
    /// Value of a week on each spot, index `spot * weeks + week`; `NEG_INFINITY` where it may not stand
    /// (pot too wide, pinned elsewhere).
    pub value: Vec<f32>,
    /// Where it stands before the first week, as an index into `spots`.
    pub start: Option<usize>,
    /// Cost of moving from spot to spot, index `from * spots + to`, in the unit of `value`.
    pub move_cost: Vec<f32>,
    /// Extra cost of arriving at a spot in a week from another spot, index `(from * spots + to) * weeks + week`:
    /// shock of light, warmth in bud. `INFINITY` forbids it. Empty when there is none.
    pub shock: Vec<f32>,
    pub min_stay_weeks: usize,
    /// Stays that are decided: spot for the week.
    pub pinned: Vec<Option<usize>>,
}

/// A plant stays at a spot for some weeks of the plan.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Stay {
    pub plant: Id,
    pub spot: Id,
    /// First week of the plan, 0..52.
    pub from_week: usize,
    pub weeks: usize,
    pub pinned: bool,
}

#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Solution {
    /// In the order of plants, then weeks.
    pub stays: Vec<Stay>,
    /// Plants for which there is no room in some weeks: plant, first week, weeks.
    pub without_room: Vec<(Id, usize, usize)>,
    /// Value of all stays less moves, shocks and weeks without room.
    pub objective: f64,
    /// No plan can be worth more than this.
    pub upper_bound: f64,
    pub iterations: usize,
    /// The time of the budget ran out before its iterations did: another run may end elsewhere.
    pub cut_short: bool,
    /// What room on each spot is worth at the margin: 0 where there is some to spare. From the bound; where the next
    /// solution starts.
    #[serde(skip)]
    pub prices: BTreeMap<Id, Vec<RoomPrice>>,
}

/// Price of room on a spot: a pot pays its footprint by `divisor`, rounded down, times the week's price.
#[derive(Clone, Debug, PartialEq)]
pub struct RoomPrice {
    pub divisor: u32,
    pub weeks: Vec<f64>,
}

impl Solution {
    /// How far the plan may be from the best there is, as a share of the bound, 0..=1.
    #[must_use]
    pub fn gap(&self) -> f64 {
        if self.upper_bound.abs() < 1e-9 {
            0.0
        } else {
            ((self.upper_bound - self.objective) / self.upper_bound.abs()).max(0.0)
        }
    }
}

#[derive(Debug, thiserror::Error)]
pub enum PlanError {
    #[error("cancelled")]
    Cancelled(#[from] Cancelled),
    #[error(
        "week {week}: the pins put {plants} on {spot}, which has no room for them; take one of the pins away"
    )]
    ClashingPins {
        plants: String,
        spot: Id,
        week: usize,
    },
    #[error(
        "{plant} is pinned to {spot}, where its pot does not fit or which is closed then; take the pin away"
    )]
    PinWithoutPlace { plant: Id, spot: Id, week: usize },
}

/// How much effort a plan is worth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Budget {
    /// Good enough: share of the bound.
    pub gap: f64,
    /// Only a safety stop; the iterations rule, so that plans do not depend on the machine.
    pub seconds: f64,
    /// Of the bound.
    pub max_iterations: usize,
}

impl Default for Budget {
    fn default() -> Self {
        Self {
            gap: 0.001,
            seconds: 30.0,
            max_iterations: 400,
        }
    }
}

/// A move of the plan, with its reason.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Move {
    pub plant: Id,
    /// `None` when it had no place yet.
    pub from: Option<Id>,
    pub to: Id,
    /// Week of the plan, 0..52.
    pub week: usize,
    /// First day of that week on which somebody is there.
    pub date: NaiveDate,
    /// `"frost on the bench 1 year in 4 from here on; the porch scores 81"`.
    pub reason: String,
    /// What to mind: heavy pot, acclimatise, inspect for pests.
    pub cautions: Vec<String>,
}

/// A plan of the coming 52 weeks, with dates and reasons.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Plan {
    /// First day; a plan week is seven days.
    pub from: NaiveDate,
    /// Stays of 52 weeks. Objective and bound are those of the [`SOLVED_WEEKS`] that were solved.
    pub solution: Solution,
    pub moves: Vec<Move>,
    /// When plants have no safe place, and what would help.
    pub exposed: Vec<Exposed>,
    /// What was solved, for [`Plan::alternatives`].
    #[serde(skip)]
    pub problem: Arc<Problem>,
}

/// Plans the year from `inputs.from` on, with dates, reasons and cautions. `warm`: the plan before an edit; it is
/// used when it begins on the same day.
///
/// # Errors
/// [`PlanError`]: pins that cannot be, or cancelled.
pub fn plan(
    inputs: &PlanInputs<'_>,
    warm: Option<&Plan>,
    progress: &Progress,
) -> Result<Plan, PlanError> {
    let problem = problem(inputs);
    progress.check()?;
    let warm = warm.filter(|w| w.from == inputs.from).map(|w| &w.solution);
    let mut solution = solve(&problem, &Budget::default(), warm, progress)?;
    let moves = reasons::moves(inputs, &solution);
    trim(&mut solution);
    tell_pins(inputs, &mut solution);
    let exposed = exposed::of(inputs, &problem, &solution);
    Ok(Plan {
        from: inputs.from,
        solution,
        moves,
        exposed,
        problem: Arc::new(problem),
    })
}

/// Leaves only the stays pinned that the grower pinned: what was recorded is held like a pin but is none.
fn tell_pins(inputs: &PlanInputs<'_>, solution: &mut Solution) {
    for stay in &mut solution.stays {
        let pins = &inputs.site.choices.pins;
        stay.pinned &= (stay.from_week..stay.from_week + stay.weeks).any(|week| {
            let middle = inputs.from + chrono::Days::new(week as u64 * 7 + 3);
            pins.iter().any(|p| {
                p.plant == stay.plant && p.spot == stay.spot && (p.from..=p.to).contains(&middle)
            })
        });
    }
}

/// Cuts what lies beyond the weeks that are shown.
fn trim(solution: &mut Solution) {
    solution.stays.retain(|s| s.from_week < PLAN_WEEKS);
    for stay in &mut solution.stays {
        stay.weeks = stay.weeks.min(PLAN_WEEKS - stay.from_week);
    }
    solution
        .without_room
        .retain(|(_, from, _)| *from < PLAN_WEEKS);
    for (_, from, weeks) in &mut solution.without_room {
        *weeks = (*weeks).min(PLAN_WEEKS - *from);
    }
}

impl Plan {
    /// Whether every plant has a place in every week, and none that harms it.
    #[must_use]
    pub fn is_safe(&self) -> bool {
        self.exposed.is_empty() && self.solution.without_room.is_empty()
    }

    /// Where a plant stands in a week of the plan.
    #[must_use]
    pub fn spot_of(&self, plant: &Id, week: usize) -> Option<&Id> {
        self.solution
            .stays
            .iter()
            .find(|s| s.plant == *plant && (s.from_week..s.from_week + s.weeks).contains(&week))
            .map(|s| &s.spot)
    }

    /// What it would cost the plan to have a plant elsewhere in a week; see [`alternatives`].
    #[must_use]
    pub fn alternatives(&self, plant: &Id, week: usize) -> Vec<Alternative> {
        alternatives(&self.problem, &self.solution, plant, week)
    }

    #[must_use]
    pub fn date_of_week(&self, week: usize) -> NaiveDate {
        self.from + chrono::Days::new(week as u64 * 7)
    }

    /// The calendar week in which a plan week has its middle.
    #[must_use]
    pub fn calendar_week(&self, week: usize) -> crate::base::Week {
        crate::base::Day::of(self.date_of_week(week) + chrono::Days::new(3)).week()
    }
}
