//! Low and narrow windows: 200 % of a small and of a common screen. Whatever is opened there can be reached and read.

use std::collections::BTreeSet;

use egui::{Event, Key, Modifiers, MouseWheelUnit, Rect, Vec2, accesskit::Role, vec2};
use egui_kittest::{
    Node,
    kittest::{NodeT, Queryable},
};

use crate::whole::Bench;

const SIZES: [Vec2; 2] = [vec2(640.0, 400.0), vec2(960.0, 540.0)];

fn at(size: Vec2) -> Bench {
    let mut bench = Bench::small();
    bench.window.set_size(size);
    bench.settle();
    bench
}

fn window(size: Vec2) -> Rect {
    Rect::from_min_size(egui::Pos2::ZERO, size).expand(1.0)
}

fn is_control(node: &Node<'_>) -> bool {
    matches!(
        node.accesskit_node().role(),
        Role::Button | Role::CheckBox | Role::RadioButton | Role::MenuItem
    )
}

fn controls(bench: &Bench) -> BTreeSet<String> {
    bench
        .window
        .query_all_by(|_| true)
        .filter(is_control)
        .filter_map(|n| n.accesskit_node().label())
        .collect()
}

/// Where a control of this name lies, the last drawn one if there are several.
fn place(bench: &Bench, name: &str) -> Option<Rect> {
    bench
        .window
        .query_all_by_label(name)
        .rfind(is_control)
        .map(|n| n.rect())
}

fn wheel(bench: &mut Bench, by: f32) {
    bench.window.event(Event::MouseWheel {
        source: egui::MouseWheelSource::Wheel,
        unit: MouseWheelUnit::Point,
        delta: vec2(0.0, by),
        phase: egui::TouchPhase::Move,
        modifiers: Modifiers::NONE,
    });
    bench.window.run_steps(12);
}

#[test]
fn every_item_of_every_menu_is_reached_by_pointer() {
    for size in SIZES {
        for menu in ["Menu", "Show", "Map", "Ground floor"] {
            let mut bench = at(size);
            if menu == "Map" {
                bench.click_button("Show");
                bench.window.get_by_label("Map of light").click();
                bench.steps();
                bench.keys(Modifiers::NONE, Key::Escape);
            }
            let before = controls(&bench);
            bench.click_button(menu);
            bench.steps();
            let items: Vec<String> = controls(&bench).difference(&before).cloned().collect();
            assert!(!items.is_empty(), "{menu}");
            // Over the menu: on the first of its items that is in sight.
            let over = items
                .iter()
                .filter_map(|i| place(&bench, i))
                .find(|r| window(size).contains_rect(*r))
                .unwrap();
            bench.window.hover_at(over.center());
            bench.steps();
            for item in &items {
                for by in [0.0, 2000.0, -150.0, -150.0, -150.0, -150.0, -150.0, -150.0] {
                    if place(&bench, item).is_some_and(|r| window(size).contains_rect(r)) {
                        break;
                    }
                    wheel(&mut bench, by);
                }
                let found = place(&bench, item).unwrap();
                assert!(window(size).contains_rect(found), "{menu}: {item} {found}");
            }
        }
    }
}

#[test]
fn no_word_or_control_hangs_over_the_windows_sides() {
    for size in SIZES {
        let mut bench = at(size);
        for sheet in [
            None,
            Some("Plants"),
            Some("Place and climate"),
            Some("Plan choices"),
            Some("Preferences"),
        ] {
            if let Some(sheet) = sheet {
                bench.keys(Modifiers::COMMAND, Key::K);
                bench
                    .window
                    .get_by_role_and_label(Role::TextInput, "Find a command")
                    .type_text(sheet);
                bench.steps();
                bench.keys(Modifiers::NONE, Key::Enter);
                bench.window.get_by_label("Close the sheet");
            }
            for desk in ["Site", "Fit", "Year", "Week", "Trouble"] {
                bench.desk(desk);
                for node in bench.window.query_all_by(|_| true) {
                    let known = is_control(&node) || node.accesskit_node().role() == Role::Label;
                    if !known {
                        continue;
                    }
                    let rect = node.rect();
                    if !window(size).y_range().contains(rect.center().y) {
                        continue;
                    }
                    let words = node.accesskit_node().label().unwrap_or_default();
                    assert!(
                        window(size).x_range().contains(rect.left())
                            && window(size).x_range().contains(rect.right())
                            || is_drawn(&words),
                        "{size} {desk} {sheet:?}: {words:?} {rect}"
                    );
                }
            }
        }
    }
}

