use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::{base::Id, needs::StageName};

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum PotMaterial {
    #[default]
    Plastic,
    Clay,
    Glazed,
    Wood,
}

impl PotMaterial {
    pub const ALL: [Self; 4] = [Self::Plastic, Self::Clay, Self::Glazed, Self::Wood];

    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Plastic => "plastic",
            Self::Clay => "clay",
            Self::Glazed => "glazed",
            Self::Wood => "wood",
        }
    }
}

/// What the roots stand in. Available water: bark 0.15, bark and peat 0.20, peat 0.30, loam 0.25, coir 0.30,
/// moss 0.4, grit 0.12 of the volume (from memory).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Medium {
    #[default]
    Bark,
    BarkPeat,
    Peat,
    Loam,
    Coir,
    Moss,
    Grit,
}

impl Medium {
    pub const ALL: [Self; 7] = [
        Self::Bark,
        Self::BarkPeat,
        Self::Peat,
        Self::Loam,
        Self::Coir,
        Self::Moss,
        Self::Grit,
    ];

    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Bark => "bark",
            Self::BarkPeat => "bark and peat",
            Self::Peat => "peat",
            Self::Loam => "loam",
            Self::Coir => "coir",
            Self::Moss => "moss",
            Self::Grit => "grit",
        }
    }
}

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Pot {
    /// Diameter at the rim, cm.
    pub rim_cm: f64,
    /// Height, cm.
    pub height_cm: f64,
    pub material: PotMaterial,
    pub medium: Medium,
    /// When it was last repotted.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub repotted: Option<NaiveDate>,
}

impl Default for Pot {
    fn default() -> Self {
        Self {
            rim_cm: 20.0,
            height_cm: 18.0,
            material: PotMaterial::Plastic,
            medium: Medium::Bark,
            repotted: None,
        }
    }
}

impl Pot {
    /// Volume of the mix, L: a cone frustum whose foot is three quarters of the rim, 85 % full.
    #[must_use]
    pub fn volume_l(&self) -> f64 {
        let (r, f) = (self.rim_cm / 20.0, self.rim_cm / 20.0 * 0.75);
        std::f64::consts::PI * (self.height_cm / 10.0) / 3.0 * (r * r + r * f + f * f) * 0.85
    }

    /// Room it takes on a spot, in the units of [`super::Holds`]: the square of its rim, cm².
    #[must_use]
    pub fn footprint_cm2(&self) -> f64 {
        self.rim_cm * self.rim_cm
    }
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Condition {
    Weak,
    #[default]
    Fair,
    Strong,
}

impl Condition {
    pub const ALL: [Self; 3] = [Self::Weak, Self::Fair, Self::Strong];

    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Weak => "weak",
            Self::Fair => "fair",
            Self::Strong => "strong",
        }
    }
}

/// One flowering in the past.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Flowering {
    pub first_open: NaiveDate,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub last_open: Option<NaiveDate>,
    /// Spikes, scapes or flower heads.
    #[serde(default)]
    pub spikes: u32,
}

/// A stage of the year that this plant begins sooner or later than its kind, on the grower's word.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StageShift {
    pub stage: StageName,
    /// Days later than kind and climate have it, -90..=90; negative for sooner.
    pub days: i32,
}

/// One potted plant.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Plant {
    pub name: String,
    pub kind: Id,
    #[serde(skip_serializing_if = "String::is_empty")]
    pub clone_name: String,
    pub pot: Pot,
    /// Canopy seen from above: its diameter, cm.
    pub spread_cm: f64,
    /// Weight of pot and plant when watered, kg.
    pub weight_kg: f64,
    /// Where it stands now; not placed yet if `None`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stands: Option<Id>,
    pub condition: Condition,
    pub flowered: Vec<Flowering>,
    /// Where its year differs from its kind's; what is said here stands over what the journal teaches.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub stage_shift: Vec<StageShift>,
    /// How much it matters beside the others, 0.1..=10.
    pub worth: f64,
    /// The grower wants to have it where people sit while it is in bloom.
    pub show_in_bloom: bool,
    #[serde(skip_serializing_if = "String::is_empty")]
    pub note: String,
}

impl Default for Plant {
    fn default() -> Self {
        Self {
            name: String::new(),
            kind: Id::new(""),
            clone_name: String::new(),
            pot: Pot::default(),
            spread_cm: 50.0,
            weight_kg: 5.0,
            stands: None,
            condition: Condition::Fair,
            flowered: Vec::new(),
            stage_shift: Vec::new(),
            worth: 1.0,
            show_in_bloom: false,
            note: String::new(),
        }
    }
}
