//! The hourly lines as they stand in the file.

use std::collections::BTreeSet;

use super::{
    column::{COLUMNS, Value, value},
    short,
};
use crate::{
    base::calendar::{DAYS, HOURS, MONTH_NAMES, MONTH_STARTS},
    climate::import::fault::Fault,
};

/// Fields that a line must have: up to the sky cover. Rain stands further right and may be left off.
const LEAST_FIELDS: usize = 23;

/// The hours as they stand in the file, put in the order of a year of 365 days.
pub(super) struct Rows {
    pub values: [Vec<f64>; COLUMNS.len()],
    /// Line of each hour, 0 where none came.
    pub lines: Vec<usize>,
    pub last_line: usize,
    pub leap_hours: usize,
    pub doubled: Vec<(usize, usize)>,
    /// Values out of range of each column, and the first of them.
    pub beyond: [(usize, Option<Fault>); COLUMNS.len()],
    pub years: BTreeSet<i32>,
    pub says: Vec<String>,
    pub doubts: Vec<String>,
}

impl Rows {
    pub fn read(text: &str, data_from: usize) -> Result<Self, Fault> {
        let mut rows = Self {
            values: std::array::from_fn(|_| vec![f64::NAN; HOURS]),
            lines: vec![0; HOURS],
            last_line: data_from,
            leap_hours: 0,
            doubled: Vec::new(),
            beyond: std::array::from_fn(|_| (0, None)),
            years: BTreeSet::new(),
            says: Vec::new(),
            doubts: Vec::new(),
        };
        let total = text.lines().count();
        for (i, line) in text.lines().enumerate().skip(data_from) {
            if !line.trim().is_empty() {
                rows.take(i + 1, line, i + 1 == total)?;
                rows.last_line = i + 1;
            }
        }
        Ok(rows)
    }

    fn take(&mut self, line: usize, text: &str, last: bool) -> Result<(), Fault> {
        let fields: Vec<&str> = text.split(',').map(str::trim).collect();
        if fields.len() < LEAST_FIELDS {
            return Err(Fault::at(
                line,
                format!("{} fields, of which an hour has 35", fields.len()),
                if last {
                    "the file breaks off here: get it anew"
                } else {
                    "mend the line, or get the file anew; fields are parted by commas"
                },
            ));
        }
        let whole = |at: usize, name: &str, low: i32, high: i32| -> Result<i32, Fault> {
            let word = fields.get(at).copied().unwrap_or("");
            word.parse::<f64>()
                .ok()
                .filter(|v| v.fract() == 0.0 && (f64::from(low)..=f64::from(high)).contains(v))
                .map(|v| v as i32)
                .ok_or_else(|| {
                    Fault::at(
                        line,
                        format!("\"{}\" is not a whole number from {low} to {high}", short(word)),
                        "an hour begins with year, month, day and hour, the hours of a day from 1 to 24",
                    )
                    .in_field(format!("field {} ({name})", at + 1))
                })
        };
        let year = whole(0, "year", 1, 9999)?;
        let month = whole(1, "month", 1, 12)?;
        let day = whole(2, "day", 1, 31)?;
        let hour = whole(3, "hour", 1, 24)?;
        if (month, day) == (2, 29) {
            self.leap_hours += 1;
            return Ok(());
        }
        let start = MONTH_STARTS.get(month as usize - 1).copied().unwrap_or(0);
        let end = MONTH_STARTS.get(month as usize).copied().unwrap_or(DAYS);
        let date = start + day as usize - 1;
        if date >= end {
            return Err(Fault::at(
                line,
                format!(
                    "{} has no day {day}",
                    MONTH_NAMES.get(month as usize - 1).unwrap_or(&"the month")
                ),
                "correct month and day",
            )
            .in_field("field 3 (day)".to_owned()));
        }
        let slot = date * 24 + hour as usize - 1;
        match self.lines.get_mut(slot) {
            Some(taken) if *taken > 0 => {
                self.doubled.push((*taken, line));
                return Ok(());
            }
            Some(taken) => *taken = line,
            None => return Ok(()),
        }
        self.years.insert(year);
        let all = self.values.iter_mut().zip(&mut self.beyond);
        for (column, (values, (beyond, first))) in COLUMNS.iter().zip(all) {
            match value(line, &fields, column)? {
                Value::Known(value) => {
                    if let Some(place) = values.get_mut(slot) {
                        *place = value;
                    }
                }
                Value::Missing => {}
                Value::Beyond(fault) => {
                    *beyond += 1;
                    first.get_or_insert(fault);
                }
            }
        }
        Ok(())
    }
}
