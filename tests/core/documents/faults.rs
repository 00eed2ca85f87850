//! Sites that read well but cannot be, or are likely not what was meant.

use sillward::site::{
    Room, Site,
    file::{self, Severity},
    samples::SAMPLES,
};

/// A small site without fault or doubt, one table to a line.
const SOUND: &str = r#"(
version: 1,
place: (latitude_deg: 50, longitude_deg: 5, time_zone: "Europe/Brussels"),
climate: (normals: (night_min_c: [0,0,2,4,8,11,13,13,10,7,3,1], day_max_c: [6,7,10,14,18,21,23,23,19,15,10,7])),
buildings: {"house": (name: "House", outline: [(0,0),(8,0),(8,6),(0,6)])},
rooms: {"room": (name: "Room", outline: [(0.3,0.3),(5,0.3),(5,5),(0.3,5)])},
windows: {"south": (name: "South", room: "room", from_corner_m: 1, width_m: 1.5)},
screens: {"wall": (name: "Wall", line: [(0,-5),(8,-5)])},
trees: {"tree": (name: "Tree", at: (4,-9))},
cloths: {"cloth": (name: "Cloth", outline: [(0,-4),(3,-4),(3,-2),(0,-2)])},
heaters: {"radiator": (name: "Radiator", room: "room", at: (1.8,0.4))},
vents: {"vent": (name: "Vent", room: "room", at: (4.9,2))},
spots: {
"sill": (name: "Sill", room: "room", outline: [(1.4,0.35),(2.7,0.35)], height_m: 0.9, holds: (pots: 3, rim_cm: 20)),
"bench": (name: "Bench", outline: [(0.2,-3.8),(2.8,-3.8),(2.8,-3)], holds: (pots: 4, rim_cm: 30)),
},
plants: {"lemon": (name: "Lemon", kind: "lemon", stands: "bench")},
journal: [(date: "2026-03-01", plant: "lemon", event: Fed)],
choices: (pins: [(plant: "lemon", spot: "bench", from: "2026-06-01", to: "2026-06-30")]),
)"#;

/// What is said of [`SOUND`] when one thing in it is written differently.
#[track_caller]
fn said(part: &str, instead: &str) -> Vec<file::Fault> {
    assert_eq!(SOUND.matches(part).count(), 1, "{part:?} stands once");
    let text = SOUND.replace(part, instead);
    file::parse_unfinished(&text, "x").unwrap().faults
}

#[track_caller]
fn one(severity: Severity, part: &str, instead: &str, expected: &[&str]) {
    let faults = said(part, instead);
    let text: Vec<String> = faults.iter().map(ToString::to_string).collect();
    assert_eq!(faults.len(), 1, "{instead}: {text:#?}");
    assert_eq!(faults[0].severity, severity, "{text:#?}");
    let line = 1 + SOUND[..SOUND.find(part).unwrap()].matches('\n').count();
    assert_eq!(faults[0].line, Some(line), "{text:#?}");
    assert!(!faults[0].remedy.is_empty() && !faults[0].field.is_empty());
    for part in expected {
        assert!(
            text[0].contains(part),
            "{:?} does not say {part:?}",
            text[0]
        );
    }
}

#[track_caller]
fn fault(part: &str, instead: &str, expected: &[&str]) {
    one(Severity::Fault, part, instead, expected);
}

#[track_caller]
fn doubt(part: &str, instead: &str, expected: &[&str]) {
    one(Severity::Doubt, part, instead, expected);
}

#[test]
fn a_sound_site_has_nothing_wrong() {
    let faults = file::parse_unfinished(SOUND, "x").unwrap().faults;
    assert!(faults.is_empty(), "{faults:#?}");
}

