//! A plant's past year as far as it can be known: where it stood, what the spot offered, what was done.

use chrono::{Days, NaiveDate};

use super::TroubleInputs;
use crate::{
    base::{Day, Id, Week},
    care,
    needs::{Band, Kind, Stage, StageName},
    scoring::{HazardKind, Score, SpotWeek},
    site::{Event, JournalEntry, Plant},
};

/// A week of the past. The newest ends today.
pub(super) struct PastWeek<'a> {
    pub date: NaiveDate,
    pub stage: Option<&'a Stage>,
    pub offered: Option<&'a SpotWeek>,
    pub score: Option<&'a Score>,
}

pub(super) struct Record<'a> {
    pub inputs: &'a TroubleInputs<'a>,
    pub plant: &'a Plant,
    pub kind: &'a Kind,
    /// 52, newest first.
    pub weeks: Vec<PastWeek<'a>>,
    /// Whether the journal tells of moves, or all is taken from where it stands now.
    pub moves_told: bool,
}

/// A move of the past year with what it changed.
pub(super) struct PastMove<'a> {
    pub date: NaiveDate,
    pub to: Id,
    pub before: Option<&'a SpotWeek>,
    pub after: Option<&'a SpotWeek>,
}

impl<'a> Record<'a> {
    pub fn of(inputs: &'a TroubleInputs<'a>) -> Option<Self> {
        let plant = &**inputs.site.plants.get(inputs.plant)?;
        let kind = inputs.site.kind(&plant.kind)?;
        let moves_told = moves(inputs).next().is_some();
        let weeks = (0..52_u64)
            .map(|back| {
                let date = inputs.today - Days::new(7 * back + 6);
                let middle = date + Days::new(3);
                let week = Day::of(middle).week();
                let spot = spot_on(inputs, plant, middle);
                PastWeek {
                    date,
                    stage: inputs
                        .scores
                        .stage(inputs.plant, kind, week)
                        .map(|(_, s)| s),
                    offered: spot.as_ref().and_then(|s| offered(inputs, s, week)),
                    score: spot
                        .as_ref()
                        .and_then(|s| inputs.scores.get(inputs.plant, s, week)),
                }
            })
            .collect();
        Some(Self {
            inputs,
            plant,
            kind,
            weeks,
            moves_told,
        })
    }

    /// Share of the past weeks of which the spot and its air or light are known, 0..=1.
    pub fn known(&self) -> f64 {
        let known = self.weeks.iter().filter(|w| w.offered.is_some()).count();
        known as f64 / self.weeks.len().max(1) as f64
    }

    /// The newest `count` weeks.
    pub fn last(&self, count: usize) -> Vec<&PastWeek<'a>> {
        self.weeks.iter().take(count).collect()
    }

    /// Weeks of some stages.
    pub fn in_stages(&self, stages: &[StageName]) -> Vec<&PastWeek<'a>> {
        self.weeks
            .iter()
            .filter(|w| w.stage.is_some_and(|s| stages.contains(&s.stage)))
            .collect()
    }

    /// Journal entries about this plant within so many days, newest first.
    pub fn entries(&self, within_d: i64) -> Vec<&'a JournalEntry> {
        let today = self.inputs.today;
        let mut entries: Vec<&JournalEntry> = self
            .inputs
            .site
            .journal
            .iter()
            .filter(|e| e.plant.as_ref() == Some(self.inputs.plant))
            .filter(|e| (0..=within_d).contains(&(today - e.date).num_days()))
            .collect();
        entries.sort_by_key(|e| std::cmp::Reverse(e.date));
        entries
    }

    /// Moves within so many days, newest first.
    pub fn moves(&self, within_d: i64) -> Vec<PastMove<'a>> {
        self.entries(within_d)
            .into_iter()
            .filter_map(|e| {
                let Event::Moved(to) = &e.event else {
                    return None;
                };
                let week = Day::of(e.date).week();
                let from = spot_on(self.inputs, self.plant, e.date - Days::new(1));
                Some(PastMove {
                    date: e.date,
                    to: to.clone(),
                    before: from.and_then(|f| offered(self.inputs, &f, week)),
                    after: offered(self.inputs, to, week),
                })
            })
            .collect()
    }

    /// DLI of a week as the kind counts it.
    pub fn dli(&self, offered: &SpotWeek) -> Option<f64> {
        crate::scoring::Factor::Light.offered(self.kind, offered)
    }

    /// Longest and mean days between waterings in the journal, and the mean of what the same weeks would ask for.
    pub fn waterings(&self, within_d: i64) -> Option<(f64, f64, f64)> {
        let mut dates: Vec<NaiveDate> = self
            .entries(within_d)
            .iter()
            .filter(|e| e.event == Event::Watered)
            .map(|e| e.date)
            .collect();
        dates.reverse();
        dates.dedup();
        if dates.len() < 3 {
            return None;
        }
        let gaps: Vec<f64> = dates
            .windows(2)
            .map(|d| (d[1] - d[0]).num_days() as f64)
            .collect();
        let asked: Vec<f64> = self
            .weeks
            .iter()
            .filter(|w| w.date >= dates[0])
            .filter_map(|w| care::watering_interval_d(self.plant, &w.stage?.water, w.offered?))
            .collect();
        if asked.is_empty() {
            return None;
        }
        let mean = |v: &[f64]| v.iter().sum::<f64>() / v.len() as f64;
        Some((
            gaps.iter().copied().fold(0.0, f64::max),
            mean(&gaps),
            mean(&asked),
        ))
    }
}

impl PastWeek<'_> {
    pub fn night_c(&self) -> Option<f64> {
        Some(self.offered?.air.as_ref()?.night_c)
    }

    pub fn rh_day_pct(&self) -> Option<f64> {
        Some(self.offered?.air.as_ref()?.rh_day_pct)
    }

    pub fn night_band(&self) -> Option<Band> {
        Some(self.stage?.needs.night_c.value)
    }

    pub fn chance(&self, kinds: &[HazardKind]) -> Option<f64> {
        let hazards = &self.score?.hazards;
        Some(
            hazards
                .iter()
                .filter(|h| kinds.contains(&h.kind))
                .map(|h| h.chance)
                .fold(0.0, f64::max),
        )
    }
}

fn offered<'a>(inputs: &'a TroubleInputs<'_>, spot: &Id, week: Week) -> Option<&'a SpotWeek> {
    inputs.spot_weeks.get(spot)?.get(week.index())
}

fn moves<'a>(inputs: &'a TroubleInputs<'_>) -> impl Iterator<Item = (NaiveDate, &'a Id)> {
    inputs.site.journal.iter().filter_map(|e| match &e.event {
        Event::Moved(to) if e.plant.as_ref() == Some(inputs.plant) && e.date <= inputs.today => {
            Some((e.date, to))
        }
        _ => None,
    })
}

/// Where it stood on a day; moves of days to come do not count.
fn spot_on(inputs: &TroubleInputs<'_>, plant: &Plant, date: NaiveDate) -> Option<Id> {
    if moves(inputs).next().is_none() {
        return plant.stands.clone();
    }
    inputs.site.stood_on(inputs.plant, date).cloned()
}
