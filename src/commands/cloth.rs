//! `cloth`: which shade cloth a spot's plants want, and what a cloth really is by two light readings.

use chrono::{NaiveDate, NaiveDateTime};
use clap::{Args, ValueEnum};
use serde::Serialize;

use super::{
    Answer, SiteArgs, compute, find_plant, find_spot,
    output::{Table, figure},
    read,
};
use crate::{
    base::{Id, Progress, calendar},
    cloth::{
        self, COLOURS, CannotChoose, ClothInputs, Counted, Drawn, MonthUnder, RealShade, Report,
        TwoReadings,
    },
    pipeline,
    planner::Plan,
    scoring::ScoreWord,
    site::{LightValue, Site, SkyState, edit::ObjectKind},
};

#[derive(Debug, Args)]
#[command(
    override_usage = "sillward cloth SITE --spot S [--plant P]... [--planned] [--json]\n       \
sillward cloth --under N --beside N [--unit lux|fc|ppfd] [--minutes N] [--sky S] [--label PCT] [--json]\n       \
sillward cloth SITE --spot S --when DATETIME --under N --beside N [...]"
)]
pub struct ClothArgs {
    /// Site file (.ron), or the name of a sample; may be left out for two readings alone.
    #[arg(value_name = "SITE")]
    pub site: Option<String>,
    /// Spot, by identifier or name.
    #[arg(long)]
    pub spot: Option<String>,
    /// Plant, by identifier or name; may be given several times. Left out: those that stand there or are planned.
    #[arg(long)]
    pub plant: Vec<String>,
    /// Count only the weeks in which the plan has the plants there.
    #[arg(long)]
    pub planned: bool,
    /// Light reading under a cloth, for what it really is.
    #[arg(long, value_name = "N", requires = "beside")]
    pub under: Option<f64>,
    /// Light reading in the open beside it.
    #[arg(long, value_name = "N", requires = "under")]
    pub beside: Option<f64>,
    /// Unit of the two readings.
    #[arg(long, value_enum, default_value_t = Unit::Lux)]
    pub unit: Unit,
    /// Minutes between the two readings.
    #[arg(long, default_value_t = 2.0)]
    pub minutes: f64,
    /// Sky while they were taken.
    #[arg(long, value_enum, default_value_t = Sky::Clear)]
    pub sky: Sky,
    /// What the cloth's label says, %.
    #[arg(long, value_name = "PCT")]
    pub label: Option<f64>,
    /// Local clock time of the readings, such as 2026-06-20T12:30, taken under the cloth drawn over the spot.
    #[arg(long, value_name = "DATETIME", requires = "site", requires = "spot", value_parser = moment)]
    pub when: Option<NaiveDateTime>,
    /// Answer as JSON.
    #[arg(long)]
    pub json: bool,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Unit {
    Lux,
    Fc,
    Ppfd,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Sky {
    Clear,
    Mixed,
    Overcast,
}

fn moment(text: &str) -> Result<NaiveDateTime, String> {
    let refused = || "a date and a time are wanted, such as 2026-06-20T12:30".to_owned();
    let (date, time) = text.split_once(['T', ' ']).ok_or_else(refused)?;
    let date = super::date(date)?;
    let time = time.parse().map_err(|_| refused())?;
    Ok(date.and_time(time))
}

pub fn run(args: &ClothArgs, today: NaiveDate) -> Result<Answer, Answer> {
    if let (Some(under), Some(beside)) = (args.under, args.beside) {
        return real(args, under, beside);
    }
    let (Some(site), Some(spot)) = (&args.site, &args.spot) else {
        return Err(Answer::usage(
            "name a site and a spot, or give two readings: sillward cloth --under 40000 --beside 100000\n"
                .to_owned(),
        ));
    };
    let site_args = SiteArgs {
        site: site.clone(),
        json: args.json,
    };
    // The plan is made only where the answer depends on it.
    if args.plant.is_empty() || args.planned {
        let outcome = compute(&site_args, None, today)?;
        let spot = find_spot(&outcome.site, spot)?;
        let inputs = ClothInputs {
            site: &outcome.site,
            sun: &outcome.sun,
            weather: &outcome.weather,
            sky: &outcome.sky,
        };
        let plan = outcome.plan.as_deref().ok();
        choose(args, &inputs, &spot, plan)
    } else {
        let site = read(&site_args)?.site;
        let spot = find_spot(&site, spot)?;
        let found = pipeline::foundations(&site, &Progress::new())
            .map_err(|e| Answer::usage(format!("{e}\n")))?;
        let inputs = ClothInputs {
            site: &site,
            sun: &found.sun,
            weather: &found.weather,
            sky: &found.sky,
        };
        choose(args, &inputs, &spot, None)
    }
}

fn choose(
    args: &ClothArgs,
    inputs: &ClothInputs<'_>,
    spot: &Id,
    plan: Option<&Plan>,
) -> Result<Answer, Answer> {
    let site = inputs.site;
    let plants = if args.plant.is_empty() {
        cloth::plants_at(site, plan, spot)
    } else {
        args.plant
            .iter()
            .map(|p| find_plant(site, p))
            .collect::<Result<_, _>>()?
    };
    let counted = if args.planned {
        Counted::WhilePlanned
    } else {
        Counted::Year
    };
    let asks = cloth::ask(site, plan, spot, &plants, counted);
    let report = cloth::choose(inputs, spot, &asks, &Progress::new())
        .map_err(|e: CannotChoose| Answer::usage(format!("{e}\n")))?;
    if args.json {
        Ok(Answer::json(&report))
    } else {
        Ok(Answer::fine(tell(site, &report)))
    }
}

type Pick = fn(&MonthUnder) -> Option<f64>;

fn tell(site: &Site, report: &Report) -> String {
    let names: Vec<String> = report
        .plants
        .iter()
        .map(|p| site.name_of(ObjectKind::Plant, p))
        .collect();
    let mut text = format!(
        "Shade cloth over {} for {} ({}).\n\n{}\n",
        site.name_of(ObjectKind::Spot, &report.spot),
        names.join(", "),
        site.name,
        report.sentence
    );
    for note in &report.notes {
        text.push_str(&format!("- {note}\n"));
    }
    text.push('\n');
    text.push_str(&scores(site, report));
    let by_month: [(&str, usize, Pick); 3] = [
        ("Light of a day, mol/m²", 1, |m| m.dli_mol_m2_d),
        ("Clear noon, µmol/m² s", 0, |m| m.peak_ppfd_umol_m2_s),
        (
            "Leaf above the air in that noon, K; scorched leaves begin at",
            0,
            // No −0.
            |m| Some(m.leaf_over_air_k?.round() + 0.0),
        ),
    ];
    for (k, (plant, wanted)) in names.iter().zip(&report.wanted).enumerate() {
        for (n, (title, decimals, pick)) in by_month.iter().enumerate() {
            let limit = if n == 2 {
                format!(" {:.0} °C", wanted.leaf_heat_c)
            } else {
                String::new()
            };
            text.push_str(&format!(
                "\n{plant}. {title}{limit}, by month while it is up:\n"
            ));
            let mut head = vec!["month".to_owned()];
            if n < 2 {
                head.push("wants".to_owned());
            }
            head.extend(report.trials.iter().enumerate().map(|(t, trial)| {
                let mark = if t == report.chosen { "*" } else { "" };
                if trial.shade_pct > 0.0 {
                    format!("{:.0} %{mark}", trial.shade_pct)
                } else {
                    format!("none{mark}")
                }
            }));
            let head: Vec<&str> = head.iter().map(String::as_str).collect();
            let mut table = Table::new(&head);
            for (m, name) in calendar::MONTH_NAMES.iter().enumerate() {
                let Some(want) = wanted.months.get(m) else {
                    continue;
                };
                let mut row = vec![(*name).to_owned()];
                match n {
                    0 => row.push(format!(
                        "{:.0} to {:.0}",
                        want.dli_mol_m2_d.ideal_low(),
                        want.dli_mol_m2_d.ideal_high()
                    )),
                    1 => row.push(format!(
                        "up to {:.0}",
                        want.peak_ppfd_umol_m2_s.ideal_high()
                    )),
                    _ => {}
                }
                row.extend(report.trials.iter().map(|trial| {
                    let month = trial.plants.get(k).and_then(|p| p.months.get(m));
                    figure(month.and_then(pick), *decimals)
                }));
                table.row(row);
            }
            text.push_str(&table.text());
        }
    }
    let star = if report.chosen > 0 {
        "the one to hang"
    } else {
        "the best is none"
    };
    text.push_str(&format!("\n* {star}.\n{}\n", report.wind_words()));
    text
}

fn scores(site: &Site, report: &Report) -> String {
    let mut head: Vec<String> = [
        "cloth",
        "always up",
        "best up",
        "year then",
        "word",
        "colour",
    ]
    .map(str::to_owned)
    .to_vec();
    head.extend(COLOURS.map(|c| cloth::colour_word(c).to_owned()));
    let several = report.plants.len() > 1;
    if several {
        head.extend(
            report
                .plants
                .iter()
                .map(|p| site.name_of(ObjectKind::Plant, p)),
        );
    }
    let head: Vec<&str> = head.iter().map(String::as_str).collect();
    let mut table = Table::new(&head);
    for (k, trial) in report.trials.iter().enumerate() {
        let mark = if k == report.chosen { "*" } else { "" };
        let is_cloth = trial.shade_pct > 0.0;
        let mut row = vec![
            if is_cloth {
                format!("{:.0} %{mark}", trial.shade_pct)
            } else {
                format!("none{mark}")
            },
            figure(trial.always_up_score, 0),
            if is_cloth {
                cloth::months_words(trial.months)
            } else {
                String::new()
            },
            figure(trial.year_score, 0),
            trial
                .year_score
                .map_or_else(String::new, |p| ScoreWord::of(p).word().to_owned()),
            if report.can_hang(k) {
                cloth::colour_word(trial.colour).to_owned()
            } else {
                String::new()
            },
        ];
        if report.can_hang(k) {
            row.extend(trial.colour_scores.iter().map(|s| figure(*s, 1)));
        } else {
            row.extend(COLOURS.map(|_| String::new()));
        }
        if several {
            row.extend(trial.plants.iter().map(|p| figure(p.year_score, 0)));
        }
        table.row(row);
    }
    table.text()
}

/// A real percentage as JSON.
#[derive(Serialize)]
struct Real {
    #[serde(flatten)]
    found: RealShade,
    sentence: String,
}

fn real(args: &ClothArgs, under: f64, beside: f64) -> Result<Answer, Answer> {
    let value = |v: f64| match args.unit {
        Unit::Lux => LightValue::Lux(v),
        Unit::Fc => LightValue::FootCandles(v),
        Unit::Ppfd => LightValue::Ppfd(v),
    };
    let readings = TwoReadings {
        under: value(under),
        beside: value(beside),
        minutes_apart: args.minutes,
        sky: match args.sky {
            Sky::Clear => SkyState::Clear,
            Sky::Mixed => SkyState::Mixed,
            Sky::Overcast => SkyState::Overcast,
        },
    };
    if args.label.is_some_and(|l| !(0.0..=100.0).contains(&l)) {
        return Err(Answer::usage(
            "a label says a percentage from 0 to 100\n".to_owned(),
        ));
    }
    let found = match (&args.site, &args.spot, args.when) {
        (Some(site), Some(spot), Some(when)) => {
            let site = read(&SiteArgs {
                site: site.clone(),
                json: args.json,
            })?
            .site;
            let spot = find_spot(&site, spot)?;
            let founded = pipeline::foundations(&site, &Progress::new())
                .map_err(|e| Answer::usage(format!("{e}\n")))?;
            let inputs = ClothInputs {
                site: &site,
                sun: &founded.sun,
                weather: &founded.weather,
                sky: &founded.sky,
            };
            let place = Drawn { spot: &spot, when };
            cloth::real_shade_drawn(&inputs, &place, &readings, args.label)
        }
        (None, None, None) => cloth::real_shade(&readings, args.label),
        _ => {
            return Err(Answer::usage(
                "to use the drawing, name the site, the spot under the cloth, and --when the readings were taken\n"
                    .to_owned(),
            ));
        }
    }
    .map_err(|e| Answer::usage(format!("{e}\n")))?;
    if args.json {
        Ok(Answer::json(&Real {
            sentence: found.sentence(),
            found,
        }))
    } else {
        Ok(Answer::fine(format!("{}\n", found.sentence())))
    }
}
