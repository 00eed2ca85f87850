//! Speed of light: rays, a year at spots, rooms, maps.

mod common;

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use sillward::{
    base::{Id, Progress, Pt, Week},
    light::{
        Scene,
        map::{self, Grid},
        spots_year,
    },
    site::Spot,
};

fn light(c: &mut Criterion) {
    let site = common::site();
    let skies = common::Skies::over(&site);
    let scene = Scene::of(&site);
    let inputs = skies.inputs(&site, &scene);
    c.bench_function("scene of 60 bodies", |b| {
        b.iter(|| Scene::of(black_box(&site)));
    });
    c.bench_function("10,000 beams on one core", |b| {
        b.iter(|| {
            (0..10_000)
                .map(|k| {
                    let at = Pt(f64::from(k % 100) * 0.9, f64::from(k / 100) * 0.66);
                    scene.clear_share(6, at, 0.5, f64::from(k) * 0.01, 0.6)
                })
                .sum::<f64>()
        });
    });
    let spots: Vec<(&Id, &Spot)> = site.spots.iter().map(|(id, s)| (id, &**s)).collect();
    let mut year = c.benchmark_group("year");
    year.sample_size(10);
    year.bench_function("15 spots outdoors, 5 in a room", |b| {
        b.iter(|| spots_year(&inputs, &site, &spots, &Progress::new()));
    });
    year.bench_function("5 spots in a room", |b| {
        b.iter(|| spots_year(&inputs, &site, &spots[..5], &Progress::new()));
    });
    let grid = |columns, rows, cell_m| Grid {
        origin: Pt(-5.0, -5.0),
        cell_m,
        columns,
        rows,
        height_m: 0.0,
        storey_m: 0.0,
    };
    let fine = grid(300, 200, 0.3);
    year.bench_function("sunlight on 60,000 cells", |b| {
        b.iter(|| map::sunlight(&scene, 6, 2.5, 0.6, &fine));
    });
    let coarse = grid(100, 100, 0.8);
    year.bench_function("a week's light on 10,000 cells", |b| {
        b.iter(|| map::dli(&inputs, Week::new(20), &coarse, &Progress::new()));
    });
    year.finish();
}

criterion_group!(benches, light);
criterion_main!(benches);
