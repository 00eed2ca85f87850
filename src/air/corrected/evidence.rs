//! Readings and records as nights and days held against the model.

use std::collections::BTreeMap;

use chrono::{Datelike, Days, NaiveDate};

use super::{Inputs, MISTAKE_K, ReviewedMinMax, parts, season::Season};
use crate::{
    air::{AirDoubt, AirReadings, year::at},
    base::{Day, calendar::DAYS, robust::Row},
    site::{Logged, LoggedQuantity},
};

/// Thermometers in the shade of a spot do not read beyond these, °C.
const POSSIBLE_C: (f64, f64) = (-60.0, 55.0);
/// Correlation from one night to the next: of the model's error where the same night in the open is known …
const NEXT_BESIDE: f64 = 0.5;
/// … and of the weather where it is not. Daily minima: 0.6 to 0.75 in mid latitudes (Wilks & Wilby 1999, Prog. Phys.
/// Geogr. 23:329; from memory).
const NEXT_ALONE: f64 = 0.7;
/// Beyond so many days nights have nothing to do with one another.
const FAR_D: i64 = 20;
/// Hours of a night or a day that must be recorded.
const ENOUGH_H: usize = 20;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Source {
    Reading,
    Logger,
}

/// A night or a day held against the model.
#[derive(Clone, Copy, Debug)]
pub(super) struct Evidence {
    /// Days since the year 1.
    pub date: i64,
    /// Of the year, 0..365.
    pub day: usize,
    pub residual: f64,
    pub variance: f64,
    /// Correlation with the next night.
    pub next: f64,
    pub source: Source,
}

impl Evidence {
    pub fn is_mistake(&self) -> bool {
        self.residual.abs() > MISTAKE_K.max(4.0 * self.variance.sqrt())
    }
}

/// As rows for a fit: each counts by what it shares with its neighbours in time.
pub(super) fn rows(evidence: &[&Evidence]) -> Vec<Row<3>> {
    let mut by_date: BTreeMap<i64, f64> = BTreeMap::new();
    for e in evidence {
        *by_date.entry(e.date).or_default() += 1.0;
    }
    evidence
        .iter()
        .map(|e| {
            let shared: f64 = by_date
                .range(e.date - FAR_D..=e.date + FAR_D)
                .map(|(date, n)| n * e.next.powi((e.date - date).abs() as i32))
                .sum();
            Row {
                x: parts(e.day),
                y: e.residual,
                sd: e.variance.sqrt(),
                share: 1.0 / shared.max(1.0),
            }
        })
        .collect()
}

fn possible(c: f64) -> bool {
    (POSSIBLE_C.0..=POSSIBLE_C.1).contains(&c)
}

/// What the model gives for nights and days, before correction.
struct Model<'a> {
    inputs: &'a Inputs<'a>,
    spot_min: Vec<f64>,
    spot_max: Vec<f64>,
}

impl Model<'_> {
    /// A night minimum: expected value and variance.
    fn night(&self, day: usize, outdoors: Option<f64>) -> (f64, f64) {
        let season = Season::around(day, &self.spot_min, &self.inputs.open.night_min_c);
        let daily_sd_k = self.inputs.normals.night_min_sd_k[Day::new(day).month0()];
        outdoors.map_or_else(|| season.alone(daily_sd_k), |c| season.given(c))
    }

    fn day(&self, day: usize, outdoors: Option<f64>) -> (f64, f64) {
        let season = Season::around(day, &self.spot_max, &self.inputs.open.day_max_c);
        let daily_sd_k = self.inputs.normals.day_max_sd_k[Day::new(day).month0()];
        outdoors.map_or_else(|| season.alone(daily_sd_k), |c| season.given(c))
    }
}

