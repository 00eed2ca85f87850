use chrono::{NaiveDate, NaiveDateTime};
use serde::{Deserialize, Serialize};

use super::{Logged, Pot};
use crate::base::{Id, Months, Pt, geometry, names, units};

/// How hard it is to get a pot there.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Reach {
    #[default]
    Easy,
    /// A step or a tight corner.
    Awkward,
    /// Stairs.
    Stairs,
    /// Overhead: steps or a ladder.
    Overhead,
}

/// How much stands on a spot.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Holds {
    /// Number of pots side by side …
    pub pots: u32,
    /// … of this rim diameter, cm. No wider pot fits.
    pub rim_cm: f64,
}

impl Default for Holds {
    fn default() -> Self {
        Self {
            pots: 1,
            rim_cm: 24.0,
        }
    }
}

/// A pot that is wider than a spot takes.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Misfit {
    /// Rim of the pot, cm.
    pub pot_cm: f64,
    /// Widest rim that the spot takes, cm.
    pub takes_cm: f64,
}

impl Misfit {
    /// By how much the pot is too wide, cm.
    #[must_use]
    pub fn over_cm(&self) -> f64 {
        self.pot_cm - self.takes_cm
    }

    /// `"pot too wide: 20 cm, spot takes 18 cm"`
    #[must_use]
    pub fn words(&self) -> String {
        format!(
            "pot too wide: {} cm, spot takes {} cm",
            names::short(self.pot_cm),
            names::short(self.takes_cm)
        )
    }
}

impl Holds {
    /// Why a pot may not stand here whatever room there is; a millimetre is not quarrelled over.
    #[must_use]
    pub fn misfit(&self, pot: &Pot) -> Option<Misfit> {
        (pot.rim_cm > self.rim_cm + 0.1).then_some(Misfit {
            pot_cm: pot.rim_cm,
            takes_cm: self.rim_cm,
        })
    }
}

/// What is laid over pots at night.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum NightCoverKind {
    /// Spun fleece of about 17 g/m².
    #[default]
    Fleece,
    /// Clear film on hoops, clear of the leaves.
    Film,
    /// Spun fleece of 50 g/m² and more, or two layers and three of the thin.
    ThickFleece,
}

impl NightCoverKind {
    /// The least first.
    pub const ALL: [Self; 3] = [Self::Fleece, Self::Film, Self::ThickFleece];

    /// In the grower's words.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Fleece => "fleece",
            Self::Film => "film on hoops",
            Self::ThickFleece => "thick fleece",
        }
    }
}

/// A cover that hangs down to the ground all round by night and is off by day, so that light is not changed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct NightCover {
    pub kind: NightCoverKind,
    /// Months in which it is laid on in the evenings.
    pub months: Months,
}

/// A place where pots can stand.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Spot {
    pub name: String,
    /// The room it is in; outdoors if `None`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub room: Option<Id>,
    /// One point, a line of two (a sill), or an outline of three and more.
    pub outline: Vec<Pt>,
    /// Foot of the pots above the floor or ground, m.
    pub height_m: f64,
    /// Leaves above the foot of the pots, m: where light and air are computed.
    pub leaf_m: f64,
    pub holds: Holds,
    pub reach: Reach,
    /// Months in which pots may stand here.
    pub months: Months,
    /// How much colder clear still nights are here than around, K, 0..=5: a hollow, the foot of a slope.
    pub cold_hollow_k: f64,
    /// Frost cover by night; outdoors, and indoors in months without heating.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub night_cover: Option<NightCover>,
    pub light: Vec<LightReading>,
    pub min_max: Vec<MinMaxReading>,
    pub humidity: Vec<HumidityReading>,
    /// Records of loggers.
    pub logged: Vec<Logged>,
    #[serde(skip_serializing_if = "String::is_empty")]
    pub note: String,
}

impl Default for Spot {
    fn default() -> Self {
        Self {
            name: String::new(),
            room: None,
            outline: Vec::new(),
            height_m: 0.0,
            leaf_m: 0.45,
            holds: Holds::default(),
            reach: Reach::Easy,
            months: Months::ALL,
            cold_hollow_k: 0.0,
            night_cover: None,
            light: Vec::new(),
            min_max: Vec::new(),
            humidity: Vec::new(),
            logged: Vec::new(),
            note: String::new(),
        }
    }
}

impl Spot {
    /// Its middle on the plan.
    #[must_use]
    pub fn middle(&self) -> Pt {
        geometry::centroid(&self.outline)
    }
}

/// What a light meter said.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum LightValue {
    Lux(f64),
    FootCandles(f64),
    /// PPFD, µmol m⁻² s⁻¹.
    Ppfd(f64),
}

impl LightValue {
    /// As PPFD of daylight, µmol m⁻² s⁻¹.
    #[must_use]
    pub fn ppfd(self) -> f64 {
        match self {
            Self::Lux(lux) => units::ppfd_from_lux(lux),
            Self::FootCandles(fc) => units::ppfd_from_lux(units::lux_from_foot_candles(fc)),
            Self::Ppfd(ppfd) => ppfd,
        }
    }
}

/// The sky when a light reading was taken.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum SkyState {
    #[default]
    Clear,
    Mixed,
    Overcast,
}

/// A light reading taken level at leaf height.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LightReading {
    /// Local clock time.
    pub when: NaiveDateTime,
    pub value: LightValue,
    #[serde(default)]
    pub sky: SkyState,
    /// What the same meter said at the same minute in the open near by, under the whole sky.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub open: Option<LightValue>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

/// What a minimum-maximum thermometer showed in the morning, for the night just past and the day before it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MinMaxReading {
    pub date: NaiveDate,
    pub min_c: f64,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub max_c: Option<f64>,
    /// The same night's minimum at a weather station or in the open, °C, if known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub outdoors_min_c: Option<f64>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HumidityReading {
    /// Local clock time.
    pub when: NaiveDateTime,
    pub rh_pct: f64,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub air_c: Option<f64>,
}
