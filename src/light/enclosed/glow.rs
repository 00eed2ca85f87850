//! Light in a room summed over a span of time, for many places in it: the surfaces' own light is worked out once,
//! each place only looks at it.

use std::{
    collections::BTreeMap,
    f32::consts::FRAC_1_PI,
    sync::{Mutex, PoisonError},
};

use glam::Vec3;

use super::{ALL_STATES, BOUNCES, RoomLight, Surface, reveal};
use crate::light::{
    cells::Cell,
    flow::{Flow, dot},
    scene::Shares,
    works::Works,
};

/// What shines outside over a span of time, as far as a covering lets it through.
pub struct Outside<'a> {
    works: &'a Works<'a>,
    /// By state: radiance of each patch times hours; empty for states that the span lacks.
    pub sky: Vec<Vec<f32>>,
    /// The same by group of patches.
    groups: Vec<Vec<f32>>,
    /// By place of the sun: beam square to it times hours.
    pub beam: Vec<f32>,
    /// Surfaces outside already asked for.
    thrown: Mutex<BTreeMap<Cell, Shares>>,
}

impl<'a> Outside<'a> {
    pub fn new(works: &'a Works<'a>, sky: Vec<Vec<f32>>, beam: Vec<f32>) -> Self {
        let groups = sky
            .iter()
            .map(|sky| {
                let mut groups = vec![0.0; works.dome.groups];
                works.dome.blend(sky, &mut groups);
                groups
            })
            .collect();
        Self {
            works,
            sky,
            groups,
            beam,
            thrown: Mutex::default(),
        }
    }

    /// What a surface outside throws on, by the states in which it does.
    pub fn thrown(&self, cell: Cell) -> Shares {
        let locked = || self.thrown.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(known) = locked().get(&cell) {
            return *known;
        }
        let light = self.by_state(&self.works.exitance(cell));
        locked().insert(cell, light);
        light
    }

    fn by_state(&self, flow: &Flow) -> Shares {
        let mut light = [0.0; 12];
        for (state, (light, sky)) in light.iter_mut().zip(&self.groups).enumerate() {
            *light = dot(flow.state(self.works, state), sky);
        }
        for (k, (through, beam)) in flow.beam.iter().zip(&self.beam).enumerate() {
            if *beam > 0.0 {
                light[self.works.state_of_sun(k)] += through * beam;
            }
        }
        light
    }

    /// A flow's light in all.
    pub fn of(&self, flow: &Flow) -> f32 {
        self.by_state(flow).iter().sum()
    }
}

/// The light that one pane brings into a room.
pub struct Glow {
    /// What each surface of the room throws on, per m².
    exitances: Vec<f32>,
    /// What the opening itself scatters into the room, per m².
    pub opening: f32,
}

