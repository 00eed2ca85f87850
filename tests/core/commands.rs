//! The commands, run as a user runs them: the real program in a fresh folder.

use std::{
    path::Path,
    process::{Command, Output},
};

use serde_json::Value;

const SAMPLE: &str = sillward::commands::FIRST_SAMPLE;

fn sillward(arguments: &[&str], folder: &Path) -> Output {
    Command::new(env!("CARGO_BIN_EXE_sillward"))
        .args(arguments)
        .current_dir(folder)
        .env_remove("DISPLAY")
        .env_remove("WAYLAND_DISPLAY")
        .output()
        .unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// Runs a command that must end well, and reads its JSON.
fn json(arguments: &[&str]) -> Value {
    let folder = tempfile::tempdir().unwrap();
    let output = sillward(arguments, folder.path());
    assert_eq!(
        output.status.code(),
        Some(0),
        "{arguments:?}: {}",
        text(&output.stderr)
    );
    serde_json::from_slice(&output.stdout).unwrap()
}

/// Runs a command on a file with this text.
fn on_file(file_text: &str, before: &[&str], after: &[&str]) -> Output {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("mine.ron"), file_text).unwrap();
    let arguments: Vec<&str> = before
        .iter()
        .chain(&["mine.ron"])
        .chain(after)
        .copied()
        .collect();
    let output = sillward(&arguments, folder.path());
    assert_eq!(
        std::fs::read_to_string(folder.path().join("mine.ron")).unwrap(),
        file_text,
        "reading changed the file"
    );
    output
}

/// A first spot and plant of the sample, for commands that want one.
fn names() -> (String, String) {
    let site = sillward::site::samples::SAMPLES[0].read().unwrap().site;
    let indoors = site.spots.iter().find(|(_, s)| s.room.is_some()).unwrap();
    (
        indoors.0.to_string(),
        site.plants.ids().next().unwrap().to_string(),
    )
}

#[test]
fn without_a_display_it_says_so_and_prints_the_samples_plan() {
    let folder = tempfile::tempdir().unwrap();
    let output = sillward(&[], folder.path());
    assert_eq!(output.status.code(), Some(0));
    assert!(text(&output.stderr).contains("no display"));
    let plan = text(&output.stdout);
    assert!(plan.contains("Moves") && plan.contains("of the best there is"));
    assert_eq!(
        plan,
        text(&sillward(&["plan", SAMPLE], folder.path()).stdout),
        "the same as `plan` prints, twice the same"
    );
}

#[test]
fn plan_as_json_is_whole() {
    let plan = json(&["plan", SAMPLE, "--json"]);
    let gap = plan["gap_pct"].as_f64().unwrap();
    let (worth, bound) = (
        plan["objective"].as_f64().unwrap(),
        plan["upper_bound"].as_f64().unwrap(),
    );
    assert!(worth <= bound + 1e-6 && (0.0..=5.0).contains(&gap));
    for plant in plan["plants"].as_array().unwrap() {
        let weeks: u64 = plant["stays"]
            .as_array()
            .unwrap()
            .iter()
            .map(|s| s["weeks"].as_u64().unwrap())
            .sum();
        let without: u64 = plan["without_room"]
            .as_array()
            .unwrap()
            .iter()
            .filter(|w| w["plant"] == plant["plant"])
            .map(|w| w["weeks"].as_u64().unwrap())
            .sum();
        assert_eq!(weeks + without, 52, "{}", plant["plant"]);
    }
    for step in plan["moves"].as_array().unwrap() {
        assert!(
            step["reason"].as_str().unwrap().len() > 10,
            "a move without a reason: {step}"
        );
    }
}

#[test]
fn plan_tells_stages_and_flowering_odds() {
    let plan = json(&["plan", SAMPLE, "--json"]);
    let site = sillward::site::samples::SAMPLES[0].read().unwrap().site;
    for plant in plan["plants"].as_array().unwrap() {
        let kind = site
            .kind(&sillward::base::Id::new(plant["kind"].as_str().unwrap()))
            .unwrap();
        let stages = plant["stages"].as_array().unwrap();
        assert_eq!(stages.len(), kind.stages.len());
        for stage in stages {
            assert!(stage["day"].as_u64().unwrap() < 365);
            assert!(stage["climate_d"].as_i64().unwrap().abs() <= 21);
        }
        let flowers = kind
            .stages
            .iter()
            .any(|s| s.stage == sillward::needs::StageName::Bloom);
        match plant["flowering"]["odds"].as_f64() {
            Some(odds) => {
                assert!(flowers && odds > 0.0 && odds <= 0.9, "{plant}");
                let told = plant["flowering"]["text"].as_str().unwrap();
                assert!(told.contains("an estimate"), "{told}");
            }
            None => assert!(!flowers, "{plant}"),
        }
    }
    let folder = tempfile::tempdir().unwrap();
    let told = text(&sillward(&["plan", SAMPLE], folder.path()).stdout);
    assert!(told.contains("will flower: about"), "{told}");
}

