//! `check` and `samples`.

use chrono::NaiveDate;
use clap::Args;
use serde::Serialize;

use super::{Answer, SiteArgs, read};
use crate::{
    base::Progress,
    pipeline::readings::{self, Questioned},
    site::{file::Fault, samples},
};

#[derive(Debug, Args)]
pub struct CheckArgs {
    #[command(flatten)]
    pub site: SiteArgs,
}

#[derive(Debug, Args)]
pub struct SamplesArgs {
    /// Sample to print.
    pub name: Option<String>,
}

#[derive(Serialize)]
struct Checked<'a> {
    site: &'a str,
    rooms: usize,
    windows: usize,
    spots: usize,
    plants: usize,
    doubts: &'a [Fault],
    /// Readings that are likely wrong.
    questioned: Vec<Questioned>,
}

pub fn run(args: &CheckArgs, today: NaiveDate) -> Result<Answer, Answer> {
    let read = read(&args.site)?;
    let site = &read.site;
    let questioned = readings::review(site, None, &Progress::new())
        .map_err(|e| Answer::usage(format!("{e}\n")))?
        .iter()
        .filter_map(|r| {
            let spot = site.spots.get(&r.spot)?;
            Some(readings::questioned(&r.spot, spot, &r.light, &r.air, today))
        })
        .flatten()
        .collect();
    let checked = Checked {
        site: &site.name,
        rooms: site.rooms.len(),
        windows: site.windows.len(),
        spots: site.spots.len(),
        plants: site.plants.len(),
        doubts: &read.doubts,
        questioned,
    };
    if args.site.json {
        return Ok(Answer::json(&checked));
    }
    let mut text = format!(
        "{}: no faults. {} rooms, {} windows and doors, {} spots, {} plants.\n",
        checked.site, checked.rooms, checked.windows, checked.spots, checked.plants
    );
    for doubt in checked.doubts {
        text.push_str(&format!("doubt: {doubt}\n"));
    }
    for q in &checked.questioned {
        text.push_str(&format!(
            "questioned: {} ({}): {}\n",
            q.field, q.when, q.why
        ));
    }
    Ok(Answer::fine(text))
}

pub fn samples(args: &SamplesArgs) -> Result<Answer, Answer> {
    match &args.name {
        None => {
            let lines = samples::SAMPLES
                .iter()
                .map(|s| format!("{:<18}  {}\n", s.id, s.title));
            Ok(Answer::fine(lines.collect()))
        }
        Some(name) => samples::by_id(name)
            .map(|s| Answer::fine(s.text.to_owned()))
            .ok_or_else(|| {
                Answer::usage(format!(
                    "there is no sample \"{name}\"; `sillward samples` lists them\n"
                ))
            }),
    }
}