impl RoomLight {
    /// What comes through pane `k`, thrown about in the room.
    pub fn glow(&self, k: usize, straight: &Outside<'_>, scattered: Option<&Outside<'_>>) -> Glow {
        let n = self.surfaces.len();
        let mut landed = vec![0.0_f32; n];
        let mut opening = 0.0;
        let (Some(flow), Some(pane)) = (self.inflows.get(k), self.room.panes.get(k)) else {
            return Glow {
                exitances: landed,
                opening,
            };
        };
        let mut land = |on: u16, watts: f32| match landed.get_mut(usize::from(on)) {
            Some(sum) => *sum += watts,
            None => opening += watts,
        };
        for l in &flow.from_sky {
            let radiance = |sky: &Vec<f32>| sky.get(usize::from(l.group)).copied().unwrap_or(0.0);
            let sky = if l.state == ALL_STATES {
                straight.groups.iter().map(radiance).sum()
            } else {
                let groups = straight.groups.get(usize::from(l.state));
                groups.map_or(0.0, radiance)
            };
            land(l.on, l.weight * sky);
        }
        for (s, on, weight) in &flow.from_sun {
            let beam = straight.beam.get(usize::from(*s)).copied().unwrap_or(0.0);
            land(*on, weight * beam);
        }
        for ((cell, on), shares) in &flow.from_cells {
            let thrown = straight.thrown(*cell);
            land(*on, thrown.iter().zip(shares).map(|(a, b)| a * b).sum());
        }
        for ((side, on), weight) in &flow.from_outer {
            if let Some(thrown) = flow.outer.get(*side) {
                land(*on, weight * straight.of(thrown));
            }
        }
        opening += scattered.map_or(0.0, |s| s.of(&flow.total));
        let opening = opening / pane.area();
        let first: Vec<f32> = self
            .surfaces
            .iter()
            .zip(landed.iter().zip(&flow.seen_from))
            .map(|(s, (watts, seen))| s.reflectance * (watts / s.area + opening * seen))
            .collect();
        let mut exitances = first.clone();
        let mut step = first;
        for _ in 0..BOUNCES {
            step = self
                .surfaces
                .iter()
                .zip(self.forms.chunks(n.max(1)))
                .map(|(s, row)| s.reflectance * dot(row, &step))
                .collect();
            exitances.iter_mut().zip(&step).for_each(|(a, b)| *a += b);
        }
        Glow { exitances, opening }
    }
}

impl Glow {
    /// Light on a receptor that sees the surfaces with these form factors.
    pub fn on(&self, seen: &[f32]) -> f32 {
        dot(&self.exitances, seen)
    }
}

impl RoomLight {
    /// Form factors from a receptor to each surface; `weigh` gives its weight for a direction, 1 square on.
    pub fn seen_from(&self, at: Vec3, weigh: impl Fn(Vec3) -> f32) -> Vec<f32> {
        let room = &*self.room;
        // A pot may stand in an opening: then it sees the room through its inner edge only.
        let opening = room
            .panes
            .iter()
            .find(|p| (at - p.corner).dot(p.normal) > 0.0 && p.framed(p.place(at)));
        let (walls, sides) = self.surfaces.split_at(self.map.own);
        let mut seen: Vec<f32> = walls
            .iter()
            .map(|s| {
                let hidden = !room.clear_between(at, s.middle)
                    || opening.is_some_and(|p| !reveal::seen_through(p, s.middle, at));
                if hidden { 0.0 } else { look(at, s, &weigh) }
            })
            .collect();
        let sum: f32 = seen.iter().sum();
        if sum > 0.0 && opening.is_none() {
            seen.iter_mut().for_each(|f| *f /= sum);
        }
        seen.resize(walls.len() + sides.len(), 0.0);
        for (pane, pieces) in room.panes.iter().zip(&self.map.sides) {
            for k in pieces.range() {
                let side = &self.surfaces[k];
                if reveal::seen_through(pane, at, side.middle)
                    && room.clear_between(at, side.middle)
                {
                    seen[k] = look(at, side, &weigh);
                }
            }
        }
        seen
    }
}

/// Form factor from a receptor to a surface with nothing between.
fn look(at: Vec3, s: &Surface, weigh: &impl Fn(Vec3) -> f32) -> f32 {
    let side = (s.u.length().max(s.v.length())) * 2.0;
    let near = s.middle.distance(at).max(0.05);
    let parts = ((2.0 * side / near).ceil() as usize).clamp(1, 6);
    let mut sum = 0.0;
    for k in 0..parts * parts {
        let place = |k: usize| (k as f32 + 0.5) / parts as f32 * 2.0 - 1.0;
        let d = s.middle + s.u * place(k % parts) + s.v * place(k / parts) - at;
        let r2 = d.length_squared().max(1e-6);
        let dir = d / r2.sqrt();
        let share = s.area / (parts * parts) as f32;
        sum +=
            weigh(dir) * (-dir.dot(s.normal)).max(0.0) * FRAC_1_PI * share / r2.max(0.36 * share);
    }
    sum
}
