//! The table of speeds of weather and air: `cargo bench --bench air` measures and writes `benches/SPEED-AIR.md`.
//!
//! Aims: 30 ms of one core for the hours of a year at twenty spots with all that is known of their air, 1 s for two hundred
//! weather years there, well under a second for the weather years themselves. A forecast is to be there at once: 100 ms.

mod common;

use std::{fmt::Write as _, fs, path::Path};

use common::{
    measure::{all_cores, measured, pool},
    table,
};
use sillward::{
    air::{
        AirInputs, SpotAir,
        forecast::{ForecastDay, nights},
        spots_year,
    },
    base::{Id, Progress, Pt, calendar::HOURS},
    climate,
    light::{LightFactors, SpotLight},
    site::{Building, Climate, Heater, Place, Room, Screen, Site, Spot, Tray, Tree, Vent, Window},
    sun::SunTable,
};

fn main() {
    let place = Place {
        latitude_deg: 47.4,
        longitude_deg: 8.5,
        elevation_m: 400.0,
        ..Place::default()
    };
    let known = climate_of_the_place();
    let sun = SunTable::of(&place);
    let progress = Progress::new();
    let weather = || {
        climate::weather(&place, &known, &sun, &progress)
            .unwrap_or_else(|error| panic!("no weather: {error}"))
    };
    let (site, spots, light) = (site(), spots(), light());
    let given: Vec<(&Id, &Spot)> = spots.iter().map(|(id, spot)| (id, spot)).collect();
    let light = vec![light; given.len()];
    let with_years = weather();
    let mut without_years = with_years.clone();
    without_years.years = climate::WeatherYears::default();
    let of = |weather| AirInputs {
        place: &place,
        sun: &sun,
        weather,
    };
    let air = |weather| {
        spots_year(&of(weather), &site, &given, &light, &progress)
            .unwrap_or_else(|error| panic!("no air: {error}"))
    };
    let airs = air(&with_years);
    let lights: Vec<&SpotLight> = light.iter().collect();
    let airs: Vec<&SpotAir> = airs.iter().collect();
    let week = week();

    let (one, all) = (pool(1), all_cores());
    let rows = [
        (
            "Weather: 200 weather years and a typical year by the hour, from normals",
            "",
            measured(&one, &all, weather),
        ),
        (
            "Air of 8,760 hours at 20 spots (15 outdoors, 5 in a room), all quantities, rooms and weeks included",
            "30",
            measured(&one, &all, || air(&without_years)),
        ),
        (
            "The same with the risks of 200 weather years",
            "1,000",
            measured(&one, &all, || air(&with_years)),
        ),
        (
            "A forecast's seven nights at 20 spots",
            "100",
            measured(&one, &all, || {
                nights(
                    &of(&with_years),
                    &site,
                    &given,
                    &lights,
                    &airs,
                    &week,
                    &progress,
                )
            }),
        ),
    ];
    let mut text = format!(
        "# How fast weather and air are\n\n\
         Written by `cargo bench --bench air`; do not edit by hand. One core: mean processor time of one thread. All cores: \
         shortest wall time of five, which other programs on the machine lengthen.\n\n\
         {} cores. Version {}, `rustc` release profile.\n\n\
         | Work | one core, ms | aim, ms | all cores, ms |\n|---|---:|---:|---:|\n",
        std::thread::available_parallelism().map_or(1, usize::from),
        env!("CARGO_PKG_VERSION"),
    );
    for (what, aim, (one_ms, all_ms)) in rows {
        // Writing to a String cannot fail.
        let _ = writeln!(text, "| {what} | {one_ms:.1} | {aim} | {all_ms:.1} |");
    }
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("benches/SPEED-AIR.md");
    print!("{text}");
    if let Err(error) = fs::write(&path, text) {
        eprintln!("{}: {error}", path.display());
    }
}

