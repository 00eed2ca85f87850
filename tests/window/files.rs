//! Opening, saving, refusing; nothing is lost.

use egui::{Key, Modifiers, accesskit::Role};
use egui_kittest::kittest::Queryable;

use crate::{site, whole::Bench};

fn type_path(bench: &mut Bench, name: &str, path: &str) {
    bench.keys(Modifiers::COMMAND, Key::A);
    bench
        .window
        .get_by_role_and_label(Role::TextInput, name)
        .type_text(path);
    bench.steps();
}

fn record(bench: &mut Bench) {
    bench.desk("Week");
    bench.click_button("Record for White cymbidium");
}

#[test]
fn a_site_is_saved_and_opened_again() {
    let mut bench = Bench::small();
    record(&mut bench);
    let path = bench.folder.path().join("kept.ron");
    bench.keys(Modifiers::COMMAND | Modifiers::SHIFT, Key::S);
    type_path(
        &mut bench,
        "Path of the site file",
        &path.display().to_string(),
    );
    bench.click_button("Save here");
    assert!(!bench.window.state().document().is_changed());
    let kept = bench.site().clone();
    let folder = bench.folder;
    drop(bench.window);
    let again = Bench::open(folder, Some(path));
    assert_eq!(*again.site(), kept);
    assert_eq!(again.site().journal.len(), 1);
}

#[test]
fn a_bad_file_is_shown_by_line_and_nothing_is_lost() {
    let mut bench = Bench::small();
    record(&mut bench);
    let before = bench.site().clone();
    let bad = bench.folder.path().join("bad.ron");
    let text = site::SMALL.replace("latitude_deg: 50", "latitude_deg: fifty");
    std::fs::write(&bad, text).unwrap();
    bench.keys(Modifiers::COMMAND, Key::O);
    // The change is not saved: that is asked first.
    bench.click_button("Do not save");
    type_path(
        &mut bench,
        "Path of a site file",
        &bad.display().to_string(),
    );
    bench.click_button("Open");
    bench.window.get_by_label("This file cannot be opened");
    assert!(
        bench
            .window
            .query_all_by_label_contains("Line ")
            .next()
            .is_some()
    );
    bench.click_button("Keep what is open");
    assert_eq!(*bench.site(), before);
    assert!(bench.window.state().document().is_changed());
}

#[test]
fn unsaved_work_is_kept_against_a_crash_and_offered_again() {
    let mut bench = Bench::small();
    record(&mut bench);
    // The clock of the tests goes on by a quarter of a second a frame; the copy is written after some rest.
    bench.window.run_steps(40);
    let left = bench.site().clone();
    let folder = bench.folder;
    // Dropped without closing, as by a crash.
    drop(bench.window);
    let mut again = Bench::open(folder, None);
    again.steps();
    again.click_button("Open the copy");
    assert_eq!(*again.site(), left);
    assert!(again.window.state().document().is_changed());
}

#[test]
fn a_new_site_asks_before_it_lets_changes_go() {
    let mut bench = Bench::small();
    record(&mut bench);
    let before = bench.site().clone();
    bench.keys(Modifiers::COMMAND, Key::N);
    bench.click_button("Back to the site");
    assert_eq!(*bench.site(), before);
    bench.keys(Modifiers::COMMAND, Key::N);
    bench.click_button("Do not save");
    assert!(bench.site().plants.is_empty());
}

#[test]
fn an_unfinished_site_is_opened_with_what_is_to_be_mended() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("half.ron");
    let text = site::SMALL.replace(
        "outline: [(0, 0), (6, 0), (6, 6), (0, 6)]",
        "outline: [(0, 0), (6, 0)]",
    );
    std::fs::write(&path, text).unwrap();
    let mut bench = Bench::open(folder, Some(path));
    bench.steps();
    bench
        .window
        .get_by_label("The site is open, and unfinished");
    bench.click_button("Go on");
    assert_eq!(bench.site().name, "Small house");
    assert!(!bench.window.state().document().is_changed());
    bench.desk("Year");
    bench
        .window
        .get_by_label("First there is something to mend");
    bench.click_button("1 thing to mend");
    bench.click_button("Go on");
    bench.window.check_accessibility();
}

#[test]
fn a_sample_is_opened_by_its_name() {
    for sample in sillward::site::samples::SAMPLES {
        let mut bench = Bench::open(tempfile::tempdir().unwrap(), Some(sample.id.into()));
        bench.steps();
        assert_eq!(*bench.site(), sample.read().unwrap().site);
    }
}

/// A file as the system hands it over.
#[derive(Debug)]
struct Dropped(std::path::PathBuf);

impl egui::DroppedFile for Dropped {
    fn path(&self) -> &std::path::Path {
        &self.0
    }

    fn bytes(&self) -> Result<Vec<u8>, String> {
        std::fs::read(&self.0).map_err(|e| e.to_string())
    }
}

fn drop_file(bench: &mut Bench, path: &std::path::Path) {
    let file = std::sync::Arc::new(Dropped(path.to_owned()));
    bench.window.input_mut().dropped_files.push(file);
    bench.steps();
}

#[test]
fn files_dropped_on_the_window_go_where_they_belong() {
    let mut bench = Bench::small();
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let site = bench.folder.path().join("other.ron");
    std::fs::write(&site, site::SMALL.replace("Small house", "Other house")).unwrap();
    drop_file(&mut bench, &site);
    assert_eq!(bench.site().name, "Other house");

    drop_file(
        &mut bench,
        &root.join("tests/reference/climate/greensboro.epw"),
    );
    bench.window.get_by_label("Place and climate");
    bench.click("Close the sheet");

    // A table could be weather or a logger's: that is asked.
    let table = bench.folder.path().join("sill.csv");
    std::fs::write(
        &table,
        "time;temperature °C\n2026-02-01 10:00;5\n2026-02-01 11:00;6\n",
    )
    .unwrap();
    drop_file(&mut bench, &table);
    bench.window.get_by_label("What is in this table?");
    bench.click_button("Cancel");
    drop_file(&mut bench, &table);
    bench.click_button("What a logger recorded");
    bench.window.get_by_label("Readings, Bench");
    bench.click("Close the sheet");

    drop_file(&mut bench, &root.join("Cargo.toml"));
    assert!(
        bench
            .window
            .query_by_label_contains("Cargo.toml is not read here")
            .is_some()
    );
    assert!(!bench.window.state().document().is_changed());
}

#[test]
fn the_other_keys_for_redo_work_too() {
    let mut bench = Bench::small();
    record(&mut bench);
    let done = bench.site().clone();
    bench.keys(Modifiers::COMMAND, Key::Z);
    assert_ne!(*bench.site(), done);
    bench.keys(Modifiers::COMMAND, Key::Y);
    assert_eq!(*bench.site(), done);
}
