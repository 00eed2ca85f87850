//! Which spots are how full in which week, and what is left.

use super::{
    Problem,
    network::{NOWHERE, Network},
};

/// One way of counting room: no more than `room` on a spot when each pot counts its footprint by `divisor`, rounded
/// down. With divisor 1 it is the room itself; larger ones say what whole pots cannot do, for example that of pots
/// wider than half the room one at most fits. Each holds for every plan (rounding after Chvátal and Gomory).
pub(super) struct Count {
    pub spot: usize,
    pub divisor: u32,
    pub room: i64,
}

impl Count {
    pub fn of(&self, footprint: u32) -> i64 {
        i64::from(footprint / self.divisor)
    }
}

/// Room on the spots, week by week, index `spot * weeks + week`.
pub(super) struct Rooms {
    pub weeks: usize,
    /// All that has a price, spot after spot.
    pub counts: Vec<Count>,
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
            counts: (0..problem.spots.len())
                .flat_map(|s| counts(problem, s))
                .collect(),
            capacity,
            pinned,
        }
    }

    /// What a pot pays on each spot in each week, index `spot * weeks + week`, at prices by count and week.
    pub fn charges(&self, prices: &[f64], footprint: u32) -> Vec<f64> {
        let mut charges = vec![0.0; self.capacity.len()];
        for (count, prices) in self.counts.iter().zip(prices.chunks(self.weeks.max(1))) {
            let weight = count.of(footprint) as f64;
            let row = count.spot * self.weeks;
            for (charge, price) in charges[row..row + self.weeks].iter_mut().zip(prices) {
                *charge += weight * price;
            }
        }
        charges
    }

    /// What all paths together take of each count, index `count * weeks + week`.
    pub fn taken(&self, problem: &Problem, paths: &[super::network::Path]) -> Vec<i64> {
        let mut taken = vec![0; self.counts.len() * self.weeks];
        for (row, path) in problem.plants.iter().zip(paths) {
            for (count, taken) in self.counts.iter().zip(taken.chunks_mut(self.weeks.max(1))) {
                let weight = count.of(row.footprint);
                for (place, taken) in path.iter().zip(taken) {
                    if usize::from(*place) == count.spot {
                        *taken += weight;
                    }
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

/// Counts of a spot that can bind at all.
fn counts(problem: &Problem, spot: usize) -> Vec<Count> {
    let room = problem.spots[spot].capacity;
    let may_stand: Vec<u32> = problem
        .plants
        .iter()
        .filter(|row| {
            let values = &row.value[spot * problem.weeks..(spot + 1) * problem.weeks];
            row.footprint <= room && values.iter().any(|v| v.is_finite())
        })
        .map(|row| row.footprint)
        .collect();
    let mut divisors: Vec<u32> = may_stand.iter().copied().filter(|f| *f > 1).collect();
    divisors.extend([room / 2 + 1, room / 3 + 1]);
    divisors.sort_unstable();
    divisors.dedup();
    let mut counts = vec![Count {
        spot,
        divisor: 1,
        room: fillable(problem, spot),
    }];
    let even = may_stand.windows(2).all(|f| f[0] == f[1]);
    if even {
        return counts; // the room itself says all
    }
    for divisor in divisors.into_iter().filter(|d| *d > 1).take(10) {
        let count = Count {
            spot,
            divisor,
            room: i64::from(room / divisor),
        };
        if may_stand.iter().map(|f| count.of(*f)).sum::<i64>() > count.room {
            counts.push(count);
        }
    }
    counts
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
