//! `air`: air at a spot by the hour or by the week.

use chrono::NaiveDate;
use clap::Args;
use serde::Serialize;

use super::{Answer, SiteArgs, find_spot, output::Table, read};
use crate::{
    air::{self, AirCorrection, AirInputs, AirWeek, SpotAir},
    base::{Day, Id, Progress, Week, names},
    light, pipeline,
};

#[derive(Debug, Args)]
pub struct AirArgs {
    #[command(flatten)]
    pub site: SiteArgs,
    /// Spot, by identifier or name.
    #[arg(long)]
    pub spot: String,
    /// First day, YYYY-MM-DD; today if left out.
    #[arg(long, value_parser = super::date)]
    pub date: Option<NaiveDate>,
    /// Number of days.
    #[arg(long, default_value_t = 1, value_parser = clap::value_parser!(u16).range(1..=365))]
    pub days: u16,
    /// Another spot to be laid beside it, by identifier or name: the usual temperatures of the seven days from the date
    /// on, hour by hour. Can be given several times.
    #[arg(long, conflicts_with_all = ["days", "weeks"])]
    pub beside: Vec<String>,
    /// Plant whose wants by day and night are shown with the hours.
    #[arg(long, conflicts_with_all = ["days", "weeks"])]
    pub plant: Option<String>,
    /// The 52 weeks of the year with their risks, instead of hours.
    #[arg(long)]
    pub weeks: bool,
    /// Leaf temperature, °C, whose chance is given for each week.
    #[arg(long, default_value_t = 0.0, allow_negative_numbers = true)]
    pub frost: f64,
    /// Night temperature, °C, whose chance of being passed by the week's mean night is given.
    #[arg(long, default_value_t = 16.0, allow_negative_numbers = true)]
    pub warm_night: f64,
}

/// An hour of air at a spot.
#[derive(Serialize)]
struct AirHour {
    /// Hour of the year, local standard time.
    hour: usize,
    air_c: f32,
    rh_pct: f32,
    vpd_kpa: f32,
    speed_m_s: f32,
    device_excess_k: f32,
    device_speed_m_s: f32,
}

#[derive(Serialize)]
struct Hours<'a> {
    spot: &'a Id,
    first_day: NaiveDate,
    influences: &'a [String],
    correction: AirCorrection,
    hours: Vec<AirHour>,
}

#[derive(Serialize)]
struct WeekRow<'a> {
    /// 0..52; week 0 begins on 1 January.
    week: usize,
    frost_limit_c: f64,
    /// Share of years in which a leaf falls to the limit in this week, 0..=1.
    frost_chance: f64,
    warm_night_limit_c: f64,
    /// Share of years whose mean night of this week is warmer than the limit, 0..=1.
    warm_night_chance: f64,
    #[serde(flatten)]
    air: &'a AirWeek,
}

#[derive(Serialize)]
struct Weeks<'a> {
    spot: &'a Id,
    influences: &'a [String],
    correction: AirCorrection,
    weeks: Vec<WeekRow<'a>>,
}

pub fn run(args: &AirArgs, today: NaiveDate) -> Result<Answer, Answer> {
    if !args.beside.is_empty() || args.plant.is_some() {
        let spots: Vec<&String> = std::iter::once(&args.spot).chain(&args.beside).collect();
        let date = args.date.unwrap_or(today);
        return super::beside::run(&args.site, &spots, args.plant.as_ref(), date, today);
    }
    let site = read(&args.site)?.site;
    let id = find_spot(&site, &args.spot)?;
    let Some(spot) = site.spots.get(&id) else {
        return Err(Answer::usage(String::new()));
    };
    let progress = Progress::new();
    let never = |e| Answer::usage(format!("{e}\n"));
    let foundations = pipeline::foundations(&site, &progress).map_err(never)?;
    let spots = [(&id, &**spot)];
    let light = light::spots_year(&foundations.light_inputs(&site), &site, &spots, &progress)
        .map_err(never)?;
    let inputs = AirInputs {
        place: &site.place,
        sun: &foundations.sun,
        weather: &foundations.weather,
    };
    let airs = air::spots_year(&inputs, &site, &spots, &light, &progress).map_err(never)?;
    let Some(air) = airs.first() else {
        return Err(Answer::usage(String::new()));
    };
    let head = format!("Air at {} ({}), at leaf height.\n", spot.name, site.name);
    if args.weeks {
        Ok(weeks(args, &id, air, &head))
    } else {
        Ok(hours(args, &id, air, today, &head))
    }
}

