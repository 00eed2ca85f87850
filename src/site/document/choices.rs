use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::base::Id;

/// A stay that the grower has decided.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pin {
    pub plant: Id,
    pub spot: Id,
    /// First day.
    pub from: NaiveDate,
    /// Last day.
    pub to: NaiveDate,
}

/// Days on which nobody is there to move pots.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Absence {
    pub from: NaiveDate,
    pub to: NaiveDate,
}

/// What the grower has decided about the plan.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Choices {
    /// The plan's first day; today if `None`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub plan_from: Option<NaiveDate>,
    pub pins: Vec<Pin>,
    pub absences: Vec<Absence>,
    /// How much a move is disliked: 1 as usual, 0 not at all, 3 very much.
    pub move_dislike: f64,
    /// Shortest stay worth a move, weeks, 1..=12.
    pub shortest_stay_weeks: u32,
    /// Heaviest pot that one person moves here, kg; heavier ones are flagged for two people or a trolley.
    pub lift_limit_kg: f64,
}

impl Default for Choices {
    fn default() -> Self {
        Self {
            plan_from: None,
            pins: Vec::new(),
            absences: Vec::new(),
            move_dislike: 1.0,
            shortest_stay_weeks: 3,
            lift_limit_kg: 20.0,
        }
    }
}
