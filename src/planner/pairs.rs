//! Two plants that want the same room, settled exactly.
//!
//! Inserting plants one after another never finds a plan in which the first gives up a few weeks of its best path so
//! that the second can be housed at all. Here both take their best paths, and where they collide the search branches:
//! the one keeps away from that spot in that week, or the other does (conflict-based search: Sharon, Stern, Felner &
//! Sturtevant 2015). The first pair of paths without a collision, best first, is the best there is.

use super::{
    network::{NOWHERE, Path, Scratch},
    repair::{Bench, Feasible},
};
use crate::base::{Cancelled, Progress};

/// Up to this many plants every pair is tried; with more, those in which one is without room.
const FEW: usize = 6;
/// Branches tried for a pair, in a few plants and in many.
const BRANCHES: (usize, usize) = (600, 60);

/// Both plants' paths when each keeps away from some cells.
struct Branch {
    shut: [Vec<usize>; 2],
    paths: [Path; 2],
    worth: [f64; 2],
}

impl Branch {
    fn total(&self) -> f64 {
        self.worth[0] + self.worth[1]
    }
}

impl Bench<'_> {
    /// Settles pairs until none gains any more.
    pub fn settle_pairs(&self, plan: &mut Feasible, progress: &Progress) -> Result<(), Cancelled> {
        let count = plan.paths.len();
        let few = count <= FEW;
        let branches = if few { BRANCHES.0 } else { BRANCHES.1 };
        let mut taken = self.taken(&plan.paths);
        let mut scratch = Scratch::default();
        loop {
            let mut gained = false;
            for first in 0..count {
                for second in 0..count {
                    let worth_trying = if few {
                        first < second
                    } else {
                        first != second && self.keeps_out(plan, &taken, second, first)
                    };
                    if worth_trying {
                        progress.check()?;
                        let pair = [first, second];
                        gained |= self.settle_pair(plan, &mut taken, pair, branches, &mut scratch);
                    }
                }
            }
            if !gained {
                return Ok(());
            }
        }
    }

    /// Whether a plant stands where another, without room in that week, could stand in its stead.
    fn keeps_out(&self, plan: &Feasible, taken: &[i64], housed: usize, homeless: usize) -> bool {
        let (own, other) = (
            i64::from(self.footprint(homeless)),
            i64::from(self.footprint(housed)),
        );
        let weeks = self.rooms.weeks;
        let paths = plan.paths[homeless].iter().zip(&plan.paths[housed]);
        paths.enumerate().any(|(t, (here, there))| {
            *here == NOWHERE && *there != NOWHERE && {
                let cell = usize::from(*there) * weeks + t;
                let may_stand = self.problem.plants[homeless].value[cell].is_finite();
                may_stand && taken[cell] - other + own <= self.rooms.capacity[cell]
            }
        })
    }

    /// Puts the best paths of both in, if they are worth more than those they have.
    fn settle_pair(
        &self,
        plan: &mut Feasible,
        taken: &mut [i64],
        pair: [usize; 2],
        branches: usize,
        scratch: &mut Scratch,
    ) -> bool {
        for plant in pair {
            self.shift(taken, plant, &plan.paths[plant], -1);
        }
        let had = plan.worth[pair[0]] + plan.worth[pair[1]] + 1e-9 * self.span;
        let found = self.best_pair(taken, pair, had, branches, scratch);
        let gained = found.is_some();
        if let Some(found) = found {
            for ((plant, path), worth) in pair.into_iter().zip(found.paths).zip(found.worth) {
                plan.paths[plant] = path;
                plan.worth[plant] = worth;
            }
        }
        for plant in pair {
            self.shift(taken, plant, &plan.paths[plant], 1);
        }
        gained
    }

    /// The best paths for two plants in the room that all others leave; `None` when they are not worth more than
    /// `had`, or when so many branches do not tell.
    fn best_pair(
        &self,
        taken: &[i64],
        pair: [usize; 2],
        had: f64,
        branches: usize,
        scratch: &mut Scratch,
    ) -> Option<Branch> {
        let mut alone = |of: usize, shut: &[usize]| {
            let footprint = i64::from(self.footprint(pair[of]));
            let mut price: Vec<f64> = taken
                .iter()
                .zip(&self.rooms.capacity)
                .map(|(t, room)| {
                    if t + footprint > *room {
                        f64::INFINITY
                    } else {
                        0.0
                    }
                })
                .collect();
            for cell in shut {
                price[*cell] = f64::INFINITY;
            }
            let (_, path) = self.networks[pair[of]].best_path(&price, 1.0, scratch);
            let worth = self.worth(pair[of], &path);
            (path, worth)
        };
        let ((a, worth_a), (b, worth_b)) = (alone(0, &[]), alone(1, &[]));
        let mut open = vec![Branch {
            shut: [Vec::new(), Vec::new()],
            paths: [a, b],
            worth: [worth_a, worth_b],
        }];
        for _ in 0..branches {
            let (at, _) = open
                .iter()
                .enumerate()
                .max_by(|a, b| a.1.total().total_cmp(&b.1.total()))?;
            let branch = open.swap_remove(at);
            if branch.total() <= had {
                return None;
            }
            let Some(cell) = self.collision(taken, pair, &branch.paths) else {
                return Some(branch);
            };
            for of in 0..2 {
                let mut shut = branch.shut.clone();
                shut[of].push(cell);
                let (path, worth) = alone(of, &shut[of]);
                let (mut paths, mut worths) = (branch.paths.clone(), branch.worth);
                paths[of] = path;
                worths[of] = worth;
                open.push(Branch {
                    shut,
                    paths,
                    worth: worths,
                });
            }
        }
        None
    }

    /// A cell that has no room for both: of several the one in the middle, which parts the paths soonest.
    fn collision(&self, taken: &[i64], pair: [usize; 2], paths: &[Path; 2]) -> Option<usize> {
        let both: i64 = pair.iter().map(|p| i64::from(self.footprint(*p))).sum();
        let cells: Vec<usize> = paths[0]
            .iter()
            .zip(&paths[1])
            .enumerate()
            .filter(|(t, (a, b))| {
                // The room of pinned weeks is taken already.
                a == b && **a != NOWHERE && pair.iter().all(|p| self.networks[*p].pin(*t).is_none())
            })
            .map(|(t, (place, _))| usize::from(*place) * self.rooms.weeks + t)
            .filter(|cell| taken[*cell] + both > self.rooms.capacity[*cell])
            .collect();
        cells.get(cells.len() / 2).copied()
    }
}
