use chrono::NaiveDate;
use sillward::{
    air::{
        RISK_LEAF, SpotAir,
        forecast::{ForecastDay, SpotNight, nights},
    },
    base::{Id, Months, Progress, Pt},
    light::SpotLight,
    site::{Glazing, NightCover, NightCoverKind, Place, Room, RoomAir, Screen, Site, Spot},
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
fn cover_keeps_leaves_warm_and_a_hollow_does_not() {
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
}

/// Gains of the air under row covers on clear still nights as growers' publications have them: thin fleece 2 to 4 °F, thick 6
/// to 8 °F, clear film 2 to 4 °F (Maximum Yield, December 2020; film: makers of low tunnels).
#[test]
fn validate_frost_covers_against_printed_gains() {
    let clear = [told(day(12, 5), -1.0, 0.0, 0.0)];
    let spot = spot_at(0.0, 0.0);
    let open = &at(&Site::default(), &spot, &light(1.0), &clear)[0];
    for (kind, printed_f) in [
        (NightCoverKind::Fleece, 2.0..=4.0),
        (NightCoverKind::Film, 2.0..=4.0),
        (NightCoverKind::ThickFleece, 6.0..=8.0),
    ] {
        let (air_c, leaf_c) = open.under(kind, &RISK_LEAF).unwrap();
        let gain_f = 1.8 * (air_c - open.air_min_c);
        assert!(printed_f.contains(&gain_f), "{kind:?}: {gain_f} °F");
        // Leaves gain more: they no longer see the sky.
        assert!(leaf_c - open.leaf_c(&RISK_LEAF) > air_c - open.air_min_c);
        assert!(leaf_c <= air_c + 0.1);
    }
}

#[test]
fn a_cover_that_is_laid_on_warms_its_nights_and_less_so_dull_and_high_ones() {
    let covered = |spot: &Spot| Spot {
        night_cover: Some(NightCover {
            kind: NightCoverKind::ThickFleece,
            months: Months::ALL,
        }),
        ..spot.clone()
    };
    let gain = |spot: &Spot, wind: f64, cloud: f64| {
        let nights = [told(day(12, 5), -1.0, wind, cloud)];
        let open = &at(&Site::default(), spot, &light(1.0), &nights)[0];
        let warm = &at(&Site::default(), &covered(spot), &light(1.0), &nights)[0];
        // What it would do is what it does.
        let (air_c, leaf_c) = open.under(NightCoverKind::ThickFleece, &RISK_LEAF).unwrap();
        near(warm.air_min_c, air_c, 1e-9);
        near(warm.leaf_c(&RISK_LEAF), leaf_c, 0.05);
        assert!(warm.under(NightCoverKind::Film, &RISK_LEAF).is_none());
        warm.air_min_c - open.air_min_c
    };
    let ground = spot_at(0.0, 0.0);
    let bench = Spot {
        height_m: 1.0,
        ..spot_at(0.0, 0.0)
    };
    let clear = gain(&ground, 0.0, 0.0);
    assert!(gain(&ground, 8.0, 1.0) < 0.4 * clear);
    assert!(gain(&bench, 0.0, 0.0) < 0.5 * clear);
    // Only in its months, and in the weather years as well.
    let world = World::new();
    let winter = Spot {
        night_cover: Some(NightCover {
            kind: NightCoverKind::Fleece,
            months: Months::span(11, 3),
        }),
        ..ground.clone()
    };
    let (bare, laid) = (
        world.air(&Site::default(), &ground, 1.0),
        world.air(&Site::default(), &winter, 1.0),
    );
    let rise = |week: usize| laid.weeks[week].night_c - bare.weeks[week].night_c;
    assert!(rise(3) > 0.3 && rise(3) < 1.5, "{}", rise(3));
    near(rise(28), 0.0, 1e-6);
    assert!(
        laid.influences
            .iter()
            .any(|i| i.starts_with("fleece laid on"))
    );
}

#[test]
fn cold_air_stands_behind_what_lies_across_a_slope() {
    let site = |slope_deg: f64, line: Vec<Pt>, porosity: f64| {
        let mut site = Site {
            place: Place {
                slope_deg,
                // Down the plan.
                falls_towards_deg: 180.0,
                ..Place::default()
            }
            .into(),
            ..Site::default()
        };
        site.screens.put(
            Id::new("wall"),
            Screen {
                name: "Low wall".to_owned(),
                line,
                top_m: 1.5,
                porosity,
                ..Screen::default()
            },
        );
        site
    };
    let across = || vec![Pt(-10.0, 0.0), Pt(10.0, 0.0)];
    let clear = [told(day(12, 5), 2.0, 0.5, 0.0)];
    let lower = |site: &Site, y: f64| {
        let here = at(site, &spot_at(0.0, y), &light(1.0), &clear)[0].air_min_c;
        let level = Site {
            place: Place::default().into(),
            ..site.clone()
        };
        at(&level, &spot_at(0.0, y), &light(1.0), &clear)[0].air_min_c - here
    };
    let slope = site(5.0, across(), 0.0);
    let close = lower(&slope, 1.0);
    assert!((0.4..=2.0).contains(&close), "{close}");
    // Its surface is level with the wall's top: 12 m up the slope the ground, 1.05 m higher, is nearly out of it.
    assert!(lower(&slope, 8.0) < 0.6 * close && lower(&slope, 14.0) == 0.0);
    // Nothing below the wall, nothing behind a gap or an open fence, little where it is nearly level.
    assert_eq!(lower(&slope, -1.0), 0.0);
    let gap = site(5.0, vec![Pt(1.0, 0.0), Pt(10.0, 0.0)], 0.0);
    assert_eq!(lower(&gap, 1.0), 0.0);
    assert_eq!(lower(&site(5.0, across(), 0.5), 1.0), 0.0);
    assert!(lower(&site(1.0, across(), 0.0), 1.0) < 0.5 * close);
    let told = World::new().air(&slope, &spot_at(0.0, 1.0), 1.0).influences;
    assert!(
        told.iter()
            .any(|i| i.contains("runs down the slope and stands behind the low wall")),
        "{told:?}"
    );
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

/// Dry polyethylene lets through three quarters of the heat radiation and hardly any once bedewed, fleece about half: by what is
/// printed both gain the same in the air, and leaves under film see a little less of the sky.
#[test]
fn film_keeps_leaves_a_little_warmer_than_thin_fleece_and_thick_fleece_more() {
    let clear = [told(day(12, 5), -1.0, 0.0, 0.0)];
    let open = &at(&Site::default(), &spot_at(0.0, 0.0), &light(1.0), &clear)[0];
    let leaf = |kind| open.under(kind, &RISK_LEAF).unwrap().1;
    let (fleece, film, thick) = (
        leaf(NightCoverKind::Fleece),
        leaf(NightCoverKind::Film),
        leaf(NightCoverKind::ThickFleece),
    );
    assert!(
        film > fleece + 0.05 && film < fleece + 0.8,
        "{fleece} {film}"
    );
    assert!(thick > film + 0.5, "{film} {thick}");
}

#[test]
fn a_cover_in_a_cold_glasshouse_gains_less_than_outdoors_and_in_a_heated_room_nothing() {
    let with = |air: RoomAir, cover: Option<NightCover>| {
        let mut site = Site::default();
        site.rooms.put(
            Id::new("room"),
            Room {
                outline: rectangle(0.0, 0.0, 4.0, 4.0),
                glazed_roof: Some(Glazing::Single),
                glazed_walls: Some(Glazing::Single),
                air,
                ..Room::default()
            },
        );
        let spot = Spot {
            room: Some(Id::new("room")),
            night_cover: cover,
            ..spot_at(2.0, 2.0)
        };
        (site, spot)
    };
    let cold = RoomAir::Unheated {
        frost_guard_c: None,
        shared_with_house: 0.0,
        aired_above_c: None,
    };
    let warm = Room::default().air;
    let fleece = NightCover {
        kind: NightCoverKind::ThickFleece,
        months: Months::span(11, 3),
    };
    let clear = [told(day(12, 5), -6.0, 0.0, 0.0)];
    let night = |air: &RoomAir, cover| {
        let (site, spot) = with(air.clone(), cover);
        at(&site, &spot, &light(0.0), &clear).remove(0)
    };
    let (bare, laid) = (night(&cold, None), night(&cold, Some(fleece)));
    let gain = laid.air_min_c - bare.air_min_c;
    let outdoors = {
        let open = &at(&Site::default(), &spot_at(0.0, 0.0), &light(1.0), &clear)[0];
        open.under(NightCoverKind::ThickFleece, &RISK_LEAF)
            .unwrap()
            .0
            - open.air_min_c
    };
    assert!(
        (0.5..0.8 * outdoors).contains(&gain),
        "{gain} of {outdoors}"
    );
    // What it would do is what it does.
    let (air_c, _) = bare.under(NightCoverKind::ThickFleece, &RISK_LEAF).unwrap();
    near(air_c, laid.air_min_c, 1e-9);
    assert!(laid.under(NightCoverKind::Film, &RISK_LEAF).is_none());
    let leaf_gain = laid.leaf_c(&RISK_LEAF) - bare.leaf_c(&RISK_LEAF);
    assert!(leaf_gain > 0.8 * gain, "{leaf_gain} {gain}");
    // Heated all year there is nothing to gain.
    let (plain, covered) = (night(&warm, None), night(&warm, Some(fleece)));
    near(plain.air_min_c, covered.air_min_c, 1e-9);
    assert!(plain.under(NightCoverKind::Film, &RISK_LEAF).is_none());
    // In the weather years too, in its months only, and told.
    let world = World::new();
    let year = |cover| {
        let (site, spot) = with(cold.clone(), cover);
        world.air(&site, &spot, 0.0)
    };
    let (bare, laid) = (year(None), year(Some(fleece)));
    assert!(laid.weeks[3].night_c > bare.weeks[3].night_c + 0.4);
    near(laid.weeks[28].night_c, bare.weeks[28].night_c, 1e-6);
    assert!(
        laid.influences
            .iter()
            .any(|i| i.contains("thick fleece laid on by night") && i.contains("nights of January")),
        "{:?}",
        laid.influences
    );
}

/// South of the equator July is the month that decides; a cover that is laid on in no January is told by its own months.
#[test]
fn what_nights_do_is_told_by_the_month_that_matters() {
    let mut world = World::new();
    // The year turned by half: the same open air as a southern one.
    world.place.latitude_deg = -47.4;
    for values in [
        &mut world.weather.typical.air_c,
        &mut world.weather.typical.global_w_m2,
        &mut world.weather.typical.beam_w_m2,
        &mut world.weather.typical.sky_w_m2,
    ] {
        values.rotate_left(182 * 24);
    }
    let spot = Spot {
        night_cover: Some(NightCover {
            kind: NightCoverKind::ThickFleece,
            months: Months::span(6, 8),
        }),
        ..spot_at(0.0, 0.0)
    };
    // In leaf, and no January, it lets no sky through.
    let mut light = light(1.0);
    light.factors[0].sky_view_cosine = 0.1;
    let told = world.air_in(&Site::default(), &spot, &light).influences;
    assert!(
        told.iter().any(|i| i.starts_with("sees 100 % of the sky")),
        "{told:?}"
    );
    let cover = told.iter().find(|i| i.starts_with("thick fleece")).unwrap();
    assert!(!cover.contains("+1.0 K on clear"), "{cover}");
    let gain: f64 = cover
        .split("by night: +")
        .nth(1)
        .and_then(|t| t.split(' ').next())
        .unwrap()
        .parse()
        .unwrap();
    assert!(gain > 2.0, "{cover}");
}
