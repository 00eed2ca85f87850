//! The bound: what all plants would gain together if they paid for room instead of being refused it.
//!
//! Lagrangian relaxation of the room on each spot in each week (Geoffrion 1974). Whatever the prices, no plan can be
//! worth more than the plants' best paths at these prices plus the prices of all room; the prices are moved to where
//! that sum is least by subgradient steps (Held, Wolfe & Crowder 1974), smoothed with the step before.

use rayon::prelude::*;

use super::{
    Problem,
    load::{Count, Rooms},
    network::{Network, Path, Scratch},
};

/// Prices of room, their bound and the paths that plants choose at them.
pub(super) struct Priced {
    /// By count and week, index `count * weeks + week`.
    pub prices: Vec<f64>,
    /// What each plant pays at these prices, index `spot * weeks + week`.
    pub charges: Vec<Vec<f64>>,
    pub bound: f64,
    /// Worth of each plant's best path at the prices.
    pub worth: Vec<f64>,
    pub paths: Vec<Path>,
}

/// State of the descent, so that it can be done in stretches with repairs between.
pub(super) struct Descent {
    prices: Vec<f64>,
    direction: Vec<f64>,
    theta: f64,
    without_gain: usize,
    pub iterations: usize,
}

const SMOOTHING: f64 = 0.3;
const PATIENCE: usize = 7;
const SMALLEST_STEP: f64 = 0.004;

impl Descent {
    pub fn new(prices: Vec<f64>, theta: f64) -> Self {
        Self {
            direction: vec![0.0; prices.len()],
            prices,
            theta,
            without_gain: 0,
            iterations: 0,
        }
    }

    /// Whether the steps have become too small to matter.
    pub fn is_done(&self) -> bool {
        self.theta < SMALLEST_STEP
    }

    /// Evaluates the current prices, keeps them in `best` if they are better, and takes a step. `known` is the
    /// worth of the best plan so far.
    pub fn step(
        &mut self,
        problem: &Problem,
        networks: &[Network],
        rooms: &Rooms,
        known: f64,
        best: &mut Priced,
    ) {
        let here = evaluate(problem, networks, rooms, &self.prices);
        self.iterations += 1;
        let taken = rooms.taken(problem, &here.paths);
        let units: Vec<f64> = rooms.counts.iter().map(|c| unit(problem, c)).collect();
        let mut square = 0.0;
        for (i, d) in self.direction.iter_mut().enumerate() {
            let count = i / rooms.weeks;
            let over = (taken[i] - rooms.counts[count].room) as f64 / units[count];
            let over = if over < 0.0 && self.prices[i] <= 0.0 {
                0.0
            } else {
                over
            };
            *d = (1.0 - SMOOTHING) * over + SMOOTHING * *d;
            if *d < 0.0 && self.prices[i] <= 0.0 {
                *d = 0.0;
            }
            square += *d * *d;
        }
        let bound = here.bound;
        if bound < best.bound - 1e-9 * best.bound.abs() {
            *best = here;
            self.without_gain = 0;
        } else {
            self.without_gain += 1;
            if self.without_gain >= PATIENCE {
                self.theta *= 0.6;
                self.without_gain = 0;
                self.prices.clone_from(&best.prices);
                self.direction.fill(0.0);
                return;
            }
        }
        if square < 1e-12 {
            self.theta = 0.0;
            return;
        }
        let distance = (bound - known).max(1e-6 * bound.abs());
        let step = self.theta * distance / square;
        for (i, (price, d)) in self.prices.iter_mut().zip(&self.direction).enumerate() {
            *price = (*price + step * d / units[i / rooms.weeks]).max(0.0);
        }
    }
}

pub(super) fn mean_footprint(problem: &Problem) -> f64 {
    let sum: f64 = problem.plants.iter().map(|p| f64::from(p.footprint)).sum();
    (sum / problem.plants.len().max(1) as f64).max(1.0)
}

/// What a pot takes of a count in the mean, so that steps are alike for all.
fn unit(problem: &Problem, count: &Count) -> f64 {
    let sum: i64 = problem.plants.iter().map(|p| count.of(p.footprint)).sum();
    (sum as f64 / problem.plants.len().max(1) as f64).max(0.2)
}

/// The plants' best paths at given prices, and the bound that follows.
pub(super) fn evaluate(
    problem: &Problem,
    networks: &[Network],
    rooms: &Rooms,
    prices: &[f64],
) -> Priced {
    let chosen: Vec<((f64, Path), Vec<f64>)> = problem
        .plants
        .par_iter()
        .zip(networks)
        .with_min_len(4)
        .map_init(Scratch::default, |scratch, (row, network)| {
            let charges = rooms.charges(prices, row.footprint);
            (network.best_path(&charges, 1.0, scratch), charges)
        })
        .collect();
    let room_worth: f64 = prices
        .iter()
        .enumerate()
        .map(|(i, price)| price * rooms.counts[i / rooms.weeks].room as f64)
        .sum();
    let bound = chosen.iter().map(|((worth, _), _)| worth).sum::<f64>() + room_worth;
    let (best, charges): (Vec<(f64, Path)>, Vec<Vec<f64>>) = chosen.into_iter().unzip();
    let (worth, paths) = best.into_iter().unzip();
    Priced {
        prices: prices.to_vec(),
        charges,
        bound,
        worth,
        paths,
    }
}
