//! What a place gets of each source of light, as factors that hold for every hour: one for each patch of the sky,
//! one for the sun at each place of its yearly path.

use std::f32::consts::PI;

use super::{scene::Shares, works::Works};
use crate::base::lanes;

/// Places of the sun for reflected light: the middles of 24 half months, 24 hours each.
pub const SUNS: usize = 24 * 24;

/// Factors by source. Irradiance is `Σ sky · radiance + beam · (beam square to the sun)`.
#[derive(Clone, Debug, Default)]
pub struct Flow {
    /// `state * groups + group`, sr.
    pub sky: Vec<f32>,
    /// `half month * 24 + hour`, without unit.
    pub beam: Vec<f32>,
}

impl Flow {
    pub fn none(works: &Works<'_>) -> Self {
        Self {
            sky: vec![0.0; works.scene.states * works.dome.groups],
            beam: vec![0.0; SUNS],
        }
    }

    pub fn add(&mut self, other: &Self, by: f32) {
        add(&mut self.sky, &other.sky, by);
        add(&mut self.beam, &other.beam, by);
    }

    /// Adds with a weight for each state.
    pub fn add_by_state(&mut self, works: &Works<'_>, other: &Self, by: &Shares) {
        let n = works.dome.groups.max(1);
        for ((a, b), by) in self.sky.chunks_mut(n).zip(other.sky.chunks(n)).zip(by) {
            add(a, b, *by);
        }
        let months = self.beam.chunks_mut(48).zip(other.beam.chunks(48));
        for (month, (a, b)) in months.enumerate() {
            add(a, b, by[works.state_of_sun(month * 48)]);
        }
    }

    pub fn state<'a>(&'a self, works: &Works<'_>, state: usize) -> &'a [f32] {
        of_state(&self.sky, works.dome.groups, state)
    }
}

/// The part of a list by state that belongs to one.
pub fn of_state(list: &[f32], n: usize, state: usize) -> &[f32] {
    list.get(state * n..(state + 1) * n).unwrap_or_default()
}

fn add(to: &mut [f32], from: &[f32], by: f32) {
    if by != 0.0 {
        for (a, b) in to.iter_mut().zip(from) {
            *a += b * by;
        }
    }
}

pub fn dot(a: &[f32], b: &[f32]) -> f32 {
    lanes::widest(
        #[inline(always)]
        || lanes::dot(a, b),
    )
}

/// Radiance of a surface that throws light evenly to all sides, by its exitance.
pub const PER_EXITANCE: f32 = 1.0 / PI;