/// Nights and days of all readings and records, and what each reading says against the model.
pub(super) fn gather(
    inputs: &Inputs<'_>,
    told: &mut AirReadings,
) -> (Vec<Evidence>, Vec<Evidence>) {
    let (mut nights, mut days) = (Vec::new(), Vec::new());
    let spot = inputs.spot;
    let logged = || {
        spot.logged
            .iter()
            .filter(|l| l.quantity == LoggedQuantity::Temperature && !l.open)
    };
    if spot.min_max.is_empty() && logged().next().is_none() {
        return (nights, days);
    }
    let (min_hour, max_hour) = inputs.series.extreme_hours();
    let of = |hours: &[usize]| hours.iter().map(|h| at(&inputs.series.air_c, *h)).collect();
    let model = Model {
        inputs,
        spot_min: of(&min_hour),
        spot_max: of(&max_hour),
    };
    let open = Extremes::of(inputs.in_the_open.iter().copied());
    for reading in &spot.min_max {
        let day = Day::of(reading.date).index();
        let beside = reading
            .outdoors_min_c
            .filter(|c| possible(*c))
            .or_else(|| open.night.get(&reading.date).copied());
        let (expected, variance) = model.night(day, beside);
        let mut review = ReviewedMinMax {
            model_min_c: Some(expected),
            beside_open: beside.is_some(),
            ..ReviewedMinMax::default()
        };
        let night = Evidence {
            date: i64::from(reading.date.num_days_from_ce()),
            day,
            residual: reading.min_c - expected,
            variance,
            next: if beside.is_some() {
                NEXT_BESIDE
            } else {
                NEXT_ALONE
            },
            source: Source::Reading,
        };
        review.doubt = if !possible(reading.min_c) {
            Some(AirDoubt::Impossible)
        } else if reading.max_c.is_some_and(|max| max < reading.min_c) {
            Some(AirDoubt::UpsideDown)
        } else if night.is_mistake() {
            Some(AirDoubt::FarOff {
                by_k: night.residual,
            })
        } else {
            None
        };
        if matches!(review.doubt, None | Some(AirDoubt::FarOff { .. })) {
            nights.push(night);
            // What the thermometer showed in the morning is the maximum of the day before.
            if let Some(max) = reading.max_c.filter(|c| possible(*c)) {
                let before = (day + DAYS - 1) % DAYS;
                let beside = reading
                    .date
                    .pred_opt()
                    .and_then(|d| open.day.get(&d).copied());
                let (expected, variance) = model.day(before, beside);
                review.model_max_c = Some(expected);
                days.push(Evidence {
                    day: before,
                    residual: max - expected,
                    variance,
                    ..night
                });
            }
        }
        told.min_max.push(review);
    }
    let recorded = Extremes::of(logged());
    let push = |to: &mut Vec<Evidence>,
                date: NaiveDate,
                value: f64,
                beside: bool,
                (expected, variance): (f64, f64)| {
        to.push(Evidence {
            date: i64::from(date.num_days_from_ce()),
            day: Day::of(date).index(),
            residual: value - expected,
            variance,
            next: if beside { NEXT_BESIDE } else { NEXT_ALONE },
            source: Source::Logger,
        });
    };
    for (date, value) in recorded.night {
        let beside = open.night.get(&date).copied();
        let expected = model.night(Day::of(date).index(), beside);
        push(&mut nights, date, value, beside.is_some(), expected);
    }
    for (date, value) in recorded.day {
        let beside = open.day.get(&date).copied();
        let expected = model.day(Day::of(date).index(), beside);
        push(&mut days, date, value, beside.is_some(), expected);
    }
    (nights, days)
}

/// Night minima (from noon to noon, by the day they end on) and day maxima of records, °C.
#[derive(Default)]
pub(super) struct Extremes {
    pub night: BTreeMap<NaiveDate, f64>,
    pub day: BTreeMap<NaiveDate, f64>,
}

impl Extremes {
    pub fn of<'l>(records: impl Iterator<Item = &'l Logged>) -> Self {
        let mut nights: BTreeMap<NaiveDate, (f64, usize)> = BTreeMap::new();
        let mut days: BTreeMap<NaiveDate, (f64, usize)> = BTreeMap::new();
        for logged in records.filter(|l| l.quantity == LoggedQuantity::Temperature) {
            for (date, day) in logged.dated() {
                for (hour, value) in day.0.iter().enumerate() {
                    let Some(value) = value.map(f64::from) else {
                        continue;
                    };
                    let ends = if hour < 12 {
                        Some(date)
                    } else {
                        date.checked_add_days(Days::new(1))
                    };
                    if let Some(ends) = ends {
                        let night = nights.entry(ends).or_insert((f64::INFINITY, 0));
                        *night = (night.0.min(value), night.1 + 1);
                    }
                    let day = days.entry(date).or_insert((f64::NEG_INFINITY, 0));
                    *day = (day.0.max(value), day.1 + 1);
                }
            }
        }
        let enough = |all: BTreeMap<NaiveDate, (f64, usize)>| {
            all.into_iter()
                .filter(|(_, (_, n))| *n >= ENOUGH_H)
                .map(|(date, (value, _))| (date, value))
                .collect()
        };
        Self {
            night: enough(nights),
            day: enough(days),
        }
    }
}
