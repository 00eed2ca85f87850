//! Hourly weather files: a real one against what a general library reads from it, and bad ones, one by one.

use std::{fs, path::Path, sync::LazyLock};

use sillward::{
    air::{AirInputs, spots_year},
    base::{Id, Progress, calendar::HOURS},
    climate::{
        import::{self, ImportError, Imported, epw},
        weather,
    },
    site::{Climate, Place, Site, Spot},
    sun::SunTable,
};

use crate::sky::tables::{number, table};

/// Greensboro, North Carolina: TMY3 of the National Renewable Energy Laboratory, public domain.
static GREENSBORO: LazyLock<String> = LazyLock::new(|| {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference/climate/greensboro.epw");
    fs::read_to_string(path).unwrap()
});
const HEADINGS: usize = 8;

fn good() -> Imported {
    epw::read(&GREENSBORO).unwrap()
}

/// The file with its lines changed; line numbers count from 1.
fn changed(change: impl FnOnce(&mut Vec<String>)) -> String {
    let mut lines: Vec<String> = GREENSBORO.lines().map(str::to_owned).collect();
    change(&mut lines);
    lines.join("\n") + "\n"
}

/// Each hour's field changed.
fn with_field(at: usize, change: impl Fn(&str) -> String) -> String {
    changed(|lines| {
        for line in &mut lines[HEADINGS..] {
            let mut fields: Vec<String> = line.split(',').map(str::to_owned).collect();
            fields[at] = change(&fields[at]);
            *line = fields.join(",");
        }
    })
}

fn fault(text: &str) -> String {
    match epw::read(text) {
        Err(ImportError::Fault(fault)) => fault.to_string(),
        other => panic!("no fault: {other:?}"),
    }
}

#[track_caller]
fn says(text: &str, parts: &[&str]) {
    let said = fault(text);
    for part in parts {
        assert!(said.contains(part), "{said} does not say {part}");
    }
}

#[test]
fn validate_months_against_a_general_library() {
    // normals.csv: pvlib's reading of the same station, months by pandas.
    let rows: Vec<Vec<String>> = table("climate/normals.csv")
        .into_iter()
        .filter(|r| r[0] == "greensboro")
        .collect();
    let s = good().statistics;
    for (m, row) in rows.iter().enumerate() {
        for (what, ours, at, tolerance) in [
            ("minimum", s.night_min_c[m], 2, 0.06),
            ("maximum", s.day_max_c[m], 3, 0.06),
            ("radiation", s.radiation_mj_m2_d[m], 4, 0.01),
            ("humidity", s.rh_pct[m], 5, 0.1),
            ("wind", s.wind_m_s[m], 6, 0.02),
        ] {
            let (ours, theirs) = (ours.unwrap(), number(&row[at]));
            assert!(
                (ours - theirs).abs() < tolerance,
                "{what}, {m}: {ours} {theirs}"
            );
        }
    }
    assert_eq!(s.rain_mm, [None; 12], "the file has no rain");
}

#[test]
fn the_typical_year_is_the_files_own() {
    let file = good();
    assert!(file.doubts.is_empty(), "{:?}", file.doubts);
    let station = file.site.clone().unwrap();
    assert_eq!(station.name, "Greensboro Piedmont Triad Int");
    let place = station.place(&Place::default());
    assert_eq!(place.time_zone, "America/New_York");
    let climate = file.climate(&Climate::default(), &place);
    let sun = SunTable::of(&place);
    let w = weather(&place, &climate, &sun, &Progress::new()).unwrap();
    assert!(
        w.methods.iter().any(|m| m.contains("hour by hour")),
        "{:?}",
        w.methods
    );
    let t = &w.typical;
    // Line 20 of the file is 1 January, hour 12: read at its end, 261 Wh/m² in it, 3 of beam by the file.
    assert_eq!(t.air_c[11], 11.7);
    assert!((t.global_w_m2[11] - 261.0).abs() < 0.5 && (t.sky_w_m2[11] - 260.0).abs() < 1.5);
    assert_eq!(t.cloud[11], 1.0);
    for hour in 0..HOURS {
        let parts = t.beam_w_m2[hour] * sun.elevation_rad[hour].sin() + t.sky_w_m2[hour];
        assert!((t.global_w_m2[hour] - parts).abs() < 0.05, "hour {hour}");
        assert!(t.beam_w_m2[hour] >= 0.0 && t.sky_w_m2[hour] >= 0.0);
        assert!((0.0..=1.0).contains(&t.cloud[hour]) && (1.0..=100.0).contains(&t.rh_pct[hour]));
    }
    // Beam square to the sun against the file's own, which no part of ours was made from: sums within 3 %.
    let theirs: f64 = GREENSBORO
        .lines()
        .skip(HEADINGS)
        .map(|l| number(l.split(',').nth(14).unwrap()))
        .sum();
    let ours: f64 = t.beam_w_m2.iter().map(|v| f64::from(*v)).sum();
    assert!((ours / theirs - 1.0).abs() < 0.03, "{ours} {theirs}");
    // The years keep to the file's months.
    let january = climate.normals.night_min_c.unwrap().months()[0].unwrap();
    let years = &w.years;
    let nights: f64 = (0..years.years)
        .flat_map(|y| (0..31).map(move |d| (y, d)))
        .map(|(y, d)| f64::from(years.night_min_c[years.at(y, d)]))
        .sum::<f64>()
        / (31 * years.years) as f64;
    assert!((nights - january).abs() < 0.05);
}

