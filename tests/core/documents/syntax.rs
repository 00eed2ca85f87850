//! Texts that are not written as site files.

use proptest::prelude::*;
use sillward::site::{
    file::{self, SiteFileError},
    samples::SAMPLES,
};

/// The one fault of a text, as it is shown.
#[track_caller]
fn fault(text: &str) -> String {
    match file::parse(text, "garden.ron") {
        Err(e @ SiteFileError::Faults { .. }) => e.to_string(),
        other => panic!("no fault in {text:?}: {other:?}"),
    }
}

#[track_caller]
fn check(text: &str, expected: &[&str]) {
    let said = fault(text);
    for part in expected {
        assert!(said.contains(part), "{said:?} does not say {part:?}");
    }
}

#[test]
fn a_slip_is_told_with_its_line_its_place_and_the_remedy() {
    check(
        "(\n    version: 1,\n    spots: {\n        \"sill\": (\n            hieght_m: 1,\n        ),\n    },\n)",
        &[
            "garden.ron: line 5",
            "spots.\"sill\"",
            "hieght_m",
            "did you mean `height_m`",
        ],
    );
    check(
        "(\n    version: 1,\n    name: \"a\"\n    note: \"b\",\n)",
        &["line 3, name: column 14", "comma is missing"],
    );
    check(
        "(\n    version: 1,\n    rooms: {\"r\": (mass: Hevy)},\n)",
        &[
            "line 3",
            "rooms.\"r\".mass",
            "did you mean `Heavy`",
            "Light, Medium",
        ],
    );
    check(
        "(\n    version: 1,\n    place: (latitude_deg: \"50 N\"),\n)",
        &["line 3", "place.latitude_deg", "number is expected"],
    );
    check(
        "(\n    version: 1,\n    climate: (normals: (rain_mm: [1, 2, 3])),\n)",
        &["line 3", "twelve figures", "here are 3"],
    );
    check(
        "(\n    version: 1,\n    spots: {\"s\": (months: [0, 1])},\n)",
        &["line 3", "0 is not a month", "1 to 12"],
    );
    check(
        "(\n    version: 1,\n    choices: (plan_from: \"28.9.2026\"),\n)",
        &["line 3", "choices.plan_from", "not a date", "2026-10-25"],
    );
    check(
        "(\n    version: 1,\n    spots: {\n        \"s\": (),\n        \"s\": (),\n    },\n)",
        &["\"s\" stands twice", "rename one"],
    );
    check(
        "(\n    version: 1,\n    journal: [(event: Watered)],\n)",
        &["line 3", "journal[0]", "`date` is missing"],
    );
    check(
        "(\n    version: 1,\n    spots: {",
        &["everything is closed"],
    );
    check("(version: 1) )", &["after the end"]);
    check("{}", &["round brackets"]);
    check(" \n", &["file is empty"]);
}

#[test]
fn versions_are_told_apart() {
    check("(name: \"x\")", &["version is missing", "`version: 1,`"]);
    check(
        "(\n    // of a later year\n    version: 7,\n    balconies: {},\n)",
        &["line 3", "version 7", "newer Sillward", "update"],
    );
    check("(version: 0)", &["\"0\" is not a version"]);
    check("(version: -1)", &["\"-1\" is not a version"]);
    check("(version: one)", &["\"one\" is not a version"]);
}

#[test]
fn nesting_and_size_have_limits() {
    for open in ["(", "[", "{\"a\":", "(version: 1, note: Some("] {
        fault(&open.repeat(200_000));
    }
    check(
        &format!("(version: 1, note: \"{}\")", "x".repeat(8_000_001)),
        &["bytes", "at most 8000000"],
    );
}

#[test]
fn a_byte_order_mark_and_carriage_returns_do_no_harm() {
    let text = SAMPLES[0].text;
    let plain = file::parse(text, "").unwrap().site;
    let marked = format!("\u{feff}{}", text.replace('\n', "\r\n"));
    assert_eq!(file::parse(&marked, "").unwrap().site.spots, plain.spots);
}

/// What a text is parsed to does not matter; that it ends does.
fn parse_any(text: &str) {
    if let Ok(opened) = file::parse_unfinished(text, "any.ron") {
        let again = file::to_text(&opened.site);
        file::parse_unfinished(&again, "any.ron").expect("what was printed can be read");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    #[test]
    fn any_text_ends_in_a_site_or_in_faults(text in "\\PC*") {
        parse_any(&text);
    }

    #[test]
    fn any_signs_of_the_format_end_in_a_site_or_in_faults(
        text in "(\\(|\\)|\\[|\\]|\\{|\\}|,|:|\"|r#\"|\"#|/\\*|\\*/|//|\n|version|spots|1|-|\\.|e9|Some|NaN|inf){0,60}",
    ) {
        parse_any(&text);
        parse_any(&format!("(version: 1, spots: {{\"a\": {text}"));
    }

    #[test]
    fn a_sample_cut_short_ends_in_faults(sample in 0..SAMPLES.len(), share in 0.0..0.98_f64) {
        let text = SAMPLES[sample].text;
        let mut end = (text.len() as f64 * share) as usize;
        while !text.is_char_boundary(end) {
            end -= 1;
        }
        fault(&text[..end]);
    }

    #[test]
    fn a_sample_with_signs_changed_ends_in_a_site_or_in_faults(
        sample in 0..SAMPLES.len(),
        changes in prop::collection::vec((0.0..1.0_f64, "[-0-9a-z(){}\\[\\]\",:. \n]{0,3}"), 1..4),
    ) {
        let mut text: Vec<char> = SAMPLES[sample].text.chars().collect();
        for (share, put) in changes {
            let at = (text.len() as f64 * share) as usize;
            text.splice(at..(at + 1).min(text.len()), put.chars());
        }
        parse_any(&text.into_iter().collect::<String>());
    }
}
