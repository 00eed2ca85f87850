//! The map of light and the horizon on the Site desk.

use egui::{Key, Modifiers, Pos2, accesskit::Role};
use egui_kittest::kittest::Queryable;

use crate::whole::Bench;

fn await_label(bench: &mut Bench, part: &str) {
    for _ in 0..1_500 {
        bench.window.step();
        let mut found = bench.window.query_all_by_label_contains(part);
        if found.next().is_some() {
            return;
        }
        drop(found);
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
    panic!("“{part}” does not come");
}

/// Where a point of the plan is on the screen, by the bench, whose middle is (2, -2.7) and which is 2 m long.
fn on_screen(bench: &Bench, x: f32, y: f32) -> Pos2 {
    let rect = bench.window.get_by_label("Spot Bench").rect();
    // Its box stands off by 4 points on each side.
    let scale = (rect.width() - 8.0) / 2.0;
    rect.center() + egui::vec2(x - 2.0, -(y + 2.7)) * scale
}

fn click_at(bench: &mut Bench, at: Pos2) {
    bench.window.hover_at(at);
    bench.window.step();
    bench.window.drag_at(at);
    bench.window.step();
    bench.window.drop_at(at);
    bench.steps();
}

#[test]
fn the_map_of_light_is_chosen_and_has_a_legend() {
    let mut bench = Bench::small();
    bench.settle();
    bench.click_button("Show");
    bench
        .window
        .get_by_role_and_label(Role::RadioButton, "Map of light")
        .click();
    bench.steps();
    bench.keys(Modifiers::NONE, Key::Escape);
    await_label(&mut bench, "Light of the week, mol/m² a day: 0, ");
    bench.click_button("Map");
    bench
        .window
        .get_by_role_and_label(Role::CheckBox, "Same scale all year")
        .click();
    bench.steps();
    await_label(&mut bench, "Light of the week, mol/m² a day: 1, 5, 10");
    bench
        .window
        .get_by_role_and_label(Role::RadioButton, "Hours of sun")
        .click();
    bench.steps();
    bench
        .window
        .get_by_role_and_label(Role::RadioButton, "In its season")
        .click();
    bench.steps();
    bench.window.check_accessibility();
    bench.keys(Modifiers::NONE, Key::Escape);
    await_label(
        &mut bench,
        "Direct sun, clear days of its season, h: 1, 2, 4",
    );
}

#[test]
fn the_horizon_is_seen_from_any_point_that_is_clicked() {
    let mut bench = Bench::small();
    bench.settle();
    bench.keys(Modifiers::NONE, Key::I);
    let at = on_screen(&bench, -1.0, -2.7);
    click_at(&mut bench, at);
    await_label(&mut bench, "Horizon of −1.00, −2.70 m: ");
    bench.window.get_by_role_and_label(
        Role::SpinButton,
        "Height of the point above ground or floor",
    );
    bench.window.check_accessibility();

    // Indoors the room is named, and less sky is seen.
    let at = on_screen(&bench, 3.0, 1.0);
    click_at(&mut bench, at);
    await_label(&mut bench, "Horizon of 3.00, 1.00 m, in Room: ");

    // A spot that is selected takes the point's place.
    bench.keys(Modifiers::NONE, Key::Escape);
    bench.window.get_by_label("Spot Bench").click_accesskit();
    bench.steps();
    await_label(&mut bench, "Horizon of Bench: ");
    assert!(
        bench
            .window
            .query_by_label("Leave this point's horizon")
            .is_none()
    );
}
