//! The planner against exhaustive search, against a general solver, and against its own rules.

mod chores;
mod diagnosis;
mod fitting;
mod recorded;
mod seasons;

use std::collections::BTreeMap;

use proptest::prelude::*;
use sillward::{
    base::{Id, Progress},
    planner::{Budget, PlanError, PlantRow, Problem, Solution, SpotRow, solve},
};

/// Exactness over speed.
const EXACT: Budget = Budget {
    gap: 1e-9,
    seconds: 600.0,
    max_iterations: 300,
};

/// Where each plant stands by week, by the stays alone.
fn places(problem: &Problem, solution: &Solution) -> Vec<Vec<Option<usize>>> {
    problem
        .plants
        .iter()
        .map(|row| {
            let mut path = vec![None; problem.weeks];
            for stay in solution.stays.iter().filter(|s| s.plant == row.id) {
                let spot = problem
                    .spots
                    .iter()
                    .position(|s| s.id == stay.spot)
                    .unwrap();
                for week in &mut path[stay.from_week..stay.from_week + stay.weeks] {
                    assert_eq!(*week, None, "two stays in one week");
                    *week = Some(spot);
                }
            }
            path
        })
        .collect()
}

/// Worth of one plant's path if it keeps the rules that concern it alone; written anew from the rules, not from the
/// planner's code. Only for paths that have room in all weeks.
fn lawful_worth(problem: &Problem, row: &PlantRow, path: &[usize]) -> Option<f64> {
    let (weeks, spots) = (problem.weeks, problem.spots.len());
    let mut worth = 0.0;
    let mut stayed = row.min_stay_weeks; // before the plan: long enough
    let mut before = row.start;
    for (t, s) in path.iter().copied().enumerate() {
        let pinned = row.pinned[t];
        if pinned.is_some_and(|p| p != s) || !problem.spots[s].open[t] {
            return None;
        }
        let value = row.value[s * weeks + t];
        if !value.is_finite() || row.footprint > problem.spots[s].capacity {
            return None;
        }
        if before != Some(s) {
            if problem.absent[t] && pinned.is_none() {
                return None;
            }
            if let Some(from) = before {
                if stayed < row.min_stay_weeks && pinned.is_none() {
                    return None;
                }
                let pair = from * spots + s;
                let shock = row.shock.get(pair * weeks + t).copied().unwrap_or(0.0);
                if shock.is_finite() {
                    worth -= f64::from(row.move_cost[pair] + shock);
                } else if pinned.is_none() {
                    return None;
                }
            }
            stayed = 0;
        }
        stayed += 1;
        worth += f64::from(value);
        before = Some(s);
    }
    Some(worth)
}

fn room_is_kept(problem: &Problem, paths: &[Vec<Option<usize>>]) -> bool {
    (0..problem.weeks).all(|t| {
        (0..problem.spots.len()).all(|s| {
            let taken: u32 = problem
                .plants
                .iter()
                .zip(paths)
                .filter(|(_, path)| path[t] == Some(s))
                .map(|(row, _)| row.footprint)
                .sum();
            taken <= problem.spots[s].capacity
        })
    })
}

/// Everything a solution must keep, whatever the problem.
fn check_rules(problem: &Problem, solution: &Solution) {
    let paths = places(problem, solution);
    assert!(room_is_kept(problem, &paths), "too many pots on a spot");
    let mut total = 0.0;
    let mut all_have_room = true;
    for (row, path) in problem.plants.iter().zip(&paths) {
        for (t, place) in path.iter().enumerate() {
            let told = solution
                .without_room
                .iter()
                .any(|(id, from, weeks)| *id == row.id && (*from..from + weeks).contains(&t));
            assert_eq!(
                place.is_none(),
                told,
                "{} week {t}: neither placed nor told",
                row.id
            );
            if let Some(pin) = row.pinned[t] {
                assert_eq!(*place, Some(pin), "{} week {t}: pin not kept", row.id);
            }
        }
        if let Some(full) = path.iter().copied().collect::<Option<Vec<usize>>>() {
            let worth = lawful_worth(problem, row, &full);
            assert!(worth.is_some(), "{}: path breaks a rule: {full:?}", row.id);
            total += worth.unwrap();
        } else {
            all_have_room = false;
        }
    }
    let tolerance = 1e-6 * (1.0 + solution.upper_bound.abs());
    if all_have_room {
        assert!(
            (total - solution.objective).abs() <= tolerance,
            "told {}, by the stays {total}",
            solution.objective
        );
    }
    assert!(solution.upper_bound + tolerance >= solution.objective);
    assert!((0.0..=1.0).contains(&solution.gap()) || solution.objective < 0.0);
}

