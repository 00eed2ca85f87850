//! `climate`: normals and where each comes from, risks through the year; and what a weather file holds.

use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use clap::{Args, ValueEnum};
use serde::Serialize;

use super::{
    Answer, SiteArgs,
    output::{Table, figure},
    read,
};
use crate::{
    base::{Day, Progress, Week, calendar::MONTH_NAMES, names},
    climate::{
        self, Weather,
        import::{self, Imported, WeatherFile},
        risks::Risks,
    },
    site::{
        Site,
        records::{Asked, DateOrder, Question},
    },
    sun::SunTable,
};

#[derive(Debug, Args)]
pub struct ClimateArgs {
    #[command(flatten)]
    pub site: SiteArgs,
    /// Limit of a frosty night, °C.
    #[arg(long, default_value_t = 0.0, allow_negative_numbers = true)]
    pub frost: f64,
    /// Limit of a hot night, °C.
    #[arg(long, default_value_t = 20.0, allow_negative_numbers = true)]
    pub hot_night: f64,
    /// The 52 weeks of the year instead of the months.
    #[arg(long)]
    pub weeks: bool,
    /// A weather file that the site would take, an EPW or a table of days or hours: computes with it and says what it
    /// holds.
    #[arg(long, value_name = "FILE")]
    pub file: Option<PathBuf>,
    /// With --file: which number of a date comes first, where the file leaves it open.
    #[arg(long, requires = "file")]
    pub dates: Option<Dates>,
    /// With --file: prints the site with the climate of the file, to be kept as a new file.
    #[arg(long, requires = "file")]
    pub take: bool,
}

/// Order of the numbers of a date.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub enum Dates {
    DayFirst,
    MonthFirst,
}

impl From<Dates> for DateOrder {
    fn from(dates: Dates) -> Self {
        match dates {
            Dates::DayFirst => Self::DayMonthYear,
            Dates::MonthFirst => Self::MonthDayYear,
        }
    }
}

#[derive(Serialize)]
struct Month {
    /// 1 to 12.
    month: usize,
    night_min_c: f64,
    day_max_c: f64,
    night_min_sd_k: f64,
    day_max_sd_k: f64,
    rh_pct: f64,
    radiation_mj_m2_d: f64,
    rain_mm: f64,
    rain_days: f64,
    wind_m_s: f64,
}

#[derive(Serialize)]
struct FileTold<'a> {
    source: &'a str,
    record_years: f64,
    says: &'a [String],
    doubts: &'a [String],
}

#[derive(Serialize)]
struct Told<'a> {
    place: &'a crate::site::Place,
    source: &'a str,
    weather_years: usize,
    months: Vec<Month>,
    risks: Risks,
    methods: &'a [String],
    #[serde(skip_serializing_if = "Option::is_none")]
    file: Option<FileTold<'a>>,
}

pub fn run(args: &ClimateArgs, today: NaiveDate) -> Result<Answer, Answer> {
    let mut site = read(&args.site)?.site;
    let file = args
        .file
        .as_deref()
        .map(|path| weather_file(path, &site, args, today))
        .transpose()?;
    let imported = file.as_ref().and_then(WeatherFile::imported);
    if let Some(file) = imported {
        site.climate = file.climate(&site.climate, &site.place).into();
        if args.take {
            return Ok(Answer::fine(crate::site::file::to_text(&site)));
        }
    }
    let weather = climate::weather(
        &site.place,
        &site.climate,
        &SunTable::of(&site.place),
        &Progress::new(),
    )
    .map_err(|e| Answer::usage(format!("{e}\n")))?;
    let told = told(args, &site, &weather, imported);
    Ok(if args.site.json {
        Answer::json(&told)
    } else {
        Answer::fine(text(args, &site, &told))
    })
}

/// A weather file; refused with its faults, or with what must be said first.
fn weather_file(
    path: &Path,
    site: &Site,
    args: &ClimateArgs,
    today: NaiveDate,
) -> Result<WeatherFile, Answer> {
    let fault = |what: String| Answer::file_fault(format!("{}: {what}\n", path.display()));
    let asked = Asked {
        time_zone: site.place.time_zone.clone(),
        today: Some(today),
        order: args.dates.map(DateOrder::from),
        ..Asked::default()
    };
    let file = import::read(path, &site.place, &asked, &Progress::new())
        .map_err(|e| fault(e.to_string()))?;
    if let WeatherFile::Table(table) = &file
        && table.imported.is_none()
    {
        let questions: Vec<String> = table.preview.questions.iter().map(Question::text).collect();
        return Err(fault(format!(
            "{} Give --dates, or write the unit into the heading.",
            questions.join(" ")
        )));
    }
    Ok(file)
}

fn told<'a>(
    args: &ClimateArgs,
    site: &'a Site,
    weather: &'a Weather,
    imported: Option<&'a Imported>,
) -> Told<'a> {
    let (n, y) = (&weather.normals, &weather.years);
    let months = (0..12)
        .map(|m| Month {
            month: m + 1,
            night_min_c: n.night_min_c[m],
            day_max_c: n.day_max_c[m],
            night_min_sd_k: n.night_min_sd_k[m],
            day_max_sd_k: n.day_max_sd_k[m],
            rh_pct: n.rh_pct[m],
            radiation_mj_m2_d: n.radiation_mj_m2_d[m],
            rain_mm: n.rain_mm[m],
            rain_days: n.rain_days[m],
            wind_m_s: n.wind_m_s[m],
        })
        .collect();
    Told {
        place: &site.place,
        source: &site.climate.source,
        weather_years: y.years,
        months,
        risks: Risks::of(y, args.frost, args.hot_night),
        methods: &weather.methods,
        file: imported.map(|f| FileTold {
            source: &f.source,
            record_years: f.statistics.years,
            says: &f.says,
            doubts: &f.doubts,
        }),
    }
}

