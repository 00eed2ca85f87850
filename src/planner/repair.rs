//! From the paths that plants would choose to a plan in which every pot has room, and on to a better one.
//!
//! First plants bargain: each in turn looks for its best path while crowded spots grow dearer from round to round
//! (negotiated congestion, as wires are routed on chips: McMurchie & Ebeling 1995). What is then still crowded is
//! put in one after another with room as a hard rule. Then plants that lose most by the plan make room for one
//! another in small groups, as long as the whole gains.

use rand_chacha::{ChaCha8Rng, rand_core::Rng};
use rayon::prelude::*;

use super::{
    Problem,
    bound::{Priced, mean_footprint},
    load::Rooms,
    network::{NOWHERE, Network, Path, Scratch, path_worth},
};
use crate::base::{Cancelled, Progress, seed};

/// A plan in which every pot has room.
#[derive(Clone)]
pub(super) struct Feasible {
    pub paths: Vec<Path>,
    /// Worth of each path.
    pub worth: Vec<f64>,
}

impl Feasible {
    pub fn total(&self) -> f64 {
        self.worth.iter().sum()
    }
}

/// How long exchanges go on.
pub(super) struct Effort {
    /// Attempts a plant.
    pub attempts: usize,
    /// Loss that is borne at first in the hope of more, in spans of value; it cools down to nothing.
    pub heat: f64,
}

/// What repairs need to know.
pub(super) struct Bench<'a> {
    pub problem: &'a Problem,
    pub networks: &'a [Network],
    pub rooms: &'a Rooms,
    /// Difference between the best and the worst week of any plant.
    pub span: f64,
}

const ROUNDS: usize = 40;

