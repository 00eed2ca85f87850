use serde::{Deserialize, Serialize};

use crate::base::{Id, Months, Pt};

/// A solid mass that casts shadows: the own house, a shed, a neighbour's house.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Building {
    pub name: String,
    /// Outer walls on the plan, at least three corners, not crossing; either way round.
    pub outline: Vec<Pt>,
    /// Foot of the walls above the ground, m.
    pub base_m: f64,
    /// Top of the walls above the ground, m.
    pub wall_top_m: f64,
    pub roof: Roof,
    /// How far the roof stands out beyond the walls, m.
    pub eaves_m: f64,
    /// Share of light that the walls throw back, 0..=1: white 0.75, brick 0.3.
    pub reflectance: f64,
}

impl Default for Building {
    fn default() -> Self {
        Self {
            name: String::new(),
            outline: Vec::new(),
            base_m: 0.0,
            wall_top_m: 3.0,
            roof: Roof::Flat,
            eaves_m: 0.3,
            reflectance: 0.4,
        }
    }
}

/// Shape of a roof, over the smallest rectangle (along the longest wall) that holds the outline.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Roof {
    #[default]
    Flat,
    /// Two slopes; the ridge lies along the longest side, `ridge_m` above the ground.
    Gable { ridge_m: f64 },
    /// Four slopes.
    Hip { ridge_m: f64 },
    /// One slope, rising from `wall_top_m` to `high_m`; `towards_deg` is the plan azimuth it rises towards.
    Lean { high_m: f64, towards_deg: f64 },
}

/// A room, or a porch or greenhouse: air enclosed by walls.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Room {
    pub name: String,
    /// Inner faces of the walls on the plan, at least three corners, not crossing.
    pub outline: Vec<Pt>,
    /// Floor above the ground, m.
    pub floor_m: f64,
    /// Floor to ceiling, m.
    pub height_m: f64,
    pub air: RoomAir,
    pub mass: Mass,
    /// Of the walls, ceiling and floor that face the open air.
    pub insulation: Insulation,
    /// Air changes an hour by leaks and usual airing.
    pub air_changes_per_h: f64,
    /// Vapour given off by people, cooking and plants, kg a day.
    pub vapour_kg_d: f64,
    /// Share of light that the walls inside throw back, 0..=1: white 0.8, coloured 0.5, panelled 0.3.
    pub wall_reflectance: f64,
    /// The same of the floor, furniture included.
    pub floor_reflectance: f64,
    /// The same of the ceiling.
    pub ceiling_reflectance: f64,
    /// Glazed roof of a porch or greenhouse.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub glazed_roof: Option<Glazing>,
    /// Walls of glass all round: the windows listed are then only those that differ.
    pub glazed_walls: Option<Glazing>,
}

impl Default for Room {
    fn default() -> Self {
        Self {
            name: String::new(),
            outline: Vec::new(),
            floor_m: 0.0,
            height_m: 2.5,
            air: RoomAir::default(),
            mass: Mass::Medium,
            insulation: Insulation::Ordinary,
            air_changes_per_h: 0.5,
            vapour_kg_d: 1.5,
            wall_reflectance: 0.5,
            floor_reflectance: 0.2,
            ceiling_reflectance: 0.7,
            glazed_roof: None,
            glazed_walls: None,
        }
    }
}

/// How a room is kept warm or cool.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum RoomAir {
    /// Kept at or above a temperature in the heating months, and at or below `cool_to_c` where there is cooling.
    Heated {
        day_c: f64,
        night_c: f64,
        /// Clock hours between which the day temperature is kept.
        #[serde(default = "day_from")]
        day_from_h: f64,
        #[serde(default = "day_to")]
        day_to_h: f64,
        #[serde(default)]
        months: Months,
        #[serde(default)]
        cool_to_c: Option<f64>,
        /// Other temperatures for a part of the year: a cool winter's rest, a warmer spring.
        #[serde(default)]
        season: Option<SetPoints>,
    },
    /// Follows the weather, the sun through its glass and the rooms it leans on; `frost_guard_c` is a thermostat
    /// that keeps it from falling lower.
    Unheated {
        #[serde(default)]
        frost_guard_c: Option<f64>,
        /// Share of its walls that it has in common with heated rooms, 0..=1.
        #[serde(default)]
        shared_with_house: f64,
        /// Open windows by day when it is warmer inside than this, °C.
        #[serde(default)]
        aired_above_c: Option<f64>,
    },
}

