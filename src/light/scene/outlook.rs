//! All that one place sees along many directions at once. From one place a convex body hides what lies within its
//! outline: planes through the place and the edges of the outline, so that a direction is tried with a few products
//! and no division.

use glam::Vec3;

use super::{
    Hit, Scene,
    bvh::Box3,
    fan::{Fan, LANES},
    soft::{Passes, Shape},
    solid::Solid,
};
use crate::base::lanes;

/// A place this near to a face, m, counts as on it.
const ON_FACE_M: f32 = 1e-3;

/// A solid as seen from a place.
#[derive(Default)]
struct Outline {
    /// Hidden is what lies on the negative side of all of these.
    edges: Vec<Vec3>,
    /// Faces that look towards the place: normal, distance of the place from the face.
    fronts: Vec<(Vec3, f32)>,
    backs: Vec<(Vec3, f32)>,
}

impl Outline {
    /// A way `t d` enters through a face in front at `A / -(n·d)` and leaves through one behind at `B / (m·d)`; it
    /// meets the body if it enters before it leaves, `A (m·d) + B (n·d) < 0`, for every pair of such faces. A place
    /// inside has no face in front, and all is hidden.
    #[inline(always)]
    fn take(&mut self, solid: &Solid, from: Vec3) {
        self.edges.clear();
        self.fronts.clear();
        self.backs.clear();
        for f in &solid.faces {
            let gap = f.offset - f.normal.dot(from);
            if gap < ON_FACE_M {
                self.fronts.push((f.normal, (-gap).max(0.0)));
            } else {
                self.backs.push((f.normal, gap));
            }
        }
        for (n, a) in &self.fronts {
            for (m, b) in &self.backs {
                // Opposite faces share no edge.
                if n.dot(*m) > -0.999_9 {
                    self.edges.push(*m * *a + *n * *b);
                }
            }
        }
    }

    /// For each direction the greatest product: below 0 it is hidden.
    #[inline(always)]
    fn worst(&self, x: &[f32; LANES], y: &[f32; LANES], z: &[f32; LANES]) -> [f32; LANES] {
        let mut worst = [f32::NEG_INFINITY; LANES];
        for e in &self.edges {
            for k in 0..LANES {
                let s = e.x * x[k] + e.y * y[k] + e.z * z[k];
                worst[k] = if s > worst[k] { s } else { worst[k] };
            }
        }
        worst
    }

    /// Where ways enter the body that meet it.
    #[inline(always)]
    fn enters(&self, x: &[f32; LANES], y: &[f32; LANES], z: &[f32; LANES]) -> [f32; LANES] {
        let mut enters = [0.0_f32; LANES];
        for (n, a) in &self.fronts {
            for k in 0..LANES {
                let t = a / -(n.x * x[k] + n.y * y[k] + n.z * z[k]);
                enters[k] = if t > enters[k] { t } else { enters[k] };
            }
        }
        enters
    }
}

#[inline(always)]
fn lane(list: &[f32], block: usize) -> &[f32; LANES] {
    const NONE: [f32; LANES] = [0.0; LANES];
    list[block * LANES..]
        .first_chunk::<LANES>()
        .unwrap_or(&NONE)
}

/// No solid is met.
pub const FREE: u32 = u32::MAX;

/// What a place sees along each direction of a fan, in the fan's order.
#[derive(Default)]
pub struct Outlook {
    /// Below 0 where a solid stands in the way.
    pub free: Vec<f32>,
    /// Distance of the nearest solid, m, and its number; only after [`Outlook::nearest`].
    pub reach: Vec<f32>,
    pub solid: Vec<u32>,
    /// Share that soft bodies let through, `state * filled + direction`; empty where there are none.
    pub shares: Vec<f32>,
    /// Whether coloured cloth hangs in the way; empty where there is none.
    pub coloured: Vec<bool>,
    outline: Outline,
}

/// A surface on which light falls: from behind it nothing counts.
#[derive(Clone, Copy)]
pub struct Facing {
    pub normal: Vec3,
    /// The normal's product with a point of the surface.
    pub offset: f32,
}

/// Bodies that reach less high, as a slope, cast no shadow on level ground that throws light on: what comes from so
/// low is 0.5 % of an even sky's light there.
const LOW: f32 = 0.07;

