//! Two hundred weather years against thirty years of days that a station measured.
//!
//! `SILLWARD_BLESS=1 cargo test --test core climate::record` writes `tests/reference/climate/GENERATOR.md` anew.

use std::{collections::BTreeMap, fmt::Write, fs, path::Path};

use sillward::{
    base::{
        Progress,
        calendar::{DAYS, Day, MONTH_STARTS},
    },
    climate::{WeatherYears, weather, years::quantile},
    site::{Climate, DayToDay, Normals, Place},
    sun::SunTable,
};

use crate::sky::tables::{number, table};

type Facts = BTreeMap<String, f64>;

fn column(rows: &[Vec<String>], at: usize) -> [f64; 12] {
    std::array::from_fn(|m| number(&rows[m][at]))
}

/// Clemson, South Carolina: 34.68° N, 82.83° W, 251 m.
fn place() -> Place {
    Place {
        latitude_deg: 34.68,
        longitude_deg: -82.83,
        elevation_m: 251.0,
        time_zone: "America/New_York".to_owned(),
        ..Place::default()
    }
}

fn measured() -> Facts {
    table("climate/clemson_facts.csv")
        .iter()
        .map(|row| (row[0].clone(), number(&row[1])))
        .collect()
}

fn years(day_to_day: Option<DayToDay>, own_spread: bool) -> WeatherYears {
    let rows = table("climate/clemson.csv");
    let climate = Climate {
        normals: Normals {
            night_min_c: Some(column(&rows, 1).into()),
            day_max_c: Some(column(&rows, 2).into()),
            night_min_sd_k: own_spread.then(|| column(&rows, 3).into()),
            day_max_sd_k: own_spread.then(|| column(&rows, 4).into()),
            ..Normals::default()
        },
        day_to_day,
        ..Climate::default()
    };
    let place = place();
    weather(&place, &climate, &SunTable::of(&place), &Progress::new())
        .unwrap()
        .years
}

