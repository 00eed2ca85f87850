//! The place and climate sheet: a town found by name, undone again.

use egui::{Key, Modifiers, accesskit::Role};
use egui_kittest::kittest::Queryable;

use crate::whole::Bench;

/// The sheet, by the command list.
fn open_sheet(bench: &mut Bench) {
    bench.keys(Modifiers::COMMAND, Key::K);
    type_into(bench, "Find a command", "Place and climate");
    bench.keys(Modifiers::NONE, Key::Enter);
}

fn type_into(bench: &mut Bench, field: &str, text: &str) {
    let found = |b: &Bench| {
        b.window
            .get_by_role_and_label(Role::TextInput, field)
            .focus();
    };
    found(bench);
    bench.steps();
    bench
        .window
        .get_by_role_and_label(Role::TextInput, field)
        .type_text(text);
    bench.steps();
}

#[test]
fn a_town_is_found_and_undone() {
    let mut bench = Bench::small();
    open_sheet(&mut bench);
    let before = bench.site().place.clone();
    type_into(&mut bench, "Find a town", "munch");
    bench.click("Munich, Bavaria, Germany");
    let place = &bench.site().place;
    assert_eq!(place.name, "Munich");
    assert_eq!(place.time_zone, "Europe/Berlin");
    // Munich lies at 520 m (Encyclopaedia Britannica, from memory).
    assert!(
        (place.latitude_deg - 48.14).abs() < 0.02 && (500.0..540.0).contains(&place.elevation_m)
    );
    assert_eq!(place.plan_north_deg, before.plan_north_deg);
    bench.keys(Modifiers::COMMAND, Key::Z);
    assert_eq!(bench.site().place, before);

    // Enter takes the first of the list.
    type_into(&mut bench, "Find a town", "wellington, new z");
    bench.window.key_press(Key::Enter);
    bench.steps();
    assert_eq!(bench.site().place.time_zone, "Pacific/Auckland");
    bench.window.check_accessibility();
}

#[test]
fn a_weather_file_is_shown_taken_and_undone() {
    let mut bench = Bench::small();
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    open_sheet(&mut bench);
    let before = bench.site().clone();
    type_into(
        &mut bench,
        "Weather file",
        &root.join("README.md").display().to_string(),
    );
    bench.window.key_press(Key::Enter);
    wait_for(&mut bench, "what is wrong with the file", |b| {
        b.window
            .query_by_label_contains("no rows with a date")
            .is_some()
    });
    assert_eq!(*bench.site(), before, "looking at a file changes nothing");

    let field = bench
        .window
        .get_by_role_and_label(Role::TextInput, "Weather file");
    field.focus();
    bench.steps();
    bench.keys(Modifiers::COMMAND, Key::A);
    let path = root.join("tests/reference/climate/greensboro.epw");
    bench
        .window
        .get_by_role_and_label(Role::TextInput, "Weather file")
        .type_text(&path.display().to_string());
    bench.steps();
    bench.window.key_press(Key::Enter);
    wait_for(&mut bench, "preview", |b| {
        b.window
            .query_by_label("Take it and move the site there")
            .is_some()
    });
    bench.window.check_accessibility();
    // It lies below what is seen at first.
    bench
        .window
        .get_by_role_and_label(Role::Button, "Take it and move the site there")
        .click_accesskit();
    bench.steps();
    let site = bench.site();
    assert_eq!(site.place.time_zone, "America/New_York");
    assert!(site.climate.hours.is_some() && site.climate.day_to_day.is_some());
    // One step takes both back.
    bench.keys(Modifiers::COMMAND, Key::Z);
    assert_eq!(*bench.site(), before);
}

fn wait_for(bench: &mut Bench, what: &str, there: impl Fn(&Bench) -> bool) {
    for _ in 0..500 {
        bench.steps();
        if there(bench) {
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
    panic!("{what} did not come");
}

#[test]
fn a_month_that_is_not_known_is_an_empty_field() {
    let mut bench = Bench::small();
    open_sheet(&mut bench);
    let months = |b: &Bench| b.site().climate.normals.night_min_c.unwrap().months();
    let type_month = |bench: &mut Bench, name: &str, text: &str| {
        let field = |b: &Bench, act: fn(&egui_kittest::Node<'_>)| {
            act(&b.window.get_by_role_and_label(Role::SpinButton, name));
        };
        // Results that come meanwhile move what stands below them.
        let (mut still, mut last) = (0, egui::Rect::NOTHING);
        for _ in 0..500 {
            field(bench, |f| f.scroll_to_me());
            bench.steps();
            let at = bench
                .window
                .get_by_role_and_label(Role::SpinButton, name)
                .rect();
            still = if at == last { still + 1 } else { 0 };
            last = at;
            if still >= 10 {
                break;
            }
            std::thread::sleep(std::time::Duration::from_millis(20));
        }
        field(bench, |f| f.click());
        bench.steps();
        bench.keys(Modifiers::COMMAND, Key::A);
        if text.is_empty() {
            bench.keys(Modifiers::NONE, Key::Delete);
        } else {
            bench.window.event(egui::Event::Text(text.to_owned()));
            bench.steps();
        }
        bench.keys(Modifiers::NONE, Key::Enter);
    };
    let before = months(&bench);
    type_month(&mut bench, "Night minimum, March", "");
    let after = months(&bench);
    assert_eq!((after[1], after[2], after[3]), (before[1], None, before[3]));
    // Left alone it stays open; typed it is known again.
    type_month(&mut bench, "Night minimum, March, not known", "");
    assert_eq!(months(&bench), after);
    type_month(&mut bench, "Night minimum, March, not known", "4.5");
    assert_eq!(months(&bench)[2], Some(4.5));
    bench.keys(Modifiers::COMMAND, Key::Z);
    assert_eq!(months(&bench), after);
    bench.keys(Modifiers::COMMAND, Key::Z);
    assert_eq!(months(&bench), before);
    bench.window.check_accessibility();
}
