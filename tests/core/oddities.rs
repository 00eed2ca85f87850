//! Odd but lawful sites, half-drawn ones, and edits one after another: nothing fails, nothing is absurd, and what is
//! kept from before an edit is what would be computed afresh.

use chrono::NaiveDate;
use sillward::{
    base::{
        Id, MonthDay, Months, Progress, Pt,
        calendar::{DAYS, HOURS, WEEKS},
    },
    needs::library,
    pipeline::{Engine, Outcome},
    site::{
        Absence, Building, Canopy, Choices, Climate, Cloth, Event, Fan, FanKind, Glazing, Ground,
        Heater, Holds, JournalEntry, LightReading, LightValue, MinMaxReading, Normals, Pin, Place,
        Plant, Pot, Roof, Room, RoomAir, Screen, Site, SkyState, Spot, Timetable, Tray, Tree, Vent,
        Window,
        edit::{Edit, Object, ObjectKind},
        samples::SAMPLES,
    },
};

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

fn id(text: &str) -> Id {
    Id::new(text)
}

fn put(site: &mut Site, name: &str, object: Object) {
    site.apply(Edit::Put(id(name), object)).unwrap();
}

/// Mean `mean_c`, 9 K warmer in the sixth month after the coldest, few weather years.
fn climate(mean_c: f64, swing_k: f64, coldest_month0: usize) -> Climate {
    let month = |m: usize| {
        let turn = (m + 12 - coldest_month0) as f64 / 12.0 * std::f64::consts::TAU;
        mean_c - swing_k * turn.cos()
    };
    Climate {
        normals: Normals {
            night_min_c: Some(std::array::from_fn(|m| month(m) - 5.0).into()),
            day_max_c: Some(std::array::from_fn(|m| month(m) + 5.0).into()),
            ..Normals::default()
        },
        years: 30,
        ..Climate::default()
    }
}

/// An invented place with its weather and nothing on it.
fn bare(latitude_deg: f64) -> Site {
    let mut site = Site {
        version: 1,
        ..Site::default()
    };
    let place = Place {
        latitude_deg,
        ..Place::default()
    };
    let coldest = if latitude_deg < 0.0 { 6 } else { 0 };
    let mean_c = 27.0 - 0.4 * latitude_deg.abs();
    let swing_k = 0.2 * latitude_deg.abs();
    site.apply(Edit::All(vec![
        Edit::SetPlace(place),
        Edit::SetClimate(climate(mean_c, swing_k, coldest)),
        Edit::SetChoices(Choices {
            plan_from: Some(day("2026-10-01")),
            ..Choices::default()
        }),
    ]))
    .unwrap();
    site
}

fn square(x: f64, y: f64, side: f64) -> Vec<Pt> {
    vec![
        Pt(x, y),
        Pt(x + side, y),
        Pt(x + side, y + side),
        Pt(x, y + side),
    ]
}

fn room(site: &mut Site, outline: Vec<Pt>) {
    let room = Room {
        outline,
        ..Room::default()
    };
    put(site, "hall", Object::Room(room));
}

fn window(site: &mut Site, name: &str, wall: usize) {
    let window = Window {
        room: id("hall"),
        wall,
        ..Window::default()
    };
    put(site, name, Object::Window(window));
}

fn spot(room: Option<&str>, outline: Vec<Pt>) -> Spot {
    Spot {
        room: room.map(id),
        outline,
        holds: Holds {
            pots: 3,
            rim_cm: 30.0,
        },
        ..Spot::default()
    }
}

fn plant(kind: &str, stands: Option<&str>) -> Plant {
    Plant {
        kind: id(kind),
        stands: stands.map(id),
        ..Plant::default()
    }
}

/// One spot on the ground, one in a room with a window, two plants.
fn small(latitude_deg: f64) -> Site {
    let mut site = bare(latitude_deg);
    room(&mut site, square(0.0, 0.0, 4.0));
    window(&mut site, "south", 0);
    put(
        &mut site,
        "bench",
        Object::Spot(spot(None, square(1.0, -3.0, 1.0))),
    );
    put(
        &mut site,
        "sill",
        Object::Spot(spot(Some("hall"), vec![Pt(0.5, 0.2), Pt(1.7, 0.2)])),
    );
    put(
        &mut site,
        "cym",
        Object::Plant(plant("cymbidium-standard", Some("bench"))),
    );
    put(&mut site, "lemon", Object::Plant(plant("lemon", None)));
    site
}

