//! How bright each part of the sky is: clear, overcast, and as the typical year has it hour by hour.

mod overcast;
mod patches;
mod perez;

use rayon::prelude::*;

use crate::{
    base::{calendar::HOURS, lanes},
    climate::TypicalYear,
    site::Place,
    sun::{SunPosition, SunTable},
};

/// Irradiance under a cloudless sky; see [`crate::sun::clear`].
pub use crate::sun::clear;
pub use overcast::overcast;
pub use patches::reinhart;
pub use perez::{Painter, patch_radiance};

/// A part of the sky dome.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Patch {
    /// Unit vector to its middle in true directions: x east, y north, z up.
    pub direction: glam::DVec3,
    pub solid_angle_sr: f64,
}

impl Patch {
    /// What its radiance of 1 W m⁻² sr⁻¹ gives on the level, W/m².
    #[must_use]
    pub fn level_weight_sr(&self) -> f64 {
        self.direction.z * self.solid_angle_sr
    }
}

/// Hours that one core paints before it looks for more.
const HOURS_AT_ONCE: usize = 64;

/// The sky of every daylight hour on a fixed set of patches (Reinhart's subdivision, 577 patches).
#[derive(Clone, Debug, Default)]
pub struct SkyYear {
    pub patches: Vec<Patch>,
    /// For each of 8,760 hours: the row in `radiance`, or `None` when it is dark.
    pub row_of_hour: Vec<Option<u16>>,
    /// Rows of `patches.len()` values, W m⁻² sr⁻¹; each row's cosine-weighted sum is that hour's sky irradiance.
    pub radiance: Vec<f32>,
}

impl SkyYear {
    /// The sky of a typical year (Perez, Seals & Michalsky 1993).
    #[must_use]
    pub fn of(place: &Place, sun: &SunTable, typical: &TypicalYear) -> Self {
        let _ = place;
        let patches = reinhart();
        let value = |values: &[f32], i: usize| values.get(i).copied().map_or(0.0, f64::from);
        let bright: Vec<usize> = (0..HOURS)
            .filter(|hour| value(&typical.sky_w_m2, *hour) > 0.0)
            .collect();
        let painter = Painter::of(&patches);
        let n = patches.len();
        let mut radiance = vec![0.0; bright.len() * n];
        radiance
            .par_chunks_mut(n * HOURS_AT_ONCE)
            .zip(bright.par_chunks(HOURS_AT_ONCE))
            .for_each(|(rows, hours)| {
                for (row, hour) in rows.chunks_mut(n).zip(hours) {
                    // The table's values are means over the hour; how clear the sky is shows while the sun is up.
                    let share = value(&sun.up_share, *hour).max(0.02);
                    let position = SunPosition {
                        azimuth_rad: value(&sun.azimuth_rad, *hour),
                        elevation_rad: value(&sun.elevation_rad, *hour),
                    };
                    painter.paint(
                        position,
                        value(&typical.beam_w_m2, *hour) / share,
                        value(&typical.sky_w_m2, *hour) / share,
                        value(&sun.extraterrestrial_w_m2, *hour / 24),
                        row,
                    );
                    row.iter_mut().for_each(|l| *l *= share as f32);
                }
            });
        let mut row_of_hour = vec![None; HOURS];
        for (row, hour) in bright.iter().enumerate() {
            row_of_hour[*hour] = u16::try_from(row).ok();
        }
        Self {
            patches,
            row_of_hour,
            radiance,
        }
    }

    /// Radiance of each patch in an hour, W m⁻² sr⁻¹; `None` when it is dark.
    #[must_use]
    pub fn hour(&self, hour: usize) -> Option<&[f32]> {
        let row = usize::from(self.row_of_hour.get(hour).copied().flatten()?);
        let n = self.patches.len();
        self.radiance.get(row * n..(row + 1) * n)
    }
}

/// Brings relative radiances to a given irradiance on the level. An even sky where they say nothing.
fn scale(level_sr: &[f32], relative: &mut [f32], level_w_m2: f64) {
    let sum = |values: &[f32]| {
        lanes::widest(
            #[inline(always)]
            || f64::from(lanes::dot(values, level_sr)),
        )
    };
    let mut all = sum(relative);
    if !(all > 0.0 && all.is_finite()) {
        relative.fill(1.0);
        all = sum(relative);
    }
    let by = (level_w_m2 / all.max(1e-9)) as f32;
    relative.iter_mut().for_each(|l| *l *= by);
}
