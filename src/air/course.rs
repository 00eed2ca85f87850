//! Days at a spot hour by hour, as they usually are.

use super::{SpotAir, year::at};
use crate::base::{Day, Week, calendar::DAYS};

/// Air of each hour of some days from `first` on, round the year's end, °C: the course of the typical year, in each calendar
/// week drawn out or together and shifted so that its mean nightly low and daily high are those of the week over all weather
/// years ([`super::AirWeek`]). The typical year's own week may be some kelvins milder or harsher than usual. Empty where the
/// air is not known.
#[must_use]
pub fn usual_days_c(air: &SpotAir, first: Day, days: usize) -> Vec<f64> {
    if air.air_c.len() < DAYS * 24 {
        return Vec::new();
    }
    let mut fitted: Option<(Week, Fit)> = None;
    (0..days)
        .map(|d| first.plus(d as i64))
        .flat_map(|day| {
            let week = day.week();
            let fit = match fitted {
                Some((of, fit)) if of == week => fit,
                _ => Fit::of(air, week),
            };
            fitted = Some((week, fit));
            hours(air, day.index()..day.index() + 1).map(move |c| fit.turned(c))
        })
        .collect()
}

fn hours(air: &SpotAir, days: std::ops::Range<usize>) -> impl Iterator<Item = f64> {
    (days.start * 24..days.end * 24).map(|h| at(&air.air_c, h))
}

/// How the typical year's hours of a week become usual ones.
#[derive(Clone, Copy)]
struct Fit {
    low_c: f64,
    usual_low_c: f64,
    stretch: f64,
}

impl Fit {
    fn of(air: &SpotAir, week: Week) -> Self {
        let hours: Vec<f64> = hours(air, week.days()).collect();
        let mean = |pick: fn(&[f64]) -> f64| {
            hours.chunks(24).map(pick).sum::<f64>() / hours.len().div_ceil(24).max(1) as f64
        };
        let low = mean(|day| day.iter().copied().fold(f64::INFINITY, f64::min));
        let high = mean(|day| day.iter().copied().fold(f64::NEG_INFINITY, f64::max));
        let Some(usual) = air.weeks.get(week.index()) else {
            return Self {
                low_c: low,
                usual_low_c: low,
                stretch: 1.0,
            };
        };
        Self {
            low_c: low,
            usual_low_c: usual.night_c,
            // A room that hardly swings is only shifted.
            stretch: if high - low > 0.5 {
                ((usual.max_c - usual.night_c) / (high - low)).clamp(0.3, 3.0)
            } else {
                1.0
            },
        }
    }

    fn turned(self, c: f64) -> f64 {
        self.usual_low_c + (c - self.low_c) * self.stretch
    }
}
