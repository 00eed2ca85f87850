//! What a logger's record shows that the corrected model still does not: by the hour and by the month.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::Inputs;
use crate::{
    air::{AirCorrection, Unexplained, correction_at, weeks::Series, year::at},
    base::{Day, calendar::HOURS},
    site::{LoggedDay, LoggedQuantity},
};

/// Days that are needed to say anything of an hour or a month.
const ENOUGH_D: usize = 7;

pub(super) fn of(inputs: &Inputs<'_>, correction: &AirCorrection) -> Option<Unexplained> {
    let mut corrected = inputs.series.clone();
    for (h, hour) in inputs.open.hours.iter().enumerate() {
        corrected.air_c[h] += correction_at(correction, h / 24, hour.night) as f32;
    }
    let open_air = Series {
        air_c: inputs.open.hours.iter().map(|h| h.air_c as f32).collect(),
        ..Series::default()
    };
    let open: BTreeMap<NaiveDate, &LoggedDay> =
        inputs.in_the_open.iter().flat_map(|l| l.dated()).collect();
    let mut hours: Vec<Vec<f64>> = vec![Vec::new(); 24];
    let mut months: Vec<Vec<f64>> = vec![Vec::new(); 12];
    let records = inputs
        .spot
        .logged
        .iter()
        .filter(|l| l.quantity == LoggedQuantity::Temperature && !l.open);
    for (date, day) in records.flat_map(|l| l.dated()) {
        let of_year = Day::of(date).index();
        let beside = open.get(&date);
        let residuals: Vec<(usize, f64)> = day
            .0
            .iter()
            .enumerate()
            .filter_map(|(h, value)| {
                let residual = f64::from((*value)?) - usual(&corrected, of_year, h);
                // The weather of that hour, as far as it is known.
                let weather = beside
                    .and_then(|b| b.0[h])
                    .map_or(0.0, |v| f64::from(v) - usual(&open_air, of_year, h));
                Some((h, residual - weather))
            })
            .collect();
        if residuals.len() < 18 {
            continue;
        }
        let mean = residuals.iter().map(|r| r.1).sum::<f64>() / residuals.len() as f64;
        for (h, residual) in residuals {
            // By the hour only the shape of the day is looked at, whatever the day's own warmth.
            hours[h].push(residual - mean);
        }
        months[Day::new(of_year).month0()].push(mean);
    }
    let mean = |values: &Vec<f64>| {
        (values.len() >= ENOUGH_D).then(|| values.iter().sum::<f64>() / values.len() as f64)
    };
    let by_hour_k: Vec<Option<f64>> = hours.iter().map(mean).collect();
    let by_month_k: Vec<Option<f64>> = months.iter().map(mean).collect();
    by_hour_k
        .iter()
        .any(Option::is_some)
        .then_some(Unexplained {
            by_hour_k,
            by_month_k,
            beside_open: !open.is_empty(),
        })
}

/// The air at an hour of the day, mean of the month about a day, °C.
fn usual(series: &Series, day: usize, hour: usize) -> f64 {
    let hours = (-15..=15)
        .map(|k| Day::new(day).plus(k).index() * 24 + hour)
        .filter(|h| *h < HOURS);
    let (sum, n) = hours.fold((0.0, 0.0), |(sum, n), h| {
        (sum + at(&series.air_c, h), n + 1.0)
    });
    sum / f64::max(n, 1.0)
}