fn run(site: &Site) -> Outcome {
    let outcome = Engine::new()
        .run(site, day("2026-10-01"), &Progress::new())
        .unwrap();
    check(&outcome);
    outcome
}

/// Everything that must hold of any outcome.
fn check(outcome: &Outcome) {
    assert_eq!(outcome.sun.elevation_rad.len(), HOURS);
    assert_eq!(outcome.spots.len(), outcome.site.spots.len());
    for (id, spot) in outcome.spots.iter() {
        let (light, air) = (&spot.light, &spot.air);
        for (what, values, least, most) in [
            ("beam", &light.beam_ppfd, 0.0, 4000.0),
            ("sky", &light.sky_ppfd, 0.0, 4000.0),
            ("reflected", &light.reflected_ppfd, 0.0, 4000.0),
            ("sunlit", &light.sunlit, 0.0, 1.001),
            ("air", &air.air_c, -90.0, 90.0),
            ("humidity", &air.rh_pct, 0.0, 100.0),
            ("deficit", &air.vpd_kpa, 0.0, 70.0),
            ("speed", &air.speed_m_s, 0.0, 60.0),
        ] {
            assert_eq!(values.len(), HOURS, "{id}: {what}");
            for v in values {
                assert!((least..=most).contains(v), "{id}: {what} {v}");
            }
        }
        assert_eq!((light.dli.len(), light.upright_dli.len()), (DAYS, DAYS));
        assert!(light.dli.iter().all(|v| (0.0..=90.0).contains(v)), "{id}");
        assert_eq!((spot.weeks.len(), air.weeks.len()), (WEEKS, WEEKS), "{id}");
        for (week, offered) in spot.weeks.iter().enumerate() {
            let all_known = [
                offered.dli,
                offered.upright_dli,
                offered.clear_peak_ppfd,
                offered.clear_sun_h,
                offered.one_sided,
            ]
            .iter()
            .all(|v| v.is_some_and(|v| v.is_finite() && v >= 0.0));
            assert!(all_known, "{id}, week {week}: {offered:?}");
            let (low, high) = offered.dli_band.unwrap();
            assert!(low <= high && high.is_finite());
            assert!(offered.one_sided.unwrap() <= 1.0 + 1e-6);
            let air = offered.air.as_ref().unwrap();
            for (what, v) in [
                ("day", air.day_c),
                ("max", air.max_c),
                ("night", air.night_c),
                ("range", air.day_night_k),
                ("humidity by day", air.rh_day_pct),
                ("humidity", air.rh_pct),
                ("deficit", air.vpd_kpa),
                ("speed", air.speed_m_s),
                ("draught", air.draught_m_s),
                ("warmth of devices", air.device_warm_k),
                ("chill of devices", air.device_cold_k),
                ("rain", air.rain_mm),
                ("evaporation", air.et0_mm_d),
            ] {
                assert!(v.is_finite() && v.abs() < 500.0, "{id}, {week}: {what} {v}");
            }
            assert!(air.night_c <= air.max_c + 0.5, "{id}, {week}: {air:?}");
            for years in [
                &air.coldest_leaf_c,
                &air.coldest_air_c,
                &air.night_means_c,
                &air.hottest_air_c,
                &air.day_night_means_k,
            ] {
                assert_eq!(years.len(), outcome.weather.years.years, "{id}, {week}");
                assert!(years.is_sorted() && years.iter().all(|v| v.is_finite()));
            }
        }
    }
    for plant in outcome.site.plants.ids() {
        for spot in outcome.site.spots.ids() {
            let year = outcome.scores.year(plant, spot).unwrap();
            assert_eq!(year.len(), WEEKS);
            let sound = |p: f64| (0.0..=100.0).contains(&p);
            assert!(year.iter().all(|s| s.points.is_none_or(sound)));
        }
    }
    if let Ok(plan) = &outcome.plan {
        let s = &plan.solution;
        assert!(s.objective.is_finite() && s.upper_bound.is_finite());
        assert!(s.objective <= s.upper_bound + 1e-6);
        for plant in outcome.site.plants.ids() {
            for week in 0..WEEKS {
                let homeless = s
                    .without_room
                    .iter()
                    .any(|(p, from, n)| p == plant && (*from..from + n).contains(&week));
                assert_ne!(plan.spot_of(plant, week).is_some(), homeless, "{plant}");
            }
        }
        for m in &plan.moves {
            assert!(!m.reason.is_empty() && m.from.as_ref() != Some(&m.to));
        }
    }
}

