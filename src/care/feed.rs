//! What to feed and when to repot, by the kind's stages.

use chrono::{Datelike, Days, NaiveDate};

use super::{CareInputs, Task, TaskKind, Year};
use crate::{
    base::Day,
    needs::{Kind, PotSense, StageName},
    site::{Event, Plant},
};

/// One task in each week in which a feed falls due.
pub(super) fn feeding(inputs: &CareInputs<'_>, year: &Year<'_>, out: &mut Vec<Task>) {
    for (id, plant) in inputs.site.plants.iter() {
        let Some(kind) = inputs.site.kind(&plant.kind) else {
            continue;
        };
        let fed = inputs
            .site
            .journal
            .iter()
            .filter(|e| e.event == Event::Fed && e.plant.as_ref() == Some(id))
            .map(|e| e.date)
            .filter(|d| *d <= inputs.plan.from)
            .max();
        let mut last = fed;
        let mut stage_before: Option<usize> = None;
        for (week, date) in year.dates.iter().enumerate() {
            let Some((index, stage)) = inputs.scores.stage(id, kind, year.weeks[week]) else {
                continue;
            };
            let begins = stage_before.is_some_and(|b| b != index);
            stage_before = Some(index);
            let Some(every_d) = stage.feed.interval_d else {
                if begins {
                    out.push(Task {
                        kind: TaskKind::Feed,
                        week,
                        date: *date,
                        plant: Some(id.clone()),
                        what: "No more feed".to_owned(),
                        why: reason(stage.stage, &stage.feed.note, stage.feed.source.text()),
                        caution: None,
                    });
                }
                last = None;
                continue;
            };
            let due =
                last.is_none_or(|l| (*date + Days::new(3) - l).num_days() as f64 >= every_d - 0.5);
            if !due || recently_repotted(plant, *date) {
                continue;
            }
            last = Some(*date + Days::new(3));
            let strength = stage
                .feed
                .nitrogen_mg_l
                .map_or_else(String::new, |n| format!(", {n:.0} mg nitrogen per litre"));
            out.push(Task {
                kind: TaskKind::Feed,
                week,
                date: *date,
                plant: Some(id.clone()),
                what: format!("Feed every {every_d:.0} days{strength}"),
                why: reason(stage.stage, &stage.feed.note, stage.feed.source.text()),
                caution: Some(
                    "on damp mix only; flush with plain water every 4-6 weeks; keep feed from children"
                        .to_owned(),
                ),
            });
        }
    }
}

fn reason(stage: StageName, note: &str, source: &str) -> String {
    let note = if note.is_empty() {
        String::new()
    } else {
        format!("; {note}")
    };
    format!("{}{note} ({source})", stage.word())
}

/// New roots want no feed for about four weeks (common practice).
fn recently_repotted(plant: &Plant, date: NaiveDate) -> bool {
    plant
        .pot
        .repotted
        .is_some_and(|r| (0..28).contains(&(date - r).num_days()))
}

/// Repotting at the first week of the kind's window in which it is due.
pub(super) fn repotting(inputs: &CareInputs<'_>, year: &Year<'_>, out: &mut Vec<Task>) {
    let hemisphere = inputs.site.hemisphere();
    for (id, plant) in inputs.site.plants.iter() {
        let Some(kind) = inputs.site.kind(&plant.kind) else {
            continue;
        };
        let first = hemisphere.shift(kind.repot.from.day_of_year());
        let last = hemisphere.shift(kind.repot.to.day_of_year());
        let length = (last.index() + 365 - first.index()) % 365;
        let task = year.dates.iter().enumerate().find_map(|(week, date)| {
            let into = (Day::of(*date + Days::new(3)).index() + 365 - first.index()) % 365;
            if into > length {
                return None;
            }
            let years_d = kind.repot.every_years.value * 365.25;
            let age_d = plant.pot.repotted.map(|r| (*date - r).num_days() as f64);
            // Half a year early is in time: the window comes but once a year.
            if age_d.is_some_and(|a| a < years_d - 183.0) {
                return None;
            }
            Some(repot_task(kind, plant, id.clone(), week, *date, age_d))
        });
        out.extend(task);
    }
}

fn repot_task(
    kind: &Kind,
    plant: &Plant,
    id: crate::base::Id,
    week: usize,
    date: NaiveDate,
    age_d: Option<f64>,
) -> Task {
    let every = kind.repot.every_years.value;
    let source = kind.repot.every_years.source.text();
    let (what, why) = match age_d {
        Some(age) => (
            "Repot",
            format!(
                "last in {}, {:.1} years before; every {every} years ({source})",
                plant.pot.repotted.map_or(0, |r| r.year()),
                age / 365.25
            ),
        ),
        None => (
            "Look whether it wants repotting",
            format!("not known when it was last done; every {every} years ({source})"),
        ),
    };
    let size = match kind.repot.pot_sense {
        PotSense::Tight => "; likes a tight pot, only when it bursts",
        PotSense::Ordinary => "; a pot with room for two years' growth",
        PotSense::Roomy => "; a roomy pot",
    };
    let medium = if kind.repot.medium.is_empty() {
        String::new()
    } else {
        format!("; mix: {}", kind.repot.medium)
    };
    let note = if kind.repot.note.is_empty() {
        String::new()
    } else {
        format!("; {}", kind.repot.note)
    };
    Task {
        kind: TaskKind::Repot,
        week,
        date,
        plant: Some(id),
        what: what.to_owned(),
        why: format!("{why}{size}{medium}{note}"),
        caution: Some(if plant.weight_kg > 15.0 {
            "two people for the pot; damp the mix against dust, gloves; no feed and no full sun for four weeks".to_owned()
        } else {
            "damp the mix against dust, gloves; no feed and no full sun for four weeks".to_owned()
        }),
    }
}