impl Bench<'_> {
    pub(super) fn worth(&self, plant: usize, path: &[u16]) -> f64 {
        let row = &self.problem.plants[plant];
        path_worth(self.problem, row, self.networks[plant].homeless, path)
    }

    pub(super) fn footprint(&self, plant: usize) -> u32 {
        self.problem.plants[plant].footprint
    }

    pub(super) fn shift(&self, taken: &mut [i64], plant: usize, path: &[u16], sign: i64) {
        self.rooms.shift(
            taken,
            &self.networks[plant],
            self.footprint(plant),
            path,
            sign,
        );
    }

    /// Room taken by pins alone, then by the free weeks of all paths.
    pub(super) fn taken(&self, paths: &[Path]) -> Vec<i64> {
        let mut taken = self.rooms.pinned.clone();
        for (plant, path) in paths.iter().enumerate() {
            self.shift(&mut taken, plant, path, 1);
        }
        taken
    }

    /// Makes a plan that fits out of the paths plants would like, when each plant pays its charges.
    pub fn settle(
        &self,
        wished: &[Path],
        charges: &[Vec<f64>],
        progress: &Progress,
    ) -> Result<Feasible, Cancelled> {
        let mut scratch = Scratch::default();
        let mut paths = wished.to_vec();
        let mut taken = self.taken(&paths);
        let unit = self.span / mean_footprint(self.problem);
        let mut history = vec![0.0; taken.len()];
        let mut pressure = 0.05 * unit;
        let mut charge = vec![0.0; taken.len()];
        for round in 0..ROUNDS {
            if self.excess(&taken) == 0 {
                break;
            }
            progress.check()?;
            for turn in 0..paths.len() {
                let plant = (turn + round) % paths.len();
                if !self.is_crowded(&taken, &paths[plant]) {
                    continue;
                }
                self.shift(&mut taken, plant, &paths[plant], -1);
                let footprint = i64::from(self.footprint(plant));
                for (i, c) in charge.iter_mut().enumerate() {
                    let over = (taken[i] + footprint - self.rooms.capacity[i]).max(0) as f64;
                    *c = charges[plant][i] + footprint as f64 * history[i] + pressure * over;
                }
                let (_, path) = self.networks[plant].best_path(&charge, 1.0, &mut scratch);
                self.shift(&mut taken, plant, &path, 1);
                paths[plant] = path;
            }
            for (h, (t, c)) in history
                .iter_mut()
                .zip(taken.iter().zip(&self.rooms.capacity))
            {
                let over = (t - c).max(0) as f64;
                *h += 0.3 * pressure * (over / mean_footprint(self.problem)).min(3.0);
            }
            pressure *= 1.25;
        }
        Ok(self.keep(paths, charges))
    }

    /// Makes a plan that fits and leaves all paths as they are but for those on crowded spots.
    pub fn keep(&self, mut paths: Vec<Path>, charges: &[Vec<f64>]) -> Feasible {
        let mut taken = self.taken(&paths);
        self.force(&mut paths, &mut taken, charges, &mut Scratch::default());
        let worth = (0..paths.len()).map(|p| self.worth(p, &paths[p])).collect();
        Feasible { paths, worth }
    }

    fn excess(&self, taken: &[i64]) -> i64 {
        taken
            .iter()
            .zip(&self.rooms.capacity)
            .map(|(t, c)| (t - c).max(0))
            .sum()
    }

    fn is_crowded(&self, taken: &[i64], path: &[u16]) -> bool {
        path.iter().enumerate().any(|(t, place)| {
            let i = usize::from(*place) * self.rooms.weeks + t;
            *place != NOWHERE && taken[i] > self.rooms.capacity[i]
        })
    }

    /// Takes the plants of crowded spots out, least worth first, until nothing is crowded, and puts them in again
    /// with room as a hard rule.
    fn force(
        &self,
        paths: &mut [Path],
        taken: &mut [i64],
        charges: &[Vec<f64>],
        scratch: &mut Scratch,
    ) {
        let mut order: Vec<usize> = (0..paths.len()).collect();
        order.sort_by(|a, b| {
            self.worth(*a, &paths[*a])
                .total_cmp(&self.worth(*b, &paths[*b]))
        });
        let mut out = Vec::new();
        for plant in order {
            if self.is_crowded(taken, &paths[plant]) {
                self.shift(taken, plant, &paths[plant], -1);
                out.push(plant);
            }
        }
        for plant in out.into_iter().rev() {
            paths[plant] = self.insert(taken, plant, &charges[plant], 0.5, scratch);
        }
    }

    /// Best path for a plant among those for which there is room; charged a share of its charges, so that it leaves
    /// room that others want more.
    fn insert(
        &self,
        taken: &mut [i64],
        plant: usize,
        charges: &[f64],
        share: f64,
        scratch: &mut Scratch,
    ) -> Path {
        let footprint = i64::from(self.footprint(plant));
        let charge: Vec<f64> = (0..taken.len())
            .map(|i| {
                if taken[i] + footprint > self.rooms.capacity[i] {
                    f64::INFINITY
                } else {
                    share * charges[i]
                }
            })
            .collect();
        let (_, path) = self.networks[plant].best_path(&charge, 1.0, scratch);
        self.shift(taken, plant, &path, 1);
        path
    }

    /// Lets plants make room for one another in small groups, at first also at a loss (simulated annealing:
    /// Kirkpatrick, Gelatt & Vecchi 1983), and keeps the best plan met; stops when `good_enough` is reached. Each
    /// `turn` tries other groups.
    pub fn improve(
        &self,
        plan: &mut Feasible,
        priced: &Priced,
        good_enough: f64,
        turn: usize,
        effort: &Effort,
        progress: &Progress,
    ) -> Result<(), Cancelled> {
        let count = plan.paths.len();
        if count == 0 {
            return Ok(());
        }
        let mut scratch = Scratch::default();
        let mut rng = seed::stream(1 + turn as u64, "planner exchange");
        let mut taken = self.taken(&plan.paths);
        let wishes = Wishes {
            at_price: &priced.paths,
            at_half_price: self.at_half_price(priced),
        };
        let mut losses: Vec<f64> = (0..count).map(|p| self.loss(plan, priced, p)).collect();
        let mut best = plan.clone();
        let attempts = effort.attempts * count;
        for attempt in 0..attempts {
            if attempt % 16 == 0 {
                progress.check()?;
                if best.total() >= good_enough {
                    break;
                }
            }
            let left = 1.0 - attempt as f64 / attempts as f64;
            let bearable = effort.heat * self.span * left * left * share_of_one(&mut rng).ln();
            let weights = (attempt % 4 != 3).then_some(&losses[..]);
            let group = self.group(plan, &wishes, weights, &taken, &mut rng);
            let share = [0.0, 0.5, 1.0][below(&mut rng, 3)];
            for plant in &group {
                self.shift(&mut taken, *plant, &plan.paths[*plant], -1);
            }
            let mut new = Vec::with_capacity(group.len());
            let mut gain = 0.0;
            for (turn, plant) in group.iter().enumerate() {
                let share = if turn + 1 == group.len() { 0.0 } else { share };
                let charges = &priced.charges[*plant];
                let path = self.insert(&mut taken, *plant, charges, share, &mut scratch);
                let worth = self.worth(*plant, &path);
                gain += worth - plan.worth[*plant];
                new.push((path, worth));
            }
            if gain > bearable + 1e-9 * self.span {
                for (plant, (path, worth)) in group.iter().zip(new) {
                    plan.paths[*plant] = path;
                    plan.worth[*plant] = worth;
                    losses[*plant] = self.loss(plan, priced, *plant);
                }
                if plan.total() > best.total() {
                    best.clone_from(plan);
                }
            } else {
                for (plant, (path, _)) in group.iter().zip(&new) {
                    self.shift(&mut taken, *plant, path, -1);
                    self.shift(&mut taken, *plant, &plan.paths[*plant], 1);
                }
            }
        }
        *plan = best;
        Ok(())
    }

    /// The paths that plants would take at half the price of room: what they may hope for.
    fn at_half_price(&self, priced: &Priced) -> Vec<Path> {
        self.networks
            .par_iter()
            .zip(&priced.charges)
            .with_min_len(4)
            .map_init(Scratch::default, |scratch, (network, charges)| {
                network.best_path(charges, 0.5, scratch).1
            })
            .collect()
    }

    /// What a plant loses by the plan against its best path at the prices: its part of the proof gap.
    fn loss(&self, plan: &Feasible, priced: &Priced, plant: usize) -> f64 {
        let charges = &priced.charges[plant];
        let paid: f64 = plan.paths[plant]
            .iter()
            .enumerate()
            .filter(|(_, place)| **place != NOWHERE)
            .map(|(t, place)| charges[usize::from(*place) * self.rooms.weeks + t])
            .sum();
        (priced.worth[plant] - plan.worth[plant] + paid).max(0.0)
    }

    /// A plant that loses by the plan, and those that stand where it would rather be; or, without `losses`, any few
    /// plants.
    fn group(
        &self,
        plan: &Feasible,
        wishes: &Wishes<'_>,
        losses: Option<&[f64]>,
        taken: &[i64],
        rng: &mut ChaCha8Rng,
    ) -> Vec<usize> {
        let count = plan.paths.len();
        let size = 2 + below(rng, 3).min(count.saturating_sub(1));
        let mut group = Vec::with_capacity(size);
        let first = match losses {
            Some(losses) => pick(rng, losses),
            None => below(rng, count),
        };
        group.push(first);
        // Where it would go if room were only a matter of price.
        let wish = if below(rng, 2) == 0 {
            &wishes.at_price[first]
        } else {
            &wishes.at_half_price[first]
        };
        let footprint = i64::from(self.footprint(first));
        let mut in_the_way = vec![0.0; count];
        for (t, place) in wish.iter().enumerate() {
            if *place == NOWHERE || plan.paths[first][t] == *place {
                continue;
            }
            let i = usize::from(*place) * self.rooms.weeks + t;
            if taken[i] + footprint <= self.rooms.capacity[i] {
                continue;
            }
            for (other, path) in plan.paths.iter().enumerate() {
                if other != first && path[t] == *place {
                    in_the_way[other] += 1.0;
                }
            }
        }
        while group.len() < size.min(count) {
            let next = if in_the_way.iter().sum::<f64>() > 0.0 {
                pick(rng, &in_the_way)
            } else {
                below(rng, count)
            };
            in_the_way[next] = 0.0;
            if !group.contains(&next) {
                group.push(next);
            }
        }
        group
    }
}

/// Where each plant would go, alone with prices of room.
struct Wishes<'a> {
    at_price: &'a [Path],
    at_half_price: Vec<Path>,
}

/// Above 0, at most 1.
fn share_of_one(rng: &mut ChaCha8Rng) -> f64 {
    ((rng.next_u64() >> 11) + 1) as f64 / (1_u64 << 53) as f64
}

fn below(rng: &mut ChaCha8Rng, end: usize) -> usize {
    (rng.next_u64() % end.max(1) as u64) as usize
}

/// An index, each as likely as its weight.
fn pick(rng: &mut ChaCha8Rng, weights: &[f64]) -> usize {
    let total: f64 = weights.iter().sum();
    if total <= 0.0 {
        return below(rng, weights.len());
    }
    let mut left = (rng.next_u64() >> 11) as f64 / (1_u64 << 53) as f64 * total;
    for (i, w) in weights.iter().enumerate() {
        left -= w;
        if left < 0.0 {
            return i;
        }
    }
    weights.iter().rposition(|w| *w > 0.0).unwrap_or(0)
}