#[test]
fn nothing_at_all_is_a_site() {
    let outcome = run(&Site::default());
    assert!(outcome.plan.unwrap().moves.is_empty());
    run(&bare(45.0));
}

#[test]
fn spots_without_plants_and_plants_without_spots() {
    let mut site = bare(45.0);
    put(&mut site, "lemon", Object::Plant(plant("lemon", None)));
    let outcome = run(&site);
    let plan = outcome.plan.unwrap();
    assert_eq!(plan.solution.without_room, [(id("lemon"), 0, WEEKS)]);
    let mut site = bare(45.0);
    put(
        &mut site,
        "step",
        Object::Spot(spot(None, vec![Pt(0.0, 0.0)])),
    );
    run(&site);
    put(&mut site, "lemon", Object::Plant(plant("lemon", None)));
    let outcome = run(&site);
    let plan = outcome.plan.unwrap();
    assert_eq!(plan.spot_of(&id("lemon"), 0), Some(&id("step")));
}

#[test]
fn every_latitude_and_height_is_a_place() {
    for latitude_deg in [-90.0, -80.0, -35.0, 0.0, 66.6, 80.0, 90.0] {
        let outcome = run(&small(latitude_deg));
        let bench = &outcome.spots[&id("bench")];
        let year: f32 = bench.light.dli.iter().sum::<f32>() / DAYS as f32;
        assert!((4.0..70.0).contains(&year), "{latitude_deg}°: {year} mol");
    }
    for (elevation_m, plan_north_deg, longitude_deg, zone) in [
        (5000.0, 137.0, -68.0, "America/La_Paz"),
        (-400.0, -360.0, 35.5, "Asia/Jerusalem"),
        (6000.0, 360.0, -180.0, "Pacific/Kiritimati"),
    ] {
        let mut site = small(31.0);
        let place = Place {
            elevation_m,
            plan_north_deg,
            longitude_deg,
            time_zone: zone.to_owned(),
            latitude_deg: 31.0,
            ..Place::default()
        };
        site.apply(Edit::SetPlace(place)).unwrap();
        run(&site);
    }
}

