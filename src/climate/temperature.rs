//! Air temperature by the hour from each day's extremes.

use super::month_days;
use crate::{
    base::calendar::{DAYS, HOURS},
    sun::SunTable,
};

/// Form of Parton & Logan 1981 (Agric. Meteorol. 23:205): a sine by day, an exponential fall by night. Lag of the
/// maximum after noon, less that of the minimum, h; pace of the fall; lag of the minimum after sunrise, h.
///
/// Theirs for Denver at 1.5 m are 1.86, 2.20 and -0.17; these are fitted to the mean courses of three stations
/// (`tests/reference/climate`), which halves the error at the inland one and changes nothing at the others.
const MAXIMUM_LAG_H: f64 = 1.5;
const NIGHT_FALL: f64 = 2.0;
const MINIMUM_LAG_H: f64 = 0.6;

/// Day lengths within which the daily curve is drawn, h: polar day and night keep a flat rise and fall.
const DAY_LENGTHS_H: (f64, f64) = (4.0, 20.0);

/// Hourly means whose daily lowest and highest, averaged over each month, are those given.
///
/// The means of hours are less extreme than a thermometer's marks, and an evening can be colder than the morning
/// before it; each month's extremes are moved until the averages are right. Within 0.01 K.
pub(super) fn fitted_hours(
    sun: &SunTable,
    night_c: &[f64],
    day_c: &[f64],
    wanted_night_c: &[f64; 12],
    wanted_day_c: &[f64; 12],
) -> Vec<f64> {
    let (mut night, mut day) = (night_c.to_vec(), day_c.to_vec());
    let mut air = hours(sun, &night, &day);
    for _ in 0..8 {
        for m in 0..12 {
            let (low, high) = mean_extremes(&air, m);
            for d in month_days(m) {
                night[d] += wanted_night_c[m] - low;
                day[d] += wanted_day_c[m] - high;
            }
        }
        air = hours(sun, &night, &day);
    }
    air
}

/// Mean of the lowest and of the highest hour of each day of a month, °C.
pub(super) fn mean_extremes(air_c: &[f64], month0: usize) -> (f64, f64) {
    let days = month_days(month0);
    let count = days.len() as f64;
    let (mut lows, mut highs) = (0.0, 0.0);
    for d in days {
        let day = &air_c[d * 24..d * 24 + 24];
        lows += day.iter().copied().fold(f64::INFINITY, f64::min);
        highs += day.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    }
    (lows / count, highs / count)
}

/// Mean temperature of each of 8,760 hours from 365 minima and maxima.
fn hours(sun: &SunTable, night_c: &[f64], day_c: &[f64]) -> Vec<f64> {
    let courses: Vec<Course> = (0..DAYS)
        .map(|d| {
            let sun_day = sun.days.get(d).copied().unwrap_or_default();
            let length_h = sun_day.length_h.clamp(DAY_LENGTHS_H.0, DAY_LENGTHS_H.1);
            Course {
                start_h: sun_day.transit_h - length_h / 2.0 + MINIMUM_LAG_H,
                length_h,
                night_c: night_c[d],
                day_c: day_c[d],
            }
        })
        .collect();
    (0..HOURS)
        .map(|hour| {
            let at = |part: f64| air_at(&courses, hour / 24, (hour % 24) as f64 + part);
            (at(1.0 / 6.0) + at(0.5) + at(5.0 / 6.0)) / 3.0
        })
        .collect()
}

/// One day's course, from its minimum to the next day's.
#[derive(Clone, Copy)]
struct Course {
    /// Time of the minimum, h of its own date.
    start_h: f64,
    length_h: f64,
    night_c: f64,
    day_c: f64,
}

/// Temperature at an hour of a date, 0..24; the course that holds may have begun on a neighbouring date.
fn air_at(courses: &[Course], date: usize, hour: f64) -> f64 {
    let begun = |shift: usize, since: f64| {
        let course = &courses[(date + shift) % DAYS];
        (hour - since >= course.start_h).then_some(((date + shift) % DAYS, hour - since))
    };
    let (day, hour) = begun(1, 24.0)
        .or_else(|| begun(0, 0.0))
        .or_else(|| begun(DAYS - 1, -24.0))
        .unwrap_or(((date + DAYS - 2) % DAYS, hour + 48.0));
    let today = &courses[day];
    let next = &courses[(day + 1) % DAYS];
    let since_h = hour - today.start_h;

    let sunset_h = today.length_h - MINIMUM_LAG_H;
    let by_day = |since_h: f64| {
        let angle = std::f64::consts::PI * since_h / (today.length_h + 2.0 * MAXIMUM_LAG_H);
        today.night_c + (today.day_c - today.night_c) * angle.sin()
    };
    if since_h <= sunset_h {
        return by_day(since_h);
    }
    // The published fall stops a ninth short of the minimum; it is drawn out to end at it, without a jump.
    let night_h = (next.start_h + 24.0 - today.start_h - sunset_h).max(0.5);
    let share = ((since_h - sunset_h) / night_h).clamp(0.0, 1.0);
    let end = (-NIGHT_FALL).exp();
    let left = ((-NIGHT_FALL * share).exp() - end) / (1.0 - end);
    next.night_c + (by_day(sunset_h) - next.night_c) * left
}
