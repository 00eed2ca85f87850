//! Tables of measurements by time, as loggers and weather stations write them, read into series.
//!
//! [`read`] takes any text of rows: commas, semicolons or tabs; decimal point or comma; dates in the usual orders and
//! languages; clock time, standard time or UTC; °C, °F or K and the usual units of the other quantities. It streams,
//! so that a file of any size is read in little memory up to [`MOST_ROWS`] and [`MOST_BYTES`], and it decides nothing
//! in silence: [`Preview`] says how the file was understood and what is wrong in which line and column, and where the
//! file leaves two readings open, a [`Question`] is asked instead of a guess. The answers go into [`Asked`].
//!
//! It knows nothing of spots or climates: what asks for a file picks the [`Quantity`]s it wants from [`Records`].

mod cells;
mod clock;
mod dates;
mod finish;
mod headings;
pub mod keep;
mod layout;
mod lines;
mod order;
mod preview;
mod series;

use std::{
    collections::BTreeMap,
    io::{self, BufRead},
};

use chrono::NaiveDate;

use crate::base::{Cancelled, Progress};
pub use cells::{Decimal, Separator};
pub use clock::TimeKept;
pub use dates::DateOrder;
pub use headings::{Quantity, Unit};
pub use layout::UnitBy;
use layout::{Layout, Missing};
use lines::{Line, Lines, NotText};
pub use order::OrderBy;
pub use preview::{ColumnPreview, Preview, Question, RowFault};
pub use series::Records;

/// Rows that are read at most: more than two years of a value a minute.
pub const MOST_ROWS: usize = 1_200_000;
/// Bytes that are read at most.
pub const MOST_BYTES: u64 = 256_000_000;
/// Row faults that are told one by one; the rest is counted.
pub const MOST_FAULTS: usize = 40;
/// Lines from which the table's layout is told.
const LOOK: usize = 200;
/// So many rows without a date one after another are no table any more.
const LOST: usize = 2_000;

/// What is known beforehand, and answers to [`Question`]s.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Asked {
    /// Name of the place's time zone in the IANA database; another name has no daylight saving.
    pub time_zone: String,
    /// Rows after the day after this are faults.
    pub today: Option<NaiveDate>,
    pub order: Option<DateOrder>,
    pub time: Option<TimeKept>,
    /// What columns hold, counted from 0; `None`: nothing that is wanted.
    pub columns: BTreeMap<usize, Option<Quantity>>,
    /// Units of columns, counted from 0.
    pub units: BTreeMap<usize, Unit>,
}

/// A file as understood.
#[derive(Clone, Debug)]
pub struct Reading {
    pub preview: Preview,
    /// `None` while there are questions.
    pub records: Option<Records>,
}