/// A plan turned on its paper is the same site: only what is drawn turns, and with it the angle of plan-up.
#[test]
fn turning_the_paper_changes_nothing() {
    let drawn = |turn_deg: f64| {
        // Plan-up points to this azimuth, so what lies there is drawn turned back by it.
        let (sin, cos) = turn_deg.to_radians().sin_cos();
        let turned = |Pt(x, y): Pt| Pt(x * cos - y * sin, x * sin + y * cos);
        let all = |points: Vec<Pt>| points.into_iter().map(turned).collect::<Vec<_>>();
        let mut site = bare(47.0);
        site.apply(Edit::SetPlace(Place {
            latitude_deg: 47.0,
            plan_north_deg: turn_deg,
            ..Place::default()
        }))
        .unwrap();
        let house = Building {
            outline: all(square(-0.3, -0.3, 4.6)),
            roof: Roof::Lean {
                high_m: 4.5,
                towards_deg: -turn_deg,
            },
            ..Building::default()
        };
        put(&mut site, "house", Object::Building(house));
        room(&mut site, all(square(0.0, 0.0, 4.0)));
        window(&mut site, "south", 0);
        window(&mut site, "west", 3);
        let heater = Heater {
            room: id("hall"),
            at: turned(Pt(1.1, 0.1)),
            faces_deg: -turn_deg,
            ..Heater::default()
        };
        put(&mut site, "radiator", Object::Heater(heater));
        let vent = Vent {
            room: id("hall"),
            at: turned(Pt(3.9, 1.0)),
            blows_deg: 270.0 - turn_deg,
            height_m: 0.6,
            ..Vent::default()
        };
        put(&mut site, "vent", Object::Vent(vent));
        let wall = Screen {
            line: all(vec![Pt(-2.0, -4.5), Pt(2.0, -4.5)]),
            ..Screen::default()
        };
        put(&mut site, "wall", Object::Screen(wall));
        let porch = Canopy {
            outline: all(square(2.0, -2.3, 2.0)),
            ..Canopy::default()
        };
        put(&mut site, "porch", Object::Canopy(porch));
        for (name, within, points) in [
            ("bench", None, square(-1.0, -4.0, 1.0)),
            ("shelter", None, square(2.5, -1.5, 0.8)),
            ("sill", Some("hall"), vec![Pt(0.5, 0.2), Pt(1.7, 0.2)]),
            ("table", Some("hall"), square(2.0, 0.7, 0.8)),
        ] {
            put(&mut site, name, Object::Spot(spot(within, all(points))));
        }
        run(&site)
    };
    let straight = drawn(0.0);
    for turn_deg in [90.0, 137.0] {
        let turned = drawn(turn_deg);
        for (name, spot) in straight.spots.iter() {
            let other = &turned.spots[name];
            for week in 0..WEEKS {
                let (a, b) = (&spot.weeks[week], &other.weeks[week]);
                let (x, y) = (a.dli.unwrap(), b.dli.unwrap());
                assert!(
                    (x - y).abs() < 0.05 * x + 0.1,
                    "{name}, {turn_deg}°, week {week}: {x} and {y} mol"
                );
                let (a, b) = (a.air.as_ref().unwrap(), b.air.as_ref().unwrap());
                for (x, y) in [
                    (a.day_c, b.day_c),
                    (a.night_c, b.night_c),
                    (a.max_c, b.max_c),
                    (a.speed_m_s, b.speed_m_s),
                    (a.device_warm_k, b.device_warm_k),
                    (a.device_cold_k, b.device_cold_k),
                    (a.draught_m_s, b.draught_m_s),
                ] {
                    assert!(
                        (x - y).abs() < 0.35,
                        "{name}, {turn_deg}°, week {week}: {a:?} and {b:?}"
                    );
                }
            }
        }
    }
}

#[test]
fn rooms_of_any_shape_with_windows_in_every_wall() {
    let corner = vec![
        Pt(0.0, 0.0),
        Pt(6.0, 0.0),
        Pt(6.0, 2.0),
        Pt(2.0, 2.0),
        Pt(2.0, 5.0),
        Pt(0.0, 5.0),
    ];
    let triangle = vec![Pt(0.0, 0.0), Pt(5.0, 0.0), Pt(0.0, 4.0)];
    let clockwise: Vec<Pt> = corner.iter().rev().copied().collect();
    for outline in [corner, triangle, clockwise] {
        let mut site = bare(52.0);
        let walls = outline.len();
        room(&mut site, outline);
        for wall in 0..walls {
            window(&mut site, &format!("w{wall}"), wall);
        }
        for (name, points) in [
            ("point", vec![Pt(0.5, 0.5)]),
            ("line", vec![Pt(0.4, 0.6), Pt(1.2, 0.6)]),
            ("board", square(0.6, 0.6, 0.4)),
        ] {
            put(&mut site, name, Object::Spot(spot(Some("hall"), points)));
        }
        put(&mut site, "lemon", Object::Plant(plant("lemon", None)));
        run(&site);
    }
}