fn spot(name: &str, capacity: u32, weeks: usize) -> SpotRow {
    SpotRow {
        id: Id::new(name),
        capacity,
        open: vec![true; weeks],
    }
}

/// A plant of footprint 1 with the given values by spot and week and one cost for all moves.
fn plant(name: &str, values: &[&[f32]], start: Option<usize>, move_cost: f32) -> PlantRow {
    let spots = values.len();
    PlantRow {
        id: Id::new(name),
        footprint: 1,
        value: values.concat(),
        start,
        move_cost: vec![move_cost; spots * spots],
        shock: Vec::new(),
        min_stay_weeks: 1,
        pinned: vec![None; values[0].len()],
    }
}

#[test]
fn two_plants_want_the_same_place_and_the_one_that_gains_more_has_it() {
    let weeks = 4;
    let problem = Problem {
        weeks,
        spots: vec![spot("good", 1, weeks), spot("poor", 2, weeks)],
        plants: vec![
            plant("a", &[&[0.9; 4], &[0.6; 4]], Some(0), 0.5),
            plant("b", &[&[0.9; 4], &[0.1; 4]], Some(1), 0.5),
        ],
        absent: vec![false; weeks],
    };
    let solution = solve(&problem, &EXACT, None, &Progress::new()).unwrap();
    check_rules(&problem, &solution);
    // b gains 0.8 a week for a's loss of 0.3; both move: 4 × (0.6 + 0.9) - 2 × 0.5.
    assert!(
        (solution.objective - 5.0).abs() < 1e-5,
        "{}",
        solution.objective
    );
    assert!(solution.gap() < 1e-6, "gap {}", solution.gap());
}

#[test]
fn a_plant_without_room_is_told_not_squeezed_in() {
    let weeks = 3;
    let mut wide = plant("wide", &[&[f32::NEG_INFINITY; 3]], Some(0), 0.5);
    wide.footprint = 9;
    let problem = Problem {
        weeks,
        spots: vec![spot("shelf", 2, weeks)],
        plants: vec![
            plant("a", &[&[0.5; 3]], Some(0), 0.5),
            plant("b", &[&[0.7; 3]], Some(0), 0.5),
            plant("c", &[&[0.6; 3]], None, 0.5),
            wide,
        ],
        absent: vec![true; weeks],
    };
    let solution = solve(&problem, &EXACT, None, &Progress::new()).unwrap();
    check_rules(&problem, &solution);
    let told: Vec<&str> = solution
        .without_room
        .iter()
        .map(|(id, ..)| id.as_str())
        .collect();
    // Nobody is there to bring c in; the wide pot fits nowhere.
    assert_eq!(told, ["c", "wide"]);
}

