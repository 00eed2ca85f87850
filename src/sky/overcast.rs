use super::{Patch, scale};

/// The CIE standard overcast sky (Moon & Spencer 1942; type 1 of ISO 15469 differs little): brightness rises as
/// (1 + 2 sin g)/3 towards the zenith. Radiance of each patch for an irradiance of 1 on the level.
#[must_use]
pub fn overcast(patches: &[Patch]) -> Vec<f32> {
    let mut radiance: Vec<f32> = patches
        .iter()
        .map(|patch| ((1.0 + 2.0 * patch.direction.z) / 3.0) as f32)
        .collect();
    let level_sr: Vec<f32> = patches.iter().map(|p| p.level_weight_sr() as f32).collect();
    scale(&level_sr, &mut radiance, 1.0);
    radiance
}
