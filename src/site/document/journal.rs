use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::Site;
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
    /// Where it stood before, of a move, as far as that is known; told when the move is recorded.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<Id>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

impl Site {
    /// Moves of a plant that the journal tells, in the order of their days; of one day, as they were recorded.
    #[must_use]
    pub fn recorded_moves(&self, plant: &Id) -> Vec<(NaiveDate, &Id, Option<&Id>)> {
        let mut moves: Vec<(NaiveDate, &Id, Option<&Id>)> = self
            .journal
            .iter()
            .filter(|e| e.plant.as_ref() == Some(plant))
            .filter_map(|e| match &e.event {
                Event::Moved(to) => Some((e.date, to, e.from.as_ref())),
                _ => None,
            })
            .collect();
        moves.sort_by_key(|m| m.0);
        moves
    }

    /// Where a plant stood in the evening of a day: by the journal's last move until then; before the first move that is
    /// told, where that one took it from, if it says so; where it stands now if the journal knows of no move at all.
    #[must_use]
    pub fn stood_on(&self, plant: &Id, day: NaiveDate) -> Option<&Id> {
        let moves = self.recorded_moves(plant);
        let Some((_, _, first_from)) = moves.first() else {
            return self.plants.get(plant)?.stands.as_ref();
        };
        moves
            .iter()
            .rev()
            .find(|(date, ..)| *date <= day)
            .map_or(*first_from, |(_, to, _)| Some(*to))
    }
}