impl Facing {
    #[inline(always)]
    fn ignores(self, bounds: &Box3, from: Vec3) -> bool {
        let Self { normal, offset } = self;
        let farthest = Vec3::select(normal.cmpgt(Vec3::ZERO), bounds.hi, bounds.lo);
        if normal.dot(farthest) <= offset {
            return true;
        }
        let (lo, hi) = (bounds.lo - from, bounds.hi - from);
        let (x, y) = (lo.x.max(-hi.x).max(0.0), lo.y.max(-hi.y).max(0.0));
        normal.z > 0.99 && hi.z > 0.0 && hi.z * hi.z < LOW * LOW * (x * x + y * y)
    }
}

impl Outlook {
    /// Finds which directions are free of solids.
    pub fn look(&mut self, scene: &Scene, fan: &Fan, from: Vec3, facing: Option<Facing>) {
        lanes::widest(
            #[inline(always)]
            || self.solids::<false>(scene, fan, from, facing),
        );
    }

    /// Finds the nearest solid in each direction too.
    pub fn nearest(&mut self, scene: &Scene, fan: &Fan, from: Vec3) {
        lanes::widest(
            #[inline(always)]
            || self.solids::<true>(scene, fan, from, None),
        );
    }

    #[inline(always)]
    fn solids<const NEAREST: bool>(
        &mut self,
        scene: &Scene,
        fan: &Fan,
        from: Vec3,
        facing: Option<Facing>,
    ) {
        let filled = fan.filled();
        self.free.clear();
        self.free.resize(filled, f32::INFINITY);
        if NEAREST {
            self.reach.clear();
            self.reach.resize(filled, f32::INFINITY);
            self.solid.clear();
            self.solid.resize(filled, FREE);
        }
        for (index, solid) in scene.solids.iter().enumerate() {
            let bounds = &solid.bounds;
            if facing.is_some_and(|f| f.ignores(bounds, from)) {
                continue;
            }
            let part = fan.part(bounds, from);
            let mut outlined = false;
            for band in part.bands.0..=part.bands.1 {
                for run in fan.stretches(part, band) {
                    if run.is_empty() {
                        continue;
                    }
                    if !outlined {
                        self.outline.take(solid, from);
                        outlined = true;
                    }
                    for block in run.start / LANES..run.end.div_ceil(LANES) {
                        self.block::<NEAREST>(fan, block, index as u32);
                    }
                }
            }
        }
    }

    /// Tries some directions on the solid just outlined.
    #[inline(always)]
    fn block<const NEAREST: bool>(&mut self, fan: &Fan, block: usize, index: u32) {
        let (x, y, z) = (
            lane(&fan.x, block),
            lane(&fan.y, block),
            lane(&fan.z, block),
        );
        let worst = self.outline.worst(x, y, z);
        let places = block * LANES..(block + 1) * LANES;
        for (free, w) in self.free[places.clone()].iter_mut().zip(&worst) {
            *free = if *w < *free { *w } else { *free };
        }
        if NEAREST && worst.iter().any(|w| *w < 0.0) {
            let enters = self.outline.enters(x, y, z);
            let reach = &mut self.reach[places.clone()];
            let who = &mut self.solid[places];
            for k in 0..LANES {
                let nearer = worst[k] < 0.0 && enters[k] < reach[k];
                reach[k] = if nearer { enters[k] } else { reach[k] };
                who[k] = if nearer { index } else { who[k] };
            }
        }
    }

    /// Weakens each direction by what soft bodies let through in each state; after [`Outlook::nearest`] only by
    /// those before the nearest solid.
    pub fn soften(&mut self, scene: &Scene, fan: &Fan, from: Vec3, until_solid: bool) {
        self.shares.clear();
        self.coloured.clear();
        if scene.softs.is_empty() {
            return;
        }
        let filled = fan.filled();
        self.shares.resize(filled * scene.states, 1.0);
        let (shares, coloured, reach) = (&mut self.shares, &mut self.coloured, &self.reach);
        lanes::widest(
            #[inline(always)]
            || {
                soft_bodies(scene, fan, from, |index, first, met| {
                    let mut met = *met;
                    if until_solid {
                        for (k, reach) in reach[first..].iter().take(LANES).enumerate() {
                            if met.at[k] >= *reach {
                                (met.on[k], met.off[k], met.met[k]) = (1.0, 1.0, false);
                            }
                        }
                    }
                    for state in 0..scene.states {
                        let by = if scene.soft_on[index] >> state & 1 == 1 {
                            &met.on
                        } else {
                            &met.off
                        };
                        let row = &mut shares[state * filled..(state + 1) * filled];
                        for (share, by) in row[first..].iter_mut().zip(by) {
                            *share *= by;
                        }
                    }
                    if scene.softs[index].scatters > 0.0 && met.met.contains(&true) {
                        coloured.resize(filled, false);
                        for (c, met) in coloured[first..].iter_mut().zip(&met.met) {
                            *c |= met;
                        }
                    }
                });
            },
        );
    }