#[test]
fn a_site_with_other_clocks_gets_the_same_moments() {
    let file = good();
    let here = file.site.clone().unwrap().place(&Place::default());
    let ahead = Place {
        time_zone: "America/Halifax".to_owned(),
        ..here.clone()
    };
    let hours = |place: &Place| file.climate(&Climate::default(), place).hours.unwrap();
    let (a, b) = (hours(&here), hours(&ahead));
    let of = |h: &sillward::site::TypicalHours| h.air_tenth_c.clone().unwrap().values().to_vec();
    // Atlantic time is an hour ahead of eastern time.
    assert_eq!(of(&a)[5000], of(&b)[5001]);
}

#[test]
fn the_site_file_keeps_the_hours() {
    let mut site = sillward::site::samples::SAMPLES[0].read().unwrap().site;
    let next = good().climate(&site.climate, &site.place);
    site.climate = next.into();
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("with-hours.ron");
    sillward::site::file::write(&site, &path).unwrap();
    let size = fs::metadata(&path).unwrap().len();
    assert!(size < 300_000, "{size}");
    assert_eq!(
        sillward::site::file::read(&path).unwrap().site.climate,
        site.climate
    );
    // One hour changed shows as one line.
    let text = fs::read_to_string(&path).unwrap();
    let longest = text.lines().map(str::len).max().unwrap();
    assert!(longest < 5_000, "{longest}");
}

#[test]
fn missing_values_and_short_pauses_are_filled_and_said() {
    // Lines 2000 to 2002 gone: three hours; 30 temperatures missing by their code.
    let text = changed(|lines| {
        for line in &mut lines[4000..4030] {
            let mut f: Vec<&str> = line.split(',').collect();
            f[6] = "99.9";
            *line = f.join(",");
        }
        lines.drain(1999..2002);
    });
    let file = epw::read(&text).unwrap();
    let said = file.says.join("\n");
    assert!(said.contains("3 of 8,760 hours have no line"), "{said}");
    assert!(
        said.contains("dry bulb temperature is missing for 33 hours, 30 of them on end"),
        "{said}"
    );
    let whole = good();
    for m in 0..12 {
        let (a, b) = (
            file.statistics.night_min_c[m].unwrap(),
            whole.statistics.night_min_c[m].unwrap(),
        );
        assert!((a - b).abs() < 0.3, "{m}");
    }
    // A whole column of codes: the quantity is left to be estimated.
    let file = epw::read(&with_field(13, |_| "9999".to_owned())).unwrap();
    assert_eq!(file.hours.unwrap().global_w_m2, None);
    assert!(
        file.says
            .iter()
            .any(|s| s.contains("does not tell") && s.contains("radiation"))
    );
    // No humidity, but a dew point.
    let file = epw::read(&with_field(8, |_| "999".to_owned())).unwrap();
    let (a, b) = (
        file.statistics.rh_pct[6].unwrap(),
        whole.statistics.rh_pct[6].unwrap(),
    );
    assert!((a - b).abs() < 2.0, "{a} {b}");
}

#[test]
fn leap_days_are_left_out() {
    let text = changed(|lines| {
        let leap: Vec<String> = lines[HEADINGS + 58 * 24..HEADINGS + 59 * 24]
            .iter()
            .map(|l| l.replacen(",2,28,", ",2,29,", 1))
            .collect();
        lines.splice(HEADINGS + 59 * 24..HEADINGS + 59 * 24, leap);
    });
    let file = epw::read(&text).unwrap();
    assert!(file.says.iter().any(|s| s.contains("29 February")));
    assert_eq!(file.hours, good().hours);
}

