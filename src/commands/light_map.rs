//! `light --map`: light over house and garden.

use chrono::NaiveDate;
use clap::{Args, ValueEnum};
use serde::Serialize;

use super::Answer;
use crate::{
    base::{Day, Progress, Pt, Season, Week},
    light::map::{self, Ask, Grid, Quantity, Span},
    pipeline,
    site::Site,
};

/// Cells of a map at most.
const MOST_CELLS: usize = 40_000;
/// Seen beyond rooms and spots, m.
const MARGIN_M: f64 = 2.0;

#[derive(Debug, Args)]
pub struct MapArgs {
    /// A map of house and garden instead of a spot: daily light, PPFD, or hours of direct sun on a clear day.
    #[arg(long, value_enum, conflicts_with_all = ["spot", "factors"])]
    pub map: Option<What>,
    /// Week of the year that is mapped, 0 to 51; this week if neither week nor season is given.
    #[arg(long, requires = "map", value_parser = clap::value_parser!(u8).range(0..=51))]
    pub week: Option<u8>,
    /// Season that is mapped, at the site's hemisphere.
    #[arg(long, requires = "map", value_enum, conflicts_with = "week")]
    pub season: Option<SeasonName>,
    /// Only this hour of each day, local standard time.
    #[arg(long, requires = "map", value_parser = clap::value_parser!(u8).range(0..=23))]
    pub hour: Option<u8>,
    /// Height above ground or floor, m.
    #[arg(long, requires = "map", default_value_t = 0.8, value_parser = height)]
    pub height: f64,
    /// Floor height of the storey whose rooms are mapped, m.
    #[arg(long, requires = "map", default_value_t = 0.0, allow_negative_numbers = true, value_parser = storey)]
    pub storey: f64,
    /// Width of a cell, m.
    #[arg(long, requires = "map", default_value_t = 1.0, value_parser = cell)]
    pub cell: f64,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum What {
    Dli,
    Ppfd,
    SunHours,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum SeasonName {
    Winter,
    Spring,
    Summer,
    Autumn,
}

fn within(text: &str, low: f64, high: f64) -> Result<f64, String> {
    text.parse()
        .ok()
        .filter(|v| (low..=high).contains(v))
        .ok_or_else(|| format!("a number from {low} to {high} is wanted"))
}

pub fn height(text: &str) -> Result<f64, String> {
    within(text, 0.0, 30.0)
}

fn storey(text: &str) -> Result<f64, String> {
    within(text, -10.0, 60.0)
}

fn cell(text: &str) -> Result<f64, String> {
    within(text, 0.05, 10.0)
}

/// A map as JSON.
#[derive(Serialize)]
struct Told {
    quantity: &'static str,
    unit: &'static str,
    weeks: Vec<usize>,
    hour: Option<usize>,
    height_m: f64,
    storey_m: f64,
    /// Middle of the first cell on the plan.
    origin_m: [f64; 2],
    cell_m: f64,
    columns: usize,
    /// From the lowest y up; null inside solid bodies.
    rows: Vec<Vec<Option<f32>>>,
}

pub fn run(args: &MapArgs, site: &Site, today: NaiveDate, json: bool) -> Result<Answer, Answer> {
    let (quantity, name, unit) = match args.map {
        Some(What::Ppfd) => (Quantity::Ppfd, "PPFD", "umol_m2_s"),
        Some(What::SunHours) => (Quantity::SunHours, "Direct sun on a clear day", "h"),
        Some(What::Dli) | None => (Quantity::Dli, "DLI", "mol_m2_d"),
    };
    let span = match (args.season, args.week) {
        (Some(season), _) => Span::season(season.into(), site.hemisphere()),
        (None, Some(week)) => Span::week(Week::new(week.into())),
        (None, None) => Span::week(Day::of(today).week()),
    };
    let ask = Ask {
        quantity,
        span,
        hour: args.hour.map(usize::from),
    };
    let Some(grid) = Grid::over(site, MARGIN_M, args.cell, MOST_CELLS) else {
        return Err(Answer::usage(
            "there is nothing drawn in this site\n".to_owned(),
        ));
    };
    let grid = Grid {
        height_m: args.height,
        storey_m: args.storey,
        ..grid
    };
    // Nobody cancels a command.
    let forever = Progress::new();
    let stopped = |e| Answer::usage(format!("{e}\n"));
    let foundations = pipeline::foundations(site, &forever).map_err(stopped)?;
    let inputs = foundations.light_inputs(site);
    let (picture, _) =
        map::draw(&inputs, &ask, &grid, None, &forever, &mut |_| ()).map_err(stopped)?;
    let rows: Vec<Vec<Option<f32>>> = picture
        .values
        .chunks(grid.columns.max(1))
        .map(<[_]>::to_vec)
        .collect();
    if json {
        let Pt(x, y) = grid.origin;
        return Ok(Answer::json(&Told {
            quantity: name,
            unit,
            weeks: span.weeks().map(Week::index).collect(),
            hour: ask.hour,
            height_m: grid.height_m,
            storey_m: grid.storey_m,
            origin_m: [x, y],
            cell_m: grid.cell_m,
            columns: grid.columns,
            rows,
        }));
    }
    let unit = match quantity {
        Quantity::Dli => "mol/m² a day",
        Quantity::Ppfd => "µmol/m²/s",
        Quantity::SunHours => "h",
    };
    let when = match args.season {
        Some(season) => Season::from(season).name().to_owned(),
        None => format!("week {}", span.first.index()),
    };
    let hour = ask
        .hour
        .map_or(String::new(), |h| format!(", {h:02}-{:02} h", h + 1));
    let mut text = format!(
        "{name}, {unit}, {when}{hour}, {} m above ground or floor ({}).\nCells of {:.2} m; y of the row at the left, x of the first cell {:.2} m; \
'.' is inside a solid body.\n\n",
        grid.height_m,
        site.name,
        grid.cell_m,
        grid.origin.x()
    );
    let decimals = usize::from(quantity != Quantity::Ppfd);
    let figure = |v: Option<f32>| v.map_or_else(|| ".".to_owned(), |v| format!("{v:.decimals$}"));
    let wide = picture
        .values
        .iter()
        .map(|v| figure(*v).len())
        .max()
        .unwrap_or(1);
    for (r, row) in rows.iter().enumerate().rev() {
        text.push_str(&format!(
            "{:8.2} ",
            grid.origin.y() + r as f64 * grid.cell_m
        ));
        for v in row {
            text.push_str(&format!(" {:>wide$}", figure(*v)));
        }
        text.push('\n');
    }
    Ok(Answer::fine(text))
}

impl From<SeasonName> for Season {
    fn from(name: SeasonName) -> Self {
        match name {
            SeasonName::Winter => Self::Winter,
            SeasonName::Spring => Self::Spring,
            SeasonName::Summer => Self::Summer,
            SeasonName::Autumn => Self::Autumn,
        }
    }
}
