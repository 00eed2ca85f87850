//! `plan`: where each plant stands in each of the coming 52 weeks.

use std::fmt::Write;

use chrono::NaiveDate;
use clap::Args;
use serde::Serialize;

use super::{Answer, SiteArgs, compute, guessed};
use crate::{
    base::Id,
    pipeline::Outcome,
    planner::{Exposed, Move, Plan},
    prospects::{FloweringOdds, flowering},
    scoring::ScoreWord,
    site::edit::ObjectKind,
    stages::StageStart,
};

#[derive(Debug, Args)]
pub struct PlanArgs {
    #[command(flatten)]
    pub site: SiteArgs,
    /// The plan's first day, YYYY-MM-DD; else the site's own choice, else today.
    #[arg(long, value_parser = super::date)]
    pub from: Option<NaiveDate>,
}

/// A stay of the plan as JSON.
#[derive(Serialize)]
struct StayRow<'a> {
    spot: &'a Id,
    /// Week of the plan, 0..52.
    from_week: usize,
    weeks: usize,
    from: NaiveDate,
    /// Last day.
    to: NaiveDate,
    pinned: bool,
    /// Mean score of the stay, 0..=100; null when unknown.
    mean_score: Option<f64>,
    word: Option<ScoreWord>,
}

#[derive(Serialize)]
struct PlantRow<'a> {
    plant: &'a Id,
    name: &'a str,
    kind: &'a Id,
    stays: Vec<StayRow<'a>>,
    /// When its stages begin; days of the year from 0.
    stages: &'a [StageStart],
    /// Null for kinds grown for their leaves.
    flowering: Option<FloweringOdds>,
}

#[derive(Serialize)]
struct PlanRow<'a> {
    site: &'a str,
    from: NaiveDate,
    /// Normals are missing: what is usual at the latitude was taken.
    climate_guessed: bool,
    objective: f64,
    upper_bound: f64,
    /// How far the plan may be from the best there is, %.
    gap_pct: f64,
    plants: Vec<PlantRow<'a>>,
    moves: &'a [Move],
    without_room: Vec<Without<'a>>,
    /// When plants have no safe place, and what would help.
    exposed: &'a [Exposed],
}

#[derive(Serialize)]
struct Without<'a> {
    plant: &'a Id,
    from_week: usize,
    weeks: usize,
}

pub fn run(args: &PlanArgs, today: NaiveDate) -> Result<Answer, Answer> {
    let outcome = compute(&args.site, args.from, today)?;
    let plan = outcome
        .plan
        .as_ref()
        .map_err(|e| Answer::file_fault(format!("no plan: {e}\n")))?;
    let row = row(&outcome, plan);
    if args.site.json {
        Ok(Answer::json(&row))
    } else {
        Ok(Answer::report(&tell(&outcome, plan, &row)))
    }
}

fn row<'a>(outcome: &'a Outcome, plan: &'a Plan) -> PlanRow<'a> {
    let plants = outcome.site.plants.iter().map(|(id, plant)| {
        let stays = plan
            .solution
            .stays
            .iter()
            .filter(|s| s.plant == *id)
            .map(|s| {
                let mean_score = mean_score(
                    outcome,
                    plan,
                    id,
                    &s.spot,
                    s.from_week..s.from_week + s.weeks,
                );
                StayRow {
                    spot: &s.spot,
                    from_week: s.from_week,
                    weeks: s.weeks,
                    from: plan.date_of_week(s.from_week),
                    to: plan.date_of_week(s.from_week + s.weeks) - chrono::Days::new(1),
                    pinned: s.pinned,
                    mean_score,
                    word: mean_score.map(ScoreWord::of),
                }
            });
        PlantRow {
            plant: id,
            name: &plant.name,
            kind: &plant.kind,
            stays: stays.collect(),
            stages: outcome
                .scores
                .calendar(id)
                .map_or(&[], |calendar| calendar.starts()),
            flowering: flowering(&outcome.site, &outcome.scores, plan, id),
        }
    });
    PlanRow {
        site: &outcome.site.name,
        from: plan.from,
        climate_guessed: outcome.site.climate.is_guessed(),
        objective: plan.solution.objective,
        upper_bound: plan.solution.upper_bound,
        gap_pct: plan.solution.gap() * 100.0,
        plants: plants.collect(),
        moves: &plan.moves,
        exposed: &plan.exposed,
        without_room: plan
            .solution
            .without_room
            .iter()
            .map(|(plant, from_week, weeks)| Without {
                plant,
                from_week: *from_week,
                weeks: *weeks,
            })
            .collect(),
    }
}

