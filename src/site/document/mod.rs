//! The document's parts. SI units; angles in degrees, azimuths clockwise. Every field has a default, so that
//! hand-written files stay short; what is really needed is asked for by `site::file`.

mod choices;
mod climate;
mod cloth;
mod devices;
mod drawing;
mod forecast;
mod garden;
mod hours;
mod house;
mod journal;
mod logged;
mod monthly;
mod place;
mod plant;
mod remembered;
mod spot;

use std::sync::Arc;

use serde::{Deserialize, Serialize};

pub use choices::{Absence, Choices, Pin};
pub use climate::{Climate, DayToDay, Normals};
pub use cloth::{Cloth, ClothColour, Weave};
pub use devices::{Fan, FanKind, Heater, HeaterKind, Timetable, Tray, Vent, VentKind};
pub use drawing::{Drawing, Locked, Underlay};
pub use forecast::{Forecast, ForecastDay};
pub use garden::{Canopy, Ground, GroundKind, Leafing, Screen, ScreenKind, Tree};
pub use hours::{Series, TypicalHours};
pub use house::{
    Building, Covering, CoveringKind, Glazing, Insulation, Mass, Opened, Roof, Room, RoomAir,
    SetPoints, Window, WindowKind,
};
pub use journal::{Event, JournalEntry};
pub use logged::{Logged, LoggedDay, LoggedQuantity};
pub use monthly::Monthly;
pub use place::Place;
pub use plant::{Condition, Flowering, Medium, Plant, Pot, PotMaterial, StageShift};
pub use remembered::Remembered;
pub use spot::{
    Holds, HumidityReading, LightReading, LightValue, MinMaxReading, Misfit, NightCover,
    NightCoverKind, Reach, SkyState, Spot,
};

use crate::{
    base::{Hemisphere, Id, Table},
    needs::Kind,
};

/// Version of the file format that this program writes.
pub const VERSION: u32 = 1;

/// One grower's house, garden, plants and choices: one file.
///
/// Coordinates are metres on the plan, x to the right and y up; [`Place::plan_north_deg`] says which way "up" is.
/// Heights are metres above the ground, but where a field says "above the floor" above that of the object's room.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Site {
    /// Format version; 1.
    pub version: u32,
    pub name: String,
    /// Free text: whose it is, what is invented about it.
    pub note: String,
    pub place: Arc<Place>,
    pub climate: Arc<Climate>,
    /// Solid masses with roofs: the own house, sheds, neighbours.
    pub buildings: Table<Building>,
    pub rooms: Table<Room>,
    /// Windows and doors, each in a wall of a room.
    pub windows: Table<Window>,
    /// Roofs without walls: porch and verandah roofs, eaves, pergolas.
    pub canopies: Table<Canopy>,
    /// Garden walls, fences, hedges.
    pub screens: Table<Screen>,
    pub trees: Table<Tree>,
    /// Paving, lawn and other surfaces.
    pub grounds: Table<Ground>,
    pub cloths: Table<Cloth>,
    pub heaters: Table<Heater>,
    pub vents: Table<Vent>,
    pub fans: Table<Fan>,
    /// Evaporation trays.
    pub trays: Table<Tray>,
    pub spots: Table<Spot>,
    pub plants: Table<Plant>,
    /// Kinds of the grower's own; one of the same name stands in place of the library's.
    pub kinds: Table<Kind>,
    pub journal: Arc<Vec<JournalEntry>>,
    pub choices: Arc<Choices>,
    /// The weather forecast that was told last.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub forecast: Option<Arc<Forecast>>,
    pub drawing: Arc<Drawing>,
}

impl Site {
    #[must_use]
    pub fn hemisphere(&self) -> Hemisphere {
        Hemisphere::of_latitude_deg(self.place.latitude_deg)
    }

    /// A plant's kind: the site's own if it has one of this name, else the library's.
    #[must_use]
    pub fn kind(&self, id: &Id) -> Option<&Kind> {
        self.kinds
            .get(id)
            .or_else(|| crate::needs::library::kinds().get(id))
            .map(|kind| &**kind)
    }

    /// Records of a quantity in the open, whichever spot they were filed at: they serve all.
    pub fn logged_in_the_open(&self, quantity: LoggedQuantity) -> impl Iterator<Item = &Logged> {
        self.spots
            .values()
            .flat_map(|spot| &spot.logged)
            .filter(move |l| l.open && l.quantity == quantity)
    }

    /// Why a plant may not stand on a spot whatever room there is: its pot is too wide.
    #[must_use]
    pub fn misfit(&self, plant: &Id, spot: &Id) -> Option<Misfit> {
        let plant = self.plants.get(plant)?;
        self.spots.get(spot)?.holds.misfit(&plant.pot)
    }

    /// Height of a spot's foot above the ground, m.
    #[must_use]
    pub fn spot_height_m(&self, spot: &Spot) -> f64 {
        let floor = spot
            .room
            .as_ref()
            .and_then(|r| self.rooms.get(r))
            .map_or(0.0, |r| r.floor_m);
        floor + spot.height_m
    }
}