/// Why nothing could be read.
#[derive(Debug, thiserror::Error)]
pub enum RecordsError {
    #[error("the file cannot be read: {0}")]
    Io(#[from] io::Error),
    #[error("{0}")]
    NotATable(String),
    #[error("cancelled")]
    Cancelled(#[from] Cancelled),
}

/// Reads a table of measurements.
///
/// # Errors
/// [`RecordsError`]: where it is no table of dates and numbers at all. Rows that are at fault stand in
/// [`Preview::faults`], and the others are taken.
pub fn read(
    from: impl BufRead,
    asked: &Asked,
    progress: &Progress,
) -> Result<Reading, RecordsError> {
    read_within(from, asked, progress, MOST_ROWS, MOST_BYTES)
}

fn read_within(
    from: impl BufRead,
    asked: &Asked,
    progress: &Progress,
    most_rows: usize,
    most_bytes: u64,
) -> Result<Reading, RecordsError> {
    let mut lines = Lines::new(from)?.map_err(|not| RecordsError::NotATable(not_text(not)))?;
    let mut first = Vec::with_capacity(LOOK);
    while first.len() < LOOK
        && let Some(line) = lines.next_line()?
    {
        first.push(line);
    }
    if first.iter().all(|l| l.text.trim().is_empty()) {
        return Err(RecordsError::NotATable(
            "the file is empty: let the logger write it again".to_owned(),
        ));
    }
    let layout = layout::find(&first, asked).map_err(|no| RecordsError::NotATable(no_table(no)))?;
    let mut rows = Rows::new(layout);
    let mut seen = 0_usize;
    let mut queue = first.into_iter();
    loop {
        let line = match queue.next() {
            Some(line) => line,
            None => match lines.next_line()? {
                Some(line) => line,
                None => break,
            },
        };
        if line.number < rows.layout.first_line || line.text.trim().is_empty() {
            continue;
        }
        if rows.stamps.len() >= most_rows || lines.bytes > most_bytes {
            rows.stopped = Some(line.number);
            break;
        }
        rows.take(&line);
        if rows.lost >= LOST {
            rows.stopped = Some(line.number);
            break;
        }
        seen += 1;
        if seen.is_multiple_of(4_096) {
            progress.check()?;
        }
    }
    if rows.stamps.is_empty() {
        return Err(RecordsError::NotATable(format!(
            "no row could be read: {}",
            rows.faults
                .first()
                .map_or_else(String::new, ToString::to_string)
        )));
    }
    Ok(finish::finish(rows, asked))
}

/// The rows read so far, column by column, as they stand in the file.
struct Rows {
    layout: Layout,
    stamps: Vec<dates::Stamp>,
    lines: Vec<u32>,
    /// For each column of the layout; NaN where nothing was measured.
    values: Vec<Vec<f32>>,
    /// First rows, for people.
    first: Vec<Vec<String>>,
    faults: Vec<RowFault>,
    fault_count: usize,
    rows_seen: usize,
    /// Line at which reading stopped before the end.
    stopped: Option<u64>,
    /// Rows without a date since the last with one.
    lost: usize,
}

impl Rows {
    fn new(layout: Layout) -> Self {
        Self {
            values: vec![Vec::new(); layout.held.len()],
            layout,
            stamps: Vec::new(),
            lines: Vec::new(),
            first: Vec::new(),
            faults: Vec::new(),
            fault_count: 0,
            rows_seen: 0,
            stopped: None,
            lost: 0,
        }
    }

    fn fault(&mut self, line: u64, column: Option<usize>, what: String, remedy: &str) {
        self.fault_count += 1;
        if self.faults.len() < MOST_FAULTS {
            let column = column.map(|c| self.layout.name_of(c));
            self.faults.push(RowFault {
                line,
                column,
                what,
                remedy: remedy.to_owned(),
            });
        }
    }

    fn take(&mut self, line: &Line) {
        self.rows_seen += 1;
        if line.cut {
            self.lost += 1;
            self.fault(
                line.number,
                None,
                format!("the line is longer than {} bytes", lines::LONGEST_LINE),
                "it is no row of a table: take it out",
            );
            return;
        }
        let cells = cells::split(&line.text, self.layout.separator);
        if self.first.len() < 8 {
            self.first.push(cells.clone());
        }
        let stamp = match self.layout.when.of(&cells) {
            Ok(stamp) => stamp,
            Err(column) => {
                self.lost += 1;
                // The table's foot, or headings that come again: nothing was measured there.
                let told = cells.get(column).map_or("", String::as_str);
                let told: String = told.chars().take(30).collect();
                let what = if told.is_empty() {
                    "there is no time in this row".to_owned()
                } else {
                    format!("\"{told}\" is no date or time that can be read")
                };
                self.fault(
                    line.number,
                    Some(column),
                    what,
                    "the row is left out: mend it, or take it out",
                );
                return;
            }
        };
        self.lost = 0;
        if cells.len()
            > self
                .layout
                .headings
                .len()
                .max(self.first.first().map_or(0, Vec::len))
        {
            self.fault(
                line.number,
                None,
                format!("it has {} cells, more than there are columns", cells.len()),
                "the row is left out; decimal commas need semicolons between the cells, or quotes round the numbers",
            );
            return;
        }
        let mut values = Vec::with_capacity(self.values.len());
        for i in 0..self.layout.held.len() {
            let Some(at) = self.layout.held.get(i).map(|h| h.at) else {
                break;
            };
            let cell = cells.get(at).map_or("", String::as_str);
            let value = cells::number(cell, self.layout.decimal);
            if value.is_none() && !cells::is_missing(cell) {
                let told: String = cell.chars().take(30).collect();
                self.fault(
                    line.number,
                    Some(at),
                    format!("\"{told}\" is no number"),
                    "the value is left out: correct it, or leave the cell empty",
                );
            }
            let missing = value.is_none() || cells::is_missing(cell);
            values.push(if missing {
                f32::NAN
            } else {
                value.unwrap_or(f64::NAN) as f32
            });
        }
        self.stamps.push(stamp);
        self.lines
            .push(u32::try_from(line.number).unwrap_or(u32::MAX));
        for (column, value) in self.values.iter_mut().zip(values) {
            column.push(value);
        }
    }
}

impl Layout {
    /// A column as people call it: by its heading, or its number from 1.
    fn name_of(&self, column: usize) -> String {
        match self.headings.get(column).map(String::as_str) {
            None | Some("") => format!("column {}", column + 1),
            Some(heading) => heading.to_owned(),
        }
    }
}

fn not_text(not: NotText) -> String {
    match not {
        NotText::Workbook => "this is a spreadsheet's own file: open it there and save it as CSV",
        NotText::Packed => "this is a packed file: unpack it first",
        NotText::Pdf => "this is a PDF: let the logger's program write CSV or text instead",
        NotText::Database => "this is a database: let the logger's program write CSV or text instead",
        NotText::Binary => {
            "this is no text, but the logger's own format: let its program write CSV or text instead"
        }
    }
    .to_owned()
}

fn no_table(no: Missing) -> String {
    match no {
        Missing::Dates => format!(
            "among its first {LOOK} lines there are no rows with a date and a number, with commas, semicolons or tabs \
             between: choose the logger's table, with its times"
        ),
        Missing::Headings => {
            "the columns have no headings: say what they hold, or write a first line such as \
             \"time;temperature °C;humidity %\""
                .to_owned()
        }
        Missing::Values => {
            "no heading names a temperature, humidity or light: say what the columns hold, or change the first line"
                .to_owned()
        }
    }
}

#[cfg(test)]
mod tests;
