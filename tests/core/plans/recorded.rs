//! What was done of a plan that began weeks ago: recorded, it is fact; until then the plants count as unmoved.

use chrono::NaiveDate;
use sillward::{
    base::Id,
    care::{CareInputs, TaskKind, done, tasks},
    planner::Plan,
    site::{Event, JournalEntry, edit::Edit},
};

use super::seasons::{Case, date};

fn autumn() -> (Case, NaiveDate) {
    let mut case = Case::new(45.0, &[("cym", "cymbidium-standard"), ("lemon", "lemon")]);
    for id in ["cym", "lemon"] {
        let mut plant = (**case.site.plants.get(&Id::new(id)).unwrap()).clone();
        plant.stands = Some(Id::new("bench"));
        case.site.plants.put(Id::new(id), plant);
    }
    (case, date(2026, 8, 31))
}

fn stays(plan: &Plan) -> Vec<(String, String, usize)> {
    plan.solution
        .stays
        .iter()
        .map(|s| (s.plant.to_string(), s.spot.to_string(), s.from_week))
        .collect()
}

#[test]
fn moves_recorded_as_planned_leave_the_plan_as_it_was() {
    let (mut case, from) = autumn();
    let today = date(2026, 12, 28);
    let plan = case.plan(from, None);
    let open = done::unrecorded(&case.site, &plan, today);
    assert!(open.len() >= 2, "{:#?}", plan.moves);
    assert!(open.iter().all(|m| m.date < today));
    let before = stays(&plan);
    case.site.apply(done::record(&open)).unwrap();
    for id in ["cym", "lemon"] {
        let stands = case.site.plants.get(&Id::new(id)).unwrap().stands.clone();
        assert_ne!(stands, Some(Id::new("bench")), "{id}");
    }
    let after = case.plan(from, None);
    assert_eq!(stays(&after), before);
    assert!(done::unrecorded(&case.site, &after, today).is_empty());
    assert!(after.solution.stays.iter().all(|s| !s.pinned));
    let told = after.moves.iter().find(|m| m.date < today).unwrap();
    assert!(
        told.reason.starts_with("done, as you recorded; "),
        "{}",
        told.reason
    );
    let tasks = tasks(&CareInputs {
        site: &case.site,
        plan: &after,
        scores: &case.scores,
        spot_weeks: case.spot_weeks(),
    });
    for task in tasks.iter().filter(|t| t.kind == TaskKind::Move) {
        let done = done::done_on(&case.site, &after, task);
        assert_eq!(done, (task.date < today).then_some(task.date));
    }
}

#[test]
fn a_plant_that_was_put_elsewhere_is_planned_on_from_there() {
    let (mut case, from) = autumn();
    let moved = date(2026, 9, 16);
    case.site
        .apply(Edit::Record(JournalEntry {
            date: moved,
            plant: Some(Id::new("cym")),
            event: Event::Moved(Id::new("sill")),
            from: None,
            note: String::new(),
        }))
        .unwrap();
    let plan = case.plan(from, None);
    let cym = Id::new("cym");
    let spot = |week: usize| plan.spot_of(&cym, week).unwrap().as_str().to_owned();
    assert_eq!(
        [spot(0), spot(1), spot(2)],
        ["bench", "bench", "sill"],
        "{:#?}",
        plan.moves
    );
    // What is planned after that day is still to be recorded.
    let open = done::unrecorded(&case.site, &plan, date(2027, 3, 1));
    assert!(open.iter().all(|m| m.plant != cym || m.date > moved));
}

#[test]
fn water_and_feed_are_done_in_their_week_only() {
    let (mut case, from) = autumn();
    let plan = case.plan(from, None);
    let tasks = tasks(&CareInputs {
        site: &case.site,
        plan: &plan,
        scores: &case.scores,
        spot_weeks: case.spot_weeks(),
    });
    let water = |week: usize| {
        tasks
            .iter()
            .find(|t| {
                t.kind == TaskKind::Water
                    && t.week == week
                    && t.plant.as_ref().is_some_and(|p| p.as_str() == "cym")
            })
            .unwrap()
    };
    let entry = done::entry(&plan, water(1), date(2026, 9, 9)).unwrap();
    assert_eq!(entry.event, Event::Watered);
    case.site.apply(Edit::Record(entry)).unwrap();
    let on = |week| done::done_on(&case.site, &plan, water(week));
    assert_eq!(on(1), Some(date(2026, 9, 9)));
    assert_eq!((on(0), on(2)), (None, None));
}
