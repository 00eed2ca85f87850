//! A value together with where it comes from. There is no figure without a source.

use serde::{Deserialize, Serialize};

/// Where a figure comes from. Shown beside it wherever it is shown.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Source {
    /// Named publication, page or table.
    Published(String),
    /// Many growers agree; no measurement found.
    CommonPractice,
    /// Remembered, not yet checked against a source.
    FromMemory,
    /// Worked out from other figures of the kind, and how.
    WorkedOut(String),
    /// The grower's own experience or measurement.
    Grower,
}

impl Source {
    #[must_use]
    pub fn text(&self) -> &str {
        match self {
            Self::Published(what) | Self::WorkedOut(what) => what,
            Self::CommonPractice => "common practice, no source",
            Self::FromMemory => "from memory",
            Self::Grower => "your own figure",
        }
    }
}

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Figure<T> {
    pub value: T,
    pub source: Source,
}

/// A range with four corners, in a file `(10, 15, 22, 35)`: harmed at or below the first, content from the second
/// to the third, harmed at or above the fourth. The corners never run downwards.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Band(pub f64, pub f64, pub f64, pub f64);

impl Band {
    #[must_use]
    pub fn harm_low(self) -> f64 {
        self.0
    }

    #[must_use]
    pub fn ideal_low(self) -> f64 {
        self.1
    }

    #[must_use]
    pub fn ideal_high(self) -> f64 {
        self.2
    }

    #[must_use]
    pub fn harm_high(self) -> f64 {
        self.3
    }

    /// Finite corners in rising order.
    #[must_use]
    pub fn is_valid(self) -> bool {
        [self.0, self.1, self.2, self.3]
            .iter()
            .all(|v| v.is_finite())
            && self.0 <= self.1
            && self.1 <= self.2
            && self.2 <= self.3
    }
}
