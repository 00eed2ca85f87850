//! Which shade cloth gives the plants on a spot their best year, and what a cloth really is by two light readings.
//!
//! Nothing here is a rule of thumb: every percentage is hung into the drawing, the light and air engines run under
//! it, and the plant's own score decides. Percentages are the sellers' nominal ones, for light square on; how oblique
//! light, light from the sides and scattered light change that is the light engine's business.

mod choose;
mod frame;
mod judged;
mod real;
mod report;
mod trials;
mod verdict;
mod words;
mod years;

use serde::Serialize;

use crate::{
    base::{Cancelled, Id, calendar::WEEKS},
    climate::Weather,
    light::{LightInputs, Scene},
    planner::Plan,
    site::{ClothColour, Site},
    sky::SkyYear,
    sun::SunTable,
};
pub use choose::choose;
pub use frame::Frame;
pub use real::{CannotTell, Drawn, Nominal, RealShade, TwoReadings, real_shade, real_shade_drawn};
pub use report::{MonthUnder, MonthWanted, PlantWanted, PlantYear, Report, Trial};
pub use verdict::Verdict;
pub use words::{colour_word, months_words};

/// Nominal percentages that are sold (common practice, no source; makers' lists differ by a step or two).
pub const SOLD_PCT: [f64; 9] = [20.0, 30.0, 35.0, 40.0, 50.0, 60.0, 70.0, 80.0, 90.0];

/// Colours, the usual one first.
pub const COLOURS: [ClothColour; 4] = [
    ClothColour::Black,
    ClothColour::Green,
    ClothColour::White,
    ClothColour::Aluminised,
];

/// To be shown wherever a cloth is advised.
pub const CAUTION: &str = "Shade cloth is a sail. Fix it to posts that can take the pull, never to gutters or pots; \
take it down before storms and snow; use steps that stand firm, and not alone. For fixed frames follow local codes \
and ask a licensed trade.";

/// Sun, weather and drawing that the comparison is made from.
#[derive(Clone, Copy)]
pub struct ClothInputs<'a> {
    pub site: &'a Site,
    pub sun: &'a SunTable,
    pub weather: &'a Weather,
    pub sky: &'a SkyYear,
}

impl<'a> ClothInputs<'a> {
    fn light(&self, scene: &'a Scene) -> LightInputs<'a> {
        LightInputs {
            place: &self.site.place,
            sun: self.sun,
            typical: &self.weather.typical,
            sky: self.sky,
            scene,
            turbidity_linke: self.weather.normals.turbidity_linke,
        }
    }
}

/// A plant that the cloth is for, and the calendar weeks that count.
#[derive(Clone, Debug, PartialEq)]
pub struct PlantAsk {
    pub plant: Id,
    pub weeks: [bool; WEEKS],
}

/// Which weeks count.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Counted {
    /// All weeks in which pots may stand on the spot.
    #[default]
    Year,
    /// Those in which the plan has the plant there.
    WhilePlanned,
}

/// Why no cloth can be chosen.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum CannotChoose {
    #[error("cancelled")]
    Cancelled(#[from] Cancelled),
    #[error("there is no spot \"{0}\" in this site")]
    NoSpot(Id),
    #[error(
        "{0} stands in a room, and a cloth overhead does not shade a window: give the window a net curtain, a blind or \
         a screen outside, on the Site desk"
    )]
    Indoors(String),
    #[error("no plant stands on {0} or is planned for it: name one")]
    NoPlants(String),
    #[error("in no week of the year can these plants stand on {0}")]
    NoWeeks(String),
}

/// Plants that stand on a spot or are planned for it, ascending.
#[must_use]
pub fn plants_at(site: &Site, plan: Option<&Plan>, spot: &Id) -> Vec<Id> {
    site.plants
        .iter()
        .filter(|(id, plant)| {
            plant.stands.as_ref() == Some(spot)
                || plan.is_some_and(|p| (0..WEEKS).any(|w| p.spot_of(id, w) == Some(spot)))
        })
        .map(|(id, _)| id.clone())
        .collect()
}

/// The plants with the weeks that count for each; a plant that the plan never has there counts with all its weeks.
#[must_use]
pub fn ask(
    site: &Site,
    plan: Option<&Plan>,
    spot: &Id,
    plants: &[Id],
    counted: Counted,
) -> Vec<PlantAsk> {
    let open = site.spots.get(spot).map(|s| s.months).unwrap_or_default();
    let mut year = [false; WEEKS];
    for week in crate::base::Week::all() {
        year[week.index()] = open.has(week.month0());
    }
    plants
        .iter()
        .map(|plant| {
            let mut planned = [false; WEEKS];
            if let (Counted::WhilePlanned, Some(plan)) = (counted, plan) {
                for w in (0..WEEKS).filter(|w| plan.spot_of(plant, *w) == Some(spot)) {
                    planned[plan.calendar_week(w).index()] = true;
                }
            }
            PlantAsk {
                plant: plant.clone(),
                weeks: if planned.contains(&true) {
                    planned
                } else {
                    year
                },
            }
        })
        .collect()
}

/// Place of a colour in [`COLOURS`].
fn place_of(colour: ClothColour) -> usize {
    COLOURS.iter().position(|c| *c == colour).unwrap_or(0)
}
