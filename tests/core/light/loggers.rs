//! Loggers of light at a spot that gets less than its drawing says.

use std::sync::Arc;

use chrono::{Days, NaiveDate};
use sillward::{
    light::SpotLight,
    site::{Logged, LoggedDay, LoggedQuantity},
};

use super::{lights, naive::Dice, near, place, site, spot};

/// What arrives of the open's light.
const TRUE_SHARE: f64 = 0.6;
const DAYS: u64 = 28;

fn first_day() -> NaiveDate {
    NaiveDate::from_ymd_opt(2027, 6, 1).unwrap()
}

/// PPFD on the open level by the hour: clear skies of the outside reference, dimmed by each day's clouds.
fn open_hours() -> Vec<[f64; 24]> {
    let mut dice = Dice(7);
    (0..DAYS)
        .map(|day| {
            let clear_day = dice.unit() < 0.35;
            let left = if clear_day { 1.0 } else { dice.roll(0.15, 0.8) };
            std::array::from_fn(|hour| {
                let when = (first_day() + Days::new(day))
                    .and_hms_opt(hour as u32, 30, 0)
                    .unwrap();
                let utc = sillward::sun::clock::utc_from_local(&place(), when);
                let sun = sillward::sun::position(&place(), utc);
                if sun.elevation_rad <= 0.0 {
                    return 0.0;
                }
                let clear = sillward::sky::clear::irradiance(400.0, sun.elevation_rad, 1325.0, 3.0);
                left * (2.02 * clear.beam_w_m2 * sun.elevation_rad.sin() + 2.2 * clear.sky_w_m2)
            })
        })
        .collect()
}

fn record(open: bool, hours: &[[f64; 24]], share: impl Fn(usize, &mut Dice) -> f64) -> Logged {
    let mut dice = Dice(11);
    Logged {
        name: "invented".to_owned(),
        quantity: LoggedQuantity::Light,
        open,
        first_day: first_day(),
        days: Arc::new(
            hours
                .iter()
                .enumerate()
                .map(|(day, hours)| {
                    LoggedDay(hours.map(|v| Some((v * share(day, &mut dice)) as f32)))
                })
                .collect(),
        ),
    }
}

/// What the spot's own logger reads: a tenth to and fro by the hour.
fn at_the_spot(_day: usize, dice: &mut Dice) -> f64 {
    TRUE_SHARE * dice.roll(0.9, 1.1)
}

fn corrected(records: Vec<Logged>) -> SpotLight {
    let mut at = spot(0.0, 0.0, 0.5);
    at.logged = records;
    lights(&site(&[at])).remove(0)
}

#[test]
fn a_logger_beside_one_in_the_open_finds_what_the_drawing_lacks() {
    let hours = open_hours();
    let plain = corrected(Vec::new());
    let light = corrected(vec![
        record(false, &hours, at_the_spot),
        record(true, &hours, |_, _| 1.0),
    ]);
    let c = light.correction;
    assert!(c.hours_logged > 100, "{c:?}");
    near("share", c.factor, TRUE_SHARE, 0.04);
    assert!(
        c.log_sd < 0.12 && c.log_sd < plain.correction.log_sd,
        "{c:?}"
    );
    assert!(
        c.log_error_after.unwrap() < 0.3 * c.log_error_before.unwrap(),
        "{c:?}"
    );
    let held = c.held_back.expect("a trial on days that were held back");
    assert!(
        held.log_error_after < 0.4 * held.log_error_before,
        "{held:?}"
    );
    let year: f32 = light.dli.iter().sum::<f32>() / plain.dli.iter().sum::<f32>();
    near("applied to the year", year.into(), c.factor, 0.03);
}

#[test]
fn a_logger_by_itself_finds_it_from_the_brightest_days() {
    let light = corrected(vec![record(false, &open_hours(), at_the_spot)]);
    let c = light.correction;
    // Noise lifts the brighter of two days by some hundredths.
    near("share", c.factor, TRUE_SHARE, 0.08);
    assert!(c.hours_logged > 10, "{c:?}");
    let beside = corrected(vec![
        record(false, &open_hours(), at_the_spot),
        record(true, &open_hours(), |_, _| 1.0),
    ]);
    assert!(
        c.log_sd > beside.correction.log_sd,
        "the open is worth having"
    );
}

#[test]
fn days_on_which_the_logger_lay_in_a_pocket_do_not_count_much() {
    let hours = open_hours();
    let lost = |day: usize, dice: &mut Dice| {
        let share = at_the_spot(day, dice);
        if (10..13).contains(&day) {
            0.02 * share
        } else {
            share
        }
    };
    let light = corrected(vec![
        record(false, &hours, lost),
        record(true, &hours, |_, _| 1.0),
    ]);
    near("share", light.correction.factor, TRUE_SHARE, 0.08);
}
