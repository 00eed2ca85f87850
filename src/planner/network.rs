//! One plant's own year as a network of weeks and spots, and the best path through it.
//!
//! All rules that concern one plant live here: shortest stay, pins, closed spots, absences, forbidden moves. Only
//! the room on a spot, which plants share, is left to prices. A virtual place, [`NOWHERE`], is open to every plant in
//! every week that is not pinned, at a loss greater than any good spot could make up for; so there is always a path,
//! and a plant without room is found and told rather than squeezed in.

use super::{PlantRow, Problem};

/// Place of a plant for which there is no room.
pub(super) const NOWHERE: u16 = u16::MAX;

/// Index of the spot for each week, or [`NOWHERE`].
pub(super) type Path = Vec<u16>;

/// What being without room costs, in the unit of the values.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Homeless {
    /// Worth of a week without room; less than any week on a spot.
    pub week: f64,
    /// Once for each spell.
    pub spell: f64,
}

pub(super) struct Network {
    weeks: usize,
    /// Spots it can ever stand on, and the one it stands on now; ascending.
    spots: Vec<u16>,
    /// Index `week * spots + spot` within `spots`; negative infinity where it may not stand.
    value: Vec<f64>,
    /// Cost of a move, index `(week * spots + from) * spots + to`; the week is left out when no week differs.
    arc: Vec<f32>,
    arc_by_week: bool,
    start: Option<usize>,
    /// Within `spots`.
    pinned: Vec<Option<usize>>,
    absent: Vec<bool>,
    min_stay: usize,
    pub homeless: Homeless,
}

/// Tables of one run, kept from run to run to spare allocation.
#[derive(Default)]
pub(super) struct Scratch {
    worth: Vec<f64>,
    /// Best of all paths that arrive at a spot in a week, before that week's worth.
    arrive: Vec<f64>,
    /// Best of all paths that stand on a spot at the end of a week.
    any: Vec<f64>,
    /// The same for those that have stayed long enough to leave.
    free: Vec<f64>,
    /// Without room at the end of a week.
    nowhere: Vec<f64>,
    /// Paths that have stayed 1, 2, … weeks, index `stayed * spots + spot`.
    staying: Vec<f64>,
}

/// Difference between the best and the worst week of any plant: the unit in which being without room is weighed.
pub(super) fn value_span(problem: &Problem) -> f64 {
    let finite = |row: &PlantRow| {
        row.value
            .iter()
            .filter(|v| v.is_finite())
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), v| {
                (lo.min(f64::from(*v)), hi.max(f64::from(*v)))
            })
    };
    problem
        .plants
        .iter()
        .map(|row| {
            let (lo, hi) = finite(row);
            if hi >= lo {
                (hi - lo).max(hi.abs())
            } else {
                0.0
            }
        })
        .fold(1e-3, f64::max)
}

/// What being without room costs a plant: for each spell as much as the best year of two plants and the dearest steps
/// they could be spared by it, so that a plant is left without room only where there is none. `dearest_step` is that
/// of all plants.
fn homeless_cost(problem: &Problem, row: &PlantRow, span: f64, dearest_step: f64) -> Homeless {
    let lowest = row
        .value
        .iter()
        .filter(|v| v.is_finite())
        .fold(0.0_f64, |lo, v| lo.min(f64::from(*v)));
    let weeks = problem.weeks as f64;
    Homeless {
        week: lowest - span,
        spell: 2.0 * span * weeks + STEPS_SPARED.min(weeks) * dearest_step,
    }
}

/// Steps that a plan could be spared at most by leaving a plant out.
const STEPS_SPARED: f64 = 6.0;

/// The networks of all plants.
pub(super) fn networks(problem: &Problem) -> Vec<Network> {
    let span = value_span(problem);
    let mut networks: Vec<Network> = (0..problem.plants.len())
        .map(|plant| Network::new(problem, plant))
        .collect();
    let dearest = networks
        .iter()
        .map(Network::dearest_step)
        .fold(0.0, f64::max);
    for (network, row) in networks.iter_mut().zip(&problem.plants) {
        network.homeless = homeless_cost(problem, row, span, dearest);
    }
    networks
}