#[test]
fn glass_houses_and_open_sheds() {
    for (roof, walls) in [
        (Some(Glazing::Single), Some(Glazing::Single)),
        (Some(Glazing::Open), Some(Glazing::Open)),
        (None, Some(Glazing::Open)),
    ] {
        let mut site = bare(40.0);
        let house = Room {
            outline: square(0.0, 0.0, 3.0),
            glazed_roof: roof,
            glazed_walls: walls,
            air: RoomAir::Unheated {
                frost_guard_c: None,
                shared_with_house: 0.0,
                aired_above_c: Some(25.0),
            },
            ..Room::default()
        };
        put(&mut site, "hall", Object::Room(house));
        put(
            &mut site,
            "stage",
            Object::Spot(spot(Some("hall"), square(1.0, 1.0, 1.0))),
        );
        put(
            &mut site,
            "cym",
            Object::Plant(plant("cymbidium-standard", None)),
        );
        let outcome = run(&site);
        let air = &outcome.spots[&id("stage")].air;
        let mean = air.air_c.iter().sum::<f32>() / HOURS as f32;
        let open = outcome.weather.typical.air_c.iter().sum::<f32>() / HOURS as f32;
        assert!((mean - open).abs() < 8.0, "{roof:?}: {mean} in {open}");
    }
}

#[test]
fn plans_begin_on_any_day_and_stand_any_choice() {
    let with = |choose: &dyn Fn(&mut Choices)| {
        let mut site = small(45.0);
        let mut choices = Choices::clone(&site.choices);
        choose(&mut choices);
        site.apply(Edit::SetChoices(choices)).unwrap();
        run(&site)
    };
    for from in ["2028-02-29", "2027-12-31", "1900-01-01", "2200-12-31"] {
        let outcome = with(&|c| c.plan_from = Some(day(from)));
        assert_eq!(outcome.plan.unwrap().from, day(from));
    }
    // Nobody ever there: what stands somewhere stays.
    let outcome = with(&|c| {
        c.absences = vec![Absence {
            from: day("2026-01-01"),
            to: day("2028-12-31"),
        }];
    });
    let plan = outcome.plan.unwrap();
    assert!((0..WEEKS).all(|w| plan.spot_of(&id("cym"), w) == Some(&id("bench"))));
    // Pins beyond the horizon bind nothing.
    let pin = |from: &str, to: &str| Pin {
        plant: id("lemon"),
        spot: id("sill"),
        from: day(from),
        to: day(to),
    };
    with(&|c| {
        c.pins = vec![
            pin("2040-01-01", "2041-01-01"),
            pin("2001-01-01", "2001-02-01"),
        ];
    });
    with(&|c| c.pins = vec![pin("2026-01-01", "2040-01-01")]);
    // Nobody is there to carry it where it is pinned.
    with(&|c| {
        c.pins = vec![pin("2027-01-01", "2027-03-01")];
        c.absences = vec![Absence {
            from: day("2026-10-20"),
            to: day("2028-12-31"),
        }];
    });
    with(&|c| {
        c.move_dislike = 0.0;
        c.shortest_stay_weeks = 12;
    });
}

#[test]
fn closed_and_full_spots_leave_plants_without_room() {
    let mut site = small(45.0);
    for name in ["bench", "sill"] {
        let closed = Spot {
            months: Months::NONE,
            ..Spot::clone(site.spots.get(&id(name)).unwrap())
        };
        put(&mut site, name, Object::Spot(closed));
    }
    let plan = run(&site).plan.unwrap();
    assert_eq!(plan.solution.without_room.len(), 2);
    let mut site = small(45.0);
    for name in ["bench", "sill"] {
        let none = Spot {
            holds: Holds {
                pots: 0,
                rim_cm: 30.0,
            },
            ..Spot::clone(site.spots.get(&id(name)).unwrap())
        };
        put(&mut site, name, Object::Spot(none));
    }
    let plan = run(&site).plan.unwrap();
    assert_eq!(plan.solution.without_room.len(), 2);
}

#[test]
fn a_kind_of_one_stage_lasts_all_year() {
    let mut site = small(-33.0);
    let mut own = sillward::needs::Kind::clone(library::kinds().get(&id("lemon")).unwrap());
    own.stages.truncate(1);
    own.stages[0].from = MonthDay::new(12, 31).unwrap();
    put(&mut site, "own", Object::Kind(own.clone()));
    put(&mut site, "mine", Object::Plant(plant("own", Some("sill"))));
    let outcome = run(&site);
    let stage = own.stages[0].stage;
    let year = outcome.scores.year(&id("mine"), &id("sill")).unwrap();
    assert!(year.iter().all(|s| s.stage == stage));
    // Half-written in the window: no stage yet.
    own.stages.clear();
    put(&mut site, "own", Object::Kind(own));
    run(&site);
}

