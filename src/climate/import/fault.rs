//! What is wrong with a weather file, where, and what to do.

use std::{fmt, io};

use crate::site::records::RecordsError;

/// A fault that keeps a file from being taken.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct Fault {
    /// From 1.
    pub line: Option<usize>,
    /// Number of the field from 1, and what it holds.
    pub field: Option<String>,
    pub what: String,
    pub remedy: String,
}

impl Fault {
    #[must_use]
    pub fn of_file(what: String, remedy: &str) -> Self {
        Self {
            line: None,
            field: None,
            what,
            remedy: remedy.to_owned(),
        }
    }

    #[must_use]
    pub fn at(line: usize, what: String, remedy: &str) -> Self {
        Self {
            line: Some(line),
            ..Self::of_file(what, remedy)
        }
    }

    #[must_use]
    pub fn in_field(self, field: String) -> Self {
        Self {
            field: Some(field),
            ..self
        }
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.line, &self.field) {
            (Some(line), Some(field)) => write!(f, "line {line}, {field}: ")?,
            (Some(line), None) => write!(f, "line {line}: ")?,
            _ => {}
        }
        write!(f, "{}; {}", self.what, self.remedy)
    }
}

/// Why a weather file is not taken.
#[derive(Debug, thiserror::Error)]
pub enum ImportError {
    #[error("the file cannot be read: {0}")]
    Io(io::Error),
    #[error("{0}")]
    Fault(Fault),
    #[error("{0}")]
    Records(#[from] RecordsError),
}

impl From<Fault> for ImportError {
    fn from(fault: Fault) -> Self {
        Self::Fault(fault)
    }
}
