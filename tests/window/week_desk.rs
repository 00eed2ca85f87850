//! The Week desk: the next nights from a forecast.

use egui::accesskit::Role;
use egui_kittest::kittest::Queryable;

use crate::whole::Bench;

#[test]
fn a_pasted_forecast_says_what_must_come_in() {
    let mut bench = Bench::small();
    bench.settle();
    bench.desk("Week");
    bench.click_button("Paste or open a table…");
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

/// Kept once and at rest: a table that begins in the past was kept anew in every frame, and nothing was worked out.
#[test]
fn regress_a_table_that_begins_yesterday_is_kept_from_today_on() {
    let mut bench = Bench::small();
    bench.settle();
    bench.desk("Week");
    bench.click_button("Paste or open a table…");
    let table = "Table of the forecast";
    let paste = |bench: &mut Bench, text: &str| {
        let role = Role::MultilineTextInput;
        bench.window.get_by_role_and_label(role, table).focus();
        bench.steps();
        bench
            .window
            .get_by_role_and_label(role, table)
            .type_text(text);
        bench.steps();
        bench.click_button("Take the table");
    };
    paste(&mut bench, "2026-09-13, 5\n2026-09-14, -8\n");
    bench.settle();
    bench.window.get_by_label("Low of the night of 14 Sep");
    assert!(
        bench
            .window
            .query_by_label_contains("night of 13 Sep")
            .is_none()
    );
    for _ in 0..200 {
        bench.window.step();
        if bench
            .window
            .query_by_label("Night of 14 September 2026")
            .is_some()
        {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
    bench.window.get_by_label("Night of 14 September 2026");
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
    // A cover is named with the night beneath it, and with its caution.
    for part in [
        "fleece to the ground air",
        "off the leaves, which freeze where it touches",
    ] {
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
    // Once the hand rests it is kept in the site, and taken away by an undo.
    let kept = |bench: &Bench| {
        bench
            .site()
            .forecast
            .as_ref()
            .map(|f| (f.told_on, f.days[0].night_min_c))
    };
    for _ in 0..20 {
        bench.window.step();
    }
    assert_eq!(kept(&bench), Some((crate::whole::today(), -8.0)));
    bench.keys(egui::Modifiers::COMMAND, egui::Key::Z);
    assert_eq!(kept(&bench), None);
    assert!(bench.window.query_by_label("Clear").is_none());
}

#[test]
fn a_forecast_is_read_from_a_file() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("forecast.csv");
    std::fs::write(&path, "date;low;wind km/h\n14.9.;-2,5;9\n15.9.;1;\n").unwrap();
    let mut bench = Bench::small();
    bench.settle();
    bench.desk("Week");
    bench.click_button("Paste or open a table…");
    let field = |bench: &mut Bench| {
        bench
            .window
            .get_by_role_and_label(Role::TextInput, "Forecast file")
            .focus();
        bench.steps();
    };
    field(&mut bench);
    bench
        .window
        .get_by_role_and_label(Role::TextInput, "Forecast file")
        .type_text(&path.display().to_string());
    bench.steps();
    bench.click_button("Read");
    for _ in 0..20 {
        bench.window.step();
    }
    let forecast = bench.site().forecast.clone().unwrap();
    assert_eq!(forecast.days.len(), 2);
    assert_eq!(forecast.days[0].night_min_c, -2.5);
    bench.window.get_by_label("Low of the night of 15 Sep");
}
