use sillward::{
    air::map::{clear_night, sky_views, streams, week_night},
    base::{Id, Progress, Pt, Week},
    light::{Scene, map::Grid},
    site::{Building, Cloth, Fan, Heater, Room, Screen, Site},
};

use super::fixture::{World, near, rectangle, spot_at};

fn grid() -> Grid {
    Grid {
        origin: Pt(-3.5, -3.5),
        cell_m: 1.0,
        columns: 8,
        rows: 8,
        height_m: 1.0,
        storey_m: 0.0,
    }
}

fn cell(x: f64, y: f64) -> usize {
    ((y + 3.5).round() as usize) * 8 + (x + 3.5).round() as usize
}

#[test]
fn devices_are_drawn_where_they_blow_and_only_in_their_room() {
    let mut site = Site::default();
    site.rooms.put(
        Id::new("room"),
        Room {
            outline: rectangle(0.0, 0.0, 4.0, 4.0),
            ..Room::default()
        },
    );
    site.heaters.put(
        Id::new("heater"),
        Heater {
            room: Id::new("room"),
            at: Pt(1.5, 0.4),
            ..Heater::default()
        },
    );
    site.fans.put(
        Id::new("fan"),
        Fan {
            at: Pt(-3.5, -2.5),
            blows_deg: 90.0,
            height_m: 1.0,
            ..Fan::default()
        },
    );
    let winter = streams(&site, 0, 8.0, &grid());
    assert_eq!(winter.len(), 64);
    assert!(winter[cell(1.5, 0.5)].excess_k > 1.0);
    assert!(winter[cell(3.5, 3.5)].excess_k < 0.1);
    assert!(winter[cell(1.5, -0.5)].excess_k == 0.0);
    assert!(winter[cell(-1.5, -2.5)].speed_m_s > 0.5);
    assert!(winter[cell(-1.5, 1.5)].speed_m_s < 0.05);
    // By its timetable the heater rests in July and at night.
    assert_eq!(
        streams(&site, 6, 8.0, &grid())[cell(1.5, 0.5)].excess_k,
        0.0
    );
    assert_eq!(
        streams(&site, 0, 3.0, &grid())[cell(1.5, 0.5)].excess_k,
        0.0
    );
}

#[test]
fn clear_nights_are_coldest_low_down_in_the_open_and_out_of_the_wind() {
    let world = World::new();
    let mut site = Site::default();
    site.buildings.put(
        Id::new("house"),
        Building {
            outline: rectangle(0.0, 0.0, 4.0, 4.0),
            ..Building::default()
        },
    );
    let low = Grid {
        height_m: 0.2,
        ..grid()
    };
    let open = vec![1.0; 64];
    let night = clear_night(&world.inputs(), &site, 0, &open, &low);
    assert_eq!(night[cell(1.5, 1.5)], None);
    let at = |cells: &[Option<f32>], x, y| cells[cell(x, y)].unwrap();
    let here = at(&night, -2.5, -2.5);
    assert!(here < -0.8 && here > -2.5, "{here}");
    assert!(
        at(
            &clear_night(&world.inputs(), &site, 0, &open, &grid()),
            -2.5,
            -2.5
        ) > here + 0.5
    );
    assert!(
        at(
            &clear_night(&world.inputs(), &site, 0, &[0.1; 64], &low),
            -2.5,
            -2.5
        ) > 0.2
    );
    let mut walled = site;
    walled.screens.put(
        Id::new("wall"),
        Screen {
            line: rectangle(-3.9, -3.9, 6.0, 6.0),
            top_m: 2.0,
            ..Screen::default()
        },
    );
    assert!(
        at(
            &clear_night(&world.inputs(), &walled, 0, &open, &low),
            -2.5,
            -2.5
        ) < here - 0.02
    );
}