#[test]
fn suits_ranks_the_whole_library() {
    let fits = json(&["suits", SAMPLE, "--empty", "--json"]);
    let fits = fits.as_array().unwrap();
    assert_eq!(fits.len(), sillward::needs::library::kinds().len());
    let scores: Vec<f64> = fits.iter().map(|f| f["score"].as_f64().unwrap()).collect();
    assert!(scores.is_sorted_by(|a, b| a >= b));
    assert!(scores.iter().all(|s| (0.0..=100.0).contains(s)));
    for fit in fits {
        let weeks: u64 = fit["course"]
            .as_array()
            .unwrap()
            .iter()
            .map(|s| s["weeks"].as_u64().unwrap())
            .sum();
        assert_eq!(weeks, 52, "{}", fit["kind"]);
        assert!(fit["year_score"].as_f64() >= fit["worst_month_score"].as_f64());
        assert!(!fit["reason"].as_str().unwrap().is_empty());
    }
    // A house with mild winters: what is common on its street does well, and what needs a hothouse does not.
    let place = |id: &str| fits.iter().position(|f| f["kind"] == id).unwrap();
    assert!(place("bay") < place("phalaenopsis"));
    assert!(place("aspidistra") < place("vanda"));
    // With the plan's plants in their places there is not more room than without.
    let left = json(&["suits", SAMPLE, "--json"]);
    for fit in left.as_array().unwrap() {
        let empty = &fits[place(fit["kind"].as_str().unwrap())];
        let scores = |f: &Value| {
            f["year_score"].as_f64().unwrap() * 52.0
                - 60.0 * f["course"].as_array().unwrap().len() as f64
        };
        assert!(scores(empty) >= scores(fit) - 61.0, "{}", fit["kind"]);
    }
    let folder = tempfile::tempdir().unwrap();
    let told = text(&sillward(&["suits", SAMPLE, "--empty"], folder.path()).stdout);
    assert!(told.contains("seriously poisonous to people and pets"));
    assert!(told.contains("(grown here)") && told.contains("an estimate"));
    let code = sillward(&["suits", SAMPLE, "--pot", "900"], folder.path()).status;
    assert_eq!(code.code(), Some(2));
}

#[test]
fn fit_ranks_places_to_bloom_and_partners_both_ways() {
    let site = sillward::site::samples::SAMPLES[0].read().unwrap().site;
    let rows = json(&["fit", SAMPLE, "--bloom", "--json"]);
    let mut flowering = 0;
    for row in rows.as_array().unwrap() {
        let places = row["places"].as_array().unwrap();
        flowering += usize::from(!places.is_empty());
        // Where the pot does not fit comes last, whatever it scores.
        let rank = |p: &Value| {
            let points = p["points"].as_f64().unwrap() + p["worst"].as_f64().unwrap();
            (p["misfit"].is_null(), points)
        };
        assert!(places.is_sorted_by(|a, b| rank(a) >= rank(b)));
        for place in places {
            let spot = site
                .spots
                .get(&place["spot"].as_str().unwrap().into())
                .unwrap();
            assert!(spot.room.is_some(), "indoors only");
            assert!(!place["reason"].as_str().unwrap().is_empty());
            let asked: Vec<&str> = place["checks"]
                .as_array()
                .unwrap()
                .iter()
                .map(|c| c["asked"].as_str().unwrap())
                .collect();
            for what in [
                "bright",
                "cool nights",
                "airy",
                "moist air",
                "no heater's plume",
                "no vent's jet",
            ] {
                assert!(asked.contains(&what), "{what}");
            }
        }
    }
    assert!(flowering > 3);
    let partners = json(&["fit", SAMPLE, "--partners", "--json"]);
    assert_eq!(
        partners["plants"].as_array().unwrap().len(),
        site.plants.len()
    );
    assert_eq!(
        partners["spots"].as_array().unwrap().len(),
        site.spots.len()
    );
    let folder = tempfile::tempdir().unwrap();
    let told = text(&sillward(&["fit", SAMPLE, "--partners"], folder.path()).stdout);
    assert!(told.contains("best spot over the year") && told.contains("best plant over the year"));
}

#[test]
fn kinds_are_told_with_sources_and_against_the_climate() {
    let all = json(&["kind", SAMPLE, "--json"]);
    assert!(all.as_array().unwrap().len() >= 57);
    let one = json(&["kind", SAMPLE, "cymbidium-standard", "--json"]);
    let open = &one["against_climate"];
    assert_eq!(open["weeks"].as_array().unwrap().len(), 52);
    let months = open["months"].as_array().unwrap();
    assert_eq!(months.len(), 12);
    // A northern sample: midsummer is brighter and warmer than midwinter.
    for what in ["light_mol_m2_d", "day_c", "night_c"] {
        let of = |m: usize| months[m][what].as_f64().unwrap();
        assert!(of(6) > of(0) + 3.0, "{what}");
    }
    let folder = tempfile::tempdir().unwrap();
    let told = text(&sillward(&["kind", SAMPLE, "Clivia"], folder.path()).stdout);
    for what in [
        "light of a day",
        "drying air",
        "roots suffer from",
        "Nights: ",
        "common practice",
    ] {
        assert!(told.contains(what), "{what} in {told}");
    }
    let code = sillward(&["kind", SAMPLE, "no-such"], folder.path()).status;
    assert_eq!(code.code(), Some(2));
}

#[test]
fn a_plant_tells_its_pot_its_year_and_its_history() {
    let site = sillward::site::samples::SAMPLES[0].read().unwrap().site;
    for id in site.plants.ids().take(2) {
        let told = json(&["plant", SAMPLE, id.as_str(), "--json"]);
        assert!(told["mix_l"].as_f64().unwrap() > 0.0);
        assert!(!told["stages"].as_array().unwrap().is_empty());
        let dates: Vec<&str> = told["history"]
            .as_array()
            .unwrap()
            .iter()
            .map(|h| h["date"].as_str().unwrap())
            .collect();
        assert!(dates.is_sorted_by(|a, b| a >= b), "{id}");
        if id == site.plants.ids().next().unwrap() {
            let folder = tempfile::tempdir().unwrap();
            let told = text(&sillward(&["plant", SAMPLE, id.as_str()], folder.path()).stdout);
            assert!(
                told.contains("L of mix") && told.contains("History"),
                "{told}"
            );
        }
    }
}

