//! `trouble`: why a plant does not do well.

use std::fmt::Write;

use chrono::NaiveDate;
use clap::{Args, builder::PossibleValuesParser};
use serde::Serialize;

use super::{Answer, SiteArgs, compute, find_plant, guessed};
use crate::{
    base::Id,
    site::edit::ObjectKind,
    trouble::{self, Cause, Symptom, TroubleInputs},
};

/// Words for the symptoms on the command line, in the order of [`Symptom::ALL`].
const NAMES: [&str; Symptom::ALL.len()] = [
    "no-flowers",
    "buds-drop",
    "leaves-scorched",
    "leaves-dark",
    "leaves-yellow",
    "brown-tips",
    "shrivelled",
    "black-spots",
    "frost-damage",
];

#[derive(Debug, Args)]
pub struct TroubleArgs {
    #[command(flatten)]
    pub site: SiteArgs,
    /// Plant, by identifier or name.
    #[arg(long)]
    pub plant: String,
    /// What is seen.
    #[arg(long, value_parser = PossibleValuesParser::new(NAMES))]
    pub symptom: String,
    /// The day of asking, YYYY-MM-DD; the year before it is looked at. Today if left out.
    #[arg(long, value_parser = super::date)]
    pub date: Option<NaiveDate>,
}

#[derive(Serialize)]
struct Causes<'a> {
    plant: &'a Id,
    symptom: Symptom,
    causes: &'a [Cause],
}

pub fn run(args: &TroubleArgs, today: NaiveDate) -> Result<Answer, Answer> {
    let outcome = compute(&args.site, None, today)?;
    let plant = find_plant(&outcome.site, &args.plant)?;
    let symptom = NAMES
        .iter()
        .zip(Symptom::ALL)
        .find(|(name, _)| **name == args.symptom)
        .map(|(_, symptom)| symptom)
        .ok_or_else(|| Answer::usage(format!("there is no symptom \"{}\"\n", args.symptom)))?;
    let inputs = TroubleInputs {
        site: &outcome.site,
        plant: &plant,
        scores: &outcome.scores,
        spot_weeks: outcome.spot_weeks(),
        today: args.date.unwrap_or(today),
    };
    let causes = trouble::causes(&inputs, symptom);
    if args.site.json {
        return Ok(Answer::json(&Causes {
            plant: &plant,
            symptom,
            causes: &causes,
        }));
    }
    let name = outcome.site.name_of(ObjectKind::Plant, &plant);
    let mut text = format!("{}{name}: {}\n", guessed(&outcome.site), symptom.words());
    for cause in &causes {
        // Writing to a String cannot fail.
        let _ = writeln!(text, "\n{:3.0} %  {}", cause.likelihood * 100.0, cause.name);
        for line in &cause.evidence_for {
            let _ = writeln!(text, "       for: {line}");
        }
        for line in &cause.evidence_against {
            let _ = writeln!(text, "       against: {line}");
        }
        let _ = writeln!(text, "       remedy: {}", cause.remedy);
        let _ = writeln!(text, "       source: {}", cause.source);
    }
    if causes.is_empty() {
        text.push_str("\nNo known cause of this fits the plant's kind.\n");
    }
    text.push_str("\nAn estimate from this plant's record, not a verdict: look at roots and leaves yourself.\n");
    Ok(Answer::report(&text))
}
