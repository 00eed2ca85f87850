//! The shade-cloth chooser on the Fit desk, through accessible names.

use egui::{Key, Modifiers, accesskit::Role};
use egui_kittest::kittest::{NodeT, Queryable};
use sillward::{base::Id, cloth::Counted};

use crate::whole::Bench;

/// Waits until the comparison is there.
fn compared(bench: &mut Bench) {
    for _ in 0..6_000 {
        bench.window.step();
        let there = bench
            .window
            .query_all_by_label_contains("the best")
            .any(|n| n.accesskit_node().role() == Role::Button);
        if there {
            bench.window.run();
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
    panic!("no comparison came");
}

fn chooser() -> Bench {
    let mut bench = Bench::small();
    bench.settle();
    bench.desk("Fit");
    bench.desk("A cloth for a spot");
    bench
}

#[test]
fn a_cloth_is_compared_looked_at_hung_and_taken_back() {
    let mut bench = chooser();
    compared(&mut bench);
    bench.window.check_accessibility();
    // What the window says is what the core says.
    let outcome = bench.window.state().outcome().unwrap().clone();
    let inputs = sillward::cloth::ClothInputs {
        site: &outcome.site,
        sun: &outcome.sun,
        weather: &outcome.weather,
        sky: &outcome.sky,
    };
    let spot = Id::new("bench");
    let shown = bench.window.state().looking().plant.clone().unwrap();
    let asks = sillward::cloth::ask(&outcome.site, None, &spot, &[shown], Counted::Year);
    let report =
        sillward::cloth::choose(&inputs, &spot, &asks, &sillward::base::Progress::new()).unwrap();
    bench.window.get_by_label(&report.sentence);
    let k = (1..report.trials.len())
        .rev()
        .find(|k| report.can_hang(*k))
        .unwrap();
    let pct = report.trials[k].shade_pct;
    let before = bench.site().clone();
    let name = format!("{pct:.0} %: ");
    let card = bench
        .window
        .query_all_by_label_contains(&name)
        .find(|n| n.accesskit_node().role() == Role::Button)
        .unwrap();
    card.click();
    bench.steps();
    bench.click_button(&format!("Hang the {pct:.0} % cloth"));
    let cloths = &bench.site().cloths;
    assert_eq!(cloths.len(), 1);
    let cloth = cloths.values().next().unwrap().clone();
    assert_eq!(cloth.shade_pct, pct);
    assert_eq!(cloth.months, report.trials[k].months);
    assert!(sillward::base::geometry::contains(
        &cloth.outline,
        before.spots.get(&spot).unwrap().middle()
    ));
    bench.keys(Modifiers::COMMAND, Key::Z);
    assert_eq!(*bench.site(), before);
}

#[test]
fn a_spot_indoors_is_told_what_would_help_instead() {
    let mut bench = chooser();
    compared(&mut bench);
    bench.click("Spot: Bench");
    bench.click("Sill");
    for _ in 0..3_000 {
        bench.window.step();
        if bench
            .window
            .query_by_label_contains("a cloth overhead does not shade a window")
            .is_some()
        {
            bench.window.check_accessibility();
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
    panic!("nothing is said of the sill");
}

#[test]
fn two_readings_tell_what_a_cloth_is() {
    let mut bench = chooser();
    compared(&mut bench);
    for (name, value) in [
        ("Reading under the cloth", "400"),
        ("Reading beside the cloth", "1000"),
    ] {
        let field = |b: &Bench| {
            b.window
                .get_by_role_and_label(Role::SpinButton, name)
                .click()
        };
        bench
            .window
            .get_by_role_and_label(Role::SpinButton, name)
            .scroll_to_me();
        bench.steps();
        field(&bench);
        bench.steps();
        bench.keys(Modifiers::COMMAND, Key::A);
        bench.window.event(egui::Event::Text(value.to_owned()));
        bench.steps();
        bench.keys(Modifiers::NONE, Key::Enter);
    }
    bench
        .window
        .get_by_label_contains("It keeps out about 60 %");
}
