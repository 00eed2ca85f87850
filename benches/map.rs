//! Speed of the light map: 10,000 cells among 60 bodies, a season's light.

mod common;

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use sillward::{
    base::{Hemisphere, Id, Progress, Pt, Season},
    light::{
        Scene,
        map::{Ask, Grid, Quantity, Span, draw, sunlight},
    },
    site::Tree,
};

fn map(c: &mut Criterion) {
    let site = common::bodies();
    let skies = common::Skies::over(&site);
    let inputs = |scene| skies.inputs(&site, scene);
    let scene = Scene::of(&site);
    let mut moved = site.clone();
    let id = Id::new("tree-04");
    if let Some(tree) = site.trees.get(&id) {
        let at = tree.at + Pt(1.0, 0.5);
        moved.trees.put(
            id,
            Tree {
                at,
                ..Tree::clone(tree)
            },
        );
    }
    let after = Scene::of(&moved);
    let grid = Grid {
        origin: Pt(-5.0, -5.0),
        cell_m: 0.8,
        columns: 100,
        rows: 100,
        height_m: 0.5,
        storey_m: 0.0,
    };
    let ask = |quantity| Ask {
        quantity,
        span: Span::season(Season::Summer, Hemisphere::North),
        hour: None,
    };
    let mut group = c.benchmark_group("light map of 10,000 cells");
    group.sample_size(20);
    for (name, quantity) in [
        ("season's DLI", Quantity::Dli),
        ("season's sun hours", Quantity::SunHours),
    ] {
        let ask = ask(quantity);
        group.bench_function(format!("{name}, full quality"), |b| {
            b.iter(|| {
                draw(
                    &inputs(&scene),
                    black_box(&ask),
                    &grid,
                    None,
                    &Progress::new(),
                    &mut |_| (),
                )
            });
        });
        group.bench_function(format!("{name}, first picture"), |b| {
            b.iter(|| {
                // What follows the first picture is cancelled.
                let progress = Progress::new();
                draw(
                    &inputs(&scene),
                    black_box(&ask),
                    &grid,
                    None,
                    &progress,
                    &mut |_| {
                        progress.cancel();
                    },
                )
            });
        });
        if let Ok((_, kept)) = draw(
            &inputs(&scene),
            &ask,
            &grid,
            None,
            &Progress::new(),
            &mut |_| (),
        ) {
            group.bench_function(format!("{name}, after a tree was moved"), |b| {
                b.iter(|| {
                    let kept = Some(kept.clone());
                    draw(
                        &inputs(&after),
                        black_box(&ask),
                        &grid,
                        kept,
                        &Progress::new(),
                        &mut |_| (),
                    )
                });
            });
        }
    }
    let fine = Grid {
        cell_m: 0.3,
        columns: 300,
        rows: 200,
        ..grid
    };
    group.bench_function("sun and shadow, 60,000 cells", |b| {
        b.iter(|| sunlight(&scene, 6, 2.5, 0.6, &fine));
    });
    group.finish();
}

criterion_group!(benches, map);
criterion_main!(benches);