impl Network {
    fn new(problem: &Problem, plant: usize) -> Self {
        let row = &problem.plants[plant];
        let weeks = problem.weeks;
        let all = problem.spots.len();
        let may_stand = |s: usize, t: usize| {
            problem.spots[s].open.get(t).copied().unwrap_or(true)
                && row.footprint <= problem.spots[s].capacity
                && row.value[s * weeks + t].is_finite()
        };
        let spots: Vec<u16> = (0..all)
            .filter(|s| row.start == Some(*s) || (0..weeks).any(|t| may_stand(*s, t)))
            .map(|s| s as u16)
            .collect();
        let n = spots.len();
        let local = |s: usize| spots.iter().position(|x| usize::from(*x) == s);
        let pinned: Vec<Option<usize>> = (0..weeks)
            .map(|t| row.pinned.get(t).copied().flatten().and_then(local))
            .collect();
        let mut value = vec![f64::NEG_INFINITY; weeks * n];
        for (t, pin) in pinned.iter().enumerate() {
            for (k, s) in spots.iter().enumerate() {
                if may_stand(usize::from(*s), t) && pin.is_none_or(|p| p == k) {
                    value[t * n + k] = f64::from(row.value[usize::from(*s) * weeks + t]);
                }
            }
        }
        let arc_by_week = !row.shock.is_empty();
        let mut arc = Vec::with_capacity(n * n * if arc_by_week { weeks } else { 1 });
        for t in 0..if arc_by_week { weeks } else { 1 } {
            for from in spots.iter().map(|s| usize::from(*s)) {
                for to in spots.iter().map(|s| usize::from(*s)) {
                    let pair = from * all + to;
                    let shock = row.shock.get(pair * weeks + t).copied().unwrap_or(0.0);
                    arc.push(if from == to {
                        f32::INFINITY
                    } else {
                        row.move_cost.get(pair).copied().unwrap_or(0.0) + shock
                    });
                }
            }
        }
        Self {
            weeks,
            start: row.start.and_then(local),
            spots,
            value,
            arc,
            arc_by_week,
            pinned,
            absent: (0..weeks)
                .map(|t| problem.absent.get(t).copied().unwrap_or(false))
                .collect(),
            min_stay: row.min_stay_weeks.max(1),
            homeless: Homeless::default(),
        }
    }

    /// The dearest step between spots that is not forbidden.
    fn dearest_step(&self) -> f64 {
        self.arc
            .iter()
            .filter(|cost| cost.is_finite())
            .fold(0.0, |most, cost| f64::max(most, f64::from(*cost)))
    }

    /// The spot it is pinned to in a week.
    pub fn pin(&self, week: usize) -> Option<u16> {
        self.pinned[week].map(|k| self.spots[k])
    }

    fn arcs_into(&self, week: usize) -> &[f32] {
        let n2 = self.spots.len() * self.spots.len();
        if self.arc_by_week {
            &self.arc[week * n2..(week + 1) * n2]
        } else {
            &self.arc
        }
    }

    /// Best path when a week on a spot is charged `scale * price[spot * weeks + week]`. Pinned weeks are charged
    /// like others where the price is finite; an infinite price shuts the spot, but for pinned weeks.
    pub fn best_path(&self, price: &[f64], scale: f64, scratch: &mut Scratch) -> (f64, Path) {
        self.forward(price, scale, scratch);
        let (best, end) = self.end(scratch);
        (best, self.backward(scratch, end))
    }

