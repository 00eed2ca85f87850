use std::ops::RangeInclusive;

use chrono::{Datelike, NaiveDate};

use super::{Fault, Severity};
use crate::base::{Id, Table};

/// The faults found so far.
#[derive(Default)]
pub(super) struct Faults(Vec<Fault>);

impl Faults {
    pub(super) fn fault(
        &mut self,
        field: impl Into<String>,
        what: impl Into<String>,
        remedy: impl Into<String>,
    ) {
        self.push(Severity::Fault, field.into(), what.into(), remedy.into());
    }

    pub(super) fn doubt(
        &mut self,
        field: impl Into<String>,
        what: impl Into<String>,
        remedy: impl Into<String>,
    ) {
        self.push(Severity::Doubt, field.into(), what.into(), remedy.into());
    }

    fn push(&mut self, severity: Severity, field: String, what: String, remedy: String) {
        self.0.push(Fault {
            severity,
            line: None,
            field,
            what,
            remedy,
        });
    }

    /// A number must lie in a range. Numbers that are none at all are told elsewhere.
    pub(super) fn range(
        &mut self,
        at: &str,
        field: &str,
        value: f64,
        range: RangeInclusive<f64>,
        unit: &str,
    ) {
        if value.is_finite() && !range.contains(&value) {
            let (lo, hi) = (range.start(), range.end());
            let unit = match unit {
                "" | "°" => unit.to_owned(),
                unit => format!(" {unit}"),
            };
            self.fault(
                join(at, field),
                format!("{value}{unit} is out of range"),
                format!("give a value from {lo} to {hi}{unit}"),
            );
        }
    }

    pub(super) fn date(&mut self, at: &str, field: &str, date: NaiveDate) {
        if !(1900..=2200).contains(&date.year()) {
            self.fault(
                join(at, field),
                format!("the year {} is out of range", date.year()),
                "give a date from 1900 to 2200, written \"2026-10-25\"",
            );
        }
    }

    /// What is named must be in the table.
    pub(super) fn known<T>(
        &mut self,
        at: &str,
        field: &str,
        id: &Id,
        table: &Table<T>,
        what: &str,
    ) -> bool {
        let there = table.contains(id);
        if !there {
            self.fault(
                join(at, field),
                format!("there is no {what} \"{id}\""),
                choices(id, table.ids(), what),
            );
        }
        there
    }

    /// Faults first; otherwise in the order in which they were found.
    pub(super) fn sorted(self) -> Vec<Fault> {
        let mut faults = self.0;
        faults.sort_by_key(|f| std::cmp::Reverse(f.severity));
        faults
    }
}

fn choices<'a>(id: &Id, ids: impl Iterator<Item = &'a Id>, what: &str) -> String {
    let ids: Vec<&str> = ids.map(Id::as_str).collect();
    if id.as_str().is_empty() && !ids.is_empty() {
        return format!("name the {what}: {}", few(&ids));
    }
    match super::super::syntax::nearest(id.as_str(), &ids) {
        Some(near) => format!("did you mean \"{near}\"?"),
        None if ids.is_empty() => format!("draw the {what} first"),
        None => format!("choose one of: {}", few(&ids)),
    }
}

/// The first dozen of a list, which may be long.
fn few(ids: &[&str]) -> String {
    let mut text = ids.iter().take(12).copied().collect::<Vec<_>>().join(", ");
    if ids.len() > 12 {
        text.push_str(", …");
    }
    text
}

/// Path of an object: `spots."south-sill"`.
pub(super) fn object(table: &str, id: &Id) -> String {
    format!("{table}.{:?}", id.as_str())
}

pub(super) fn join(at: &str, field: &str) -> String {
    match (at, field) {
        ("", field) => field.to_owned(),
        (at, "") => at.to_owned(),
        (at, field) => format!("{at}.{field}"),
    }
}