#[test]
fn daylight_saving_is_suspected() {
    // 10 March 02:00 to 03:00 left out, 3 November 01:00 to 02:00 twice.
    let text = changed(|lines| {
        let november = HEADINGS + 306 * 24 + 1;
        lines.insert(november, lines[november].clone());
        lines.remove(HEADINGS + 68 * 24 + 2);
    });
    let file = epw::read(&text).unwrap();
    assert!(
        file.doubts.iter().any(|d| d.contains("daylight saving")),
        "{:?}",
        file.doubts
    );
}

#[test]
fn a_wrong_time_zone_is_suspected_and_the_shift_named() {
    let text = changed(|lines| lines[0] = lines[0].replace(",-5.0,", ",-8.0,"));
    let doubts = epw::read(&text).unwrap().doubts.join("\n");
    assert!(doubts.contains("3 h earlier it would fit"), "{doubts}");
    let text = changed(|lines| lines[0] = lines[0].replace(",-79.95,", ",79.95,"));
    let doubts = epw::read(&text).unwrap().doubts.join("\n");
    assert!(
        doubts.contains("does not go with the longitude"),
        "{doubts}"
    );
    let text = changed(|lines| lines[0] = lines[0].replace(",36.10,", ",-36.10,"));
    let doubts = epw::read(&text).unwrap().doubts.join("\n");
    assert!(doubts.contains("check its sign"), "{doubts}");
}

#[test]
fn a_file_that_breaks_off_is_refused() {
    let whole: &str = &GREENSBORO;
    says(&whole[..whole.len() / 2], &["line 4", "breaks off"]);
    let lines = changed(|lines| lines.truncate(4000));
    says(
        &lines,
        &[
            "line 4000",
            "3992 of 8,760 hours",
            "16 Jun, 08:00",
            "get it anew",
        ],
    );
    says(&changed(|l| l.truncate(HEADINGS)), &["0 of 8,760"]);
    says(&changed(|l| l.truncate(5)), &["DATA PERIODS"]);
}

#[test]
fn doubled_hours_are_refused_or_said() {
    let text = changed(|lines| lines.insert(500, lines[499].clone()));
    let doubts = epw::read(&text).unwrap().doubts.join("\n");
    assert!(doubts.contains("lines 500 and 501"), "{doubts}");
    let text = changed(|lines| {
        let again = lines[HEADINGS..].to_vec();
        lines.extend(again);
    });
    says(
        &text,
        &[
            "line 8769",
            "line 9 already",
            "8759 more",
            "take one year out",
        ],
    );
}

#[test]
fn long_pauses_are_refused() {
    let text = changed(|lines| {
        for line in &mut lines[1000..1100] {
            let mut f: Vec<&str> = line.split(',').collect();
            f[6] = "99.9";
            *line = f.join(",");
        }
    });
    says(
        &text,
        &["dry bulb temperature", "100 hours", "11 Feb", "fuller file"],
    );
}

#[test]
fn wrong_units_are_told() {
    let fahrenheit = |v: &str| format!("{:.1}", number(v) * 1.8 + 32.0);
    says(
        &with_field(6, fahrenheit),
        &["field 7 (dry bulb temperature)", "°F", "line"],
    );
    // A cool year in °F never leaves what is possible in °C: 40 °F is a fine 40.
    let cool = |v: &str| format!("{:.1}", (number(v) * 0.4) * 1.8 + 32.0);
    says(
        &with_field(6, cool),
        &[
            "field 7 (dry bulb temperature)",
            "read as °F it is",
            "convert the column",
        ],
    );
    says(
        &with_field(6, |v| format!("{:.0}", number(v) * 10.0)),
        &["is not possible", "tenths"],
    );
    says(
        &with_field(13, |v| format!("{:.1}", number(v) * 3.6)),
        &["field 14", "kJ"],
    );
    says(
        &with_field(13, |v| format!("{:.3}", number(v) * 0.0036)),
        &["Wh/m²", "MJ"],
    );
    says(
        &with_field(8, |v| format!("{:.2}", number(v) / 100.0)),
        &["field 9", "share of 1"],
    );
    let knots = epw::read(&with_field(21, |v| format!("{:.1}", number(v) * 3.6))).unwrap();
    assert!(
        knots.doubts.iter().any(|d| d.contains("km/h")),
        "{:?}",
        knots.doubts
    );
}

