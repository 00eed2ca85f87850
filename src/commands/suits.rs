//! `suits`: which kinds of the library would do well on a site.

use std::fmt::Write;

use chrono::NaiveDate;
use clap::Args;

use super::{Answer, SiteArgs, compute, guessed, output::Table};
use crate::{
    base::Week,
    needs::{Poison, Toxicity},
    pipeline::Outcome,
    prospects::{KindFit, Stretch, SuitInputs, suits},
    scoring::ScoreWord,
    site::edit::ObjectKind,
    stages::Warmth,
};

#[derive(Debug, Args)]
pub struct SuitsArgs {
    #[command(flatten)]
    pub site: SiteArgs,
    /// Rim of the pot that room is looked for, cm.
    #[arg(long, value_name = "CM", default_value_t = 20.0, value_parser = rim)]
    pub pot: f64,
    /// As if the spots were empty, instead of the room that the plan leaves.
    #[arg(long)]
    pub empty: bool,
}

fn rim(text: &str) -> Result<f64, String> {
    text.parse()
        .ok()
        .filter(|rim| (3.0..=150.0).contains(rim))
        .ok_or_else(|| "a rim from 3 to 150 cm is wanted, such as 20".to_owned())
}

pub fn run(args: &SuitsArgs, today: NaiveDate) -> Result<Answer, Answer> {
    let outcome = compute(&args.site, None, today)?;
    let warmth = Warmth::of(&outcome.weather.normals, outcome.site.hemisphere());
    let fits = suits(&SuitInputs {
        site: &outcome.site,
        spot_weeks: outcome.spot_weeks(),
        warmth: &warmth,
        plan: outcome.plan.as_deref().ok().filter(|_| !args.empty),
        rim_cm: args.pot,
    });
    if args.site.json {
        Ok(Answer::json(&fits))
    } else {
        Ok(Answer::fine(tell(&outcome, args, &fits)))
    }
}

fn tell(outcome: &Outcome, args: &SuitsArgs, fits: &[KindFit]) -> String {
    let site = &outcome.site;
    let room = if args.empty {
        "if the spots were empty"
    } else {
        "in the room that the plan leaves"
    };
    let mut text = guessed(site);
    text += &format!(
        "{}: kinds for a pot of {} cm, {room}\n\n",
        site.name, args.pot
    );
    if fits.is_empty() {
        text.push_str("No spot takes such a pot in every week of the year.\n");
        return text;
    }
    let mut table = Table::new(&[
        "kind",
        "score",
        "word",
        "year",
        "worst month",
        "flowers",
        "where",
    ]);
    for fit in fits {
        table.row(vec![
            if fit.grown_here {
                format!("{} (grown here)", fit.name)
            } else {
                fit.name.clone()
            },
            format!("{:.0}", fit.score),
            ScoreWord::of(fit.score).word().to_owned(),
            format!("{:.0}", fit.year_score),
            format!("{:.0}", fit.worst_month_score),
            fit.flowering.as_ref().map_or_else(
                || "leaves".to_owned(),
                |f| match (f.odds * 10.0).round() {
                    0.0 => "hardly".to_owned(),
                    tenths => format!("{tenths:.0} in 10"),
                },
            ),
            places(outcome, &fit.course),
        ]);
    }
    text.push_str(&table.text());
    text.push_str(
        "\nScore: mean of the year and of its worst month, carried about as told. Flowers: an estimate.\n\n\
         What holds each back most, and what to mind\n",
    );
    for fit in fits {
        // Writing to a String cannot fail.
        let _ = writeln!(
            text,
            "  {}: {}{}",
            fit.name,
            fit.reason,
            poison(&fit.poison)
        );
    }
    text
}

/// `"Porch bench from 7 May, Bedroom sill from 1 Oct"`.
fn places(outcome: &Outcome, course: &[Stretch]) -> String {
    let name = |s: &Stretch| outcome.site.name_of(ObjectKind::Spot, &s.spot);
    match course {
        [all] => format!("{} all year", name(all)),
        several => several
            .iter()
            .map(|s| format!("{} from {}", name(s), Week::new(s.from_week).first_day()))
            .collect::<Vec<_>>()
            .join(", "),
    }
}

fn poison(poison: &Poison) -> String {
    let word = |t: Toxicity| match t {
        Toxicity::NotListed => None,
        Toxicity::Mild => Some("mildly poisonous"),
        Toxicity::Serious => Some("seriously poisonous"),
    };
    let said = match (word(poison.people), word(poison.pets)) {
        (Some(a), Some(b)) if a == b => format!("{a} to people and pets"),
        (people, pets) => [(people, "people"), (pets, "pets")]
            .into_iter()
            .filter_map(|(word, whom)| Some(format!("{} to {whom}", word?)))
            .collect::<Vec<_>>()
            .join(", "),
    };
    if said.is_empty() {
        String::new()
    } else {
        format!("; {said}: in doubt ask a poison centre")
    }
}
