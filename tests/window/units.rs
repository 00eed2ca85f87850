//! The grower's units, decimals and dates reach every desk and sheet.

use egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT, Queryable};

use crate::whole::Bench;

/// All words that are shown, with the place they stand at.
fn shown(bench: &Bench, place: &str) -> Vec<String> {
    bench
        .window
        .root()
        .children_recursive()
        .flat_map(|node| {
            let node = node.accesskit_node();
            [node.label(), node.value()]
        })
        .flatten()
        .map(|words| format!("{place}: {words}"))
        .collect()
}

/// Words of the desks and of the sheets in which figures stand.
fn everywhere(bench: &mut Bench) -> Vec<String> {
    let mut words = Vec::new();
    for desk in ["Fit", "Year", "Week", "Trouble", "Site"] {
        bench.desk(desk);
        words.extend(shown(bench, desk));
    }
    bench.window.get_by_label("Spot Bench").click_accesskit();
    bench.steps();
    words.extend(shown(bench, "the spot's figures"));
    for sheet in [
        "Plants…",
        "Edit White cymbidium",
        "Readings of Bench",
        "Plan choices",
    ] {
        bench.command(sheet);
        if sheet.starts_with("Readings") {
            bench
                .window
                .get_by_label("Add a thermometer reading")
                .click_accesskit();
            bench.steps();
            bench
                .window
                .get_by_label("Add a light reading")
                .click_accesskit();
            bench.steps();
        }
        words.extend(shown(bench, sheet));
    }
    bench.command("Edit White cymbidium");
    bench.click_button("Needs…");
    words.extend(shown(bench, "a kind"));
    bench.command("Place and climate");
    for row in ["Type wind", "Type rain", "Type spread of night minima"] {
        bench.window.get_by_label(row).click_accesskit();
        bench.steps();
    }
    words.extend(shown(bench, "the climate"));
    bench.click("Close the sheet");
    words
}

fn prefer(bench: &mut Bench, shown: &str, wanted: &str) {
    bench.click(shown);
    bench.click(wanted);
}

#[test]
fn fahrenheit_feet_and_foot_candles_reach_every_desk() {
    let mut bench = Bench::small();
    bench.settle();
    bench.keys(Modifiers::COMMAND, Key::Comma);
    prefer(&mut bench, "Temperature: °C", "°F");
    prefer(&mut bench, "Lengths: metres", "feet");
    prefer(&mut bench, "Light: PPFD, µmol/m² s", "foot-candles");
    bench.click("Close the sheet");
    let words = everywhere(&mut bench);
    assert!(words.iter().any(|w| w.contains("°F")));
    let left: Vec<&String> = words
        .iter()
        .filter(|w| {
            ["°C", "µmol/m² s", "µmol m", " cm", " m/s", " mm", " km"]
                .iter()
                .any(|u| w.contains(u))
        })
        .collect();
    assert!(left.is_empty(), "{left:#?}");
}

#[test]
fn a_comma_begins_the_decimals_everywhere() {
    let mut bench = Bench::small();
    bench.settle();
    bench.keys(Modifiers::COMMAND, Key::Comma);
    prefer(&mut bench, "Decimals: as the system", "1,5");
    prefer(&mut bench, "Dates: as the system", "2026-10-05");
    bench.click("Close the sheet");
    let words = everywhere(&mut bench);
    let point = |text: &str| {
        let c: Vec<char> = text.chars().collect();
        c.windows(3)
            .any(|w| w[0].is_ascii_digit() && w[1] == '.' && w[2].is_ascii_digit())
    };
    let left: Vec<&String> = words.iter().filter(|w| point(w)).collect();
    assert!(left.is_empty(), "{left:#?}");
    assert!(words.iter().any(|w| w.contains("2026-09-14")));
}
