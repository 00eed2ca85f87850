//! `record`: what was done, written into the journal of a site that is printed to be kept; or what of the plan is not
//! recorded yet.

use chrono::NaiveDate;
use clap::{Args, ValueEnum};

use super::{Answer, SiteArgs, compute, find_plant, find_spot, read};
use crate::{
    care::done,
    site::{Event, JournalEntry, Site, edit::Edit, edit::ObjectKind},
};

#[derive(Debug, Args)]
pub struct RecordArgs {
    #[command(flatten)]
    pub site: SiteArgs,
    /// Plant, by identifier or name. Without it and --planned, planned moves that are not recorded are listed.
    #[arg(long, requires = "done", conflicts_with = "planned")]
    pub plant: Option<String>,
    /// What was done to it.
    #[arg(long, requires = "plant", value_enum)]
    pub done: Option<Done>,
    /// Where it was moved to, by identifier or name.
    #[arg(long, required_if_eq("done", "moved"))]
    pub to: Option<String>,
    /// The day of it, YYYY-MM-DD; without --plant, the day before which planned moves are looked at. Today if left out.
    #[arg(long, value_parser = super::date)]
    pub date: Option<NaiveDate>,
    /// A note to go with it.
    #[arg(long, requires = "plant")]
    pub note: Option<String>,
    /// Records every planned move of days gone by as done on its day.
    #[arg(long)]
    pub planned: bool,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Done {
    Moved,
    Watered,
    Fed,
    Repotted,
}

pub fn run(args: &RecordArgs, today: NaiveDate) -> Result<Answer, Answer> {
    let today = args.date.unwrap_or(today);
    let mut site = read(&args.site)?.site;
    if let (Some(plant), Some(happened)) = (&args.plant, args.done) {
        let plant = find_plant(&site, plant)?;
        let event = match (happened, &args.to) {
            (Done::Moved, Some(to)) => Event::Moved(find_spot(&site, to)?),
            (Done::Moved, None) => return Err(Answer::usage("--to is needed\n".to_owned())),
            (Done::Watered, _) => Event::Watered,
            (Done::Fed, _) => Event::Fed,
            (Done::Repotted, _) => Event::Repotted,
        };
        let edit = Edit::Record(JournalEntry {
            date: today,
            plant: Some(plant),
            event,
            from: None,
            note: args.note.clone().unwrap_or_default(),
        });
        return kept(&mut site, edit);
    }
    let outcome = compute(&args.site, None, today)?;
    let plan = outcome
        .plan
        .as_ref()
        .map_err(|e| Answer::file_fault(format!("no plan: {e}\n")))?;
    let moves = done::unrecorded(&site, plan, today);
    if args.planned {
        let edit = done::record(&moves);
        return kept(&mut site, edit);
    }
    if args.site.json {
        return Ok(Answer::json(&moves));
    }
    let Some(first) = moves.first() else {
        return Ok(Answer::fine(format!(
            "{}: no planned move of days gone by is unrecorded\n",
            site.name
        )));
    };
    let since = first.date.format("%-d %B %Y");
    let mut text = match moves.len() {
        1 => format!("{}: 1 planned move of {since} is not recorded\n", site.name),
        n => format!(
            "{}: {n} planned moves since {since} are not recorded\n",
            site.name
        ),
    };
    for m in &moves {
        text.push_str(&format!(
            "  {}  {} to {}\n",
            m.date.format("%e %b %Y"),
            site.name_of(ObjectKind::Plant, &m.plant),
            site.name_of(ObjectKind::Spot, &m.to)
        ));
    }
    Ok(Answer::fine(text))
}

/// The site with what was done, to be kept as a new file.
fn kept(site: &mut Site, edit: Edit) -> Result<Answer, Answer> {
    site.apply(edit)
        .map_err(|e| Answer::usage(format!("{e}\n")))?;
    Ok(Answer::fine(crate::site::file::to_text(site)))
}