/// The window computes while things are being drawn and typed.
#[test]
fn half_drawn_objects_do_not_fail() {
    let mut site = small(45.0);
    for kind in ObjectKind::ALL {
        let Some(mut object) = kind.blank() else {
            continue;
        };
        match &mut object {
            Object::Window(o) => o.room = id("hall"),
            Object::Heater(o) => o.room = id("hall"),
            Object::Vent(o) => o.room = id("hall"),
            Object::Plant(o) => o.kind = id("lemon"),
            _ => {}
        }
        put(&mut site, "blank", object);
    }
    put(
        &mut site,
        "in-blank",
        Object::Spot(spot(Some("blank"), Vec::new())),
    );
    run(&site);
    // Flat, folded and crossing outlines; things of no size and of a huge one.
    let folded = vec![Pt(0.0, 0.0), Pt(3.0, 0.0), Pt(0.0, 0.0)];
    let crossing = vec![Pt(-9.0, 0.0), Pt(-7.0, 2.0), Pt(-7.0, 0.0), Pt(-9.0, 2.0)];
    for (i, outline) in [folded, crossing, vec![Pt(5.0, 5.0); 4]]
        .into_iter()
        .enumerate()
    {
        let name = format!("odd-{i}");
        let objects = [
            Object::Building(Building {
                outline: outline.clone(),
                roof: Roof::Hip { ridge_m: 1.0 },
                ..Building::default()
            }),
            Object::Room(Room {
                outline: outline.clone(),
                height_m: 0.0,
                air_changes_per_h: 0.0,
                ..Room::default()
            }),
            Object::Window(Window {
                room: id("hall"),
                wall: 77,
                width_m: 0.0,
                ..Window::default()
            }),
            Object::Canopy(Canopy {
                outline: outline.clone(),
                thickness_m: 0.0,
                ..Canopy::default()
            }),
            Object::Screen(Screen {
                line: outline.clone(),
                top_m: 0.0,
                thickness_m: 0.0,
                ..Screen::default()
            }),
            Object::Tree(Tree {
                crown_radius_m: 0.0,
                top_m: 1.5,
                leaf_area_index: 0.0,
                ..Tree::default()
            }),
            Object::Ground(Ground {
                outline: outline.clone(),
                ..Ground::default()
            }),
            Object::Cloth(Cloth {
                outline: outline.clone(),
                shade_pct: 100.0,
                ..Cloth::default()
            }),
            Object::Vent(Vent {
                room: id("hall"),
                area_m2: 0.0,
                speed_m_s: 0.0,
                ..Vent::default()
            }),
            Object::Fan(Fan {
                kind: FanKind::Ceiling,
                diameter_m: 0.0,
                ..Fan::default()
            }),
            Object::Spot(spot(None, outline.clone())),
        ];
        for object in objects {
            put(&mut site, &name, object);
        }
        put(
            &mut site,
            &format!("in-odd-{i}"),
            Object::Spot(spot(Some(&name), outline)),
        );
    }
    run(&site);
}

