use chrono::NaiveDate;
use sillward::site::{HumidityReading, MinMaxReading, Site, Spot};

use super::fixture::{World, day_mean_c, near, spot_at};

fn date(day: usize) -> NaiveDate {
    NaiveDate::from_yo_opt(2025, day as u32 + 1).unwrap()
}

fn reading(day: usize, min_c: f64, outdoors_min_c: Option<f64>) -> MinMaxReading {
    MinMaxReading {
        date: date(day),
        min_c,
        max_c: None,
        outdoors_min_c,
        note: String::new(),
    }
}

fn with(readings: Vec<MinMaxReading>) -> Spot {
    Spot {
        height_m: 3.0,
        min_max: readings,
        ..spot_at(0.0, 0.0)
    }
}

#[test]
fn nights_beside_the_open_move_the_model_and_shrink_its_error() {
    let world = World::new();
    let site = Site::default();
    let plain = world.air(&site, &with(Vec::new()), 0.4);
    assert_eq!(plain.correction.readings, 0);
    assert_eq!(plain.correction.error_before_k, None);
    near(plain.correction.sd_k, 1.5, 1e-9);
    // Twelve nights spread over a month, each 2 K warmer than the open.
    let readings = (0..12)
        .map(|i| reading(60 + 3 * i, 6.0, Some(4.0)))
        .collect();
    let corrected = world.air(&site, &with(readings), 0.4);
    let c = &corrected.correction;
    assert_eq!((c.readings, c.set_aside), (12, 0));
    let here = c.night_at(73);
    assert!(here > 0.9 && here < 2.1, "{c:?}");
    // Half a year off less is known, and less is changed.
    assert!(c.night_at(256) < 0.7 * here && c.night_sd_at(256) > 2.0 * c.night_sd_at(73));
    assert!(c.sd_k < 0.6, "{c:?}");
    assert!(c.error_before_k.unwrap() > 0.8);
    near(c.day_k, 0.0, 1e-9);
    // Nights move, in the typical year and in the risks; noon stays.
    near(
        corrected.weeks[10].night_c - plain.weeks[10].night_c,
        here,
        0.1,
    );
    let risk = f64::from(corrected.weeks[10].coldest_air_c[20] - plain.weeks[10].coldest_air_c[20]);
    near(risk, here, 0.02);
    near(
        f64::from(corrected.air_c[70 * 24 + 14]),
        f64::from(plain.air_c[70 * 24 + 14]),
        0.05,
    );
    assert!(
        corrected
            .influences
            .iter()
            .any(|s| s.contains("12 thermometer readings"))
    );
}

#[test]
fn a_reading_without_the_open_weighs_less() {
    let world = World::new();
    let site = Site::default();
    let usual = day_mean_c(80) - 4.0;
    let alone = world.air(&site, &with(vec![reading(80, usual + 3.0, None)]), 0.4);
    let beside = world.air(
        &site,
        &with(vec![reading(80, usual + 3.0, Some(usual))]),
        0.4,
    );
    assert!(alone.correction.night_k < 0.5 * beside.correction.night_k);
    assert!(alone.correction.sd_k > beside.correction.sd_k);
    assert!(alone.correction.sd_k < 1.5);
}

#[test]
fn impossible_readings_are_set_aside() {
    let world = World::new();
    let mut upside_down = reading(80, 8.0, Some(2.0));
    upside_down.max_c = Some(1.0);
    let readings = vec![
        reading(80, 95.0, None),
        upside_down,
        reading(82, 40.0, Some(2.0)),
        reading(90, f64::NAN, None),
    ];
    let air = world.air(&Site::default(), &with(readings), 0.4);
    assert_eq!((air.correction.readings, air.correction.set_aside), (0, 4));
    near(air.correction.night_k, 0.0, 1e-12);
    assert!(air.air_c.iter().all(|c| c.is_finite()));
}

#[test]
fn maxima_move_the_days() {
    let world = World::new();
    let warm: Vec<MinMaxReading> = (0..10)
        .map(|i| MinMaxReading {
            max_c: Some(day_mean_c(150) + 4.0 + 4.0),
            ..reading(
                150 + 3 * i,
                day_mean_c(150) - 4.0,
                Some(day_mean_c(150) - 4.0),
            )
        })
        .collect();
    let air = world.air(&Site::default(), &with(warm), 1.0);
    assert!(air.correction.day_k > 0.5, "{:?}", air.correction);
    assert!(air.correction.night_k.abs() < 0.8);
}

#[test]
fn hygrometer_readings_move_humidity() {
    let world = World::new();
    let readings = |rh_pct: f64| {
        (0..8)
            .map(|i| HumidityReading {
                when: date(100 + 4 * i).and_hms_opt(14, 0, 0).unwrap(),
                rh_pct,
                air_c: None,
            })
            .collect()
    };
    let site = Site::default();
    let plain = world.air(&site, &with(Vec::new()), 1.0);
    let mut spot = with(Vec::new());
    spot.humidity = readings(95.0);
    let damp = world.air(&site, &spot, 1.0);
    assert!(damp.weeks[16].rh_day_pct > plain.weeks[16].rh_day_pct + 5.0);
    assert!(damp.weeks[16].vpd_kpa < plain.weeks[16].vpd_kpa);
    spot.humidity = readings(-4.0);
    let nonsense = world.air(&site, &spot, 1.0);
    near(nonsense.weeks[16].rh_pct, plain.weeks[16].rh_pct, 1e-9);
}
