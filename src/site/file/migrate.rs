//! Steps from older versions of the format to the present one.
//!
//! A step rewrites the text of version n into that of version n + 1 before anything is parsed; the steps are run one
//! after another, so each knows two versions only. Version 1 is the first, and there is no step yet.

use std::borrow::Cow;

use super::{Fault, Severity, locate::Positions};
use crate::site::VERSION;

type Step = fn(&str) -> String;

/// `STEPS[n]` leads from version n + 1 to n + 2.
const STEPS: [Step; VERSION as usize - 1] = [];

/// The text in the present version.
///
/// # Errors
/// The fault, for a text of no or of an unknown version. What is no site file at all passes: parsing tells better.
pub(super) fn to_present(text: &str) -> Result<Cow<'_, str>, Fault> {
    let positions = Positions::outermost(text);
    let Some(offset) = positions.offset("version") else {
        // Without any field it is not a site file, and the parser says why.
        return if positions.is_empty() {
            Ok(Cow::Borrowed(text))
        } else {
            Err(fault(
                None,
                "the format version is missing".to_owned(),
                format!("write `version: {VERSION},` as the first field"),
            ))
        };
    };
    let line = positions.line("version");
    let found = text
        .get(offset..)
        .and_then(|rest| rest.split_once(':'))
        .map_or("", |(_, value)| {
            let value = value.trim_start();
            let end = value
                .find(|c: char| !(c.is_alphanumeric() || "+-._".contains(c)))
                .unwrap_or(value.len());
            value.get(..end).unwrap_or("")
        });
    match found.parse::<u64>() {
        Ok(version) if version > u64::from(VERSION) => Err(fault(
            line,
            format!("the file has format version {version}; this program knows up to {VERSION}"),
            "it was made by a newer Sillward: update the program".to_owned(),
        )),
        Ok(0) | Err(_) => Err(fault(
            line,
            format!("{found:?} is not a version of this format"),
            format!("write `version: {VERSION},`"),
        )),
        Ok(version) => {
            let steps = STEPS.iter().skip(version as usize - 1);
            Ok(steps.fold(Cow::Borrowed(text), |text, step| Cow::Owned(step(&text))))
        }
    }
}

fn fault(line: Option<usize>, what: String, remedy: String) -> Fault {
    Fault {
        severity: Severity::Fault,
        line: line.or(Some(1)),
        field: "version".to_owned(),
        what,
        remedy,
    }
}
