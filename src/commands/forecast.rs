//! `forecast`: what the next nights mean at each spot, and which plants must come in.

use std::{fmt::Write, path::PathBuf, sync::Arc};

use chrono::NaiveDate;
use clap::Args;

use super::{
    Answer, SiteArgs, compute, guessed,
    output::{Table, figure},
    read,
};
use crate::{
    air::forecast::ForecastDay,
    base::Progress,
    care::forecast::{self, Advice, CAUTIONS, COVER_CAUTION, Outlook},
    pipeline,
    site::{Forecast, Site, edit::ObjectKind},
};

#[derive(Debug, Args)]
pub struct ForecastArgs {
    #[command(flatten)]
    pub site: SiteArgs,
    /// Low of tonight in the open, °C; without it and --file, the forecast kept in the site counts.
    #[arg(long, allow_negative_numbers = true, value_parser = temperature)]
    pub low: Option<f64>,
    /// High of today, °C.
    #[arg(long, allow_negative_numbers = true, requires = "low", value_parser = temperature)]
    pub high: Option<f64>,
    /// Wind of the night at 10 m, m/s; nearly calm if left out.
    #[arg(long, requires = "low", value_parser = wind)]
    pub wind: Option<f64>,
    /// Cloud cover of the night, %; clear if left out.
    #[arg(long, requires = "low", value_parser = clap::value_parser!(u8).range(0..=100))]
    pub cloud: Option<u8>,
    /// Evening it is for, YYYY-MM-DD; today if left out.
    #[arg(long, value_parser = super::date, requires = "low")]
    pub date: Option<NaiveDate>,
    /// Several days from a table of text: date, low, high, wind, sky.
    #[arg(long, conflicts_with = "low")]
    pub file: Option<PathBuf>,
    /// Prints the site with the forecast kept in it, to be kept as a new file.
    #[arg(long)]
    pub take: bool,
}

fn temperature(text: &str) -> Result<f64, String> {
    within(text, -60.0, 55.0, "°C")
}

fn wind(text: &str) -> Result<f64, String> {
    within(text, 0.0, 60.0, "m/s")
}

fn within(text: &str, low: f64, high: f64, unit: &str) -> Result<f64, String> {
    text.parse::<f64>()
        .ok()
        .filter(|v| (low..=high).contains(v))
        .ok_or_else(|| format!("a figure from {low} to {high} {unit} is needed"))
}

pub fn run(args: &ForecastArgs, today: NaiveDate) -> Result<Answer, Answer> {
    let site = read(&args.site)?.site;
    if args.take && args.low.is_none() && args.file.is_none() {
        return Err(Answer::usage(
            "--take needs a new forecast: --low or --file\n".to_owned(),
        ));
    }
    let days = days(args, &site, today)?;
    if args.take {
        let mut site = site;
        site.forecast = Some(Arc::new(Forecast {
            told_on: today,
            days,
        }));
        return Ok(Answer::fine(crate::site::file::to_text(&site)));
    }
    let told_on = site
        .forecast
        .as_ref()
        .filter(|_| args.low.is_none() && args.file.is_none())
        .map(|f| f.told_on);
    let outcome = compute(&args.site, None, today)?;
    let outlook = pipeline::outlook(&outcome, &days, &Progress::new())
        .map_err(|e| Answer::usage(format!("{e}\n")))?;
    if args.site.json {
        return Ok(Answer::json(&outlook));
    }
    Ok(Answer::report(&text(&outcome.site, &outlook, told_on)))
}

/// The forecast that is meant: that of the file, that of the words of the command, or the one kept in the site.
fn days(args: &ForecastArgs, site: &Site, today: NaiveDate) -> Result<Vec<ForecastDay>, Answer> {
    if let Some(path) = &args.file {
        return forecast::read_file(path, today)
            .map_err(|e| Answer::file_fault(format!("{}: {e}\n", path.display())));
    }
    if let Some(night_min_c) = args.low {
        return Ok(vec![ForecastDay {
            date: args.date.unwrap_or(today),
            night_min_c,
            day_max_c: args.high,
            wind_m_s: args.wind,
            cloud: args.cloud.map(|c| f64::from(c) / 100.0),
        }]);
    }
    let kept: Vec<ForecastDay> = site
        .forecast
        .iter()
        .flat_map(|f| f.ahead(today).copied())
        .collect();
    if kept.is_empty() {
        return Err(Answer::usage(match &site.forecast {
            Some(f) => format!(
                "the forecast in the site, told on {}, has no night ahead; give --low or --file\n",
                f.told_on
            ),
            None => "no forecast is kept in the site; give --low or --file\n".to_owned(),
        }));
    }
    Ok(kept)
}

fn text(site: &Site, outlook: &Outlook, told_on: Option<NaiveDate>) -> String {
    let mut text = format!("{}{}: the next nights\n", guessed(site), site.name);
    if let Some(date) = told_on {
        text.push_str(&format!(
            "By the forecast kept in the site, told on {}.\n",
            date.format("%-d %B %Y")
        ));
    }
    for day in &outlook.forecast {
        // Writing to a String cannot fail.
        let _ = writeln!(
            text,
            "\nNight of {}: {:.1} °C in the open, wind {} m/s, cloud {} %",
            day.date.format("%-d %B %Y"),
            day.night_min_c,
            figure(day.wind_m_s, 1),
            figure(day.cloud.map(|c| 100.0 * c), 0),
        );
        for advice in [Advice::BringIn, Advice::BeReady] {
            let plants: Vec<_> = outlook
                .plants
                .iter()
                .filter(|p| p.date == day.date && p.advice == advice)
                .collect();
            if plants.is_empty() {
                continue;
            }
            let _ = writeln!(
                text,
                "{}",
                match advice {
                    Advice::BeReady => "Be ready to bring in",
                    _ => advice.word(),
                }
            );
            for p in plants {
                let _ = writeln!(
                    text,
                    "  {} from {} {}",
                    site.name_of(ObjectKind::Plant, &p.plant),
                    site.name_of(ObjectKind::Spot, &p.spot),
                    forecast::where_to(site, p),
                );
                let _ = writeln!(text, "    because {}", forecast::why(p));
                let assumed = forecast::assumed(site, p);
                if !assumed.is_empty() {
                    let _ = writeln!(text, "    {assumed}");
                }
                for caution in &p.cautions {
                    let _ = writeln!(text, "    mind: {caution}");
                }
            }
        }
        let staying = outlook
            .plants
            .iter()
            .filter(|p| p.date == day.date && p.advice == Advice::Stay)
            .count();
        let _ = writeln!(text, "May stay where they are: {staying}");
        let mut table = Table::new(&[
            "spot",
            "low °C",
            "9 nights in 10 above °C",
            "high of the day °C",
        ]);
        for place in outlook.spots.iter().filter(|p| p.date == day.date) {
            table.row(vec![
                site.name_of(ObjectKind::Spot, &place.spot),
                format!("{:.1}", place.air_min_c),
                format!("{:.1}", place.air_min_c - place.margin_k),
                format!("{:.1}", place.day_max_c),
            ]);
        }
        text.push_str(&table.text());
    }
    if outlook.plants.iter().any(|p| p.advice != Advice::Stay) {
        let _ = writeln!(text, "\nMind: {CAUTIONS}");
        if outlook.plants.iter().any(|p| p.under.is_some()) {
            let _ = writeln!(text, "Mind: {COVER_CAUTION}");
        }
    }
    text
}
