//! `logger`: how a logger's or station's file is understood, before anything of it is taken.

use std::{collections::BTreeMap, fs::File, io::BufReader, path::PathBuf};

use chrono::NaiveDate;
use clap::{Args, ValueEnum};

use super::{Answer, Exit, output::Table};
use crate::{
    base::Progress,
    site::records::{self, Asked, DateOrder, Preview, Quantity, Question, TimeKept, Unit},
};

#[derive(Debug, Args)]
pub struct LoggerArgs {
    /// Table of text with times: commas, semicolons or tabs.
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// Answer as JSON.
    #[arg(long)]
    pub json: bool,
    /// The place's time zone, such as Europe/Lisbon; without one there is no daylight saving.
    #[arg(long, default_value = "")]
    pub zone: String,
    /// Order of the dates, where the file can be read two ways.
    #[arg(long)]
    pub dates: Option<Order>,
    /// How hours are counted, where the file does not tell.
    #[arg(long)]
    pub hours: Option<Hours>,
    /// What a column holds, counted from 1: `--column 3=light`.
    #[arg(long, value_name = "N=QUANTITY", value_parser = column)]
    pub column: Vec<(usize, Quantity)>,
    /// Unit of a column, counted from 1: `--unit 2=fahrenheit`.
    #[arg(long, value_name = "N=UNIT", value_parser = unit)]
    pub unit: Vec<(usize, Unit)>,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
pub enum Order {
    YearMonthDay,
    DayMonthYear,
    MonthDayYear,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
pub enum Hours {
    /// The clock on the wall, with daylight saving.
    Clock,
    /// Standard time through the year.
    Standard,
    Utc,
}

fn column(text: &str) -> Result<(usize, Quantity), String> {
    named(text, &Quantity::ALL)
}

fn unit(text: &str) -> Result<(usize, Unit), String> {
    named(text, &Unit::ALL)
}

/// `2=name`, the name as in the JSON.
fn named<T: Copy + serde::Serialize>(text: &str, all: &[T]) -> Result<(usize, T), String> {
    let name = |t: &T| match serde_json::to_value(t) {
        Ok(serde_json::Value::String(name)) => name,
        _ => String::new(),
    };
    let names = || all.iter().map(name).collect::<Vec<_>>().join(", ");
    let (number, wanted) = text
        .split_once('=')
        .ok_or_else(|| "write it as 2=name".to_owned())?;
    let number = number
        .trim()
        .parse::<usize>()
        .ok()
        .and_then(|n| n.checked_sub(1))
        .ok_or_else(|| "columns are numbered from 1".to_owned())?;
    all.iter()
        .find(|t| name(t) == wanted.trim())
        .map(|t| (number, *t))
        .ok_or_else(|| format!("choose one of: {}", names()))
}

pub fn run(args: &LoggerArgs, today: NaiveDate) -> Result<Answer, Answer> {
    let fault = |why: String| Answer::file_fault(format!("{}: {why}\n", args.file.display()));
    let file = File::open(&args.file).map_err(|e| fault(e.to_string()))?;
    let asked = Asked {
        time_zone: args.zone.clone(),
        today: Some(today),
        order: args.dates.map(|d| match d {
            Order::YearMonthDay => DateOrder::YearMonthDay,
            Order::DayMonthYear => DateOrder::DayMonthYear,
            Order::MonthDayYear => DateOrder::MonthDayYear,
        }),
        time: args.hours.map(|h| match h {
            Hours::Clock => TimeKept::Clock,
            Hours::Standard => TimeKept::Standard,
            Hours::Utc => TimeKept::FromUtc(0),
        }),
        columns: args.column.iter().map(|(c, q)| (*c, Some(*q))).collect(),
        units: args.unit.iter().copied().collect::<BTreeMap<_, _>>(),
    };
    let reading = records::read(BufReader::new(file), &asked, &Progress::new())
        .map_err(|e| fault(e.to_string()))?;
    let preview = &reading.preview;
    let exit = if preview.questions.is_empty() {
        Exit::Fine
    } else {
        Exit::FileFault
    };
    if args.json {
        return Ok(Answer {
            exit,
            ..Answer::json(preview)
        });
    }
    Ok(Answer {
        exit,
        ..Answer::fine(text(preview))
    })
}

fn text(preview: &Preview) -> String {
    let mut text = preview.sentences().join("\n") + "\n\n";
    let mut table = Table::new(&[
        "column",
        "heading",
        "understood as",
        "values",
        "lowest",
        "middle",
        "highest",
    ]);
    let figure = |v: Option<f64>| v.map_or_else(String::new, |v| format!("{v:.1}"));
    for column in &preview.columns {
        table.row(vec![
            (column.column + 1).to_string(),
            column.heading.clone(),
            column.understood(),
            column.values.to_string(),
            figure(column.lowest),
            figure(column.median),
            figure(column.highest),
        ]);
    }
    text.push_str(&table.text());
    text.push_str("\nFirst rows:\n");
    for row in preview.first_rows.iter().take(4) {
        text.push_str(&format!("  {}\n", row.join(" | ")));
    }
    for question in &preview.questions {
        let how = match question {
            Question::Order { .. } => {
                "say --dates day-month-year or --dates month-day-year".to_owned()
            }
            Question::Unit { column, .. } => {
                format!("say --unit {}=celsius or the like", column + 1)
            }
        };
        text.push_str(&format!("? {} ({how})\n", question.text()));
    }
    for fault in &preview.faults {
        text.push_str(&format!("! {fault}\n"));
    }
    text
}
