use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::base::Id;

/// Something done or seen.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Event {
    /// Moved to this spot.
    Moved(Id),
    Watered,
    Fed,
    Repotted,
    SpikeSeen,
    BudsSeen,
    FirstFlower,
    LastFlower,
    BudsDropped,
    LeavesScorched,
    LeavesYellow,
    FrostSeen,
    PestSeen,
    Note,
}

impl Event {
    /// What was done or seen, without the spot of a move.
    #[must_use]
    pub fn words(&self) -> &'static str {
        match self {
            Self::Moved(_) => "Moved",
            Self::Watered => "Watered",
            Self::Fed => "Fed",
            Self::Repotted => "Repotted",
            Self::SpikeSeen => "Spike seen",
            Self::BudsSeen => "Buds seen",
            Self::FirstFlower => "First flower open",
            Self::LastFlower => "Last flower gone",
            Self::BudsDropped => "Buds dropped",
            Self::LeavesScorched => "Leaves scorched",
            Self::LeavesYellow => "Leaves yellow",
            Self::FrostSeen => "Frost seen",
            Self::PestSeen => "Pest seen",
            Self::Note => "Note",
        }
    }
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct JournalEntry {
    pub date: NaiveDate,
    /// The plant it is about; the whole site if `None`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub plant: Option<Id>,
    pub event: Event,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}
