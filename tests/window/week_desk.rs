//! The Week desk: the next nights from a forecast.

use egui::accesskit::Role;
use egui_kittest::kittest::{NodeT, Queryable};

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
    bench.click_button("Delete the night of 15 Sep");
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

/// A plan of March, looked at in September: its moves are to be recorded, all at once or one by one, and can be taken back.
#[test]
fn planned_moves_are_recorded_from_the_week() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("spring.ron");
    let text = crate::site::SMALL
        .replace("stands: \"bench\"", "stands: \"sill\"")
        .replace(
            "    plants: {",
            "    choices: (plan_from: \"2026-03-02\"),\n    plants: {",
        );
    std::fs::write(&path, text).unwrap();
    let mut bench = Bench::open(folder, Some(path));
    bench.settle();
    bench.desk("Week");
    let moved = |bench: &Bench| bench.site().journal.len();
    let named = |bench: &Bench| {
        bench
            .window
            .query_by_label_contains("not recorded")
            .map(|n| n.accesskit_node().value().unwrap_or_default())
    };
    let said = named(&bench).expect("moves of spring are not recorded");
    assert!(said.ends_with("not recorded"), "{said}");
    bench.click_button("Look through");
    bench.window.check_accessibility();
    let one = bench
        .window
        .query_all_by_role(Role::Button)
        .filter_map(|n| n.accesskit_node().label())
        .find(|l| l.starts_with("Record as done: ") && l.contains(" to Bench, "))
        .expect("each has its own button");
    bench.click_button(&one);
    bench.settle();
    assert_eq!(moved(&bench), 1);
    bench.keys(egui::Modifiers::COMMAND, egui::Key::Z);
    assert_eq!(moved(&bench), 0);
    bench.settle();
    bench.click_button("All done");
    bench.settle();
    let entries = moved(&bench);
    assert!(entries > 0);
    assert_eq!(named(&bench), None);
    assert!(
        bench
            .site()
            .plants
            .values()
            .any(|p| p.stands.as_ref().is_some_and(|s| s.as_str() == "bench")),
        "what was done is where it stands now"
    );
    // One step to take back.
    bench.keys(egui::Modifiers::COMMAND, egui::Key::Z);
    assert_eq!(moved(&bench), 0);
    bench.settle();

    // Water of this week is recorded with the day.
    let water = bench
        .window
        .query_all_by_role(Role::Button)
        .filter_map(|n| n.accesskit_node().label())
        .find(|l| l.starts_with("Record as done: ") && l.contains("Water"))
        .expect("water is asked for in September");
    bench.click_button(&water);
    let entry = bench.site().journal.first().unwrap();
    assert_eq!(entry.event, sillward::site::Event::Watered);
    assert_eq!(entry.date.to_string(), "2026-09-14");
    bench.window.get_by_label("done 14 Sep");
}
