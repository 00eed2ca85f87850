//! What the window remembers besides the document: what is looked at, at which time, in which units.

use serde::{Deserialize, Serialize};

use crate::{
    base::{Hemisphere, Id, Week},
    pipeline::Outcome,
    site::{
        edit::{Edit, ObjectKind},
        history::Document,
    },
};

/// The five desks.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Desk {
    #[default]
    Site,
    Fit,
    Year,
    Week,
    Trouble,
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum LightUnit {
    #[default]
    Ppfd,
    Lux,
    FootCandles,
}

/// In which units figures are shown and typed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Units {
    pub fahrenheit: bool,
    pub feet: bool,
    pub light: LightUnit,
}

/// What is looked at. Not part of the document, and not undone.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Looking {
    pub desk: Desk,
    /// Week of the plan, 0..52, that the ribbon stands on.
    pub plan_week: usize,
    /// Hour of the day on the dial, local standard time, 0..24.
    pub hour: f64,
    /// Selected objects on the plan.
    #[serde(skip)]
    pub selected: Vec<(ObjectKind, Id)>,
    /// The plant everything is shown for.
    pub plant: Option<Id>,
    /// The spot compared on the Fit desk.
    pub spot: Option<Id>,
    pub units: Units,
}

/// What a view asks for. Carried out after the frame, so that no view sees half a change.
#[derive(Clone, Debug)]
pub enum Request {
    /// One edit as one undo step of this name.
    Edit(String, Edit),
    /// Opens a step (a drag begins).
    Begin(String),
    /// An edit within the open step.
    Apply(Edit),
    /// Closes the open step.
    End,
    /// Takes the open step back (Esc).
    Abandon,
    Select(Vec<(ObjectKind, Id)>),
    /// Shows this plant everywhere.
    ShowPlant(Id),
    ShowSpot(Id),
    GoToWeek(usize),
    GoToHour(f64),
    OpenDesk(Desk),
    Undo,
    Redo,
    /// Something the grower should read, for a while.
    Say(String),
}

/// What views draw from. Views read it and push [`Request`]s.
pub struct Sight<'a> {
    pub document: &'a Document,
    /// Last results; of an older revision while [`Sight::stale`].
    pub outcome: Option<&'a Outcome>,
    /// The results are older than the document.
    pub stale: bool,
    pub looking: &'a Looking,
}

impl Sight<'_> {
    /// The calendar week under the ribbon's mark.
    #[must_use]
    pub fn week(&self) -> Week {
        match self.outcome.and_then(|o| o.plan.as_ref().ok()) {
            Some(plan) => plan.calendar_week(self.looking.plan_week),
            None => Week::new(self.looking.plan_week),
        }
    }

    #[must_use]
    pub fn hemisphere(&self) -> Hemisphere {
        self.document.site().hemisphere()
    }
}