fn mean_score(
    outcome: &Outcome,
    plan: &Plan,
    plant: &Id,
    spot: &Id,
    weeks: std::ops::Range<usize>,
) -> Option<f64> {
    let n = weeks.len() as f64;
    weeks
        .map(|w| {
            outcome
                .scores
                .get(plant, spot, plan.calendar_week(w))
                .and_then(|s| s.points)
        })
        .sum::<Option<f64>>()
        .map(|sum| sum / n)
}

fn tell(outcome: &Outcome, plan: &Plan, row: &PlanRow<'_>) -> String {
    let site = &outcome.site;
    let mut text = guessed(site);
    // Writing to a String cannot fail.
    let _ = writeln!(
        text,
        "{}: plan for 52 weeks from {}\n",
        site.name,
        date(plan.from)
    );
    for plant in &row.plants {
        let _ = writeln!(text, "{}", plant.name);
        for s in &plant.stays {
            let score = s.mean_score.map_or_else(
                || "score unknown".to_owned(),
                |p| format!("{p:.0} {}", ScoreWord::of(p).word()),
            );
            let _ = writeln!(
                text,
                "  {} to {}  {}  ({score}{})",
                date(s.from),
                date(s.to),
                site.name_of(ObjectKind::Spot, s.spot),
                if s.pinned { ", pinned" } else { "" }
            );
        }
        for stage in plant.stages {
            if let Some(reason) = stage.reason() {
                let word = stage.stage.word();
                let _ = writeln!(text, "  {word} from {}, {reason}", stage.day);
            }
        }
        if let Some(flowering) = &plant.flowering {
            let _ = writeln!(text, "  will flower: {}", flowering.text);
        }
        for w in row.without_room.iter().filter(|w| w.plant == plant.plant) {
            let _ = writeln!(
                text,
                "  {} for {} weeks  NO ROOM",
                date(plan.date_of_week(w.from_week)),
                w.weeks
            );
        }
    }
    if !plan.exposed.is_empty() {
        let _ = writeln!(text, "\nNo safe place");
    }
    for e in &plan.exposed {
        let name = site.name_of(ObjectKind::Plant, &e.plant);
        let _ = writeln!(text, "  {name}: {}", e.words());
    }
    let none_needed = plan.moves.is_empty() && !row.plants.is_empty() && plan.is_safe();
    let _ = writeln!(
        text,
        "\n{}",
        if none_needed {
            "No moves are needed"
        } else if plan.moves.is_empty() {
            "No moves"
        } else {
            "Moves"
        }
    );
    for m in &plan.moves {
        let _ = writeln!(
            text,
            "  {}  {} to {}: {}",
            date(m.date),
            site.name_of(ObjectKind::Plant, &m.plant),
            site.name_of(ObjectKind::Spot, &m.to),
            m.reason
        );
        for caution in &m.cautions {
            let _ = writeln!(text, "              mind: {caution}");
        }
    }
    let _ = writeln!(
        text,
        "\nPlan worth {:.1}; none can be worth more than {:.1}: within {:.2} % of the best there is.",
        row.objective, row.upper_bound, row.gap_pct
    );
    text
}

/// `5 Oct 2026`
fn date(date: NaiveDate) -> impl std::fmt::Display {
    date.format("%e %b %Y")
}
