//! Bound and plan together, until the gap between them is small enough.

use std::{collections::BTreeMap, time::Instant};

use super::{
    Budget, PlanError, Problem, RoomPrice, Solution, Stay,
    bound::{Descent, Priced, evaluate},
    load::Rooms,
    network::{self, NOWHERE, Network, Path, value_span},
    repair::{Bench, Effort, Feasible},
};
use crate::base::{Id, Progress};

/// Iterations of the bound between two repairs.
const STRETCH: usize = 40;

/// Exchanges between two stretches of the bound, and when the bound can do no more.
struct Efforts {
    stretch: Effort,
    last: Effort,
}

/// For a plan from nothing.
const COLD: Efforts = Efforts {
    stretch: Effort {
        attempts: 16,
        heat: 0.0,
    },
    last: Effort {
        attempts: 100,
        heat: 0.3,
    },
};

/// For a plan that an earlier one began; the grower waits for it with a pot in hand.
const WARM: Efforts = Efforts {
    stretch: Effort {
        attempts: 4,
        heat: 0.0,
    },
    last: Effort {
        attempts: 30,
        heat: 0.1,
    },
};

/// The best plan found, with a bound that proves how good it is. `warm`: an earlier solution of the same or a
/// similar problem to start from. Equal problems give equal plans, unless the time of the budget runs out; then
/// [`Solution::cut_short`] says so.
///
/// # Errors
/// [`PlanError`]: pins that cannot be, or cancelled.
pub fn solve(
    problem: &Problem,
    budget: &Budget,
    warm: Option<&Solution>,
    progress: &Progress,
) -> Result<Solution, PlanError> {
    progress.check()?;
    check_pins(problem)?;
    let began = Instant::now();
    let span = value_span(problem);
    let networks = network::networks(problem);
    let rooms = Rooms::new(problem, &networks);
    let bench = Bench {
        problem,
        networks: &networks,
        rooms: &rooms,
        span,
    };

    let prices = warm.map_or_else(
        || vec![0.0; rooms.counts.len() * rooms.weeks],
        |w| prices_of(problem, &rooms, &w.prices),
    );
    let mut priced = evaluate(problem, &networks, &rooms, &prices);
    let mut plan = bench.settle(&priced.paths, &priced.charges, progress)?;
    if let Some(earlier) = warm.and_then(|w| paths_of(problem, w)) {
        // The earlier plan, changed only where the rules no longer allow it or a pin has taken its room.
        let kept = bench.keep(lawful(problem, &networks, &earlier), &priced.charges);
        if kept.total() > plan.total() {
            plan = kept;
        }
    }
    let mut descent = Descent::new(prices, if warm.is_some() { 0.3 } else { 1.5 });
    let mut cut_short = false;
    let mut turn = 0;
    let efforts = if warm.is_some() { WARM } else { COLD };
    let enough = |plan: &Feasible, priced: &Priced| {
        priced.bound - plan.total() <= budget.gap * priced.bound.abs()
    };
    while !enough(&plan, &priced)
        && descent.iterations < budget.max_iterations
        && !descent.is_done()
    {
        for _ in 0..STRETCH.min(budget.max_iterations - descent.iterations) {
            progress.check()?;
            descent.step(problem, &networks, &rooms, plan.total(), &mut priced);
            if descent.is_done() || enough(&plan, &priced) {
                break;
            }
        }
        progress.tell(
            "plan",
            descent.iterations as f32 / budget.max_iterations.max(1) as f32,
        );
        let mut next = bench.settle(&priced.paths, &priced.charges, progress)?;
        let target = priced.bound - budget.gap * priced.bound.abs();
        // The plan made anew, not the best so far: exchanges lead to better ends from many starts than from one.
        bench.improve(&mut next, &priced, target, turn, &efforts.stretch, progress)?;
        turn += 1;
        if next.total() > plan.total() {
            plan = next;
        }
        if began.elapsed().as_secs_f64() > budget.seconds {
            cut_short = true;
            break;
        }
    }
    if !cut_short && !enough(&plan, &priced) {
        let target = priced.bound - budget.gap * priced.bound.abs();
        bench.improve(&mut plan, &priced, target, turn, &efforts.last, progress)?;
        bench.settle_pairs(&mut plan, progress)?;
    }
    Ok(solution(
        problem,
        &rooms,
        &plan,
        priced,
        descent.iterations,
        cut_short,
    ))
}

fn check_pins(problem: &Problem) -> Result<(), PlanError> {
    for week in 0..problem.weeks {
        let mut on_spot: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for (p, row) in problem.plants.iter().enumerate() {
            let Some(s) = row.pinned.get(week).copied().flatten() else {
                continue;
            };
            let spot = &problem.spots[s];
            let open = spot.open.get(week).copied().unwrap_or(true);
            let fits =
                row.footprint <= spot.capacity && row.value[s * problem.weeks + week].is_finite();
            if !open || !fits {
                return Err(PlanError::PinWithoutPlace {
                    plant: row.id.clone(),
                    spot: spot.id.clone(),
                    week,
                });
            }
            on_spot.entry(s).or_default().push(p);
        }
        for (s, plants) in on_spot {
            let wanted: u64 = plants
                .iter()
                .map(|p| u64::from(problem.plants[*p].footprint))
                .sum();
            if wanted > u64::from(problem.spots[s].capacity) {
                let names: Vec<&str> = plants
                    .iter()
                    .map(|p| problem.plants[*p].id.as_str())
                    .collect();
                return Err(PlanError::ClashingPins {
                    plants: names.join(", "),
                    spot: problem.spots[s].id.clone(),
                    week,
                });
            }
        }
    }
    Ok(())
}

