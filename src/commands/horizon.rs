//! `horizon`: what a place sees round about, and when the sun reaches it.

use clap::Args;
use serde::Serialize;

use super::{Answer, SiteArgs, find, find_spot, output::Table, read};
use crate::{
    base::{Id, Progress, Pt, calendar::MONTH_NAMES},
    light::horizon::{self, Horizon, SunArc},
    pipeline,
    site::{Site, Spot},
};

/// Each point of the sun's way stands for the ten minutes about it, h.
const HALF_H: f64 = 1.0 / 12.0;

#[derive(Debug, Args)]
pub struct HorizonArgs {
    #[command(flatten)]
    pub site: SiteArgs,
    /// Spot, by identifier or name.
    #[arg(long, required_unless_present = "at")]
    pub spot: Option<String>,
    /// A place on the plan, m: X,Y.
    #[arg(long, value_name = "X,Y", value_parser = point, conflicts_with = "spot", allow_hyphen_values = true)]
    pub at: Option<Pt>,
    /// Height of the place above ground or floor, m.
    #[arg(long, requires = "at", default_value_t = 0.8, value_parser = super::light_map::height)]
    pub height: f64,
    /// Room the place is in, by identifier or name; outdoors if left out.
    #[arg(long, requires = "at")]
    pub room: Option<String>,
}

fn point(text: &str) -> Result<Pt, String> {
    let number = |t: &str| t.trim().parse().ok().filter(|v: &f64| v.abs() <= 10_000.0);
    text.split_once(',')
        .and_then(|(x, y)| Some(Pt(number(x)?, number(y)?)))
        .ok_or_else(|| "two numbers are wanted, such as 3.5,-2".to_owned())
}

/// The answer as JSON.
#[derive(Serialize)]
struct Told<'a> {
    spot: Option<Id>,
    at_m: [f64; 2],
    height_m: f64,
    room: Option<&'a Id>,
    #[serde(flatten)]
    horizon: &'a Horizon,
}

pub fn run(args: &HorizonArgs) -> Result<Answer, Answer> {
    let site = read(&args.site)?.site;
    let (id, spot) = place(args, &site)?;
    // Nobody cancels a command.
    let forever = Progress::new();
    let stopped = |e| Answer::usage(format!("{e}\n"));
    let foundations = pipeline::foundations(&site, &forever).map_err(stopped)?;
    let inputs = foundations.light_inputs(&site);
    let horizon = horizon::horizon(&inputs, &site, &spot, &forever).map_err(stopped)?;
    if args.site.json {
        let Pt(x, y) = spot.middle();
        return Ok(Answer::json(&Told {
            spot: id,
            at_m: [x, y],
            height_m: spot.height_m + spot.leaf_m,
            room: spot.room.as_ref(),
            horizon: &horizon,
        }));
    }
    Ok(Answer::fine(tell(&site, &spot, &horizon)))
}

/// The spot asked for, or the place in the form of one.
fn place(args: &HorizonArgs, site: &Site) -> Result<(Option<Id>, Spot), Answer> {
    if let Some(wanted) = &args.spot {
        let id = find_spot(site, wanted)?;
        let spot = site.spots.get(&id).map(|s| Spot::clone(s));
        return spot
            .map(|s| (Some(id), s))
            .ok_or_else(|| Answer::usage(String::new()));
    }
    let room = match &args.room {
        None => None,
        Some(wanted) => {
            let all = site.rooms.iter().map(|(id, r)| (id, r.name.as_str()));
            Some(find(wanted, "room", all)?)
        }
    };
    let spot = Spot {
        name: "A place".to_owned(),
        room,
        outline: args.at.into_iter().collect(),
        height_m: args.height,
        leaf_m: 0.0,
        ..Spot::default()
    };
    Ok((None, spot))
}

fn tell(site: &Site, spot: &Spot, horizon: &Horizon) -> String {
    let Pt(x, y) = spot.middle();
    let mut text = format!(
        "Horizon of {} ({}), at {x:.2}, {y:.2} m, {:.2} m above ground or floor. Azimuths are true, hours local \
standard time.\n\n",
        spot.name,
        site.name,
        spot.height_m + spot.leaf_m
    );
    let mut table = Table::new(&[
        "month",
        "sun up",
        "sun h a day",
        "DLI mol/m² a day",
        "sun on the 21st",
    ]);
    for (month, arc) in horizon.arcs.iter().enumerate() {
        let ends = arc.points.first().zip(arc.points.last());
        table.row(vec![
            MONTH_NAMES[month].to_owned(),
            ends.map_or_else(
                || "never".to_owned(),
                |(a, b)| format!("{}-{}", clock(a.hour_h - HALF_H), clock(b.hour_h + HALF_H)),
            ),
            format!("{:.1}", horizon.sun_h[month]),
            format!("{:.1}", horizon.dli_mol_m2_d[month]),
            sunlit(arc),
        ]);
    }
    text.push_str(&table.text());
    text.push('\n');
    let mut table = Table::new(&["against the sky", "azimuth°", "highest°", "lets through"]);
    for (k, object) in horizon.objects.iter().enumerate() {
        let mut azimuths = [false; 360];
        let (mut top, mut passes) = (0.0_f32, (1.0_f32, 0.0_f32));
        for column in horizon
            .skylines
            .iter()
            .flat_map(|s| s.columns.iter().enumerate())
        {
            for s in column.1.iter().filter(|s| s.object == Some(k as u16)) {
                azimuths[column.0 % 360] = true;
                top = top.max(s.to_deg);
                passes = (passes.0.min(s.passes), passes.1.max(s.passes));
            }
        }
        if top > 0.0 {
            let percent = |p: f32| format!("{:.0}", p * 100.0);
            table.row(vec![
                site.name_of(object.kind, &object.id),
                ranges(&azimuths),
                format!("{top:.0}"),
                if passes.1 - passes.0 < 0.05 {
                    format!("{} %", percent(passes.1))
                } else {
                    format!("{}-{} %", percent(passes.0), percent(passes.1))
                },
            ]);
        }
    }
    text.push_str(&table.text());
    text
}

fn clock(hour_h: f64) -> String {
    let minutes = (hour_h * 60.0).round() as i64;
    format!(
        "{:02}:{:02}",
        minutes.div_euclid(60),
        minutes.rem_euclid(60)
    )
}

/// The spans in which at least half of the beam arrives.
fn sunlit(arc: &SunArc) -> String {
    let mut spans: Vec<(f64, f64)> = Vec::new();
    for p in arc.points.iter().filter(|p| p.reaches >= 0.5) {
        match spans.last_mut() {
            Some(last) if p.hour_h - last.1 < 0.2 => last.1 = p.hour_h,
            _ => spans.push((p.hour_h, p.hour_h)),
        }
    }
    let words: Vec<String> = spans
        .iter()
        .map(|(a, b)| format!("{}-{}", clock(a - HALF_H), clock(b + HALF_H)))
        .collect();
    if words.is_empty() {
        "none".to_owned()
    } else {
        words.join(", ")
    }
}

/// Whole degrees as ranges.
fn ranges(at: &[bool; 360]) -> String {
    let mut words: Vec<String> = Vec::new();
    let mut k = 0;
    while k < 360 {
        if at[k] {
            let begin = k;
            while k < 360 && at[k] {
                k += 1;
            }
            words.push(format!("{begin}-{}", k - 1));
        }
        k += 1;
    }
    words.join(", ")
}
