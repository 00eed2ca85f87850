use std::f64::consts::TAU;

use glam::DVec3;

use super::Patch;

/// Patches in each of Tregenza's rows (1987), from the horizon up, without the one at the zenith.
const TREGENZA: [usize; 7] = [30, 30, 24, 24, 18, 12, 6];

/// Each of Tregenza's patches is halved this often in both directions.
const HALVED: usize = 2;

/// The 577 patches of Reinhart's subdivision MF:2: row by row from the horizon up, each row clockwise from north,
/// last the zenith's. Rows have equal heights but for the cap; solid angles are exact and add up to 2π.
#[must_use]
pub fn reinhart() -> Vec<Patch> {
    let rows = TREGENZA.len() * HALVED;
    let height_rad = std::f64::consts::FRAC_PI_2 / (rows as f64 + 0.5);
    let mut patches = Vec::with_capacity(577);
    for row in 0..rows {
        let count = TREGENZA[row / HALVED] * HALVED;
        let low = row as f64 * height_rad;
        let solid_angle_sr = TAU / count as f64 * ((low + height_rad).sin() - low.sin());
        let (sin_e, cos_e) = (low + height_rad / 2.0).sin_cos();
        for column in 0..count {
            let (sin_a, cos_a) = (TAU * column as f64 / count as f64).sin_cos();
            patches.push(Patch {
                direction: DVec3::new(cos_e * sin_a, cos_e * cos_a, sin_e),
                solid_angle_sr,
            });
        }
    }
    patches.push(Patch {
        direction: DVec3::Z,
        solid_angle_sr: TAU * (1.0 - (height_rad / 2.0).cos()),
    });
    patches
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn verify_patches_fill_the_dome() {
        let patches = reinhart();
        assert_eq!(patches.len(), 577);
        let whole: f64 = patches.iter().map(|p| p.solid_angle_sr).sum();
        assert!((whole - TAU).abs() < 1e-12);
        assert!(patches.iter().all(|p| p.direction.is_normalized()));
        // An even sky of 1 gives π on the level; middles in place of the patches' own means err by 0.15 %.
        let level: f64 = patches.iter().map(Patch::level_weight_sr).sum();
        assert!((level / std::f64::consts::PI - 1.0).abs() < 0.0015);
    }
}