/// Things of the plan lie wherever it has them, and are cut at its edge.
fn is_drawn(words: &str) -> bool {
    const KINDS: [&str; 17] = [
        "Window",
        "Glass door",
        "Door",
        "Building",
        "Room",
        "Canopy",
        "Screen",
        "Tree",
        "Surface",
        "Cloth",
        "Heater",
        "Vent",
        "Fan",
        "Tray",
        "Spot",
        "Plant",
        "Pot of",
    ];
    KINDS.iter().any(|k| {
        words
            .strip_prefix(k)
            .is_some_and(|rest| rest.starts_with(' '))
    })
}

/// What of a node of this name is seen, points.
fn seen(bench: &Bench, size: Vec2, name: &str) -> f32 {
    bench
        .window
        .query_all_by_label_contains(name)
        .map(|n| n.rect().intersect(window(size)).height())
        .fold(0.0, f32::max)
}

#[test]
fn two_chosen_spots_are_seen_side_by_side_and_left_again() {
    for size in SIZES {
        let mut bench = at(size);
        bench.desk("Fit");
        let names: Vec<String> = bench
            .site()
            .spots
            .values()
            .take(2)
            .map(|s| s.name.clone())
            .collect();
        for name in &names {
            let start = format!("{name}, ");
            let row = bench
                .window
                .query_all_by_label_contains("held back by")
                .find(|n| {
                    n.accesskit_node()
                        .label()
                        .is_some_and(|l| l.starts_with(&start))
                })
                .unwrap();
            row.click_accesskit();
            bench.steps();
        }
        let verdict = format!(" against {}", names[1]);
        assert!(seen(&bench, size, &verdict) > 10.0, "{size}");
        let back = bench
            .window
            .get_by_role_and_label(Role::Button, "Back to the list");
        assert!(window(size).contains_rect(back.rect()));
        back.click();
        bench.steps();
        assert!(seen(&bench, size, "held back by") > 10.0);
        bench.click_button("Show what is chosen");
        assert!(seen(&bench, size, &verdict) > 10.0);
    }
}

#[test]
fn a_chosen_symptom_shows_a_cause_beside_a_sheet_or_without() {
    for (size, sheet) in [(SIZES[0], false), (SIZES[1], false), (SIZES[1], true)] {
        let mut bench = at(size);
        bench.desk("Trouble");
        bench.click_button("no spikes or flowers");
        if sheet {
            bench.keys(Modifiers::COMMAND, Key::Comma);
        }
        // The first cause bears its likelihood.
        let first = bench
            .window
            .query_all_by_label_contains(" %")
            .filter(|n| n.accesskit_node().role() == Role::Label)
            .map(|n| n.rect())
            .next()
            .unwrap();
        assert!(window(size).contains_rect(first), "{size}: {first}");
        let ribbon = bench
            .window
            .get_by_role_and_label(Role::Slider, "Year ribbon")
            .rect();
        assert!(first.bottom() < ribbon.top(), "{first} {ribbon}");
    }
}

#[test]
fn the_ribbon_folds_to_a_line_and_opens() {
    let mut bench = at(SIZES[1]);
    let height = |b: &Bench| {
        let ribbon = b.window.get_by_role_and_label(Role::Slider, "Year ribbon");
        ribbon.rect().height()
    };
    assert!(height(&bench) < 50.0);
    bench.click_button("Open the ribbon");
    assert!(height(&bench) > 100.0);
    bench
        .window
        .get_by_role_and_label(Role::Slider, "Hour of the day");
    bench.click_button("Fold the ribbon");
    assert!(height(&bench) < 50.0);
}

#[test]
fn a_sheet_keeps_its_width_whatever_it_holds() {
    let mut bench = Bench::small();
    bench.settle();
    let left = |b: &Bench| b.window.get_by_label("Preferences").rect().left();
    bench.keys(Modifiers::COMMAND, Key::Comma);
    let before = left(&bench);
    bench.keys(Modifiers::COMMAND, Key::P);
    bench.click_button("Edit White cymbidium");
    bench.click_button("Needs…");
    bench.steps();
    bench.keys(Modifiers::COMMAND, Key::Comma);
    assert!((left(&bench) - before).abs() < 1.0);
}
