//! Speed of the light map: 10,000 cells among 60 bodies, a season's light.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use sillward::{
    base::{Hemisphere, Id, Progress, Pt, Season, Table},
    climate::TypicalYear,
    light::{
        LightInputs, Scene,
        map::{Ask, Grid, Quantity, Span, draw, sunlight},
    },
    site::{Building, Place, Roof, Site, Tree},
    sky::SkyYear,
    sun::SunTable,
};

fn table<T>(prefix: &str, items: impl Iterator<Item = T>) -> Table<T> {
    items
        .enumerate()
        .map(|(k, item)| (Id::new(&format!("{prefix}-{k:02}")), item))
        .collect()
}

/// 50 houses and 10 trees.
fn site() -> Site {
    let house = |k: usize| {
        let (x, y) = ((k % 10) as f64 * 9.0, (k / 10) as f64 * 11.0);
        Building {
            outline: vec![
                Pt(x, y),
                Pt(x + 5.0, y),
                Pt(x + 5.0, y + 4.0),
                Pt(x, y + 4.0),
            ],
            roof: if k.is_multiple_of(2) {
                Roof::Gable { ridge_m: 4.5 }
            } else {
                Roof::Flat
            },
            ..Building::default()
        }
    };
    Site {
        place: Place {
            latitude_deg: 47.0,
            ..Place::default()
        }
        .into(),
        buildings: table("house", (0..50).map(house)),
        trees: table(
            "tree",
            (0..10).map(|k| Tree {
                at: Pt(k as f64 * 9.0 + 7.0, 20.0),
                ..Tree::default()
            }),
        ),
        ..Site::default()
    }
}

fn map(c: &mut Criterion) {
    let site = site();
    let sun = SunTable::of(&site.place);
    let half = |by: f32| sun.up_share.iter().map(|s| s * by).collect::<Vec<f32>>();
    let typical = TypicalYear {
        global_w_m2: half(300.0),
        beam_w_m2: half(300.0),
        sky_w_m2: half(150.0),
        ..TypicalYear::default()
    };
    let sky = SkyYear::of(&site.place, &sun, &typical);
    let inputs = |scene| LightInputs {
        place: &site.place,
        sun: &sun,
        typical: &typical,
        sky: &sky,
        scene,
        turbidity_linke: [3.0; 12],
    };
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
