//! Reading, checking and writing site files.
//!
//! Reading tells every fault at once, each with its line and its remedy. Writing leaves out what has its usual
//! value, so that a saved file is as short as one written by hand, and never leaves half a file behind.

mod check;
mod fault;
mod locate;
mod migrate;
mod print;
mod syntax;
mod tree;
mod write;

use std::path::Path;

use super::Site;
pub use fault::{Fault, Severity, SiteFileError};
use locate::Positions;

/// Largest file that is read, bytes.
pub const MOST_BYTES: usize = 8_000_000;

/// A site as read, with the doubts it raises (never faults).
#[derive(Clone, Debug)]
pub struct Read {
    pub site: Site,
    pub doubts: Vec<Fault>,
}

/// A site as read, whatever is wrong in it, so that it can be mended in the window.
#[derive(Clone, Debug)]
pub struct Opened {
    pub site: Site,
    /// Faults and doubts, faults first.
    pub faults: Vec<Fault>,
}

/// Reads and checks a site file.
///
/// # Errors
/// [`SiteFileError`] with every fault that was found.
pub fn read(path: &Path) -> Result<Read, SiteFileError> {
    let file = path.display().to_string();
    parse(&load(path, &file)?, &file)
}

/// Reads a site file that may be unfinished: what must be mended comes with it.
///
/// # Errors
/// [`SiteFileError`] where the file cannot be read at all, or is not written as a site file.
pub fn open(path: &Path) -> Result<Opened, SiteFileError> {
    let file = path.display().to_string();
    parse_unfinished(&load(path, &file)?, &file)
}

/// Reads and checks the text of a site file; `file` is its name in messages.
///
/// # Errors
/// [`SiteFileError::Faults`].
pub fn parse(text: &str, file: &str) -> Result<Read, SiteFileError> {
    let Opened { site, faults } = parse_unfinished(text, file)?;
    let (faults, doubts): (Vec<_>, Vec<_>) = faults
        .into_iter()
        .partition(|f| f.severity == Severity::Fault);
    if faults.is_empty() {
        Ok(Read { site, doubts })
    } else {
        Err(SiteFileError::Faults {
            file: file.to_owned(),
            faults,
        })
    }
}

/// As [`open`], from a text; `file` is its name in messages.
///
/// # Errors
/// [`SiteFileError::Faults`] where the text is not written as a site file.
pub fn parse_unfinished(text: &str, file: &str) -> Result<Opened, SiteFileError> {
    let refuse = |fault: Fault| SiteFileError::Faults {
        file: file.to_owned(),
        faults: vec![fault],
    };
    if text.len() > MOST_BYTES {
        return Err(refuse(too_long(text.len() as u64)));
    }
    // An editor's byte order mark is not part of the text.
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let text = migrate::to_present(text).map_err(&refuse)?;
    let site: Site = syntax::options()
        .from_str(&text)
        .map_err(|e| refuse(syntax::explain(&e, &text)))?;
    let mut faults = check(&site);
    if !faults.is_empty() {
        let positions = Positions::of(&text);
        for fault in &mut faults {
            fault.line = positions.line(&fault.field);
        }
        faults.sort_by_key(|f| (std::cmp::Reverse(f.severity), f.line));
    }
    Ok(Opened { site, faults })
}

/// Everything wrong or doubtful in a site, faults first; lines are `None`.
#[must_use]
pub fn check(site: &Site) -> Vec<Fault> {
    check::all(site)
}

/// A site as the text of a file: fields in the order of the document, those with their usual value left out.
#[must_use]
pub fn to_text(site: &Site) -> String {
    print::site(site)
}

/// Writes a site in one go: a crash leaves the old file or the new one, never half of one.
///
/// # Errors
/// [`SiteFileError::Io`]; the old file is then as it was.
pub fn write(site: &Site, path: &Path) -> Result<(), SiteFileError> {
    write::in_one_go(&to_text(site), path).map_err(|source| SiteFileError::Io {
        file: path.display().to_string(),
        source,
    })
}

fn load(path: &Path, file: &str) -> Result<String, SiteFileError> {
    let io = |source| SiteFileError::Io {
        file: file.to_owned(),
        source,
    };
    let length = std::fs::metadata(path).map_err(io)?.len();
    if length > MOST_BYTES as u64 {
        return Err(SiteFileError::Faults {
            file: file.to_owned(),
            faults: vec![too_long(length)],
        });
    }
    let bytes = std::fs::read(path).map_err(io)?;
    String::from_utf8(bytes).map_err(|e| {
        let good = &e.as_bytes()[..e.utf8_error().valid_up_to()];
        SiteFileError::Faults {
            file: file.to_owned(),
            faults: vec![Fault {
                severity: Severity::Fault,
                line: Some(1 + good.iter().filter(|b| **b == b'\n').count()),
                field: String::new(),
                what: "the file is not text in UTF-8".to_owned(),
                remedy: "save it as UTF-8, or choose a site file".to_owned(),
            }],
        }
    })
}

fn too_long(bytes: u64) -> Fault {
    Fault {
        severity: Severity::Fault,
        line: None,
        field: String::new(),
        what: format!("the file has {bytes} bytes; at most {MOST_BYTES} are read"),
        remedy: "choose a site file, or split the site".to_owned(),
    }
}