#[test]
fn fit_holds_two_spots_against_each_other() {
    let site = sillward::site::samples::SAMPLES[0].read().unwrap().site;
    let plant = site
        .plants
        .iter()
        .find(|(_, p)| p.kind.as_str() == "cymbidium-standard")
        .unwrap()
        .0
        .to_string();
    let spots: Vec<&str> = site.spots.ids().map(|s| s.as_str()).collect();
    let ask = |a: &str, b: &str| {
        json(&[
            "fit",
            SAMPLE,
            "--plant",
            &plant,
            "--spot",
            a,
            "--against",
            b,
            "--json",
        ])
    };
    let there = ask(spots[0], spots[1]);
    let back = ask(spots[1], spots[0]);
    let (there, back) = (there.as_array().unwrap(), back.as_array().unwrap());
    assert_eq!(there.len(), 4, "the stages of a cymbidium");
    assert_eq!(
        there
            .iter()
            .map(|r| r["weeks"].as_u64().unwrap())
            .sum::<u64>(),
        52
    );
    for (a, b) in there.iter().zip(back) {
        let points = |r: &Value| r["points"].as_f64().unwrap();
        assert!((points(a) + points(b)).abs() < 1e-6);
        let count = |r: &Value, list: &str| r[list].as_array().unwrap().len();
        assert_eq!(count(a, "gains"), count(b, "losses"));
        let told = points(a).abs() > 5.0;
        assert!(
            !told || a["mend"] == b["mend"] && a["mend"].is_string(),
            "{a}"
        );
    }
    let folder = tempfile::tempdir().unwrap();
    let refused = sillward(&["fit", SAMPLE, "--against", spots[0]], folder.path());
    assert_eq!(refused.status.code(), Some(2));
}

#[test]
fn plan_begins_where_it_is_told() {
    let plan = json(&["plan", SAMPLE, "--from", "2027-02-01", "--json"]);
    assert_eq!(plan["from"], "2027-02-01");
}

#[test]
fn light_by_the_hour_adds_up_to_its_dli() {
    let (spot, _) = names();
    let light = json(&[
        "light",
        SAMPLE,
        "--spot",
        &spot,
        "--date",
        "2026-06-21",
        "--days",
        "2",
        "--sky",
        "clear",
        "--turbidity",
        "3",
        "--json",
    ]);
    let hours = light["hours"].as_array().unwrap();
    assert_eq!(hours.len(), 48);
    let of = |hour: &Value, name: &str| hour[name].as_f64().unwrap();
    let dli: f64 = hours[..24]
        .iter()
        .map(|h| {
            of(h, "beam_ppfd_umol_m2_s")
                + of(h, "sky_ppfd_umol_m2_s")
                + of(h, "reflected_ppfd_umol_m2_s")
        })
        .sum::<f64>()
        * 3600.0
        / 1e6;
    let told = light["dli_mol_m2_d"][0].as_f64().unwrap();
    assert!((dli - told).abs() < 1e-6 * told.max(1.0) && told > 0.0);
    let noon = hours[..24]
        .iter()
        .map(|h| of(h, "sun_elevation_deg"))
        .fold(f64::MIN, f64::max);
    let latitude = sillward::site::samples::SAMPLES[0]
        .read()
        .unwrap()
        .site
        .place
        .latitude_deg;
    // On the day of the solstice the sun culminates at 90° - latitude + 23.44°; hours see it within 7.5° of noon.
    assert!((noon - (90.0 - latitude + 23.44)).abs() < 1.0, "{noon}");
}

#[test]
fn light_factors_are_given_for_each_month() {
    let (spot, _) = names();
    let factors = json(&["light", SAMPLE, "--spot", &spot, "--factors", "--json"]);
    let months = factors["months"].as_array().unwrap();
    assert_eq!(months.len(), 12);
    for month in months {
        let view = month["sky_view_cosine"].as_f64().unwrap();
        assert!((0.0..=1.0).contains(&view));
        assert!(
            month["daylight_inside_pct"].as_f64().unwrap() > 0.0,
            "it stands in a room"
        );
    }
}

/// A wall south of a place on the equator side of it: its top stands at the angle whose tangent is height over distance.
const BEHIND_A_WALL: &str = r#"(
    version: 1,
    name: "Behind a wall",
    place: (latitude_deg: 47.0, time_zone: "UTC"),
    climate: (normals: (
        night_min_c: [0, 0, 2, 5, 9, 12, 14, 14, 11, 7, 3, 1],
        day_max_c: [5, 6, 10, 14, 19, 22, 24, 24, 20, 14, 9, 6],
    )),
    screens: {"wall": (name: "South wall", line: [(-400, -4), (400, -4)], top_m: 3.8, thickness_m: 0.1)},
    spots: {"bench": (name: "Bench", outline: [(0, 0)], height_m: 0.8, leaf_m: 0)},
)
"#;

#[test]
fn a_horizon_tells_what_stands_where_and_when_the_sun_comes() {
    let output = on_file(BEHIND_A_WALL, &["horizon"], &["--spot", "bench"]);
    let words = text(&output.stdout);
    assert!(
        words.contains("South wall") && words.contains("January"),
        "{words}"
    );
    let output = on_file(
        BEHIND_A_WALL,
        &["horizon"],
        &["--at", "0,0", "--height", "0.8", "--json"],
    );
    let horizon: Value = serde_json::from_slice(&output.stdout).unwrap();
    // atan(3 m / 3.95 m): the face towards the place is half a thickness nearer.
    let south = &horizon["skylines"][0]["columns"][180][0];
    let top = (3.0_f64 / 3.95).atan().to_degrees();
    assert!(
        (south["to_deg"].as_f64().unwrap() - top).abs() <= 0.5,
        "{south}"
    );
    assert_eq!(
        horizon["objects"][south["object"].as_u64().unwrap() as usize]["id"],
        "wall"
    );
    assert_eq!(
        horizon["skylines"][0]["columns"][0]
            .as_array()
            .unwrap()
            .len(),
        0
    );
    let sun: Vec<f64> = horizon["sun_h"]
        .as_array()
        .unwrap()
        .iter()
        .map(|h| h.as_f64().unwrap())
        .collect();
    // Noon of December stands at 20°, below the wall; that of June at 66°.
    assert!(sun[11] < 0.5 && sun[5] > 8.0, "{sun:?}");
}

