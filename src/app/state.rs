//! What the window remembers besides the document: what is looked at, at which time, in which units.

use std::path::Path;

use chrono::{Days, NaiveDate};
use serde::{Deserialize, Serialize};

use super::actions::Action;
use crate::{
    base::{Day, Hemisphere, Id, Week, calendar::WEEKS},
    needs::Stage,
    pipeline::Outcome,
    planner::Plan,
    scoring::Score,
    site::{
        Plant, Site,
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
    /// What an empty site needs next.
    FirstSteps,
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
    /// The drawing is seen from the side, not from above.
    pub from_side: bool,
    /// The grower is being led through the first steps.
    #[serde(skip)]
    pub led: bool,
    /// A sheet or card lies beside the desk: Esc closes it before it drops what is selected.
    #[serde(skip)]
    pub covered: bool,
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
    /// Shows the drawing from the side, or from above.
    SeeFromSide(bool),
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
    /// Nothing is computed until what is wrong in the site is mended.
    pub halted: bool,
    pub looking: &'a Looking,
    /// The day on which the window is looked at.
    pub today: NaiveDate,
    /// The folder of the site's file, once it has one.
    pub folder: Option<&'a Path>,
}

impl<'a> Sight<'a> {
    #[must_use]
    pub fn site(&self) -> &'a Site {
        self.document.site()
    }

    /// The plan, if there is one.
    #[must_use]
    pub fn plan(&self) -> Option<&'a Plan> {
        self.outcome.and_then(|o| o.plan.as_deref().ok())
    }

    /// First day of the plan that is shown, or of the one that would be made now.
    #[must_use]
    pub fn plan_from(&self) -> NaiveDate {
        self.plan().map_or_else(
            || self.site().choices.plan_from.unwrap_or(self.today),
            |p| p.from,
        )
    }

    /// First day of a week of the plan.
    #[must_use]
    pub fn date_of(&self, plan_week: usize) -> NaiveDate {
        self.plan_from() + Days::new(plan_week as u64 * 7)
    }

    /// The calendar week in which a week of the plan has its middle.
    #[must_use]
    pub fn calendar_week(&self, plan_week: usize) -> Week {
        Day::of(self.date_of(plan_week) + Days::new(3)).week()
    }

    /// The calendar week under the ribbon's mark.
    #[must_use]
    pub fn week(&self) -> Week {
        self.calendar_week(self.looking.plan_week)
    }

    /// The week of the plan in which a date lies, if it does.
    #[must_use]
    pub fn plan_week_of(&self, date: NaiveDate) -> Option<usize> {
        let days = (date - self.plan_from()).num_days();
        usize::try_from(days.div_euclid(7))
            .ok()
            .filter(|w| *w < WEEKS)
    }

    #[must_use]
    pub fn hemisphere(&self) -> Hemisphere {
        self.site().hemisphere()
    }

    /// The plant everything is shown for, if it is still in the site.
    #[must_use]
    pub fn plant(&self) -> Option<(&'a Id, &'a Plant)> {
        let id = self.looking.plant.as_ref()?;
        self.site()
            .plants
            .iter()
            .find(|(i, _)| *i == id)
            .map(|(i, p)| (i, &**p))
    }

    #[must_use]
    pub fn plant_name(&self, id: &Id) -> String {
        self.site().name_of(ObjectKind::Plant, id)
    }

    #[must_use]
    pub fn spot_name(&self, id: &Id) -> String {
        self.site().name_of(ObjectKind::Spot, id)
    }

    /// The stage of a plant in a calendar week, with its place in the kind's list: by the plant's own calendar; while
    /// nothing is computed yet, by its kind's dates.
    #[must_use]
    pub fn stage(&self, plant: &Id, week: Week) -> Option<(usize, &'a Stage)> {
        let site = self.site();
        let kind = site.kind(&site.plants.get(plant)?.kind)?;
        match self.outcome.and_then(|o| o.scores.calendar(plant)) {
            Some(calendar) => calendar.stage_in(kind, week),
            None => kind.stage_in(week, self.hemisphere()),
        }
    }

    #[must_use]
    pub fn score(&self, plant: &Id, spot: &Id, week: Week) -> Option<&'a Score> {
        self.outcome?.scores.get(plant, spot, week)
    }
}
