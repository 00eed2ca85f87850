//! A week at a spot hour by hour, as it usually is.

use super::{SpotAir, year::at};
use crate::base::Week;

/// Air of each hour of a calendar week, °C: the course of the typical year, drawn out or together and shifted so that its
/// mean nightly low and daily high are those of the week over all weather years ([`super::AirWeek`]). The typical year's own
/// week may be some kelvins milder or harsher than usual. Empty where the air is not known.
#[must_use]
pub fn usual_week_c(air: &SpotAir, week: Week) -> Vec<f64> {
    let days = week.days();
    if air.air_c.len() < days.end * 24 {
        return Vec::new();
    }
    let hours: Vec<f64> = (days.start * 24..days.end * 24)
        .map(|h| at(&air.air_c, h))
        .collect();
    let Some(usual) = air.weeks.get(week.index()) else {
        return hours;
    };
    let mean = |pick: fn(&[f64]) -> f64| {
        hours.chunks(24).map(pick).sum::<f64>() / hours.len().div_ceil(24).max(1) as f64
    };
    let low = mean(|day| day.iter().copied().fold(f64::INFINITY, f64::min));
    let high = mean(|day| day.iter().copied().fold(f64::NEG_INFINITY, f64::max));
    // A room that hardly swings is only shifted.
    let stretch = if high - low > 0.5 {
        ((usual.max_c - usual.night_c) / (high - low)).clamp(0.3, 3.0)
    } else {
        1.0
    };
    hours
        .iter()
        .map(|c| usual.night_c + (c - low) * stretch)
        .collect()
}
