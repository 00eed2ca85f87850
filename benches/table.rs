//! The table of speeds: `cargo bench --bench table` measures, runs `benches/reference.py` beside it where Python has
//! what that needs (`SILLWARD_PYTHON` names another interpreter), and writes `benches/SPEED.md`.

mod common;

use std::{fmt::Write as _, fs, path::Path, process::Command};

use common::measure::{all_cores, measured, pool};
use rayon::ThreadPool;
use serde_json::{Value, json};
use sillward::{
    base::{Hemisphere, Id, Progress, Pt, Season},
    light::{
        Directions, LightInputs, Scene,
        map::{Ask, Grid, Quantity, Span, draw},
        spots_year,
    },
    site::{Site, Spot},
    sky::SkyYear,
    sun::SunTable,
};

/// The reference takes the hours whose middle has the sun up.
const HALF_UP: f32 = 0.5;
/// Rays of the sky's view, as many as the reference sends.
const SKY_RAYS: usize = 4096;

fn main() {
    let (one, all) = (pool(1), all_cores());
    let mut rows: Vec<Row> = Vec::new();
    let reference = plain_year(&one, &all, &mut rows);
    full_year(&one, &all, &reference, &mut rows);
    let text = written(&rows, &reference);
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("benches/SPEED.md");
    print!("{text}");
    if let Err(error) = fs::write(&path, text) {
        eprintln!("{}: {error}", path.display());
    }
}

struct Row {
    what: String,
    one_ms: f64,
    all_ms: f64,
    reference: String,
}

/// What the reference does too: the sun, its beam at every hour of daylight, the sky's view.
fn plain_year(one: &ThreadPool, all: &ThreadPool, rows: &mut Vec<Row>) -> Value {
    let (site, boxes, points) = common::boxes();
    let scene = Scene::of(&site);
    let sun = SunTable::of(&site.place);
    let reference = reference(&site, &sun, &boxes, &points);
    let given = |key: &str| match reference[key].as_f64() {
        Some(s) => format!("{:.1}", s * 1e3),
        None => "-".to_owned(),
    };
    let suns = |sun: &SunTable| {
        let up = (0..sun.up_share.len()).filter(|h| sun.up_share[*h] > HALF_UP);
        let angles: Vec<(f64, f64)> = up
            .map(|h| (sun.azimuth_rad[h].into(), sun.elevation_rad[h].into()))
            .collect();
        Directions::of(&angles)
    };
    let sky: Vec<(f64, f64)> = (0..SKY_RAYS)
        .map(|k| {
            let share = (k as f64 + 0.5) / SKY_RAYS as f64;
            // Cosine-weighted, turned on by the golden angle.
            (k as f64 * 2.399_963_23, (1.0 - share).sqrt().asin())
        })
        .collect();
    let sky = Directions::of(&sky);
    let from_all = |directions: &Directions| -> Vec<f64> {
        points
            .iter()
            .map(|[x, y, z]| {
                let shares = scene.clear_shares(6, Pt(*x, *y), *z, directions);
                shares.iter().map(|s| f64::from(*s)).sum()
            })
            .collect()
    };
    let prepared = suns(&sun);
    let mut row = |what: String, (one_ms, all_ms): (f64, f64), reference: String| {
        rows.push(Row {
            what,
            one_ms,
            all_ms,
            reference,
        });
    };
    row(
        "Sun: position of 8,760 hours (ours: rise, set and transit too)".to_owned(),
        measured(one, all, || SunTable::of(&site.place)),
        given("sun_s"),
    );
    let hours = sun.up_share.iter().filter(|s| **s > HALF_UP).count();
    let beams = measured(one, all, || from_all(&prepared));
    let rate = (hours * points.len()) as f64 / beams.0 / 1e3;
    row(
        format!(
            "Beam: {} rays from 20 points to the sun among 60 boxes ({rate:.0} million a second on one core)",
            hours * points.len()
        ),
        beams,
        given("beam_s"),
    );
    let views = measured(one, all, || from_all(&sky));
    let rate = (SKY_RAYS * points.len()) as f64 / views.0 / 1e3;
    row(
        format!(
            "Sky view: {SKY_RAYS} rays from each of 20 points ({rate:.0} million a second on one core)"
        ),
        views,
        given("sky_s"),
    );
    let whole = ["sun_s", "beam_s", "sky_s"].map(|k| reference[k].as_f64());
    let whole = whole.into_iter().sum::<Option<f64>>();
    row(
        "**These three: the light year of 20 points as the reference has it**".to_owned(),
        measured(one, all, || {
            let sun = SunTable::of(&site.place);
            (from_all(&suns(&sun)), from_all(&sky))
        }),
        whole.map_or("-".to_owned(), |s| format!("{:.1}", s * 1e3)),
    );
    let worst = |key: &str, ours: Vec<f64>, by: f64| {
        let theirs = reference[key].as_array();
        theirs.map(|list| {
            list.iter()
                .zip(&ours)
                .filter_map(|(a, b)| Some((a.as_f64()? - b).abs() / by))
                .fold(0.0, f64::max)
        })
    };
    let mut reference = reference.clone();
    let sunny: Vec<f64> = from_all(&prepared);
    let seen: Vec<f64> = from_all(&sky).iter().map(|s| s / SKY_RAYS as f64).collect();
    reference["worst_sun_hours"] = json!(worst("sun_hours", sunny, 1.0));
    reference["worst_sky_view"] = json!(worst("sky_view", seen, 1.0));
    reference
}