#[test]
fn what_cannot_be_is_a_fault() {
    fault(
        "latitude_deg: 50",
        "latitude_deg: 95",
        &["place.latitude_deg", "from -90 to 90"],
    );
    fault(
        "Europe/Brussels",
        "Europe/Brusels",
        &["not a time zone", "IANA"],
    );
    fault(
        "night_min_c: [0,",
        "night_min_c: [9,",
        &["January", "warmer than days"],
    );
    fault(
        "day_max_c: [6,",
        "day_max_c: [66,",
        &["climate.normals.day_max_c[0]", "60 °C"],
    );
    fault("{\"house\"", "{\"The House\"", &["lower-case letters"]);
    fault(
        "(3,-2),(0,-2)]",
        "(0,-2),(3,-2)]",
        &["cloths.\"cloth\".outline", "crosses"],
    );
    fault(
        "[(0,-4),(3,-4),(3,-2),(0,-2)]",
        "[(0,-4),(3,-4)]",
        &["at least three corners"],
    );
    fault(
        "(0,-5),(8,-5)",
        "(0,-5)",
        &["screens.\"wall\".line", "two points"],
    );
    fault(
        "at: (4,-9)",
        "at: (4,NaN)",
        &["trees.\"tree\".at", "NaN is not a number"],
    );
    fault(
        "at: (4,-9)",
        "at: (4,-9), top_m: 1",
        &["trees.\"tree\".top_m", "lower end"],
    );
    fault(
        "at: (4,-9)",
        "at: (4e9,-9)",
        &["2000 m from the plan's origin"],
    );
    fault(
        "(0,-2)]",
        "(0,-2)], shade_pct: 99",
        &["cloths.\"cloth\".shade_pct", "5 to 95 %"],
    );
    fault(
        "room: \"room\", at: (4.9,2)",
        "room: \"rom\", at: (4.9,2)",
        &["no room \"rom\"", "did you mean \"room\""],
    );
    fault("width_m: 1.5", "width_m: 4.5", &["4.70 m long"]);
    fault("width_m: 1.5", "width_m: 1.5, wall: 4", &["walls, 0 to 3"]);
    fault(
        "width_m: 1.5",
        "width_m: 1.5, sill_m: 2",
        &["3.20 m above the floor"],
    );
    fault(
        "width_m: 1.5)",
        "width_m: 1.5), \"b\": (name: \"B\", room: \"room\", from_corner_m: 2.4)",
        &["windows.\"b\".from_corner_m", "overlaps \"south\""],
    );
    fault(
        "at: (1.8,0.4)",
        "at: (1.8,-2)",
        &["heaters.\"radiator\".at", "outside \"room\""],
    );
    fault(
        "at: (4.9,2)",
        "at: (4.9,2), height_m: 4",
        &["vents.\"vent\".height_m", "ceiling"],
    );
    fault(
        "(2.7,0.35)]",
        "(2.7,-4)]",
        &["spots.\"sill\".outline[1]", "outside \"room\""],
    );
    fault(
        "height_m: 0.9",
        "height_m: 2.4",
        &["spots.\"sill\".height_m", "ceiling at 2.5 m"],
    );
    fault(
        "kind: \"lemon\"",
        "kind: \"lemmon\"",
        &["did you mean \"lemon\"", "plants.\"lemon\".kind"],
    );
    fault(
        "stands: \"bench\"",
        "stands: \"bank\"",
        &["no spot \"bank\""],
    );
    fault(
        "stands: \"bench\"",
        "stands: \"bench\", weight_kg: 0",
        &["weight_kg"],
    );
    fault(
        "plant: \"lemon\", spot",
        "plant: \"lime\", spot",
        &["choices.pins[0].plant", "no plant"],
    );
    fault(
        "to: \"2026-06-30\"",
        "to: \"2026-05-30\"",
        &["before the first"],
    );
    fault(
        "\"2026-06-30\")",
        "\"2026-06-30\"), (plant: \"lemon\", spot: \"bench\", from: \"2026-06-30\", to: \"2026-07-01\")",
        &["choices.pins[1]", "on 2026-06-30"],
    );
    fault(
        "\"2026-03-01\"",
        "\"1026-03-01\"",
        &["journal[0].date", "1900 to 2200"],
    );
}