/// A number that is none must not bring anything down: files may hold it, and the window opens them to be mended.
#[test]
fn figures_that_are_none_do_not_fail() {
    let mut site = small(45.0);
    let nan = f64::NAN;
    let engine = |site: &Site| {
        Engine::new()
            .run(site, day("2026-10-01"), &Progress::new())
            .unwrap();
    };
    let base = site.clone();
    for object in [
        Object::Spot(Spot {
            height_m: nan,
            leaf_m: nan,
            outline: vec![Pt(nan, nan)],
            ..spot(None, Vec::new())
        }),
        Object::Spot(Spot {
            leaf_m: f64::INFINITY,
            ..spot(Some("hall"), vec![Pt(1.0, nan)])
        }),
        Object::Tree(Tree {
            at: Pt(nan, 0.0),
            top_m: nan,
            ..Tree::default()
        }),
        Object::Building(Building {
            outline: vec![Pt(0.0, 0.0), Pt(nan, 1.0), Pt(1.0, 1.0)],
            wall_top_m: f64::INFINITY,
            ..Building::default()
        }),
        Object::Plant(Plant {
            worth: nan,
            weight_kg: nan,
            pot: Pot {
                rim_cm: nan,
                height_cm: nan,
                ..Pot::default()
            },
            ..plant("lemon", None)
        }),
    ] {
        site = base.clone();
        put(&mut site, "odd", object);
        engine(&site);
    }
    for (latitude_deg, elevation_m, plan_north_deg) in [(nan, 0.0, 0.0), (45.0, nan, nan)] {
        site = base.clone();
        site.apply(Edit::SetPlace(Place {
            latitude_deg,
            elevation_m,
            plan_north_deg,
            time_zone: "Mars/Base".to_owned(),
            ..Place::default()
        }))
        .unwrap();
        engine(&site);
    }
    for (years, mean_c) in [(0, 10.0), (1, nan), (30, f64::INFINITY)] {
        site = base.clone();
        site.apply(Edit::SetClimate(Climate {
            years,
            ..climate(mean_c, 5.0, 0)
        }))
        .unwrap();
        engine(&site);
    }
    for from in [NaiveDate::MIN, NaiveDate::MAX] {
        site = base.clone();
        let choices = Choices {
            plan_from: Some(from),
            absences: vec![Absence { from, to: from }],
            ..Choices::default()
        };
        site.apply(Edit::SetChoices(choices)).unwrap();
        engine(&site);
    }
}

fn crowded() -> Site {
    let mut site = bare(45.0);
    for i in 0..30 {
        let at = Pt(f64::from(i % 6) * 2.0, f64::from(i / 6) * 2.0);
        put(
            &mut site,
            &format!("spot-{i:02}"),
            Object::Spot(spot(None, vec![at])),
        );
    }
    let kinds: Vec<Id> = library::kinds().ids().cloned().collect();
    for i in 0..60 {
        let kind = kinds[i % kinds.len()].as_str();
        let stands = format!("spot-{:02}", i % 30);
        put(
            &mut site,
            &format!("plant-{i:02}"),
            Object::Plant(plant(kind, Some(&stands))),
        );
    }
    site
}

#[test]
fn sixty_plants_on_thirty_spots() {
    let plan = run(&crowded()).plan.unwrap();
    assert!(plan.solution.without_room.is_empty());
    assert!(!plan.solution.cut_short);
}

