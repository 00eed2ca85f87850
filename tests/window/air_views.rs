//! What the desks show of the air: cooler nights on the Fit desk, maps on the Site desk.

use egui::accesskit::Role;
use egui_kittest::kittest::{NodeT, Queryable};

use crate::whole::Bench;

/// Steps until a text is there.
fn await_text(bench: &mut Bench, part: &str) {
    for _ in 0..1_500 {
        bench.window.step();
        if bench
            .window
            .query_all_by_label_contains(part)
            .next()
            .is_some()
        {
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
    panic!("“{part}” does not come");
}

#[test]
fn nights_that_suit_are_said_to_and_nothing_is_advised() {
    let mut bench = Bench::small();
    bench.settle();
    bench.desk("Fit");
    bench.press_first("Bench,");
    bench
        .window
        .get_by_label("Cooler nights… on Bench")
        .click_accesskit();
    bench.steps();
    await_text(&mut bench, "The nights here already suit");
    assert!(
        bench
            .window
            .query_all_by_label_contains("slippery")
            .next()
            .is_none()
    );
}

#[test]
fn the_fit_desk_says_what_would_cool_a_spots_nights() {
    // Late-summer nights that are too warm to set spikes.
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("warm.ron");
    let text = crate::site::SMALL
        .replace("10, 12, 12, 11, 8, 5, 4]", "15, 18, 19, 18, 12, 8, 5]")
        .replace("18, 20, 20, 18, 15, 11, 9]", "26, 29, 30, 28, 21, 14, 10]");
    std::fs::write(&path, text).unwrap();
    let mut bench = Bench::open(folder, Some(path));
    bench.settle();
    bench.desk("Fit");
    bench
        .window
        .get_all_by_role(Role::Button)
        .find(|n| {
            n.accesskit_node()
                .label()
                .is_some_and(|l| l.starts_with("Bench,"))
        })
        .unwrap()
        .click();
    bench.steps();
    // It lies below what is seen at first.
    bench
        .window
        .get_by_label("Cooler nights… on Bench")
        .click_accesskit();
    bench.steps();
    await_text(&mut bench, "no water cools further");
    for part in ["4 m² of floor", "100 g of ice", "on the ground", "slippery"] {
        assert!(
            bench
                .window
                .query_all_by_label_contains(part)
                .next()
                .is_some(),
            "{part}"
        );
    }
    bench.window.check_accessibility();
    bench
        .window
        .get_by_label("Close cooler nights on Bench")
        .click_accesskit();
    bench.steps();
    assert!(
        bench
            .window
            .query_all_by_label_contains("slippery")
            .next()
            .is_none()
    );
}

#[test]
fn two_spots_lie_side_by_side_hour_by_hour() {
    let mut bench = Bench::small();
    bench.settle();
    bench.desk("Fit");
    for spot in ["Bench,", "Sill,"] {
        let button = bench
            .window
            .get_all_by_role(Role::Button)
            .find(|n| {
                n.accesskit_node()
                    .label()
                    .is_some_and(|l| l.starts_with(spot))
            })
            .unwrap();
        button.click();
        bench.steps();
    }
    bench
        .window
        .get_by_role_and_label(Role::Image, "Hours of the week: Bench and Sill");
    for part in ["Bench: days of", "Sill: days of"] {
        bench.window.get_by_label_contains(part);
    }
    bench.window.check_accessibility();
}

#[test]
fn the_plan_shows_cold_nights_and_moving_air() {
    let mut bench = Bench::small();
    bench.settle();
    for map in [
        "Cold of a clear night",
        "Nights of the week",
        "Draughts and plumes",
    ] {
        bench.click_button("Show");
        bench
            .window
            .get_by_role_and_label(Role::RadioButton, map)
            .click();
        bench.steps();
        bench.keys(egui::Modifiers::NONE, egui::Key::Escape);
        for _ in 0..30 {
            bench.window.step();
            std::thread::sleep(std::time::Duration::from_millis(20));
        }
        bench.window.check_accessibility();
    }
}
