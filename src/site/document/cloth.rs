use serde::{Deserialize, Serialize};

use crate::base::{Months, Pt};

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum ClothColour {
    #[default]
    Black,
    Green,
    White,
    Aluminised,
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Weave {
    /// Deep threads: oblique light is shaded more than the label says.
    #[default]
    Knitted,
    /// Thin: about the same shade from every side.
    Woven,
}

/// Shade cloth stretched over an outline.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Cloth {
    pub name: String,
    pub outline: Vec<Pt>,
    /// Above the ground, m.
    pub height_m: f64,
    /// Nominal shade of light straight through, %, 5..=95.
    pub shade_pct: f64,
    pub colour: ClothColour,
    pub weave: Weave,
    /// How far it hangs down along its rim, m.
    pub drop_m: f64,
    /// Months when it is up.
    pub months: Months,
}

impl Default for Cloth {
    fn default() -> Self {
        Self {
            name: String::new(),
            outline: Vec::new(),
            height_m: 2.4,
            shade_pct: 50.0,
            colour: ClothColour::Black,
            weave: Weave::Knitted,
            drop_m: 0.0,
            months: Months::ALL,
        }
    }
}
