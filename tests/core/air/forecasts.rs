use chrono::NaiveDate;
use sillward::{
    air::{
        RISK_LEAF, SpotAir,
        forecast::{ForecastDay, SpotNight, nights},
    },
    base::{Id, Progress},
    light::SpotLight,
    site::{Room, RoomAir, Site, Spot},
};

use super::fixture::{World, light, near, rectangle, spot_at};

fn day(month: u32, day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, month, day).unwrap()
}

fn told(date: NaiveDate, low_c: f64, wind_m_s: f64, cloud: f64) -> ForecastDay {
    ForecastDay {
        date,
        night_min_c: low_c,
        day_max_c: None,
        wind_m_s: Some(wind_m_s),
        cloud: Some(cloud),
    }
}

fn at(site: &Site, spot: &Spot, light: &SpotLight, forecast: &[ForecastDay]) -> Vec<SpotNight> {
    let world = World::new();
    let id = Id::new("spot");
    let air = SpotAir::default();
    nights(
        &world.inputs(),
        site,
        &[(&id, spot)],
        &[light],
        &[&air],
        forecast,
        &Progress::new(),
    )
    .unwrap()
    .remove(0)
}

/// Radiation frost (FAO Frost Protection, Snyder & de Melo-Abreu 2005, ch. 2; from memory): on clear calm nights
/// exposed leaves are 1 to 4 K below the air at the screen's height, under cloud and wind close to it.
#[test]
fn validate_leaves_by_sky_and_wind() {
    let open = light(1.0);
    let bench = Spot {
        height_m: 1.0,
        ..spot_at(0.0, 0.0)
    };
    let leaf_below = |wind, cloud| {
        let night = &at(
            &Site::default(),
            &bench,
            &open,
            &[told(day(12, 5), 2.0, wind, cloud)],
        )[0];
        2.0 - night.leaf_c(&RISK_LEAF)
    };
    let clear = leaf_below(1.0, 0.0);
    assert!((1.0..=4.0).contains(&clear), "{clear}");
    let dull = leaf_below(6.0, 1.0);
    assert!((-0.3..=0.6).contains(&dull), "{dull}");
    assert!(leaf_below(1.0, 0.5) < clear && leaf_below(6.0, 0.0) < clear);
}

#[test]
fn what_is_not_told_counts_as_clear_and_nearly_calm() {
    let open = light(1.0);
    let silent = ForecastDay {
        wind_m_s: None,
        cloud: None,
        ..told(day(12, 5), 2.0, 1.0, 0.0)
    };
    let spot = spot_at(0.0, 0.0);
    let one = at(&Site::default(), &spot, &open, &[silent]);
    let other = at(
        &Site::default(),
        &spot,
        &open,
        &[told(day(12, 5), 2.0, 1.0, 0.0)],
    );
    near(one[0].air_min_c, other[0].air_min_c, 1e-12);
}

#[test]
fn cover_and_fleece_keep_leaves_warm_and_a_hollow_does_not() {
    let clear = [told(day(12, 5), 2.0, 1.0, 0.0)];
    let spot = spot_at(0.0, 0.0);
    let hollow = Spot {
        cold_hollow_k: 3.0,
        ..spot.clone()
    };
    let open = &at(&Site::default(), &spot, &light(1.0), &clear)[0];
    let covered = &at(&Site::default(), &spot, &light(0.1), &clear)[0];
    let low = &at(&Site::default(), &hollow, &light(1.0), &clear)[0];
    assert!(covered.leaf_c(&RISK_LEAF) > open.leaf_c(&RISK_LEAF) + 2.0);
    assert!(low.air_min_c < open.air_min_c - 1.0);
    // Extension handbooks give light fleece 1 to 2 K (common practice); beneath a roof it has little to hide.
    let fleece = open.fleece_k(&RISK_LEAF);
    assert!((0.7..=2.5).contains(&fleece), "{fleece}");
    assert!(covered.fleece_k(&RISK_LEAF) < 0.3 * fleece);
}

#[test]
fn a_nights_error_is_the_forecasts_and_the_spots() {
    let days: Vec<ForecastDay> = (5..10).map(|d| told(day(12, d), 2.0, 1.0, 0.0)).collect();
    let open = at(&Site::default(), &spot_at(0.0, 0.0), &light(1.0), &days);
    assert_eq!(open.len(), 5);
    // 1.5 K of the forecast and 1.5 K of a spot without readings; half a kelvin a night more.
    near(open[0].sd_k, 1.5_f64.hypot(1.5), 0.01);
    near(open[4].sd_k, 1.5_f64.hypot(1.5_f64.hypot(2.0)), 0.01);
    near(open[0].margin_k(), 1.2816 * open[0].sd_k, 1e-9);
    let mut site = Site::default();
    site.rooms.put(
        Id::new("room"),
        Room {
            outline: rectangle(0.0, 0.0, 4.0, 4.0),
            ..Room::default()
        },
    );
    let indoors = Spot {
        room: Some(Id::new("room")),
        ..spot_at(2.0, 2.0)
    };
    // A heated room does not hear of it.
    let warm = at(&site, &indoors, &light(0.0), &days);
    near(warm[0].sd_k, 1.5, 0.05);
    assert!(warm[0].air_min_c > 12.0);
}

/// A heavy shed cools day by day towards the mean of the open, as e^(-t/τ) has it; a light one follows at once.
#[test]
fn a_cold_spell_tells_in_a_room_by_and_by() {
    let shed = |mass| {
        let mut site = Site::default();
        site.rooms.put(
            Id::new("room"),
            Room {
                outline: rectangle(0.0, 0.0, 4.0, 4.0),
                mass,
                air: RoomAir::Unheated {
                    frost_guard_c: None,
                    shared_with_house: 0.0,
                    aired_above_c: None,
                },
                ..Room::default()
            },
        );
        let spot = Spot {
            room: Some(Id::new("room")),
            ..spot_at(2.0, 2.0)
        };
        let days: Vec<ForecastDay> = (5..12)
            .map(|d| ForecastDay {
                day_max_c: Some(-6.0),
                ..told(day(12, d), -12.0, 1.0, 1.0)
            })
            .collect();
        at(&site, &spot, &light(0.0), &days)
    };
    let heavy = shed(sillward::site::Mass::Heavy);
    assert!(heavy[0].air_min_c > -8.0, "{}", heavy[0].air_min_c);
    for pair in heavy.windows(2) {
        // Day by day, but for what a milder or rougher hour of the typical year does.
        assert!(pair[1].air_min_c <= pair[0].air_min_c + 0.3, "{heavy:?}");
    }
    let light = shed(sillward::site::Mass::Light);
    let fall = |n: &[SpotNight]| n[0].air_min_c - n[6].air_min_c;
    assert!(
        fall(&heavy) > fall(&light),
        "{} {}",
        fall(&heavy),
        fall(&light)
    );
    assert!(light[0].air_min_c < heavy[0].air_min_c);
}

#[test]
fn a_forecast_reaches_over_the_new_year() {
    let days = [
        told(day(12, 31), -1.0, 2.0, 0.5),
        told(NaiveDate::from_ymd_opt(2027, 1, 1).unwrap(), -3.0, 2.0, 0.5),
    ];
    let nights = at(&Site::default(), &spot_at(0.0, 0.0), &light(1.0), &days);
    assert_eq!(nights.len(), 2);
    near(nights[0].air_min_c - nights[1].air_min_c, 2.0, 0.2);
    assert!(at(&Site::default(), &spot_at(0.0, 0.0), &light(1.0), &[]).is_empty());
}