/// All that the program does for its spots, in a scene of houses, roofs, trees and a room.
fn full_year(one: &ThreadPool, all: &ThreadPool, reference: &Value, rows: &mut Vec<Row>) {
    let site = common::site();
    let skies = common::Skies::over(&site);
    let scene = Scene::of(&site);
    let inputs = skies.inputs(&site, &scene);
    let spots: Vec<(&Id, &Spot)> = site.spots.iter().map(|(id, s)| (id, &**s)).collect();
    let year = |spots: &[(&Id, &Spot)]| spots_year(&inputs, &site, spots, &Progress::new());
    let mut row = |what: &str, (one_ms, all_ms): (f64, f64), reference: String| {
        rows.push(Row {
            what: what.to_owned(),
            one_ms,
            all_ms,
            reference,
        });
    };
    let none = || "-".to_owned();
    row(
        "Skies of a year: 577 patches by the hour",
        measured(one, all, || {
            SkyYear::of(&site.place, &skies.sun, &skies.typical)
        }),
        none(),
    );
    row(
        "**Our whole light year of 20 spots** (15 outdoors, 5 in a room): sun, skies, reflected light, clear-day peaks",
        measured(one, all, || {
            let sun = SunTable::of(&site.place);
            let sky = SkyYear::of(&site.place, &sun, &skies.typical);
            let inputs = LightInputs {
                sun: &sun,
                sky: &sky,
                ..inputs
            };
            spots_year(&inputs, &site, &spots, &Progress::new())
        }),
        none(),
    );
    let nothing = measured(one, all, || year(&[]));
    row(
        "- of it shared by all spots, sun and skies aside",
        nothing,
        none(),
    );
    let less = |a: (f64, f64), b: (f64, f64), by: f64| ((a.0 - b.0) / by, (a.1 - b.1) / by);
    let outdoors = measured(one, all, || year(&spots[5..]));
    row(
        "- each spot outdoors, surfaces that light it included (of 15)",
        less(outdoors, nothing, 15.0),
        none(),
    );
    let twice: Vec<(&Id, &Spot)> = spots[5..].iter().chain(&spots[5..]).copied().collect();
    let again = measured(one, all, || year(&twice));
    row(
        "- each further spot outdoors among surfaces already known: sky by 577 patches, beam by exact shadows",
        less(again, outdoors, 15.0),
        none(),
    );
    let first = measured(one, all, || year(&spots[..1]));
    let five = measured(one, all, || year(&spots[..5]));
    row(
        "- each further spot in a room",
        less(five, first, 4.0),
        none(),
    );
    row(
        "- a room with its first spot, surfaces outside the window included",
        less(first, nothing, 1.0),
        none(),
    );
    let grid = Grid {
        origin: Pt(-5.0, -5.0),
        cell_m: 0.8,
        columns: 100,
        rows: 100,
        height_m: 0.0,
        storey_m: 0.0,
    };
    let ask = Ask {
        quantity: Quantity::Dli,
        span: Span::season(Season::Summer, Hemisphere::North),
        hour: None,
    };
    let map = |_: ()| draw(&inputs, &ask, &grid, None, &Progress::new(), &mut |_| ());
    row(
        "Map of 10,000 points for a season (ours in the scene with roofs, trees and a room, with reflected light)",
        measured(one, all, || map(())),
        reference["map_s"]
            .as_f64()
            .map_or_else(none, |s| format!("{:.0}", s * 1e3)),
    );
}

