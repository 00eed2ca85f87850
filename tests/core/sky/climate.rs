//! The typical year and the weather years give back the normals they were made from, wherever the site lies.

use std::sync::LazyLock;

use sillward::{
    base::{
        Progress,
        calendar::{DAYS, Day, HOURS, MONTH_STARTS},
    },
    climate::{Weather, weather},
    site::{Climate, Monthly, Normals, Place},
    sun::{SunTable, extraterrestrial::daily_mj_m2},
};

fn place(latitude_deg: f64, longitude_deg: f64, elevation_m: f64, zone: &str) -> Place {
    Place {
        latitude_deg,
        longitude_deg,
        elevation_m,
        time_zone: zone.to_owned(),
        ..Place::default()
    }
}

/// Invented normals of a few sorts of climate; radiation left to the estimate in some.
fn sites() -> Vec<(&'static str, Place, Normals)> {
    let temperate = Normals {
        night_min_c: Some(
            [
                -2.0, -1.5, 1.4, 4.6, 8.9, 12.1, 14.2, 13.8, 10.2, 6.4, 1.8, -0.9,
            ]
            .into(),
        ),
        day_max_c: Some(
            [
                3.2, 5.2, 9.8, 14.1, 18.7, 22.3, 24.6, 24.0, 19.3, 13.8, 7.3, 4.0,
            ]
            .into(),
        ),
        night_min_sd_k: Some([4.2, 4.0, 3.4, 3.1, 3.0, 2.8, 2.5, 2.5, 2.9, 3.6, 3.8, 4.1].into()),
        radiation_mj_m2_d: Some(
            [
                3.6, 6.4, 11.0, 15.4, 18.4, 20.2, 20.6, 17.3, 12.4, 7.4, 4.1, 2.9,
            ]
            .into(),
        ),
        rain_mm: Some(
            [
                60.0, 55.0, 70.0, 80.0, 110.0, 120.0, 115.0, 120.0, 90.0, 80.0, 75.0, 70.0,
            ]
            .into(),
        ),
        rain_days: Some(
            [
                10.0, 9.5, 11.0, 11.0, 12.5, 12.5, 11.5, 11.0, 9.5, 9.5, 10.0, 10.5,
            ]
            .into(),
        ),
        ..Normals::default()
    };
    let mild_south = Normals {
        night_min_c: Some(
            [
                13.0, 13.2, 11.4, 9.1, 7.2, 5.4, 4.6, 5.0, 6.3, 7.9, 9.7, 11.5,
            ]
            .into(),
        ),
        day_max_c: Some(
            [
                26.0, 26.1, 23.8, 20.4, 17.0, 14.2, 13.6, 14.9, 17.2, 19.7, 22.0, 24.2,
            ]
            .into(),
        ),
        sunshine_h: Some([8.5, 7.8, 6.8, 5.6, 4.4, 3.9, 4.2, 5.1, 5.7, 6.6, 7.2, 8.0].into()),
        ..Normals::default()
    };
    let humid_tropics = Normals {
        night_min_c: Some([24.0; 12].into()),
        day_max_c: Some([31.0; 12].into()),
        rh_pct: Some([84.0; 12].into()),
        rain_mm: Some([240.0; 12].into()),
        rain_days: Some([17.0; 12].into()),
        ..Normals::default()
    };
    let high_dry = Normals {
        night_min_c: Some(
            [
                3.5, 3.4, 3.0, 0.5, -4.0, -7.5, -8.0, -6.0, -2.0, 0.5, 2.0, 3.2,
            ]
            .into(),
        ),
        day_max_c: Some(
            [
                15.5, 15.4, 15.6, 15.9, 15.2, 14.3, 14.2, 15.2, 16.2, 17.2, 17.5, 16.6,
            ]
            .into(),
        ),
        rain_mm: Some(
            [
                120.0, 100.0, 70.0, 25.0, 5.0, 0.5, 0.0, 5.0, 20.0, 35.0, 45.0, 80.0,
            ]
            .into(),
        ),
        rain_days: Some(
            [
                16.0, 14.0, 11.0, 5.0, 1.5, 0.2, 0.0, 1.5, 4.0, 6.0, 7.0, 12.0,
            ]
            .into(),
        ),
        ..Normals::default()
    };
    let polar = Normals {
        night_min_c: Some(
            [
                -16.0, -17.0, -17.5, -13.0, -5.5, 0.5, 4.0, 3.0, -1.0, -7.0, -11.0, -14.0,
            ]
            .into(),
        ),
        day_max_c: Some(
            [
                -9.0, -10.0, -10.0, -6.0, 0.0, 5.5, 9.0, 7.5, 3.0, -2.0, -5.5, -7.5,
            ]
            .into(),
        ),
        ..Normals::default()
    };
    vec![
        (
            "temperate",
            place(47.4, 8.5, 450.0, "Europe/Zurich"),
            temperate,
        ),
        (
            "south",
            place(-37.8, 145.0, 60.0, "Australia/Melbourne"),
            mild_south,
        ),
        (
            "tropics",
            place(1.3, 103.8, 15.0, "Asia/Singapore"),
            humid_tropics,
        ),
        (
            "high plateau",
            place(-16.5, -68.2, 4000.0, "America/La_Paz"),
            high_dry,
        ),
        (
            "polar",
            place(78.2, 15.6, 20.0, "Arctic/Longyearbyen"),
            polar,
        ),
        (
            "clock half a day off",
            place(52.0, 178.0, 0.0, "UTC"),
            Normals::default(),
        ),
        ("pole", place(90.0, 0.0, 0.0, "UTC"), Normals::default()),
    ]
}

