//! What is to be done follows from the plan and the plants' own year.

use sillward::{
    base::{Id, Table},
    care::{CareInputs, Task, TaskKind, tasks},
    site::{Cloth, Plant, Pot},
};

use super::seasons::{Case, date};

fn chores(case: &Case) -> (sillward::planner::Plan, Vec<Task>) {
    let plan = case.plan(date(2026, 11, 25), None);
    let inputs = CareInputs {
        site: &case.site,
        plan: &plan,
        scores: &case.scores,
        spot_weeks: case.spot_weeks(),
    };
    let tasks = tasks(&inputs);
    (plan, tasks)
}

#[test]
fn a_year_of_chores_for_a_cymbidium() {
    let mut case = Case::new(45.0, &[("cym", "cymbidium-standard")]);
    case.site.plants.put(
        Id::new("cym"),
        Plant {
            name: "Cym".to_owned(),
            kind: Id::new("cymbidium-standard"),
            stands: Some(Id::new("porch")),
            pot: Pot {
                repotted: Some(date(2023, 4, 1)),
                ..Pot::default()
            },
            ..Plant::default()
        },
    );
    case.site.cloths = Table::from_iter([(
        Id::new("cloth"),
        Cloth {
            months: sillward::base::Months::span(4, 9),
            ..Cloth::default()
        },
    )]);
    let (plan, tasks) = chores(&case);
    let of = |kind: TaskKind| {
        tasks
            .iter()
            .filter(move |t| t.kind == kind)
            .collect::<Vec<_>>()
    };

    assert_eq!(of(TaskKind::Move).len(), plan.moves.len());
    let water = of(TaskKind::Water);
    assert_eq!(water.len(), 52, "one interval a week");
    let days = |month: u32| -> f64 {
        use chrono::Datelike;
        let task = water.iter().find(|t| t.date.month() == month).unwrap();
        let digits = task.what.split_whitespace().find_map(|w| w.parse().ok());
        digits.unwrap_or(1.0)
    };
    assert!(
        days(7) < days(1),
        "thirstier in July ({}) than in January ({})",
        days(7),
        days(1)
    );

    // Repotting falls due in the kind's own window, at three years and more.
    let repot = of(TaskKind::Repot);
    assert_eq!(repot.len(), 1);
    let kind = case.site.kind(&Id::new("cymbidium-standard")).unwrap();
    let day = sillward::base::Day::of(repot[0].date).index();
    let (from, to) = (
        kind.repot.from.day_of_year().index(),
        kind.repot.to.day_of_year().index(),
    );
    assert!(
        (from.saturating_sub(7)..=to).contains(&day),
        "{}",
        repot[0].date
    );

    let up: Vec<String> = of(TaskKind::Cloth)
        .iter()
        .map(|t| format!("{} {}", t.date, t.what))
        .collect();
    assert_eq!(up.len(), 2);
    assert!(
        up[0].starts_with("2027-04-01 Put up") && up[1].starts_with("2027-10-01 Take down"),
        "{up:?}"
    );

    let comes_in = plan
        .moves
        .iter()
        .find(|m| m.from == Some(Id::new("bench")))
        .unwrap();
    assert!(
        of(TaskKind::Check)
            .iter()
            .any(|t| t.week + 2 == comes_in.week && t.what.contains("pests")),
        "pests are looked for two weeks before"
    );
    assert_eq!(of(TaskKind::Stake).len(), 1);
    assert!(
        tasks
            .windows(2)
            .all(|t| (t[0].week, t[0].date) <= (t[1].week, t[1].date))
    );
    for task in &tasks {
        assert!(
            task.date >= plan.date_of_week(task.week)
                && task.date < plan.date_of_week(task.week + 1)
        );
        assert!(!task.what.is_empty() && !task.why.is_empty());
    }
}

#[test]
fn a_site_without_plants_has_no_chores() {
    let (_, tasks) = chores(&Case::new(45.0, &[]));
    assert!(tasks.is_empty(), "{tasks:?}");
}
