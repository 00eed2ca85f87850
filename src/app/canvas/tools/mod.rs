//! The tools of the plan: what each is called and how the hand uses it.

pub mod draft;
pub mod make;
pub mod pick;

use egui::Key;

use crate::site::edit::ObjectKind;

/// What the hand holds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Tool {
    /// Select, move, reshape.
    #[default]
    Pick,
    /// Measures a distance.
    Measure,
    /// Shows the horizon of a point.
    Horizon,
    Building,
    Room,
    Window,
    GlassDoor,
    Door,
    Canopy,
    Cloth,
    Wall,
    Fence,
    Hedge,
    Tree,
    Ground,
    Heater,
    Vent,
    Fan,
    Tray,
    SpotPoint,
    SpotLine,
    SpotArea,
    /// Points out two points of the picture below the plan, for its scale.
    ScalePicture,
    /// Points out the north of the picture below the plan.
    TurnPicture,
}

/// How a tool is used.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Gesture {
    Pick,
    /// Corner by corner, or a rectangle in one pull.
    Outline,
    /// Point by point.
    Line,
    /// Two points.
    Stretch,
    /// Middle, then rim.
    Disc,
    /// On the wall of a room.
    OnWall,
    /// A place, pulled towards where it points.
    Aim,
    /// A place.
    Place,
}

/// Tools that belong together in the tool chest.
pub const CHEST: [(&str, &[Tool]); 4] = [
    (
        "House",
        &[
            Tool::Building,
            Tool::Room,
            Tool::Window,
            Tool::GlassDoor,
            Tool::Door,
        ],
    ),
    (
        "Garden",
        &[
            Tool::Canopy,
            Tool::Cloth,
            Tool::Wall,
            Tool::Fence,
            Tool::Hedge,
            Tool::Tree,
            Tool::Ground,
        ],
    ),
    ("Air", &[Tool::Heater, Tool::Vent, Tool::Fan, Tool::Tray]),
    ("Spots", &[Tool::SpotPoint, Tool::SpotLine, Tool::SpotArea]),
];

