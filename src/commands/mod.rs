//! Headless commands: every number of the window as text or JSON, from the same core.

mod air;
mod beside;
mod check;
mod climate;
mod cloth;
mod evening;
mod fit;
mod forecast;
mod horizon;
mod kind;
mod light;
mod light_map;
mod logger;
pub mod output;
mod place;
mod plan;
mod plant;
mod readings;
mod record;
mod suits;
mod trouble;
mod week;

use std::path::Path;

use chrono::{Datelike, NaiveDate};
use clap::{Args, Parser, Subcommand};

use crate::{
    base::{Id, Progress},
    pipeline::{Engine, Outcome},
    site::{
        Site, file,
        file::{Fault, Read, SiteFileError},
        samples,
    },
};
pub use output::{Answer, Exit};

/// Where each potted plant should stand, every week of the year, and why.
///
/// Without a command the window opens, on SITE or on the site of the last time (at first, on a sample). SITE is a
/// site file (.ron) or the name of a sample; `sillward samples` lists them.
#[derive(Debug, Parser)]
#[command(name = "sillward", version, args_conflicts_with_subcommands = true)]
#[command(
    after_help = "Exit codes: 0 fine; 1 the site file is at fault (the message names line, field and remedy); \
2 usage.\nJSON: every field that is a figure carries its unit in its name; weeks count from 0, hours and days of the \
year too, in local standard time."
)]
pub struct Cli {
    /// Site to open in the window.
    pub site: Option<String>,
    #[command(subcommand)]
    pub command: Option<Command>,
}

#[derive(Debug, Subcommand)]
pub enum Command {
    /// Where each plant stands in each of the coming 52 weeks: stays, moves with reasons, bound and gap.
    Plan(plan::PlanArgs),
    /// Scores of plants on spots by season, with what limits them.
    Fit(fit::FitArgs),
    /// Which kinds of the library would do well here, in the room that the plan leaves, to choose what to buy.
    Suits(suits::SuitsArgs),
    /// What a kind of plant needs at each stage, with sources, and how it stands to the climate here; or all kinds.
    Kind(kind::KindArgs),
    /// One plant's pot, stages through the year, flowering odds and history.
    Plant(plant::PlantArgs),
    /// Light at a spot by the hour: sun, beam, sky and reflected PPFD; with --factors sky view and daylight factor;
    /// with --map light over house and garden.
    Light(light::LightArgs),
    /// Which shade cloth over a spot gives its plants the best year; or what a cloth really is by two light readings.
    Cloth(cloth::ClothArgs),
    /// What a place sees round about: skyline, the sun's way by month, hours of sun, light by month.
    Horizon(horizon::HorizonArgs),
    /// Air at a spot by the hour or by the week: temperature, humidity, air speed, frost and warm-night chances.
    Air(air::AirArgs),
    /// What to do in a week: moves, water, feed, repotting, checks.
    Week(week::WeekArgs),
    /// Writes what was done into the journal and prints the site, to be kept; or lists planned moves not recorded yet.
    Record(record::RecordArgs),
    /// What would bring a spot's nights down: water, ice, or another place, each with its figure.
    Evening(evening::EveningArgs),
    /// What the next nights of a forecast mean at each spot, and which plants must come in.
    Forecast(forecast::ForecastArgs),
    /// Why a plant does not do well: causes ranked by its own record.
    Trouble(trouble::TroubleArgs),
    /// Normals, risks through the year and frost dates by chance; what a weather file holds.
    Climate(climate::ClimateArgs),
    /// Towns by name with latitude, longitude, height and time zone, for the place of a site.
    Place(place::PlaceArgs),
    /// What each reading says against the model, what the readings did to it, and which are questioned.
    Readings(readings::ReadingsArgs),
    /// How a logger's or weather station's file is understood, before anything of it is taken.
    Logger(logger::LoggerArgs),
    /// Reads and checks a site file, and holds its readings against the model.
    Check(check::CheckArgs),
    /// Lists the samples, or prints one as a file to start from.
    Samples(check::SamplesArgs),
}

#[derive(Debug, Args)]
pub struct SiteArgs {
    /// Site file (.ron), or the name of a sample.
    #[arg(value_name = "SITE")]
    pub site: String,
    /// Answer as JSON.
    #[arg(long)]
    pub json: bool,
}

/// What goes before a text whose figures rest on a guess of the climate; empty where it is given.
fn guessed(site: &Site) -> String {
    match site.climate.guessed_words() {
        "" => String::new(),
        words => format!("{}\n\n", words.replace("9 K", "9 °C")),
    }
}