#[test]
fn readings_that_cannot_be_are_faults() {
    let bench = "holds: (pots: 4, rim_cm: 30)";
    let with = |reading: &str| format!("{bench}, {reading}");
    for (reading, expected) in [
        (
            "light: [(when: \"2026-06-01T12:00:00\", value: Lux(900000))]",
            "light[0].value",
        ),
        (
            "light: [(when: \"2026-06-01T12:00:00\", value: Ppfd(54000))]",
            "check the unit",
        ),
        (
            "min_max: [(date: \"2026-01-01\", min_c: 9, max_c: 4)]",
            "exchange the two",
        ),
        ("min_max: [(date: \"2026-01-01\", min_c: 98)]", "in °C"),
        (
            "humidity: [(when: \"2026-06-01T12:00:00\", rh_pct: 0)]",
            "1 to 100 %",
        ),
    ] {
        fault(bench, &with(reading), &["spots.\"bench\"", expected]);
    }
}

#[test]
fn what_is_likely_not_meant_is_a_doubt() {
    doubt(
        "longitude_deg: 5",
        "longitude_deg: -75",
        &["place.time_zone", "sign of the longitude"],
    );
    doubt(", stands: \"bench\"", "", &["no place yet"]);
    doubt("rim_cm: 20))", "rim_cm: 20), months: [])", &["in no month"]);
    doubt("\"Tree\"", "\"\"", &["has no name"]);
    doubt(
        "name: \"Sill\"",
        "name: \"bench\"",
        &["spots.\"sill\".name", "also the name of \"bench\""],
    );
    doubt(
        "plant: \"lemon\", event",
        "plant: \"lime\", event",
        &["any more"],
    );
    let faults = said("from_corner_m: 1,", "kind: Door, from_corner_m: 1,");
    assert_eq!(faults.len(), 1, "{faults:#?}");
    assert!(faults[0].field == "spots.\"sill\".room" && faults[0].what.contains("no window"));
}

#[test]
fn all_faults_are_told_at_once_and_in_the_order_of_the_file() {
    let text = SOUND
        .replace("latitude_deg: 50", "latitude_deg: 500")
        .replace("width_m: 1.5", "width_m: 15")
        .replace("kind: \"lemon\"", "kind: \"brick\"")
        .replace("stands: \"bench\"", "stands: \"nowhere\"");
    let Err(file::SiteFileError::Faults { faults, .. }) = file::parse(&text, "x") else {
        panic!("no faults");
    };
    let lines: Vec<_> = faults.iter().map(|f| f.line.unwrap()).collect();
    assert_eq!(lines, [3, 7, 17, 17], "{faults:#?}");
}

#[test]
fn own_kinds_are_held_to_the_same_rules() {
    let kind = sillward::needs::library::kinds()
        .get(&"lemon".into())
        .unwrap();
    let mut broken = sillward::needs::Kind::clone(kind);
    broken.stages[0].needs.dli.value.2 = 1e9;
    broken.stages[0].water.depletion.value = 3.0;
    broken.brighter_step.value = 0.0;
    let mut site = SAMPLES[0].read().unwrap().site;
    site.kinds.put("own".into(), broken.clone());
    let faults = file::check(&site);
    let fields: Vec<&str> = faults.iter().map(|f| f.field.as_str()).collect();
    assert_eq!(
        fields,
        [
            "kinds.\"own\".stages[0].needs.dli.value",
            "kinds.\"own\".stages[0].water.depletion.value",
            "kinds.\"own\".brighter_step.value",
        ]
    );
    broken.stages.clear();
    site.kinds.put("own".into(), broken);
    assert!(file::check(&site)[0].what.contains("no stages"));
}

#[test]
fn a_site_without_anything_tells_what_is_needed_first() {
    let faults = file::check(&Site::default());
    let fields: Vec<&str> = faults.iter().map(|f| f.field.as_str()).collect();
    assert_eq!(
        fields,
        ["climate.normals.night_min_c", "climate.normals.day_max_c"]
    );
    // What is usual at the latitude stands in: a site made without a climate can be planned, and is read again.
    assert!(faults.iter().all(|f| f.severity == Severity::Doubt));
    let kept = file::to_text(&Site::default());
    assert!(file::parse(&kept, "kept.ron").is_ok());
}