#[test]
fn a_map_is_dark_behind_a_wall_and_knows_its_unit() {
    let output = on_file(
        BEHIND_A_WALL,
        &["light"],
        &["--map", "sun-hours", "--week", "0", "--cell", "1", "--json"],
    );
    let map: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!((&map["unit"], &map["columns"]), (&"h".into(), &4.into()));
    let rows = map["rows"].as_array().unwrap();
    assert_eq!(rows.len(), 4);
    for value in rows.iter().flat_map(|r| r.as_array().unwrap()) {
        assert!(value.as_f64().unwrap() < 0.5, "{map}");
    }
    let output = on_file(
        BEHIND_A_WALL,
        &["light"],
        &["--map", "dli", "--season", "summer"],
    );
    let words = text(&output.stdout);
    assert!(
        words.starts_with("DLI, mol/m² a day, summer") && words.lines().count() == 7,
        "{words}"
    );
}

#[test]
fn air_by_hour_and_by_week() {
    let (spot, _) = names();
    let hours = json(&[
        "air",
        SAMPLE,
        "--spot",
        &spot,
        "--date",
        "2026-01-10",
        "--json",
    ]);
    assert_eq!(hours["hours"].as_array().unwrap().len(), 24);
    let weeks = json(&[
        "air", SAMPLE, "--spot", &spot, "--weeks", "--frost", "-2", "--json",
    ]);
    let weeks = weeks["weeks"].as_array().unwrap();
    assert_eq!(weeks.len(), 52);
    for week in weeks {
        assert!((0.0..=1.0).contains(&week["frost_chance"].as_f64().unwrap()));
        assert_eq!(week["frost_limit_c"], -2.0);
        assert!(week["day_c"].as_f64().unwrap() >= week["night_c"].as_f64().unwrap() - 0.5);
    }
}

/// Out of the frost and into the dark would be no help.
#[test]
fn no_place_that_harms_is_named_as_safer() {
    let mut told = 0;
    for sample in sillward::site::samples::SAMPLES {
        let plan = json(&["plan", sample.id, "--json"]);
        for exposed in plan["exposed"].as_array().unwrap() {
            told += 1;
            let help = exposed["help"].as_str().unwrap();
            assert!(!help.is_empty() && !help.contains("(harmed)"), "{help}");
        }
    }
    assert!(told > 0);
}

#[test]
fn fit_sorts_spots_by_the_year() {
    let (_, plant) = names();
    let rows = json(&["fit", SAMPLE, "--plant", &plant, "--json"]);
    // Where the pot does not fit comes last, whatever it scores.
    let years: Vec<(bool, f64)> = rows
        .as_array()
        .unwrap()
        .iter()
        .map(|r| {
            let fits = r["misfit"].is_null();
            (fits, r["year_score"].as_f64().unwrap())
        })
        .collect();
    assert!(years.len() > 3 && years.is_sorted_by(|a, b| a >= b));
    let (spot, _) = names();
    let weeks = json(&[
        "fit", SAMPLE, "--plant", &plant, "--spot", &spot, "--weeks", "--json",
    ]);
    let weeks = weeks[0]["weeks"].as_array().unwrap();
    assert_eq!(weeks.len(), 52);
    assert!(weeks.iter().all(|w| !w["why"].as_str().unwrap().is_empty()));
}

#[test]
fn each_sample_can_be_printed_checked_and_planned() {
    let folder = tempfile::tempdir().unwrap();
    for sample in sillward::site::samples::SAMPLES {
        let printed = text(&sillward(&["samples", sample.id], folder.path()).stdout);
        assert_eq!(printed, sample.text);
        let checked = on_file(&printed, &["check"], &[]);
        assert_eq!(checked.status.code(), Some(0), "{}", text(&checked.stderr));
    }
}

#[test]
fn a_week_of_the_plan_and_none_beside_it() {
    let site = sillward::site::samples::SAMPLES[0].read().unwrap().site;
    let from = site.choices.plan_from.unwrap();
    let day = (from + chrono::Days::new(30)).to_string();
    let tasks = json(&["week", SAMPLE, "--date", &day, "--json"]);
    assert!(tasks.as_array().unwrap().iter().all(|t| t["week"] == 4));
    assert!(!tasks.as_array().unwrap().is_empty());
    let folder = tempfile::tempdir().unwrap();
    let before = (from - chrono::Days::new(1)).to_string();
    let refused = sillward(&["week", SAMPLE, "--date", &before], folder.path());
    assert_eq!(refused.status.code(), Some(2));
}

const LOGGER: &str = concat!(
    env!("CARGO_MANIFEST_DIR"),
    "/tests/reference/loggers/spot-and-open.csv"
);

#[test]
fn a_loggers_file_is_previewed_with_its_faults() {
    let folder = tempfile::tempdir().unwrap();
    let run = sillward(
        &["logger", LOGGER, "--zone", "Europe/Zurich"],
        folder.path(),
    );
    assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
    let said = text(&run.stdout);
    for part in [
        "5501 rows, semicolons between the cells, a decimal comma.",
        "From 2025-02-01 00:00 to 2025-09-28 23:00, every 1 h; 5499 rows taken.",
        "Hours are counted by the clock on the wall, with daylight saving.",
        "261 rows are missing; the longest pause, 201.0 h, begins at",
        "1 rows have the time of another row; the first of each is kept.",
        "temperature in °C",
        "! line 1802, Temperatur Platz °C: 85 °C cannot be a temperature;",
    ] {
        assert!(said.contains(part), "no \"{part}\" in\n{said}");
    }
    let preview = json(&["logger", LOGGER, "--zone", "Europe/Zurich", "--json"]);
    assert_eq!(preview["columns"][0]["quantity"], "temperature");
    assert_eq!(preview["rows_missing"], 261);
    let asks = folder.path().join("asks.csv");
    std::fs::write(
        &asks,
        "time,temp °C\n03/02/2026 10:00,5\n03/02/2026 11:00,6\n",
    )
    .unwrap();
    let asks = asks.to_str().unwrap();
    let run = sillward(&["logger", asks], folder.path());
    assert_eq!(run.status.code(), Some(1));
    assert!(text(&run.stdout).contains("--dates day-month-year"));
    let told = sillward(
        &["logger", asks, "--dates", "month-day-year"],
        folder.path(),
    );
    assert_eq!(told.status.code(), Some(0));
    assert!(text(&told.stdout).contains("2026-03-02 10:00"));
    let none = sillward(&["logger", "no-such-file.csv"], folder.path());
    assert_eq!(none.status.code(), Some(1));
}