#[test]
fn pins_that_cannot_be_are_refused_with_names() {
    let weeks = 2;
    let mut a = plant("a", &[&[0.5; 2], &[0.5; 2]], Some(1), 0.5);
    let mut b = plant("b", &[&[0.5; 2], &[0.5; 2]], Some(1), 0.5);
    a.pinned[1] = Some(0);
    b.pinned[1] = Some(0);
    let mut problem = Problem {
        weeks,
        spots: vec![spot("sill", 1, weeks), spot("floor", 5, weeks)],
        plants: vec![a, b],
        absent: vec![false; weeks],
    };
    let clash = solve(&problem, &EXACT, None, &Progress::new()).unwrap_err();
    assert!(
        matches!(&clash, PlanError::ClashingPins { plants, spot, week: 1 }
            if plants == "a, b" && spot.as_str() == "sill"),
        "{clash}"
    );
    problem.plants[1].pinned[1] = None;
    problem.spots[0].open[1] = false;
    let closed = solve(&problem, &EXACT, None, &Progress::new()).unwrap_err();
    assert!(
        matches!(closed, PlanError::PinWithoutPlace { week: 1, .. }),
        "{closed}"
    );
}

#[test]
fn a_cancelled_run_ends_as_cancelled() {
    let problem = Problem {
        weeks: 1,
        spots: vec![spot("s", 1, 1)],
        plants: vec![plant("a", &[&[0.5]], None, 0.5)],
        absent: vec![false],
    };
    let progress = Progress::new();
    progress.cancel();
    let end = solve(&problem, &EXACT, None, &progress);
    assert!(matches!(end, Err(PlanError::Cancelled(_))));
}

/// Small problems with all the rules in them.
fn problems(
    plants: std::ops::Range<usize>,
    spots: usize,
    weeks: usize,
) -> impl Strategy<Value = Problem> {
    let cell = prop_oneof![8 => 0.0_f32..1.0, 1 => Just(f32::NEG_INFINITY)];
    let row = (
        prop::collection::vec(cell, spots * weeks),
        1_u32..4,
        prop::option::of(0..spots),
        prop::collection::vec(0.05_f32..0.9, spots * spots),
        prop::collection::vec(
            prop_oneof![6 => Just(0.0_f32), 2 => 0.0_f32..1.0, 1 => Just(f32::INFINITY)],
            spots * spots * weeks,
        ),
        1_usize..4,
        prop::option::weighted(0.3, (0..weeks, 0..spots)),
    );
    (
        prop::collection::vec(row, plants),
        prop::collection::vec(
            (
                2_u32..7,
                prop::collection::vec(prop::bool::weighted(0.9), weeks),
            ),
            spots,
        ),
        prop::collection::vec(prop::bool::weighted(0.15), weeks),
    )
        .prop_map(move |(rows, spot_rows, absent)| Problem {
            weeks,
            spots: spot_rows
                .into_iter()
                .enumerate()
                .map(|(i, (capacity, open))| SpotRow {
                    id: Id::new(&format!("s{i}")),
                    capacity,
                    open,
                })
                .collect(),
            plants: rows
                .into_iter()
                .enumerate()
                .map(
                    |(i, (value, footprint, start, move_cost, shock, min_stay_weeks, pin))| {
                        let mut pinned = vec![None; weeks];
                        if let Some((week, spot)) = pin {
                            pinned[week] = Some(spot);
                        }
                        PlantRow {
                            id: Id::new(&format!("p{i}")),
                            footprint,
                            value,
                            start,
                            move_cost,
                            shock,
                            min_stay_weeks,
                            pinned,
                        }
                    },
                )
                .collect(),
            absent,
        })
}

