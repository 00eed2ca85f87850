//! Esc backs out of the innermost thing: a menu, a field, what is being drawn, a tool, a sheet, the selection.

use egui::{Key, Modifiers, accesskit::Role};
use egui_kittest::kittest::{NodeT, Queryable};

use crate::whole::Bench;

impl Bench {
    fn esc(&mut self) {
        self.keys(Modifiers::NONE, Key::Escape);
    }

    fn select_bench(&mut self) {
        self.window
            .get_by_role_and_label(Role::Button, "Spot Bench")
            .click_accesskit();
        self.steps();
        assert_eq!(self.selected(), 1);
    }

    fn selected(&self) -> usize {
        self.window.state().looking().selected.len()
    }

    fn has_sheet(&self) -> bool {
        self.window.query_by_label("Close the sheet").is_some()
    }
}

#[test]
fn a_sheet_closes_before_the_selection_goes() {
    let mut bench = Bench::small();
    bench.steps();
    bench.select_bench();
    bench.keys(Modifiers::COMMAND, Key::P);
    assert!(bench.has_sheet());
    bench.esc();
    assert!(!bench.has_sheet());
    assert_eq!(bench.selected(), 1);
    bench.esc();
    assert_eq!(bench.selected(), 0);
}

#[test]
fn a_sheet_closes_on_every_desk() {
    let mut bench = Bench::small();
    bench.settle();
    for desk in ["Fit", "Year", "Week", "Trouble"] {
        bench.desk(desk);
        bench.keys(Modifiers::COMMAND, Key::Comma);
        assert!(bench.has_sheet(), "{desk}");
        bench.esc();
        assert!(!bench.has_sheet(), "{desk}");
    }
}

#[test]
fn a_menu_closes_and_leaves_the_sheet_and_the_selection() {
    let mut bench = Bench::small();
    bench.steps();
    bench.select_bench();
    bench.keys(Modifiers::COMMAND, Key::Comma);
    bench.click("Menu");
    let open = |b: &Bench| b.window.query_by_label_contains("Save as…").is_some();
    assert!(open(&bench));
    bench.esc();
    assert!(!open(&bench));
    assert!(bench.has_sheet());
    bench.esc();
    assert!(!bench.has_sheet());
    assert_eq!(bench.selected(), 1);
}

#[test]
fn what_is_being_drawn_and_the_tool_go_before_the_sheet() {
    let mut bench = Bench::small();
    bench.steps();
    bench.keys(Modifiers::COMMAND, Key::Comma);
    bench.click("Tool Building");
    let canvas = bench
        .window
        .get_by_role_and_label(Role::Canvas, "Plan of Small house")
        .rect();
    bench.window.hover_at(canvas.center());
    bench.window.step();
    bench.window.drag_at(canvas.center());
    bench.window.step();
    bench.window.drop_at(canvas.center());
    bench.steps();
    assert!(bench.window.state().plan().is_drawing());
    bench.esc();
    assert!(!bench.window.state().plan().is_drawing());
    assert!(bench.has_sheet());
    // The tool itself, if it is still in the hand.
    if bench.window.state().plan().tool != sillward::app::canvas::tools::Tool::Pick {
        bench.esc();
        assert!(bench.has_sheet());
    }
    bench.esc();
    assert!(!bench.has_sheet());
}

#[test]
fn a_field_gives_back_what_it_held() {
    let mut bench = Bench::small();
    bench.steps();
    bench.keys(Modifiers::COMMAND, Key::P);
    bench.click_button("Edit White cymbidium");
    let steps = bench.window.state().document().steps();
    let field = (Role::TextInput, "Name");
    bench.window.get_by_role_and_label(field.0, field.1).focus();
    bench.steps();
    bench
        .window
        .get_by_role_and_label(field.0, field.1)
        .type_text("xyz");
    bench.steps();
    let name = |b: &Bench| b.site().plants.get(&"white".into()).unwrap().name.clone();
    assert!(name(&bench).contains("xyz"));
    bench.esc();
    assert_eq!(name(&bench), "White cymbidium");
    assert_eq!(bench.window.state().document().steps(), steps);
    assert!(bench.has_sheet());
    bench.esc();
    assert!(!bench.has_sheet());
}

#[test]
fn a_field_of_the_inspector_gives_back_what_it_held() {
    let mut bench = Bench::small();
    bench.steps();
    bench.select_bench();
    let before = bench.site().clone();
    for (name, typed) in [("Name", "xyz"), ("Height", "2.5")] {
        let role = if name == "Name" {
            Role::TextInput
        } else {
            Role::SpinButton
        };
        bench.window.get_by_role_and_label(role, name).focus();
        bench.steps();
        let input = bench
            .window
            .query_all_by_label(name)
            .find(|n| n.accesskit_node().is_focused())
            .unwrap();
        input.type_text(typed);
        bench.steps();
        bench.esc();
        bench.steps();
        assert_eq!(bench.site().spots, before.spots, "{name}");
        assert_eq!(bench.selected(), 1, "{name}");
    }
    bench.esc();
    assert_eq!(bench.selected(), 0);
}

#[test]
fn the_card_of_the_tour_goes_away() {
    let folder = tempfile::tempdir().unwrap();
    let start = sillward::app::Start {
        path: None,
        today: crate::whole::today(),
        data_folder: Some(folder.path().to_owned()),
        tour: true,
    };
    let mut window = egui_kittest::Harness::builder()
        .with_size(egui::vec2(1280.0, 800.0))
        .with_max_steps(400)
        .build_eframe(move |cc| sillward::app::App::new(cc, start));
    window.run_steps(4);
    assert!(window.query_by_label("Leave the tour").is_some());
    window.key_press(Key::Escape);
    window.run_steps(4);
    assert!(window.query_by_label("Leave the tour").is_none());
}
