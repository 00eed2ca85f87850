//! Invented sample sites that come with the program.

use super::file::{Read, SiteFileError};

/// A sample compiled in.
#[derive(Clone, Copy, Debug)]
pub struct Sample {
    /// By which commands know it.
    pub id: &'static str,
    pub title: &'static str,
    pub text: &'static str,
}

impl Sample {
    /// # Errors
    /// Never in a released program: a test reads them all.
    pub fn read(&self) -> Result<Read, SiteFileError> {
        super::file::parse(self.text, self.id)
    }
}

/// The samples; the first opens at the first start.
pub const SAMPLES: &[Sample] = &[Sample {
    id: "harbour-terrace",
    title: "Harbour Terrace: a mild coast, a porch and few good sills",
    text: include_str!("../../sample-sites/harbour-terrace.ron"),
}];

#[must_use]
pub fn by_id(id: &str) -> Option<&'static Sample> {
    SAMPLES.iter().find(|s| s.id == id)
}
