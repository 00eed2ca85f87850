//! Light that surfaces outside throw on: straight from sky and sun, and by way of one another.

use std::sync::{Arc, PoisonError};

use glam::Vec3;

use super::{
    cells::{Cell, MOST, Sample, frame},
    dome::{DomeRay, Noise},
    flow::Flow,
    rays::{Rays, sorted},
    scene::{
        NO_OWN, Ray, Shares,
        fan::Fan,
        outlook::{Facing, Outlook},
    },
    works::{TURNS, Works},
};
use crate::base::lanes;

/// How often light is followed from surface to surface; what comes after is put at a share of that.
const BOUNCES: u8 = 3;
/// Rays by which a surface looks for the light that others throw at it.
const GATHERING_RAYS: usize = 32;

/// What is kept of a cell.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Part {
    /// Thrown on of the light straight from sky and sun, W/m² of its surface.
    Straight { places: u8 },
    /// Falls on it from other surfaces after up to so many bounces, W/m².
    Around(u8),
    /// Thrown on in all after up to so many bounces.
    All(u8),
}

impl Works<'_> {
    /// Light thrown on by a cell, W/m² of its surface.
    pub fn exitance(&self, cell: Cell) -> Arc<Flow> {
        self.kept(cell, Part::All(BOUNCES))
    }

    fn kept(&self, cell: Cell, part: Part) -> Arc<Flow> {
        let locked = || self.cells.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(flow) = locked().get(&(cell, part)) {
            return Arc::clone(flow);
        }
        let flow = Arc::new(self.work_out(cell, part));
        locked().insert((cell, part), Arc::clone(&flow));
        flow
    }

    fn work_out(&self, cell: Cell, part: Part) -> Flow {
        let mut flow = Flow::none(self);
        let places = match part {
            Part::Straight { places } => places.into(),
            Part::Around(_) | Part::All(_) => MOST,
        };
        let Some(sample) = self.surfaces.sample(self.scene, cell, places) else {
            return flow;
        };
        match part {
            Part::Straight { .. } => self.straight(&mut flow, &sample),
            Part::Around(bounces) => self.gather(&mut flow, &sample, bounces),
            Part::All(bounces) => {
                // Surfaces that only light other surfaces count less.
                let places = if bounces == BOUNCES { cell.places() } else { 1 };
                flow.add(&self.kept(cell, Part::Straight { places }), 1.0);
                // What little cloth throws up again is left out.
                if bounces > 1 && !matches!(cell, Cell::Cloth { .. }) {
                    // It changes less from place to place than what comes straight.
                    let around = self.kept(cell.coarser(1), Part::Around(bounces - 1));
                    flow.add(&around, sample.reflectance());
                }
            }
        }
        flow
    }

    /// Adds what a cell throws on of the light straight from sky and sun. Each of its places takes its share of the
    /// directions.
    fn straight(&self, flow: &mut Flow, sample: &Sample) {
        let n = self.dome.groups;
        let (scene, normal) = (self.scene, sample.normal);
        let mut outlook = Outlook::default();
        let mut lit: Vec<f32> = Vec::new();
        let places = sample.places().iter().zip(sample.reflectances());
        let above = &self.turns[sample.turn % TURNS].above;
        for ((p, reflectance), fan) in places.zip(above.of_places(sample.places().len())) {
            let facing = Facing {
                normal,
                offset: normal.dot(*p),
            };
            outlook.look(scene, &fan.fan, *p, Some(facing));
            outlook.soften(scene, &fan.fan, *p, false);
            fan.weigh(normal, *reflectance, &outlook.free, &mut lit);
            let share = |state: usize, i: usize| {
                let at = state * fan.fan.filled() + i;
                outlook.shares.get(at).copied().unwrap_or(1.0)
            };
            for (i, (lit, source)) in lit.iter().zip(&fan.sources).enumerate() {
                if *lit <= 0.0 {
                    continue;
                }
                match source {
                    Source::Sky(group) => {
                        for state in 0..scene.states {
                            flow.sky[state * n + usize::from(*group)] += share(state, i) * lit;
                        }
                    }
                    Source::Sun(k, state) => {
                        flow.beam[usize::from(*k)] = share(usize::from(*state), i) * lit;
                    }
                }
            }
        }
    }

    /// Adds what other surfaces throw at a cell after so many bounces.
    fn gather(&self, flow: &mut Flow, sample: &Sample, bounces: u8) {
        let normal = sample.normal;
        let (u, v) = frame(normal);
        let mut noise = Noise(0xb0a7);
        let mut found: Vec<(Cell, Shares)> = Vec::new();
        // The farther on, the coarser.
        let coarser = (BOUNCES - bounces).cast_signed() + 1;
        let places = sample.places();
        for k in 0..GATHERING_RAYS {
            // Neighbours in the spiral from different places.
            let Some(p) = places.get((k + k / places.len().max(1)) % places.len().max(1)) else {
                continue;
            };
            // Spread evenly in the cosine-weighted hemisphere (golden angle).
            let sin2 = (k as f64 + noise.next()) / GATHERING_RAYS as f64;
            let (sin, turn) = (sin2.sqrt() as f32, k as f32 * 2.399_963);
            let dir = u * (turn.cos() * sin)
                + v * (turn.sin() * sin)
                + normal * ((1.0 - sin2) as f32).max(0.0).sqrt();
            self.look(
                &Ray::new(*p, dir),
                &NO_OWN,
                |_| (),
                |cell, shares| found.push((cell.coarser(coarser).at_least(coarser), *shares)),
            );
        }
        found.sort_by_key(|(cell, _)| *cell);
        let mut cells: Vec<(Cell, Shares)> = Vec::new();
        for same in found.chunk_by(|a, b| a.0 == b.0) {
            let mut weights: Shares = [0.0; 12];
            for (sum, share) in same.iter().flat_map(|(_, s)| weights_of(s)) {
                weights[sum] += share;
            }
            cells.extend(same.first().map(|(cell, _)| (*cell, weights)));
        }
        let (part, rest) = if bounces > 1 {
            (Part::All(bounces), [1.0; 12])
        } else {
            (Part::Straight { places: 1 }, self.rest(&cells))
        };
        for (cell, mut weights) in cells {
            weights.iter_mut().zip(rest).for_each(|(w, r)| *w *= r);
            flow.add_by_state(self, &self.kept(cell, part), &weights);
        }
    }

    /// By how much the bounces that are not followed raise what the last one brings: as if each brought the same share
    /// of the one before.
    fn rest(&self, cells: &[(Cell, Shares)]) -> Shares {
        let mut thrown: Shares = [0.0; 12];
        for (cell, weights) in cells {
            let reflectance = self.surfaces.reflectance(self.scene, *cell);
            for (sum, w) in thrown.iter_mut().zip(weights) {
                *sum += w * reflectance;
            }
        }
        thrown.map(|share| 1.0 / (1.0 - share.clamp(0.0, 0.9)))
    }
}

