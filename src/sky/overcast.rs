use super::{Patch, scaled_to};

/// The CIE standard overcast sky (Moon & Spencer 1942; type 1 of ISO 15469 differs little): brightness rises as
/// (1 + 2 sin g)/3 towards the zenith. Radiance of each patch for an irradiance of 1 on the level.
#[must_use]
pub fn overcast(patches: &[Patch]) -> Vec<f32> {
    let relative: Vec<f64> = patches
        .iter()
        .map(|patch| (1.0 + 2.0 * patch.direction.z) / 3.0)
        .collect();
    scaled_to(patches, &relative, 1.0)
}
