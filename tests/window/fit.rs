//! The Fit desk: sorting, partners, a place to bloom; and a kind's ranges against the climate. Through accessible names.

use egui::{Key, Modifiers, accesskit::Role};
use egui_kittest::kittest::{NodeT, Queryable};
use sillward::{
    base::{Id, Week},
    prospects::{OpenFactor, against_climate},
};

use crate::whole::Bench;

/// Names of the table's lines, from top to bottom.
fn lines(bench: &Bench) -> Vec<String> {
    let mut found: Vec<(f32, String)> = bench
        .window
        .query_all_by_label_contains("held back by")
        .filter(|n| n.accesskit_node().role() == Role::Button)
        .filter_map(|n| {
            let label = n.accesskit_node().label()?;
            let name = label.split(", ").next()?.to_owned();
            (!label.starts_with("Sort by")).then(|| (n.rect().top(), name))
        })
        .collect();
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    found.into_iter().map(|(_, name)| name).collect()
}

#[test]
fn a_column_sorts_and_sorts_the_other_way_round() {
    let mut bench = Bench::small();
    bench.settle();
    bench.desk("Fit");
    bench.window.check_accessibility();
    let best_first = lines(&bench);
    assert!(best_first.len() >= 2, "{best_first:?}");
    bench.click_button("Sort by name");
    let by_name = lines(&bench);
    assert!(by_name.is_sorted(), "{by_name:?}");
    bench.click_button("Sort by name");
    let turned = lines(&bench);
    assert!(turned.iter().rev().is_sorted(), "{turned:?}");
    bench.click_button("Sort by the mean of the whole year");
    assert_eq!(lines(&bench), best_first);
    // By season as the core has it.
    bench.click_button("Sort by summer");
    let outcome = bench.window.state().outcome().unwrap().clone();
    let plant = bench.window.state().looking().plant.clone().unwrap();
    let summer = |name: &String| {
        let (id, _) = outcome
            .site
            .spots
            .iter()
            .find(|(_, s)| s.name == *name)
            .unwrap();
        let seasons = outcome
            .scores
            .by_season(&plant, id, outcome.site.hemisphere());
        let mean = seasons.iter().find(|(s, _)| s.name() == "summer");
        mean.unwrap().1.points.unwrap_or(-1.0)
    };
    let points: Vec<f64> = lines(&bench).iter().map(summer).collect();
    assert!(points.is_sorted_by(|a, b| a >= b), "{points:?}");
}

#[test]
fn a_plants_best_spot_stands_beside_it() {
    let mut bench = Bench::small();
    bench.settle();
    bench.desk("Fit");
    bench.desk("Plants for a spot");
    let outcome = bench.window.state().outcome().unwrap().clone();
    for (id, plant) in outcome.site.plants.iter() {
        let best = outcome.scores.best_spot_over(id, |_, _| true).unwrap();
        let spot = &outcome.site.spots.get(&best.spot).unwrap().name;
        let told = format!("best partner {spot}, {:.0}", best.points);
        let line = bench.window.query_all_by_label_contains(&told).any(|n| {
            let node = n.accesskit_node();
            node.label().is_some_and(|l| l.starts_with(&plant.name))
        });
        assert!(line, "{}: {told}", plant.name);
    }
}

#[test]
fn one_click_ranks_the_places_to_bloom_indoors() {
    let mut bench = Bench::small();
    bench.settle();
    bench.desk("Fit");
    bench.desk("Where should it bloom?");
    let outcome = bench.window.state().outcome().unwrap().clone();
    let plant = bench.window.state().looking().plant.clone().unwrap();
    let places = outcome.scores.bloom_places(&plant, |s| {
        outcome.site.spots.get(s).unwrap().room.is_some()
    });
    assert!(!places.is_empty());
    for (i, place) in places.iter().enumerate() {
        let name = outcome.site.spots.get(&place.spot).unwrap().name.clone();
        let told = format!("Place to bloom {}: {name}", i + 1);
        assert!(
            bench.window.query_by_label_contains(&told).is_some(),
            "{told}"
        );
    }
    let open = outcome
        .site
        .spots
        .values()
        .find(|s| s.room.is_none())
        .unwrap();
    let outdoors = format!(": {}", open.name);
    let shown = |b: &Bench| {
        b.window
            .query_all_by_label_contains("Place to bloom")
            .any(|n| {
                n.accesskit_node()
                    .label()
                    .is_some_and(|l| l.contains(&outdoors))
            })
    };
    assert!(!shown(&bench), "indoors first");
    bench.desk("Anywhere");
    assert!(shown(&bench));
    // A click shows its year against what is wanted.
    bench.desk("Indoors");
    let first = outcome
        .site
        .spots
        .get(&places[0].spot)
        .unwrap()
        .name
        .clone();
    let row = bench
        .window
        .query_all_by_label_contains("Place to bloom 1")
        .find(|n| n.accesskit_node().role() == Role::Button)
        .unwrap();
    row.click();
    bench.steps();
    assert!(
        bench
            .window
            .query_by_label_contains(&format!("Warmth on {first}"))
            .is_some()
    );
    bench.window.check_accessibility();
}

#[test]
fn a_kinds_ranges_stand_against_the_climate() {
    let mut bench = Bench::small();
    bench.settle();
    bench.keys(Modifiers::COMMAND, Key::P);
    bench.click_button("Edit White cymbidium");
    bench.click_button("Needs…");
    bench.steps();
    let outcome = bench.window.state().outcome().unwrap().clone();
    let kind = outcome.site.kind(&Id::new("cymbidium-standard")).unwrap();
    let found = against_climate(kind, &outcome.weather, outcome.site.hemisphere());
    assert_eq!(found.weeks.len(), Week::all().len());
    for factor in OpenFactor::ALL {
        let told = found.told(kind, factor);
        assert!(bench.window.query_by_label(&told).is_some(), "{told}");
    }
    for plot in ["Light of a day", "Air by day", "Night minimum"] {
        assert!(
            bench
                .window
                .query_all_by_label_contains(plot)
                .any(|n| n.accesskit_node().role() == Role::Image),
            "{plot}"
        );
    }
    bench.window.check_accessibility();
}

#[test]
fn a_plants_history_stands_on_its_sheet() {
    let mut bench = Bench::small();
    bench.settle();
    bench.keys(Modifiers::COMMAND, Key::P);
    bench.click_button("Edit White cymbidium");
    bench.steps();
    bench
        .window
        .get_by_role_and_label(Role::Button, "Add a flowering")
        .click_accesskit();
    bench.steps();
    assert!(
        bench
            .window
            .query_by_label("First flower open, 1 spike")
            .is_some()
    );
}
