use std::fmt;

use serde::Serialize;

/// How bad a fault is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Can be computed with, but is likely not what was meant.
    Doubt,
    /// Must be mended before anything is computed.
    Fault,
}

/// One thing wrong in a site, with the remedy.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Fault {
    pub severity: Severity,
    /// Line in the file, from 1; `None` for a site that is not from a file.
    pub line: Option<usize>,
    /// `spots."south-sill".outline[2]`
    pub field: String,
    /// What was found and what was expected.
    pub what: String,
    /// What to do.
    pub remedy: String,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(line) = self.line {
            write!(f, "line {line}, ")?;
        }
        if !self.field.is_empty() {
            write!(f, "{}: ", self.field)?;
        }
        write!(f, "{}; {}", self.what, self.remedy)
    }
}

#[derive(Debug, thiserror::Error)]
pub enum SiteFileError {
    #[error("{file}: {source}")]
    Io {
        file: String,
        source: std::io::Error,
    },
    #[error("{}", faults.iter().map(|f| format!("{file}: {f}")).collect::<Vec<_>>().join("\n"))]
    Faults { file: String, faults: Vec<Fault> },
}