/// What one of the gathering rays adds, by state.
fn weights_of(shares: &Shares) -> impl Iterator<Item = (usize, f32)> {
    let one = 1.0 / GATHERING_RAYS as f32;
    shares.iter().map(move |s| s * one).enumerate()
}

/// What shines on a surface from one direction.
#[derive(Clone, Copy, Debug)]
enum Source {
    /// Group.
    Sky(u16),
    /// Place of the sun, and the scene's state then.
    Sun(u16, u8),
}

/// What a place of a surface looks along.
struct Directions {
    fan: Fan,
    sources: Vec<Source>,
    /// Solid angles of the sky's directions, 1 for suns; filled up with 0.
    weights: Vec<f32>,
}

impl Directions {
    /// Weights times cosines, and nothing where a solid stands in the way.
    fn weigh(&self, normal: Vec3, by: f32, free: &[f32], lit: &mut Vec<f32>) {
        lit.clear();
        lit.resize(self.fan.filled(), 0.0);
        let Fan { x, y, z, .. } = &self.fan;
        lanes::widest(
            #[inline(always)]
            || {
                let ways = x.iter().zip(y).zip(z);
                let all = ways.zip(&self.weights).zip(free);
                for (lit, ((((x, y), z), w), free)) in lit.iter_mut().zip(all) {
                    let cos = x * normal.x + y * normal.y + z * normal.z;
                    let shines = *free >= 0.0 && cos > 0.0;
                    *lit = if shines { cos * w * by } else { 0.0 };
                }
            },
        );
    }
}

