//! What the window remembers besides the document: what is looked at, at which time, in which units.

use serde::{Deserialize, Serialize};

use super::actions::Action;
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

impl Desk {
    pub const ALL: [Self; 5] = [Self::Site, Self::Fit, Self::Year, Self::Week, Self::Trouble];

    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Site => "Site",
            Self::Fit => "Fit",
            Self::Year => "Year",
            Self::Week => "Week",
            Self::Trouble => "Trouble",
        }
    }

    /// What it is for, in a few words.
    #[must_use]
    pub fn purpose(self) -> &'static str {
        match self {
            Self::Site => "Draw the house and garden and see light, cold and moving air on it",
            Self::Fit => "Compare spots for a plant, and plants for a spot",
            Self::Year => "Where each plant stands in the coming 52 weeks, and why it moves",
            Self::Week => "What to do in the week, and what you did and saw",
            Self::Trouble => "What went wrong, on the evidence of the plant's own year",
        }
    }
}

/// A sheet that slides in from the side, over any desk.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Sheet {
    /// The plants.
    Collection,
    /// One plant's fields.
    Plant(Id),
    /// What a kind of plant needs.
    Kind(Id),
    /// Place, normals, risks.
    Climate,
    /// A spot's readings.
    Readings(Id),
    /// How the plan is made: absences, pins, dislike of moves.
    Choices,
    /// Units, theme, scale.
    Preferences,
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
    OpenSheet(Sheet),
    CloseSheet,
    /// Runs a command as if it were chosen from the menu.
    Run(Action),
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
