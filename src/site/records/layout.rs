//! Where a table begins in a file, and what its columns are, from its first lines.

use super::{
    Asked, Quantity, Unit,
    cells::{self, Decimal, Separator},
    dates::{self, Stamp, TimeOfDay},
    headings::{self, TimeWord},
    lines::Line,
};

/// Where the time of a row stands; numbers are columns from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum When {
    /// Date and time, or a date alone.
    One(usize),
    Two {
        date: usize,
        time: usize,
    },
    Numbers {
        year: usize,
        month: usize,
        day: Option<usize>,
        hour: Option<usize>,
        minute: Option<usize>,
    },
}

/// How a unit came to be known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum UnitBy {
    /// It stands in the heading or beside the numbers.
    Marked,
    /// No unit stands there: the size of the numbers leaves only this one.
    Numbers,
    /// No unit stands there: the usual one is taken.
    Usual,
    /// The grower said so.
    Told,
}

#[derive(Clone, Debug, PartialEq)]
pub(super) struct Held {
    /// Column, from 0.
    pub at: usize,
    pub heading: String,
    pub quantity: Quantity,
    /// `None` until the numbers are seen.
    pub unit: Option<(Unit, UnitBy)>,
}

#[derive(Clone, Debug)]
pub(super) struct Layout {
    pub separator: Separator,
    pub decimal: Decimal,
    /// Every column's heading; empty where the file has none.
    pub headings: Vec<String>,
    /// Number of the first line with values.
    pub first_line: u64,
    pub when: When,
    pub held: Vec<Held>,
    /// Minutes east of UTC that the time's heading names.
    pub offset_min: Option<i16>,
}

/// What a table lacks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Missing {
    Dates,
    Headings,
    Values,
}

pub(super) fn find(lines: &[Line], asked: &Asked) -> Result<Layout, Missing> {
    let (at, separator) = first_row(lines).ok_or(Missing::Dates)?;
    let rows: Vec<Vec<String>> = lines
        .iter()
        .skip(at)
        .filter(|l| !l.text.trim().is_empty())
        .map(|l| cells::split(&l.text, separator))
        .collect();
    let width = rows.first().map_or(0, Vec::len);
    let headings = headings_above(lines, at, separator, width);
    let when = time_columns(&headings, &rows).ok_or(Missing::Dates)?;
    let used = when.columns();
    let decimal = cells::decimal_of(rows.iter().flat_map(|r| {
        r.iter()
            .enumerate()
            .filter(|(c, _)| !used.contains(c))
            .map(|(_, cell)| cell.as_str())
    }));
    let mut held: Vec<Held> = Vec::new();
    for at in (0..width.max(headings.len())).filter(|c| !used.contains(c)) {
        let heading = headings.get(at).cloned().unwrap_or_default();
        let told = asked.columns.get(&at).copied();
        let quantity = match told {
            Some(told) => told,
            None => headings::quantity(&heading),
        };
        let Some(quantity) = quantity else { continue };
        let beside = rows.iter().find_map(|r| {
            let cell = r.get(at)?;
            let mark = cell.find(|c: char| c.is_alphabetic() || "°%µ".contains(c))?;
            cells::number(cell, decimal)?;
            headings::unit(quantity, cell.get(mark..)?)
        });
        let unit = asked
            .units
            .get(&at)
            .map(|u| (*u, UnitBy::Told))
            .or_else(|| {
                Some((
                    headings::unit(quantity, &heading).or(beside)?,
                    UnitBy::Marked,
                ))
            });
        // Light in W/m² is global radiation.
        let quantity = match (quantity, unit) {
            (Quantity::Light, Some((Unit::WattsPerSquareMetre, _))) => Quantity::GlobalRadiation,
            (quantity, _) => quantity,
        };
        // Of two columns of one kind the first is taken, unless the grower chose.
        if told.is_some() || !held.iter().any(|h| h.quantity == quantity) {
            held.push(Held {
                at,
                heading,
                quantity,
                unit,
            });
        }
    }
    if held.is_empty() {
        return Err(if headings.is_empty() {
            Missing::Headings
        } else {
            Missing::Values
        });
    }
    let offset_min = used
        .iter()
        .filter_map(|c| headings.get(*c))
        .find_map(|h| headings::heading_offset(h));
    Ok(Layout {
        separator,
        decimal,
        headings,
        first_line: lines.get(at).map_or(1, |l| l.number),
        when,
        held,
        offset_min,
    })
}

impl When {
    pub fn columns(self) -> Vec<usize> {
        match self {
            Self::One(at) => vec![at],
            Self::Two { date, time } => vec![date, time],
            Self::Numbers {
                year,
                month,
                day,
                hour,
                minute,
            } => [Some(year), Some(month), day, hour, minute]
                .into_iter()
                .flatten()
                .collect(),
        }
    }

    /// The time of a row; the column that cannot be read where it cannot.
    pub fn of(self, row: &[String]) -> Result<Stamp, usize> {
        let cell = |at: usize| row.get(at).map(String::as_str).ok_or(at);
        match self {
            Self::One(at) => dates::stamp(cell(at)?).ok_or(at),
            Self::Two { date, time } => {
                let day = dates::stamp(cell(date)?).ok_or(date)?;
                let clock = clock_of(cell(time)?).ok_or(time)?;
                Ok(day.at(clock))
            }
            Self::Numbers {
                year,
                month,
                day,
                hour,
                minute,
            } => {
                let number = |at: usize| cell(at)?.parse::<u16>().map_err(|_| at);
                let part = |at: Option<usize>, usual: u16| at.map_or(Ok(usual), number);
                let (y, m, d) = (number(year)?, number(month)?, part(day, 1)?);
                let (h, min) = (part(hour, 0)?, part(minute, 0)?);
                if h > 24 {
                    return Err(hour.unwrap_or(year));
                }
                if min > 59 {
                    return Err(minute.unwrap_or(year));
                }
                let second = u32::from(h) * 3600 + u32::from(min) * 60;
                Ok(Stamp::of_numbers(y, m, d, second))
            }
        }
    }
}