/// Edits of each sort, one after another through one engine: what it keeps is what would be computed afresh.
#[test]
fn what_is_kept_is_what_would_be_computed() {
    let sample = SAMPLES[0].read().unwrap().site;
    let mut site = sample.clone();
    site.apply(Edit::SetClimate(Climate {
        years: 30,
        ..Climate::clone(&sample.climate)
    }))
    .unwrap();
    let spots: Vec<Id> = site.spots.ids().cloned().collect();
    let plants: Vec<Id> = site.plants.ids().cloned().collect();
    let indoors = site
        .spots
        .iter()
        .find(|(_, s)| s.room.is_some())
        .map(|(i, _)| i.clone())
        .unwrap();
    let in_room = site.spots.get(&indoors).unwrap().room.clone().unwrap();
    let shifted = |site: &Site, of: &Id| {
        let mut spot = Spot::clone(site.spots.get(of).unwrap());
        spot.height_m += 0.1;
        Edit::Put(of.clone(), Object::Spot(spot))
    };
    let read = {
        let mut spot = Spot::clone(site.spots.get(&indoors).unwrap());
        spot.light.push(LightReading {
            when: day("2026-06-01").and_hms_opt(13, 0, 0).unwrap(),
            value: LightValue::Lux(3000.0),
            sky: SkyState::Clear,
            open: None,
            note: String::new(),
        });
        spot.min_max.push(MinMaxReading {
            date: day("2026-02-01"),
            min_c: 14.0,
            max_c: Some(19.0),
            outdoors_min_c: None,
            note: String::new(),
        });
        Edit::Put(indoors.clone(), Object::Spot(spot))
    };
    let warmer = {
        let mut room = Room::clone(site.rooms.get(&in_room).unwrap());
        room.air = RoomAir::Heated {
            day_c: 22.0,
            night_c: 19.0,
            day_from_h: 7.0,
            day_to_h: 22.0,
            months: Months::ALL,
            cool_to_c: None,
            season: None,
        };
        Edit::Put(in_room.clone(), Object::Room(room))
    };
    let tree = Tree {
        at: site.spots.get(&spots[0]).unwrap().middle() + Pt(0.0, -3.0),
        ..Tree::default()
    };
    let heater = Heater {
        room: in_room.clone(),
        at: site.spots.get(&indoors).unwrap().middle(),
        runs: Timetable::default(),
        ..Heater::default()
    };
    let tray = Tray {
        room: Some(in_room),
        at: site.spots.get(&indoors).unwrap().middle(),
        ..Tray::default()
    };
    let edits = vec![
        shifted(&site, &spots[0]),
        read,
        Edit::Put(id("new-heater"), Object::Heater(heater)),
        Edit::Put(id("new-tray"), Object::Tray(tray)),
        Edit::Record(JournalEntry {
            date: day("2026-09-01"),
            plant: Some(plants[0].clone()),
            event: Event::Moved(spots[1].clone()),
            from: None,
            note: String::new(),
        }),
        warmer,
        Edit::Put(id("new-tree"), Object::Tree(tree)),
        Edit::Rename {
            kind: ObjectKind::Spot,
            from: spots[2].clone(),
            to: id("renamed-spot"),
        },
        Edit::Remove(ObjectKind::Plant, plants[1].clone()),
        Edit::Remove(ObjectKind::Heater, id("new-heater")),
        Edit::SetPlace(Place {
            plan_north_deg: sample.place.plan_north_deg + 20.0,
            ..Place::clone(&sample.place)
        }),
        Edit::SetPlace(Place {
            latitude_deg: -sample.place.latitude_deg,
            ..Place::clone(&sample.place)
        }),
        Edit::SetClimate(climate(14.0, 6.0, 6)),
    ];
    let mut engine = Engine::new();
    let today = day("2026-09-28");
    engine.run(&site, today, &Progress::new()).unwrap();
    for edit in edits {
        let told = format!("{edit:?}");
        let told = told.chars().take(60).collect::<String>();
        site.apply(edit).unwrap();
        let kept = engine.run(&site, today, &Progress::new()).unwrap();
        let fresh = Engine::new().run(&site, today, &Progress::new()).unwrap();
        assert_eq!(kept.spots.len(), fresh.spots.len(), "{told}");
        for (spot, a) in kept.spots.iter() {
            let b = &fresh.spots[spot];
            assert_eq!(a.light.beam_ppfd, b.light.beam_ppfd, "{told}: {spot}");
            assert_eq!(a.light.sky_ppfd, b.light.sky_ppfd, "{told}: {spot}");
            assert_eq!(a.light.correction, b.light.correction, "{told}: {spot}");
            assert_eq!(a.air.air_c, b.air.air_c, "{told}: {spot}");
            assert_eq!(a.air.rh_pct, b.air.rh_pct, "{told}: {spot}");
            assert_eq!(a.air.weeks, b.air.weeks, "{told}: {spot}");
            assert_eq!(a.air.influences, b.air.influences, "{told}: {spot}");
            assert_eq!(a.weeks, b.weeks, "{told}: {spot}");
        }
        for plant in site.plants.ids() {
            for spot in site.spots.ids() {
                let (a, b) = (
                    kept.scores.year(plant, spot),
                    fresh.scores.year(plant, spot),
                );
                assert_eq!(a, b, "{told}: {plant} on {spot}");
            }
        }
        let (a, b) = (kept.plan.unwrap(), fresh.plan.unwrap());
        assert!(a == b, "{told}: a plan hangs on the site alone");
        assert_eq!(kept.tasks, fresh.tasks, "{told}");
    }
}
