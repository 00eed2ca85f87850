//! What to do in a week: moves, water, feed, repotting, checks.

use chrono::NaiveDate;
use serde::Serialize;

use crate::base::Id;

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum TaskKind {
    Move,
    Water,
    Feed,
    Repot,
    Stake,
    Check,
    Cloth,
}

/// One thing to do in a week of the plan.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Task {
    pub kind: TaskKind,
    /// Week of the plan, 0..52.
    pub week: usize,
    pub date: NaiveDate,
    /// `None` when it concerns the whole site.
    pub plant: Option<Id>,
    /// `"Water every 5 days; check from day 4"`.
    pub what: String,
    /// Figures and sources behind it.
    pub why: String,
    pub caution: Option<String>,
}