/// A time of day, also as a bare hour (`14`) or `1430`.
fn clock_of(cell: &str) -> Option<TimeOfDay> {
    if cell.len() == 4
        && let Ok(number) = cell.parse::<u32>()
    {
        let (hour, minute) = (number / 100, number % 100);
        return (hour <= 24 && minute < 60).then_some(TimeOfDay {
            second: hour * 3600 + minute * 60,
            offset_min: None,
        });
    }
    dates::time_of_day(cell)
}

/// The first line with a date and a number that others like it follow: before it may stand a title, a serial number,
/// headings.
fn first_row(lines: &[Line]) -> Option<(usize, Separator)> {
    let row = |line: &Line| -> Option<(Separator, usize)> {
        let separator = Separator::of(&line.text)?;
        let cells = cells::split(&line.text, separator);
        let dated = cells.iter().any(|c| dates::stamp(c).is_some());
        let valued = cells.iter().filter(|c| dates::stamp(c).is_none()).any(|c| {
            cells::is_missing(c)
                || c.starts_with(|c: char| c.is_ascii_digit() || "-−+.".contains(c))
        });
        (dated && valued).then_some((separator, cells.len()))
    };
    let mut filled = lines
        .iter()
        .enumerate()
        .filter(|(_, l)| !l.text.trim().is_empty())
        .peekable();
    while let Some((i, line)) = filled.next() {
        let next = filled.peek().map(|(_, l)| *l);
        if let Some(found) = row(line) {
            let mut after = lines
                .iter()
                .skip(i + 1)
                .filter(|l| !l.text.trim().is_empty())
                .take(5)
                .peekable();
            // A single faulty row must not hide the table.
            if after.peek().is_none() || after.any(|n| row(n).is_some_and(|n| n.0 == found.0)) {
                return Some((i, found.0));
            }
        }
        // Year, month and day in columns of their own.
        if let (Some(separator), Some(next)) = (Separator::of(&line.text), next) {
            let words: Vec<Option<TimeWord>> = cells::split(&line.text, separator)
                .iter()
                .map(|h| headings::time_word(h))
                .collect();
            let parted =
                words.contains(&Some(TimeWord::Year)) && words.contains(&Some(TimeWord::Month));
            if parted && Separator::of(&next.text) == Some(separator) {
                let at = filled.peek().map(|(i, _)| *i)?;
                return Some((at, separator));
            }
        }
    }
    None
}

/// The headings above the first row; a line of units below them is joined to them.
fn headings_above(lines: &[Line], at: usize, separator: Separator, width: usize) -> Vec<String> {
    let mut above = lines
        .iter()
        .take(at)
        .rev()
        .filter(|l| !l.text.trim().is_empty())
        .map(|l| cells::split(l.text.trim_start_matches('#'), separator))
        .take(2)
        .filter(|c| c.len().abs_diff(width) <= 1 && c.len() >= 2);
    let Some(near) = above.next() else {
        return Vec::new();
    };
    let says_time = |row: &[String]| row.iter().any(|h| headings::time_word(h).is_some());
    match above.next() {
        Some(far) if !says_time(&near) && says_time(&far) => far
            .iter()
            .enumerate()
            .map(|(i, h)| {
                format!("{h} {}", near.get(i).map_or("", String::as_str))
                    .trim()
                    .to_owned()
            })
            .collect(),
        _ => near,
    }
}

fn time_columns(headings: &[String], rows: &[Vec<String>]) -> Option<When> {
    let words: Vec<Option<TimeWord>> = headings.iter().map(|h| headings::time_word(h)).collect();
    let of = |word: TimeWord| words.iter().position(|w| *w == Some(word));
    if let (Some(year), Some(month)) = (of(TimeWord::Year), of(TimeWord::Month)) {
        return Some(When::Numbers {
            year,
            month,
            day: of(TimeWord::Day),
            hour: of(TimeWord::Hour),
            minute: of(TimeWord::Minute),
        });
    }
    let width = rows.first()?.len();
    // Rows without any date are faults, and tell nothing of the columns.
    let rows: Vec<&Vec<String>> = rows
        .iter()
        .filter(|r| r.iter().any(|c| dates::stamp(c).is_some()))
        .collect();
    let all = |c: usize, test: &dyn Fn(&str) -> bool| {
        let cells = rows.iter().filter_map(|r| r.get(c)).take(20);
        let tried: Vec<bool> = cells.map(|cell| test(cell)).collect();
        !tried.is_empty() && tried.iter().filter(|good| !**good).count() * 4 <= tried.len()
    };
    // A column of bare digits is a date only if its heading says so.
    let plain = |c: &str| c.bytes().all(|b| b.is_ascii_digit());
    let named = |c: usize| words.get(c).is_some_and(Option::is_some);
    let date = (0..width)
        .filter(|c| all(*c, &|cell| dates::stamp(cell).is_some()))
        .find(|c| named(*c) || headings.is_empty() || !all(*c, &plain))?;
    let timed = rows
        .iter()
        .filter_map(|r| dates::stamp(r.get(date)?))
        .any(|s| s.second != 0 || s.offset_min.is_some());
    let time = (0..width).find(|c| {
        let worded = named(*c) && all(*c, &|cell| clock_of(cell).is_some());
        *c != date && (worded || all(*c, &|cell| cell.contains(':') && clock_of(cell).is_some()))
    });
    Some(match time {
        Some(time) if !timed => When::Two { date, time },
        _ => When::One(date),
    })
}