/// An endless wall whose top stands at an elevation a leaves a level surface (1 + cos a)/2 of the sky (view factors of
/// crossed strings, Hottel).
#[test]
fn validate_the_sky_beside_a_long_wall() {
    let mut site = Site::default();
    site.screens.put(
        Id::new("wall"),
        Screen {
            line: vec![Pt(-300.0, 4.5), Pt(300.0, 4.5)],
            top_m: 4.0,
            thickness_m: 0.02,
            ..Screen::default()
        },
    );
    let views = sky_views(&Scene::of(&site), 0, &grid(), &Progress::new()).unwrap();
    // Cells at 1 m; 8 m, 5 m and 2 m from the wall.
    for (y, distance) in [(-3.5_f64, 8.0_f64), (-0.5, 5.0), (2.5, 2.0)] {
        let a = (3.0 / distance).atan();
        near(f64::from(views[cell(0.5, y)]), 0.5 * (1.0 + a.cos()), 0.07);
    }
    let open = sky_views(&Scene::of(&Site::default()), 0, &grid(), &Progress::new()).unwrap();
    assert!(open.iter().all(|v| *v > 0.999));
}

/// The map of a week's nights says what a spot at the same place and height has.
#[test]
fn verify_the_nights_of_a_week_against_a_spot() {
    let world = World::new();
    let site = Site::default();
    let low = Grid {
        height_m: 0.45,
        ..grid()
    };
    for view in [1.0_f32, 0.3] {
        for week in [3, 29] {
            let night = week_night(&world.inputs(), &site, Week::new(week), &[view; 64], &low);
            let spot = world.air(&site, &spot_at(0.5, 0.5), f64::from(view));
            near(
                f64::from(night[cell(0.5, 0.5)].unwrap()),
                spot.weeks[week].night_c,
                0.35,
            );
        }
    }
}

/// A dark wall that faces the sun gives back in the map what it gives to a spot at the same place.
#[test]
fn verify_the_warm_wall_of_a_map_against_a_spot() {
    let world = World::new();
    let mut site = Site::default();
    site.screens.put(
        Id::new("wall"),
        Screen {
            line: vec![Pt(-8.0, 0.8), Pt(8.0, 0.8)],
            top_m: 2.5,
            reflectance: 0.1,
            ..Screen::default()
        },
    );
    let low = Grid {
        height_m: 0.45,
        ..grid()
    };
    let light = world.open_light(0.5);
    for week in [3, 29] {
        let night = week_night(&world.inputs(), &site, Week::new(week), &[0.5; 64], &low);
        let (close, far) = (cell(0.5, 0.5), cell(0.5, -3.5));
        let spot = |y: f64| world.air_in(&site, &spot_at(0.5, y), &light).weeks[week].night_c;
        let (here, there) = (spot(0.5), spot(-3.5));
        near(f64::from(night[close].unwrap()), here, 0.4);
        let rise = f64::from(night[close].unwrap() - night[far].unwrap());
        near(rise, here - there, 0.3);
    }
}

/// A shade cloth over pots hides as much of the night's sky as of the day's, and its nights are milder for it.
#[test]
fn a_shade_cloth_overhead_keeps_nights_milder() {
    let world = World::new();
    let mut site = Site::default();
    site.cloths.put(
        Id::new("cloth"),
        Cloth {
            outline: rectangle(-40.0, -40.0, 80.0, 80.0),
            shade_pct: 50.0,
            ..Cloth::default()
        },
    );
    let low = Grid {
        height_m: 0.45,
        ..grid()
    };
    let views = sky_views(&Scene::of(&site), 0, &low, &Progress::new()).unwrap();
    let here = cell(0.5, 0.5);
    assert!((0.25..=0.55).contains(&views[here]), "{}", views[here]);
    let night = |views: &[f32]| clear_night(&world.inputs(), &site, 0, views, &low)[here].unwrap();
    let gain = night(&views) - night(&[1.0; 64]);
    // Between nothing and what a roof would do.
    assert!(
        gain > 0.4 && gain < night(&[0.0; 64]) - night(&[1.0; 64]),
        "{gain}"
    );
}
