//! Every sample on every desk: something of it is named there.

use egui::accesskit::Role;
use egui_kittest::kittest::Queryable;
use sillward::site::samples::SAMPLES;

use crate::whole::Bench;

#[test]
fn every_desk_names_something_of_each_sample() {
    for sample in SAMPLES {
        let mut bench = Bench::open(tempfile::tempdir().unwrap(), Some(sample.id.into()));
        bench.settle();
        let site = bench.site().clone();
        let plant = site.plants.values().next().unwrap().name.clone();
        let spots: Vec<String> = site.spots.values().map(|s| s.name.clone()).collect();

        bench.desk("Site");
        let plan = format!("Plan of {}", site.name);
        bench.window.get_by_role_and_label(Role::Canvas, &plan);
        bench.desk("Fit");
        bench.window.get_by_label(&format!("Spots for {plant}"));
        for spot in &spots {
            let line = format!("{spot}, ");
            let lines = bench.window.query_all_by_label_contains(&line);
            assert!(lines.count() > 0, "{spot} is compared");
        }
        bench.desk("Year");
        bench
            .window
            .get_by_role_and_label(Role::Button, &format!("Year of {plant}"));
        bench.desk("Week");
        bench
            .window
            .get_by_role_and_label(Role::Button, &format!("Record for {plant}"));
        bench.desk("Trouble");
        bench
            .window
            .get_by_label(&format!("What is wrong with {plant}?"));
        bench.window.check_accessibility();
    }
}