#[test]
fn readings_are_told_against_the_model_and_questioned() {
    const SITE: &str = r#"(
    version: 1,
    name: "Readings",
    place: (latitude_deg: 47, longitude_deg: 8, time_zone: "Europe/Zurich"),
    climate: (normals: (
        night_min_c: [-2, -2, 1, 4, 8, 11, 13, 13, 10, 6, 2, -1],
        day_max_c: [3, 5, 10, 14, 19, 22, 25, 24, 20, 14, 7, 4],
    )),
    spots: {
        "bench": (name: "Bench", outline: [(0, 0)], height_m: 0.8,
            light: [
                (when: "2026-06-10T13:00:00", value: Lux(60000)),
                (when: "2026-06-11T01:00:00", value: Lux(500)),
                (when: "2026-12-11T13:00:00", value: Lux(110000)),
                (when: "2026-06-12T13:00:00", value: Lux(9000), sky: Mixed, open: Some(Lux(20000))),
            ],
            min_max: [(date: "2026-06-10", min_c: 11, outdoors_min_c: Some(9)), (date: "2026-06-11", min_c: 50)]),
    },
)"#;
    let run = on_file(SITE, &["readings"], &[]);
    assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
    let said = text(&run.stdout);
    for part in [
        "- By 2 readings, the model gave",
        "off after correction.",
        "light[1] (2026-06-11 01:00): the sun is not up then",
        "light[2] (2026-12-11 13:00): it is more than the open clear sky gives then",
        "min_max[1] (2026-06-11): it is",
    ] {
        assert!(said.contains(part), "no \"{part}\" in\n{said}");
    }
    let run = on_file(SITE, &["readings"], &["--json"]);
    let rows: Value = serde_json::from_slice(&run.stdout).unwrap();
    assert_eq!(rows[0]["questioned"].as_array().unwrap().len(), 3);
    assert!(rows[0]["light"][0]["model_ppfd"].as_f64().unwrap() > 500.0);
    assert!(rows[0]["light_correction"]["factor"].as_f64().unwrap() < 0.9);
    let checked = on_file(SITE, &["check"], &[]);
    assert!(text(&checked.stdout).contains("questioned: spots.\"bench\".light[1]"));
}

#[test]
fn exit_codes_tell_a_bad_file_from_bad_usage() {
    let folder = tempfile::tempdir().unwrap();
    let code = |arguments: &[&str]| sillward(arguments, folder.path()).status.code();
    assert_eq!(code(&["plan", SAMPLE]), Some(0));
    assert_eq!(code(&["--help"]), Some(0));
    assert_eq!(code(&["--version"]), Some(0));
    assert_eq!(code(&["plan", "no-such-file.ron"]), Some(1));
    assert_eq!(code(&["plan"]), Some(2));
    assert_eq!(code(&["plant", SAMPLE]), Some(2));
    assert_eq!(code(&["fit", SAMPLE, "--plant", "no-such-plant"]), Some(2));
    assert_eq!(code(&["light", SAMPLE, "--spot", "no-such-spot"]), Some(2));
    let (spot, _) = names();
    assert_eq!(
        code(&["light", SAMPLE, "--spot", &spot, "--turbidity", "NaN"]),
        Some(2)
    );
    assert_eq!(
        code(&["light", SAMPLE, "--spot", &spot, "--days", "0"]),
        Some(2)
    );
    assert_eq!(code(&["light", SAMPLE]), Some(2));
    assert_eq!(
        code(&["light", SAMPLE, "--map", "dli", "--cell", "0"]),
        Some(2)
    );
    assert_eq!(code(&["horizon", SAMPLE, "--at", "3"]), Some(2));
    for beyond in ["-262143-01-01", "+262142-12-31", "1899-12-31", "2026-02-30"] {
        let date = format!("--date={beyond}");
        assert_eq!(code(&["light", SAMPLE, "--spot", &spot, &date]), Some(2));
        let from = format!("--from={beyond}");
        assert_eq!(code(&["plan", SAMPLE, &from]), Some(2));
    }
    assert_eq!(
        on_file("(version: 1", &["check"], &[]).status.code(),
        Some(1)
    );
    assert_eq!(on_file("", &["plan"], &[]).status.code(), Some(1));
    assert_eq!(
        on_file("(version: 9)", &["check"], &["--json"])
            .status
            .code(),
        Some(1)
    );
}

#[test]
fn a_bad_file_names_line_field_and_remedy() {
    let bad =
        "(\n    version: 1,\n    place: (latitude_deg: 95.0, time_zone: \"Europe/Lisbon\"),\n)\n";
    let output = on_file(bad, &["check"], &[]);
    let message = text(&output.stderr);
    assert!(
        message.contains("line 3") && message.contains("latitude_deg"),
        "{message}"
    );
    let output = on_file(bad, &["check"], &["--json"]);
    let faults: Value = serde_json::from_slice(&output.stdout).unwrap();
    let faults = faults["faults"].as_array().unwrap();
    let fault = faults
        .iter()
        .find(|f| f["field"] == "place.latitude_deg")
        .unwrap();
    assert_eq!(fault["line"], 3);
    assert!(fault["remedy"].as_str().unwrap().len() > 3);
}

#[test]
fn places_are_found_by_name_and_by_coordinates() {
    let towns = json(&["place", "Saint-Etienne,", "france", "--json"]);
    let first = &towns[0];
    assert_eq!(first["name"], "Saint-Étienne");
    assert_eq!(first["time_zone"], "Europe/Paris");
    assert_eq!(first["country"], "France");
    // 45.43° N, 4.39° E (atlas, from memory).
    assert!((first["latitude_deg"].as_f64().unwrap() - 45.43).abs() < 0.03);
    let nearest = json(&["place", "-33.9", "18.4", "--limit", "1", "--json"]);
    assert_eq!(nearest.as_array().unwrap().len(), 1);
    assert_eq!(nearest[0]["time_zone"], "Africa/Johannesburg");
    let folder = tempfile::tempdir().unwrap();
    let none = sillward(&["place", "Qqqq"], folder.path());
    assert_eq!(none.status.code(), Some(2));
    assert!(text(&none.stderr).contains("nearest larger one"));
}

