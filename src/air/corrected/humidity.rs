//! Hygrometer readings and records of humidity.

use chrono::{Datelike, NaiveDate, Timelike};

use crate::{
    air::{
        weeks::Series,
        year::{OpenYear, at},
    },
    base::{
        Day,
        calendar::HOURS,
        robust::{self, Row},
    },
    site::{LoggedQuantity, Spot},
};

/// Standard deviation of the model's own error before readings, points of relative humidity.
const PRIOR: f64 = 10.0;
/// Scatter of a single hour about what the season expects, points.
const HOUR_SD: f64 = 12.0;
/// Scatter of a day's mean, points.
const DAY_SD: f64 = 9.0;
/// Correlation from one day to the next.
const NEXT: f64 = 0.5;
/// Hours of a day that must be recorded.
const ENOUGH_H: usize = 12;
/// The rest of a residual beyond this is a mistake's, points.
const MOST: f64 = 45.0;

/// Points of relative humidity to be added to the model, and how many readings and recorded days counted.
pub(in crate::air) fn from_humidity(spot: &Spot, series: &Series, open: &OpenYear) -> (f64, usize) {
    let mut all: Vec<(i64, f64, f64)> = spot
        .humidity
        .iter()
        .filter(|r| (3.0..=100.0).contains(&r.rh_pct))
        .map(|r| {
            let day = Day::of(r.when.date()).index();
            let clock = f64::from(r.when.hour()) + 0.5;
            let saving = open.hours[day * 24 + 12].clock_h - 12.5;
            let hour = (clock - saving).rem_euclid(24.0) as usize;
            let residual = r.rh_pct - usual(series, day, hour.min(23));
            (number(r.when.date()), residual, HOUR_SD)
        })
        .collect();
    for logged in spot
        .logged
        .iter()
        .filter(|l| l.quantity == LoggedQuantity::Humidity && !l.open)
    {
        for (date, hours) in logged.dated() {
            let day = Day::of(date).index();
            let residuals: Vec<f64> = hours
                .0
                .iter()
                .enumerate()
                .filter_map(|(h, v)| Some(f64::from((*v)?) - usual(series, day, h)))
                .collect();
            if residuals.len() >= ENOUGH_H {
                let mean = residuals.iter().sum::<f64>() / residuals.len() as f64;
                all.push((number(date), mean, DAY_SD));
            }
        }
    }
    all.sort_by_key(|a| a.0);
    let rows: Vec<Row<1>> = all
        .iter()
        .enumerate()
        .map(|(i, (date, residual, sd))| {
            let near = |other: &&(i64, f64, f64)| (other.0 - date).abs() <= 20;
            let earlier = all[..i].iter().rev().take_while(near);
            let shared: f64 = all[i..]
                .iter()
                .take_while(near)
                .chain(earlier)
                .map(|o| NEXT.powi((o.0 - date).abs() as i32))
                .sum();
            Row {
                x: [1.0],
                y: residual.clamp(-MOST, MOST),
                sd: *sd,
                share: 1.0 / shared.max(1.0),
            }
        })
        .collect();
    (robust::fit(&rows, [PRIOR]).at[0], rows.len())
}

fn number(date: NaiveDate) -> i64 {
    i64::from(date.num_days_from_ce())
}

/// The model's humidity at an hour of the day, mean of the month about a day, %.
fn usual(series: &Series, day: usize, hour: usize) -> f64 {
    let hours = (-15..=15)
        .map(|k| Day::new(day).plus(k).index() * 24 + hour)
        .filter(|h| *h < HOURS);
    let (sum, n) = hours.fold((0.0, 0.0), |(sum, n), h| {
        (sum + at(&series.rh_pct, h), n + 1.0)
    });
    sum / f64::max(n, 1.0)
}
