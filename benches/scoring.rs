//! How long it takes to score a whole collection: 60 plants on 30 spots in 52 weeks, on one core, from light and air
//! that are there. No two plants share a kind and a calendar, which would spare scoring them twice.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use sillward::{
    air::AirWeek,
    base::{Hemisphere, Id, Week},
    needs::{Kind, library},
    scoring::{Scores, SpotWeek, score},
    site::{Plant, Site, StageShift},
    stages::StageCalendar,
};

/// Invented weather of a temperate garden: spots from sun to shade, half of them indoors.
fn spots() -> Vec<(Id, Vec<SpotWeek>)> {
    (0..30_u32)
        .map(|s| {
            let indoors = s % 2 == 1;
            let share = 0.1 + f64::from(s) / 40.0;
            let weeks = Week::all()
                .map(|week| {
                    let season =
                        ((week.index() as f64 - 28.0) / 52.0 * std::f64::consts::TAU).cos();
                    let dli = (25.0 + 20.0 * season) * share;
                    let day_c = if indoors { 20.0 } else { 12.0 + 11.0 * season };
                    let night_c = if indoors { 15.0 } else { 5.0 + 8.0 * season };
                    let years = |middle: f64| -> Vec<f32> {
                        (0..30_u32)
                            .map(|y| (middle + f64::from(y) * 0.15 - 2.2) as f32)
                            .collect()
                    };
                    SpotWeek {
                        dli: Some(dli),
                        upright_dli: Some(dli * 0.9),
                        dli_band: Some((dli * 0.7, dli * 1.3)),
                        clear_peak_ppfd: Some((1200.0 + 700.0 * season) * share),
                        clear_sun_h: Some(4.0),
                        one_sided: Some(0.3),
                        air: Some(AirWeek {
                            day_c,
                            max_c: day_c + 3.0,
                            night_c,
                            day_night_k: day_c + 3.0 - night_c,
                            rh_day_pct: 55.0,
                            rh_pct: 60.0,
                            vpd_kpa: 0.45 * 0.6108 * (17.27 * day_c / (day_c + 237.3)).exp(),
                            speed_m_s: if indoors { 0.1 } else { 0.9 },
                            draught_m_s: if s % 7 == 1 { 0.6 } else { 0.0 },
                            coldest_leaf_c: years(night_c - 6.0),
                            coldest_air_c: years(night_c - 4.0),
                            night_means_c: years(night_c),
                            hottest_air_c: years(day_c + 6.0),
                            day_night_means_k: years(day_c + 3.0 - night_c),
                            ..AirWeek::default()
                        }),
                        night_sd_k: 1.5,
                        indoors,
                        roots_over_air_k: Some(6.0 * share),
                        sky_view: share,
                    }
                })
                .collect();
            (Id::new(&format!("spot-{s:02}")), weeks)
        })
        .collect()
}

/// Each plant keeps its own year: its first stage comes some days sooner or later than its kind's.
fn plants() -> Vec<(Id, &'static Kind, StageCalendar)> {
    let today = chrono::NaiveDate::from_ymd_opt(2026, 1, 1).unwrap_or_default();
    let mut site = Site::default();
    let kinds: Vec<(&Id, &Kind)> = library::kinds().iter().map(|(id, k)| (id, &**k)).collect();
    for p in 0..60 {
        let (id, kind) = kinds[p * 7 % kinds.len()];
        let plant = Plant {
            kind: id.clone(),
            stage_shift: vec![StageShift {
                stage: kind.stages[0].stage,
                days: p as i32 - 30,
            }],
            ..Plant::default()
        };
        site.plants.put(Id::new(&format!("plant-{p:02}")), plant);
    }
    site.plants
        .iter()
        .filter_map(|(id, plant)| {
            let kind = library::kinds().get(&plant.kind)?;
            let calendar = StageCalendar::of_plant(&site, id, None, today)?;
            Some((id.clone(), &**kind, calendar))
        })
        .collect()
}

fn scoring(c: &mut Criterion) {
    let spots = spots();
    let kinds: Vec<&Kind> = library::kinds().values().collect();
    let plants = plants();
    let offered: Vec<(Id, &[SpotWeek])> = spots
        .iter()
        .map(|(id, weeks)| (id.clone(), weeks.as_slice()))
        .collect();
    let one_core = rayon::ThreadPoolBuilder::new()
        .num_threads(1)
        .build()
        .expect("one thread can be had");

    c.bench_function("one score", |b| {
        let week = Week::new(45);
        b.iter(|| {
            score(
                black_box(kinds[12]),
                Hemisphere::North,
                week,
                black_box(&spots[4].1[45]),
            )
        });
    });
    c.bench_function("60 plants on 30 spots in 52 weeks, one core", |b| {
        one_core.install(|| {
            b.iter_with_large_drop(|| Scores::by_calendar(black_box(&plants), black_box(&offered)));
        });
    });
}

criterion_group!(benches, scoring);
criterion_main!(benches);
