//! All that a spot gets of each source of light, outdoors or through the panes of its room.

use std::{collections::BTreeMap, f32::consts::FRAC_1_PI, sync::LazyLock};

use glam::{Vec2, Vec3};

use super::{
    cells::Cell,
    enclosed::{RoomLight, SIDES, add},
    flow::{Flow, PER_EXITANCE, dot, of_state},
    room::{BEHIND_PLANTS_M, Enclosure, Pane},
    scene::{NO_OWN, Ray, Scene, Shares, outlook::Outlook},
    works::Works,
};

/// Receptors: the level plane, and an upright cylinder (its mean over all sides).
pub const RECEPTORS: usize = 2;
/// Upright faces that are compared to tell how one-sided the light is.
pub const FACES: usize = 16;

/// Weight of light from a direction on each receptor, 1 square on.
pub fn weights(dir: Vec3) -> [f32; RECEPTORS] {
    [
        dir.z.max(0.0),
        (1.0 - dir.z * dir.z).max(0.0).sqrt() * FRAC_1_PI,
    ]
}

/// Light that comes by one set of panes, or in the open.
pub struct Group {
    /// Panes of the room; none outdoors.
    pub panes: Vec<usize>,
    /// Straight from the sky: `state * patches + patch`, sr.
    pub sky: [Vec<f32>; RECEPTORS],
    /// Thrown back outside.
    pub outside: [Flow; RECEPTORS],
    /// Thrown back or scattered inside.
    pub inside: [Flow; RECEPTORS],
    /// In place of all three, for what a covering scatters.
    pub scattered: [Flow; RECEPTORS],
    /// Overcast light on upright faces, by state.
    pub faces: Vec<[f32; FACES]>,
}

pub struct Sight {
    pub groups: Vec<Group>,
    /// Share of the dome seen, by state: by solid angle, and weighted with the cosine.
    pub plain: Shares,
    pub cosine: Shares,
}

impl Group {
    fn new(works: &Works<'_>, panes: Vec<usize>) -> Self {
        let none = || std::array::from_fn(|_| Flow::none(works));
        Self {
            panes,
            sky: std::array::from_fn(|_| vec![0.0; works.scene.states * works.dome.patches]),
            outside: none(),
            inside: none(),
            scattered: none(),
            faces: vec![[0.0; FACES]; works.scene.states],
        }
    }
}

/// A cell as one place sees it.
#[derive(Default)]
struct Seen {
    /// Weights on the receptors, and by solid angle alone.
    sums: [Shares; RECEPTORS + 1],
    /// Weights on the upright faces with nothing between.
    faces: [f32; FACES],
    whole: f32,
}

/// Gathers what rays from one place meet.
struct Gatherer<'w, 'a> {
    works: &'w Works<'a>,
    cells: BTreeMap<Cell, Seen>,
}

impl<'w, 'a> Gatherer<'w, 'a> {
    fn new(works: &'w Works<'a>) -> Self {
        Self {
            works,
            cells: BTreeMap::new(),
        }
    }

    /// Adds a ray that stands for `sr` of solid angle, weakened by `share`.
    fn ray(
        &mut self,
        sight: &mut Sight,
        group: &mut Group,
        ray: &Ray,
        own: &super::scene::Own,
        sr: f32,
        share: f32,
    ) {
        let works = self.works;
        let mut met: Vec<(Cell, Shares)> = Vec::new();
        works.look(
            ray,
            own,
            |shares| {
                if let Some(patch) = works.dome.patch_of(ray.dir) {
                    let weight = sr * share;
                    for (state, seen) in shares.iter().enumerate().take(works.scene.states) {
                        sky(works, sight, group, ray.dir, (patch, state), seen * weight);
                    }
                }
            },
            |cell, shares| met.push((cell, *shares)),
        );
        for (cell, shares) in met {
            self.surface(cell, &shares, ray.dir, sr * share);
        }
    }

