//! `place`: towns by name, or the nearest to coordinates, for the head of a site file.

use clap::Args;
use serde::Serialize;

use super::{
    Answer,
    output::{Table, figure},
};
use crate::places::{self, Town};

#[derive(Debug, Args)]
pub struct PlaceArgs {
    /// Beginning of the name, after a comma of the region or country too; or latitude and longitude in degrees.
    #[arg(allow_negative_numbers = true, required = true, num_args = 1..)]
    pub name: Vec<String>,
    /// At most so many towns.
    #[arg(long, default_value_t = 10, value_parser = clap::value_parser!(u16).range(1..=500))]
    pub limit: u16,
    /// Answer as JSON.
    #[arg(long)]
    pub json: bool,
}

#[derive(Serialize)]
struct Row {
    name: &'static str,
    region: &'static str,
    country: &'static str,
    latitude_deg: f64,
    longitude_deg: f64,
    elevation_m: Option<f64>,
    time_zone: &'static str,
    people_thousand: u32,
}

impl From<&Town> for Row {
    fn from(t: &Town) -> Self {
        Self {
            name: t.name,
            region: t.region,
            country: t.country,
            latitude_deg: t.latitude_deg,
            longitude_deg: t.longitude_deg,
            elevation_m: t.elevation_m,
            time_zone: t.time_zone,
            people_thousand: t.people_thousand,
        }
    }
}

pub fn run(args: &PlaceArgs) -> Result<Answer, Answer> {
    let query = args.name.join(" ");
    let rows: Vec<Row> = places::find(&query, usize::from(args.limit))
        .into_iter()
        .map(Row::from)
        .collect();
    if args.json {
        return Ok(Answer::json(&rows));
    }
    if rows.is_empty() {
        return Err(Answer::usage(format!(
            "no town begins with \"{query}\"; the list has towns from 5,000 people on, so name the nearest larger one, \
             or give latitude and longitude: sillward place 47.4 8.5\n"
        )));
    }
    let mut table = Table::new(&[
        "town",
        "region",
        "country",
        "latitude °",
        "longitude °",
        "height m",
        "time zone",
    ]);
    for row in &rows {
        table.row(vec![
            row.name.to_owned(),
            row.region.to_owned(),
            row.country.to_owned(),
            format!("{:.2}", row.latitude_deg),
            format!("{:.2}", row.longitude_deg),
            figure(row.elevation_m, 0),
            row.time_zone.to_owned(),
        ]);
    }
    Ok(Answer::fine(
        table.text()
            + "\nTowns: GeoNames (CC BY 4.0). Heights are those of the town, from a terrain model: put in your own.\n",
    ))
}
