//! Which parts of the drawing are shown. What is hidden cannot be picked either.

use crate::site::edit::ObjectKind;

/// What is computed over the whole plan and shown below the drawing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Cover {
    /// Shadows and sun patches at the hour of the dial.
    #[default]
    Sun,
    /// The map of light.
    WeekLight,
    /// How cold still clear nights are in the ribbon's month.
    ClearNight,
    /// Night minimum that is expected in the ribbon's week.
    WeekNight,
    /// Air that devices move at the hour of the dial.
    MovingAir,
    Nothing,
}

impl Cover {
    /// With its name, and what it says on hovering.
    pub const ALL: [(Self, &'static str, &'static str); 6] = [
        (
            Self::Sun,
            "Sun and shadow",
            "Shadows and sun patches at the hour of the dial",
        ),
        (
            Self::WeekLight,
            "Map of light",
            "Light over ground and floors in the week of the ribbon or its season; the pointer reads it",
        ),
        (
            Self::ClearNight,
            "Cold of a clear night",
            "How much colder or milder than the open it is at pot height on still clear nights; what walls give back is left out",
        ),
        (
            Self::WeekNight,
            "Nights of the week",
            "Night minimum at pot height that is expected in the week of the ribbon",
        ),
        (
            Self::MovingAir,
            "Draughts and plumes",
            "Air that heaters, vents and fans move at the hour of the dial, and lines of its warmth or chill",
        ),
        (Self::Nothing, "Drawing alone", "Nothing computed"),
    ];
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Layers {
    pub house: bool,
    pub garden: bool,
    pub devices: bool,
    pub spots: bool,
    pub pots: bool,
    pub cover: Cover,
    pub grid: bool,
}

impl Default for Layers {
    fn default() -> Self {
        Self {
            house: true,
            garden: true,
            devices: true,
            spots: true,
            pots: true,
            cover: Cover::Sun,
            grid: true,
        }
    }
}

impl Layers {
    #[must_use]
    pub fn shows(&self, kind: ObjectKind) -> bool {
        match kind {
            ObjectKind::Building | ObjectKind::Room | ObjectKind::Window => self.house,
            ObjectKind::Canopy
            | ObjectKind::Screen
            | ObjectKind::Tree
            | ObjectKind::Ground
            | ObjectKind::Cloth => self.garden,
            ObjectKind::Heater | ObjectKind::Vent | ObjectKind::Fan | ObjectKind::Tray => {
                self.devices
            }
            ObjectKind::Spot => self.spots,
            ObjectKind::Plant => self.pots,
            ObjectKind::Kind => false,
        }
    }

    /// Name, what it says on hovering, and the switch itself.
    pub fn switches(&mut self) -> [(&'static str, &'static str, &mut bool); 6] {
        [
            (
                "House",
                "Buildings, rooms, windows and doors",
                &mut self.house,
            ),
            (
                "Garden",
                "Surfaces, screens, trees, canopies and cloth",
                &mut self.garden,
            ),
            (
                "Devices",
                "Heaters, air vents, fans and trays",
                &mut self.devices,
            ),
            ("Spots", "Places where pots can stand", &mut self.spots),
            (
                "Pots",
                "Pots where the plan has them in this week",
                &mut self.pots,
            ),
            ("Grid", "Lines at round distances", &mut self.grid),
        ]
    }
}