/// What a room is heated to in some months, in place of what it is otherwise; heated in these months in any case.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SetPoints {
    pub months: Months,
    pub day_c: f64,
    pub night_c: f64,
}

impl RoomAir {
    /// What a month (0..12) is heated to by day and by night, °C; `None` where the heating is off.
    #[must_use]
    pub fn heated_to_c(&self, month0: usize) -> Option<(f64, f64)> {
        match self {
            Self::Heated {
                season: Some(s), ..
            } if s.months.has(month0) => Some((s.day_c, s.night_c)),
            Self::Heated {
                day_c,
                night_c,
                months,
                ..
            } => months.has(month0).then_some((*day_c, *night_c)),
            Self::Unheated { .. } => None,
        }
    }
}

fn day_from() -> f64 {
    6.5
}

fn day_to() -> f64 {
    22.5
}

impl Default for RoomAir {
    fn default() -> Self {
        Self::Heated {
            day_c: 20.0,
            night_c: 17.0,
            day_from_h: day_from(),
            day_to_h: day_to(),
            months: Months::ALL,
            cool_to_c: None,
            season: None,
        }
    }
}

/// How long a room holds its warmth.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Mass {
    Light,
    #[default]
    Medium,
    Heavy,
}

/// How well the opaque outer walls hold warmth: U about 1.5, 0.7 and 0.25 W/m²K.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Insulation {
    Poor,
    #[default]
    Ordinary,
    Good,
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Glazing {
    Single,
    #[default]
    Double,
    DoubleLowE,
    Triple,
    /// Patterned or frosted single glass: passes a little less, scatters all.
    Obscured,
    /// Twin-wall polycarbonate.
    Polycarbonate,
    /// An opening without glass.
    Open,
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum WindowKind {
    #[default]
    Window,
    /// A glazed door.
    GlassDoor,
    /// A solid door: lets no light in, but draughts.
    Door,
}

/// A window or door in a wall of a room.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Window {
    pub name: String,
    pub room: Id,
    pub kind: WindowKind,
    /// Which wall: 0 runs from the first corner of the room's outline to the second.
    pub wall: usize,
    /// From the wall's first corner to the near edge of the glass, m.
    pub from_corner_m: f64,
    /// Width of the glass, m.
    pub width_m: f64,
    /// Lower edge of the glass above the floor, m.
    pub sill_m: f64,
    /// Height of the glass, m.
    pub height_m: f64,
    pub glazing: Glazing,
    /// Depth of the opening from the inner face of the wall to the glass, m.
    pub reveal_m: f64,
    /// Depth of the opening outside the glass, m.
    pub outer_reveal_m: f64,
    /// Share of light that dirt leaves, 0..=1.
    pub clean: f64,
    /// Width of all gaps by which outer air leaks in, mm: 0 tight, 1 ordinary, 3 draughty.
    pub leak_gap_mm: f64,
    /// When it stands open: to the open air, to another room, or to the rest of the house.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub opened: Option<Opened>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub coverings: Vec<Covering>,
}

impl Default for Window {
    fn default() -> Self {
        Self {
            name: String::new(),
            room: Id::new(""),
            kind: WindowKind::Window,
            wall: 0,
            from_corner_m: 0.5,
            width_m: 1.2,
            sill_m: 0.9,
            height_m: 1.2,
            glazing: Glazing::Double,
            reveal_m: 0.15,
            outer_reveal_m: 0.1,
            clean: 0.9,
            leak_gap_mm: 0.0,
            opened: None,
            coverings: Vec::new(),
        }
    }
}

/// A door or window that stands open at set times.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Opened {
    pub months: Months,
    /// Clock hours between which it stands open; equal hours mean all day.
    pub from_h: f64,
    pub to_h: f64,
    /// Share of its area that is open, 0..=1: ajar 0.1.
    pub share: f64,
}

impl Default for Opened {
    fn default() -> Self {
        Self {
            months: Months::ALL,
            from_h: 8.0,
            to_h: 9.0,
            share: 1.0,
        }
    }
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum CoveringKind {
    #[default]
    NetCurtain,
    InsectScreen,
    /// Slats half open.
    Blind,
    /// A curtain or shutter that keeps nearly all light out.
    Curtain,
}

/// Something drawn over a window for part of the day or year.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Covering {
    pub kind: CoveringKind,
    pub months: Months,
    /// Clock hours between which it is drawn; equal hours mean all day.
    pub from_h: f64,
    pub to_h: f64,
    /// Plants stand between it and the glass.
    pub behind_plants: bool,
}
