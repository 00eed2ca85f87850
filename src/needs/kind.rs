//! A kind of plant: its stages through the year and what it wants, endures and is harmed by in each.

use serde::{Deserialize, Serialize};

use super::{Band, Figure};
use crate::base::{Day, Hemisphere, MonthDay, Week};

/// Plants that growers think of together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Group {
    CoolOrchid,
    IntermediateOrchid,
    WarmOrchid,
    Citrus,
    Shrub,
    Bulb,
    Flowering,
    Foliage,
    Succulent,
}

/// Stage of a plant's year.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum StageName {
    Growth,
    /// Flower spikes or buds are being laid down; often nothing is to be seen yet.
    Initiation,
    /// Spike, scape or buds visible and swelling.
    Bud,
    Bloom,
    AfterBloom,
    Rest,
}

impl StageName {
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Growth => "growth",
            Self::Initiation => "flower setting",
            Self::Bud => "bud",
            Self::Bloom => "bloom",
            Self::AfterBloom => "after bloom",
            Self::Rest => "rest",
        }
    }
}

/// How a leaf meets the light: decides which receptor its light is counted on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum LightForm {
    /// Spreading leaves: a horizontal plane, as a meter held level reads it.
    #[default]
    Spreading,
    /// Thin upright leaves: half a horizontal plane, half an upright cylinder.
    Upright,
}

/// One kind, for example standard cymbidiums.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Kind {
    /// What growers call it.
    pub name: String,
    /// Genus or species.
    pub botanical: String,
    pub group: Group,
    #[serde(default)]
    pub light_form: LightForm,
    /// Stages in the order of the northern year; each lasts until the next begins, the last until the first.
    pub stages: Vec<Stage>,
    pub damage: Damage,
    pub leaf: Leaf,
    pub repot: Repot,
    pub poison: Poison,
    /// How hard a change of place hits it, 0 (not at all) to 1 (drops leaves or buds).
    pub change_sensitivity: Figure<f64>,
    /// Largest rise in DLI at one move that old leaves stand, as a ratio (1.5 = half as much again).
    pub brighter_step: Figure<f64>,
    /// What the grower should know that no figure says.
    #[serde(default)]
    pub note: String,
}

impl Kind {
    /// What its flowers are counted in, for one and for several: orchids carry spikes, bulbs stems, others flowers.
    #[must_use]
    pub fn flower_words(&self) -> (&'static str, &'static str) {
        match self.group {
            Group::CoolOrchid | Group::IntermediateOrchid | Group::WarmOrchid => {
                ("spike", "spikes")
            }
            Group::Bulb => ("flower stem", "flower stems"),
            Group::Citrus | Group::Shrub | Group::Flowering | Group::Foliage | Group::Succulent => {
                ("flower", "flowers")
            }
        }
    }
}

/// A stage and what the plant wants in it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stage {
    pub stage: StageName,
    /// First day, written for the northern hemisphere: `"07-15"`.
    pub from: MonthDay,
    pub needs: Needs,
    pub water: Water,
    pub feed: Feed,
}

/// What is wanted in a stage. `None` where the factor does not matter to the kind in this stage.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Needs {
    /// Daily light integral, mol m⁻² d⁻¹, weekly mean.
    pub dli: Figure<Band>,
    /// Peak PPFD of a clear day, µmol m⁻² s⁻¹; only the upper two corners count (too bright).
    pub peak_ppfd: Figure<Band>,
    /// Mean air temperature by day, °C.
    pub day_c: Figure<Band>,
    /// Night minimum of the air, °C, weekly mean.
    pub night_c: Figure<Band>,
    /// Day maximum less night minimum, K, weekly mean; only the lower two corners count.
    #[serde(default)]
    pub day_night_k: Option<Figure<Band>>,
    /// Relative humidity by day, %, weekly mean.
    pub rh_pct: Figure<Band>,
    /// Vapour pressure deficit of the air by day, kPa, weekly mean; only the upper two corners count (draws too hard).
    #[serde(default)]
    pub vpd_kpa: Option<Figure<Band>>,
    /// Air speed at the leaf, m/s, weekly mean of the hours when it is highest; upper corners are the draught endured.
    pub air_m_s: Figure<Band>,
    /// How much each factor weighs in this stage, where it is not 1: for example night warmth in `Initiation`.
    #[serde(default)]
    pub weights: Weights,
}

