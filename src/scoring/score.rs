//! The score of a week, with a band and the reason; [`super::judge`] makes it.
//!
//! S = 100 · (w m + (1 − w) g) · Π(1 − pₖ sₖ)^lₖ, where m is the least of what the factors leave, g their weighted
//! geometric mean, w the share of the least (0.65), and p, s, l chance, severity and lasting weeks of each danger. A
//! pure minimum is easily explained but deaf to a second fault; a pure mean hides a single killer among six comforts.
//! All figures of this stand in `assets/scoring.ron`; see [`super::rules`].

use std::sync::Arc;

use serde::{Serialize, Serializer, ser::SerializeStruct};

use super::{
    Factor, FactorScore, Hazard, HazardKind,
    tally::Tally,
    wants::{ByFactor, FACTORS, Wants},
};
use crate::needs::StageName;

/// A score with its reason in the type: no caller can show a number without its why.
#[derive(Clone, Debug)]
pub struct Score {
    /// 0..=100; `None` when too little is known.
    pub points: Option<f64>,
    /// 10 and 90 % points by what is uncertain.
    pub band: (f64, f64),
    pub stage: StageName,
    /// What holds it back most.
    pub limiting: Limiting,
    /// Shared by all scores of a stage: a site has tens of thousands of them.
    pub(super) wants: Arc<Wants>,
    /// What is met.
    pub(super) met: ByFactor,
    pub hazards: Vec<Hazard>,
}

impl PartialEq for Score {
    fn eq(&self, other: &Self) -> bool {
        self.points == other.points
            && self.band == other.band
            && self.stage == other.stage
            && self.limiting == other.limiting
            && self.factors().eq(other.factors())
            && self.hazards == other.hazards
    }
}

impl Serialize for Score {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let factors: Vec<FactorScore> = self.factors().collect();
        let mut out = to.serialize_struct("Score", 6)?;
        out.serialize_field("points", &self.points)?;
        out.serialize_field("band", &self.band)?;
        out.serialize_field("stage", &self.stage)?;
        out.serialize_field("limiting", &self.limiting)?;
        out.serialize_field("factors", &factors)?;
        out.serialize_field("hazards", &self.hazards)?;
        out.end()
    }
}

impl Score {
    #[must_use]
    pub fn word(&self) -> Option<ScoreWord> {
        self.points.map(ScoreWord::of)
    }

    /// Every condition that counts in the stage, held against its range.
    pub fn factors(&self) -> impl Iterator<Item = FactorScore> + '_ {
        self.wants.held_against(&self.met)
    }

    #[must_use]
    pub fn factor(&self, factor: Factor) -> Option<FactorScore> {
        self.factors().find(|f| f.factor == factor)
    }

    #[must_use]
    pub fn hazard(&self, kind: HazardKind) -> Option<&Hazard> {
        self.hazards.iter().find(|h| h.kind == kind)
    }

    /// Factors whose condition is not known here.
    pub fn unknown(&self) -> impl Iterator<Item = Factor> {
        self.factors()
            .filter(|f| f.response.is_none())
            .map(|f| f.factor)
    }

    /// Points gained if what holds it back most were mended; `None` when nothing does or too little is known.
    #[must_use]
    pub fn gain_if_mended(&self) -> Option<f64> {
        let points = self.points?;
        let tally = Tally::of(&self.wants.weights, &self.wants.responses(&self.met));
        let safe = |but: Option<HazardKind>| -> f64 {
            self.hazards
                .iter()
                .filter(|h| Some(h.kind) != but)
                .map(Hazard::left)
                .product()
        };
        let mended = match self.limiting {
            Limiting::Factor(which) => tally.points_with(which as usize, 1.0) * safe(None),
            Limiting::Hazard(which) => tally.points() * safe(Some(which)),
            Limiting::Nothing | Limiting::Unknown => return None,
        };
        Some((mended - points).max(0.0))
    }
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
        // The word must fit the whole number it stands beside.
        let points = points.round();
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

/// Points of given factors and dangers, whether or not enough of them is known.
pub(super) fn points_of(factors: impl IntoIterator<Item = FactorScore>, hazards: &[Hazard]) -> f64 {
    let (mut weights, mut responses) = ([0.0; FACTORS], [f64::NAN; FACTORS]);
    for f in factors {
        weights[f.factor as usize] = f.weight;
        responses[f.factor as usize] = f.response.unwrap_or(f64::NAN);
    }
    let safe = hazards.iter().map(Hazard::left).product::<f64>();
    Tally::of(&weights, &responses).points() * safe
}
