//! Maps of light against the spots' full computation, against rays, and against themselves made anew.

use std::sync::LazyLock;

use proptest::prelude::*;
use sillward::{
    base::{Hemisphere, Id, Months, Progress, Pt, Season, Table, Week},
    light::{
        LightInputs, Scene, SpotLight,
        map::{Ask, Grid, Kept, Picture, Quantity, Span, draw, sunlight},
        spots_year,
    },
    pipeline,
    site::{
        Building, Canopy, Cloth, ClothColour, Covering, CoveringKind, Leafing, Place, Roof, Room,
        Screen, Site, Spot, Tree, Window,
    },
};

fn place() -> Place {
    Place {
        latitude_deg: 47.0,
        longitude_deg: 8.0,
        time_zone: "Europe/Zurich".to_owned(),
        elevation_m: 400.0,
        plan_north_deg: 20.0,
        ..Place::default()
    }
}

/// Sun, weather and sky of the place, for all tests.
static YEAR: LazyLock<pipeline::Foundations> = LazyLock::new(|| {
    let bare = Site {
        place: place().into(),
        ..Site::default()
    };
    pipeline::foundations(&bare, &Progress::new()).unwrap()
});

fn with_inputs<T>(site: &Site, run: impl FnOnce(&LightInputs<'_>) -> T) -> T {
    let scene = Scene::of(site);
    let year = &*YEAR;
    run(&LightInputs {
        place: &site.place,
        sun: &year.sun,
        typical: &year.weather.typical,
        sky: &year.sky,
        scene: &scene,
        turbidity_linke: year.weather.normals.turbidity_linke,
    })
}

fn table<T>(items: impl IntoIterator<Item = (&'static str, T)>) -> Table<T> {
    let named = |(id, item): (&'static str, T)| (Id::new(id), item);
    items.into_iter().map(named).collect()
}

fn rectangle(x0: f64, y0: f64, x1: f64, y1: f64) -> Vec<Pt> {
    vec![Pt(x0, y0), Pt(x1, y0), Pt(x1, y1), Pt(x0, y1)]
}

/// A house with a room, a shed, a hedge, a cloth, a pergola, two trees.
fn garden() -> Site {
    let tree = |x: f64, y: f64, leafing| Tree {
        at: Pt(x, y),
        top_m: 6.0,
        crown_base_m: 2.0,
        crown_radius_m: 2.0,
        leafing,
        ..Tree::default()
    };
    Site {
        place: place().into(),
        buildings: table([
            (
                "house",
                Building {
                    outline: rectangle(0.0, 0.0, 9.0, 6.0),
                    wall_top_m: 3.0,
                    roof: Roof::Gable { ridge_m: 5.5 },
                    reflectance: 0.6,
                    ..Building::default()
                },
            ),
            (
                "shed",
                Building {
                    outline: rectangle(12.0, -8.0, 15.0, -5.0),
                    wall_top_m: 2.4,
                    ..Building::default()
                },
            ),
        ]),
        rooms: table([(
            "room",
            Room {
                outline: rectangle(0.4, 0.4, 5.4, 4.4),
                ..Room::default()
            },
        )]),
        windows: table([
            (
                "south",
                Window {
                    room: "room".into(),
                    wall: 0,
                    from_corner_m: 1.0,
                    width_m: 2.4,
                    ..Window::default()
                },
            ),
            (
                "west",
                Window {
                    room: "room".into(),
                    wall: 3,
                    from_corner_m: 1.5,
                    width_m: 1.0,
                    coverings: vec![Covering {
                        kind: CoveringKind::NetCurtain,
                        ..Covering::default()
                    }],
                    ..Window::default()
                },
            ),
        ]),
        screens: table([(
            "hedge",
            Screen {
                line: vec![Pt(-4.0, -9.0), Pt(8.0, -9.0)],
                top_m: 1.8,
                porosity: 0.1,
                ..Screen::default()
            },
        )]),
        cloths: table([(
            "cloth",
            Cloth {
                outline: rectangle(9.5, 0.0, 12.5, 4.0),
                height_m: 2.5,
                shade_pct: 50.0,
                colour: ClothColour::White,
                months: Months::span(4, 9),
                ..Cloth::default()
            },
        )]),
        canopies: table([(
            "porch",
            Canopy {
                outline: rectangle(6.0, -2.5, 9.0, 0.0),
                ..Canopy::default()
            },
        )]),
        trees: table([
            (
                "apple",
                tree(
                    3.0,
                    -5.0,
                    Leafing::Deciduous {
                        months: Months::span(4, 10),
                    },
                ),
            ),
            ("yew", tree(-4.0, 3.0, Leafing::Evergreen)),
        ]),
        ..Site::default()
    }
}

fn grid() -> Grid {
    Grid {
        origin: Pt(-7.75, -11.75),
        cell_m: 0.5,
        columns: 50,
        rows: 44,
        height_m: 0.8,
        storey_m: 0.0,
    }
}

fn week(k: usize) -> Ask {
    Ask {
        quantity: Quantity::Dli,
        span: Span::week(Week::new(k)),
        hour: None,
    }
}

fn fresh(site: &Site, ask: &Ask, grid: &Grid) -> (Picture, Kept) {
    with_inputs(site, |inputs| {
        draw(inputs, ask, grid, None, &Progress::new(), &mut |_| ()).unwrap()
    })
}

/// Spots in the middle of some of a grid's cells, and the cells.
fn spots_on(site: &mut Site, grid: &Grid, cells: &[usize], room: Option<&str>) {
    for k in cells {
        site.spots.put(
            Id::new(&format!("cell-{k:05}")),
            Spot {
                outline: vec![grid.plan_point(*k)],
                room: room.map(Id::new),
                height_m: grid.height_m,
                leaf_m: 0.0,
                ..Spot::default()
            },
        );
    }
}

fn lights(site: &Site) -> Vec<SpotLight> {
    with_inputs(site, |inputs| {
        let spots: Vec<(&Id, &Spot)> = site.spots.iter().map(|(id, s)| (id, &**s)).collect();
        spots_year(inputs, site, &spots, &Progress::new()).unwrap()
    })
}

fn mean_dli(light: &SpotLight, span: Span) -> f64 {
    let days: Vec<f64> = span
        .weeks()
        .flat_map(Week::days)
        .map(|d| f64::from(light.dli[d]))
        .collect();
    days.iter().sum::<f64>() / days.len() as f64
}

/// Cells spread over the garden that lie in the open, or in the room.
fn some_cells(picture: &Picture, room: bool, n: usize) -> Vec<usize> {
    let grid = &picture.grid;
    let fits = |k: &usize| {
        let Pt(x, y) = grid.plan_point(*k);
        let inside = (0.4..5.4).contains(&x) && (0.4..4.4).contains(&y);
        picture.values[*k].is_some() && inside == room
    };
    let all: Vec<usize> = (0..grid.cells()).filter(fits).collect();
    all.iter().step_by(all.len() / n).copied().collect()
}

#[test]
fn a_map_agrees_with_spots_in_the_open_and_in_a_room() {
    let season = Ask {
        span: Span::season(Season::Summer, Hemisphere::North),
        ..week(0)
    };
    for (ask, room, most, usual) in [
        (week(22), false, 0.05, 0.015),
        (week(1), false, 0.06, 0.02),
        (season, false, 0.05, 0.015),
        (week(22), true, 0.08, 0.03),
        (week(1), true, 0.08, 0.03),
    ] {
        let mut site = garden();
        let (picture, _) = fresh(&site, &ask, &grid());
        let cells = some_cells(&picture, room, 36);
        spots_on(&mut site, &grid(), &cells, room.then_some("room"));
        let mut errors = Vec::new();
        for (k, light) in cells.iter().zip(lights(&site)) {
            let (map, spot) = (
                f64::from(picture.values[*k].unwrap()),
                mean_dli(&light, ask.span),
            );
            errors.push((map / spot - 1.0, grid().plan_point(*k), map, spot));
        }
        let square = errors.iter().map(|e| e.0 * e.0).sum::<f64>() / errors.len() as f64;
        let worst = errors
            .iter()
            .max_by(|a, b| a.0.abs().total_cmp(&b.0.abs()))
            .unwrap();
        assert!(worst.0.abs() < most, "{ask:?}: {worst:?}");
        assert!(square.sqrt() < usual, "{ask:?}: {}", square.sqrt());
    }
}

#[test]
fn hours_of_sun_are_the_spots_own() {
    let mut site = garden();
    let ask = Ask {
        quantity: Quantity::SunHours,
        ..week(30)
    };
    let (picture, _) = fresh(&site, &ask, &grid());
    for room in [false, true] {
        let cells = some_cells(&picture, room, 30);
        spots_on(&mut site, &grid(), &cells, room.then_some("room"));
        for (k, light) in cells.iter().zip(lights(&site)) {
            let (map, spot) = (picture.values[*k].unwrap(), light.clear_sun_h[30]);
            // Ten minutes by which an edge may fall to the other side of a cell's middle.
            assert!(
                (map - spot).abs() < 0.17,
                "{:?}: {map} {spot}",
                grid().plan_point(*k)
            );
        }
        site.spots = Table::default();
    }
}

#[test]
fn verify_shadows_on_the_grid_against_rays() {
    let site = garden();
    let scene = Scene::of(&site);
    for (azimuth, elevation, month0) in [
        (2.0_f64, 0.5_f64, 6),
        (3.4, 0.15, 0),
        (4.6, 1.0, 4),
        (3.1, 0.03, 7),
    ] {
        let map = sunlight(&scene, month0, azimuth, elevation, &grid());
        let mut off = 0;
        let mut outdoors = 0;
        for (k, share) in map.iter().enumerate() {
            let p = grid().plan_point(k);
            if (-1.0..10.0).contains(&p.x()) && (-1.0..7.0).contains(&p.y()) {
                continue;
            }
            outdoors += 1;
            let ray = scene.clear_share(month0, p, 0.805, azimuth, elevation);
            off += usize::from((f64::from(*share) - ray).abs() > 0.01);
        }
        assert!(
            off * 500 <= outdoors,
            "{off} of {outdoors} at {azimuth}, {elevation}"
        );
    }
}

#[test]
fn pictures_come_from_coarse_to_fine_and_threads_do_not_matter() {
    let site = garden();
    let drawn = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .unwrap();
        let mut steps = Vec::new();
        let (picture, _) = pool.install(|| {
            with_inputs(&site, |inputs| {
                let mut shown = |p: &Picture| steps.push((p.step, p.whole));
                draw(
                    inputs,
                    &week(20),
                    &grid(),
                    None,
                    &Progress::new(),
                    &mut shown,
                )
                .unwrap()
            })
        });
        (picture, steps)
    };
    let (one, steps) = drawn(1);
    assert_eq!(steps, [(4, false), (1, false), (1, true)]);
    assert_eq!(drawn(3).0, one);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever is moved, what is cast again is what would be cast anew.
    #[test]
    fn after_a_move_the_map_is_the_one_made_anew(
        moves in prop::collection::vec((0..6_usize, -3.0..3.0_f64, -3.0..3.0_f64), 1..4),
        ask in prop::sample::select(vec![week(16), week(40), Ask { quantity: Quantity::SunHours, ..week(25) }]),
    ) {
        let grid = Grid { columns: 25, rows: 22, cell_m: 1.0, ..grid() };
        let mut site = garden();
        let mut kept = fresh(&site, &ask, &grid).1;
        for (which, dx, dy) in moves {
            let by = Pt(dx, dy);
            let moved = |o: &mut Vec<Pt>| o.iter_mut().for_each(|p| *p = *p + by);
            macro_rules! change {
                ($table:ident, $id:literal, $body:expr) => {{
                    let id = Id::new($id);
                    let mut item = (**site.$table.get(&id).unwrap()).clone();
                    #[allow(clippy::redundant_closure_call)]
                    ($body)(&mut item);
                    site.$table.put(id, item);
                }};
            }
            match which {
                0 => change!(trees, "apple", |t: &mut Tree| t.at = t.at + by),
                1 => change!(cloths, "cloth", |c: &mut Cloth| { moved(&mut c.outline); c.shade_pct = 30.0; }),
                2 => change!(buildings, "shed", |b: &mut Building| moved(&mut b.outline)),
                3 => change!(screens, "hedge", |s: &mut Screen| moved(&mut s.line)),
                4 => { site.trees.remove(&Id::new("yew")); }
                _ => change!(canopies, "porch", |c: &mut Canopy| moved(&mut c.outline)),
            }
            let again = with_inputs(&site, |inputs| {
                draw(inputs, &ask, &grid, Some(kept), &Progress::new(), &mut |_| ()).unwrap()
            });
            prop_assert!(again.0 == fresh(&site, &ask, &grid).0);
            kept = again.1;
        }
    }
}