#[test]
fn a_forecast_says_which_plants_must_come_in() {
    let mild = json(&[
        "forecast",
        SAMPLE,
        "--low",
        "14",
        "--date",
        "2026-09-20",
        "--json",
    ]);
    let frost = json(&[
        "forecast",
        SAMPLE,
        "--low",
        "-9",
        "--date",
        "2026-09-20",
        "--json",
    ]);
    let count = |v: &Value, advice: &str| {
        v["plants"]
            .as_array()
            .unwrap()
            .iter()
            .filter(|p| p["advice"] == advice)
            .count()
    };
    assert_eq!(count(&mild, "bring_in"), 0, "{mild}");
    assert!(count(&frost, "bring_in") > 0);
    let spares: Vec<f64> = frost["plants"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|p| p["advice"] == "bring_in")
        .map(|p| p["spare_k"].as_f64().unwrap())
        .collect();
    assert!(spares.is_sorted() && spares.iter().all(|s| *s <= 0.0));
    // A place to go to comes with its score and its night; where the plan has the plant goes before all others.
    let refuges: Vec<&Value> = frost["plants"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|p| p["advice"] == "bring_in" && !p["to"].is_null())
        .collect();
    assert!(!refuges.is_empty());
    for p in &refuges {
        let to = &p["to"];
        assert!(to["points"].is_f64() && to["air_min_c"].as_f64() > p["air_min_c"].as_f64());
        assert_eq!(to["planned"], Value::Bool(to["spot"] == p["planned_on"]));
    }
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(
        folder.path().join("days.csv"),
        "date;low;high;wind km/h;sky\n2026-12-05;-9,5;2;5;clear\n2026-12-06;-4;3;20;overcast\n",
    )
    .unwrap();
    let said = sillward(&["forecast", SAMPLE, "--file", "days.csv"], folder.path());
    assert_eq!(said.status.code(), Some(0), "{}", text(&said.stderr));
    let said = text(&said.stdout);
    for part in [
        "Night of 5 December 2026: -9.5 °C",
        "Night of 6 December 2026",
        "Bring in",
        "carbon monoxide",
    ] {
        assert!(said.contains(part), "{part}: {said}");
    }
    std::fs::write(folder.path().join("days.csv"), "2026-12-05,cold\n").unwrap();
    let wrong = sillward(&["forecast", SAMPLE, "--file", "days.csv"], folder.path());
    assert_eq!(wrong.status.code(), Some(1));
    assert!(text(&wrong.stderr).contains("line 1, column 2"));
}

/// An outdoor spot of the sample and a plant.
fn outdoors() -> (String, String) {
    let site = sillward::site::samples::SAMPLES[0].read().unwrap().site;
    let spot = site.spots.iter().find(|(_, s)| s.room.is_none()).unwrap().0;
    (
        spot.to_string(),
        site.plants.ids().next().unwrap().to_string(),
    )
}

#[test]
fn cloth_as_json_is_whole_and_as_text_says_what_to_mind() {
    let (spot, plant) = outdoors();
    let asked = ["cloth", SAMPLE, "--spot", &spot, "--plant", &plant];
    let report = json(&[&asked[..], &["--json"]].concat());
    let trials = report["trials"].as_array().unwrap();
    assert_eq!(trials.len(), 10, "none and nine sizes");
    assert_eq!(trials[0]["shade_pct"], 0.0);
    for trial in trials {
        let months = trial["plants"][0]["months"].as_array().unwrap();
        assert_eq!(months.len(), 12);
        for month in months {
            for figure in ["dli_mol_m2_d", "peak_ppfd_umol_m2_s", "leaf_over_air_k"] {
                assert!(month[figure].as_f64().unwrap() > -5.0, "{figure}");
            }
        }
    }
    let chosen = report["chosen"].as_u64().unwrap() as usize;
    assert!(trials[chosen]["year_score"].as_f64() >= trials[0]["year_score"].as_f64());
    let folder = tempfile::tempdir().unwrap();
    let text = text(&sillward(&asked, folder.path()).stdout);
    for word in [
        report["sentence"].as_str().unwrap(),
        "Light of a day",
        "Clear noon",
        "Leaf above the air",
        "always up",
        "sail",
        "storms",
        "local codes",
        " kN",
    ] {
        assert!(text.contains(word), "no {word:?} in\n{text}");
    }
}

#[test]
fn cloth_by_two_readings() {
    let real = json(&[
        "cloth", "--under", "40000", "--beside", "100000", "--label", "50", "--json",
    ]);
    assert!((real["shade_pct"].as_f64().unwrap() - 60.0).abs() < 1e-9);
    assert_eq!(real["nominal"]["verdict"], "as_labelled");
    let folder = tempfile::tempdir().unwrap();
    let run = |arguments: &[&str]| sillward(arguments, folder.path());
    let said = run(&[
        "cloth", "--under", "1200", "--beside", "4000", "--unit", "fc",
    ]);
    assert!(
        text(&said.stdout).starts_with("It keeps out about 70 %"),
        "{}",
        text(&said.stdout)
    );
    let swapped = run(&["cloth", "--under", "90000", "--beside", "40000"]);
    assert_eq!(swapped.status.code(), Some(2));
    assert!(text(&swapped.stderr).contains("brighter under the cloth"));
    for bad in [
        &["cloth"][..],
        &["cloth", SAMPLE],
        &["cloth", "--under", "100"],
        &["cloth", "--under", "NaN", "--beside", "9000"],
        &[
            "cloth",
            "--under",
            "100",
            "--beside",
            "9000",
            "--when",
            "2026-06-20T12:00",
        ],
        &[
            "cloth", "--under", "100", "--beside", "9000", "--label", "300",
        ],
    ] {
        assert_eq!(run(bad).status.code(), Some(2), "{bad:?}");
    }
    let site = sillward::site::samples::SAMPLES[0].read().unwrap().site;
    let under = site
        .spots
        .iter()
        .find(|(_, s)| {
            s.room.is_none()
                && site
                    .cloths
                    .values()
                    .any(|c| sillward::base::geometry::contains(&c.outline, s.middle()))
        })
        .unwrap()
        .0
        .to_string();
    let drawn = json(&[
        "cloth",
        SAMPLE,
        "--spot",
        &under,
        "--when",
        "2026-06-20T13:00",
        "--under",
        "900",
        "--beside",
        "1800",
        "--unit",
        "ppfd",
        "--json",
    ]);
    let sides = drawn["sides_pct"].as_f64().unwrap();
    assert!((0.0..50.0).contains(&sides));
    assert!(
        drawn["sentence"]
            .as_str()
            .unwrap()
            .contains("comes in at the sides")
    );
}

