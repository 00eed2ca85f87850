//! What went wrong: causes of a symptom, ranked by this plant's own year.

mod evidence;
mod record;
mod rules;

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::Serialize;

use crate::{
    base::Id,
    scoring::{Scores, SpotWeek},
    site::Site,
};
use evidence::Evidence;
use record::Record;

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Symptom {
    NoFlowers,
    BudsDrop,
    LeavesScorched,
    LeavesDark,
    LeavesYellow,
    BrownTips,
    Shrivelled,
    BlackSpots,
    FrostDamage,
}

impl Symptom {
    pub const ALL: [Self; 9] = [
        Self::NoFlowers,
        Self::BudsDrop,
        Self::LeavesScorched,
        Self::LeavesDark,
        Self::LeavesYellow,
        Self::BrownTips,
        Self::Shrivelled,
        Self::BlackSpots,
        Self::FrostDamage,
    ];

    /// What the grower sees.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::NoFlowers => "no spikes or flowers",
            Self::BudsDrop => "buds turn yellow and drop",
            Self::LeavesScorched => "pale, then dry brown patches on the sunny side",
            Self::LeavesDark => "dark green, long, floppy leaves",
            Self::LeavesYellow => "yellow leaves",
            Self::BrownTips => "brown leaf tips",
            Self::Shrivelled => "limp or wrinkled",
            Self::BlackSpots => "black soft spots on leaves or flowers",
            Self::FrostDamage => "glassy, then black leaves after a cold night",
        }
    }
}

/// A cause with what speaks for and against it in this plant's record.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Cause {
    pub name: String,
    /// 0..=1, of all causes considered, with a share left for what no record holds.
    pub likelihood: f64,
    pub evidence_for: Vec<String>,
    pub evidence_against: Vec<String>,
    pub remedy: String,
    pub source: String,
}

/// All that a diagnosis is made from.
#[derive(Clone)]
pub struct TroubleInputs<'a> {
    pub site: &'a Site,
    pub plant: &'a Id,
    pub scores: &'a Scores,
    /// What each spot offers in each of 52 calendar weeks.
    pub spot_weeks: BTreeMap<Id, &'a [SpotWeek]>,
    pub today: NaiveDate,
}

impl TroubleInputs<'_> {
    fn spot_name(&self, spot: &Id) -> String {
        self.site
            .spots
            .get(spot)
            .map(|s| s.name.as_str())
            .filter(|n| !n.is_empty())
            .map_or_else(|| spot.to_string(), |n| format!("“{n}”"))
    }
}

/// Weight of whatever the record does not hold: a mix of unknown age, a neighbour's smoke, a virus.
const UNSEEN: f64 = 1.0;

/// Causes of a symptom, likeliest first. The past year is that of the typical weather at the spots where the
/// journal says that the plant stood, or where it stands now if the journal knows of no move; what the weather of
/// this very year was is not known. Empty for an unknown plant or kind.
#[must_use]
pub fn causes(inputs: &TroubleInputs<'_>, symptom: Symptom) -> Vec<Cause> {
    let Some(record) = Record::of(inputs) else {
        return Vec::new();
    };
    let mut weighed: Vec<(f64, Cause)> = rules::RULES
        .iter()
        .filter(|rule| rule.symptom == symptom && (rule.applies)(&record))
        .map(|rule| {
            let mut evidence = Evidence::default();
            (rule.weigh)(&record, &mut evidence);
            let cause = Cause {
                name: rule.name.to_owned(),
                likelihood: 0.0,
                evidence_for: evidence.pro,
                evidence_against: evidence.con,
                remedy: rule.remedy.to_owned(),
                source: rule.source.to_owned(),
            };
            (rule.prior * evidence.odds.clamp(-3.0, 3.5).exp(), cause)
        })
        .collect();
    weighed.push((UNSEEN, unseen(&record)));
    let total: f64 = weighed.iter().map(|(weight, _)| weight).sum();
    // Stable: equals keep the order of the rules.
    weighed.sort_by(|a, b| b.0.total_cmp(&a.0));
    weighed
        .into_iter()
        .map(|(weight, cause)| Cause {
            likelihood: weight / total,
            ..cause
        })
        .collect()
}

/// What is left when the record is silent, with how thin it is.
fn unseen(record: &Record<'_>) -> Cause {
    let mut thin = Vec::new();
    if !record.moves_told {
        thin.push(
            "the journal knows of no move in the past year: it is taken to have stood where it stands now"
                .to_owned(),
        );
    }
    let known = record.known();
    if known < 0.8 {
        thin.push(format!(
            "where it stood, or what that spot offers, is known for {:.0} of the past 52 weeks",
            known * 52.0
        ));
    }
    if record.waterings(120).is_none() {
        thin.push("fewer than three waterings in the journal of the past four months".to_owned());
    }
    Cause {
        name: "Something the record does not hold".to_owned(),
        likelihood: 0.0,
        evidence_for: thin,
        evidence_against: Vec::new(),
        remedy: "look at the roots and under the leaves; keep the journal of moves and waterings for some weeks"
            .to_owned(),
        source: crate::needs::Source::CommonPractice.text().to_owned(),
    }
}