    /// Share of the beam that arrives from each direction, in the order in which the fan's directions were given;
    /// `states` says in which state each direction of the fan is wanted.
    pub fn beams(&mut self, scene: &Scene, fan: &Fan, states: &[u16], from: Vec3) -> Vec<f32> {
        self.look(scene, fan, from, None);
        let filled = fan.filled();
        let mut shares: Vec<f32> = self
            .free
            .iter()
            .map(|free| if *free < 0.0 { 0.0 } else { 1.0 })
            .collect();
        if !scene.softs.is_empty() {
            let mut states = states.to_vec();
            states.resize(filled, 0);
            lanes::widest(
                #[inline(always)]
                || {
                    soft_bodies(scene, fan, from, |index, first, met| {
                        let on = scene.soft_on[index];
                        let places = shares[first..].iter_mut().zip(&states[first..]);
                        for ((share, state), k) in places.zip(0..LANES) {
                            *share *= if on >> state & 1 == 1 {
                                met.on[k]
                            } else {
                                met.off[k]
                            };
                        }
                    });
                },
            );
        }
        let mut given = vec![0.0; fan.len()];
        for (share, source) in shares.iter().zip(&fan.source) {
            given[*source as usize] = *share;
        }
        given
    }

    /// The face by which a direction meets the nearest solid.
    pub fn hit(&self, scene: &Scene, fan: &Fan, from: Vec3, i: usize) -> Option<Hit> {
        let index = self.solid[i];
        let solid = scene.solids.get(index as usize)?;
        let dir = fan.direction(i);
        let face = solid
            .faces
            .iter()
            .enumerate()
            .map(|(k, f)| (k, f.normal.dot(from) - f.offset, f.normal.dot(dir)))
            .filter(|(_, gap, slope)| *gap > -ON_FACE_M && *slope < 0.0)
            .max_by(|a, b| (a.1 / -a.2).total_cmp(&(b.1 / -b.2)))?
            .0;
        Some(Hit {
            at: self.reach[i],
            solid: index,
            face: face as u16,
        })
    }
}

/// What a soft body lets through along some neighbouring directions.
#[derive(Clone, Copy)]
struct Met {
    /// Where it is met, m.
    at: [f32; LANES],
    /// Shares by its first and by its other law.
    on: [f32; LANES],
    off: [f32; LANES],
    met: [bool; LANES],
}

/// Tells of each soft body: its number, the first of up to [`LANES`] directions, and what it does to them.
#[inline(always)]
fn soft_bodies(scene: &Scene, fan: &Fan, from: Vec3, mut tell: impl FnMut(usize, usize, &Met)) {
    for (index, soft) in scene.softs.iter().enumerate() {
        let part = fan.part(&soft.bounds, from);
        for band in part.bands.0..=part.bands.1 {
            for run in fan.stretches(part, band) {
                let mut first = run.start;
                while first < run.end {
                    let count = (run.end - first).min(LANES);
                    let mut met = Met {
                        at: [0.0; LANES],
                        on: [1.0; LANES],
                        off: [1.0; LANES],
                        met: [false; LANES],
                    };
                    if let Shape::Crown {
                        middle,
                        radius,
                        half_height,
                    } = &soft.shape
                    {
                        let scale = Vec3::new(1.0 / radius, 1.0 / radius, 1.0 / half_height);
                        let densities = [Some(soft.passes), soft.or].map(|law| match law {
                            Some(Passes::Leaves { per_m }) => per_m,
                            _ => 0.0,
                        });
                        crown(
                            fan,
                            first..first + count,
                            (from - *middle) * scale,
                            scale,
                            densities,
                            &mut met,
                        );
                    } else {
                        for k in 0..count {
                            if let Some(m) = soft.shape.meet(from, fan.direction(first + k)) {
                                met.at[k] = m.at;
                                met.met[k] = true;
                                met.on[k] = soft.passes.share(m.cos, m.chord);
                                met.off[k] = soft.or.map_or(1.0, |law| law.share(m.cos, m.chord));
                            }
                        }
                    }
                    tell(index, first, &met);
                    first += count;
                }
            }
        }
    }
}

