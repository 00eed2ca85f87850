//! What the places of one scene have in common.

use std::{
    collections::HashMap,
    sync::{Arc, Mutex},
};

use glam::Vec3;

use super::{
    cells::{Cell, Surfaces},
    flow::{Flow, SUNS},
    rays::Rays,
    scene::{Own, Ray, Scene, Shares},
    sun_path::{self, SunHour},
    thrown::{Above, Part},
};
use crate::{
    base::calendar::{Day, MONTH_STARTS},
    sky::Patch,
};

/// All that is shared between places of one scene: rays, places of the sun, cells already worked out.
pub struct Works<'a> {
    pub scene: &'a Scene,
    rays: Arc<Rays>,
    /// Neighbouring surfaces take them in turn.
    pub turns: [Turn; TURNS],
    pub surfaces: Surfaces,
    pub cells: Mutex<HashMap<(Cell, Part), Arc<Flow>>>,
}

/// So many times of the hour, and days, stand for a place of the sun: a shadow's edge is then not at the same hour on
/// every surface.
pub const TURNS: usize = sun_path::MOMENTS;

/// The places of the sun at one time of the hour.
pub struct Turn {
    pub suns: Vec<Option<Vec3>>,
    /// What a surface looks along.
    pub above: Above,
}

impl std::ops::Deref for Works<'_> {
    type Target = Rays;

    fn deref(&self) -> &Rays {
        &self.rays
    }
}

impl<'a> Works<'a> {
    /// `suns` are the hours of daylight of a year.
    pub fn new(scene: &'a Scene, suns: &[SunHour], patches: &[Patch]) -> Self {
        let rays = Rays::of(patches);
        let turns = std::array::from_fn(|k| {
            let suns: Vec<Option<Vec3>> = (0..SUNS).map(|slot| sun_at(suns, slot, k)).collect();
            Turn {
                above: Above::of(&rays, k, &suns, |slot| state_of_sun(scene, slot)),
                suns,
            }
        });
        Self {
            scene,
            rays,
            turns,
            surfaces: Surfaces::of(scene),
            cells: Mutex::default(),
        }
    }

    pub fn state_of_sun(&self, k: usize) -> usize {
        state_of_sun(self.scene, k)
    }

    /// Direction of the sun in a place of its path, if it is up: one of those that stand for it.
    pub fn sun(&self, slot: usize, turn: usize) -> Option<Vec3> {
        *self.turns[turn % TURNS].suns.get(slot)?
    }

    /// Which place of the sun stands for an hour of the year.
    pub fn sun_of_hour(hour: usize) -> usize {
        let day = Day::new(hour / 24);
        let month = day.month0();
        let length = MONTH_STARTS[month + 1] - MONTH_STARTS[month];
        let second = (day.index() - MONTH_STARTS[month]) * 2 >= length;
        (month * 2 + usize::from(second)) * 24 + hour % 24
    }

    /// Looks along a ray: calls `sky` with the shares if it ends in the sky, `cell` with each surface that
    /// throws light towards the start and the shares up to it.
    pub fn look(
        &self,
        ray: &Ray,
        own: &Own,
        mut sky: impl FnMut(&Shares),
        mut cell: impl FnMut(Cell, &Shares),
    ) {
        let hit = self.scene.nearest(ray, own);
        let to_ground = if ray.dir.z < -1e-4 && ray.from.z > 0.0 {
            -ray.from.z / ray.dir.z
        } else {
            f32::INFINITY
        };
        let reach = hit.map_or(f32::INFINITY, |h| h.at).min(to_ground);
        let mut shares = [1.0; 12];
        self.scene.soften(ray, own, reach, &mut shares, |pass| {
            // Only what the cloth throws down is counted, hence only from below.
            if ray.dir.z > 0.0 {
                let p = ray.from + ray.dir * pass.at;
                cell(Cell::of_cloth(pass.soft, p), &pass.before);
            }
        });
        match hit {
            Some(h) if h.at < to_ground => {
                if let Some(c) = Cell::of_face(self.scene, ray, h) {
                    cell(c, &shares);
                }
            }
            _ if to_ground.is_finite() => {
                cell(
                    Cell::of_ground(ray.from + ray.dir * to_ground, to_ground),
                    &shares,
                );
            }
            _ if ray.dir.z > 0.0 => sky(&shares),
            _ => {}
        }
    }
}

/// Direction of the sun in a place of its path, if it is up then.
fn sun_at(suns: &[SunHour], slot: usize, turn: usize) -> Option<Vec3> {
    let (half_month, hour) = (slot / 24, slot % 24);
    let (first, next) = (
        MONTH_STARTS[half_month / 2],
        MONTH_STARTS[half_month / 2 + 1],
    );
    // The middle of one of the parts into which the half month is cut.
    let part = half_month % 2 * 2 * TURNS + 2 * turn + 1;
    let day = first + (next - first) * part / (4 * TURNS);
    let k = suns
        .binary_search_by_key(&(day * 24 + hour), |s| s.hour)
        .ok()?;
    suns.get(k)?.moments.get(turn).copied()
}

fn state_of_sun(scene: &Scene, k: usize) -> usize {
    scene.state_of_month[k / 48 % 12].into()
}
