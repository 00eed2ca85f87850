//! Light at a spot, held against closed forms and reference renderers.

use std::{f64::consts::PI, sync::LazyLock};

use sillward::{
    base::{Id, Progress, Pt, Table},
    climate::TypicalYear,
    light::{LightFactors, LightInputs, Scene, SkyChoice, SpotLight, spot_hours, spots_year},
    site::{Building, Glazing, Place, Room, Site, Spot, Window},
    sky::SkyYear,
    sun::SunTable,
};

fn place() -> Place {
    Place {
        latitude_deg: 47.0,
        longitude_deg: 8.0,
        time_zone: "Etc/GMT-1".to_owned(),
        elevation_m: 400.0,
        ..Place::default()
    }
}

/// The same sun for all tests, and a year in which every hour of daylight has 300 W/m² of beam and 100 W/m² of sky.
static SUN: LazyLock<SunTable> = LazyLock::new(|| SunTable::of(&place()));
static YEAR: LazyLock<(TypicalYear, SkyYear)> = LazyLock::new(|| {
    let up = |by: f32| -> Vec<f32> { SUN.up_share.iter().map(|s| s * by).collect() };
    let beam = up(300.0);
    let sky = up(100.0);
    let global = (0..beam.len())
        .map(|h| sky[h] + beam[h] * SUN.elevation_rad[h].sin().max(0.0))
        .collect();
    let typical = TypicalYear {
        beam_w_m2: beam,
        sky_w_m2: sky,
        global_w_m2: global,
        ..TypicalYear::default()
    };
    let sky = SkyYear::of(&place(), &SUN, &typical);
    (typical, sky)
});