/// Best total of all lawful pairs of paths; `None` if some plant has no lawful full path or they never fit together.
fn exhaustive(problem: &Problem) -> Option<f64> {
    let spots = problem.spots.len();
    let all: Vec<Vec<(f64, Vec<usize>)>> = problem
        .plants
        .iter()
        .map(|row| {
            (0..spots.pow(problem.weeks as u32))
                .filter_map(|mut code| {
                    let path: Vec<usize> = (0..problem.weeks)
                        .map(|_| {
                            let s = code % spots;
                            code /= spots;
                            s
                        })
                        .collect();
                    lawful_worth(problem, row, &path).map(|worth| (worth, path))
                })
                .collect()
        })
        .collect();
    let [first, second] = all.as_slice() else {
        return None;
    };
    let mut best = None;
    for (wa, a) in first {
        for (wb, b) in second {
            let paths = [a, b].map(|p| p.iter().copied().map(Some).collect::<Vec<_>>());
            if best.is_none_or(|best| wa + wb > best) && room_is_kept(problem, &paths) {
                best = Some(wa + wb);
            }
        }
    }
    best
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 200,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn verify_bound_and_plan_against_exhaustive_search(problem in problems(2..3, 3, 5)) {
        let Ok(solution) = solve(&problem, &EXACT, None, &Progress::new()) else { return Ok(()) };
        check_rules(&problem, &solution);
        if let Some(best) = exhaustive(&problem) {
            prop_assert!(solution.without_room.is_empty(), "room was to be had: {:?}", solution.without_room);
            prop_assert!(solution.upper_bound >= best - 1e-5, "bound {} below the best {best}", solution.upper_bound);
            prop_assert!(solution.objective <= best + 1e-5);
            // With two plants the exchange tries both orders: the plan itself is the best or next to it.
            prop_assert!(solution.objective >= best - 0.03 * best.abs().max(1.0), "{} against {best}", solution.objective);
        }
    }

    #[test]
    fn rules_hold_in_crowded_years(problem in problems(1..7, 4, 12)) {
        let budget = Budget { max_iterations: 60, ..EXACT };
        if let Ok(solution) = solve(&problem, &budget, None, &Progress::new()) {
            check_rules(&problem, &solution);
            let again = solve(&problem, &budget, None, &Progress::new()).unwrap();
            prop_assert_eq!(&again, &solution, "not repeatable");
            let warm = solve(&problem, &budget, Some(&solution), &Progress::new()).unwrap();
            check_rules(&problem, &warm);
            prop_assert!(warm.objective >= solution.objective - 1e-6, "worse after a warm start: {} against {}", warm.objective, solution.objective);
        }
    }
}

#[derive(serde::Deserialize)]
struct Reference {
    weeks: usize,
    min_stay: usize,
    capacity: Vec<u32>,
    footprint: Vec<u32>,
    start: Vec<usize>,
    move_cost: f32,
    value: Vec<Vec<Vec<f32>>>,
    optimum: f64,
}

/// Optima proven by HiGHS; see tests/reference/planner/README.md.
#[test]
fn validate_against_a_general_solver() {
    let text = include_str!("../reference/planner/instances.json");
    let instances: BTreeMap<String, Reference> = serde_json::from_str(text).unwrap();
    assert!(!instances.is_empty());
    for (name, r) in instances {
        let spots = r.capacity.len();
        let problem = Problem {
            weeks: r.weeks,
            spots: r
                .capacity
                .iter()
                .enumerate()
                .map(|(i, c)| spot(&format!("s{i}"), *c, r.weeks))
                .collect(),
            plants: (0..r.footprint.len())
                .map(|p| PlantRow {
                    id: Id::new(&format!("p{p}")),
                    footprint: r.footprint[p],
                    value: r.value[p].concat(),
                    start: Some(r.start[p]),
                    move_cost: vec![r.move_cost; spots * spots],
                    shock: Vec::new(),
                    min_stay_weeks: r.min_stay,
                    pinned: vec![None; r.weeks],
                })
                .collect(),
            absent: vec![false; r.weeks],
        };
        let solution = solve(&problem, &EXACT, None, &Progress::new()).unwrap();
        check_rules(&problem, &solution);
        let (bound, plan, best) = (solution.upper_bound, solution.objective, r.optimum);
        assert!(
            bound >= best - 1e-4 && best >= plan - 1e-4,
            "{name}: {plan} {best} {bound}"
        );
        assert!(
            bound <= best * 1.01,
            "{name}: bound {bound} loose against {best}"
        );
        assert!(
            plan >= best * 0.995,
            "{name}: plan {plan} poor against {best}"
        );
    }
}