fn computed(place: &Place, normals: Normals) -> (SunTable, Weather) {
    let sun = SunTable::of(place);
    let climate = Climate {
        normals,
        ..Climate::default()
    };
    let weather = weather(place, &climate, &sun, &Progress::new()).unwrap();
    (sun, weather)
}

/// Each site with its sun and weather, computed once for all tests.
/// A place by name, what is known of its weather, and what was made of it.
type Computed = (&'static str, Place, Normals, SunTable, Weather);

static COMPUTED: LazyLock<Vec<Computed>> = LazyLock::new(|| {
    sites()
        .into_iter()
        .map(|(name, place, normals)| {
            let (sun, weather) = computed(&place, normals.clone());
            (name, place, normals, sun, weather)
        })
        .collect()
});

fn month_of_days(month0: usize) -> std::ops::Range<usize> {
    MONTH_STARTS[month0]..MONTH_STARTS[month0 + 1]
}

fn mean(values: impl Iterator<Item = f64>) -> f64 {
    let all: Vec<f64> = values.collect();
    all.iter().sum::<f64>() / all.len() as f64
}

#[track_caller]
fn near(what: &str, value: f64, wanted: f64, tolerance: f64) {
    assert!(
        (value - wanted).abs() <= tolerance,
        "{what}: {value} is not {wanted} ± {tolerance}"
    );
}

#[test]
fn verify_the_typical_year_gives_back_its_normals() {
    for (name, _, _, sun, weather) in COMPUTED.iter() {
        let typical = &weather.typical;
        for m in 0..12 {
            let what = |quantity: &str| format!("{name}, month {}, {quantity}", m + 1);
            let days = month_of_days(m);
            let air = |d: usize| typical.air_c[d * 24..d * 24 + 24].iter().copied();
            let low = mean(
                days.clone()
                    .map(|d| f64::from(air(d).fold(f32::MAX, f32::min))),
            );
            let high = mean(
                days.clone()
                    .map(|d| f64::from(air(d).fold(f32::MIN, f32::max))),
            );
            near(&what("minimum"), low, weather.normals.night_min_c[m], 0.1);
            near(&what("maximum"), high, weather.normals.day_max_c[m], 0.1);

            let hours = days.start * 24..days.end * 24;
            let monthly = |values: &[f32]| mean(hours.clone().map(|h| f64::from(values[h])));
            let outside = mean(hours.clone().map(|h| sun.extraterrestrial_level_w_m2(h)));
            if outside > 4.0 {
                let wanted = weather.normals.radiation_mj_m2_d[m] / 0.0864;
                near(
                    &what("radiation"),
                    monthly(&typical.global_w_m2),
                    wanted,
                    0.01 * wanted,
                );
            }
            near(
                &what("wind"),
                monthly(&typical.wind_m_s),
                weather.normals.wind_m_s[m],
                0.02,
            );
            near(
                &what("humidity"),
                monthly(&typical.rh_pct),
                weather.normals.rh_pct[m],
                0.5,
            );
            let rain: f64 = days.map(|d| f64::from(typical.rain_mm[d])).sum();
            near(&what("rain"), rain, weather.normals.rain_mm[m], 0.05);
        }
    }
}

#[test]
fn verify_every_hour_is_possible() {
    for (name, _, _, sun, weather) in COMPUTED.iter() {
        let t = &weather.typical;
        for series in [
            &t.air_c,
            &t.rh_pct,
            &t.wind_m_s,
            &t.global_w_m2,
            &t.beam_w_m2,
            &t.sky_w_m2,
            &t.cloud,
        ] {
            assert_eq!(series.len(), HOURS, "{name}");
            assert!(series.iter().all(|v| v.is_finite()), "{name}");
        }
        assert_eq!(t.rain_mm.len(), DAYS);
        for hour in 0..HOURS {
            let (global, beam, sky) = (t.global_w_m2[hour], t.beam_w_m2[hour], t.sky_w_m2[hour]);
            assert!(sky >= 0.0 && beam >= 0.0 && (0.0..=1.0).contains(&t.cloud[hour]));
            assert!((0.0..=100.0).contains(&t.rh_pct[hour]) && t.wind_m_s[hour] >= 0.0);
            let parts = beam * sun.elevation_rad[hour].sin() + sky;
            assert!((global - parts).abs() < 0.05, "{name}, hour {hour}");
            if sun.up_share[hour] == 0.0 {
                assert_eq!(global, 0.0, "{name}, hour {hour}");
            }
            // On high plateaus beams of 1,200 W/m² are measured (common knowledge of solar stations, from memory).
            assert!(beam <= 1200.0 && global <= 1400.0, "{name}, hour {hour}");
        }
    }
}

#[test]
fn verify_the_pooled_weather_years_give_back_the_normals() {
    for (name, place, normals, _, weather) in COMPUTED.iter() {
        let spreads_given = normals.night_min_sd_k.is_some();
        let years = &weather.years;
        assert_eq!(years.years, 200);
        for m in 0..12 {
            let what = |quantity: &str| format!("{name}, month {}, {quantity}", m + 1);
            let pool: Vec<usize> = (0..years.years)
                .flat_map(|y| month_of_days(m).map(move |d| y * DAYS + d))
                .collect();
            let pooled = |values: &[f32]| mean(pool.iter().map(|i| f64::from(values[*i])));
            let night = pooled(&years.night_min_c);
            near(
                &what("minimum"),
                night,
                weather.normals.night_min_c[m],
                0.02,
            );
            near(
                &what("maximum"),
                pooled(&years.day_max_c),
                weather.normals.day_max_c[m],
                0.02,
            );
            near(
                &what("wind"),
                pooled(&years.wind_m_s),
                weather.normals.wind_m_s[m],
                0.02,
            );
            let rain = pooled(&years.rain_mm) * month_of_days(m).len() as f64;
            let wanted = weather.normals.rain_mm[m];
            near(&what("rain"), rain, wanted, 0.3 + 0.02 * wanted);
            let wanted = weather.normals.radiation_mj_m2_d[m];
            // Where the sun barely rises, the estimate from the range of temperature can exceed a clear sky.
            if wanted > 1.0 {
                let radiation = mean(pool.iter().map(|i| {
                    f64::from(years.clearness[*i]) * daily_mj_m2(place.latitude_deg, i % DAYS)
                }));
                near(&what("radiation"), radiation, wanted, 0.01 * wanted);
            }
            if spreads_given {
                let sd = mean(
                    pool.iter()
                        .map(|i| (f64::from(years.night_min_c[*i]) - night).powi(2)),
                )
                .sqrt();
                let wanted = weather.normals.night_min_sd_k[m];
                near(&what("spread"), sd, wanted, 0.08 * wanted);
            }
        }
        for i in 0..years.night_min_c.len() {
            assert!(years.day_max_c[i] > years.night_min_c[i], "{name}, {i}");
            assert!((0.0..0.9).contains(&years.clearness[i]), "{name}, {i}");
        }
    }
}

#[test]
fn equal_seeds_give_equal_years() {
    let (_, place, normals) = sites().remove(0);
    let a = &COMPUTED[0].4;
    let (_, b) = computed(&place, normals.clone());
    assert_eq!(a.years, b.years);
    assert_eq!(a.typical, b.typical);
    let other = Climate {
        normals,
        seed: 2,
        years: 5,
        ..Climate::default()
    };
    let c = weather(&place, &other, &SunTable::of(&place), &Progress::new()).unwrap();
    assert_eq!(c.years.years, 30);
    assert_ne!(a.years.night_min_c[..DAYS], c.years.night_min_c[..DAYS]);
}

#[test]
fn what_is_missing_is_estimated_and_said() {
    let (_, place, normals) = sites().remove(0);
    let methods = |normals: Normals| computed(&place, normals).1.methods.join("\n");
    let said = methods(normals.clone());
    assert!(said.contains("Radiation is the normal given."), "{said}");
    let said = methods(Normals {
        radiation_mj_m2_d: None,
        sunshine_h: Some([4.0; 12].into()),
        ..normals.clone()
    });
    assert!(said.contains("sunshine hours given"), "{said}");
    let said = methods(Normals {
        radiation_mj_m2_d: None,
        ..normals.clone()
    });
    assert!(said.contains("daily range of temperature"), "{said}");
    let said = methods(Normals {
        night_min_c: None,
        ..normals.clone()
    });
    assert!(said.contains("Only one of"), "{said}");
    let said = methods(Normals::default());
    assert!(said.contains("guessed from latitude"), "{said}");
    // Twelve times 60 MJ a day cannot be: the sun outside the air gives 45 at most.
    let said = methods(Normals {
        radiation_mj_m2_d: Some([60.0; 12].into()),
        ..normals
    });
    assert!(said.contains("check its unit"), "{said}");
}

#[test]
fn nonsense_in_gives_numbers_out() {
    let (_, mut place, _) = sites().remove(0);
    for value in [f64::NAN, f64::INFINITY, -1e9, 1e9] {
        let odd = Some(Monthly::from([value; 12]));
        let normals = Normals {
            night_min_c: odd,
            day_max_c: odd,
            night_min_sd_k: odd,
            day_max_sd_k: odd,
            rh_pct: odd,
            dew_point_c: odd,
            radiation_mj_m2_d: odd,
            sunshine_h: odd,
            rain_mm: odd,
            rain_days: odd,
            wind_m_s: odd,
            turbidity_linke: odd,
        };
        place.latitude_deg = value;
        place.longitude_deg = value;
        place.elevation_m = value;
        let climate = Climate {
            normals,
            record_low_c: Some(value),
            years: 0,
            ..Climate::default()
        };
        let w = weather(&place, &climate, &SunTable::of(&place), &Progress::new()).unwrap();
        for series in [
            &w.typical.air_c,
            &w.typical.rh_pct,
            &w.typical.global_w_m2,
            &w.typical.beam_w_m2,
            &w.typical.cloud,
            &w.typical.rain_mm,
            &w.years.night_min_c,
            &w.years.clearness,
            &w.years.wind_m_s,
        ] {
            assert!(series.iter().all(|v| v.is_finite()), "{value}");
        }
    }
    // Without a sun table there is no light, but still air.
    let dark = weather(
        &Place::default(),
        &Climate::default(),
        &SunTable::default(),
        &Progress::new(),
    )
    .unwrap();
    assert!(dark.typical.global_w_m2.iter().all(|g| *g == 0.0));
}

#[test]
fn the_record_low_moves_the_cold_tail_only() {
    let (_, place, normals) = sites().remove(0);
    let years = |record_low_c| {
        let climate = Climate {
            normals: normals.clone(),
            record_low_c,
            ..Climate::default()
        };
        let w = weather(&place, &climate, &SunTable::of(&place), &Progress::new()).unwrap();
        (w.years, w.methods.join("\n"))
    };
    let (plain, _) = years(None);
    let median = |minima: &[f32]| minima[minima.len() / 2];
    for record in [-14.0, -24.0] {
        let (fitted, said) = years(Some(record));
        assert!(said.contains("record"), "{said}");
        let minima = fitted.annual_minima_c();
        // Undercut in about 200/30 of 200 years.
        let colder = minima.iter().filter(|c| f64::from(**c) < record).count();
        assert!((4..=10).contains(&colder), "{record}: {colder}, {said}");
        let moved = median(&minima) - median(&plain.annual_minima_c());
        assert!(
            moved.signum() == (record as f32 + 19.0).signum(),
            "{record}: {moved}"
        );
        // Mean and ordinary nights stay.
        let share = |y: &sillward::climate::WeatherYears| {
            y.night_min_c.iter().filter(|c| **c > 0.0).count() as f64 / y.night_min_c.len() as f64
        };
        assert!((share(&fitted) - share(&plain)).abs() < 0.01);
    }
}

#[test]
fn frost_dates_by_chance() {
    for (index, earliest, latest) in [
        (0, Day::new(270), Day::new(120)),
        (1, Day::new(120), Day::new(260)),
    ] {
        let (name, _, _, _, weather) = &COMPUTED[index];
        let years = &weather.years;
        let limit = if index == 0 { 0.0 } else { 2.0 };
        let early = years.first_cold_night(limit, 0.1).unwrap();
        let usual = years.first_cold_night(limit, 0.5).unwrap();
        let late = years.last_cold_night(limit, 0.1).unwrap();
        // Zurich's first frost is usual in late October, Melbourne's cold nights begin in autumn; wide bounds.
        assert!(
            early < usual && early > earliest.plus(-60),
            "{name}: {early}"
        );
        assert!(late < latest.plus(60), "{name}: {late}");
        let from = years.warmest_day();
        let days = |to: Day| (to.index() + DAYS - from.index()) % DAYS + 1;
        // The chance that a cold night has come by the date is the chance asked for.
        let by_then = years.chance_within(limit, from, days(early));
        assert!((by_then - 0.1).abs() < 0.025, "{name}: {by_then}");
        let by_then = years.chance_within(limit, from, days(usual));
        assert!((by_then - 0.5).abs() < 0.04, "{name}: {by_then}");
        let rest = (from.index() + DAYS - late.index() - 1) % DAYS;
        let after = years.chance_within(limit, late.plus(1), rest);
        assert!(after <= 0.1, "{name}: {after}");
        let (low, high) = years.chance_band(0.1);
        assert!(low > 0.06 && low < 0.1 && high > 0.1 && high < 0.15);
    }
    // The humid tropics have no frost in any year, which shows no more than that it is rare.
    let years = &COMPUTED[2].4.years;
    assert_eq!(years.first_cold_night(0.0, 0.01), None);
    let (low, high) = years.chance_band(years.chance_within(0.0, Day::new(0), DAYS));
    assert!(low == 0.0 && high > 0.01);
}

/// Each source of radiation in turn: what the grower gave, sunshine hours, the range of temperature. The hours of the
/// typical year must add up to the normals they were made from, and the sentence to the grower must name the source.
#[test]
fn validate_monthly_radiation_of_the_typical_year_by_each_source() {
    let mut off = Vec::new();
    let (_, zurich, temperate) = sites().remove(0);
    let southern = place(-43.5, 172.6, 10.0, "Pacific/Auckland");
    for place in [zurich, southern] {
        for (source, sentence) in [
            ("given", "Radiation is the normal given."),
            ("sunshine", "sunshine hours given"),
            ("range", "daily range of temperature"),
        ] {
            let south = place.latitude_deg < 0.0;
            let turned = |v: Option<Monthly>| {
                let mut months = v?.months();
                if south {
                    months.rotate_left(6);
                }
                Monthly::of(months)
            };
            let normals = Normals {
                night_min_c: turned(temperate.night_min_c),
                day_max_c: turned(temperate.day_max_c),
                radiation_mj_m2_d: turned(temperate.radiation_mj_m2_d)
                    .filter(|_| source == "given"),
                sunshine_h: turned(Some(
                    [1.7, 3.0, 4.4, 5.5, 6.0, 6.6, 7.2, 6.7, 5.2, 3.4, 2.0, 1.4].into(),
                ))
                .filter(|_| source == "sunshine"),
                ..Normals::default()
            };
            let (_, weather) = computed(&place, normals.clone());
            let said = weather.methods.join("\n");
            assert!(said.contains(sentence), "{source}: {said}");
            for m in 0..12 {
                // The estimates themselves are held to FAO-56's worked examples beside their code.
                let estimated = weather.normals.radiation_mj_m2_d[m];
                let wanted = normals
                    .radiation_mj_m2_d
                    .and_then(|given| given.months()[m])
                    .unwrap_or(estimated);
                let hours = MONTH_STARTS[m] * 24..MONTH_STARTS[m + 1] * 24;
                let days = hours.len() as f64 / 24.0;
                let sum: f64 = weather.typical.global_w_m2[hours]
                    .iter()
                    .map(|g| f64::from(*g) * 0.0036)
                    .sum();
                off.push((
                    100.0 * (sum / days / wanted - 1.0),
                    format!(
                        "{source}, {}, month {}: {wanted:.2}",
                        place.time_zone,
                        m + 1
                    ),
                ));
            }
        }
    }
    crate::accuracy::Check::new(
        "Sky",
        "monthly radiation of the typical year",
        "normals given, or estimated from sunshine or temperature; two hemispheres",
        (1.0, "%"),
    )
    .hold(&off);
}

/// Share of days whose clearness index is at most so much, by the month's mean index: the curves of Liu & Jordan (1960)
/// as tabulated in Duffie & Beckman, ch. 2 (values from memory). Where a month's days lie differs from place to place by
/// about a tenth of the days (Bendt, Collares-Pereira & Rabl 1981 on 90 stations). Summer months: in winter the air of a
/// clear day lets less through than the curves' all-year means.
#[test]
fn validate_how_clear_days_are_spread_against_published_curves() {
    const UP_TO: [f64; 4] = [0.20, 0.32, 0.44, 0.56];
    const CURVES: [(f64, [f64; 4]); 3] = [
        (0.3, [0.395, 0.579, 0.748, 0.861]),
        (0.4, [0.249, 0.379, 0.545, 0.719]),
        (0.5, [0.121, 0.234, 0.358, 0.509]),
    ];
    let here = place(40.0, -4.0, 300.0, "Europe/Madrid");
    let mut off = Vec::new();
    for (index, curve) in CURVES {
        let outside = |m: usize| mean(month_of_days(m).map(|d| daily_mj_m2(40.0, d)));
        let normals = Normals {
            radiation_mj_m2_d: Some(std::array::from_fn(|m| index * outside(m)).into()),
            ..Normals::default()
        };
        let years = computed(&here, normals).1.years;
        for (limit, wanted) in UP_TO.into_iter().zip(curve) {
            let days: Vec<f64> = (0..years.years)
                .flat_map(|y| (4..8).flat_map(month_of_days).map(move |d| (y, d)))
                .map(|(y, d)| f64::from(years.clearness[years.at(y, d)]))
                .collect();
            let share = days.iter().filter(|k| **k <= limit).count() as f64 / days.len() as f64;
            off.push((
                100.0 * (share - wanted),
                format!("mean index {index}, days up to {limit}: {share:.3} for {wanted}"),
            ));
        }
    }
    crate::accuracy::Check::new(
        "Sky",
        "share of days up to a clearness",
        "curves of Liu & Jordan 1960",
        (10.0, "% of days"),
    )
    .mean_within(4.0)
    .hold(&off);
}

#[test]
fn months_that_are_missing_are_taken_from_those_about_them_and_named() {
    let (_, place, whole) = sites().remove(0);
    let without = |row: Option<Monthly>, missing: &[usize]| {
        let mut months = row.unwrap().months();
        for m in missing {
            months[*m] = None;
        }
        Monthly::of(months)
    };
    let (_, all) = computed(&place, whole.clone());
    let gappy = Normals {
        night_min_c: without(whole.night_min_c, &[2, 6]),
        day_max_c: without(whole.day_max_c, &[2]),
        radiation_mj_m2_d: without(whole.radiation_mj_m2_d, &[5]),
        rain_mm: without(whole.rain_mm, &[8]),
        rain_days: without(whole.rain_days, &[8, 9]),
        ..whole.clone()
    };
    let (_, some) = computed(&place, gappy);
    let said = some.methods.join("\n");
    for part in [
        "given but for March",
        "good to about 1.5 K",
        "The night minimum of July is not given",
        "the estimates of June are put right",
        "days with rain of October are estimated",
        "September lies in a straight line",
    ] {
        assert!(said.contains(part), "{part}: {said}");
    }
    let (a, b) = (&all.normals, &some.normals);
    near("March night", b.night_min_c[2], a.night_min_c[2], 1.5);
    near("March day", b.day_max_c[2], a.day_max_c[2], 1.5);
    near("July night", b.night_min_c[6], a.night_min_c[6], 1.0);
    near(
        "June light",
        b.radiation_mj_m2_d[5],
        a.radiation_mj_m2_d[5],
        2.0,
    );
    near("September rain", b.rain_mm[8], 100.0, 1e-9);
    // What is given is left alone.
    assert_eq!(b.night_min_c[1], a.night_min_c[1]);
    assert_eq!(b.rain_mm[7], a.rain_mm[7]);
}

#[test]
fn some_dew_points_say_so_and_how_the_others_came_about() {
    let (_, place, whole) = sites().remove(0);
    let dew = |months: [Option<f64>; 12]| Normals {
        dew_point_c: Monthly::of(months),
        ..whole.clone()
    };
    let nights = whole.night_min_c.unwrap().whole().unwrap();
    // Two kelvin under the night everywhere; of two months it is not known.
    let mut months = nights.map(|n| Some(n - 2.0));
    let (_, all) = computed(&place, dew(months));
    months[3] = None;
    months[10] = None;
    let (_, some) = computed(&place, dew(months));
    let said = some.methods.join("\n");
    assert!(
        said.contains("Dew points are not given for April and November"),
        "{said}"
    );
    assert!(!said.contains("by taking the night minimum"), "{said}");
    for m in [3, 10] {
        near(
            "humidity",
            some.normals.rh_pct[m],
            all.normals.rh_pct[m],
            5.0,
        );
    }
    // Humidity of some months, dew points of others, and one month of neither.
    let mut rh = [Some(70.0); 12];
    (rh[0], rh[1]) = (None, None);
    months[1] = None;
    let (_, mixed) = computed(
        &place,
        Normals {
            rh_pct: Monthly::of(rh),
            ..dew(months)
        },
    );
    let said = mixed.methods.join("\n");
    assert!(
        said.contains("but for January and February; of January it is worked out")
            && said.contains("of February it is estimated"),
        "{said}"
    );
    assert_eq!(mixed.normals.rh_pct[5], 70.0);
}
