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
