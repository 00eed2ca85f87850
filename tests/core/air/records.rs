//! A logger's file from its text to the corrected model.

use std::{fs, path::Path};

use chrono::NaiveDate;
use sillward::{
    air::AirCorrection,
    base::{Id, Progress},
    site::{
        Logged, LoggedQuantity, Site, Spot,
        records::{self, Asked, DateOrder, Quantity, TimeKept, Unit},
    },
};

use super::fixture::{World, near, spot_at};

const FILE: &str = include_str!("../../reference/loggers/spot-and-open.csv");

fn recorded(column: usize, open: bool) -> Logged {
    let mut asked = Asked {
        time_zone: "Europe/Zurich".to_owned(),
        today: NaiveDate::from_ymd_opt(2026, 9, 20),
        ..Asked::default()
    };
    // Both columns are temperatures: the wanted one is said.
    for c in [2, 3] {
        asked
            .columns
            .insert(c, (c == column).then_some(Quantity::Temperature));
    }
    let reading = records::read(FILE.as_bytes(), &asked, &Progress::new()).unwrap();
    let preview = &reading.preview;
    assert!(preview.questions.is_empty());
    assert_eq!(preview.order, Some(DateOrder::DayMonthYear));
    assert_eq!(
        (preview.time, preview.time_assumed),
        (TimeKept::Clock, false)
    );
    assert_eq!(preview.columns[column - 2].unit, Some(Unit::Celsius));
    // The spike leaves its row without a value.
    assert_eq!(
        (preview.rows_doubled, preview.rows_missing),
        (1, 260 + usize::from(column == 2))
    );
    // The spike of 85 °C in one column is named; the other has none.
    assert_eq!(preview.fault_count, usize::from(column == 2));
    let records = reading.records.unwrap();
    records::keep::logged(&records, LoggedQuantity::Temperature, "file", open).unwrap()
}

fn corrected(with_open: bool) -> sillward::air::SpotAir {
    let world = World::new();
    let spot = Spot {
        height_m: 3.0,
        logged: vec![recorded(2, false)],
        ..spot_at(0.0, 0.0)
    };
    let mut site = Site::default();
    if with_open {
        let beside = Spot {
            logged: vec![recorded(3, true)],
            ..Spot::default()
        };
        site.spots.put(Id::new("open"), beside);
    }
    world.air(&site, &spot, 0.4)
}

#[test]
fn a_held_back_half_of_a_record_is_predicted_better_after_correction() {
    let air = corrected(true);
    let c = &air.correction;
    let tried = c.held_back.unwrap();
    assert!(tried.tried_on > 90 && tried.learnt_from > 90, "{tried:?}");
    assert!(tried.error_after < 0.6 * tried.error_before, "{tried:?}");
    assert!(c.error_after_k.unwrap() < 0.6 * c.error_before_k.unwrap());
    // 229 nights are not 229 independent readings.
    assert!(
        c.nights_logged > 200 && (0.3..0.6).contains(&c.sd_k),
        "{c:?}"
    );
    let plain = World::new().air(&Site::default(), &spot_of_no_record(), 0.4);
    // The script's nights, less what the model had already: 1.6 K in January, 0.8 K in July, mended to within 0.4 K.
    for (week, truth) in [(10, 1.2 + 0.4 * 0.6), (28, 0.8)] {
        let day = week * 7 + 3;
        let open = 10.0 - 9.0 * (std::f64::consts::TAU * (day as f64 - 15.0) / 365.0).cos() - 4.0;
        let night = air.weeks[week].night_c;
        assert!(
            (night - open - truth).abs() < 0.45,
            "week {week}: {night} in the spot, {open} in the open; {} before",
            plain.weeks[week].night_c
        );
    }
    let left = air.readings.unexplained.unwrap();
    assert!(left.beside_open && left.by_hour_k.iter().all(Option::is_some));
    assert!(
        left.by_hour_k.iter().flatten().all(|k| k.abs() < 1.5),
        "{left:?}"
    );
    assert!(left.sentence().starts_with("Unexplained: "));
}

