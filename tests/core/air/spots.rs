use sillward::{
    air::{SpotAir, spots_year},
    base::{Id, Months, Progress, Pt, calendar::HOURS},
    site::{Building, Canopy, Fan, Ground, GroundKind, Screen, ScreenKind, Site, Spot},
};

use super::fixture::{World, light, near, rectangle, spot_at};

fn min_of(air: &SpotAir, day: usize) -> f64 {
    (day * 24..day * 24 + 12)
        .map(|h| f64::from(air.air_c[h]))
        .fold(f64::INFINITY, f64::min)
}

#[test]
fn a_year_has_all_its_hours_weeks_and_bounds() {
    let world = World::new();
    let air = world.air(&Site::default(), &spot_at(0.0, 0.0), 1.0);
    for values in [
        &air.air_c,
        &air.rh_pct,
        &air.vpd_kpa,
        &air.speed_m_s,
        &air.device_excess_k,
        &air.device_speed_m_s,
    ] {
        assert_eq!(values.len(), HOURS);
        assert!(values.iter().all(|v| v.is_finite()));
    }
    assert!(air.rh_pct.iter().all(|v| (1.0..=100.0).contains(v)));
    assert_eq!(air.weeks.len(), 52);
    let july = &air.weeks[28];
    near(july.max_c, 23.0, 1.5);
    near(july.night_c, 14.0, 1.5);
    assert!(july.day_c > july.night_c && july.day_c < july.max_c);
    near(july.day_night_k, july.max_c - july.night_c, 1e-6);
    near(july.rain_mm, 14.0, 1e-6);
    assert!(air.device_speed_m_s.iter().all(|v| *v == 0.0));
}

#[test]
fn nothing_known_gives_nothing_and_does_not_panic() {
    let mut world = World::new();
    let id = Id::new("a");
    let spot = Spot::default();
    let site = Site::default();
    // No light at all.
    let none = spots_year(
        &world.inputs(),
        &site,
        &[(&id, &spot)],
        &[],
        &Progress::new(),
    )
    .unwrap();
    assert_eq!(none[0].air_c.len(), HOURS);
    // No typical year.
    world.weather = sillward::climate::Weather::default();
    let none = spots_year(
        &world.inputs(),
        &site,
        &[(&id, &spot)],
        &[],
        &Progress::new(),
    )
    .unwrap();
    assert!(none[0].air_c.is_empty() && none[0].weeks.is_empty());
    // Told to stop.
    let progress = Progress::new();
    progress.cancel();
    assert!(spots_year(&world.inputs(), &site, &[(&id, &spot)], &[], &progress).is_err());
}

#[test]
fn clear_nights_cost_more_than_dull_ones_and_open_ground_more_than_cover() {
    let world = World::new();
    let low = Spot {
        leaf_m: 0.2,
        ..spot_at(0.0, 0.0)
    };
    let open = world.air(&Site::default(), &low, 1.0);
    let covered = world.air(&Site::default(), &low, 0.2);
    // Day 3 is clear, day 5 dull; the open air's own minimum is 4 K below the day's mean.
    let loss = |air: &SpotAir, day: usize| super::fixture::day_mean_c(day) - 4.0 - min_of(air, day);
    assert!(loss(&open, 3) > 0.5, "{}", loss(&open, 3));
    assert!(loss(&open, 5).abs() < 0.1);
    assert!(loss(&covered, 3) < loss(&open, 3) - 0.5);
    // By day all that is gone.
    near(
        f64::from(open.air_c[3 * 24 + 14]),
        f64::from(covered.air_c[3 * 24 + 14]),
        0.05,
    );
    let hollow = Spot {
        cold_hollow_k: 3.0,
        ..low
    };
    let hollow = world.air(&Site::default(), &hollow, 1.0);
    assert!(loss(&hollow, 3) > loss(&open, 3) + 0.8);
    near(loss(&hollow, 5), loss(&open, 5), 0.05);
    assert!(open.influences[0].contains("sky"), "{:?}", open.influences);
    assert!(
        hollow.influences[0].contains("cold air gathers"),
        "{:?}",
        hollow.influences
    );
}

#[test]
fn a_sunny_house_wall_warms_the_evening_before_it() {
    let world = World::new();
    let mut site = Site::default();
    site.buildings.put(
        Id::new("house"),
        Building {
            name: "House".to_owned(),
            outline: rectangle(-5.0, 0.0, 5.0, 8.0),
            wall_top_m: 5.0,
            eaves_m: 0.4,
            reflectance: 0.3,
            ..Building::default()
        },
    );
    let light = world.open_light(0.5);
    // Plan-up is north: the wall at y = 0 faces south.
    let south = world.air_in(&site, &spot_at(0.0, -0.3), &light);
    let north = world.air_in(&site, &spot_at(0.0, 8.3), &light);
    let far = world.air_in(&site, &spot_at(0.0, -30.0), &light);
    // A clear day in autumn, an hour after the sun has left the wall.
    let evening = 270 * 24 + 18;
    let gain = |air: &SpotAir| f64::from(air.air_c[evening] - far.air_c[evening]);
    assert!(gain(&south) > 0.5, "{}", gain(&south));
    assert!(gain(&south) > gain(&north) + 0.4);
    assert!(
        south
            .influences
            .iter()
            .any(|s| s.contains("wall of the house"))
    );
    // Under the eaves no rain, farther out all of it.
    assert_eq!(south.weeks[10].rain_mm, 0.0);
    near(far.weeks[10].rain_mm, 14.0, 1e-6);
}