#[test]
fn damaged_lines_are_named() {
    let line = |n: usize, text: &str| changed(|lines| lines[n - 1] = text.to_owned());
    says(
        &line(100, "1988,1,4,20,0,,abc,1,50,,,,,0,0,0,,,,,0,1,5"),
        &["line 100", "field 7", "\"abc\" is not a number"],
    );
    says(
        &line(100, "1988,1,4,20,0,,1;5,1,50,,,,,0,0,0,,,,,0,1,5"),
        &["decimals take a point"],
    );
    says(
        &line(100, "1988,13,4,20,0,,1,1,50,,,,,0,0,0,,,,,0,1,5"),
        &["line 100", "field 2 (month)", "\"13\""],
    );
    says(
        &line(100, "1988,1,4,25,0,,1,1,50,,,,,0,0,0,,,,,0,1,5"),
        &["field 4 (hour)", "1 to 24"],
    );
    says(
        &line(100, "1988,4,31,20,0,,1,1,50,,,,,0,0,0,,,,,0,1,5"),
        &["April has no day 31"],
    );
    says(
        &line(100, "1988,1,4"),
        &["line 100", "3 fields, of which an hour has 35"],
    );
    says(&line(1, "DESIGN CONDITIONS,0"), &["line 1", "LOCATION"]);
    says(
        &line(1, "LOCATION,A,B,C,D,1,north,10,1,100"),
        &["line 1, field 7 (latitude)", "\"north\""],
    );
    says(
        &line(8, "DATA PERIODS,1,4,Data,Sunday, 1/ 1,12/31"),
        &["line 8", "records per hour", "\"4\""],
    );
    says("", &["line 1", "LOCATION"]);
}

#[test]
fn what_is_no_weather_file_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("file.epw");
    let told = |bytes: &[u8]| {
        fs::write(&path, bytes).unwrap();
        import::epw_file(&path).unwrap_err().to_string()
    };
    let rubbish: Vec<u8> = (0..20_000_u32)
        .map(|i| (i.wrapping_mul(2_654_435_761) >> 11) as u8)
        .collect();
    assert!(told(&rubbish).contains("not text"));
    assert!(told(b"PK\x03\x04rest").contains("unpack it"));
    assert!(told(b"").contains("LOCATION"));
    assert!(told(b"<html><body>Not found</body></html>").contains("LOCATION"));
    assert!(!import::looks_like_epw(&path));
    fs::write(&path, GREENSBORO.as_bytes()).unwrap();
    assert!(import::looks_like_epw(&path));
    // Two gigabytes that hold nothing: a file may be as long as it says without taking room.
    fs::File::create(&path)
        .unwrap()
        .set_len(2_000_000_000)
        .unwrap();
    let said = import::epw_file(&path).unwrap_err().to_string();
    assert!(
        said.contains("2.0 GB") && said.contains("under 2 MB"),
        "{said}"
    );
    assert!(
        import::epw_file(&folder.path().join("none"))
            .unwrap_err()
            .to_string()
            .contains("cannot be read")
    );
    // Western single bytes are no fault.
    let mut bytes = GREENSBORO.as_bytes().to_vec();
    bytes[9] = 0xd6;
    fs::write(&path, &bytes).unwrap();
    assert!(import::epw_file(&path).unwrap().source.contains('Ö'));
}

