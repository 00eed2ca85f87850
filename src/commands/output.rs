//! What a command says: text for people, JSON for programs.

use serde::Serialize;

use crate::base::names;

/// How a command ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Exit {
    Fine,
    /// The site file is at fault.
    FileFault,
    /// The command was not understood, or names what is not there.
    Usage,
}

impl Exit {
    #[must_use]
    pub fn code(self) -> u8 {
        match self {
            Self::Fine => 0,
            Self::FileFault => 1,
            Self::Usage => 2,
        }
    }
}

/// What goes to standard output and standard error, and the exit code.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answer {
    pub out: String,
    pub err: String,
    pub exit: Exit,
}

impl Answer {
    /// A report in a grower's words.
    #[must_use]
    pub fn report(text: &str) -> Self {
        Self::fine(names::in_degrees(text))
    }

    #[must_use]
    pub fn fine(out: String) -> Self {
        Self {
            out,
            err: String::new(),
            exit: Exit::Fine,
        }
    }

    #[must_use]
    pub fn usage(err: String) -> Self {
        Self {
            out: String::new(),
            err,
            exit: Exit::Usage,
        }
    }

    #[must_use]
    pub fn file_fault(err: String) -> Self {
        Self {
            out: String::new(),
            err,
            exit: Exit::FileFault,
        }
    }

    /// JSON with a line end.
    #[must_use]
    pub fn json(value: &impl Serialize) -> Self {
        match serde_json::to_string_pretty(value) {
            Ok(text) => Self::fine(text + "\n"),
            // Only a map with keys that are no text could fail, and there is none.
            Err(error) => Self::usage(format!("the answer cannot be written as JSON: {error}\n")),
        }
    }
}

/// A table for a terminal: columns as wide as their widest cell, figures to the right.
#[derive(Clone, Debug, Default)]
pub struct Table {
    head: Vec<String>,
    rows: Vec<Vec<String>>,
}

impl Table {
    #[must_use]
    pub fn new(head: &[&str]) -> Self {
        Self {
            head: head.iter().map(|h| (*h).to_owned()).collect(),
            rows: Vec::new(),
        }
    }

    pub fn row(&mut self, cells: Vec<String>) {
        self.rows.push(cells);
    }

    #[must_use]
    pub fn text(&self) -> String {
        let wide = |s: &str| s.chars().count();
        let columns = self.head.len();
        let widths: Vec<usize> = (0..columns)
            .map(|c| {
                let cells = self
                    .rows
                    .iter()
                    .filter_map(|r| r.get(c))
                    .chain(self.head.get(c));
                cells.map(|s| wide(s)).max().unwrap_or(0)
            })
            .collect();
        let figures: Vec<bool> = (0..columns)
            .map(|c| {
                let mut cells = self
                    .rows
                    .iter()
                    .filter_map(|r| r.get(c))
                    .filter(|s| !s.is_empty())
                    .peekable();
                cells.peek().is_some()
                    && cells.all(|s| {
                        s.chars()
                            .next()
                            .is_some_and(|c| c.is_ascii_digit() || "-+–".contains(c))
                    })
            })
            .collect();
        let mut text = String::new();
        for row in std::iter::once(&self.head).chain(&self.rows) {
            let mut line = String::new();
            for (c, cell) in row.iter().enumerate().take(columns) {
                let pad = " ".repeat(widths[c].saturating_sub(wide(cell)));
                let (before, after) = if figures[c] {
                    (pad.as_str(), "")
                } else {
                    ("", pad.as_str())
                };
                line.push_str(if c == 0 { "" } else { "  " });
                line.push_str(before);
                line.push_str(cell);
                line.push_str(after);
            }
            text.push_str(line.trim_end());
            text.push('\n');
        }
        text
    }
}

/// A figure that may be unknown: `-` is a figure one could believe, so the word is written out.
#[must_use]
pub fn figure(value: Option<f64>, decimals: usize) -> String {
    value.map_or_else(|| "unknown".to_owned(), |v| format!("{v:.decimals$}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_stand_to_the_right_and_words_to_the_left() {
        let mut table = Table::new(&["spot", "score"]);
        table.row(vec!["South sill".into(), "81".into()]);
        table.row(vec!["Hall".into(), "7".into()]);
        assert_eq!(
            table.text(),
            "spot        score\nSouth sill     81\nHall            7\n"
        );
    }
}
