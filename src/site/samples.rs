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
pub const SAMPLES: &[Sample] = &[
    Sample {
        id: "harbour-terrace",
        title: "Harbour Terrace: a mild coast, a porch and few good sills",
        text: include_str!("../../sample-sites/harbour-terrace.ron"),
    },
    Sample {
        id: "dry-plains",
        title: "Dry Plains: hot summers, frosty winters, south of the equator",
        text: include_str!("../../sample-sites/dry-plains.ron"),
    },
    Sample {
        id: "tram-flat",
        title: "Tram Flat: third floor, a balcony and cold winters",
        text: include_str!("../../sample-sites/tram-flat.ron"),
    },
];

/// The sample of an identifier.
#[must_use]
pub fn by_id(id: &str) -> Option<&'static Sample> {
    SAMPLES.iter().find(|s| s.id == id)
}