/// The sky's heat stands in field 13. Where it is there, nights are as clear as it says; zeros and long pauses are left out.
#[test]
fn the_heat_of_the_sky_is_taken_where_it_is_there() {
    let with_heat = |of: fn(usize) -> String| {
        let mut hour = 0;
        changed(|lines| {
            for line in &mut lines[HEADINGS..] {
                let mut fields: Vec<String> = line.split(',').map(str::to_owned).collect();
                fields[12] = of(hour);
                hour += 1;
                *line = fields.join(",");
            }
        })
    };
    let heat = |text: &str| {
        epw::read(text)
            .unwrap()
            .hours
            .unwrap()
            .sky_heat_w_m2
            .clone()
    };
    let all = heat(&with_heat(|_| "301".to_owned())).unwrap();
    assert_eq!((all.values()[0], all.values().len()), (301, HOURS));
    assert_eq!(heat(&with_heat(|_| "9999".to_owned())), None);
    assert_eq!(heat(&with_heat(|_| "0".to_owned())), None);
    assert_eq!(heat(&GREENSBORO), None);
    let paused = epw::read(&with_heat(|h| {
        if (3_000..3_200).contains(&h) {
            "9999".to_owned()
        } else {
            "320".to_owned()
        }
    }))
    .unwrap();
    assert!(paused.hours.unwrap().sky_heat_w_m2.is_none());
    assert!(
        paused
            .says
            .iter()
            .any(|s| s.contains("infrared") && s.contains("200 hours")),
        "{:?}",
        paused.says
    );
    says(&with_heat(|_| "3010".to_owned()), &["field 13", "Wh/m²"]);

    // A cold sky of 180 W/m² or one as warm as the air: the same spot's clear nights differ.
    let place = Place {
        latitude_deg: 36.1,
        longitude_deg: -79.95,
        elevation_m: 273.0,
        time_zone: "America/New_York".to_owned(),
        ..Place::default()
    };
    let sun = SunTable::of(&place);
    let coldest = |text: &str| {
        let climate = epw::read(text)
            .unwrap()
            .climate(&Climate::default(), &place);
        let weather = weather(&place, &climate, &sun, &Progress::new()).unwrap();
        let inputs = AirInputs {
            place: &place,
            sun: &sun,
            weather: &weather,
        };
        let (id, spot) = (Id::new("spot"), Spot::default());
        let air = spots_year(
            &inputs,
            &Site::default(),
            &[(&id, &spot)],
            &[],
            &Progress::new(),
        )
        .unwrap()
        .remove(0);
        air.air_c[..24 * 59]
            .iter()
            .map(|c| f64::from(*c))
            .sum::<f64>()
            / (24.0 * 59.0)
    };
    let (clear, closed) = (
        coldest(&with_heat(|_| "180".to_owned())),
        coldest(&with_heat(|_| "420".to_owned())),
    );
    assert!(clear < closed - 0.1, "{clear} {closed}");
}

#[test]
fn a_few_values_out_of_range_count_as_missing_and_many_as_a_wrong_unit() {
    let bad = |at: usize, value: &str, every: usize| {
        changed(|lines| {
            for line in lines[HEADINGS..].iter_mut().step_by(every) {
                let mut fields: Vec<&str> = line.split(',').collect();
                fields[at] = value;
                *line = fields.join(",");
            }
        })
    };
    let field = |at: usize, value: &str, line: usize| {
        changed(|lines| {
            let mut fields: Vec<&str> = lines[line - 1].split(',').collect();
            fields[at] = value;
            lines[line - 1] = fields.join(",");
        })
    };
    // One infrared value of a slip: told, and the rest of the file is as it was.
    let file = epw::read(&field(12, "4100", 500)).unwrap();
    let doubts = file.doubts.join("\n");
    assert!(
        doubts.contains("infrared radiation of the sky is out of range in 1 hour,")
            && doubts.contains("line 500"),
        "{doubts}"
    );
    let whole = good();
    assert_eq!(
        file.hours.as_ref().unwrap().air_tenth_c,
        whole.hours.as_ref().unwrap().air_tenth_c
    );
    let file = epw::read(&field(6, "75.5", 500)).unwrap();
    assert!(file.doubts.join("\n").contains("75.5 °C is not possible"));
    assert!(
        (file.statistics.day_max_c[0].unwrap() - whole.statistics.day_max_c[0].unwrap()).abs()
            < 0.1
    );
    // Eighty of them too, a tenth of the hours not.
    assert!(
        epw::read(&bad(6, "75.5", 110))
            .unwrap()
            .doubts
            .join("\n")
            .contains("80 hours")
    );
    says(&bad(6, "75.5", 10), &["line 9", "field 7", "not possible"]);
    // Of the sky's heat a third may be: clouds tell it nearly as well.
    let mut hour = 0;
    let third = changed(|lines| {
        for line in &mut lines[HEADINGS..] {
            let mut fields: Vec<&str> = line.split(',').collect();
            fields[12] = if hour % 3 == 0 { "4100" } else { "310" };
            hour += 1;
            *line = fields.join(",");
        }
    });
    let file = epw::read(&third).unwrap();
    assert!(file.doubts.join("\n").contains("2920 hours"));
    let heat = file.hours.as_ref().unwrap().sky_heat_w_m2.clone().unwrap();
    assert!(heat.values().iter().all(|w| *w == 310));
}
