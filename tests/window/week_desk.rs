//! The Week desk: the next nights from a forecast.

use egui::accesskit::Role;
use egui_kittest::kittest::Queryable;

use crate::whole::Bench;

#[test]
fn a_pasted_forecast_says_what_must_come_in() {
    let mut bench = Bench::small();
    bench.settle();
    bench.desk("Week");
    bench.click_button("Paste a table…");
    bench
        .window
        .get_by_role_and_label(Role::MultilineTextInput, "Table of the forecast")
        .focus();
    bench.steps();
    bench
        .window
        .get_by_role_and_label(Role::MultilineTextInput, "Table of the forecast")
        .type_text("2026-09-14, cold");
    bench.steps();
    bench.click_button("Take the table");
    bench.window.get_by_label_contains("line 1, column 2");
    bench.click_button("Close the table");
    bench.click_button("Add a night");
    bench.window.get_by_label("Low of the night of 15 Sep");
    bench.click_button("Take the night of 15 Sep away");
    bench.window.check_accessibility();
}

#[test]
fn a_typed_low_lists_the_plants_outdoors() {
    let mut bench = Bench::small();
    bench.settle();
    bench.desk("Week");
    let low = "Low of the night of 14 Sep";
    bench.window.get_by_label(low).focus();
    bench.steps();
    bench.window.get_by_label(low).click();
    bench.steps();
    bench.window.get_by_label(low).type_text("-8");
    bench.keys(egui::Modifiers::NONE, egui::Key::Enter);
    for _ in 0..200 {
        bench.window.step();
        if bench
            .window
            .query_by_label_contains("Night of 14")
            .is_some()
        {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
    bench.window.get_by_label("Night of 14 September 2026");
    bench.window.get_by_label_contains("carbon monoxide");
    assert!(
        bench
            .window
            .query_all_by_label_contains("growers bring it in")
            .next()
            .is_some()
    );
    bench.window.check_accessibility();
}
