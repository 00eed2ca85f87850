//! `readings`: what each reading says against the model, and what the readings did to it.

use chrono::{NaiveDate, NaiveDateTime};
use clap::Args;
use serde::Serialize;

use super::{
    Answer, SiteArgs, find_spot,
    output::{Table, figure},
    read,
};
use crate::{
    air::{AirCorrection, ReviewedMinMax, Unexplained},
    base::{Id, Progress},
    light::{LightCorrection, ReviewedLight},
    pipeline::readings::{self, Questioned, Reviewed},
    site::{LoggedQuantity, SkyState, Spot},
};

#[derive(Debug, Args)]
pub struct ReadingsArgs {
    #[command(flatten)]
    pub site: SiteArgs,
    /// Spot, by identifier or name; every spot with readings if left out.
    pub spot: Option<String>,
}

#[derive(Serialize)]
struct LightRow<'a> {
    when: NaiveDateTime,
    sky: SkyState,
    open_ppfd: Option<f64>,
    #[serde(flatten)]
    review: &'a ReviewedLight,
}

#[derive(Serialize)]
struct MinMaxRow<'a> {
    date: NaiveDate,
    min_c: f64,
    max_c: Option<f64>,
    #[serde(flatten)]
    review: &'a ReviewedMinMax,
}

#[derive(Serialize)]
struct RecordRow<'a> {
    name: &'a str,
    quantity: LoggedQuantity,
    open: bool,
    first_day: NaiveDate,
    days: usize,
    hours: usize,
}

#[derive(Serialize)]
struct SpotRows<'a> {
    spot: &'a Id,
    light: Vec<LightRow<'a>>,
    light_correction: LightCorrection,
    thermometer: Vec<MinMaxRow<'a>>,
    air_correction: AirCorrection,
    unexplained: Option<&'a Unexplained>,
    records: Vec<RecordRow<'a>>,
    questioned: Vec<Questioned>,
    says: Vec<String>,
}

pub fn run(args: &ReadingsArgs, today: NaiveDate) -> Result<Answer, Answer> {
    let site = read(&args.site)?.site;
    let only = args
        .spot
        .as_deref()
        .map(|s| find_spot(&site, s))
        .transpose()?;
    let reviewed = readings::review(&site, only.as_ref(), &Progress::new())
        .map_err(|e| Answer::usage(format!("{e}\n")))?;
    let rows: Vec<(&Spot, SpotRows<'_>)> = reviewed
        .iter()
        .filter_map(|r| {
            let spot = site.spots.get(&r.spot)?;
            Some((&**spot, of_spot(r, spot, today)))
        })
        .collect();
    if args.site.json {
        let rows: Vec<&SpotRows> = rows.iter().map(|r| &r.1).collect();
        return Ok(Answer::json(&rows));
    }
    if rows.is_empty() {
        return Ok(Answer::fine(
            "No spot has readings: light and air are computed from the drawing and the climate alone.\n".to_owned(),
        ));
    }
    let texts: Vec<String> = rows.iter().map(|(spot, rows)| text(spot, rows)).collect();
    Ok(Answer::fine(texts.join("\n")))
}

fn of_spot<'a>(r: &'a Reviewed, spot: &'a Spot, today: NaiveDate) -> SpotRows<'a> {
    let kelvin = |k: f64| format!("{k:.1} K");
    let mut says = r.light.correction.sentences();
    says.extend(r.air.correction.sentences(&kelvin));
    says.extend(
        r.air
            .readings
            .unexplained
            .as_ref()
            .map(Unexplained::sentence),
    );
    SpotRows {
        spot: &r.spot,
        light: spot
            .light
            .iter()
            .zip(&r.light.readings)
            .map(|(reading, review)| LightRow {
                when: reading.when,
                sky: reading.sky,
                open_ppfd: reading.open.map(|v| v.ppfd()),
                review,
            })
            .collect(),
        light_correction: r.light.correction,
        thermometer: spot
            .min_max
            .iter()
            .zip(&r.air.readings.min_max)
            .map(|(reading, review)| MinMaxRow {
                date: reading.date,
                min_c: reading.min_c,
                max_c: reading.max_c,
                review,
            })
            .collect(),
        air_correction: r.air.correction,
        unexplained: r.air.readings.unexplained.as_ref(),
        records: spot
            .logged
            .iter()
            .map(|l| RecordRow {
                name: &l.name,
                quantity: l.quantity,
                open: l.open,
                first_day: l.first_day,
                days: l.days.len(),
                hours: l.hours(),
            })
            .collect(),
        questioned: readings::questioned(&r.spot, spot, &r.light, &r.air, today),
        says,
    }
}

fn text(spot: &Spot, rows: &SpotRows<'_>) -> String {
    let mut text = format!("{}\n", spot.name);
    if !rows.light.is_empty() {
        let mut table = Table::new(&[
            "light at",
            "sky",
            "read µmol/m² s",
            "model",
            "read by model",
            "corrected model",
            "",
        ]);
        for row in &rows.light {
            let r = row.review;
            let sky = match (row.open_ppfd, row.sky) {
                (Some(open), _) => format!("{open:.0} in the open"),
                (None, SkyState::Clear) => "clear".to_owned(),
                (None, SkyState::Mixed) => "mixed".to_owned(),
                (None, SkyState::Overcast) => "overcast".to_owned(),
            };
            table.row(vec![
                row.when.format("%Y-%m-%d %H:%M").to_string(),
                sky,
                format!("{:.0}", r.read_ppfd),
                figure(r.model_ppfd, 0),
                figure(
                    r.model_ppfd.filter(|m| *m > 0.0).map(|m| r.read_ppfd / m),
                    2,
                ),
                figure(r.corrected_ppfd, 0),
                mark(r.doubt.is_some()),
            ]);
        }
        text.push_str(&table.text());
    }
    if !rows.thermometer.is_empty() {
        let mut table = Table::new(&[
            "night of",
            "read °C",
            "model",
            "read less model K",
            "corrected model",
            "",
        ]);
        for row in &rows.thermometer {
            let r = row.review;
            table.row(vec![
                row.date.to_string(),
                format!("{:.1}", row.min_c),
                figure(r.model_min_c, 1),
                figure(r.model_min_c.map(|m| row.min_c - m), 1),
                figure(r.corrected_min_c, 1),
                mark(r.doubt.is_some()),
            ]);
        }
        text.push_str(&table.text());
    }
    for record in &rows.records {
        let of = match record.quantity {
            LoggedQuantity::Temperature => "temperature",
            LoggedQuantity::Humidity => "humidity",
            LoggedQuantity::Light => "light",
        };
        let place = if record.open {
            "in the open"
        } else {
            "at the spot"
        };
        text.push_str(&format!(
            "Record {}: {of} {place}, {} days from {}, {} hours.\n",
            record.name, record.days, record.first_day, record.hours
        ));
    }
    for sentence in &rows.says {
        text.push_str(&format!("- {sentence}\n"));
    }
    for q in &rows.questioned {
        let counts = if q.counts {
            " It counts all the same."
        } else {
            ""
        };
        text.push_str(&format!("? {} ({}): {}.{counts}\n", q.field, q.when, q.why));
    }
    text
}

fn mark(questioned: bool) -> String {
    if questioned { "questioned" } else { "" }.to_owned()
}