impl Tool {
    /// What it says on the tool.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Pick => "Pick",
            Self::Measure => "Measure",
            Self::Horizon => "Horizon",
            Self::Building => "Building",
            Self::Room => "Room",
            Self::Window => "Window",
            Self::GlassDoor => "Glass door",
            Self::Door => "Door",
            Self::Canopy => "Canopy",
            Self::Cloth => "Shade cloth",
            Self::Wall => "Wall",
            Self::Fence => "Fence",
            Self::Hedge => "Hedge",
            Self::Tree => "Tree",
            Self::Ground => "Surface",
            Self::Heater => "Heater",
            Self::Vent => "Air vent",
            Self::Fan => "Fan",
            Self::Tray => "Tray",
            Self::SpotPoint => "Single pot",
            Self::SpotLine => "Sill or row",
            Self::SpotArea => "Bench",
            Self::ScalePicture => "Scale the picture",
            Self::TurnPicture => "Turn the picture",
        }
    }

    /// What it draws and how, in a sentence or two.
    #[must_use]
    pub fn help(self) -> &'static str {
        match self {
            Self::Pick => {
                "Click to select, pull to move, pull handles to reshape. Shift adds; pull over empty paper for several."
            }
            Self::Horizon => {
                "Click or pull: what stands against the sky at any point, at the height of the map of light."
            }
            Self::Measure => {
                "Pull from one point to another to read the distance and the direction."
            }
            Self::Building => {
                "Outer walls: click corner by corner and close on the first, or pull a rectangle. Also sheds and neighbours' houses: they cast shadows."
            }
            Self::Room => {
                "Inner faces of a room's walls: click corner by corner, or pull a rectangle."
            }
            Self::Window => "Click on a room's wall, or pull along it for the width.",
            Self::GlassDoor => {
                "A glazed door down to the floor: click on a room's wall, or pull along it."
            }
            Self::Door => "A solid door: no light, but draughts. Click on a room's wall.",
            Self::Canopy => "A roof without walls: porch, balcony above, pergola.",
            Self::Cloth => "Shade cloth stretched over an outline.",
            Self::Wall => {
                "A garden wall along a line; Enter or a second click on the last point ends it."
            }
            Self::Fence => "A fence along a line; Enter ends it.",
            Self::Hedge => "A hedge along a line; Enter ends it.",
            Self::Tree => "Pull from the trunk to the rim of the crown.",
            Self::Ground => {
                "Paving, gravel, water: what the ground throws back. Where nothing is drawn there is lawn."
            }
            Self::Heater => "Click in a room near a wall; pull for the way it faces.",
            Self::Vent => "Click in a room; pull for the way it blows.",
            Self::Fan => "Click; pull for the way it blows.",
            Self::Tray => "An evaporation tray: click where it stands.",
            Self::SpotPoint => "A place for one pot: click where it stands.",
            Self::SpotLine => "A window sill, a step, a row along a wall: pull from end to end.",
            Self::ScalePicture => {
                "Pull between two points of the picture whose true distance you know."
            }
            Self::TurnPicture => "Pull along the picture's north arrow, towards its point.",
            Self::SpotArea => {
                "A bench, a shelf, a patch of ground for several pots: corners, or pull a rectangle."
            }
        }
    }

    /// The key that takes it up.
    #[must_use]
    pub fn key(self) -> Option<Key> {
        Some(match self {
            Self::Pick => Key::P,
            Self::Measure => Key::M,
            Self::Horizon => Key::I,
            Self::Building => Key::B,
            Self::Room => Key::R,
            Self::Window => Key::W,
            Self::GlassDoor => Key::G,
            Self::Door => Key::D,
            Self::Canopy => Key::Y,
            Self::Cloth => Key::C,
            Self::Wall => Key::A,
            Self::Fence => Key::F,
            Self::Hedge => Key::H,
            Self::Tree => Key::T,
            Self::Ground => Key::U,
            Self::Heater => Key::O,
            Self::Vent => Key::V,
            Self::Fan => Key::N,
            Self::Tray => Key::E,
            Self::SpotPoint => Key::S,
            Self::SpotLine => Key::L,
            Self::SpotArea => Key::K,
            Self::ScalePicture | Self::TurnPicture => return None,
        })
    }

    #[must_use]
    pub fn gesture(self) -> Gesture {
        match self {
            Self::Pick => Gesture::Pick,
            Self::Measure | Self::SpotLine | Self::ScalePicture | Self::TurnPicture => {
                Gesture::Stretch
            }
            Self::Building
            | Self::Room
            | Self::Canopy
            | Self::Cloth
            | Self::Ground
            | Self::SpotArea => Gesture::Outline,
            Self::Window | Self::GlassDoor | Self::Door => Gesture::OnWall,
            Self::Wall | Self::Fence | Self::Hedge => Gesture::Line,
            Self::Tree => Gesture::Disc,
            Self::Heater | Self::Vent | Self::Fan => Gesture::Aim,
            Self::Tray | Self::SpotPoint | Self::Horizon => Gesture::Place,
        }
    }

    /// The kind of object it makes.
    #[must_use]
    pub fn makes(self) -> Option<ObjectKind> {
        Some(match self {
            Self::Pick | Self::Measure | Self::Horizon | Self::ScalePicture | Self::TurnPicture => {
                return None;
            }
            Self::Building => ObjectKind::Building,
            Self::Room => ObjectKind::Room,
            Self::Window | Self::GlassDoor | Self::Door => ObjectKind::Window,
            Self::Canopy => ObjectKind::Canopy,
            Self::Cloth => ObjectKind::Cloth,
            Self::Wall | Self::Fence | Self::Hedge => ObjectKind::Screen,
            Self::Tree => ObjectKind::Tree,
            Self::Ground => ObjectKind::Ground,
            Self::Heater => ObjectKind::Heater,
            Self::Vent => ObjectKind::Vent,
            Self::Fan => ObjectKind::Fan,
            Self::Tray => ObjectKind::Tray,
            Self::SpotPoint | Self::SpotLine | Self::SpotArea => ObjectKind::Spot,
        })
    }

    /// Whether it points something out on the picture below the plan.
    #[must_use]
    pub fn is_for_picture(self) -> bool {
        matches!(self, Self::ScalePicture | Self::TurnPicture)
    }

    /// Those of the chest.
    pub fn all() -> impl Iterator<Item = Self> {
        [Self::Pick, Self::Measure, Self::Horizon]
            .into_iter()
            .chain(
                CHEST
                    .into_iter()
                    .flat_map(|(_, tools)| tools.iter().copied()),
            )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_that_is_drawn_has_a_tool_and_no_key_is_taken_twice() {
        for kind in crate::app::canvas::shape::DRAWN {
            assert!(Tool::all().any(|t| t.makes() == Some(kind)), "{kind:?}");
        }
        let mut keys: Vec<Key> = Tool::all().filter_map(Tool::key).collect();
        keys.sort();
        let count = keys.len();
        keys.dedup();
        assert_eq!(keys.len(), count);
    }
}
