//! Part of `air`: spots side by side through the hours of seven days.

use std::fmt::Write;

use chrono::NaiveDate;

use super::{Answer, SiteArgs, compute, find_plant, find_spot, output::Table};
use crate::{
    base::{Day, Id},
    needs::Band,
    pipeline::beside::{Beside, beside},
    site::{Site, edit::ObjectKind},
};

/// The spots in the seven days from a date.
pub fn run(
    args: &SiteArgs,
    spots: &[&String],
    plant: Option<&String>,
    date: NaiveDate,
    today: NaiveDate,
) -> Result<Answer, Answer> {
    let outcome = compute(args, None, today)?;
    let site = &outcome.site;
    let ids: Vec<Id> = spots
        .iter()
        .map(|s| find_spot(site, s))
        .collect::<Result<_, _>>()?;
    let plant = plant.map(|p| find_plant(site, p)).transpose()?;
    let ids: Vec<&Id> = ids.iter().collect();
    let found = beside(&outcome, &ids, plant.as_ref(), (Day::of(date), 7));
    Ok(if args.json {
        Answer::json(&found)
    } else {
        Answer::fine(text(site, &found))
    })
}

fn text(site: &Site, found: &Beside) -> String {
    let first = Day::new(found.first_hour / 24);
    let mut text = format!(
        "Air side by side in the seven days from {first}, {}: the usual hours, local standard time.\n\n",
        site.name
    );
    let names: Vec<String> = found
        .spots
        .iter()
        .map(|s| site.name_of(ObjectKind::Spot, &s.spot))
        .collect();
    let mut head: Vec<&str> = vec!["day", "hour"];
    head.extend(names.iter().map(String::as_str));
    if found.wanted.is_some() {
        head.push("wanted °C");
    }
    let range = |b: Band| format!("{:.0} to {:.0}", b.ideal_low(), b.ideal_high());
    let mut table = Table::new(&head);
    for (h, up) in found.sun_up.iter().enumerate() {
        let mut row = vec![
            if h % 24 == 0 {
                first.plus(h as i64 / 24).to_string()
            } else {
                String::new()
            },
            format!("{:02}-{:02}", h % 24, h % 24 + 1),
        ];
        row.extend(found.spots.iter().map(|s| {
            s.air_c
                .get(h)
                .map_or_else(String::new, |c| format!("{c:.1}"))
        }));
        row.extend(found.wanted.as_ref().map(|w| range(w.at(*up))));
        table.row(row);
    }
    text.push_str(&table.text());
    text.push('\n');
    for (spot, name) in found.spots.iter().zip(&names) {
        // Writing to a String cannot fail.
        let _ = writeln!(
            text,
            "{name}: days of {:.1} °C{}, nights down to {:.1} °C{}.",
            spot.day_c,
            off(spot.day_off_k),
            spot.night_c,
            off(spot.night_off_k)
        );
    }
    if let Some(w) = &found.wanted {
        let _ = writeln!(
            text,
            "{} in {}: wants days of {} °C and nights down to {} °C.",
            site.name_of(ObjectKind::Plant, &w.plant),
            w.stage.word(),
            range(w.day_c),
            range(w.night_c)
        );
    }
    text
}

fn off(kelvin: Option<f64>) -> String {
    match kelvin {
        Some(k) if k <= -0.05 => format!(" ({:.1} K too cold)", -k),
        Some(k) if k >= 0.05 => format!(" ({k:.1} K too warm)"),
        Some(_) => " (as wanted)".to_owned(),
        None => String::new(),
    }
}
