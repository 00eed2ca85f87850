//! `week`: what to do in a week of the plan.

use std::fmt::Write;

use chrono::NaiveDate;
use clap::Args;
use serde::Serialize;

use super::{Answer, SiteArgs, compute, guessed};
use crate::{
    base::calendar::WEEKS,
    care::{Task, TaskKind, done},
    site::edit::ObjectKind,
};

#[derive(Debug, Args)]
pub struct WeekArgs {
    #[command(flatten)]
    pub site: SiteArgs,
    /// A day of the week, YYYY-MM-DD; the plan's first week if left out.
    #[arg(long, value_parser = super::date)]
    pub date: Option<NaiveDate>,
}

/// A task as JSON.
#[derive(Serialize)]
struct TaskRow<'a> {
    #[serde(flatten)]
    task: &'a Task,
    /// The day on which the journal has it done; null while it is not.
    done: Option<NaiveDate>,
}

pub fn run(args: &WeekArgs, today: NaiveDate) -> Result<Answer, Answer> {
    let outcome = compute(&args.site, None, today)?;
    let plan = outcome
        .plan
        .as_ref()
        .map_err(|e| Answer::file_fault(format!("no plan: {e}\n")))?;
    let days = args.date.map_or(0, |d| (d - plan.from).num_days());
    let week = usize::try_from(days / 7)
        .ok()
        .filter(|w| days >= 0 && *w < WEEKS)
        .ok_or_else(|| {
            Answer::usage(format!(
                "the plan runs from {} to {}; name a day in it\n",
                plan.from,
                plan.date_of_week(WEEKS) - chrono::Days::new(1)
            ))
        })?;
    let tasks: Vec<&Task> = outcome.tasks.iter().filter(|t| t.week == week).collect();
    let site = &outcome.site;
    if args.site.json {
        let rows: Vec<TaskRow<'_>> = tasks
            .iter()
            .map(|task| TaskRow {
                task,
                done: done::done_on(site, plan, task),
            })
            .collect();
        return Ok(Answer::json(&rows));
    }
    let mut text = format!(
        "{}{}: week of {}\n",
        guessed(site),
        site.name,
        plan.date_of_week(week).format("%e %b %Y")
    );
    let mut kinds: Vec<TaskKind> = tasks.iter().map(|t| t.kind).collect();
    kinds.sort_unstable();
    kinds.dedup();
    for kind in kinds {
        // Writing to a String cannot fail.
        let _ = writeln!(text, "\n{}", capital(kind.word()));
        for task in tasks.iter().filter(|t| t.kind == kind) {
            let whose = task
                .plant
                .as_ref()
                .map(|p| outcome.site.name_of(ObjectKind::Plant, p) + ": ");
            let done = done::done_on(site, plan, task)
                .map_or_else(String::new, |d| format!(" (done {})", d.format("%-d %b")));
            let _ = writeln!(text, "  {}{}{done}", whose.unwrap_or_default(), task.what);
            if !task.why.is_empty() {
                let _ = writeln!(text, "    because {}", task.why);
            }
            if let Some(caution) = &task.caution {
                let _ = writeln!(text, "    mind: {caution}");
            }
        }
    }
    Ok(Answer::report(&text))
}

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}