#[test]
fn seasons_on_the_wrong_half_of_the_earth_are_doubted() {
    let faults = said("latitude_deg: 50", "latitude_deg: -50");
    let told: Vec<&str> = faults.iter().map(|f| f.field.as_str()).collect();
    // So is a heater that runs in what is then summer.
    assert_eq!(told.len(), 2, "{faults:#?}");
    assert!(told.contains(&"climate.normals") && told.contains(&"heaters.\"radiator\".runs"));
    assert!(
        faults
            .iter()
            .any(|f| f.remedy.contains("south is negative"))
    );
    assert!(faults.iter().any(|f| f.what.contains("summer here")));
}

#[test]
fn pots_that_have_no_room_are_told() {
    let faults = said("pots: 4, rim_cm: 30", "pots: 1, rim_cm: 19");
    let told: Vec<_> = faults
        .iter()
        .map(|f| (f.severity, f.field.as_str()))
        .collect();
    assert_eq!(
        told,
        [
            (Severity::Fault, "choices.pins[0].spot"),
            (Severity::Doubt, "spots.\"bench\".holds"),
            (Severity::Doubt, "plants.\"lemon\".stands"),
        ]
    );
}

#[test]
fn heavy_pots_overhead_are_told() {
    let text = SOUND
        .replace("rim_cm: 30)", "rim_cm: 30), reach: Overhead")
        .replace("kind: \"lemon\"", "kind: \"lemon\", weight_kg: 12");
    let faults = file::parse_unfinished(&text, "x").unwrap().faults;
    assert_eq!(faults.len(), 1, "{faults:#?}");
    assert!(faults[0].what.contains("12 kg overhead"));
}

#[test]
fn the_curtain_and_the_heater_are_kept_apart() {
    let text = SOUND
        .replace("width_m: 1.5", "width_m: 1.5, coverings: [(kind: Curtain)]")
        .replace("at: (1.8,0.4)", "kind: Stove, at: (1.8,0.9)");
    let faults = file::parse_unfinished(&text, "x").unwrap().faults;
    assert_eq!(faults.len(), 1, "{faults:#?}");
    assert!(faults[0].what.contains("curtain at \"south\""));
}

#[test]
fn a_month_may_be_unknown_and_the_others_are_still_held() {
    let known = "night_min_c: [0,0,2,4,8,11,13,13,10,7,3,1]";
    assert!(said(known, "night_min_c: [0,0,None,4,8,11,13,13,10,None,3,1]").is_empty());
    fault(
        "day_max_c: [6,7,10,14,18,21,23,23,",
        "day_max_c: [6,7,10,None,18,21,23,230,",
        &["climate.normals.day_max_c[7]", "230"],
    );
    fault(
        known,
        "night_min_c: [0,9,None,4,8,11,13,13,10,7,3,1]",
        &["February: nights of 9 °C are warmer than days of 7 °C"],
    );
    // Nothing but unknown months is no row.
    let none = format!("night_min_c: [{}]", ["None"; 12].join(","));
    let missing = said(known, &none);
    assert_eq!(missing.len(), 1, "{missing:#?}");
    assert_eq!(missing[0].field, "climate.normals.night_min_c");
    assert!(missing[0].what.contains("missing") && missing[0].severity == Severity::Doubt);
    // Read, written, read: the same.
    let text = SOUND.replace(known, "night_min_c: [0,0,None,4,8,11,13,13,10,7,3,1]");
    let site = file::parse_unfinished(&text, "x").unwrap().site;
    let written = file::to_text(&site);
    assert!(written.contains("[0, 0, None, 4, 8"), "{written}");
    assert_eq!(file::parse_unfinished(&written, "x").unwrap().site, site);
}

#[test]
fn a_frost_cover_where_it_does_nothing_is_doubted() {
    let sill = "\"sill\": (name: \"Sill\",";
    // The room is heated from October to April.
    let with = |months: &str| {
        said(
            sill,
            &format!("\"sill\": (name: \"Sill\", night_cover: (kind: Fleece, months: {months}),"),
        )
    };
    let winter = with("[12, 1, 2]");
    assert!(
        winter.len() == 1 && winter[0].what.contains("months without heating"),
        "{winter:?}"
    );
    let all_year = with("[1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12]");
    let always = Room::default().air;
    assert_eq!(
        all_year.is_empty(),
        (0..12).any(|m| always.heated_to_c(m).is_none())
    );
}
