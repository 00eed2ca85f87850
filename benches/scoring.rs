//! How long it takes to score a whole collection: 60 plants of many kinds on 30 spots in 52 weeks, on one core.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use sillward::{
    air::AirWeek,
    base::{Hemisphere, Id, Week},
    needs::{Kind, library},
    scoring::{Scores, SpotWeek, score},
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
                        sky_view: share,
                    }
                })
                .collect();
            (Id::new(&format!("spot-{s:02}")), weeks)
        })
        .collect()
}

fn scoring(c: &mut Criterion) {
    let spots = spots();
    let kinds: Vec<&Kind> = library::kinds().values().collect();
    let plants: Vec<(Id, &Kind)> = (0..60)
        .map(|p| {
            (
                Id::new(&format!("plant-{p:02}")),
                kinds[p * 7 % kinds.len()],
            )
        })
        .collect();
    let offered: Vec<(Id, &[SpotWeek])> = spots
        .iter()
        .map(|(id, weeks)| (id.clone(), weeks.as_slice()))
        .collect();

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
    c.bench_function("60 plants on 30 spots in 52 weeks", |b| {
        b.iter(|| Scores::of(black_box(&plants), Hemisphere::North, black_box(&offered)));
    });
}

criterion_group!(benches, scoring);
criterion_main!(benches);
