//! Tables of weather stations, taken into a climate.

use std::{fmt::Write, fs};

use chrono::{Datelike, NaiveDate};
use sillward::{
    base::Progress,
    climate::{
        import::{self, WeatherFile},
        weather,
    },
    site::{
        Climate, Normals, Place,
        records::{Asked, DateOrder},
    },
    sun::SunTable,
};

fn place() -> Place {
    Place {
        latitude_deg: 47.4,
        longitude_deg: 8.5,
        elevation_m: 450.0,
        time_zone: "Europe/Zurich".to_owned(),
        ..Place::default()
    }
}

fn read_as(text: &str, asked: Asked) -> Result<WeatherFile, String> {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("station.csv");
    fs::write(&path, text).unwrap();
    let asked = Asked {
        time_zone: "Europe/Zurich".to_owned(),
        ..asked
    };
    import::read(&path, &place(), &asked, &Progress::new()).map_err(|e| e.to_string())
}

fn read(text: &str) -> Result<WeatherFile, String> {
    read_as(text, Asked::default())
}

/// Two invented years of days: a cosine of the season, and an alternation from day to day.
fn days() -> impl Iterator<Item = (NaiveDate, f64, f64)> {
    let first = NaiveDate::from_ymd_opt(2021, 1, 1).unwrap();
    (0..730).map(move |k| {
        let date = first + chrono::Duration::days(k);
        let season = -(std::f64::consts::TAU * (f64::from(date.ordinal()) - 15.0) / 365.0).cos();
        let swing = if k / 3 % 2 == 0 { 2.0 } else { -2.0 };
        (
            date,
            5.0 + 9.0 * season + swing,
            14.0 + 11.0 * season + swing,
        )
    })
}

#[test]
fn a_daily_table_gives_normals_spreads_and_correlations() {
    let mut text = String::from("Datum;Tmin °C;Tmax °C;Niederschlag mm\n");
    for (date, low, high) in days() {
        let rain = if date.ordinal() % 5 < 2 { "4,0" } else { "0,0" };
        let comma = |v: f64| format!("{v:.1}").replace('.', ",");
        let _ = writeln!(
            text,
            "{};{};{};{rain}",
            date.format("%d.%m.%Y"),
            comma(low),
            comma(high)
        );
    }
    let file = read(&text).unwrap();
    let imported = file.imported().unwrap();
    assert!(imported.doubts.is_empty(), "{:?}", imported.doubts);
    let s = &imported.statistics;
    // July: 5 + 9 and 14 + 11, less than 0.4 K below the crest over the month.
    assert!((s.night_min_c[6].unwrap() - 14.0).abs() < 0.4);
    assert!((s.day_max_c[6].unwrap() - 25.0).abs() < 0.4);
    assert!((s.night_min_sd_k[6].unwrap() - 2.0).abs() < 0.2);
    assert!((s.rain_days[6].unwrap() - 12.4).abs() < 1.0);
    let d = s.day_to_day.as_ref().unwrap();
    // Three days of each sign: 1/3 of the steps turn, so the correlation is 1 - 2/3.
    assert!(
        (d.night_lag_1 - 1.0 / 3.0).abs() < 0.05,
        "{}",
        d.night_lag_1
    );
    assert!(d.day_with_night > 0.95);
    assert_eq!(
        d.month_mean_sd_k, None,
        "two years say nothing of how years differ"
    );
    let climate = imported.climate(&Climate::default(), &place());
    assert!(
        climate
            .source
            .contains("station.csv, 2021-01-01 to 2022-12-31")
    );
    assert!(climate.hours.is_none() && climate.normals.night_min_sd_k.is_some());
}

#[test]
fn an_hourly_table_gives_days_and_skips_broken_ones() {
    let mut text = String::from("time,temperature °C,humidity %,wind m/s\n");
    for (date, low, high) in days().take(365) {
        let hours = if date.ordinal() == 40 { 10 } else { 24 };
        for h in 0..hours {
            let warm = (1.0 - (std::f64::consts::TAU * (f64::from(h) - 3.0) / 24.0).cos()) / 2.0;
            let _ = writeln!(
                text,
                "{date}T{h:02}:00:00Z,{:.2},{},3.0",
                low + (high - low) * warm,
                60 + h
            );
        }
    }
    let file = read(&text).unwrap();
    let s = &file.imported().unwrap().statistics;
    assert!((s.night_min_c[6].unwrap() - 14.0).abs() < 0.4);
    assert!((s.rh_pct[6].unwrap() - 71.5).abs() < 1.0);
    assert!((s.wind_m_s[0].unwrap() - 3.0).abs() < 1e-6);
    // The day that breaks off at ten o'clock does not count; its neighbours may lose an hour to the time zone.
    assert!(
        s.years * 365.25 < 364.5 && s.years * 365.25 > 361.0,
        "{}",
        s.years * 365.25
    );
}