fn climate_of_the_place() -> Climate {
    let mut known = Climate::default();
    known.normals.night_min_c = Some(
        [
            -2.0, -1.8, 1.1, 4.2, 8.5, 11.7, 13.7, 13.6, 10.0, 6.6, 1.7, -0.8,
        ]
        .into(),
    );
    known.normals.day_max_c = Some(
        [
            3.0, 4.8, 9.6, 14.0, 18.4, 22.0, 24.3, 23.6, 19.1, 13.8, 7.2, 3.7,
        ]
        .into(),
    );
    known
}

/// An invented house with one room, a garden wall, hedges and trees.
fn site() -> Site {
    let rectangle = |x: f64, y: f64, w: f64, h: f64| {
        vec![Pt(x, y), Pt(x + w, y), Pt(x + w, y + h), Pt(x, y + h)]
    };
    Site {
        buildings: table(
            "house",
            std::iter::once(Building {
                outline: rectangle(-0.4, -0.4, 9.0, 6.0),
                ..Building::default()
            }),
        ),
        rooms: table(
            "room",
            std::iter::once(Room {
                outline: rectangle(0.0, 0.0, 4.0, 5.0),
                ..Room::default()
            }),
        ),
        windows: table(
            "window",
            std::iter::once(Window {
                room: Id::new("room-00"),
                leak_gap_mm: 1.0,
                ..Window::default()
            }),
        ),
        heaters: table(
            "heater",
            std::iter::once(Heater {
                room: Id::new("room-00"),
                at: Pt(1.1, 0.15),
                ..Heater::default()
            }),
        ),
        vents: table(
            "vent",
            std::iter::once(Vent {
                room: Id::new("room-00"),
                at: Pt(3.8, 2.5),
                ..Vent::default()
            }),
        ),
        trays: table(
            "tray",
            std::iter::once(Tray {
                room: Some(Id::new("room-00")),
                ..Tray::default()
            }),
        ),
        screens: table(
            "screen",
            (0..6).map(|k| Screen {
                line: vec![
                    Pt(-8.0 + 3.0 * f64::from(k), -14.0),
                    Pt(-5.5 + 3.0 * f64::from(k), -14.0 - f64::from(k % 2)),
                ],
                porosity: if k % 2 == 0 { 0.0 } else { 0.3 },
                ..Screen::default()
            }),
        ),
        trees: table(
            "tree",
            (0..4).map(|k| Tree {
                at: Pt(-6.0 + 4.0 * f64::from(k), -18.0),
                ..Tree::default()
            }),
        ),
        ..Site::default()
    }
}

fn spots() -> Vec<(Id, Spot)> {
    (0..20)
        .map(|i| {
            let indoors = i % 4 == 0;
            let spot = Spot {
                room: indoors.then(|| Id::new("room-00")),
                outline: vec![if indoors {
                    Pt(0.6 + 0.15 * f64::from(i), 0.2)
                } else {
                    Pt(0.5 * f64::from(i) - 4.0, -0.9 - 0.6 * f64::from(i))
                }],
                ..Spot::default()
            };
            (Id::new(&format!("spot-{i}")), spot)
        })
        .collect()
}

fn light() -> SpotLight {
    SpotLight {
        sky_ppfd: vec![100.0; HOURS],
        beam_ppfd: vec![50.0; HOURS],
        reflected_ppfd: vec![20.0; HOURS],
        sunlit: vec![0.5; HOURS],
        factors: vec![
            LightFactors {
                sky_view_cosine: 0.7,
                ..LightFactors::default()
            };
            12
        ],
        ..SpotLight::default()
    }
}

fn week() -> Vec<ForecastDay> {
    chrono::NaiveDate::from_ymd_opt(2026, 12, 5)
        .into_iter()
        .flat_map(|first| first.iter_days().take(7))
        .map(|date| ForecastDay {
            date,
            night_min_c: -3.0,
            day_max_c: Some(4.0),
            wind_m_s: None,
            cloud: None,
        })
        .collect()
}