#[test]
fn an_evening_says_what_water_does_and_what_would_do_more() {
    let site = sillward::site::samples::SAMPLES[0].read().unwrap().site;
    let outdoors = site
        .spots
        .iter()
        .find(|(_, s)| s.room.is_none())
        .unwrap()
        .0
        .to_string();
    let answer = json(&[
        "evening", SAMPLE, "--spot", &outdoors, "--month", "8", "--json",
    ]);
    assert_eq!(answer["effects"].as_array().unwrap().len(), 4);
    let bound = answer["wet_bulb_below_k"].as_f64().unwrap();
    for effect in answer["effects"].as_array().unwrap() {
        assert!(effect["air_most_k"].as_f64().unwrap() <= bound + 1.0);
    }
    assert!(!answer["elsewhere"].as_array().unwrap().is_empty());
    let folder = tempfile::tempdir().unwrap();
    let said = text(
        &sillward(
            &["evening", SAMPLE, "--spot", &outdoors, "--month", "8"],
            folder.path(),
        )
        .stdout,
    );
    for part in [
        "Nights now:",
        "wet bulb",
        "ice on the mix",
        "Instead",
        "slippery",
    ] {
        assert!(said.contains(part), "{part}: {said}");
    }
}

#[test]
fn the_climate_tells_normals_risks_and_methods() {
    let told = json(&["climate", SAMPLE, "--json"]);
    assert_eq!(told["months"].as_array().unwrap().len(), 12);
    let risks = &told["risks"];
    assert_eq!(risks["weeks"].as_array().unwrap().len(), 52);
    let cold = |k: &str| risks["coldest_night"][k].as_f64().unwrap();
    assert!(cold("one_in_ten_c") < cold("every_other_c"));
    assert!(cold("one_in_thirty_c") < cold("one_in_ten_c"));
    assert!(risks["coldest_7_nights"]["every_other_c"].as_f64().unwrap() > cold("every_other_c"));
    assert!(!told["methods"].as_array().unwrap().is_empty());
    let folder = tempfile::tempdir().unwrap();
    for arguments in [
        &["climate", SAMPLE][..],
        &["climate", SAMPLE, "--weeks", "--frost", "2"],
    ] {
        let output = sillward(arguments, folder.path());
        let said = text(&output.stdout);
        assert_eq!(output.status.code(), Some(0));
        assert!(
            said.contains("one year in ten") && said.contains("Where each figure comes from"),
            "{said}"
        );
    }
}

#[test]
fn a_weather_file_makes_a_site_that_can_be_read_again() {
    let file = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/tests/reference/climate/greensboro.epw"
    );
    let told = json(&["climate", SAMPLE, "--file", file, "--json"]);
    assert!(told["source"].as_str().unwrap().contains("GREENSBORO"));
    assert!(!told["file"]["says"].as_array().unwrap().is_empty());
    let folder = tempfile::tempdir().unwrap();
    let site = sillward(
        &["climate", SAMPLE, "--file", file, "--take"],
        folder.path(),
    );
    let checked = on_file(&text(&site.stdout), &["check"], &[]);
    assert_eq!(checked.status.code(), Some(0), "{}", text(&checked.stderr));
    std::fs::write(folder.path().join("bad.epw"), "LOCATION,A\n").unwrap();
    let bad = sillward(&["climate", SAMPLE, "--file", "bad.epw"], folder.path());
    assert_eq!(bad.status.code(), Some(1));
    assert!(text(&bad.stderr).contains("line 1, field 7 (latitude)"));
}

#[test]
fn a_forecast_is_kept_in_the_site_and_offered_again() {
    let folder = tempfile::tempdir().unwrap();
    let none = sillward(&["forecast", SAMPLE], folder.path());
    assert_eq!(none.status.code(), Some(2));
    assert!(text(&none.stderr).contains("give --low or --file"));
    // Far ahead, so that it reaches whenever this test runs.
    let taken = sillward(
        &[
            "forecast",
            SAMPLE,
            "--low",
            "-3",
            "--date",
            "2199-12-05",
            "--take",
        ],
        folder.path(),
    );
    assert_eq!(taken.status.code(), Some(0), "{}", text(&taken.stderr));
    let kept = text(&taken.stdout);
    assert!(kept.contains("told_on:") && kept.contains("night_min_c: -3"));
    let said = on_file(&kept, &["forecast"], &[]);
    assert_eq!(said.status.code(), Some(0), "{}", text(&said.stderr));
    let said = text(&said.stdout);
    for part in [
        "By the forecast kept in the site, told on",
        "Night of 5 December 2199: -3.0 °C",
    ] {
        assert!(said.contains(part), "{part} is not in\n{said}");
    }
}

