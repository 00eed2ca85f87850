//! The window, through the names that a screen reader finds: what a grower does, and what the document then holds.

use chrono::NaiveDate;
use egui::{Key, Modifiers, accesskit::Role};
use egui_kittest::{Harness, kittest::Queryable};
use sillward::{
    app::{
        App, Start,
        state::{Desk, LightUnit},
    },
    site::Event,
};

use crate::site;

/// A fixed day, so that the plan's weeks do not depend on when the tests run.
pub fn today() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 9, 14).unwrap()
}

/// The window on a site of a few lines, in a folder of its own.
pub struct Bench {
    pub window: Harness<'static, App>,
    pub folder: tempfile::TempDir,
}

impl Bench {
    /// Opens [`site::SMALL`] from a file.
    pub fn small() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("small.ron");
        std::fs::write(&path, site::SMALL).unwrap();
        Self::open(folder, Some(path))
    }

    pub fn open(folder: tempfile::TempDir, path: Option<std::path::PathBuf>) -> Self {
        let start = Start {
            path,
            today: today(),
            data_folder: Some(folder.path().to_owned()),
            tour: false,
        };
        let window = Harness::builder()
            .with_size(egui::vec2(1280.0, 800.0))
            .with_theme(egui::Theme::Light)
            .with_max_steps(400)
            .build_eframe(move |cc| App::new(cc, start));
        Self { window, folder }
    }

    /// Waits for the results of the present state.
    pub fn settle(&mut self) {
        for _ in 0..6_000 {
            self.window.step();
            if self.window.state().is_settled() {
                self.window.run();
                return;
            }
            std::thread::sleep(std::time::Duration::from_millis(20));
        }
        panic!("no results came");
    }

    pub fn keys(&mut self, modifiers: Modifiers, key: Key) {
        self.window.key_press_modifiers(modifiers, key);
        self.steps();
    }

    pub fn click(&mut self, name: &str) {
        self.window.get_by_label(name).click();
        self.steps();
    }

    pub fn click_button(&mut self, name: &str) {
        self.window
            .get_by_role_and_label(Role::Button, name)
            .click();
        self.steps();
    }

    /// A few frames: enough for what was asked to be carried out, whether or not results are still being computed.
    pub fn steps(&mut self) {
        self.window.run_steps(4);
    }

    pub fn desk(&mut self, name: &str) {
        self.window.get_by_role_and_label(Role::Tab, name).click();
        self.steps();
    }

    pub fn site(&self) -> &sillward::site::Site {
        self.window.state().document().site()
    }
}

#[test]
fn the_first_start_shows_a_sample_with_a_ribbon() {
    let mut bench = Bench::open(tempfile::tempdir().unwrap(), None);
    bench.steps();
    assert!(!bench.site().plants.is_empty());
    let ribbon = bench
        .window
        .get_by_role_and_label(Role::Slider, "Year ribbon");
    assert!(ribbon.value().is_some());
    bench.window.check_accessibility();
}

#[test]
fn every_desk_opens_and_names_all_its_controls() {
    let mut bench = Bench::small();
    bench.settle();
    for (name, desk) in [
        ("Fit", Desk::Fit),
        ("Year", Desk::Year),
        ("Week", Desk::Week),
        ("Trouble", Desk::Trouble),
        ("Site", Desk::Site),
    ] {
        bench.desk(name);
        assert_eq!(bench.window.state().looking().desk, desk);
        bench.window.check_accessibility();
    }
    bench.keys(Modifiers::ALT, Key::Num3);
    assert_eq!(bench.window.state().looking().desk, Desk::Year);
}

#[test]
fn every_sheet_opens_and_names_all_its_controls() {
    let mut bench = Bench::small();
    bench.settle();
    for command in [
        "Plants…",
        "Place and climate…",
        "Plan choices…",
        "Preferences…",
    ] {
        bench.keys(Modifiers::COMMAND, Key::K);
        bench
            .window
            .get_by_role_and_label(Role::TextInput, "Find a command")
            .type_text(command.trim_end_matches('…'));
        bench.steps();
        bench.keys(Modifiers::NONE, Key::Enter);
        bench.window.get_by_label("Close the sheet");
        bench.window.check_accessibility();
        bench.click("Close the sheet");
    }
    bench.keys(Modifiers::COMMAND, Key::K);
    bench
        .window
        .get_by_role_and_label(Role::TextInput, "Find a command")
        .type_text("readings bench");
    bench.steps();
    bench.keys(Modifiers::NONE, Key::Enter);
    bench.click("Add a light reading");
    let spot = bench.site().spots.get(&"bench".into()).unwrap();
    assert_eq!(spot.light.len(), 1);
    bench.window.check_accessibility();
}