/// A crown seen from `o`, both in the frame in which it is a ball of radius 1.
#[inline(always)]
fn crown(
    fan: &Fan,
    places: std::ops::Range<usize>,
    o: Vec3,
    scale: Vec3,
    densities: [f32; 2],
    met: &mut Met,
) {
    let c = o.dot(o) - 1.0;
    let (mut x, mut y, mut z) = ([0.0; LANES], [0.0; LANES], [1.0; LANES]);
    let count = places.len();
    x[..count].copy_from_slice(&fan.x[places.clone()]);
    y[..count].copy_from_slice(&fan.y[places.clone()]);
    z[..count].copy_from_slice(&fan.z[places]);
    let mut chord = [0.0_f32; LANES];
    for k in 0..LANES {
        let (dx, dy, dz) = (x[k] * scale.x, y[k] * scale.y, z[k] * scale.z);
        let a = dx * dx + dy * dy + dz * dz;
        let b = o.x * dx + o.y * dy + o.z * dz;
        let root = (b * b - a * c).max(0.0).sqrt();
        let enter = ((-b - root) / a).max(0.0);
        met.at[k] = enter;
        chord[k] = ((-b + root) / a - enter).max(0.0);
    }
    // What fills up the lanes is nowhere.
    chord[count..].fill(0.0);
    for (k, chord) in chord.iter().enumerate() {
        met.met[k] = *chord > 0.0;
        let shares = densities.map(|d| super::soft::leaves_let_through(d * chord));
        (met.on[k], met.off[k]) = (shares[0], shares[1]);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        base::{Id, Pt, Table},
        light::scene::{NO_OWN, Ray},
        site::{Building, Roof, Site, Tree},
    };

    fn site() -> Site {
        let outline = |x: f64, y: f64| {
            vec![
                Pt(x, y),
                Pt(x + 4.0, y),
                Pt(x + 4.0, y + 3.0),
                Pt(x + 2.0, y + 3.0),
                Pt(x + 2.0, y + 5.0),
                Pt(x, y + 5.0),
            ]
        };
        let buildings: Table<Building> = (0..6)
            .map(|k| {
                let roof = match k % 3 {
                    0 => Roof::Flat,
                    1 => Roof::Gable { ridge_m: 5.0 },
                    _ => Roof::Hip { ridge_m: 5.0 },
                };
                let house = Building {
                    outline: outline(f64::from(k) * 6.0, f64::from(k * k % 5) * 4.0),
                    roof,
                    ..Building::default()
                };
                (Id::new(&format!("house-{k}")), house)
            })
            .collect();
        let trees: Table<Tree> = (0..4)
            .map(|k| {
                let tree = Tree {
                    at: Pt(f64::from(k) * 7.0 - 3.0, -4.0),
                    ..Tree::default()
                };
                (Id::new(&format!("tree-{k}")), tree)
            })
            .collect();
        Site {
            buildings,
            trees,
            ..Site::default()
        }
    }

    /// Ray by ray through the tree of boxes, and all at once by outlines: the same shares.
    #[test]
    fn an_outlook_sees_what_single_rays_see() {
        let scene = Scene::of(&site());
        let directions: Vec<Vec3> = (0..3000)
            .map(|k| {
                let z = (k as f32 + 0.5) / 3000.0;
                let (sin, cos) = (k as f32 * 2.399_963).sin_cos();
                Vec3::new(sin, cos, 0.0) * (1.0 - z * z).sqrt() + Vec3::Z * z
            })
            .collect();
        let fan = Fan::of(&directions);
        let mut outlook = Outlook::default();
        let (mut hidden, mut differ, mut tried) = (0, 0, 0);
        for k in 0..60 {
            let at = Vec3::new(k as f32 * 0.61 - 2.0, (k * k % 23) as f32 - 6.0, 0.6);
            if scene.buried(at) {
                continue;
            }
            outlook.nearest(&scene, &fan, at);
            let states = vec![0; fan.len()];
            let shares = Outlook::default().beams(&scene, &fan, &states, at);
            for i in 0..fan.len() {
                let ray = Ray::new(at, fan.direction(i));
                let one = scene.beam_share(&ray, &NO_OWN, 0);
                tried += 1;
                hidden += usize::from(one == 0.0);
                // A ray that grazes an edge may fall to either side.
                if (one - shares[fan.source[i] as usize]).abs() > 1e-3 {
                    differ += 1;
                    continue;
                }
                match (
                    scene.nearest(&ray, &NO_OWN),
                    outlook.hit(&scene, &fan, at, i),
                ) {
                    (None, None) => {}
                    (Some(a), Some(b)) => {
                        differ += usize::from((a.at - b.at).abs() > 1e-3 * a.at.max(1.0));
                    }
                    _ => differ += 1,
                }
            }
        }
        assert!(tried > 100_000 && hidden > tried / 10);
        assert!(differ * 10_000 < tried, "{differ} of {tried}");
    }
}
