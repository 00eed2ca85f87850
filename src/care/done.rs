//! What of the planned was done: journal entries that answer tasks, and planned moves of days gone by that none answers.

use chrono::{Days, NaiveDate};

use super::{Task, TaskKind};
use crate::{
    base::Id,
    planner::{Move, Plan},
    site::{Event, JournalEntry, Site, edit::Edit},
};

/// The entry that records a task as done on a day; `None` for what the journal has no event for.
#[must_use]
pub fn entry(plan: &Plan, task: &Task, date: NaiveDate) -> Option<JournalEntry> {
    let plant = task.plant.clone()?;
    let event = match task.kind {
        TaskKind::Move => Event::Moved(destination(plan, task)?.clone()),
        TaskKind::Water => Event::Watered,
        TaskKind::Feed => Event::Fed,
        TaskKind::Repot => Event::Repotted,
        TaskKind::Stake | TaskKind::Check | TaskKind::Cloth => return None,
    };
    Some(JournalEntry {
        date,
        plant: Some(plant),
        event,
        from: None,
        note: String::new(),
    })
}

/// Where a task of the kind [`TaskKind::Move`] takes its plant.
#[must_use]
pub fn destination<'a>(plan: &'a Plan, task: &Task) -> Option<&'a Id> {
    let plant = task.plant.as_ref()?;
    plan.moves
        .iter()
        .find(|m| m.plant == *plant && m.week == task.week)
        .map(|m| &m.to)
}

/// The last day in a task's week on which the journal has it done; a move may have been recorded later too.
#[must_use]
pub fn done_on(site: &Site, plan: &Plan, task: &Task) -> Option<NaiveDate> {
    let asked = entry(plan, task, task.date)?;
    let first = plan.date_of_week(task.week);
    let last = if task.kind == TaskKind::Move {
        NaiveDate::MAX
    } else {
        first + Days::new(6)
    };
    site.journal
        .iter()
        .filter(|e| e.plant == asked.plant && e.event == asked.event)
        .map(|e| e.date)
        .filter(|d| (first..=last).contains(d))
        .max()
}

/// Planned moves of days before today that the journal does not answer, by date. A recorded move of a plant answers all
/// of its moves that were planned until then.
#[must_use]
pub fn unrecorded<'a>(site: &Site, plan: &'a Plan, today: NaiveDate) -> Vec<&'a Move> {
    plan.moves
        .iter()
        .filter(|m| m.date < today && site.spots.contains(&m.to))
        .filter(|m| site.plants.contains(&m.plant))
        .filter(|m| {
            let week = plan.date_of_week(m.week);
            let recorded = site.recorded_moves(&m.plant);
            !recorded.iter().any(|(date, ..)| *date >= week)
        })
        .collect()
}

/// Records moves as done on the days for which they were planned, all in one.
#[must_use]
pub fn record(moves: &[&Move]) -> Edit {
    Edit::All(
        moves
            .iter()
            .map(|m| {
                Edit::Record(JournalEntry {
                    date: m.date,
                    plant: Some(m.plant.clone()),
                    event: Event::Moved(m.to.clone()),
                    from: m.from.clone(),
                    note: String::new(),
                })
            })
            .collect(),
    )
}