fn with_inputs<T>(site: &Site, run: impl FnOnce(&LightInputs<'_>) -> T) -> T {
    let scene = Scene::of(site);
    run(&LightInputs {
        place: &site.place,
        sun: &SUN,
        typical: &YEAR.0,
        sky: &YEAR.1,
        scene: &scene,
        turbidity_linke: [3.0; 12],
    })
}

fn lights(site: &Site) -> Vec<SpotLight> {
    with_inputs(site, |inputs| {
        let spots: Vec<(&Id, &Spot)> = site.spots.iter().map(|(id, s)| (id, &**s)).collect();
        spots_year(inputs, site, &spots, &Progress::new()).unwrap()
    })
}

fn site(spots: &[Spot]) -> Site {
    Site {
        place: place().into(),
        spots: spots
            .iter()
            .enumerate()
            .map(|(k, s)| (Id::new(&format!("spot-{k:02}")), s.clone()))
            .collect(),
        ..Site::default()
    }
}

fn spot(x: f64, y: f64, z: f64) -> Spot {
    Spot {
        outline: vec![Pt(x, y)],
        height_m: z,
        leaf_m: 0.0,
        ..Spot::default()
    }
}

fn table<T>(items: impl IntoIterator<Item = (&'static str, T)>) -> Table<T> {
    items
        .into_iter()
        .map(|(id, item)| (Id::new(id), item))
        .collect()
}

fn near(what: &str, value: f64, expected: f64, tolerance: f64) {
    assert!(
        (value - expected).abs() <= tolerance,
        "{what}: {value} is not {expected} ± {tolerance}"
    );
}

fn rectangle(x0: f64, y0: f64, x1: f64, y1: f64) -> Vec<Pt> {
    vec![Pt(x0, y0), Pt(x1, y0), Pt(x1, y1), Pt(x0, y1)]
}

#[test]
fn an_open_place_gets_all_there_is() {
    let site = site(&[spot(0.0, 0.0, 0.5)]);
    let light = &lights(&site)[0];
    let f = light.factors[6];
    near("sky view", f.sky_view_plain, 1.0, 0.002);
    near("cosine", f.sky_view_cosine, 1.0, 0.002);
    near("daylight factor", f.daylight_sky_pct, 100.0, 0.05);
    near("thrown back", f.daylight_outside_pct, 0.0, 1e-9);
    near("one-sided", f.one_sided, 0.0, 0.02);
    let (typical, _) = &*YEAR;
    for h in (0..8760).filter(|h| SUN.up_share[*h] > 0.0) {
        let level = typical.global_w_m2[h] - typical.sky_w_m2[h];
        near(
            "beam",
            f64::from(light.beam_ppfd[h]),
            2.02 * f64::from(level),
            0.01,
        );
        near(
            "sky",
            f64::from(light.sky_ppfd[h]),
            2.20 * f64::from(typical.sky_w_m2[h]),
            0.2,
        );
        near(
            "sunlit",
            light.sunlit[h].into(),
            SUN.up_share[h].into(),
            1e-6,
        );
    }
    let sum: f64 = light.dli.iter().map(|d| f64::from(*d)).sum();
    let hours: f64 = (0..8760)
        .map(|h| {
            f64::from(light.beam_ppfd[h] + light.sky_ppfd[h] + light.reflected_ppfd[h]) * 0.0036
        })
        .sum();
    near("light of the year", sum, hours, hours * 1e-4);
}

/// Level place before an endless wall whose top stands at elevation a, even sky: (1 + cos a)/2 of the open.
#[test]
fn validate_endless_wall_against_closed_form() {
    for elevation_deg in [20.0_f64, 40.0, 60.0, 80.0] {
        let a = elevation_deg.to_radians();
        let wall = Building {
            outline: rectangle(-2000.0, 2.0, 2000.0, 3.0),
            wall_top_m: 2.0 * a.tan(),
            eaves_m: 0.0,
            ..Building::default()
        };
        let mut site = site(&[spot(0.0, 0.0, 0.0)]);
        // Turned, so that the plan's frame isn't the true one.
        site.place = Place {
            plan_north_deg: 33.0,
            ..place()
        }
        .into();
        site.buildings = table([("wall", wall)]);
        let f = lights(&site)[0].factors[0];
        near("cosine", f.sky_view_cosine, (1.0 + a.cos()) / 2.0, 0.004);
        near("solid angle", f.sky_view_plain, 1.0 - a / PI, 0.004);
    }
}

fn room(window: Window, depth_m: f64) -> Site {
    // Bare opening in a black room: only the sky is left. The window's wall is the south one.
    let mut site = site(&[]);
    site.rooms = table([(
        "room",
        Room {
            outline: rectangle(-4.0, 0.0, 4.0, depth_m),
            height_m: 3.0,
            wall_reflectance: 0.0,
            floor_reflectance: 0.0,
            ceiling_reflectance: 0.0,
            ..Room::default()
        },
    )]);
    site.windows = table([("window", window)]);
    site
}

fn bare(width_m: f64, sill_m: f64, height_m: f64) -> Window {
    Window {
        room: "room".into(),
        wall: 0,
        from_corner_m: 4.0,
        width_m,
        sill_m,
        height_m,
        glazing: Glazing::Open,
        reveal_m: 0.0,
        outer_reveal_m: 0.0,
        ..Window::default()
    }
}

/// Sky component of an unglazed window of width w and height h whose lower corner lies level with the point and
/// square before it at distance d, CIE overcast sky: the closed form for vertical rectangular openings
/// (as in CIE 171:2006, section 5; Seshadri 1960; formula evaluated independently by numerical integration).
fn sky_component_pct(w: f64, h: f64, d: f64) -> f64 {
    let (w, h) = (w / d, h / d);
    let (a, b) = ((1.0 + h * h).sqrt(), (1.0 + w * w).sqrt());
    100.0
        * (3.0 / (14.0 * PI) * (w.atan() - (w / a).atan() / a)
            + 2.0 / (7.0 * PI)
                * ((w * h / (a * b)).asin() - w * h / (a * a * (1.0 + w * w + h * h).sqrt())))
}

#[test]
fn validate_corner_of_a_window_against_closed_form() {
    near("formula", sky_component_pct(1.0, 1.0, 1.0), 4.525, 0.001);
    near("formula", sky_component_pct(1.5, 1.2, 2.0), 1.730, 0.001);
    for (w, h, d) in [
        (1.0, 1.0, 1.0),
        (1.5, 1.2, 2.0),
        (1.0, 1.2, 0.5),
        (1.5, 1.5, 0.1),
    ] {
        let mut site = room(bare(w, 0.9, h), 5.0);
        site.spots = table([(
            "spot",
            Spot {
                room: Some("room".into()),
                ..spot(0.0, d, 0.9)
            },
        )]);
        let f = lights(&site)[0].factors[0];
        let expected = sky_component_pct(w, h, d);
        near(
            "sky component",
            f.daylight_sky_pct,
            expected,
            0.01 * expected,
        );
        near("inside", f.daylight_inside_pct, 0.0, 1e-6);
    }
}

/// Daylight factors of three rooms by Radiance 5.4 through pyradiance 1.3.1: see `tests/reference/light`.
#[test]
fn validate_daylight_factors_against_radiance() {
    // (window width, height, sill), (walls, floor, ceiling), factor by depth from the glass.
    type Case = ([f64; 3], [f64; 3], [(f64, f64); 6]);
    const CASES: [Case; 3] = [
        (
            [2.0, 1.2, 0.9],
            [0.5, 0.2, 0.7],
            [
                (0.2, 25.31),
                (0.5, 18.80),
                (1.0, 9.45),
                (2.0, 2.87),
                (3.0, 1.34),
                (4.0, 0.84),
            ],
        ),
        (
            [2.0, 1.2, 0.9],
            [0.3, 0.15, 0.7],
            [
                (0.2, 25.10),
                (0.5, 18.57),
                (1.0, 9.19),
                (2.0, 2.61),
                (3.0, 1.11),
                (4.0, 0.62),
            ],
        ),
        (
            [3.0, 2.0, 0.3],
            [0.6, 0.3, 0.8],
            [
                (0.2, 27.55),
                (0.5, 22.83),
                (1.0, 14.38),
                (2.0, 6.17),
                (3.0, 3.51),
                (4.0, 2.48),
            ],
        ),
    ];
    for (window, reflectances, rows) in CASES {
        let mut site = site(&rows.map(|(depth, _)| Spot {
            room: Some("room".into()),
            ..spot(0.0, depth, 0.9)
        }));
        site.grounds = table([(
            "ground",
            sillward::site::Ground {
                outline: rectangle(-500.0, -500.0, 500.0, 500.0),
                reflectance: Some(0.2),
                ..Default::default()
            },
        )]);
        site.rooms = table([(
            "room",
            Room {
                outline: rectangle(-1.75, 0.0, 1.75, 5.0),
                height_m: 2.6,
                wall_reflectance: reflectances[0],
                floor_reflectance: reflectances[1],
                ceiling_reflectance: reflectances[2],
                ..Room::default()
            },
        )]);
        let [width_m, height_m, sill_m] = window;
        site.windows = table([(
            "window",
            Window {
                room: "room".into(),
                from_corner_m: 1.75 - width_m / 2.0,
                width_m,
                sill_m,
                height_m,
                glazing: Glazing::DoubleLowE,
                clean: 1.0,
                reveal_m: 0.0,
                outer_reveal_m: 0.0,
                ..Window::default()
            },
        )]);
        for ((depth, expected), light) in rows.iter().zip(lights(&site)) {
            let LightFactors {
                daylight_sky_pct,
                daylight_outside_pct,
                daylight_inside_pct,
                ..
            } = light.factors[0];
            let total = daylight_sky_pct + daylight_outside_pct + daylight_inside_pct;
            near(&format!("at {depth} m"), total, *expected, 0.10 * expected);
        }
    }
}

#[test]
fn single_days_follow_the_chosen_sky() {
    let site = site(&[spot(0.0, 0.0, 0.5)]);
    with_inputs(&site, |inputs| {
        let spot = site.spots.values().next().unwrap();
        for (sky, sunny) in [
            (
                SkyChoice::Clear {
                    turbidity_linke: Some(2.5),
                },
                true,
            ),
            (SkyChoice::Overcast, false),
            (SkyChoice::Typical, true),
        ] {
            let hours = spot_hours(inputs, &site, spot, 171, 1, sky);
            assert_eq!(hours.len(), 24);
            let noon = hours[12];
            assert_eq!(noon.beam_ppfd_umol_m2_s > 0.0, sunny);
            let all = noon.beam_ppfd_umol_m2_s + noon.sky_ppfd_umol_m2_s;
            near("open", all, noon.open_ppfd_umol_m2_s, 0.002 * all);
        }
    });
}
