//! Records of light loggers against the model.
//!
//! With a record in the open beside it each hour is a pair, and says what share of the open's light arrives. Without
//! one the sky of an hour is not known; but among some days of a season the brightest at each hour of the day were
//! clear, so that the second brightest of a fortnight is held against the model's clear hour (the brightest may be a
//! cloud's bright edge). Hours of one day, and of one fortnight, share clouds, leaves and the sensor's dirt: they are
//! given shares, so that a year of rows counts as some dozens of readings.

use std::collections::BTreeMap;

use chrono::{Datelike, Duration, NaiveDate, NaiveDateTime};

use super::{
    super::year::{Seen, Year},
    Evidence,
    moment::{Moment, Open},
};
use crate::site::{Logged, LoggedQuantity, Spot};

/// Days of which the clear hours are picked together.
const RUN_D: i64 = 14;
/// Days with a value at an hour, out of which one may be taken for clear.
const ENOUGH_D: usize = 6;
/// Sun's elevation from which on an hour's mean is well described by its middle, rad (10°).
const HIGH_ENOUGH_RAD: f64 = 0.175;
/// Log errors of an hour beside the open, and of the second brightest of a fortnight's.
const BESIDE_SD: f64 = 0.2;
const BRIGHT_SD: f64 = 0.25;
/// A fortnight counts as no more than so many independent readings.
const OF_RUN: f64 = 3.0;
/// Hours beside the open that are looked at: more would add nothing but time.
const MOST_HOURS: usize = 600;

pub(super) fn evidence(
    year: &Year<'_>,
    seen: &Seen<'_>,
    spot: &Spot,
    in_the_open: &[&Logged],
) -> Vec<Evidence> {
    let recorded = hours(
        spot.logged
            .iter()
            .filter(|l| l.quantity == LoggedQuantity::Light && !l.open),
    );
    if recorded.is_empty() {
        return Vec::new();
    }
    let open = hours(in_the_open.iter().copied());
    let beside: Vec<(NaiveDateTime, f64, f64)> = recorded
        .iter()
        .filter_map(|(at, value)| Some((*at, *value, open.get(at).copied().filter(|o| *o > 5.0)?)))
        .collect();
    let mut found = if beside.len() >= 24 {
        hours_beside(year, seen, &beside)
    } else {
        bright_hours(year, seen, &recorded)
    };
    let mut of_run: BTreeMap<i64, f64> = BTreeMap::new();
    for e in &found {
        *of_run.entry(e.run).or_default() += 1.0;
    }
    for e in &mut found {
        let n = of_run.get(&e.run).copied().unwrap_or(1.0);
        e.share = (OF_RUN / n).min(1.0);
    }
    found
}

/// Values above nought by the hour they begin in, local standard time.
fn hours<'l>(records: impl Iterator<Item = &'l Logged>) -> BTreeMap<NaiveDateTime, f64> {
    records
        .flat_map(Logged::dated)
        .flat_map(|(date, day)| {
            day.0.iter().enumerate().filter_map(move |(h, value)| {
                let value = f64::from((*value)?);
                (value > 0.0).then_some((date.and_hms_opt(h as u32, 0, 0)?, value))
            })
        })
        .collect()
}

fn run_of(date: NaiveDate) -> i64 {
    i64::from(date.num_days_from_ce()) / RUN_D
}

fn high_sun(year: &Year<'_>, at: NaiveDateTime) -> Option<Open> {
    Open::at_standard(year, at + Duration::minutes(30))
        .filter(|o| o.at.elevation_rad >= HIGH_ENOUGH_RAD)
}

fn against(model: Moment, value: f64, sd: f64, date: NaiveDate) -> Option<Evidence> {
    let ppfd = model.direct_ppfd + model.rest_ppfd;
    (ppfd > 0.5).then(|| Evidence {
        ratio: (value / ppfd).ln(),
        sd,
        direct: model.direct_ppfd / ppfd,
        share: 1.0,
        run: run_of(date),
        reading: None,
    })
}

fn hours_beside(
    year: &Year<'_>,
    seen: &Seen<'_>,
    beside: &[(NaiveDateTime, f64, f64)],
) -> Vec<Evidence> {
    let step = beside.len().div_ceil(MOST_HOURS).max(1);
    // A step that divides the day would look at the same hours for ever.
    let step = if step > 1 && 24 % step == 0 {
        step + 1
    } else {
        step
    };
    beside
        .iter()
        .step_by(step)
        .filter_map(|(at, value, open_ppfd)| {
            let open = high_sun(year, *at)?;
            // A sensor that reads more than the clear sky gives is in its own sun, or counts another unit.
            let open_ppfd = open_ppfd.min(1.25 * open.clear_ppfd);
            against(
                open.under_sky_of(year, seen, open_ppfd),
                *value,
                BESIDE_SD,
                at.date(),
            )
        })
        .collect()
}

fn bright_hours(
    year: &Year<'_>,
    seen: &Seen<'_>,
    recorded: &BTreeMap<NaiveDateTime, f64>,
) -> Vec<Evidence> {
    let mut runs: BTreeMap<(i64, u32), Vec<(f64, NaiveDateTime)>> = BTreeMap::new();
    for (at, value) in recorded {
        use chrono::Timelike;
        runs.entry((run_of(at.date()), at.hour()))
            .or_default()
            .push((*value, *at));
    }
    runs.into_values()
        .filter(|days| days.len() >= ENOUGH_D)
        .filter_map(|mut days| {
            days.sort_by(|a, b| b.0.total_cmp(&a.0));
            let (value, at) = *days.get(1)?;
            let open = high_sun(year, at)?;
            against(open.under_clear(year, seen), value, BRIGHT_SD, at.date())
        })
        .collect()
}