/// The directions of a surface, dealt out to so many places of it.
pub struct Above([Vec<Directions>; MOST]);

impl Above {
    /// `turn` says which of each group's patches stands for it.
    pub fn of(
        rays: &Rays,
        turn: usize,
        suns: &[Option<Vec3>],
        state_of: impl Fn(usize) -> usize,
    ) -> Self {
        let mut all: Vec<(Vec3, Source, f32, usize)> = Vec::new();
        let mut groups: Vec<Vec<&DomeRay>> = vec![Vec::new(); rays.dome.groups];
        for r in &rays.coarse {
            groups[usize::from(rays.dome.group_of[usize::from(r.patch)])].push(r);
        }
        for (group, members) in groups.iter().enumerate() {
            if let Some(r) = members.get((group + turn) % members.len().max(1)) {
                let sr = members.iter().map(|r| r.sr).sum();
                all.push((r.dir, Source::Sky(group as u16), sr, group));
            }
        }
        for (k, dir) in suns.iter().enumerate() {
            if let Some(dir) = dir {
                // Every place sees some of each month's suns and of each hour's.
                let turn = k / 24 * 2 + k % 24;
                let source = Source::Sun(k as u16, state_of(k) as u8);
                all.push((*dir, source, 1.0, turn));
            }
        }
        Self(std::array::from_fn(|n| {
            let places = n + 1;
            (0..places)
                .map(|place| {
                    let own = all.iter().filter(|d| d.3 % places == place);
                    let (fan, what) = sorted(own.map(|d| (d.0, (d.1, d.2))).collect());
                    let (sources, mut weights): (Vec<_>, Vec<_>) = what.into_iter().unzip();
                    weights.resize(fan.filled(), 0.0);
                    Directions {
                        fan,
                        sources,
                        weights,
                    }
                })
                .collect()
        }))
    }

    fn of_places(&self, count: usize) -> &[Directions] {
        self.0
            .get(count.wrapping_sub(1))
            .map(Vec::as_slice)
            .unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky;

    /// However many places a surface is looked at from, together they see each part of the sky and each sun once.
    #[test]
    fn directions_are_dealt_out_whole() {
        let rays = Rays::of(&sky::reinhart());
        let suns: Vec<Option<Vec3>> = (0..crate::light::flow::SUNS)
            .map(|k| (k % 24 > 7).then_some(Vec3::new(0.6, 0.0, 0.8)))
            .collect();
        let above = Above::of(&rays, 1, &suns, |_| 0);
        for count in 1..=MOST {
            let dealt = above.of_places(count);
            assert_eq!(dealt.len(), count);
            let (mut groups, mut seen) = (vec![0; rays.dome.groups], vec![0; suns.len()]);
            let mut sr = 0.0;
            for place in dealt {
                // Nobody gets much more than the others.
                let fair = (rays.dome.groups + suns.iter().flatten().count()) / count;
                assert!(place.fan.len().abs_diff(fair) <= fair / 10, "{count}");
                for (source, weight) in place.sources.iter().zip(&place.weights) {
                    match source {
                        Source::Sky(group) => {
                            groups[usize::from(*group)] += 1;
                            sr += weight;
                        }
                        Source::Sun(k, _) => seen[usize::from(*k)] += 1,
                    }
                }
            }
            assert!(groups.iter().all(|n| *n == 1));
            assert!(
                seen.iter()
                    .zip(&suns)
                    .all(|(n, sun)| *n == i32::from(sun.is_some()))
            );
            assert!((sr - std::f32::consts::TAU).abs() < 0.01, "{sr}");
        }
    }
}
