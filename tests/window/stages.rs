//! A plant's stages on the ribbon and on its sheet.

use egui::{accesskit::Role, pos2};
use egui_kittest::kittest::Queryable;
use sillward::{
    base::{Id, Week},
    needs::StageName,
};

use crate::whole::Bench;

/// First plan week of a stage of the cymbidium, by its own calendar.
fn first_week(bench: &Bench, stage: StageName) -> usize {
    let state = bench.window.state();
    let outcome = state.outcome().expect("is computed");
    let plan = outcome.plan.as_ref().expect("there is a plan");
    let calendar = outcome.scores.calendar(&Id::new("white")).unwrap();
    let of = |week: Week| calendar.starts()[calendar.index_in(week).unwrap()].stage;
    (1..52)
        .find(|w| of(plan.calendar_week(*w)) == stage && of(plan.calendar_week(*w - 1)) != stage)
        .expect("begins in the plan's year")
}

#[test]
fn the_beginning_of_a_stage_is_dragged_on_the_ribbon() {
    let mut bench = Bench::small();
    bench.settle();
    let before = first_week(&bench, StageName::Bloom);
    let ribbon = bench
        .window
        .get_by_role_and_label(Role::Slider, "Year ribbon")
        .rect();
    // The stages stand in the second row.
    let at = |week: f32| {
        pos2(
            ribbon.left() + ribbon.width() * week / 52.0,
            ribbon.top() + 27.0,
        )
    };
    let week = bench.window.state().looking().plan_week;
    bench.window.hover_at(at(before as f32));
    bench.window.step();
    bench.window.drag_at(at(before as f32));
    bench.window.step();
    for k in 1..=4 {
        bench.window.hover_at(at(before as f32 + 0.75 * k as f32));
        bench.window.step();
    }
    bench.window.drop_at(at(before as f32 + 3.0));
    bench.steps();
    let shift = bench
        .site()
        .plants
        .get(&Id::new("white"))
        .unwrap()
        .stage_shift
        .clone();
    assert_eq!(shift.len(), 1);
    assert_eq!(shift[0].stage, StageName::Bloom);
    assert_eq!(
        bench.window.state().looking().plan_week,
        week,
        "the ribbon's week stays where it was"
    );
    bench.settle();
    assert_eq!(first_week(&bench, StageName::Bloom), before + 3);
}

#[test]
fn a_plants_sheet_tells_its_stages_and_its_odds() {
    let mut bench = Bench::small();
    bench.settle();
    bench.keys(egui::Modifiers::COMMAND, egui::Key::P);
    bench.click_button("Edit White cymbidium");
    bench.steps();
    let shown = bench
        .window
        .query_by_role_and_label(Role::SpinButton, "Days later: bloom");
    assert!(shown.is_some());
    assert!(
        bench
            .window
            .query_by_label_contains("Will flower: about")
            .is_some()
    );
}

#[test]
fn a_kind_is_copied_and_changed() {
    let mut bench = Bench::small();
    bench.settle();
    bench.keys(egui::Modifiers::COMMAND, egui::Key::P);
    bench.click_button("Edit White cymbidium");
    bench.click_button("Needs…");
    bench.click_button("Make one of my own from it…");
    bench.steps();
    let own = bench
        .site()
        .kinds
        .ids()
        .next()
        .cloned()
        .expect("was copied");
    let kind = |b: &Bench| sillward::needs::Kind::clone(b.site().kinds.get(&own).unwrap());
    let before = kind(&bench);
    assert!(before.name.ends_with("my own"));
    bench
        .window
        .get_by_role_and_label(Role::SpinButton, "Nights, growth: to")
        .focus();
    bench.steps();
    bench.keys(egui::Modifiers::NONE, egui::Key::ArrowUp);
    let after = kind(&bench);
    let night = |k: &sillward::needs::Kind| k.stages[0].needs.night_c.clone();
    assert!(night(&after).value.ideal_high() > night(&before).value.ideal_high());
    assert_eq!(night(&after).source, sillward::needs::Source::Grower);
    assert!(sillward::needs::check::faults(&after).is_empty());
    bench.keys(egui::Modifiers::COMMAND, egui::Key::Z);
    assert_eq!(kind(&bench), before);
}
