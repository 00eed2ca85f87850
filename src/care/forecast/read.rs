//! A forecast as a small table of text: one day a line, date, low, high, wind, sky.

use std::{fs::File, io::Read, path::Path};

use chrono::{Datelike, Days, NaiveDate};

use crate::{air::forecast::ForecastDay, base::units};

/// Days of a forecast that are taken at most: beyond them it is no better than the usual weather.
pub const MOST_DAYS: usize = 16;

/// A table of days is far smaller.
const MOST_BYTES: u64 = 1_000_000;

/// Why a file gives no forecast.
#[derive(Debug, thiserror::Error)]
pub enum ForecastFileError {
    #[error("the file cannot be read: {0}")]
    Io(#[from] std::io::Error),
    #[error("the file has {0:.1} MB: a forecast is a small table of text, one day a line")]
    Large(f64),
    #[error("this is no text: a forecast is a small table, one day a line")]
    NoText,
    #[error("{0}")]
    Fault(#[from] ForecastFault),
}

/// Reads a forecast from a file, as [`read`] does from its text.
///
/// # Errors
/// [`ForecastFileError`].
pub fn read_file(path: &Path, today: NaiveDate) -> Result<Vec<ForecastDay>, ForecastFileError> {
    let file = File::open(path)?;
    let size = file.metadata()?.len();
    if size > MOST_BYTES {
        return Err(ForecastFileError::Large(size as f64 / 1e6));
    }
    let mut bytes = Vec::new();
    file.take(MOST_BYTES).read_to_end(&mut bytes)?;
    let text = match String::from_utf8(bytes) {
        Ok(text) => text,
        // As western Europe writes single bytes; only degree signs matter here.
        Err(e) if !e.as_bytes().contains(&0) => {
            e.into_bytes().into_iter().map(char::from).collect()
        }
        Err(_) => return Err(ForecastFileError::NoText),
    };
    Ok(read(&text, today)?)
}

/// What is wrong with a forecast's text. Lines and columns count from 1.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("line {line}, column {column}: {what}")]
pub struct ForecastFault {
    pub line: usize,
    pub column: usize,
    pub what: String,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Column {
    Date,
    Low,
    High,
    Wind,
    Sky,
    Other,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum WindUnit {
    MetresPerSecond,
    KilometresPerHour,
    MilesPerHour,
    Knots,
}

/// How the table is laid out; without a header date, low, high, wind, sky in °C and m/s.
struct Layout {
    columns: Vec<Column>,
    fahrenheit: Vec<bool>,
    wind: WindUnit,
}

/// Reads a forecast. Cells are parted by commas, semicolons or tabs; with the latter two the comma may be decimal. A header
/// names the columns in any order, with °F, km/h, mph or kn where they are not °C and m/s. Dates are `2026-12-05`,
/// `5.12.2026`, `5.12.`, `today` or `tomorrow`. The sky is a cover in %, in eighths (`3/8`), or a word. Empty cells are
/// not told; the low is needed. Lines that begin with `#` say nothing.
///
/// # Errors
/// The first [`ForecastFault`].
pub fn read(text: &str, today: NaiveDate) -> Result<Vec<ForecastDay>, ForecastFault> {
    let mut layout: Option<Layout> = None;
    let mut days: Vec<ForecastDay> = Vec::new();
    for (n, line) in text.trim_start_matches('\u{feff}').lines().enumerate() {
        let line_no = n + 1;
        if line.trim().is_empty() || line.trim_start().starts_with('#') {
            continue;
        }
        if line.len() > 500 || line.chars().any(|c| c.is_control() && c != '\t') {
            return Err(fault(line_no, 1, "this is no line of a table of text"));
        }
        let (cells, comma) = split(line);
        if layout.is_none() {
            let first = cells.first().and_then(|c| date_of(c, today));
            if first.is_none() && cells.iter().any(|c| c.chars().any(char::is_alphabetic)) {
                layout = Some(header(&cells, line_no)?);
                continue;
            }
        }
        let layout = layout.get_or_insert_with(|| Layout {
            columns: vec![
                Column::Date,
                Column::Low,
                Column::High,
                Column::Wind,
                Column::Sky,
            ],
            fahrenheit: vec![false; 5],
            wind: WindUnit::MetresPerSecond,
        });
        let day = row(layout, &cells, comma, line_no, today)?;
        if days.iter().any(|d| d.date == day.date) {
            return Err(fault(line_no, 1, &format!("{} is there twice", day.date)));
        }
        days.push(day);
        if days.len() > MOST_DAYS {
            return Err(fault(
                line_no,
                1,
                &format!("more than {MOST_DAYS} days: no forecast reaches that far"),
            ));
        }
    }
    if days.is_empty() {
        return Err(fault(
            1,
            1,
            "no days: write one a line, for example 2026-12-05, -2, 6, 1.5, clear",
        ));
    }
    days.sort_by_key(|d| d.date);
    Ok(days)
}

fn fault(line: usize, column: usize, what: &str) -> ForecastFault {
    ForecastFault {
        line,
        column,
        what: what.to_owned(),
    }
}

/// Cells of a line, and whether the comma is free to be decimal.
fn split(line: &str) -> (Vec<&str>, bool) {
    let by = [';', '\t'].into_iter().find(|s| line.contains(*s));
    let cells = line
        .split(by.unwrap_or(','))
        .map(|c| c.trim().trim_matches('"').trim())
        .collect();
    (cells, by.is_some())
}

fn header(cells: &[&str], line: usize) -> Result<Layout, ForecastFault> {
    let lower: Vec<String> = cells.iter().map(|c| c.to_lowercase()).collect();
    let has = |cell: &str, words: &[&str]| words.iter().any(|w| cell.contains(w));
    let columns: Vec<Column> = lower
        .iter()
        .map(|c| {
            if has(c, &["date", "day of", "time"]) || c == "day" {
                Column::Date
            } else if has(c, &["low", "min", "night"]) {
                Column::Low
            } else if has(c, &["high", "max"]) || c.starts_with("day") {
                Column::High
            } else if has(c, &["wind"]) {
                Column::Wind
            } else if has(c, &["sky", "cloud", "weather"]) {
                Column::Sky
            } else {
                Column::Other
            }
        })
        .collect();
    for (wanted, name) in [(Column::Date, "date"), (Column::Low, "low")] {
        if !columns.contains(&wanted) {
            return Err(fault(
                line,
                1,
                &format!("the header names no column “{name}”; date and low are needed"),
            ));
        }
    }
    let wind = lower
        .iter()
        .zip(&columns)
        .find(|(_, c)| **c == Column::Wind)
        .map_or(WindUnit::MetresPerSecond, |(name, _)| {
            if has(name, &["km"]) {
                WindUnit::KilometresPerHour
            } else if has(name, &["mph", "mi/h"]) {
                WindUnit::MilesPerHour
            } else if has(name, &["kn", "kt"]) {
                WindUnit::Knots
            } else {
                WindUnit::MetresPerSecond
            }
        });
    Ok(Layout {
        fahrenheit: lower
            .iter()
            .map(|c| c.contains("°f") || c.contains("fahrenheit") || c.ends_with("_f"))
            .collect(),
        columns,
        wind,
    })
}

fn row(
    layout: &Layout,
    cells: &[&str],
    comma: bool,
    line: usize,
    today: NaiveDate,
) -> Result<ForecastDay, ForecastFault> {
    let (mut date, mut low, mut high, mut wind, mut cloud) = (None, None, None, None, None);
    for (i, cell) in cells.iter().enumerate() {
        let column = i + 1;
        let Some(kind) = layout.columns.get(i) else {
            if cell.is_empty() {
                continue;
            }
            return Err(fault(
                line,
                column,
                "more cells than columns; with a decimal comma part the cells by semicolons",
            ));
        };
        if cell.is_empty() {
            continue;
        }
        let number = || number(cell, comma);
        match kind {
            Column::Date => {
                date = Some(date_of(cell, today).ok_or_else(|| {
                    fault(
                        line,
                        column,
                        &format!("“{cell}” is no date; write 2026-12-05"),
                    )
                })?);
            }
            Column::Low | Column::High => {
                let value = number()
                    .ok_or_else(|| fault(line, column, &format!("“{cell}” is no temperature")))?;
                let fahrenheit = layout.fahrenheit.get(i).copied().unwrap_or(false);
                let c = if fahrenheit {
                    units::celsius_from_fahrenheit(value)
                } else {
                    value
                };
                let range = if *kind == Column::Low {
                    -60.0..=40.0
                } else {
                    -50.0..=55.0
                };
                if !range.contains(&c) {
                    return Err(fault(
                        line,
                        column,
                        &format!(
                            "{value} {} cannot be; is it the other unit? The header says which, for example “low °F”",
                            if fahrenheit { "°F" } else { "°C" }
                        ),
                    ));
                }
                if *kind == Column::Low {
                    low = Some(c);
                } else {
                    high = Some(c);
                }
            }
            Column::Wind => {
                let value = number()
                    .ok_or_else(|| fault(line, column, &format!("“{cell}” is no wind speed")))?;
                let m_s = value
                    * match layout.wind {
                        WindUnit::MetresPerSecond => 1.0,
                        WindUnit::KilometresPerHour => 1.0 / 3.6,
                        WindUnit::MilesPerHour => 0.447_04,
                        WindUnit::Knots => 0.514_444,
                    };
                if !(0.0..=60.0).contains(&m_s) {
                    return Err(fault(
                        line,
                        column,
                        &format!("{m_s:.0} m/s is no wind; name its unit in the header"),
                    ));
                }
                wind = Some(m_s);
            }
            Column::Sky => {
                cloud = Some(sky(cell, comma).ok_or_else(|| {
                    fault(
                        line,
                        column,
                        &format!("“{cell}” is no sky; write clear, mixed, overcast, 40 % or 3/8"),
                    )
                })?);
            }
            Column::Other => {}
        }
    }
    let Some(date) = date else {
        return Err(fault(line, 1, "the date is missing"));
    };
    let Some(night_min_c) = low else {
        return Err(fault(line, 2, "the low of the night is missing"));
    };
    if high.is_some_and(|h| h < night_min_c - 15.0) {
        return Err(fault(
            line,
            3,
            "the high of the day is far below the low of its night; are the columns changed over?",
        ));
    }
    Ok(ForecastDay {
        date,
        night_min_c,
        day_max_c: high,
        wind_m_s: wind,
        cloud,
    })
}

fn number(cell: &str, comma: bool) -> Option<f64> {
    let cell = cell
        .trim_end_matches(|c: char| c.is_alphabetic() || matches!(c, '°' | '%' | '/' | ' '))
        .replace('\u{2212}', "-");
    let cell = if comma { cell.replace(',', ".") } else { cell };
    cell.parse::<f64>().ok().filter(|v| v.is_finite())
}

/// Cover, 0..=1.
fn sky(cell: &str, comma: bool) -> Option<f64> {
    let lower = cell.to_lowercase();
    if let Some((eighths, of)) = lower.split_once('/') {
        let (n, of) = (
            eighths.trim().parse::<f64>().ok()?,
            of.trim().parse::<f64>().ok()?,
        );
        return (of > 0.0 && (0.0..=of).contains(&n)).then_some(n / of);
    }
    let words: [(&str, f64); 12] = [
        ("partly", 0.45),
        ("mostly cloud", 0.8),
        ("mostly clear", 0.2),
        ("mostly sun", 0.2),
        ("clear", 0.0),
        ("fair", 0.15),
        ("sun", 0.1),
        ("mixed", 0.5),
        ("overcast", 1.0),
        ("cloud", 0.85),
        ("rain", 0.95),
        ("fog", 1.0),
    ];
    if let Some((_, cover)) = words.iter().find(|(w, _)| lower.contains(w)) {
        return Some(*cover);
    }
    let value = number(cell, comma)?;
    (0.0..=100.0).contains(&value).then_some(value / 100.0)
}

fn date_of(cell: &str, today: NaiveDate) -> Option<NaiveDate> {
    match cell.to_lowercase().as_str() {
        "today" | "tonight" => return Some(today),
        "tomorrow" => return today.checked_add_days(Days::new(1)),
        _ => {}
    }
    let date = NaiveDate::parse_from_str(cell, "%Y-%m-%d")
        .or_else(|_| NaiveDate::parse_from_str(cell, "%d.%m.%Y"))
        .ok()
        .or_else(|| {
            let mut parts = cell.split('.').filter(|p| !p.is_empty());
            let (day, month) = (parts.next()?.parse().ok()?, parts.next()?.parse().ok()?);
            if parts.next().is_some() {
                return None;
            }
            let this_year = NaiveDate::from_ymd_opt(today.year(), month, day)?;
            // In December a forecast reaches into January.
            if (today - this_year).num_days() > 180 {
                NaiveDate::from_ymd_opt(today.year() + 1, month, day)
            } else {
                Some(this_year)
            }
        })?;
    (1900..=2200).contains(&date.year()).then_some(date)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(m: u32, d: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(2026, m, d).unwrap()
    }

    #[test]
    fn tables_are_read_as_people_write_them() {
        let plain = read("2026-12-05,-2,6,1.5,clear\n2026-12-06,0,,,\n", day(12, 5)).unwrap();
        assert_eq!(plain[0].night_min_c, -2.0);
        assert_eq!(plain[0].day_max_c, Some(6.0));
        assert_eq!(plain[0].cloud, Some(0.0));
        assert_eq!(plain[1].wind_m_s, None);
        let german = read(
            "# Dienst\nSky;Wind km/h;Low;High;Date\n3/8;18;-2,5;4;5.12.\n",
            day(12, 4),
        )
        .unwrap();
        assert_eq!(german[0].night_min_c, -2.5);
        assert!((german[0].wind_m_s.unwrap() - 5.0).abs() < 1e-9);
        assert_eq!(german[0].cloud, Some(0.375));
        assert_eq!(german[0].date, day(12, 5));
        let american = read("date\tlow °F\thigh °F\ntomorrow\t28\t50\n", day(12, 4)).unwrap();
        assert!((american[0].night_min_c + 2.222).abs() < 0.001);
        assert_eq!(american[0].date, day(12, 5));
        let unsorted = read("tomorrow, 3\ntoday, 2\n", day(12, 4)).unwrap();
        assert_eq!(unsorted[0].date, day(12, 4));
        let new_year = read("2.1., 3\n", day(12, 30)).unwrap();
        assert_eq!(
            new_year[0].date,
            NaiveDate::from_ymd_opt(2027, 1, 2).unwrap()
        );
    }

    #[test]
    fn what_cannot_be_read_is_named_by_line_and_column() {
        for (text, line, column) in [
            ("", 1, 1),
            ("2026-12-05,cold", 1, 2),
            ("2026-12-05,-2\n2026-12-05,-3", 2, 1),
            ("2026-12-05,70", 1, 2),
            ("2026-12-05,-2,5,3,green", 1, 5),
            ("2026-12-05,-2,5,300,clear", 1, 4),
            ("2026-12-05,20,-5", 1, 3),
            ("low,high\n3,4", 1, 1),
            ("date,low\n31.2.2026,4", 2, 1),
            ("2026-12-05,-2,5,1,clear,more", 1, 6),
            ("\u{0}\u{1}\u{2}", 1, 1),
        ] {
            let fault = read(text, day(12, 5)).unwrap_err();
            assert_eq!(
                (fault.line, fault.column),
                (line, column),
                "{text:?}: {fault}"
            );
        }
    }
}