    /// Adds a surface that is seen with `shares` along a direction that stands for `sr`.
    fn surface(&mut self, cell: Cell, shares: &Shares, dir: Vec3, sr: f32) {
        let w = weights(dir);
        let seen = self.cells.entry(cell).or_default();
        let by = sr * PER_EXITANCE;
        for (sum, w) in seen.sums.iter_mut().zip([w[0], w[1], 1.0]) {
            add(sum, shares, by * w);
        }
        on_faces(&mut seen.faces, dir, by);
        seen.whole += by;
    }

    fn finish(self, group: &mut Group) {
        let works = self.works;
        for (cell, seen) in self.cells {
            let flow = works.exitance(cell);
            for (out, by) in group.outside.iter_mut().zip(&seen.sums) {
                out.add_by_state(works, &flow, by);
            }
            for (state, faces) in group.faces.iter_mut().enumerate() {
                let shine = dot(flow.state(works, state), &works.overcast_groups);
                let share = seen.sums[RECEPTORS][state] / seen.whole.max(1e-12);
                for (face, w) in faces.iter_mut().zip(seen.faces) {
                    *face += w * share * shine;
                }
            }
        }
    }
}

/// Adds sky seen along a direction that stands for `sr`.
fn sky(
    works: &Works<'_>,
    sight: &mut Sight,
    group: &mut Group,
    dir: Vec3,
    (patch, state): (usize, usize),
    sr: f32,
) {
    let w = weights(dir);
    for (flow, w) in group.sky.iter_mut().zip(w) {
        flow[state * works.dome.patches + patch] += sr * w;
    }
    sight.plain[state] += sr * FRAC_1_PI / 2.0;
    sight.cosine[state] += sr * w[0] * FRAC_1_PI;
    let overcast = works.overcast.get(patch).copied().unwrap_or(0.0);
    on_faces(&mut group.faces[state], dir, sr * overcast);
}

/// Sine and cosine of the azimuths of the upright faces.
static FACING: LazyLock<([f32; FACES], [f32; FACES])> = LazyLock::new(|| {
    let angle = |k: usize| k as f32 / FACES as f32 * std::f32::consts::TAU;
    (
        std::array::from_fn(|k| angle(k).sin()),
        std::array::from_fn(|k| angle(k).cos()),
    )
});

fn on_faces(faces: &mut [f32; FACES], dir: Vec3, light: f32) {
    let (sin, cos) = &*FACING;
    for (k, face) in faces.iter_mut().enumerate() {
        *face += light * (dir.x * sin[k] + dir.y * cos[k]).max(0.0);
    }
}

fn blank() -> Sight {
    Sight {
        groups: Vec::new(),
        plain: [0.0; 12],
        cosine: [0.0; 12],
    }
}

