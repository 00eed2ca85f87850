//! What to do in a week: moves, water, feed, repotting, checks.

mod checks;
pub mod done;
mod feed;
pub mod forecast;
mod thirst;
mod water;

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::Serialize;

use crate::{
    base::{Id, Week},
    needs::Water,
    planner::{PLAN_WEEKS, Plan},
    scoring::{Scores, SpotWeek},
    site::{Plant, Site},
};

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum TaskKind {
    Move,
    Water,
    Feed,
    Repot,
    Stake,
    Check,
    Cloth,
}

impl TaskKind {
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Move => "move",
            Self::Water => "water",
            Self::Feed => "feed",
            Self::Repot => "repot",
            Self::Stake => "stake",
            Self::Check => "check",
            Self::Cloth => "cloth",
        }
    }
}

/// One thing to do in a week of the plan.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Task {
    pub kind: TaskKind,
    /// Week of the plan, 0..52.
    pub week: usize,
    pub date: NaiveDate,
    /// `None` when it concerns the whole site.
    pub plant: Option<Id>,
    /// `"Water every 5 days; check from day 4"`.
    pub what: String,
    /// Figures and sources behind it.
    pub why: String,
    pub caution: Option<String>,
}

/// All that tasks are made from.
#[derive(Clone)]
pub struct CareInputs<'a> {
    pub site: &'a Site,
    pub plan: &'a Plan,
    pub scores: &'a Scores,
    /// What each spot offers in each of 52 calendar weeks.
    pub spot_weeks: BTreeMap<Id, &'a [SpotWeek]>,
}

/// First days and calendar weeks of the plan's weeks.
struct Year<'a> {
    dates: &'a [NaiveDate],
    weeks: &'a [Week],
}

/// Everything to do in the 52 weeks of the plan, in the order of dates, kinds and plants.
#[must_use]
pub fn tasks(inputs: &CareInputs<'_>) -> Vec<Task> {
    let dates: Vec<NaiveDate> = (0..PLAN_WEEKS)
        .map(|w| inputs.plan.date_of_week(w))
        .collect();
    let weeks: Vec<Week> = (0..PLAN_WEEKS)
        .map(|w| inputs.plan.calendar_week(w))
        .collect();
    let year = Year {
        dates: &dates,
        weeks: &weeks,
    };
    let mut tasks = moves(inputs);
    water::tasks(inputs, &year, &mut tasks);
    feed::feeding(inputs, &year, &mut tasks);
    feed::repotting(inputs, &year, &mut tasks);
    checks::staking(inputs, &year, &mut tasks);
    checks::before_coming_in(inputs, &year, &mut tasks);
    checks::cold_nights(inputs, &year, &mut tasks);
    checks::cloths(inputs, &year, &mut tasks);
    tasks.sort_by(|a, b| {
        (a.week, a.date, a.kind, &a.plant, &a.what)
            .cmp(&(b.week, b.date, b.kind, &b.plant, &b.what))
    });
    tasks
}

/// Days between waterings that a pot asks for where a spot offers these conditions; sure to ±35 %. `None` where the
/// air is unknown.
#[must_use]
pub fn watering_interval_d(plant: &Plant, water: &Water, offered: &SpotWeek) -> Option<f64> {
    thirst::interval(plant, water, offered).map(|i| i.days)
}

fn moves(inputs: &CareInputs<'_>) -> Vec<Task> {
    inputs
        .plan
        .moves
        .iter()
        .map(|m| Task {
            kind: TaskKind::Move,
            week: m.week,
            date: m.date,
            plant: Some(m.plant.clone()),
            what: format!("Move to {}", spot_name(inputs.site, &m.to)),
            why: m.reason.clone(),
            caution: (!m.cautions.is_empty()).then(|| m.cautions.join("; ")),
        })
        .collect()
}

/// Name of a spot for a sentence.
fn spot_name(site: &Site, spot: &Id) -> String {
    site.spots
        .get(spot)
        .map(|s| s.name.as_str())
        .filter(|n| !n.is_empty())
        .map_or_else(|| spot.to_string(), |n| format!("“{n}”"))
}