    fn forward(&self, price: &[f64], scale: f64, x: &mut Scratch) {
        const NONE: f64 = f64::NEG_INFINITY;
        let (weeks, n) = (self.weeks, self.spots.len());
        for table in [&mut x.worth, &mut x.arrive, &mut x.any, &mut x.free] {
            table.clear();
            table.resize(weeks * n, NONE);
        }
        x.nowhere.clear();
        x.nowhere.resize(weeks, NONE);
        x.staying.clear();
        x.staying.resize(self.min_stay * n, NONE);
        for t in 0..weeks {
            for (k, s) in self.spots.iter().enumerate() {
                let charge = scale * price[usize::from(*s) * weeks + t];
                x.worth[t * n + k] = if charge.is_finite() {
                    self.value[t * n + k] - charge
                } else if self.pinned[t] == Some(k) {
                    self.value[t * n + k]
                } else {
                    NONE
                };
            }
        }
        let mut before = vec![NONE; n];
        if let Some(k) = self.start {
            before[k] = 0.0;
        }
        let homeless_before = if self.start.is_none() { 0.0 } else { NONE };
        for t in 0..weeks {
            let (past, now) = (t.saturating_sub(1) * n, t * n);
            let nowhere_before = if t == 0 {
                homeless_before
            } else {
                x.nowhere[t - 1]
            };
            // Arrivals.
            let arcs = self.arcs_into(t);
            if let Some(k) = self.pinned[t] {
                let leaving: &[f64] = if t == 0 {
                    &before
                } else {
                    &x.any[past..past + n]
                };
                x.arrive[now + k] = (0..n)
                    .filter(|j| *j != k)
                    .map(|j| leaving[j] - overruled(arcs[j * n + k]))
                    .fold(nowhere_before, f64::max);
            } else if !self.absent[t] {
                let arriving = &mut x.arrive[now..now + n];
                arriving.fill(nowhere_before);
                for j in 0..n {
                    let leaving = if t == 0 { before[j] } else { x.free[past + j] };
                    if leaving == NONE {
                        continue;
                    }
                    for (best, cost) in arriving.iter_mut().zip(&arcs[j * n..(j + 1) * n]) {
                        *best = larger(leaving - f64::from(*cost), *best);
                    }
                }
            }
            // A week more on each spot.
            let worth = &x.worth[now..now + n];
            let arrive = &x.arrive[now..now + n];
            for stayed in (1..self.min_stay).rev() {
                let (shorter, longer) = x.staying.split_at_mut(stayed * n);
                let shorter = &shorter[(stayed - 1) * n..];
                for ((l, s), w) in longer.iter_mut().zip(shorter).zip(worth) {
                    *l = s + w;
                }
            }
            for ((s, a), w) in x.staying.iter_mut().zip(arrive).zip(worth) {
                *s = a + w;
            }
            let (any_past, any) = x.any.split_at_mut(now);
            let (free_past, free) = x.free.split_at_mut(now);
            let (any_past, free_past) = if t == 0 {
                (&before[..], &before[..])
            } else {
                (&any_past[past..], &free_past[past..])
            };
            for (((any, p), a), w) in any.iter_mut().zip(any_past).zip(arrive).zip(worth) {
                *any = larger(*p, *a) + w;
            }
            let served = &x.staying[(self.min_stay - 1) * n..];
            for (((free, p), s), w) in free.iter_mut().zip(free_past).zip(served).zip(worth) {
                *free = larger(p + w, *s);
            }
            // Without room.
            if self.pinned[t].is_none() {
                let leaving: &[f64] = if t == 0 {
                    &before
                } else {
                    &x.any[past..past + n]
                };
                let from_spot = leaving
                    .iter()
                    .copied()
                    .fold(if t == 0 { homeless_before } else { NONE }, f64::max)
                    - self.homeless.spell;
                let stay = if t == 0 { NONE } else { nowhere_before };
                x.nowhere[t] = stay.max(from_spot) + self.homeless.week;
            }
        }
    }

    fn end(&self, x: &Scratch) -> (f64, Option<usize>) {
        let n = self.spots.len();
        let Some(last) = self.weeks.checked_sub(1) else {
            return (0.0, None);
        };
        let mut best = (x.nowhere[last], None);
        for k in 0..n {
            if x.any[last * n + k] > best.0 {
                best = (x.any[last * n + k], Some(k));
            }
        }
        best
    }

