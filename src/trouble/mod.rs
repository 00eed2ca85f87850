//! What went wrong: causes of a symptom, ranked by this plant's own year.

use serde::Serialize;

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Symptom {
    NoFlowers,
    BudsDrop,
    LeavesScorched,
    LeavesDark,
    LeavesYellow,
    BrownTips,
    Shrivelled,
    BlackSpots,
    FrostDamage,
}

/// A cause with what speaks for and against it in this plant's record.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Cause {
    pub name: String,
    /// 0..=1, of all causes considered.
    pub likelihood: f64,
    pub evidence_for: Vec<String>,
    pub evidence_against: Vec<String>,
    pub remedy: String,
    pub source: String,
}
