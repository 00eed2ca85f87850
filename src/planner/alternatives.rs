//! What each choice costs: the loss to the whole plan if a plant stood elsewhere in a week.

use serde::Serialize;

use super::{
    Problem, Solution,
    network::{Scratch, networks},
};
use crate::base::Id;

/// One spot for a plant in a week.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Alternative {
    pub spot: Id,
    /// Loss to the plan, score-weeks (a week at 100 points of a plant of worth 1), against the best for this plant;
    /// others' loss of room is in it by its price. `None` where it may not stand.
    pub loss: Option<f64>,
    /// Whether the plan has it here.
    pub planned: bool,
}

/// Each spot for a plant in a week of the plan, in the order of the spots. An estimate: prices say what room is worth
/// at the margin, not what a whole new plan would find. Empty for an unknown plant or week.
#[must_use]
pub fn alternatives(
    problem: &Problem,
    solution: &Solution,
    plant: &Id,
    week: usize,
) -> Vec<Alternative> {
    let Some(p) = problem.plants.iter().position(|row| row.id == *plant) else {
        return Vec::new();
    };
    if week >= problem.weeks {
        return Vec::new();
    }
    let footprint = problem.plants[p].footprint;
    let mut free = problem.clone_for(p);
    // The week itself is asked about, so a pin on it does not count.
    free.plants[0].pinned[week] = None;
    let Some(network) = networks(&free).pop() else {
        return Vec::new();
    };
    let charge: Vec<f64> = problem
        .spots
        .iter()
        .flat_map(|spot| {
            let rows = solution.prices.get(&spot.id).map_or(&[][..], Vec::as_slice);
            (0..problem.weeks).map(move |t| {
                rows.iter()
                    .map(|r| {
                        f64::from(footprint / r.divisor.max(1))
                            * r.weeks.get(t).copied().unwrap_or(0.0)
                    })
                    .sum::<f64>()
            })
        })
        .collect();
    let mut scratch = Scratch::default();
    let (best, _) = network.best_path(&charge, 1.0, &mut scratch);
    let planned = solution
        .stays
        .iter()
        .find(|s| s.plant == *plant && (s.from_week..s.from_week + s.weeks).contains(&week))
        .map(|s| &s.spot);
    problem
        .spots
        .iter()
        .enumerate()
        .map(|(s, spot)| {
            let mut forced = charge.clone();
            for other in (0..problem.spots.len()).filter(|o| *o != s) {
                forced[other * problem.weeks + week] = f64::INFINITY;
            }
            let (worth, path) = network.best_path(&forced, 1.0, &mut scratch);
            Alternative {
                spot: spot.id.clone(),
                loss: (usize::from(path[week]) == s).then_some((best - worth).max(0.0)),
                planned: planned == Some(&spot.id),
            }
        })
        .collect()
}

impl Problem {
    /// The same problem with one plant alone.
    fn clone_for(&self, plant: usize) -> Self {
        Self {
            weeks: self.weeks,
            spots: self.spots.clone(),
            plants: vec![self.plants[plant].clone()],
            absent: self.absent.clone(),
        }
    }
}