/// Weight of each factor in a stage, 0..=3; 1 where nothing is said.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Weights {
    pub dli: f64,
    pub peak_ppfd: f64,
    pub day_c: f64,
    pub night_c: f64,
    pub day_night_k: f64,
    pub rh_pct: f64,
    pub vpd_kpa: f64,
    pub air_m_s: f64,
}

impl Default for Weights {
    fn default() -> Self {
        Self {
            dli: 1.0,
            peak_ppfd: 1.0,
            day_c: 1.0,
            night_c: 1.0,
            day_night_k: 1.0,
            rh_pct: 1.0,
            vpd_kpa: 1.0,
            air_m_s: 1.0,
        }
    }
}

/// Temperatures at which parts are hurt, °C.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Damage {
    /// Leaf temperature at or below which leaves are hurt.
    pub leaf_frost_c: Figure<f64>,
    /// The same for spikes, buds and open flowers.
    pub bud_frost_c: Figure<f64>,
    /// Temperature of the pot at or below which roots are hurt.
    pub root_frost_c: Figure<f64>,
    /// Leaf temperature at or above which leaves scorch.
    pub leaf_heat_c: Figure<f64>,
    /// Air temperature at or above which buds and flowers drop.
    #[serde(default)]
    pub bud_heat_c: Option<Figure<f64>>,
    /// Temperature of the mix at or above which roots are hurt.
    #[serde(default)]
    pub root_heat_c: Option<Figure<f64>>,
    /// Air temperature at which growers bring it in, a margin above harm.
    pub bring_in_c: Figure<f64>,
}

/// What the energy balance of a leaf needs.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Leaf {
    /// Typical width, m.
    pub width_m: f64,
    /// Stomatal conductance by day, mol m⁻² s⁻¹: about 0.02-0.05 for orchids and succulents, 0.3 for soft leaves.
    pub conductance_mol_m2_s: f64,
}

/// Watering in a stage.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Water {
    /// Share of the available water that may be used before watering, 0..=1.
    pub depletion: Figure<f64>,
    /// Crop coefficient on the canopy's area (FAO-56 Kc).
    pub crop_coefficient: Figure<f64>,
    /// Days between waterings that growers name, shortest and longest.
    pub interval_d: Figure<(f64, f64)>,
    #[serde(default)]
    pub note: String,
}

/// Feeding in a stage; `interval_d` of `None` means no feed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Feed {
    /// Days between feeds.
    #[serde(default)]
    pub interval_d: Option<f64>,
    /// Nitrogen in the feed, mg/L.
    #[serde(default)]
    pub nitrogen_mg_l: Option<f64>,
    #[serde(default)]
    pub note: String,
    pub source: super::Source,
}

/// When to repot.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Repot {
    /// Years between repottings.
    pub every_years: Figure<f64>,
    /// Northern window.
    pub from: MonthDay,
    pub to: MonthDay,
    #[serde(default)]
    pub note: String,
    /// Medium growers use.
    #[serde(default)]
    pub medium: String,
    #[serde(default)]
    pub pot_sense: PotSense,
}

/// How it likes its pot.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum PotSense {
    /// Flowers best when tight in the pot.
    Tight,
    #[default]
    Ordinary,
    Roomy,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Toxicity {
    /// Not listed as poisonous.
    NotListed,
    /// Upsets or irritates.
    Mild,
    /// Can be serious.
    Serious,
}

/// Whether it is poisonous. The program shows a warning and names a poison centre; it gives no dose advice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Poison {
    pub people: Toxicity,
    pub pets: Toxicity,
    pub source: super::Source,
}

impl Kind {
    /// The stage on a day of the calendar year, and its place in `stages`. Hemisphere moves it by half a year.
    /// `None` only for a kind without stages, which no reader lets through.
    #[must_use]
    pub fn stage_on(&self, day: Day, hemisphere: Hemisphere) -> Option<(usize, &Stage)> {
        self.stages.iter().enumerate().min_by_key(|(_, s)| {
            let start = hemisphere.shift(s.from.day_of_year());
            (day.index() + crate::base::calendar::DAYS - start.index())
                % crate::base::calendar::DAYS
        })
    }

    /// The stage in the middle of a week.
    #[must_use]
    pub fn stage_in(&self, week: Week, hemisphere: Hemisphere) -> Option<(usize, &Stage)> {
        self.stage_on(week.first_day().plus(3), hemisphere)
    }
}
