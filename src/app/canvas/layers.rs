//! Which parts of the drawing are shown. What is hidden cannot be picked either.

use crate::site::edit::ObjectKind;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Layers {
    pub house: bool,
    pub garden: bool,
    pub devices: bool,
    pub spots: bool,
    pub pots: bool,
    pub shadows: bool,
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
            shadows: true,
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
    pub fn switches(&mut self) -> [(&'static str, &'static str, &mut bool); 7] {
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
            (
                "Sun and shadow",
                "Shadows and sun patches at the hour of the dial",
                &mut self.shadows,
            ),
            ("Grid", "Lines at round distances", &mut self.grid),
        ]
    }
}