fn hours(args: &AirArgs, id: &Id, air: &SpotAir, today: NaiveDate, head: &str) -> Answer {
    let date = args.date.unwrap_or(today);
    let first = Day::of(date);
    let days: Vec<Day> = (0..i64::from(args.days)).map(|d| first.plus(d)).collect();
    let at = |series: &[f32], hour: usize| series.get(hour).copied().unwrap_or(f32::NAN);
    let hour = |hour: usize| AirHour {
        hour,
        air_c: at(&air.air_c, hour),
        rh_pct: at(&air.rh_pct, hour),
        vpd_kpa: at(&air.vpd_kpa, hour),
        speed_m_s: at(&air.speed_m_s, hour),
        device_excess_k: at(&air.device_excess_k, hour),
        device_speed_m_s: at(&air.device_speed_m_s, hour),
    };
    if args.site.json {
        let hours = days
            .iter()
            .flat_map(|d| (0..24).map(|h| hour(d.index() * 24 + h)))
            .collect();
        return Answer::json(&Hours {
            spot: id,
            first_day: date,
            influences: &air.influences,
            correction: air.correction,
            hours,
        });
    }
    let mut text = head.to_owned();
    text.push_str("Typical year; hours are local standard time.\n");
    for day in days {
        text.push_str(&format!("\n{day}\n"));
        let mut table = Table::new(&[
            "hour",
            "air °C",
            "RH %",
            "VPD kPa",
            "air m/s",
            "by devices K",
            "by devices m/s",
        ]);
        for h in 0..24 {
            let a = hour(day.index() * 24 + h);
            table.row(vec![
                format!("{h:02}-{:02}", h + 1),
                format!("{:.1}", a.air_c),
                format!("{:.0}", a.rh_pct),
                format!("{:.2}", a.vpd_kpa),
                format!("{:.2}", a.speed_m_s),
                format!("{:+.1}", a.device_excess_k),
                format!("{:.2}", a.device_speed_m_s),
            ]);
        }
        text.push_str(&table.text());
    }
    Answer::fine(text + &tail(air))
}

fn weeks(args: &AirArgs, id: &Id, air: &SpotAir, head: &str) -> Answer {
    let rows: Vec<WeekRow> = air
        .weeks
        .iter()
        .enumerate()
        .map(|(week, air)| WeekRow {
            week,
            frost_limit_c: args.frost,
            frost_chance: air.frost_chance(args.frost),
            warm_night_limit_c: args.warm_night,
            warm_night_chance: air.warm_night_chance(args.warm_night),
            air,
        })
        .collect();
    if args.site.json {
        return Answer::json(&Weeks {
            spot: id,
            influences: &air.influences,
            correction: air.correction,
            weeks: rows,
        });
    }
    let frost = format!("leaf ≤ {} °C", args.frost);
    let warm = format!("nights > {} °C", args.warm_night);
    let mut table = Table::new(&[
        "week of",
        "day °C",
        "night °C",
        "difference K",
        "RH %",
        "VPD kPa",
        "air m/s",
        &frost,
        &warm,
        "ET0 mm/d",
    ]);
    for row in &rows {
        let chance = |c: f64| {
            if c == 0.0 {
                String::new()
            } else {
                names::years_in(c)
            }
        };
        table.row(vec![
            Week::new(row.week).first_day().to_string(),
            format!("{:.1}", row.air.day_c),
            format!("{:.1}", row.air.night_c),
            format!("{:.1}", row.air.day_night_k),
            format!("{:.0}", row.air.rh_day_pct),
            format!("{:.2}", row.air.vpd_kpa),
            format!("{:.2}", row.air.speed_m_s),
            chance(row.frost_chance),
            chance(row.warm_night_chance),
            format!("{:.1}", row.air.et0_mm_d),
        ]);
    }
    Answer::fine(head.to_owned() + &table.text() + &tail(air))
}

fn tail(air: &SpotAir) -> String {
    let mut text = String::from("\n");
    for influence in &air.influences {
        text.push_str(&format!("- {influence}\n"));
    }
    let c = air.correction;
    let says = c.sentences(&|k| format!("{k:.1} K"));
    if says.is_empty() {
        text.push_str(&format!(
            "No thermometer readings here: a night minimum may be off by ±{:.1} K. Some mornings' readings make it surer.\n",
            c.sd_k
        ));
    }
    for sentence in says {
        text.push_str(&format!("{sentence}\n"));
    }
    text
}
