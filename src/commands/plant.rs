//! `plant`: one plant's own figures, year and history.

use std::fmt::Write;

use chrono::NaiveDate;
use clap::Args;
use serde::Serialize;

use super::{Answer, SiteArgs, compute, find_plant, output::Table};
use crate::{
    base::Id,
    pipeline::Outcome,
    prospects::{FloweringOdds, flowering},
    site::{Plant, Remembered, edit::ObjectKind},
    stages::StageStart,
};

#[derive(Debug, Args)]
pub struct PlantArgs {
    #[command(flatten)]
    pub site: SiteArgs,
    /// Plant, by identifier or name.
    pub plant: String,
}

#[derive(Serialize)]
struct PlantAnswer<'a> {
    id: &'a Id,
    plant: &'a Plant,
    /// Mix in the pot, L.
    mix_l: f64,
    /// Its stages, days counting from 0 in the calendar year.
    stages: &'a [StageStart],
    flowering: Option<FloweringOdds>,
    /// Newest first.
    history: Vec<Remembered>,
}

pub fn run(args: &PlantArgs, today: NaiveDate) -> Result<Answer, Answer> {
    let outcome = compute(&args.site, None, today)?;
    let id = find_plant(&outcome.site, &args.plant)?;
    let Some(plant) = outcome.site.plants.get(&id) else {
        return Err(Answer::usage(format!("there is no plant \"{id}\"\n")));
    };
    let answer = PlantAnswer {
        id: &id,
        plant,
        mix_l: plant.pot.volume_l(),
        stages: outcome.scores.calendar(&id).map_or(&[], |c| c.starts()),
        flowering: outcome
            .plan
            .as_ref()
            .ok()
            .and_then(|plan| flowering(&outcome.site, &outcome.scores, plan, &id)),
        history: outcome.site.remembered_of(&id),
    };
    Ok(if args.site.json {
        Answer::json(&answer)
    } else {
        Answer::fine(tell(&outcome, &answer))
    })
}

fn tell(outcome: &Outcome, answer: &PlantAnswer<'_>) -> String {
    let site = &outcome.site;
    let plant = answer.plant;
    let kind = site
        .kind(&plant.kind)
        .map_or_else(|| plant.kind.to_string(), |k| k.name.clone());
    let mut text = format!("{}: {kind}\n", site.name_of(ObjectKind::Plant, answer.id));
    let pot = &plant.pot;
    // Writing to a String cannot fail.
    let _ = writeln!(
        text,
        "pot {} cm wide, {} cm high, {}, {}, {:.1} L of mix; {} kg watered; leaves spread {} cm; condition {}",
        pot.rim_cm,
        pot.height_cm,
        pot.material.word(),
        pot.medium.word(),
        answer.mix_l,
        plant.weight_kg,
        plant.spread_cm,
        plant.condition.word(),
    );
    if let Some(spot) = &plant.stands {
        let _ = writeln!(text, "stands on {}", site.name_of(ObjectKind::Spot, spot));
    }
    let mut table = Table::new(&["stage", "from", "why"]);
    for start in answer.stages {
        let seen = if start.seen { "seen" } else { "" };
        table.row(vec![
            start.stage.word().to_owned(),
            start.day.to_string(),
            start.reason().unwrap_or_else(|| seen.to_owned()),
        ]);
    }
    let _ = write!(text, "\n{}", table.text());
    if let Some(odds) = &answer.flowering {
        let _ = writeln!(text, "will flower: {} (an estimate)", odds.text);
    }
    text.push_str("\nHistory\n");
    if answer.history.is_empty() {
        text.push_str("nothing is recorded of it\n");
        return text;
    }
    let mut table = Table::new(&["date", "what", "note"]);
    for row in &answer.history {
        table.row(vec![
            row.date.to_string(),
            site.remembered_words(row),
            row.note.clone(),
        ]);
    }
    text.push_str(&table.text());
    text
}
