//! Over which weeks scores are averaged.

use crate::{
    app::state::Sight,
    base::{Id, Season, Week},
    needs::StageName,
};

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Period {
    /// The week under the ribbon's mark.
    Week,
    Season(Season),
    Stage(StageName),
    #[default]
    Year,
}

impl Period {
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Week => "the ribbon's week",
            Self::Season(season) => season.name(),
            Self::Stage(stage) => stage.word(),
            Self::Year => "the whole year",
        }
    }

    /// Periods worth offering for the plant that is shown: its own stages, not all there are.
    #[must_use]
    pub fn offered(sight: &Sight<'_>) -> Vec<Self> {
        let mut all = vec![Self::Year, Self::Week];
        all.extend(Season::ALL.map(Self::Season));
        let kind = sight.plant().and_then(|(_, p)| sight.site().kind(&p.kind));
        for stage in kind.iter().flat_map(|k| &k.stages) {
            let stage = Self::Stage(stage.stage);
            if !all.contains(&stage) {
                all.push(stage);
            }
        }
        all
    }

    /// Whether a calendar week belongs to it, for a plant.
    #[must_use]
    pub fn has(self, sight: &Sight<'_>, plant: &Id, week: Week) -> bool {
        match self {
            Self::Year => true,
            Self::Week => week == sight.week(),
            Self::Season(season) => week.season(sight.hemisphere()) == season,
            Self::Stage(stage) => sight
                .stage(plant, week)
                .is_some_and(|(_, s)| s.stage == stage),
        }
    }
}

/// Mean of what is known; `None` where nothing is.
#[must_use]
pub fn mean(points: impl Iterator<Item = Option<f64>>) -> Option<f64> {
    let known: Vec<f64> = points.flatten().collect();
    (!known.is_empty()).then(|| known.iter().sum::<f64>() / known.len() as f64)
}
