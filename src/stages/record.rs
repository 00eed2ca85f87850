//! What the journal and the list of flowerings teach of a plant's own timing.

use chrono::NaiveDate;

use super::{StageCalendar, apart, since};
use crate::{
    base::{Day, Id},
    needs::{Kind, Stage, StageName},
    site::{Event, Site},
};

/// A sight further than this from where the stage is expected belongs to another flowering, and teaches nothing, days.
const FARTHEST_D: i64 = 70;

/// Sights of one flowering lie within this many days of one another.
const ONE_FLOWERING_D: i64 = 200;

/// The beginning of a stage that somebody saw.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Sight {
    date: NaiveDate,
    mark: Mark,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Mark {
    /// Spike or buds: [`StageName::Bud`] begins.
    Spike,
    /// First open flower: [`StageName::Bloom`] begins.
    Open,
    /// Last flower: what follows bloom begins.
    Over,
}

/// What moves a stage because it was seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Seen {
    pub later_d: i64,
    /// Seen itself in the flowering that runs.
    pub now: bool,
}

/// All that is on record of a plant's flowerings, oldest first.
pub struct Flowerings(Vec<Sight>);

impl Flowerings {
    #[must_use]
    pub fn of(site: &Site, plant: &Id) -> Self {
        let mut sights: Vec<Sight> = site
            .journal
            .iter()
            .filter(|e| e.plant.as_ref() == Some(plant))
            .filter_map(|e| {
                let mark = match e.event {
                    Event::SpikeSeen | Event::BudsSeen => Mark::Spike,
                    Event::FirstFlower => Mark::Open,
                    Event::LastFlower => Mark::Over,
                    _ => return None,
                };
                Some(Sight { date: e.date, mark })
            })
            .collect();
        if let Some(plant) = site.plants.get(plant) {
            for f in &plant.flowered {
                sights.push(Sight {
                    date: f.first_open,
                    mark: Mark::Open,
                });
                sights.extend(f.last_open.map(|date| Sight {
                    date,
                    mark: Mark::Over,
                }));
            }
        }
        sights.sort();
        // Spike and buds of one flowering, or a flower that stands in both lists, are one beginning: the first.
        let mut kept: Vec<Sight> = Vec::new();
        for sight in sights {
            let again = kept.iter().any(|k| {
                k.mark == sight.mark && (sight.date - k.date).num_days() < ONE_FLOWERING_D
            });
            if !again {
                kept.push(sight);
            }
        }
        Self(kept)
    }

    /// How far each stage of the kind lies from where kind and climate put it. Sights of the flowering that runs on
    /// `from` are taken as they are, and what follows comes after the kind's usual lag; of flowerings before, the mean
    /// over the years is believed to n/(n + 1): one year to a half, three to three quarters (our choice).
    pub(super) fn shifts(
        &self,
        kind: &Kind,
        expected: &StageCalendar,
        from: NaiveDate,
    ) -> Vec<Option<Seen>> {
        let mut shifts = vec![None; kind.stages.len()];
        let told: Vec<(Sight, usize, i64)> = self
            .0
            .iter()
            .filter(|s| s.date <= from)
            .filter_map(|s| {
                let index = stage_of(kind, s.mark)?;
                // From where kind and climate put it, before its neighbours push.
                let start = expected.starts().get(index)?;
                let later = apart(start.usual.plus(start.climate_d), Day::of(s.date));
                (later.abs() <= FARTHEST_D).then_some((*s, index, later))
            })
            .collect();
        let newest = told.last().map(|(s, ..)| s.date);
        let runs = told
            .last()
            .is_some_and(|(s, index, _)| still_runs(kind, expected, *s, *index, from));
        let of_this =
            |s: &Sight| runs && newest.is_some_and(|n| (n - s.date).num_days() < ONE_FLOWERING_D);
        for mark in [Mark::Spike, Mark::Open, Mark::Over] {
            let Some(index) = stage_of(kind, mark) else {
                continue;
            };
            let before: Vec<i64> = told
                .iter()
                .filter(|(s, ..)| s.mark == mark && !of_this(s))
                .map(|(.., later)| *later)
                .collect();
            if before.is_empty() {
                continue;
            }
            let n = before.len() as f64;
            let habit = (before.iter().sum::<i64>() as f64 / n * n / (n + 1.0)).round() as i64;
            // An open flower tells of its bud too, unless that was seen by itself.
            let first = match mark {
                Mark::Open if !told.iter().any(|(s, ..)| s.mark == Mark::Spike) => {
                    stage_of(kind, Mark::Spike).unwrap_or(index)
                }
                _ => index,
            };
            for at in run(kind, first) {
                shifts[at] = Some(Seen {
                    later_d: habit,
                    now: false,
                });
            }
        }
        for (_, index, later) in told.iter().filter(|(s, ..)| of_this(s)) {
            for at in run(kind, *index) {
                shifts[at] = Some(Seen {
                    later_d: *later,
                    now: at == *index,
                });
            }
        }
        shifts
    }
}

/// Whether a flowering of which this was seen is not over on a day: its bloom, put as far off as what was seen, still
/// lasts or is still to come.
fn still_runs(
    kind: &Kind,
    expected: &StageCalendar,
    sight: Sight,
    index: usize,
    from: NaiveDate,
) -> bool {
    let Some(bloom) = stage_of(kind, Mark::Open) else {
        return false;
    };
    let end = (bloom + 1) % kind.stages.len();
    let starts = expected.starts();
    let (Some(seen), Some(over)) = (starts.get(index), starts.get(end)) else {
        return false;
    };
    let left = if index == end {
        0
    } else {
        since(seen.day, over.day) as i64
    };
    (from - sight.date).num_days() <= left
}

/// The stage that a sight begins.
fn stage_of(kind: &Kind, mark: Mark) -> Option<usize> {
    let find = |name: StageName| kind.stages.iter().position(|s| s.stage == name);
    match mark {
        Mark::Spike => find(StageName::Bud),
        Mark::Open => find(StageName::Bloom),
        Mark::Over => find(StageName::Bloom)
            .map(|i| (i + 1) % kind.stages.len())
            .filter(|i| !comes_with_the_cold(&kind.stages[*i])),
    }
}

/// A rest that begins in autumn comes with the cold and not with the last flower.
fn comes_with_the_cold(stage: &Stage) -> bool {
    stage.stage == StageName::Rest && (9..=12).contains(&stage.from.month)
}

/// A stage and those that follow from it in one flowering: bud, bloom, after bloom.
fn run(kind: &Kind, first: usize) -> Vec<usize> {
    let n = kind.stages.len();
    let follows = |at: usize| {
        matches!(
            kind.stages[at].stage,
            StageName::Bloom | StageName::AfterBloom
        )
    };
    let mut all = vec![first];
    all.extend(
        (1..n)
            .map(|k| (first + k) % n)
            .take_while(|at| follows(*at)),
    );
    all
}