/// Prices of an earlier solution for the counts of this problem.
fn prices_of(problem: &Problem, rooms: &Rooms, earlier: &BTreeMap<Id, Vec<RoomPrice>>) -> Vec<f64> {
    rooms
        .counts
        .iter()
        .flat_map(|count| {
            let row = earlier
                .get(&problem.spots[count.spot].id)
                .and_then(|r| r.iter().find(|p| p.divisor == count.divisor));
            (0..problem.weeks).map(move |t| {
                row.and_then(|r| r.weeks.get(t))
                    .copied()
                    .filter(|p| p.is_finite())
                    .unwrap_or(0.0)
                    .max(0.0)
            })
        })
        .collect()
}

/// Paths of an earlier solution; `None` if it knows a plant of this problem not at all.
fn paths_of(problem: &Problem, earlier: &Solution) -> Option<Vec<Path>> {
    let spot_index: BTreeMap<&Id, u16> = problem
        .spots
        .iter()
        .enumerate()
        .map(|(i, s)| (&s.id, i as u16))
        .collect();
    // An earlier plan may be shorter than this one: where it ends, plants stay.
    let stays_end = earlier.stays.iter().map(|s| s.from_week + s.weeks);
    let gaps_end = earlier
        .without_room
        .iter()
        .map(|(_, from, weeks)| from + weeks);
    let covered = stays_end
        .chain(gaps_end)
        .max()
        .unwrap_or(0)
        .min(problem.weeks);
    problem
        .plants
        .iter()
        .map(|row| {
            let mut path = vec![NOWHERE; problem.weeks];
            let mut known = earlier.without_room.iter().any(|(id, ..)| *id == row.id);
            for stay in earlier.stays.iter().filter(|s| s.plant == row.id) {
                known = true;
                let place = spot_index.get(&stay.spot).copied().unwrap_or(NOWHERE);
                let end = (stay.from_week + stay.weeks).min(problem.weeks);
                path.get_mut(stay.from_week..end)?.fill(place);
            }
            if let Some(last) = covered.checked_sub(1).and_then(|t| path.get(t)).copied() {
                path[covered..].fill(last);
            }
            known.then_some(path)
        })
        .collect()
}

/// Bends earlier paths to the rules of this problem: the lawful path that keeps most of the earlier weeks.
fn lawful(problem: &Problem, networks: &[Network], earlier: &[Path]) -> Vec<Path> {
    let mut scratch = super::network::Scratch::default();
    let span = value_span(problem);
    networks
        .iter()
        .zip(earlier)
        .map(|(network, path)| {
            let weeks = problem.weeks;
            let mut charge = vec![10.0 * span; problem.spots.len() * weeks];
            for (t, place) in path.iter().enumerate() {
                if *place == NOWHERE {
                    // As dear as being without room: it had none, so none is taken from others.
                    for s in 0..problem.spots.len() {
                        charge[s * weeks + t] = 10.0 * span + network.homeless.spell;
                    }
                } else {
                    charge[usize::from(*place) * weeks + t] = 0.0;
                }
            }
            network.best_path(&charge, 1.0, &mut scratch).1
        })
        .collect()
}

fn solution(
    problem: &Problem,
    rooms: &Rooms,
    plan: &Feasible,
    priced: Priced,
    iterations: usize,
    cut_short: bool,
) -> Solution {
    let mut stays = Vec::new();
    let mut without_room = Vec::new();
    for (row, path) in problem.plants.iter().zip(&plan.paths) {
        let mut from = 0;
        while from < path.len() {
            let place = path[from];
            let weeks = path[from..].iter().take_while(|p| **p == place).count();
            if place == NOWHERE {
                without_room.push((row.id.clone(), from, weeks));
            } else {
                let s = usize::from(place);
                stays.push(Stay {
                    plant: row.id.clone(),
                    spot: problem.spots[s].id.clone(),
                    from_week: from,
                    weeks,
                    pinned: (from..from + weeks)
                        .any(|t| row.pinned.get(t).copied().flatten() == Some(s)),
                });
            }
            from += weeks;
        }
    }
    let mut prices: BTreeMap<Id, Vec<RoomPrice>> = BTreeMap::new();
    for (count, weeks) in rooms
        .counts
        .iter()
        .zip(priced.prices.chunks(problem.weeks.max(1)))
    {
        let spot = problem.spots[count.spot].id.clone();
        prices.entry(spot).or_default().push(RoomPrice {
            divisor: count.divisor,
            weeks: weeks.to_vec(),
        });
    }
    Solution {
        stays,
        without_room,
        objective: plan.total(),
        upper_bound: priced.bound.max(plan.total()),
        iterations,
        cut_short,
        prices,
    }
}