/// What a place in the open gets.
pub fn outdoors(works: &Works<'_>, at: Vec3) -> Sight {
    let mut sight = blank();
    let mut group = Group::new(works, Vec::new());
    let mut gatherer = Gatherer::new(works);
    let (scene, fan) = (works.scene, &works.around);
    let mut outlook = Outlook::default();
    outlook.nearest(scene, fan, at);
    outlook.soften(scene, fan, at, true);
    // Light on faces needs no finer directions than patches.
    let n = works.dome.patches;
    let mut plain = vec![0.0_f32; scene.states * n];
    let mut patches = |group: &mut Group, dir: Vec3, patch: u16, shares: &[f32], sr: f32| {
        let w = weights(dir);
        for (state, share) in shares.iter().enumerate().take(scene.states) {
            let k = state * n + usize::from(patch);
            plain[k] += share * sr;
            for (flow, w) in group.sky.iter_mut().zip(w) {
                flow[k] += share * sr * w;
            }
        }
    };
    for (i, look) in works.around_rays.iter().enumerate() {
        let dir = fan.direction(i);
        if outlook.coloured.get(i) == Some(&true) {
            // Cloth that scatters has to be met in its turn.
            let mut met: Vec<(Cell, Shares)> = Vec::new();
            works.look(
                &Ray::new(at, dir),
                &NO_OWN,
                |shares| {
                    if let Some(patch) = look.patch {
                        patches(&mut group, dir, patch, shares, look.sr);
                    }
                },
                |cell, shares| met.push((cell, *shares)),
            );
            for (cell, shares) in met {
                gatherer.surface(cell, &shares, dir, look.surface_sr);
            }
            continue;
        }
        let mut shares = [1.0; 12];
        for (state, s) in shares.iter_mut().enumerate().take(scene.states) {
            let k = state * fan.filled() + i;
            *s = outlook.shares.get(k).copied().unwrap_or(1.0);
        }
        let hidden = outlook.free[i] < 0.0;
        if let (Some(patch), false) = (look.patch, hidden) {
            patches(&mut group, dir, patch, &shares, look.sr);
            continue;
        }
        if look.surface_sr <= 0.0 {
            continue;
        }
        let to_ground = if dir.z < -1e-4 && at.z > 0.0 {
            -at.z / dir.z
        } else {
            f32::INFINITY
        };
        let cell = if hidden && outlook.reach[i] < to_ground {
            outlook
                .hit(scene, fan, at, i)
                .and_then(|hit| Cell::of_face(scene, &Ray::new(at, dir), hit))
        } else if to_ground.is_finite() {
            Some(Cell::of_ground(at + dir * to_ground, to_ground))
        } else {
            None
        };
        if let Some(cell) = cell {
            gatherer.surface(cell, &shares, dir, look.surface_sr);
        }
    }
    for (state, plain) in plain.chunks(n.max(1)).enumerate() {
        for ((sr, level), (dir, overcast)) in plain
            .iter()
            .zip(of_state(&group.sky[0], n, state))
            .zip(works.middles.iter().zip(&works.overcast))
        {
            sight.plain[state] += sr * FRAC_1_PI / 2.0;
            sight.cosine[state] += level * FRAC_1_PI;
            on_faces(&mut group.faces[state], *dir, sr * overcast);
        }
    }
    gatherer.finish(&mut group);
    sight.groups.push(group);
    sight
}

/// What a place in a room gets.
pub fn indoors(works: &Works<'_>, light: &RoomLight, at: Vec3) -> Sight {
    let mut sight = blank();
    let room = &*light.room;
    let adjoints: [Vec<f32>; RECEPTORS] =
        std::array::from_fn(|k| light.adjoint(at, |dir| weights(dir)[k]));
    // Panes with nothing ever drawn over them act as one.
    let bare: Vec<usize> = (0..room.panes.len())
        .filter(|k| room.panes[*k].coverings.is_empty())
        .collect();
    let mut sets: Vec<Vec<usize>> = (0..room.panes.len())
        .filter(|k| !bare.contains(k))
        .map(|k| vec![k])
        .collect();
    if !bare.is_empty() {
        sets.push(bare);
    }
    for set in sets {
        let mut group = Group::new(works, set);
        for k in group.panes.clone() {
            through(works, light, k, at, &adjoints, &mut sight, &mut group);
        }
        sight.groups.push(group);
    }
    sight
}

