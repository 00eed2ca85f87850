use sillward::{
    air::explain,
    base::{Id, Progress, Pt, calendar::WEEKS},
    site::{Room, RoomAir, Site, Spot, Vent},
};

use super::fixture::{World, day_mean_c, near, rectangle, spot_at};

#[test]
fn distributions_have_every_year_and_ascend() {
    let world = World::new();
    let air = world.air(&Site::default(), &spot_at(0.0, 0.0), 1.0);
    for week in &air.weeks {
        for values in [
            &week.coldest_leaf_c,
            &week.coldest_air_c,
            &week.night_means_c,
            &week.hottest_air_c,
            &week.day_night_means_k,
        ] {
            assert_eq!(values.len(), 40);
            assert!(values.is_sorted());
        }
        // The leaf loses heat to the sky: never warmer than the coldest air of its night by more than dew can.
        assert!(week.coldest_leaf_c[0] < week.coldest_air_c[0]);
    }
}

#[test]
fn verify_frost_chance_by_the_spread_of_the_years() {
    let world = World::new();
    let dull = {
        let mut dull = World::new();
        dull.weather.years.clearness.fill(0.2);
        dull
    };
    // Years are shifted evenly from -3 to 3 K, so half of them have a night below the usual one.
    let high = Spot {
        height_m: 3.0,
        ..spot_at(0.0, 0.0)
    };
    let week = dull.air(&Site::default(), &high, 1.0).weeks[15].clone();
    let usual = (105..112)
        .map(|d| day_mean_c(d) - 4.0)
        .fold(f64::INFINITY, f64::min);
    let below = week
        .coldest_air_c
        .partition_point(|c| f64::from(*c) <= usual) as f64
        / 40.0;
    near(below, 0.5, 0.06);
    let nights = (105..112).map(|d| day_mean_c(d) - 4.0).sum::<f64>() / 7.0;
    near(week.warm_night_chance(nights), 0.5, 0.06);
    near(week.warm_night_chance(nights + 10.0), 0.0, 1e-12);
    // Clear nights bring the leaf down, dull ones hardly.
    let clear = world.air(&Site::default(), &high, 1.0).weeks[15].clone();
    let gap = |w: &sillward::air::AirWeek| f64::from(w.coldest_air_c[20] - w.coldest_leaf_c[20]);
    assert!(
        gap(&clear) > gap(&week) + 0.4,
        "{} {}",
        gap(&clear),
        gap(&week)
    );
    // Under cover the leaf keeps warmer.
    let covered = world.air(&Site::default(), &high, 0.1).weeks[15].clone();
    assert!(covered.coldest_leaf_c[20] > clear.coldest_leaf_c[20] + 0.4);
}

#[test]
fn wind_ends_radiation_frost() {
    let calm = World::new();
    let mut windy = World::new();
    windy.weather.years.wind_m_s.fill(9.0);
    let low = Spot {
        leaf_m: 0.2,
        ..spot_at(0.0, 0.0)
    };
    let calm = calm.air(&Site::default(), &low, 1.0).weeks[4].clone();
    let windy = windy.air(&Site::default(), &low, 1.0).weeks[4].clone();
    assert!(windy.coldest_leaf_c[10] > calm.coldest_leaf_c[10] + 1.0);
}

#[test]
fn explained_hours_add_up_to_the_air() {
    let world = World::new();
    let site = Site::default();
    let spot = Spot {
        cold_hollow_k: 2.0,
        ..spot_at(0.0, 0.0)
    };
    let light = world.open_light(1.0);
    let air = world.air_in(&site, &spot, &light);
    let hours = explain::hours(
        &world.inputs(),
        &site,
        &spot,
        Some(&light),
        &air,
        [75, 3 * 24 + 4, 180 * 24 + 13, 999_999],
        &Progress::new(),
    )
    .unwrap();
    assert_eq!(hours.len(), 3);
    for hour in &hours {
        let sum: f64 = hour.contributions.iter().map(|c| c.kelvin).sum();
        near(sum, hour.air_c, 0.05);
    }
    let night = &hours[1];
    assert!(
        night
            .contributions
            .iter()
            .any(|c| c.what == "cold hollow" && c.kelvin < -0.5)
    );
    assert!(night.leaf_c < night.air_c);
    let noon = &hours[2];
    assert!(noon.leaf_c > noon.air_c + 1.0);
    assert_eq!(air.weeks.len(), WEEKS);
}

fn room_with_vent(air: RoomAir, vent: Option<Vent>) -> Site {
    let mut site = Site::default();
    let room = Room {
        outline: rectangle(0.0, 0.0, 4.0, 4.0),
        air,
        ..Room::default()
    };
    site.rooms.put(Id::new("den"), room);
    if let Some(vent) = vent {
        let room = Id::new("den");
        site.vents.put(Id::new("vent"), Vent { room, ..vent });
    }
    site
}

fn in_den(x: f64, y: f64) -> Spot {
    Spot {
        room: Some(Id::new("den")),
        ..spot_at(x, y)
    }
}

/// What an air conditioner does to a room is there in all weather years, from which a week's usual figures are taken.
#[test]
fn cooled_air_counts_in_the_weather_years() {
    let world = World::new();
    let unheated = || RoomAir::Unheated {
        frost_guard_c: None,
        shared_with_house: 0.3,
        aired_above_c: None,
    };
    let vent = Vent {
        at: Pt(0.1, 3.8),
        blows_deg: 0.0,
        area_m2: 0.05,
        speed_m_s: 2.0,
        supply_c: 10.0,
        ..Vent::default()
    };
    // Out of the jet.
    let spot = in_den(3.5, 0.5);
    let july = |site: &Site| world.air(site, &spot, 0.0).weeks[28].clone();
    let without = july(&room_with_vent(unheated(), None));
    let with = july(&room_with_vent(unheated(), Some(vent)));
    assert!(
        with.night_c < without.night_c - 1.5 && with.max_c < without.max_c - 1.5,
        "{with:?}"
    );
    assert!(with.hottest_air_c[20] < without.hottest_air_c[20] - 1.5);
}

/// A cold jet blows by night too.
#[test]
fn a_cold_jet_counts_in_the_weather_years() {
    let world = World::new();
    let vent = Vent {
        at: Pt(0.1, 2.0),
        blows_deg: 90.0,
        height_m: 0.45,
        supply_c: 6.0,
        ..Vent::default()
    };
    let spot = in_den(0.6, 2.0);
    let january = |site: &Site| world.air(site, &spot, 0.0).weeks[2].clone();
    let without = january(&room_with_vent(RoomAir::default(), None));
    let with = january(&room_with_vent(RoomAir::default(), Some(vent)));
    assert!(with.device_cold_k < -1.0, "{with:?}");
    assert!(
        with.night_c < without.night_c - 1.0,
        "{} and {}",
        with.night_c,
        without.night_c
    );
    assert!(with.coldest_air_c[20] < without.coldest_air_c[20] - 1.0);
}
