//! How bright each part of the sky is: clear, overcast, and as the typical year has it hour by hour.

mod overcast;
mod patches;
mod perez;

use rayon::prelude::*;

use crate::{
    base::calendar::HOURS,
    climate::TypicalYear,
    site::Place,
    sun::{SunPosition, SunTable},
};

/// Irradiance under a cloudless sky; see [`crate::sun::clear`].
pub use crate::sun::clear;
pub use overcast::overcast;
pub use patches::reinhart;
pub use perez::patch_radiance;

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
        let rows: Vec<Vec<f32>> = bright
            .par_iter()
            .map(|hour| {
                // The table's values are means over the hour; how clear the sky is shows while the sun is up.
                let share = value(&sun.up_share, *hour).max(0.02);
                let position = SunPosition {
                    azimuth_rad: value(&sun.azimuth_rad, *hour),
                    elevation_rad: value(&sun.elevation_rad, *hour),
                };
                let sky_w_m2 = value(&typical.sky_w_m2, *hour);
                let mut row = patch_radiance(
                    &patches,
                    position,
                    value(&typical.beam_w_m2, *hour) / share,
                    sky_w_m2 / share,
                    value(&sun.extraterrestrial_w_m2, *hour / 24),
                );
                row.iter_mut().for_each(|l| *l *= share as f32);
                row
            })
            .collect();
        let mut row_of_hour = vec![None; HOURS];
        for (row, hour) in bright.iter().enumerate() {
            row_of_hour[*hour] = u16::try_from(row).ok();
        }
        Self {
            patches,
            row_of_hour,
            radiance: rows.concat(),
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
fn scaled_to(patches: &[Patch], relative: &[f64], level_w_m2: f64) -> Vec<f32> {
    let sum: f64 = patches
        .iter()
        .zip(relative)
        .map(|(patch, l)| l * patch.level_weight_sr())
        .sum();
    if sum > 0.0 && sum.is_finite() {
        relative
            .iter()
            .map(|l| (l * level_w_m2 / sum) as f32)
            .collect()
    } else {
        let all: f64 = patches.iter().map(Patch::level_weight_sr).sum();
        vec![(level_w_m2 / all.max(1e-9)) as f32; patches.len()]
    }
}