/// Carries a command out. `today` is the date where the site names none.
#[must_use]
pub fn run(command: &Command, today: NaiveDate) -> Answer {
    let result = match command {
        Command::Plan(args) => plan::run(args, today),
        Command::Fit(args) => fit::run(args, today),
        Command::Suits(args) => suits::run(args, today),
        Command::Kind(args) => kind::run(args),
        Command::Plant(args) => plant::run(args, today),
        Command::Light(args) => light::run(args, today),
        Command::Cloth(args) => cloth::run(args, today),
        Command::Horizon(args) => horizon::run(args),
        Command::Air(args) => air::run(args, today),
        Command::Week(args) => week::run(args, today),
        Command::Record(args) => record::run(args, today),
        Command::Evening(args) => evening::run(args, today),
        Command::Forecast(args) => forecast::run(args, today),
        Command::Trouble(args) => trouble::run(args, today),
        Command::Climate(args) => climate::run(args, today),
        Command::Place(args) => place::run(args),
        Command::Readings(args) => readings::run(args, today),
        Command::Logger(args) => logger::run(args, today),
        Command::Check(args) => check::run(args, today),
        Command::Samples(args) => check::samples(args),
    };
    result.unwrap_or_else(|refused| refused)
}

/// Name of the sample that opens when none is asked for.
pub const FIRST_SAMPLE: &str = match samples::SAMPLES.first() {
    Some(sample) => sample.id,
    None => "",
};

/// The plan of a site as text, for a machine without a display.
#[must_use]
pub fn site_plan(site: &str, today: NaiveDate) -> Answer {
    let site = SiteArgs {
        site: site.to_owned(),
        json: false,
    };
    plan::run(&plan::PlanArgs { site, from: None }, today).unwrap_or_else(|refused| refused)
}

/// Reads a site by path or sample name. A name with neither slash nor dot is a sample's before it is a file's.
fn read(args: &SiteArgs) -> Result<Read, Answer> {
    let path = Path::new(&args.site);
    let result = match samples::by_id(&args.site) {
        Some(sample) => sample.read(),
        None => file::read(path),
    };
    result.map_err(|error| {
        if args.json {
            return Answer {
                exit: Exit::FileFault,
                ..Answer::json(&Faulty::of(&error))
            };
        }
        let mut text = format!("{error}\n");
        if matches!(error, SiteFileError::Io { .. }) && !path.exists() {
            let known: Vec<&str> = samples::SAMPLES.iter().map(|s| s.id).collect();
            text.push_str(&format!(
                "Name a site file, or one of the samples: {}\n",
                known.join(", ")
            ));
        }
        Answer::file_fault(text)
    })
}

/// A file's faults as JSON.
#[derive(serde::Serialize)]
struct Faulty<'a> {
    error: String,
    faults: &'a [Fault],
}

impl<'a> Faulty<'a> {
    fn of(error: &'a SiteFileError) -> Self {
        match error {
            SiteFileError::Faults { file, faults } => Self {
                error: format!("{file} has faults"),
                faults,
            },
            SiteFileError::Io { .. } => Self {
                error: error.to_string(),
                faults: &[],
            },
        }
    }
}

/// Reads a site and computes everything.
fn compute(args: &SiteArgs, from: Option<NaiveDate>, today: NaiveDate) -> Result<Outcome, Answer> {
    let mut site = read(args)?.site;
    if let Some(from) = from {
        let mut choices = site.choices.as_ref().clone();
        choices.plan_from = Some(from);
        site.choices = choices.into();
    }
    // Nobody cancels a command.
    Engine::new()
        .run(&site, today, &Progress::new())
        .map_err(|e| Answer::usage(format!("{e}\n")))
}

/// A date of the command line, of the years that site files may name.
fn date(text: &str) -> Result<NaiveDate, String> {
    text.parse()
        .ok()
        .filter(|date: &NaiveDate| (1900..=2200).contains(&date.year()))
        .ok_or_else(|| "a date from 1900 to 2200 is wanted, such as 2026-10-25".to_owned())
}

/// A spot by identifier or name.
fn find_spot(site: &Site, wanted: &str) -> Result<Id, Answer> {
    find(
        wanted,
        "spot",
        site.spots.iter().map(|(id, s)| (id, s.name.as_str())),
    )
}

/// A plant by identifier or name.
fn find_plant(site: &Site, wanted: &str) -> Result<Id, Answer> {
    find(
        wanted,
        "plant",
        site.plants.iter().map(|(id, p)| (id, p.name.as_str())),
    )
}

fn find<'a>(
    wanted: &str,
    what: &str,
    all: impl Iterator<Item = (&'a Id, &'a str)>,
) -> Result<Id, Answer> {
    let mut known = Vec::new();
    let mut by_name = None;
    for (id, name) in all {
        if id.as_str() == wanted {
            return Ok(id.clone());
        }
        if name.eq_ignore_ascii_case(wanted) {
            by_name = Some(id.clone());
        }
        known.push(id.as_str());
    }
    by_name.ok_or_else(|| {
        Answer::usage(format!(
            "there is no {what} \"{wanted}\" in this site; it has: {}\n",
            known.join(", ")
        ))
    })
}