fn through(
    works: &Works<'_>,
    light: &RoomLight,
    k: usize,
    at: Vec3,
    adjoints: &[Vec<f32>; RECEPTORS],
    sight: &mut Sight,
    group: &mut Group,
) {
    let room = &*light.room;
    let pane = &room.panes[k];
    let mut gatherer = Gatherer::new(works);
    let mut opening = [0.0; RECEPTORS];
    let mut by_side = [[0.0; RECEPTORS]; SIDES];
    let glass = pane.corner + pane.normal * pane.reveal;
    let mut pieces = vec![(Vec2::ZERO, pane.size)];
    let largest = (pane.size.min_element() / 6.0).max(0.02);
    while let Some((low, size)) = pieces.pop() {
        let mid = low + size / 2.0;
        let to = glass + pane.u * mid.x + pane.v * mid.y - at;
        let distance = to.length();
        let limit = (0.08 * distance).clamp(0.004, largest);
        if size.max_element() > limit {
            let half = if size.x > size.y {
                Vec2::new(size.x / 2.0, size.y)
            } else {
                Vec2::new(size.x, size.y / 2.0)
            };
            let shift = if size.x > size.y {
                Vec2::new(half.x, 0.0)
            } else {
                Vec2::new(0.0, half.y)
            };
            pieces.push((low, half));
            pieces.push((low + shift, half));
            continue;
        }
        let dir = to / distance.max(1e-6);
        let Some(way) = pane.way_out(at, dir) else {
            // The glass may be seen all the same, with the outer side of the opening behind it.
            if let Some((side, sr)) = outer_side(light, k, at, at + to, size) {
                let (straight, _) = pane.glass_shares(dir.dot(pane.normal));
                for (sum, w) in by_side[side].iter_mut().zip(weights(dir)) {
                    *sum += w * sr * straight * FRAC_1_PI;
                }
            }
            continue;
        };
        if !room.reaches(at, pane, &way) {
            continue;
        }
        let sr = way.cos * size.x * size.y / (distance * distance).max(1e-6);
        for (o, w) in opening.iter_mut().zip(weights(dir)) {
            *o += w * sr * FRAC_1_PI;
        }
        let (straight, _) = pane.glass_shares(way.cos);
        if straight > 0.0 {
            gatherer.ray(
                sight,
                group,
                &Ray::new(way.at, dir),
                &pane.own,
                sr,
                straight,
            );
        }
    }
    gatherer.finish(group);
    for (side, sums) in by_side.iter().enumerate() {
        if let Some(thrown) = light.outer_of(k, side) {
            for (out, by) in group.outside.iter_mut().zip(sums) {
                out.add(thrown, *by);
            }
        }
    }
    for (c, (adjoint, opening)) in adjoints.iter().zip(opening).enumerate() {
        let inside = light.inside(works, k, adjoint, opening.min(1.0));
        group.inside[c].add(&inside.straight, 1.0);
        group.scattered[c].add(&inside.scattered, 1.0);
    }
}

/// Which outer side of an opening a place sees at a place on the glass, and the solid angle of that piece of the glass.
pub fn outer_side(
    light: &RoomLight,
    k: usize,
    at: Vec3,
    glass: Vec3,
    size: Vec2,
) -> Option<(usize, f32)> {
    let pane = light.room.panes.get(k)?;
    let to = glass - at;
    let square = to.length_squared().max(1e-6);
    let dir = to / square.sqrt();
    if !pane.shows(at, glass)
        || !light
            .room
            .clear_between(at, glass - pane.normal * (pane.reveal + 5e-3))
    {
        return None;
    }
    let side = light.outer_side(k, glass, dir)?;
    Some((side, dir.dot(pane.normal) * size.x * size.y / square))
}

/// Share of the beam that comes from a direction through each pane of a room: the pane and its share.
pub fn beam_indoors(
    scene: &Scene,
    room: &Enclosure,
    at: Vec3,
    dir: Vec3,
    state: usize,
) -> Option<(usize, f32)> {
    room.panes.iter().enumerate().find_map(|(k, pane)| {
        let way = pane.way_out(at, dir)?;
        if !room.reaches(at, pane, &way) {
            return None;
        }
        let (straight, _) = pane.glass_shares(way.cos);
        let seen = scene.beam_share(&Ray::new(way.at, dir), &pane.own, state);
        Some((k, straight * seen))
    })
}

/// Whether a place is between the glass of a pane and what hangs behind the plants there.
pub fn near(pane: &Pane, at: Vec3) -> bool {
    pane.distance(at) <= BEHIND_PLANTS_M
}

#[cfg(test)]
mod tests {
    use super::*;

    /// An upright plane under the CIE overcast sky gets (3/7)(1/2 + 4/(3π)) = 0.39618 of the level's light.
    #[test]
    fn validate_upright_plane_under_overcast_sky() {
        let scene = Scene::of(&crate::site::Site::default());
        let works = Works::new(&scene, &[], &crate::sky::reinhart());
        let open = outdoors(&works, Vec3::new(0.0, 0.0, 0.5));
        let Some(group) = open.groups.first() else {
            panic!("no light");
        };
        let upright = dot(&group.sky[1], &works.overcast);
        assert!((upright - 0.39618).abs() < 0.0015, "{upright}");
        // Lawn of 0.22 fills the lower half of what it sees.
        let ground = dot(&group.outside[1].sky, &works.overcast_groups);
        assert!((ground - 0.11).abs() < 0.002, "{ground}");
        for face in group.faces[0] {
            assert!((face - 0.506).abs() < 0.006, "{face}");
        }
    }
}
