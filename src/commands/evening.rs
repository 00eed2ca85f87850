//! `evening`: what would bring a spot's nights down, and by how much.

use std::fmt::Write;

use chrono::{Datelike, NaiveDate};
use clap::Args;

use super::{Answer, SiteArgs, compute, find_plant, find_spot, output::Table};
use crate::{
    air::{
        cooler::{self, CAUTION, SUITS},
        evening::Wetting,
    },
    base::{Progress, calendar::MONTH_NAMES},
    pipeline,
    site::edit::ObjectKind,
};

#[derive(Debug, Args)]
pub struct EveningArgs {
    #[command(flatten)]
    pub site: SiteArgs,
    /// Spot, by identifier or name.
    #[arg(long)]
    pub spot: String,
    /// Plant whose pot, leaves and wants count, by identifier or name.
    #[arg(long)]
    pub plant: Option<String>,
    /// Month, 1 to 12; this month if left out.
    #[arg(long, value_parser = clap::value_parser!(u8).range(1..=12))]
    pub month: Option<u8>,
    /// Floor that is wetted about the spot, m².
    #[arg(long, default_value_t = 4, value_parser = clap::value_parser!(u16).range(1..=1000))]
    pub area: u16,
    /// Water on it, litres per square metre.
    #[arg(long, default_value_t = 1, value_parser = clap::value_parser!(u8).range(1..=20))]
    pub litres: u8,
    /// Ice on the mix of the pot, g.
    #[arg(long, default_value_t = 100, value_parser = clap::value_parser!(u16).range(0..=2000))]
    pub ice: u16,
}

pub fn run(args: &EveningArgs, today: NaiveDate) -> Result<Answer, Answer> {
    let outcome = compute(&args.site, None, today)?;
    let site = &outcome.site;
    let spot = find_spot(site, &args.spot)?;
    let plant = args
        .plant
        .as_ref()
        .map(|p| find_plant(site, p))
        .transpose()?;
    let month0 = args
        .month
        .map_or(today.month0() as usize, |m| usize::from(m) - 1);
    let wetting = Wetting {
        area_m2: f64::from(args.area),
        litres_m2: f64::from(args.litres),
        ice_kg: f64::from(args.ice) / 1000.0,
        ..Wetting::default()
    };
    let answer = pipeline::cooler_nights(
        &outcome,
        &spot,
        plant.as_ref(),
        month0,
        wetting,
        &Progress::new(),
    )
    .map_err(|e| Answer::usage(format!("{e}\n")))?
    .ok_or_else(|| Answer::file_fault("nothing is known of the air here\n".to_owned()))?;
    if args.site.json {
        return Ok(Answer::json(&answer));
    }
    let head = format!(
        "What would bring the nights down at {} ({}) in {}\n",
        site.name_of(ObjectKind::Spot, &spot),
        site.name,
        MONTH_NAMES.get(month0).unwrap_or(&""),
    );
    Ok(Answer::fine(head + &text(&answer)))
}

fn text(answer: &cooler::Answer) -> String {
    let mut text = format!("\nNights now: {:.1} °C", answer.night_c);
    // Writing to a String cannot fail.
    if let (Some(wanted), Some(nights)) = (answer.wanted_c, answer.nights) {
        let _ = write!(
            text,
            "; wanted at most {wanted:.1} °C, which {nights:.0} of {} nights are",
            answer.nights_of_month
        );
    }
    if answer.suits {
        let _ = writeln!(text, "\n{SUITS}");
        return text;
    }
    let _ = writeln!(
        text,
        "\nAn hour after sunset the air is {:.1} °C and its wet bulb {:.1} K lower: no water cools further.\n",
        answer.evening_c, answer.wet_bulb_below_k
    );
    let mut table = Table::new(&[
        "in the evening",
        "air, most K",
        "air, night's low K",
        "leaf, most K",
        "leaf, night's low K",
        "roots, most K",
        "roots, night's low K",
        "lasts h",
        "nights as wanted",
    ]);
    for e in &answer.effects {
        let fall = |k: f64| format!("{:.2}", -k).replace("-0.00", "0.00");
        table.row(vec![
            e.measure.word().to_owned(),
            fall(e.air_most_k),
            fall(e.air_at_low_k),
            fall(e.leaf_most_k),
            fall(e.leaf_at_low_k),
            fall(e.root_most_k),
            fall(e.root_at_low_k),
            format!("{:.0}", e.lasts_h),
            e.nights.map_or_else(String::new, |n| format!("{n:.0}")),
        ]);
    }
    text.push_str(&table.text());
    if !answer.elsewhere.is_empty() {
        text.push_str("\nInstead\n");
    }
    for other in &answer.elsewhere {
        let _ = writeln!(
            text,
            "  {}: {:.1} °C ({:+.1} K)",
            other.what, other.night_c, other.change_k
        );
    }
    let _ = writeln!(text, "\nMind: {CAUTION}");
    text
}
