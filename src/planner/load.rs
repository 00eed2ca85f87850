//! Which spots are how full in which week, and what is left.

use super::{
    Problem,
    network::{NOWHERE, Network},
};

/// Room on the spots, week by week, index `spot * weeks + week`.
pub(super) struct Rooms {
    pub weeks: usize,
    /// Room that can really be filled.
    pub capacity: Vec<i64>,
    /// Taken by pins of all plants; always counted, so that nothing is put where a pinned plant will stand.
    pub pinned: Vec<i64>,
}

impl Rooms {
    pub fn new(problem: &Problem, networks: &[Network]) -> Self {
        let weeks = problem.weeks;
        let capacity = (0..problem.spots.len())
            .flat_map(|s| std::iter::repeat_n(fillable(problem, s), weeks))
            .collect();
        let mut pinned = vec![0; problem.spots.len() * weeks];
        for (row, network) in problem.plants.iter().zip(networks) {
            for t in 0..weeks {
                if let Some(s) = network.pin(t) {
                    pinned[usize::from(s) * weeks + t] += i64::from(row.footprint);
                }
            }
        }
        Self {
            weeks,
            capacity,
            pinned,
        }
    }

    /// What all paths together take.
    pub fn taken(&self, problem: &Problem, paths: &[super::network::Path]) -> Vec<i64> {
        let mut taken = vec![0; self.capacity.len()];
        for (row, path) in problem.plants.iter().zip(paths) {
            for (t, place) in path.iter().enumerate() {
                if *place != NOWHERE {
                    taken[usize::from(*place) * self.weeks + t] += i64::from(row.footprint);
                }
            }
        }
        taken
    }

    /// Adds (`sign` 1) or takes away (-1) a plant; its pinned weeks stay counted.
    pub fn shift(
        &self,
        taken: &mut [i64],
        network: &Network,
        footprint: u32,
        path: &[u16],
        sign: i64,
    ) {
        for (t, place) in path.iter().enumerate() {
            if *place != NOWHERE && network.pin(t).is_none() {
                taken[usize::from(*place) * self.weeks + t] += sign * i64::from(footprint);
            }
        }
    }
}

/// The largest sum of footprints of plants that may stand on a spot and that its room holds: with pots of a few
/// sizes much less than the room itself, which makes the bound tight and takes no plan away.
fn fillable(problem: &Problem, spot: usize) -> i64 {
    let room = problem.spots[spot].capacity as usize;
    let footprints: Vec<usize> = problem
        .plants
        .iter()
        .filter(|row| {
            let values = &row.value[spot * problem.weeks..(spot + 1) * problem.weeks];
            row.footprint as usize <= room && values.iter().any(|v| v.is_finite())
        })
        .map(|row| row.footprint as usize)
        .collect();
    if footprints.iter().sum::<usize>() <= room {
        return room as i64;
    }
    if room > 2_000_000 {
        return room as i64; // a field, not a spot: not worth the table
    }
    let mut reachable = vec![false; room + 1];
    reachable[0] = true;
    for f in footprints.into_iter().filter(|f| *f > 0) {
        for sum in (f..=room).rev() {
            reachable[sum] |= reachable[sum - f];
        }
    }
    reachable.iter().rposition(|r| *r).unwrap_or(0) as i64
}
