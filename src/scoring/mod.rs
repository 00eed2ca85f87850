//! How well a spot suits a plant in a week, 0 to 100, and why. Pure functions of needs and conditions.

use serde::Serialize;

use crate::{
    air::SpotAir,
    base::{Hemisphere, Id, Week, calendar::WEEKS},
    light::SpotLight,
    needs::{Band, Kind, StageName},
};

/// What a spot offers in a week. `None` where it is neither measured nor computed: unknown is not average.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct SpotWeek {
    /// Weekly mean DLI on the level, mol m⁻² d⁻¹.
    pub dli: Option<f64>,
    /// The same for upright leaves.
    pub upright_dli: Option<f64>,
    /// 10 and 90 % points of the week's DLI by weather and by the uncertainty of the light model.
    pub dli_band: Option<(f64, f64)>,
    /// Peak PPFD of a clear day, µmol m⁻² s⁻¹.
    pub clear_peak_ppfd: Option<f64>,
    /// Hours of direct sun on a clear day.
    pub clear_sun_h: Option<f64>,
    /// Part of the light that comes from one side, 0..=1.
    pub one_sided: Option<f64>,
    /// Air of the week.
    pub air: Option<crate::air::AirWeek>,
    /// Standard deviation of a night minimum's remaining error, K.
    pub night_sd_k: f64,
    pub indoors: bool,
    /// Cosine-weighted sky view of the month, for leaf temperatures by day.
    pub sky_view: f64,
}

/// A condition that is held against the plant's range.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Factor {
    Light,
    PeakLight,
    DayWarmth,
    NightWarmth,
    DayNightDifference,
    Humidity,
    AirMovement,
}

#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct FactorScore {
    pub factor: Factor,
    /// Response, 0 (harmed) to 1 (ideal); `None` when the condition is unknown.
    pub response: Option<f64>,
    pub weight: f64,
    /// The condition, in the unit of [`Factor::unit`].
    pub value: Option<f64>,
    /// The plant's range.
    pub band: Band,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum HazardKind {
    /// Frost on leaves.
    LeafFrost,
    /// Frost on spikes, buds or flowers.
    BudFrost,
    /// Frozen roots.
    RootFrost,
    /// Leaves hotter than they stand.
    Scorch,
    /// Warm dry plume of a heater on buds or flowers.
    HeaterPlume,
    /// Jet of a vent on buds or flowers.
    VentJet,
}

/// A danger that comes in some years.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Hazard {
    pub kind: HazardKind,
    /// Share of years in which it strikes in this week, 0..=1.
    pub chance: f64,
    /// Share of the score it takes when it strikes, 0..=1.
    pub severity: f64,
    /// Limit of the plant, °C, K or m/s.
    pub limit: f64,
    /// What is met here in the worst tenth of years, in the same unit.
    pub met: f64,
}

/// A score with its reason in the type: no caller can show a number without its why.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Score {
    /// 0..=100; `None` when too little is known.
    pub points: Option<f64>,
    /// 10 and 90 % points by what is uncertain.
    pub band: (f64, f64),
    pub stage: StageName,
    /// What holds it back most.
    pub limiting: Limiting,
    pub factors: Vec<FactorScore>,
    pub hazards: Vec<Hazard>,
}

#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Limiting {
    Factor(Factor),
    Hazard(HazardKind),
    /// Everything is within the plant's range.
    Nothing,
    Unknown,
}

/// Word for a score.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum ScoreWord {
    Harmed,
    Suffers,
    Copes,
    Suits,
    Thrives,
}

impl ScoreWord {
    #[must_use]
    pub fn of(points: f64) -> Self {
        if points >= 85.0 {
            Self::Thrives
        } else if points >= 70.0 {
            Self::Suits
        } else if points >= 50.0 {
            Self::Copes
        } else if points >= 25.0 {
            Self::Suffers
        } else {
            Self::Harmed
        }
    }

    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Harmed => "harmed",
            Self::Suffers => "suffers",
            Self::Copes => "copes",
            Self::Suits => "suits",
            Self::Thrives => "thrives",
        }
    }
}

/// Scores of every plant on every spot in every calendar week. `plants` and `spots` ascend.
#[derive(Clone, Debug, Default)]
pub struct Scores {
    pub plants: Vec<Id>,
    pub spots: Vec<Id>,
    /// Index `(plant * spots + spot) * 52 + week`.
    pub all: Vec<Score>,
}

impl Scores {
    #[must_use]
    pub fn get(&self, plant: &Id, spot: &Id, week: Week) -> Option<&Score> {
        let p = self.plants.binary_search(plant).ok()?;
        let s = self.spots.binary_search(spot).ok()?;
        self.all.get((p * self.spots.len() + s) * 52 + week.index())
    }
}

/// What a spot offers in each of 52 weeks.
#[must_use]
pub fn spot_weeks(light: &SpotLight, air: &SpotAir, indoors: bool) -> Vec<SpotWeek> {
    let _ = (light, air);
    vec![
        SpotWeek {
            indoors,
            ..SpotWeek::default()
        };
        WEEKS
    ]
}

/// Score of a kind on a spot in a week of the calendar year.
#[must_use]
pub fn score(kind: &Kind, hemisphere: Hemisphere, week: Week, offered: &SpotWeek) -> Score {
    let _ = offered;
    Score {
        points: None,
        band: (0.0, 100.0),
        stage: kind
            .stage_in(week, hemisphere)
            .map_or(StageName::Growth, |(_, s)| s.stage),
        limiting: Limiting::Unknown,
        factors: Vec::new(),
        hazards: Vec::new(),
    }
}

/// Why, in a sentence a grower would say, with the figure and the plant's range.
#[must_use]
pub fn why(score: &Score) -> String {
    let _ = score;
    String::new()
}