/// What reading the record would give.
fn of_record() -> DayToDay {
    let f = measured();
    DayToDay {
        record_years: 30.0,
        day_lag_1: f["day_lag_1"],
        night_lag_1: f["night_lag_1"],
        day_with_night: f["day_with_night"],
        day_after_night: f["day_after_night"],
        night_after_day: f["night_after_day"],
        month_mean_sd_k: Some(f["month_mean_sd_k"]),
        night_month_sd_k: Some(column(&table("climate/clemson.csv"), 5)),
        day_month_sd_k: Some(column(&table("climate/clemson.csv"), 6)),
        annual_min_c: Some(f["annual_min_mean_c"]),
        night_skew: Some(column(&table("climate/clemson.csv"), 13)),
        day_skew: Some(column(&table("climate/clemson.csv"), 14)),
        ..DayToDay::default()
    }
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

fn sd(values: &[f64]) -> f64 {
    let m = mean(values);
    (values.iter().map(|v| (v - m).powi(2)).sum::<f64>() / (values.len() - 1) as f64).sqrt()
}

fn month_of(i: usize) -> usize {
    Day::new(i % DAYS).month0()
}

/// Departures from the smoothed mean of each date, by the spread of their month, as in `make.py`.
fn standard(values: &[f32]) -> Vec<f64> {
    let n = values.len() / DAYS;
    let of_date: Vec<f64> = (0..DAYS)
        .map(|d| (0..n).map(|y| f64::from(values[y * DAYS + d])).sum::<f64>() / n as f64)
        .collect();
    let smooth: Vec<f64> = (0..DAYS)
        .map(|d| {
            (0..31)
                .map(|k| of_date[(d + DAYS + k - 15) % DAYS])
                .sum::<f64>()
                / 31.0
        })
        .collect();
    let off: Vec<f64> = values
        .iter()
        .enumerate()
        .map(|(i, v)| f64::from(*v) - smooth[i % DAYS])
        .collect();
    let spread: Vec<f64> = (0..12)
        .map(|m| {
            let month: Vec<f64> = (0..off.len())
                .filter(|i| month_of(*i) == m)
                .map(|i| off[i])
                .collect();
            sd(&month)
        })
        .collect();
    off.iter()
        .enumerate()
        .map(|(i, v)| v / spread[month_of(i)])
        .collect()
}

fn together(a: &[f64], b: &[f64]) -> f64 {
    let n = a.len().min(b.len());
    let products: Vec<f64> = (0..n).map(|i| a[i] * b[i]).collect();
    let squares = |v: &[f64]| mean(&v.iter().map(|x| x * x).collect::<Vec<_>>());
    mean(&products) / (squares(&a[..n]) * squares(&b[..n])).sqrt()
}

/// Standard deviation between years of a month's mean, mean of the months, nights and days.
fn months_differ(y: &WeatherYears) -> f64 {
    let mut spreads = Vec::new();
    for values in [&y.night_min_c, &y.day_max_c] {
        for m in 0..12 {
            let means: Vec<f64> = values
                .chunks_exact(DAYS)
                .map(|year| {
                    let month = &year[MONTH_STARTS[m]..MONTH_STARTS[m + 1]];
                    month.iter().map(|v| f64::from(*v)).sum::<f64>() / month.len() as f64
                })
                .collect();
            spreads.push(sd(&means));
        }
    }
    mean(&spreads)
}

/// The record is in whole °F: a night it has at 32 °F may have been up to 32.5 °F, and one above 68 °F was 68.5 °F and more.
const FROST_C: f64 = 0.5 / 1.8;
const HOT_C: f64 = 20.0 + 0.5 / 1.8;

fn facts(y: &WeatherYears) -> Facts {
    let (night, day) = (standard(&y.night_min_c), standard(&y.day_max_c));
    let low: Vec<f64> = y.annual_minima_c().iter().map(|v| f64::from(*v)).collect();
    let high: Vec<f64> = y
        .day_max_c
        .chunks_exact(DAYS)
        .map(|year| f64::from(year.iter().copied().fold(f32::MIN, f32::max)))
        .collect();
    let snaps: Vec<f64> = y.cold_snaps_c(7).iter().map(|v| f64::from(*v)).collect();
    let (mut firsts, mut lasts) = (Vec::new(), Vec::new());
    // Years of frost from 31 July on.
    for season in y.night_min_c[211..].chunks_exact(DAYS) {
        let frosts: Vec<usize> = (0..DAYS)
            .filter(|d| f64::from(season[*d]) <= FROST_C)
            .collect();
        firsts.extend(frosts.first().map(|d| *d as f32));
        lasts.extend(frosts.last().map(|d| *d as f32));
    }
    firsts.sort_by(f32::total_cmp);
    lasts.sort_by(f32::total_cmp);
    let mut facts: Facts = [
        ("day_lag_1", together(&day[1..], &day)),
        ("night_lag_1", together(&night[1..], &night)),
        ("day_with_night", together(&day, &night)),
        ("day_after_night", together(&day[1..], &night)),
        ("night_after_day", together(&night[1..], &day)),
        ("month_mean_sd_k", months_differ(y)),
        ("annual_min_mean_c", mean(&low)),
        ("annual_min_sd_k", sd(&low)),
        ("annual_max_mean_c", mean(&high)),
        ("annual_max_sd_k", sd(&high)),
        ("frost_nights_mean", y.cold_nights(FROST_C).0),
        ("frost_nights_sd", y.cold_nights(FROST_C).1),
        ("hot_nights_mean", y.warm_nights(HOT_C).0),
        ("hot_nights_sd", y.warm_nights(HOT_C).1),
        ("coldest_week_mean_c", mean(&snaps)),
        ("coldest_week_sd_k", sd(&snaps)),
    ]
    .map(|(name, value)| (name.to_owned(), value))
    .into();
    for (percent, share) in [(10, 0.1), (50, 0.5), (90, 0.9)] {
        for (what, days) in [("first", &firsts), ("last", &lasts)] {
            facts.insert(
                format!("{what}_frost_{percent}_days_from_31_july"),
                quantile(days, share).unwrap(),
            );
        }
    }
    facts
}

/// Largest differences of monthly means and of standard deviations, K.
fn monthly(y: &WeatherYears) -> (f64, f64) {
    let rows = table("climate/clemson.csv");
    let (mut means, mut spreads) = (0.0_f64, 0.0_f64);
    for (values, at) in [(&y.night_min_c, 1), (&y.day_max_c, 2)] {
        for (m, row) in rows.iter().enumerate().take(12) {
            let month: Vec<f64> = (0..values.len())
                .filter(|i| month_of(*i) == m)
                .map(|i| f64::from(values[i]))
                .collect();
            means = means.max((mean(&month) - number(&row[at])).abs());
            spreads = spreads.max((sd(&month) - number(&row[at + 2])).abs());
        }
    }
    (means, spreads)
}

const ROWS: &[(&str, &str, usize)] = &[
    (
        "day_lag_1",
        "Correlation of a day's maximum with the one before",
        2,
    ),
    (
        "night_lag_1",
        "Correlation of a night's minimum with the one before",
        2,
    ),
    (
        "day_with_night",
        "Correlation of maximum and minimum of a date",
        2,
    ),
    (
        "month_mean_sd_k",
        "Spread of monthly means between years, K",
        2,
    ),
    ("frost_nights_mean", "Nights at or below 0 °C in a year", 1),
    ("frost_nights_sd", "… standard deviation between years", 1),
    ("hot_nights_mean", "Nights above 20 °C in a year", 1),
    ("hot_nights_sd", "… standard deviation between years", 1),
    ("annual_min_mean_c", "Coldest night of a year, °C", 1),
    ("annual_min_sd_k", "… standard deviation, K", 1),
    ("annual_max_mean_c", "Hottest day of a year, °C", 1),
    ("annual_max_sd_k", "… standard deviation, K", 1),
    (
        "coldest_week_mean_c",
        "Coldest seven nights of a year, mean, °C",
        1,
    ),
    ("coldest_week_sd_k", "… standard deviation, K", 1),
    (
        "first_frost_10_days_from_31_july",
        "First frost, one year in ten by, days from 31 July",
        0,
    ),
    (
        "first_frost_50_days_from_31_july",
        "… every other year by",
        0,
    ),
    (
        "first_frost_90_days_from_31_july",
        "… nine years in ten by",
        0,
    ),
    (
        "last_frost_10_days_from_31_july",
        "Last frost, one year in ten by, days from 31 July",
        0,
    ),
    (
        "last_frost_50_days_from_31_july",
        "… every other year by",
        0,
    ),
    (
        "last_frost_90_days_from_31_july",
        "… nine years in ten by",
        0,
    ),
];

#[test]
fn validate_weather_years_against_thirty_years_of_days() {
    let theirs = measured();
    let made = [
        years(None, false),
        years(None, true),
        years(Some(of_record()), true),
    ];
    let ours: Vec<Facts> = made.iter().map(facts).collect();
    let mut page = String::from(
        "# Weather years against a record\n\n\
         Two hundred weather years for Clemson, South Carolina, beside the thirty years 1991 to 2020 that were measured there \
         (`clemson.csv`, `clemson_facts.csv`; README.md tells their origin). Three states of knowledge: monthly means of minima \
         and maxima alone, as a table of normals has them; those with the standard deviation of days; and the daily record \
         itself read by the program. The record's own figures have a sampling error: about ±2 frost nights, ±0.4 K of the mean \
         coldest night, ±3 days of a median date. It is in whole °F, so that its frost reaches to 32.5 °F and its hot nights begin at \
         68.5 °F; the weather years are counted with these limits.\n\n\
         | | measured | from means only | from means and spreads | from the record |\n|---|---|---|---|---|\n",
    );
    for (key, words, decimals) in ROWS {
        let _ = write!(page, "| {words} | {:.decimals$}", theirs[*key]);
        for f in &ours {
            let _ = write!(page, " | {:.decimals$}", f[*key]);
        }
        page.push_str(" |\n");
    }
    let off: Vec<(f64, f64)> = made.iter().map(monthly).collect();
    for (what, of) in [
        ("Largest difference of a monthly mean, K", 0),
        (
            "Largest difference of a month's standard deviation of days, K",
            1,
        ),
    ] {
        let _ = write!(page, "| {what} | ");
        for o in &off {
            let _ = write!(page, " | {:.2}", if of == 0 { o.0 } else { o.1 });
        }
        page.push_str(" |\n");
    }
    page.push_str(
        "\nWritten by `tests/core/climate/record.rs`, which also holds the figures to these bounds.\n",
    );
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference/climate/GENERATOR.md");
    if std::env::var_os("SILLWARD_BLESS").is_some() {
        fs::write(&path, &page).unwrap();
    }

    // With the record read: what a grower decides by.
    let best = &ours[2];
    for (fact, tolerance) in [
        ("day_lag_1", 0.05),
        ("night_lag_1", 0.05),
        ("day_with_night", 0.08),
        ("month_mean_sd_k", 0.2),
        ("frost_nights_mean", 4.0),
        ("frost_nights_sd", 3.5),
        ("hot_nights_mean", 5.0),
        ("hot_nights_sd", 4.0),
        ("annual_min_mean_c", 0.3),
        ("annual_max_mean_c", 1.5),
        ("annual_max_sd_k", 0.5),
        ("coldest_week_mean_c", 1.0),
        ("first_frost_10_days_from_31_july", 7.0),
        ("first_frost_50_days_from_31_july", 7.0),
        ("first_frost_90_days_from_31_july", 7.0),
        ("last_frost_10_days_from_31_july", 8.0),
        ("last_frost_50_days_from_31_july", 7.0),
        ("last_frost_90_days_from_31_july", 7.0),
    ] {
        let (ours, theirs) = (best[fact], theirs[fact]);
        assert!(
            (ours - theirs).abs() < tolerance,
            "{fact}: {ours}, measured {theirs}\n{page}"
        );
    }
    assert!(off[2].0 < 0.05 && off[2].1 < 0.5, "{:?}\n{page}", off[2]);
    // From means alone the counts and dates are coarser.
    for (fact, tolerance) in [
        ("frost_nights_mean", 15.0),
        ("annual_min_mean_c", 4.0),
        ("first_frost_50_days_from_31_july", 20.0),
        ("last_frost_50_days_from_31_july", 20.0),
        ("annual_max_mean_c", 2.0),
        ("hot_nights_mean", 8.0),
    ] {
        let (ours, theirs) = (ours[0][fact], theirs[fact]);
        assert!(
            (ours - theirs).abs() < tolerance,
            "{fact}: {ours}, measured {theirs}\n{page}"
        );
    }
    assert_eq!(
        fs::read_to_string(&path).unwrap_or_default(),
        page,
        "the page is older than the generator: SILLWARD_BLESS=1 cargo test --test core climate::record"
    );
}

/// Spreads that are estimated from the means of the months, beside those of seven stations from the tropics to a continent.
#[test]
fn validate_estimated_spreads_against_stations() {
    let rows = table("climate/spreads.csv");
    let (mut close, mut all, mut log) = ([0_usize; 2], 0_usize, [0.0_f64; 2]);
    for station in rows.chunks(12) {
        let climate = Climate {
            normals: Normals {
                night_min_c: Some(column(station, 3).into()),
                day_max_c: Some(column(station, 4).into()),
                ..Normals::default()
            },
            ..Climate::default()
        };
        let place = place();
        let filled = weather(&place, &climate, &SunTable::of(&place), &Progress::new())
            .unwrap()
            .normals;
        for (m, row) in station.iter().enumerate() {
            all += 1;
            for (i, ours) in [filled.night_min_sd_k[m], filled.day_max_sd_k[m]]
                .into_iter()
                .enumerate()
            {
                let ratio = ours / number(&row[5 + i]);
                close[i] += usize::from((0.667..=1.5).contains(&ratio));
                log[i] += ratio.ln();
            }
        }
    }
    let n = all as f64;
    assert_eq!(all, 84);
    assert!(
        close.iter().all(|c| *c as f64 >= 0.78 * n),
        "{close:?} of {all}"
    );
    // On the whole neither too wide nor too narrow.
    assert!(
        (log[0] / n).exp() < 1.1 && (log[1] / n).exp() < 1.2,
        "{log:?}"
    );
}
