use serde::{Deserialize, Serialize};

use crate::base::{Months, Pt};

/// A roof without walls: porch or verandah roof, balcony above, pergola.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Canopy {
    pub name: String,
    pub outline: Vec<Pt>,
    /// Underside above the ground, m.
    pub height_m: f64,
    pub thickness_m: f64,
    /// Share of light that comes through from straight above, 0 (solid) ..=1; slats or clear sheets pass some.
    pub passes: f64,
    /// Keeps rain off.
    pub rainproof: bool,
    /// Months in which it is there or in leaf.
    pub months: Months,
}

impl Default for Canopy {
    fn default() -> Self {
        Self {
            name: String::new(),
            outline: Vec::new(),
            height_m: 2.4,
            thickness_m: 0.15,
            passes: 0.0,
            rainproof: true,
            months: Months::ALL,
        }
    }
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum ScreenKind {
    #[default]
    Wall,
    Fence,
    Hedge,
}

/// Something upright along a line: garden wall, fence, hedge, side curtain of cloth.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Screen {
    pub name: String,
    pub kind: ScreenKind,
    /// Its line on the plan, at least two points.
    pub line: Vec<Pt>,
    pub base_m: f64,
    pub top_m: f64,
    pub thickness_m: f64,
    /// Open share seen square on, 0 (solid) ..=1; hedges in leaf about 0.1.
    pub porosity: f64,
    /// Open share when leafless, where it sheds its leaves.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bare_porosity: Option<f64>,
    /// Share of light that it throws back, 0..=1.
    pub reflectance: f64,
    /// Months in leaf, for those with `bare_porosity`.
    pub leaf_months: Months,
}

impl Default for Screen {
    fn default() -> Self {
        Self {
            name: String::new(),
            kind: ScreenKind::Wall,
            line: Vec::new(),
            base_m: 0.0,
            top_m: 1.8,
            thickness_m: 0.1,
            porosity: 0.0,
            bare_porosity: None,
            reflectance: 0.3,
            leaf_months: Months::ALL,
        }
    }
}

/// When a tree carries leaves.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Leafing {
    #[default]
    Evergreen,
    /// In leaf in these months.
    Deciduous { months: Months },
}

/// A tree or large shrub: an ellipsoid of leaves on a trunk.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Tree {
    pub name: String,
    pub at: Pt,
    /// Radius of the crown on the plan, m.
    pub crown_radius_m: f64,
    /// Lower end of the crown above the ground, m.
    pub crown_base_m: f64,
    /// Top of the crown, m.
    pub top_m: f64,
    pub leafing: Leafing,
    /// Leaf area index in full leaf, m² leaf per m² ground under the crown.
    pub leaf_area_index: f64,
}

impl Default for Tree {
    fn default() -> Self {
        Self {
            name: String::new(),
            at: Pt(0.0, 0.0),
            crown_radius_m: 2.0,
            crown_base_m: 1.5,
            top_m: 5.0,
            leafing: Leafing::Evergreen,
            leaf_area_index: 4.0,
        }
    }
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum GroundKind {
    #[default]
    Lawn,
    PalePaving,
    DarkPaving,
    Gravel,
    Soil,
    Decking,
    Water,
}

impl GroundKind {
    /// Share of light thrown back when nothing else is said. Handbook orders of magnitude, from memory.
    #[must_use]
    pub fn reflectance(self) -> f64 {
        match self {
            Self::Lawn => 0.22,
            Self::PalePaving => 0.35,
            Self::DarkPaving => 0.15,
            Self::Gravel => 0.25,
            Self::Soil => 0.15,
            Self::Decking => 0.20,
            Self::Water => 0.08,
        }
    }
}

/// A surface on the ground. Where none is drawn, there is lawn.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Ground {
    pub name: String,
    pub kind: GroundKind,
    pub outline: Vec<Pt>,
    /// In place of the kind's usual figure.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reflectance: Option<f64>,
}