fn text(args: &ClimateArgs, site: &Site, told: &Told<'_>) -> String {
    let p = told.place;
    let mut text = format!(
        "Climate of {} ({}, {:.2}°, {:.2}°, {:.0} m), in the open.\n",
        site.name, p.name, p.latitude_deg, p.longitude_deg, p.elevation_m
    );
    if let Some(file) = &told.file {
        text.push_str(&format!("\nWith {}:\n", file.source));
        for said in file.says {
            text.push_str(&format!("- {said}\n"));
        }
        for doubt in file.doubts {
            text.push_str(&format!("- doubt: {doubt}\n"));
        }
    }
    text.push('\n');
    text.push_str(&if args.weeks {
        weeks(told)
    } else {
        months(told)
    });
    text.push_str(&risks(told));
    text.push_str("\nWhere each figure comes from:\n");
    for method in told.methods {
        text.push_str(&format!("- {method}\n"));
    }
    text
}

fn months(told: &Told<'_>) -> String {
    let mut table = Table::new(&[
        "month",
        "night °C",
        "± K",
        "day °C",
        "± K",
        "RH %",
        "MJ/m² d",
        "rain mm",
        "rain days",
        "wind m/s",
    ]);
    for m in &told.months {
        table.row(vec![
            MONTH_NAMES.get(m.month - 1).unwrap_or(&"").to_string(),
            format!("{:.1}", m.night_min_c),
            format!("{:.1}", m.night_min_sd_k),
            format!("{:.1}", m.day_max_c),
            format!("{:.1}", m.day_max_sd_k),
            format!("{:.0}", m.rh_pct),
            format!("{:.1}", m.radiation_mj_m2_d),
            format!("{:.0}", m.rain_mm),
            format!("{:.1}", m.rain_days),
            format!("{:.1}", m.wind_m_s),
        ]);
    }
    table.text()
}

fn weeks(told: &Told<'_>) -> String {
    let frost = format!("night ≤ {} °C", told.risks.frost_limit_c);
    let hot = format!("nights > {} °C", told.risks.hot_night_limit_c);
    let mut table = Table::new(&[
        "week of",
        "night 1 in 10",
        "usual °C",
        "9 in 10",
        "day 1 in 10",
        "usual °C",
        "9 in 10",
        &frost,
        &hot,
    ]);
    let chance = |c: Option<f64>| {
        c.filter(|c| *c > 0.0)
            .map_or_else(String::new, names::years_in)
    };
    for w in &told.risks.weeks {
        table.row(vec![
            Week::new(w.week).first_day().to_string(),
            figure(w.night_p10_c, 1),
            figure(w.night_p50_c, 1),
            figure(w.night_p90_c, 1),
            figure(w.day_p10_c, 1),
            figure(w.day_p50_c, 1),
            figure(w.day_p90_c, 1),
            chance(w.frost_chance),
            chance(w.hot_nights_chance),
        ]);
    }
    table.text()
}

fn risks(told: &Told<'_>) -> String {
    let r = &told.risks;
    let mut text = format!("\nRisks, from {} weather years\n", told.weather_years);
    let limit = r.frost_limit_c;
    if r.frost_dates.iter().all(|d| d.first_day.is_none()) {
        text.push_str(&format!(
            "No night at or below {limit} °C in enough years to name a date; that does not rule one out.\n"
        ));
    } else {
        let mut table = Table::new(&[
            "share of years",
            &format!("first night ≤ {limit} °C by"),
            "last one after",
        ]);
        for d in &r.frost_dates {
            let named =
                |d: Option<usize>| d.map_or_else(|| "none".to_owned(), |d| Day::new(d).to_string());
            table.row(vec![
                names::years_in(d.chance),
                named(d.first_day),
                named(d.last_day),
            ]);
        }
        text.push_str(&table.text());
    }
    text.push_str(&format!(
        "Nights at or below {limit} °C in a year: {:.0} ± {:.0}. Nights above {} °C: {:.0} ± {:.0}.\n",
        r.frost_nights_a_year, r.frost_nights_sd, r.hot_night_limit_c, r.hot_nights_a_year, r.hot_nights_sd
    ));
    text.push_str(&format!(
        "Coldest night of a year: {} °C every other year, {} °C one year in ten, {} °C one in thirty.\n",
        figure(r.coldest_night.every_other_c, 1),
        figure(r.coldest_night.one_in_ten_c, 1),
        figure(r.coldest_night.one_in_thirty_c, 1)
    ));
    text.push_str(&format!(
        "Cold snaps, mean of the nights: three nights {} °C every other year, {} °C one in ten; seven nights {} and {} °C.\n",
        figure(r.coldest_3_nights.every_other_c, 1),
        figure(r.coldest_3_nights.one_in_ten_c, 1),
        figure(r.coldest_7_nights.every_other_c, 1),
        figure(r.coldest_7_nights.one_in_ten_c, 1)
    ));
    text
}
