//! Being led: the first steps from an empty sheet to a plan, and the tour of a sample.

use egui::{Key, Modifiers, accesskit::Role};
use egui_kittest::{
    Harness,
    kittest::{NodeT, Queryable},
};
use sillward::app::{App, Start, state::Desk};

use crate::whole::{Bench, today};

impl Bench {
    fn press(&mut self, name: &str) {
        self.window
            .get_by_role_and_label(Role::Button, name)
            .click_accesskit();
        self.steps();
    }

    /// The first button whose name begins so.
    pub fn press_first(&mut self, beginning: &str) {
        let name = self
            .window
            .query_all_by_role(Role::Button)
            .filter_map(|n| n.accesskit_node().label())
            .find(|l| l.starts_with(beginning))
            .unwrap_or_else(|| panic!("no button “{beginning}…”"));
        self.press(&name);
    }
}

#[test]
fn the_first_steps_lead_from_an_empty_sheet_to_a_plan() {
    let mut bench = Bench::open(tempfile::tempdir().unwrap(), None);
    bench.steps();
    bench.keys(Modifiers::COMMAND, Key::N);
    let field = "Find a town";
    bench
        .window
        .get_by_role_and_label(Role::TextInput, field)
        .focus();
    bench.steps();
    bench
        .window
        .get_by_role_and_label(Role::TextInput, field)
        .type_text("munch");
    bench.steps();
    bench.press("Munich, Bavaria, Germany");
    assert_eq!(bench.site().place.name, "Munich");
    // The climate waits; what is usual there is taken until then.
    bench.press("Later");
    bench.window.get_by_label("Climate: left for later");

    bench
        .window
        .get_by_role_and_label(Role::RadioButton, "House with a glazed porch")
        .click_accesskit();
    bench.steps();
    bench.press("SW");
    bench.press("Draw it");
    let site = bench.site();
    assert_eq!((site.buildings.len(), site.rooms.len()), (1, 3));
    assert_eq!(site.place.plan_north_deg, 45.0);

    // Left in the middle, and come back to where it was.
    bench.click("Close the sheet");
    bench.command("First steps");
    bench.window.get_by_label("House: done");
    bench.press("Step 4, Windows");
    bench.press("Add to Front room, south-west wall");
    assert_eq!(bench.site().windows.len(), 1);
    bench.press("On to spots");
    bench.press_first("Add Sill, ");
    bench.press_first("Add Bench, porch");
    assert_eq!(bench.site().spots.len(), 2);
    // The sill takes the usual pot; that the climate is a guess is said from now on.
    let pot = sillward::site::Pot::default();
    let takes = |s: &sillward::site::Spot| s.holds.misfit(&pot).is_none();
    assert!(bench.site().spots.values().all(takes));
    bench
        .window
        .get_by_role_and_label(Role::Button, "Climate guessed");
    bench.press("On to plants");
    bench
        .window
        .get_by_role_and_label(Role::TextInput, "Search kinds")
        .focus();
    bench.steps();
    bench
        .window
        .get_by_role_and_label(Role::TextInput, "Search kinds")
        .type_text("clivia");
    bench.steps();
    bench.press_first("Clivia");
    let plant = bench.site().plants.values().next().unwrap().clone();
    assert!(plant.stands.is_some());
    bench.press("On to plan");
    bench.settle();
    bench.press("See the year");
    assert_eq!(bench.window.state().looking().desk, Desk::Year);
    assert!(bench.window.state().outcome().unwrap().plan.is_ok());
    bench.window.check_accessibility();

    // Each of these was one step to take back.
    let mut steps = 0;
    while bench.window.state().document().undo_name().is_some() {
        bench.keys(Modifiers::COMMAND, Key::Z);
        steps += 1;
    }
    assert_eq!(steps, 6);
    assert!(bench.site().rooms.is_empty() && bench.site().place.name.is_empty());
}

fn first_start() -> Harness<'static, App> {
    let start = Start {
        path: None,
        today: today(),
        data_folder: None,
        tour: true,
    };
    Harness::builder()
        .with_size(egui::vec2(1280.0, 800.0))
        .with_theme(egui::Theme::Light)
        .with_max_steps(400)
        .build_eframe(move |cc| App::new(cc, start))
}

#[test]
fn the_sample_is_shown_round_and_the_tour_can_be_left() {
    let mut window = first_start();
    window.run_steps(4);
    window.get_by_label("Tour, 1 of 7");
    let mut desks = Vec::new();
    for card in 2..=7 {
        window.get_by_role_and_label(Role::Button, "Next").click();
        window.run_steps(4);
        window.get_by_label(&format!("Tour, {card} of 7"));
        desks.push(window.state().looking().desk);
        window.check_accessibility();
    }
    for desk in [Desk::Site, Desk::Fit, Desk::Year, Desk::Week] {
        assert!(desks.contains(&desk), "{desk:?}");
    }
    assert_eq!(window.state().looking().hour, 9.5);
    window.get_by_role_and_label(Role::Button, "Back").click();
    window.run_steps(4);
    window.get_by_label("Tour, 6 of 7");
    window.get_by_label("Leave the tour").click();
    window.run_steps(4);
    assert!(window.query_by_label_contains("Tour, ").is_none());
}

#[test]
fn the_tour_comes_again_when_it_is_asked_for() {
    let mut bench = Bench::small();
    bench.steps();
    assert!(bench.window.query_by_label_contains("Tour, ").is_none());
    bench.command("Tour of the sample");
    bench.window.get_by_label("Tour, 1 of 7");
    assert_eq!(bench.site().name, "Harbour Terrace");
}