#[test]
fn a_forecast_names_the_least_cover_that_will_do() {
    let nights = json(&[
        "forecast",
        SAMPLE,
        "--low",
        "-1",
        "--date",
        "2026-12-05",
        "--json",
    ]);
    let order = |advice: &Value| {
        ["bring_in", "be_ready", "stay"]
            .iter()
            .position(|a| advice == a)
    };
    let mut covered = 0;
    for plant in nights["plants"].as_array().unwrap() {
        let under = &plant["under"];
        if plant["advice"] == "stay" {
            assert!(under.is_null(), "{plant}");
        } else if !under.is_null() {
            covered += 1;
            assert!(
                order(&under["advice"]).unwrap() >= order(&plant["advice"]).unwrap(),
                "{plant}"
            );
            assert!(under["air_min_c"].as_f64() > plant["air_min_c"].as_f64());
            assert!(under["leaf_min_c"].as_f64() > plant["leaf_min_c"].as_f64());
        }
    }
    assert!(covered > 0, "{nights}");
}

#[test]
fn spots_lie_side_by_side_through_a_week() {
    let site = sillward::site::samples::SAMPLES[0].read().unwrap().site;
    let spots: Vec<String> = site.spots.ids().take(2).map(ToString::to_string).collect();
    let plant = site.plants.ids().next().unwrap().to_string();
    let ask = [
        "air",
        SAMPLE,
        "--spot",
        &spots[0],
        "--beside",
        &spots[1],
        "--plant",
        &plant,
        "--date",
        // With this day a week of the year begins.
        "2026-01-15",
    ];
    let mut with_json = ask.to_vec();
    with_json.push("--json");
    let week = json(&with_json);
    let hours = week["sun_up"].as_array().unwrap().len();
    assert_eq!(hours, 7 * 24);
    let both = week["spots"].as_array().unwrap();
    assert_eq!(both.len(), 2);
    for spot in both {
        let air: Vec<f64> = spot["air_c"]
            .as_array()
            .unwrap()
            .iter()
            .map(|v| v.as_f64().unwrap())
            .collect();
        assert_eq!(air.len(), hours);
        let lows = air
            .chunks(24)
            .map(|day| day.iter().copied().fold(f64::INFINITY, f64::min))
            .sum::<f64>()
            / 7.0;
        assert!((lows - spot["night_c"].as_f64().unwrap()).abs() < 1e-9);
        // The usual nights of the week, as `air --weeks` has them.
        let id = spot["spot"].as_str().unwrap();
        let weeks = json(&["air", SAMPLE, "--spot", id, "--weeks", "--json"]);
        let usual = weeks["weeks"][2]["night_c"].as_f64().unwrap();
        assert!((lows - usual).abs() < 0.01, "{lows} {usual}");
    }
    let wanted = &week["wanted"];
    assert_eq!(wanted["plant"], plant.as_str());
    assert!(wanted["day_c"][1].as_f64() <= wanted["day_c"][2].as_f64());
    let folder = tempfile::tempdir().unwrap();
    let said = text(&sillward(&ask, folder.path()).stdout);
    for part in ["wanted °C", "23-24", "nights down to"] {
        assert!(said.contains(part), "{part} is not in\n{said}");
    }
}

#[test]
fn what_was_done_is_recorded_and_what_was_not_is_listed() {
    let folder = tempfile::tempdir().unwrap();
    let (_, plant) = names();
    let until = ["--date", "2026-12-01"];
    let listed = json(&["record", SAMPLE, "--json", until[0], until[1]]);
    let moves = listed.as_array().unwrap().len();
    assert!(moves > 0);
    let planned = ["record", SAMPLE, "--planned", until[0], until[1]];
    let kept = sillward(&planned, folder.path());
    assert_eq!(kept.status.code(), Some(0), "{}", text(&kept.stderr));
    let kept = text(&kept.stdout);
    assert!(kept.matches("Moved(").count() >= moves);
    let again = on_file(&kept, &["record"], &until);
    assert!(
        text(&again.stdout).contains("no planned move of days gone by is unrecorded"),
        "{}",
        text(&again.stdout)
    );
    let watered = sillward(
        &[
            "record",
            SAMPLE,
            "--plant",
            &plant,
            "--done",
            "watered",
            "--date",
            "2026-09-30",
        ],
        folder.path(),
    );
    let watered = text(&watered.stdout);
    assert!(watered.contains("event: Watered"), "{watered}");
    let no_place = sillward(
        &["record", SAMPLE, "--plant", &plant, "--done", "moved"],
        folder.path(),
    );
    assert_eq!(no_place.status.code(), Some(2));
}

#[test]
fn a_site_without_a_climate_is_planned_and_says_what_it_rests_on() {
    let site = r#"(
    version: 1,
    name: "Two rooms",
    place: (name: "Invented", latitude_deg: 50.4, longitude_deg: -4.1, time_zone: "Europe/London"),
    spots: { "bench": (name: "Bench", outline: [(0, 0), (1, 0), (1, 1), (0, 1)]) },
    plants: { "mini": (name: "Miniature cymbidium", kind: "cymbidium-miniature", stands: "bench") },
)"#;
    for command in ["plan", "fit", "week"] {
        let said = on_file(site, &[command], &[]);
        assert_eq!(said.status.code(), Some(0), "{}", text(&said.stderr));
        let said = text(&said.stdout);
        assert!(
            said.starts_with("Climate guessed from the latitude: "),
            "{command}: {said}"
        );
    }
    let check = on_file(site, &["check"], &[]);
    assert_eq!(check.status.code(), Some(0), "{}", text(&check.stdout));
}

#[test]
fn nights_that_suit_need_no_other_place() {
    let site = sillward::site::samples::SAMPLES[0].read().unwrap().site;
    let outdoors = site.spots.iter().find(|(_, s)| s.room.is_none()).unwrap().0;
    let plant = site
        .plants
        .iter()
        .find(|(_, p)| p.kind.as_str().starts_with("cymbidium"))
        .unwrap()
        .0;
    let answer = json(&[
        "evening",
        SAMPLE,
        "--spot",
        outdoors.as_str(),
        "--plant",
        plant.as_str(),
        "--month",
        "1",
        "--json",
    ]);
    assert_eq!(answer["suits"], Value::Bool(true), "{answer}");
    assert!(answer["elsewhere"].as_array().unwrap().is_empty());
}
