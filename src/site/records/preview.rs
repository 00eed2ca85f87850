//! How a file was understood, in words, before anything of it is taken.

use std::fmt;

use chrono::NaiveDateTime;
use serde::Serialize;

use super::{DateOrder, Decimal, OrderBy, Quantity, Separator, TimeKept, Unit, UnitBy};

/// Something wrong in a row.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct RowFault {
    /// From 1.
    pub line: u64,
    /// Heading of the column, or its number.
    pub column: Option<String>,
    pub what: String,
    pub remedy: String,
}

impl fmt::Display for RowFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}", self.line)?;
        if let Some(column) = &self.column {
            write!(f, ", {column}")?;
        }
        write!(f, ": {}; {}", self.what, self.remedy)
    }
}

/// What a column is taken for.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ColumnPreview {
    /// From 0.
    pub column: usize,
    pub heading: String,
    /// `None`: it is not read.
    pub quantity: Option<Quantity>,
    pub unit: Option<Unit>,
    pub unit_by: Option<UnitBy>,
    /// Number of values, and the lowest, middle and highest of them in the quantity's own unit.
    pub values: usize,
    pub lowest: Option<f64>,
    pub median: Option<f64>,
    pub highest: Option<f64>,
}

impl ColumnPreview {
    /// `"temperature in °F, as no unit stands there and the numbers leave only this"`
    #[must_use]
    pub fn understood(&self) -> String {
        let Some(quantity) = self.quantity else {
            return "not read".to_owned();
        };
        let by = match self.unit_by {
            Some(UnitBy::Numbers) => ", as no unit stands there and the numbers leave only this",
            Some(UnitBy::Usual) => ", as no unit stands there and this is the usual one",
            Some(UnitBy::Told) => ", as you said",
            Some(UnitBy::Marked) | None => "",
        };
        let unit = self
            .unit
            .map_or_else(String::new, |u| format!(" in {}", u.word()));
        format!("{}{unit}{by}", quantity.word())
    }
}

/// What must be said before the file can be taken.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Question {
    /// Day first or month first?
    Order { example: String, line: u64 },
    /// Which unit?
    Unit {
        column: usize,
        heading: String,
        choices: Vec<Unit>,
        why: String,
    },
}

impl Question {
    #[must_use]
    pub fn text(&self) -> String {
        match self {
            Self::Order { example, line } => format!(
                "The dates can be read day first or month first, and the rows follow one another either way: which is \
                 \"{example}\" in line {line}?"
            ),
            Self::Unit {
                heading,
                choices,
                why,
                ..
            } => {
                let names: Vec<&str> = choices.iter().map(|u| u.word()).collect();
                format!("{why}: is \"{heading}\" in {}?", names.join(" or in "))
            }
        }
    }
}

/// How a file was understood. Times are local standard time.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Preview {
    pub rows_read: usize,
    /// Rows with a time of their own and at least one value.
    pub rows_taken: usize,
    pub first: Option<NaiveDateTime>,
    pub last: Option<NaiveDateTime>,
    /// Usual step from row to row, min.
    pub step_min: Option<f64>,
    /// Rows that are missing between the first and the last at that step.
    pub rows_missing: usize,
    /// Longest pause: after when, and how long, h.
    pub longest_gap: Option<(NaiveDateTime, f64)>,
    /// Rows whose time came before; the first of each is kept.
    pub rows_doubled: usize,
    pub separator: Separator,
    pub decimal: Decimal,
    pub order: Option<DateOrder>,
    pub order_by: Option<OrderBy>,
    pub time: TimeKept,
    /// No row tells how hours are counted: it is taken for granted.
    pub time_assumed: bool,
    pub columns: Vec<ColumnPreview>,
    /// First rows as they stand there.
    pub first_rows: Vec<Vec<String>>,
    pub questions: Vec<Question>,
    /// The first of the faults.
    pub faults: Vec<RowFault>,
    pub fault_count: usize,
    /// Line at which reading stopped, as the file is too long or no table any more.
    pub stopped_at_line: Option<u64>,
}

impl Preview {
    /// What was understood of the file as a whole, a sentence each.
    #[must_use]
    pub fn sentences(&self) -> Vec<String> {
        let mut out = Vec::new();
        let decimal = match self.decimal {
            Decimal::Point => "a decimal point",
            Decimal::Comma => "a decimal comma",
        };
        out.push(format!(
            "{} rows, {} between the cells, {decimal}.",
            self.rows_read,
            self.separator.word()
        ));
        if let (Some(first), Some(last)) = (self.first, self.last) {
            let step = self.step_min.map_or_else(String::new, |s| {
                if s >= 1440.0 {
                    format!(", every {:.0} d", s / 1440.0)
                } else if s >= 60.0 {
                    format!(", every {} h", (s / 6.0).round() / 10.0)
                } else {
                    format!(", every {s:.0} min")
                }
            });
            out.push(format!(
                "From {} to {}{step}; {} rows taken.",
                first.format("%Y-%m-%d %H:%M"),
                last.format("%Y-%m-%d %H:%M"),
                self.rows_taken
            ));
        }
        if let (Some(order), Some(by)) = (self.order, self.order_by) {
            let how = match by {
                OrderBy::Writing => "",
                OrderBy::Numbers => ", as no other order gives dates that can be",
                OrderBy::Sequence => ", as only so the rows follow one another",
                OrderBy::Told => ", as you said",
            };
            out.push(format!("Dates are {}{how}.", order.word()));
        }
        let assumed = if self.time_assumed {
            " (nothing in the file says so; an hour's error in summer would come of it if it is not)"
        } else {
            ""
        };
        out.push(format!(
            "Hours are counted by {}{assumed}.",
            self.time.word()
        ));
        if self.rows_missing > 0 {
            let longest = self.longest_gap.map_or_else(String::new, |(after, hours)| {
                format!(
                    "; the longest pause, {hours:.1} h, begins at {}",
                    after.format("%Y-%m-%d %H:%M")
                )
            });
            out.push(format!("{} rows are missing{longest}.", self.rows_missing));
        }
        if self.rows_doubled > 0 {
            out.push(format!(
                "{} rows have the time of another row; the first of each is kept.",
                self.rows_doubled
            ));
        }
        if let Some(line) = self.stopped_at_line {
            out.push(format!(
                "Reading stopped at line {line}: at most {} rows or {} MB are read of a file. Split it if what comes \
                 after is wanted.",
                super::MOST_ROWS,
                super::MOST_BYTES / 1_000_000
            ));
        }
        if self.fault_count > self.faults.len() {
            out.push(format!(
                "{} faults; the first {} are named.",
                self.fault_count,
                self.faults.len()
            ));
        }
        out
    }
}