#[test]
fn hedges_and_walls_break_the_wind_and_let_evaporation_fall() {
    // Windy, for in calm air buoyancy carries vapour off as well behind a hedge as before it.
    let mut world = World::new();
    world.weather.typical.wind_m_s.fill(6.0);
    world.weather.years.wind_m_s.fill(6.0);
    let screen = |y: f64| Screen {
        kind: ScreenKind::Hedge,
        line: vec![Pt(-20.0, y), Pt(20.0, y)],
        top_m: 2.0,
        porosity: 0.1,
        ..Screen::default()
    };
    let mut site = Site::default();
    site.screens.put(Id::new("south"), screen(-3.0));
    site.screens.put(Id::new("north"), screen(3.0));
    let light = world.open_light(0.9);
    let open = world.air_in(&Site::default(), &spot_at(0.0, 0.0), &light);
    let lee = world.air_in(&site, &spot_at(0.0, 0.0), &light);
    assert!(lee.weeks[25].speed_m_s < 0.7 * open.weeks[25].speed_m_s);
    assert!(lee.weeks[25].et0_mm_d < open.weeks[25].et0_mm_d);
    // FAO-56 in the open in June at this place: 3 to 5 mm/d is the usual order.
    assert!(
        (2.0..5.5).contains(&open.weeks[25].et0_mm_d),
        "{}",
        open.weeks[25].et0_mm_d
    );
    assert!(open.weeks[0].et0_mm_d < 1.0);
    assert!(lee.influences.iter().any(|s| s.starts_with("sheltered")));
}

#[test]
fn wind_from_the_hedge_side_is_broken_and_from_the_open_side_not() {
    let mut world = World::new();
    let mut site = Site::default();
    site.screens.put(
        Id::new("west"),
        Screen {
            line: vec![Pt(-2.0, -30.0), Pt(-2.0, 30.0)],
            top_m: 2.0,
            ..Screen::default()
        },
    );
    let speed_from = |world: &mut World, degrees: f32| {
        world.weather.typical.wind_from_deg = Some(vec![degrees; HOURS]);
        world.air(&site, &spot_at(0.0, 0.0), 1.0).weeks[10].speed_m_s
    };
    let west = speed_from(&mut world, 270.0);
    let east = speed_from(&mut world, 90.0);
    assert!(west < 0.5 * east, "{west} {east}");
    // Turn the plan: its right-hand side is now south, so the screen stands to the north.
    world.place.plan_north_deg = 90.0;
    let north = speed_from(&mut world, 0.0);
    near(north, west, 0.02);
}

#[test]
fn paving_a_rainproof_roof_and_a_garden_fan() {
    let world = World::new();
    let mut site = Site::default();
    site.grounds.put(
        Id::new("patio"),
        Ground {
            kind: GroundKind::DarkPaving,
            outline: rectangle(-3.0, -3.0, 3.0, 3.0),
            ..Ground::default()
        },
    );
    site.canopies.put(
        Id::new("roof"),
        Canopy {
            outline: rectangle(-3.0, -3.0, 0.0, 3.0),
            months: Months::span(10, 3),
            ..Canopy::default()
        },
    );
    site.fans.put(
        Id::new("fan"),
        Fan {
            name: "Garden fan".to_owned(),
            at: Pt(-1.0, -2.0),
            height_m: 0.45,
            blows_deg: 0.0,
            ..Fan::default()
        },
    );
    let light = world.open_light(1.0);
    let under = world.air_in(&site, &spot_at(-1.0, 0.0), &light);
    let lawn = world.air_in(&Site::default(), &spot_at(-1.0, 0.0), &light);
    let evening = 183 * 24 + 20;
    assert!(under.air_c[evening] > lawn.air_c[evening] + 0.2);
    assert_eq!(under.weeks[2].rain_mm, 0.0);
    near(under.weeks[26].rain_mm, 14.0, 1e-6);
    assert!(under.weeks[26].draught_m_s > 0.5);
    assert!(
        under
            .influences
            .iter()
            .any(|s| s.contains("the garden fan"))
    );
}

#[test]
fn same_input_same_numbers() {
    let world = World::new();
    let site = Site::default();
    let spots: Vec<(Id, Spot)> = (0..6)
        .map(|i| (Id::new(&format!("s{i}")), spot_at(f64::from(i), 0.0)))
        .collect();
    let given: Vec<(&Id, &Spot)> = spots.iter().map(|(i, s)| (i, s)).collect();
    let lights = vec![light(0.8); 6];
    let run = || spots_year(&world.inputs(), &site, &given, &lights, &Progress::new()).unwrap();
    let (first, second) = (run(), run());
    for (a, b) in first.iter().zip(&second) {
        assert_eq!(a.air_c, b.air_c);
        assert_eq!(a.weeks, b.weeks);
        assert_eq!(a.influences, b.influences);
    }
}

/// A wall that the sun reaches for half of each hour is warmed by the hour's mean beam, not by half of it.
#[test]
fn half_an_hour_of_sun_is_counted_once() {
    let warmed = |up: f32| {
        let mut world = World::new();
        for share in &mut world.sun.up_share {
            *share *= up;
        }
        let mut light = world.open_light(0.5);
        light.sunlit.fill(up);
        let mut site = Site::default();
        let house = Building {
            outline: rectangle(-5.0, 0.0, 5.0, 4.0),
            ..Building::default()
        };
        site.buildings.put(Id::new("house"), house);
        world.air_in(&site, &spot_at(0.0, -0.2), &light)
    };
    assert_eq!(warmed(1.0).air_c, warmed(0.6).air_c);
}