#[test]
fn what_is_left_open_is_asked() {
    let mut text = String::from("date,Tmin C,Tmax C\n");
    // Days 1 to 12 of each month, backwards and forwards alike: either order could be.
    for month in 1..=12 {
        for day in 1..=12 {
            if month == day {
                let _ = writeln!(text, "{day:02}/{month:02}/2022,1.0,9.0");
            }
        }
    }
    match read(&text) {
        // Twelve days are no climate, and the reader says so or asks first.
        Err(said) => assert!(!said.is_empty()),
        Ok(file) => {
            let sure = read_as(
                &text,
                Asked {
                    order: Some(DateOrder::DayMonthYear),
                    ..Asked::default()
                },
            )
            .unwrap();
            assert!(file.imported().is_none() || sure.imported().is_some());
        }
    }
}

#[test]
fn tables_without_a_climate_in_them_are_refused_with_a_remedy() {
    let mut once = String::from("date,temperature °C\n");
    let mut light = String::from("date,rain mm\n");
    let mut fahrenheit = String::from("date,Tmin °C,Tmax °C\n");
    let mut turned = String::from("date,Tmin °C,Tmax °C\n");
    for (date, low, high) in days() {
        let _ = writeln!(once, "{date},{low:.1}");
        let _ = writeln!(light, "{date},1.0");
        let _ = writeln!(
            fahrenheit,
            "{date},{:.1},{:.1}",
            low * 1.8 + 32.0,
            high * 1.8 + 32.0
        );
        let _ = writeln!(turned, "{date},{high:.1},{low:.1}");
    }
    let said = read(&once).unwrap_err();
    assert!(
        said.contains("one temperature every 24 h") && said.contains("minimum and maximum"),
        "{said}"
    );
    let said = read(&light).unwrap_err();
    assert!(said.contains("no column holds air temperature"), "{said}");
    // 40 °F marked as °C: either the reader asks, refuses, or the climate doubts it.
    match read(&fahrenheit) {
        Err(said) => assert!(said.contains("°F"), "{said}"),
        Ok(file) => {
            let asked = matches!(&file, WeatherFile::Table(t) if !t.preview.questions.is_empty() || t.preview.fault_count > 0);
            let doubted = file
                .imported()
                .is_some_and(|i| i.doubts.iter().any(|d| d.contains("in °C")));
            assert!(asked || doubted);
        }
    }
    let file = read(&turned).unwrap();
    let doubts = file.imported().unwrap().doubts.join(" ");
    assert!(doubts.contains("exchanged"), "{doubts}");
    assert!(read("\u{0}\u{1}\u{2}rubbish\u{0}").is_err());
    assert!(read("").unwrap_err().contains("empty"));
}

#[test]
fn dew_points_stand_in_for_humidity() {
    // FAO-56 eq. 11, 12 and 14, by hand: nights of 15 and days of 24.5 °C hold 1.705 and 3.075 kPa at most, a dew point of
    // 12 °C 1.403 kPa: 58.7 %.
    let mut text = String::from("date,Tmin °C,Tmax °C,dew point °C\n");
    for (date, _, _) in days() {
        let _ = writeln!(text, "{date},15.0,24.5,12.0");
    }
    let file = read(&text).unwrap();
    let imported = file.imported().unwrap();
    assert!((imported.statistics.rh_pct[6].unwrap() - 58.7).abs() < 0.2);
    assert!(imported.says.iter().any(|s| s.contains("dew point")));
    let typed = Climate {
        normals: Normals {
            night_min_c: Some([15.0; 12].into()),
            day_max_c: Some([24.5; 12].into()),
            dew_point_c: Some([12.0; 12].into()),
            ..Normals::default()
        },
        ..Climate::default()
    };
    let place = place();
    let sun = SunTable::of(&place);
    let weather = weather(&place, &typed, &sun, &Progress::new()).unwrap();
    assert!((weather.normals.rh_pct[3] - 58.7).abs() < 0.2);
    assert!(
        weather
            .methods
            .iter()
            .any(|m| m.contains("from the dew points given"))
    );
}