#[test]
fn without_the_open_a_record_says_less_but_something() {
    let (alone, beside) = (corrected(false).correction, corrected(true).correction);
    assert!(alone.sd_k > 1.3 * beside.sd_k, "{alone:?}");
    assert!(alone.sd_k < 1.2);
    near(alone.night_at(150), beside.night_at(150), 1.2);
}

fn spot_of_no_record() -> Spot {
    Spot {
        height_m: 3.0,
        ..spot_at(0.0, 0.0)
    }
}

/// A year of hours at Kennedy airport, at the sea, beside those of Newark, inland, 33 km away (NOAA): a real record, read
/// as a grower's file would be. Only half of it teaches; the other half is predicted.
fn of_stations() -> AirCorrection {
    const STATIONS: &str = include_str!("../../reference/loggers/stations.csv");
    let recorded = |column: usize, open: bool| {
        let mut asked = Asked {
            time_zone: "America/New_York".to_owned(),
            today: NaiveDate::from_ymd_opt(2026, 9, 20),
            order: Some(DateOrder::MonthDayYear),
            ..Asked::default()
        };
        for c in [2, 3] {
            asked
                .columns
                .insert(c, (c == column).then_some(Quantity::Temperature));
        }
        let reading = records::read(STATIONS.as_bytes(), &asked, &Progress::new()).unwrap();
        assert_eq!(
            reading.preview.columns[column - 2].unit,
            Some(Unit::Fahrenheit)
        );
        let records = reading.records.unwrap();
        records::keep::logged(&records, LoggedQuantity::Temperature, "file", open).unwrap()
    };
    let spot = Spot {
        height_m: 1.0,
        logged: vec![recorded(2, false)],
        ..spot_at(0.0, 0.0)
    };
    let mut site = Site::default();
    site.spots.put(
        Id::new("open"),
        Spot {
            logged: vec![recorded(3, true)],
            ..Spot::default()
        },
    );
    World::new().air(&site, &spot, 0.9).correction
}

#[test]
fn validate_half_a_real_years_nights_from_the_other_half() {
    let c = of_stations();
    let tried = c.held_back.unwrap();
    assert!(tried.tried_on > 150 && tried.learnt_from > 150, "{tried:?}");
    assert!(tried.error_after < 0.95 * tried.error_before, "{tried:?}");
    assert!((0.5..=2.5).contains(&tried.error_after), "{tried:?}");
    // A single night is as unsure as held-back ones were off, not as the mean of many.
    near(c.one_night_sd_at(100), tried.error_after / 0.798, 0.25);
    assert!(c.one_night_sd_at(100) > 2.0 * c.night_sd_at(100));
    // The sea holds its air back in spring and early summer, and warms it in late autumn: what was measured.
    assert!(c.day_at(140) < c.day_at(330) - 0.8, "{c:?}");
    assert!(c.night_at(140) < c.night_at(330), "{c:?}");
}

/// `SILLWARD_BLESS=1 cargo test --test core air::records` writes `tests/reference/loggers/HELD-BACK.md` anew.
#[test]
fn the_page_of_held_back_halves_is_up_to_date() {
    let mut page = String::from(
        "# Half a record from the other half\n\n\
         Nights of one half of a record teach, those of the other are predicted; the error is the mean of how far the minimum is off. README.md \
         tells what the records are.\n\n\
         | record | nights learnt from | nights tried on | error before, K | error after, K | doubt that is told, K |\n\
         |---|---:|---:|---:|---:|---:|\n",
    );
    for (name, c) in [
        ("`spot-and-open.csv`, invented", corrected(true).correction),
        ("`stations.csv`, Kennedy by Newark, 2013", of_stations()),
    ] {
        let t = c.held_back.unwrap();
        page.push_str(&format!(
            "| {name} | {} | {} | {:.2} | {:.2} | {:.2} |\n",
            t.learnt_from, t.tried_on, t.error_before, t.error_after, c.sd_k
        ));
    }
    page.push_str("\nWritten by `tests/core/air/records.rs`.\n");
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference/loggers/HELD-BACK.md");
    if std::env::var_os("SILLWARD_BLESS").is_some() {
        fs::write(&path, &page).unwrap();
    }
    assert_eq!(
        fs::read_to_string(&path).unwrap_or_default(),
        page,
        "SILLWARD_BLESS=1 cargo test --test core air::records"
    );
}