    fn backward(&self, x: &Scratch, end: Option<usize>) -> Path {
        let (weeks, n) = (self.weeks, self.spots.len());
        let mut path = vec![NOWHERE; weeks];
        let mut place = end;
        // Whether the shortest stay must be served before the last week that is still to be filled.
        let mut must_be_free = false;
        let mut t = weeks;
        while t > 0 {
            let now = (t - 1) * n;
            let Some(k) = place else {
                // Without room in week t - 1.
                t -= 1;
                if t == 0 {
                    break;
                }
                let past = (t - 1) * n;
                let from_spot = (0..n).fold((f64::NEG_INFINITY, None), |best, j| {
                    if x.any[past + j] > best.0 {
                        (x.any[past + j], Some(j))
                    } else {
                        best
                    }
                });
                if x.nowhere[t - 1] < from_spot.0 - self.homeless.spell {
                    place = from_spot.1;
                    must_be_free = false;
                }
                continue;
            };
            // First week of this stay, or none if it was there before the first week.
            let mut arrived = None;
            while t > 0 {
                let now = (t - 1) * n;
                path[t - 1] = self.spots[k];
                let before = t.checked_sub(2).map(|p| p * n + k);
                let stood = self.start == Some(k);
                if must_be_free {
                    let longer = match before {
                        Some(i) => x.free[i],
                        None if stood => 0.0,
                        None => f64::NEG_INFINITY,
                    } + x.worth[now + k];
                    if longer < x.free[now + k] || longer == f64::NEG_INFINITY {
                        let first = (t - 1).saturating_sub(self.min_stay - 1);
                        path[first..t].fill(self.spots[k]);
                        arrived = Some(first);
                        break;
                    }
                } else {
                    let longer = match before {
                        Some(i) => x.any[i],
                        None if stood => 0.0,
                        None => f64::NEG_INFINITY,
                    };
                    if longer < x.arrive[now + k] || longer == f64::NEG_INFINITY {
                        arrived = Some(t - 1);
                        break;
                    }
                }
                t -= 1;
            }
            let _ = now;
            let Some(first) = arrived else { break };
            t = first;
            if t == 0 {
                break;
            }
            let past = (t - 1) * n;
            let arcs = self.arcs_into(first);
            let pinned = self.pinned[first] == Some(k);
            let mut source = (x.nowhere[t - 1], None);
            for j in (0..n).filter(|j| *j != k) {
                let from = if pinned {
                    x.any[past + j] - overruled(arcs[j * n + k])
                } else {
                    x.free[past + j] - f64::from(arcs[j * n + k])
                };
                if from > source.0 {
                    source = (from, Some(j));
                }
            }
            place = source.1;
            must_be_free = !pinned;
        }
        path
    }
}

/// `f64::max` without its care for NaN, which there is none of and which takes twice as long.
fn larger(a: f64, b: f64) -> f64 {
    if a > b { a } else { b }
}

/// A pin overrules a forbidden move: the grower has decided.
fn overruled(cost: f32) -> f64 {
    if cost.is_finite() {
        f64::from(cost)
    } else {
        0.0
    }
}

/// What a path is worth by the problem's own tables, without prices: values less moves, shocks and weeks without
/// room.
pub(super) fn path_worth(
    problem: &Problem,
    row: &PlantRow,
    homeless: Homeless,
    path: &[u16],
) -> f64 {
    let (weeks, all) = (problem.weeks, problem.spots.len());
    let mut worth = 0.0;
    let mut before: Option<usize> = row.start;
    for (t, place) in path.iter().enumerate() {
        if *place == NOWHERE {
            let spell_begins = t == 0 || path[t - 1] != NOWHERE;
            worth += homeless.week - if spell_begins { homeless.spell } else { 0.0 };
            before = None;
            continue;
        }
        let s = usize::from(*place);
        worth += f64::from(row.value[s * weeks + t]);
        if let Some(from) = before.filter(|from| *from != s) {
            let pair = from * all + s;
            let shock = row.shock.get(pair * weeks + t).copied().unwrap_or(0.0);
            let cost = row.move_cost.get(pair).copied().unwrap_or(0.0) + shock;
            let pinned = row.pinned.get(t).copied().flatten() == Some(s);
            worth -= if pinned {
                overruled(cost)
            } else {
                f64::from(cost)
            };
        }
        before = Some(s);
    }
    worth
}
