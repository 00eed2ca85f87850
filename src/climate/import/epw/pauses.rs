//! Pauses between measured hours.

use super::column::Column;
use crate::{base::Day, climate::import::fault::Fault};

/// A pause up to this is bridged in a straight line, h.
const STRAIGHT_H: usize = 3;
/// A pause up to this takes the hours of the days about it, h; a longer one is a fault.
const BRIDGED_H: usize = 72;

/// Fills pauses. A sentence where hours were taken from days about them; a fault where a pause is too long.
pub(super) fn fill(values: &mut [f64], column: &Column) -> Result<Option<String>, Fault> {
    let n = values.len();
    if values.iter().all(|v| v.is_nan()) {
        return Ok(None);
    }
    let Some(begin) = values.iter().position(|v| v.is_finite()) else {
        return Ok(None);
    };
    let known = values.to_vec();
    let (mut filled, mut longest) = (0, (0, 0));
    let mut at = begin;
    while at < begin + n {
        if known[at % n].is_finite() {
            at += 1;
            continue;
        }
        let from = at;
        while known[at % n].is_nan() {
            at += 1;
        }
        let length = at - from;
        filled += length;
        if length > longest.1 {
            longest = (from % n, length);
        }
        let (before, after) = (known[(from + n - 1) % n], known[at % n]);
        for k in 0..length {
            let hour = (from + k) % n;
            values[hour] = if length <= STRAIGHT_H {
                before + (after - before) * (k + 1) as f64 / (length + 1) as f64
            } else {
                same_hour(&known, hour).unwrap_or(f64::midpoint(before, after))
            };
        }
    }
    if longest.1 > BRIDGED_H {
        return Err(Fault::of_file(
            format!(
                "the {} is missing for {} hours from {} on",
                column.name,
                longest.1,
                moment(longest.0)
            ),
            "a pause of more than three days can't be filled: get a fuller file",
        ));
    }
    Ok((filled > 0).then(|| {
        format!(
            "The {} is missing for {filled} hours, {} of them on end from {} on; up to 3 are bridged, more are taken from \
             the same hours of the days about them.",
            column.name,
            longest.1,
            moment(longest.0)
        )
    }))
}

/// Mean of the nearest known days before and after at the same hour.
fn same_hour(known: &[f64], hour: usize) -> Option<f64> {
    let n = known.len();
    let find = |step: usize| {
        (1..=4)
            .map(|d| known[(hour + d * step) % n])
            .find(|v| v.is_finite())
    };
    match (find(24), find(n - 24)) {
        (Some(a), Some(b)) => Some(f64::midpoint(a, b)),
        (a, b) => a.or(b),
    }
}

/// `"4 March, 05:00 to 06:00"`.
pub(super) fn moment(hour: usize) -> String {
    let h = hour % 24;
    format!("{}, {h:02}:00 to {:02}:00", Day::new(hour / 24), h + 1)
}
