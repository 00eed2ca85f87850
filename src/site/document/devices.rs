use serde::{Deserialize, Serialize};

use crate::base::{Hemisphere, Id, Months, Pt, calendar::hour_within};

/// When a device runs.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Timetable {
    pub months: Months,
    /// Clock hours; equal hours mean day and night.
    pub from_h: f64,
    pub to_h: f64,
}

impl Timetable {
    /// Whether it runs in a month (0..12) at an hour of the day (0..24).
    #[must_use]
    pub fn runs(&self, month0: usize, hour: f64) -> bool {
        self.months.has(month0) && hour_within(hour, self.from_h, self.to_h)
    }
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum HeaterKind {
    /// Hot-water or oil-filled panel.
    #[default]
    Radiator,
    Convector,
    FanHeater,
    Stove,
    /// Warm floor under the whole room.
    FloorHeating,
}

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Heater {
    pub name: String,
    pub kind: HeaterKind,
    pub room: Id,
    /// Middle of the device on the plan.
    pub at: Pt,
    /// Plan azimuth its front faces, degrees clockwise from plan-up.
    pub faces_deg: f64,
    /// Length along the wall, m.
    pub length_m: f64,
    /// Top above the floor, m.
    pub top_m: f64,
    /// Heat given off while it runs, W.
    pub output_w: f64,
    pub runs: Timetable,
}

impl Heater {
    /// Months in which rooms are usually heated: October to April in the north, April to October in the south.
    #[must_use]
    pub fn usual_months(hemisphere: Hemisphere) -> Months {
        match hemisphere {
            Hemisphere::North => Months::span(10, 4),
            Hemisphere::South => Months::span(4, 10),
        }
    }
}

impl Default for Heater {
    fn default() -> Self {
        Self {
            name: String::new(),
            kind: HeaterKind::Radiator,
            room: Id::new(""),
            at: Pt(0.0, 0.0),
            faces_deg: 0.0,
            length_m: 1.0,
            top_m: 0.6,
            output_w: 800.0,
            runs: Timetable {
                months: Self::usual_months(Hemisphere::North),
                from_h: 6.5,
                to_h: 22.5,
            },
        }
    }
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum VentKind {
    /// Blows air in, warm or cold.
    #[default]
    Supply,
    /// Draws air out; felt only close by.
    Extract,
}

/// An air vent: an opening of a ventilation or air-conditioning system.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Vent {
    pub name: String,
    pub kind: VentKind,
    pub room: Id,
    pub at: Pt,
    /// Middle of the opening above the floor, m.
    pub height_m: f64,
    /// Plan azimuth it blows towards, degrees clockwise from plan-up.
    pub blows_deg: f64,
    /// Upwards positive, degrees.
    pub tilt_deg: f64,
    /// Free area of the opening, m².
    pub area_m2: f64,
    /// Speed of the air in the opening, m/s.
    pub speed_m_s: f64,
    /// Temperature of the air it supplies, °C.
    pub supply_c: f64,
    pub runs: Timetable,
}

impl Default for Vent {
    fn default() -> Self {
        Self {
            name: String::new(),
            kind: VentKind::Supply,
            room: Id::new(""),
            at: Pt(0.0, 0.0),
            height_m: 2.2,
            blows_deg: 0.0,
            tilt_deg: 0.0,
            area_m2: 0.01,
            speed_m_s: 2.0,
            supply_c: 18.0,
            runs: Timetable::default(),
        }
    }
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum FanKind {
    #[default]
    Table,
    Ceiling,
}

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Fan {
    pub name: String,
    pub kind: FanKind,
    /// The room it stands in; outdoors if `None`.
    pub room: Option<Id>,
    pub at: Pt,
    /// Middle above the floor, m.
    pub height_m: f64,
    /// Plan azimuth a table fan blows towards, degrees clockwise from plan-up.
    pub blows_deg: f64,
    pub diameter_m: f64,
    /// Mean speed of the air at the blades, m/s.
    pub speed_m_s: f64,
    /// Share of the time that it blows at any one place, for one that swings, 0..=1.
    pub share: f64,
    pub runs: Timetable,
}

impl Default for Fan {
    fn default() -> Self {
        Self {
            name: String::new(),
            kind: FanKind::Table,
            room: None,
            at: Pt(0.0, 0.0),
            height_m: 1.0,
            blows_deg: 0.0,
            diameter_m: 0.3,
            speed_m_s: 3.0,
            share: 1.0,
            runs: Timetable::default(),
        }
    }
}

/// An evaporation tray: a dish of wet pebbles.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Tray {
    pub name: String,
    pub room: Option<Id>,
    pub at: Pt,
    /// Water surface, m².
    pub area_m2: f64,
    pub months: Months,
}

impl Default for Tray {
    fn default() -> Self {
        Self {
            name: String::new(),
            room: None,
            at: Pt(0.0, 0.0),
            area_m2: 0.1,
            months: Months::ALL,
        }
    }
}