/// The reference's own measurement; says why where there is none.
fn reference(site: &Site, sun: &SunTable, boxes: &[[f64; 6]], points: &[[f64; 3]]) -> Value {
    let place = &site.place;
    let scene = json!({
        "latitude_deg": place.latitude_deg,
        "longitude_deg": place.longitude_deg,
        "elevation_m": place.elevation_m,
        "offset_h": sun.standard_offset_h,
        "boxes": boxes,
        "points": points,
    });
    let file = std::env::temp_dir().join("sillward-speed-scene.json");
    if let Err(error) = fs::write(&file, scene.to_string()) {
        return json!({ "missing": error.to_string() });
    }
    let python = std::env::var("SILLWARD_PYTHON").unwrap_or_else(|_| "python3".to_owned());
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("benches/reference.py");
    match Command::new(python).arg(script).arg(&file).output() {
        Ok(done) => serde_json::from_slice(&done.stdout).unwrap_or_else(
            |_| json!({ "missing": String::from_utf8_lossy(&done.stderr).lines().last() }),
        ),
        Err(error) => json!({ "missing": error.to_string() }),
    }
}

fn of_system(file: &str, key: &str) -> String {
    fs::read_to_string(file)
        .unwrap_or_default()
        .lines()
        .find_map(|line| line.strip_prefix(key))
        .map_or("unknown".to_owned(), |rest| {
            rest.trim_start_matches([' ', '\t', ':']).to_owned()
        })
}

fn written(rows: &[Row], reference: &Value) -> String {
    let mut text = String::from(
        "# How fast the light engine is\n\nWritten by `cargo bench --bench table`; do not edit by hand. One core: mean \
         processor time of one thread. All cores: shortest wall time of five, which other programs on the machine \
         lengthen. Reference: `benches/reference.py`, one process, processor time, best of five, in the same run.\n\n",
    );
    let _ = writeln!(
        text,
        "Machine: {}, {} cores. Date: {}. Version {}, `rustc` release profile.\n",
        of_system("/proc/cpuinfo", "model name"),
        std::thread::available_parallelism().map_or(1, usize::from),
        chrono::Utc::now().date_naive(),
        env!("CARGO_PKG_VERSION"),
    );
    let _ = match reference["versions"].as_str() {
        Some(versions) => writeln!(text, "Reference: {versions}.\n"),
        None => writeln!(
            text,
            "The reference was not measured ({}); it needs Python with numpy, pandas, pvlib, embreex and trimesh.\n",
            reference["missing"].as_str().unwrap_or("no answer")
        ),
    };
    text.push_str(
        "| Work | one core, ms | all cores, ms | reference, ms |\n|---|---:|---:|---:|\n",
    );
    for row in rows {
        let _ = writeln!(
            text,
            "| {} | {:.2} | {:.2} | {} |",
            row.what, row.one_ms, row.all_ms, row.reference
        );
    }
    if let (Some(hours), Some(view)) = (
        reference["worst_sun_hours"].as_f64(),
        reference["worst_sky_view"].as_f64(),
    ) {
        let _ = writeln!(
            text,
            "\nThe two agree: of about 4,400 hours of daylight the sun is seen in the same ones but for {hours:.0} at the \
             worst of the 20 points; the sky's view differs by {view:.4} at most."
        );
    }
    let _ = writeln!(
        text,
        "\nMost memory that this whole measurement held at once, all of the above included: {} (VmHWM).",
        of_system("/proc/self/status", "VmHWM")
    );
    text
}