#[test]
fn the_ribbon_moves_by_keys_and_says_where_it_stands() {
    let mut bench = Bench::small();
    bench.settle();
    bench
        .window
        .get_by_role_and_label(Role::Slider, "Year ribbon")
        .focus();
    bench.steps();
    let week = |b: &Bench| b.window.state().looking().plan_week;
    bench.keys(Modifiers::NONE, Key::ArrowRight);
    bench.keys(Modifiers::NONE, Key::ArrowRight);
    bench.keys(Modifiers::NONE, Key::ArrowLeft);
    assert_eq!(week(&bench), 1);
    bench.keys(Modifiers::NONE, Key::PageDown);
    assert_eq!(week(&bench), 5);
    bench.keys(Modifiers::NONE, Key::End);
    assert_eq!(week(&bench), 51);
    bench.keys(Modifiers::NONE, Key::ArrowRight);
    assert_eq!(week(&bench), 51);
    bench.keys(Modifiers::NONE, Key::Home);
    assert_eq!(week(&bench), 0);
    bench.keys(Modifiers::ALT, Key::ArrowRight);
    assert_eq!(week(&bench), 1);
    let said = bench
        .window
        .get_by_role_and_label(Role::Slider, "Year ribbon")
        .value()
        .unwrap();
    assert!(said.starts_with("week of 21 Sep, in "), "{said}");
    assert!(said.contains("scores"), "{said}");
    bench
        .window
        .get_by_role_and_label(Role::Slider, "Year ribbon")
        .increment_accesskit();
    bench.steps();
    assert_eq!(week(&bench), 2);
}

#[test]
fn the_dial_turns_by_keys() {
    let mut bench = Bench::small();
    bench
        .window
        .get_by_role_and_label(Role::Slider, "Hour of the day")
        .focus();
    bench.steps();
    bench.keys(Modifiers::NONE, Key::ArrowRight);
    assert!((bench.window.state().looking().hour - 12.5).abs() < 1e-9);
    bench.keys(Modifiers::NONE, Key::Home);
    bench.keys(Modifiers::NONE, Key::ArrowLeft);
    assert!((bench.window.state().looking().hour - 23.5).abs() < 1e-9);
}

#[test]
fn a_journal_entry_is_recorded_undone_and_done_again() {
    let mut bench = Bench::small();
    bench.settle();
    bench.desk("Week");
    let before = bench.site().clone();
    bench
        .window
        .get_by_role_and_label(Role::TextInput, "Note of the entry")
        .focus();
    bench.steps();
    bench
        .window
        .get_by_role_and_label(Role::TextInput, "Note of the entry")
        .type_text("dry on top");
    bench.steps();
    bench.click_button("Record for White cymbidium");
    let entry = bench.site().journal.last().unwrap().clone();
    assert_eq!(entry.event, Event::Watered);
    assert_eq!(entry.date, today());
    assert_eq!(entry.note, "dry on top");
    assert_eq!(entry.plant, Some("white".into()));
    bench.keys(Modifiers::COMMAND, Key::Z);
    assert_eq!(*bench.site(), before);
    bench.keys(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    assert_eq!(bench.site().journal.last(), Some(&entry));
}

#[test]
fn a_plant_is_pinned_and_let_go_again() {
    let mut bench = Bench::small();
    bench.settle();
    bench.desk("Year");
    bench.click_button("Year of White cymbidium");
    bench.click_button("Pin");
    let pins = bench.site().choices.pins.clone();
    assert_eq!(pins.len(), 1);
    assert_eq!(pins[0].plant, "white".into());
    bench.settle();
    let plan = bench
        .window
        .state()
        .outcome()
        .unwrap()
        .plan
        .clone()
        .unwrap();
    assert!(plan.solution.stays.iter().any(|s| s.pinned));
    bench.click_button("Year of White cymbidium");
    bench.click_button("Delete the pin");
    assert!(bench.site().choices.pins.is_empty());
}

#[test]
fn typing_a_name_is_one_step_to_undo() {
    let mut bench = Bench::small();
    bench.settle();
    bench.keys(Modifiers::COMMAND, Key::P);
    bench.click_button("Edit White cymbidium");
    let name = bench.site().plants.values().next().unwrap().name.clone();
    let (role, label) = (Role::TextInput, "Name");
    bench.window.get_by_role_and_label(role, label).focus();
    bench.steps();
    for letter in ["x", "y", "z"] {
        bench
            .window
            .get_by_role_and_label(role, label)
            .type_text(letter);
        bench.steps();
    }
    assert!(
        bench
            .site()
            .plants
            .values()
            .next()
            .unwrap()
            .name
            .contains("xyz")
    );
    bench.keys(Modifiers::COMMAND, Key::Z);
    assert_eq!(bench.site().plants.values().next().unwrap().name, name);
}

#[test]
fn units_are_chosen_in_the_preferences() {
    let mut bench = Bench::small();
    bench.keys(Modifiers::COMMAND, Key::Comma);
    bench.click("Light: PPFD, µmol/m² s");
    bench.click("foot-candles");
    assert_eq!(
        bench.window.state().looking().units.light,
        LightUnit::FootCandles
    );
}
