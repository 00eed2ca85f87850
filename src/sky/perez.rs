//! The all-weather sky of Perez, Seals & Michalsky 1993 (Solar Energy 50:235).

use super::{Patch, scale};
use crate::base::lanes;
use crate::sun::{SunPosition, clear::relative_air_mass};

/// Upper ends of the classes of sky clearness ε but the last (Perez et al. 1990, table 1).
const CLEARNESS_ENDS: [f64; 7] = [1.065, 1.23, 1.5, 1.95, 2.8, 4.5, 6.2];

/// For each class of ε the coefficients x1 to x4 of a, b, c, d and e (Perez et al. 1993, table 1).
#[rustfmt::skip]
const COEFFICIENTS: [[[f64; 4]; 5]; 8] = [
    [[1.3525, -0.2576, -0.2690, -1.4366], [-0.7670, 0.0007, 1.2734, -0.1233], [2.8000, 0.6004, 1.2375, 1.0000],
     [1.8734, 0.6297, 0.9738, 0.2809], [0.0356, -0.1246, -0.5718, 0.9938]],
    [[-1.2219, -0.7730, 1.4148, 1.1016], [-0.2054, 0.0367, -3.9128, 0.9156], [6.9750, 0.1774, 6.4477, -0.1239],
     [-1.5798, -0.5081, -1.7812, 0.1080], [0.2624, 0.0672, -0.2190, -0.4285]],
    [[-1.1000, -0.2515, 0.8952, 0.0156], [0.2782, -0.1812, -4.5000, 1.1766], [24.7219, -13.0812, -37.7000, 34.8438],
     [-5.0000, 1.5218, 3.9229, -2.6204], [-0.0156, 0.1597, 0.4199, -0.5562]],
    [[-0.5484, -0.6654, -0.2672, 0.7117], [0.7234, -0.6219, -5.6812, 2.6297], [33.3389, -18.3000, -62.2500, 52.0781],
     [-3.5000, 0.0016, 1.1477, 0.1062], [0.4659, -0.3296, -0.0876, -0.0329]],
    [[-0.6000, -0.3566, -2.5000, 2.3250], [0.2937, 0.0496, -5.6812, 1.8415], [21.0000, -4.7656, -21.5906, 7.2492],
     [-3.5000, -0.1554, 1.4062, 0.3988], [0.0032, 0.0766, -0.0656, -0.1294]],
    [[-1.0156, -0.3670, 1.0078, 1.4051], [0.2875, -0.5328, -3.8500, 3.3750], [14.0000, -0.9999, -7.1406, 7.5469],
     [-3.4000, -0.1078, -1.0750, 1.5702], [-0.0672, 0.4016, 0.3017, -0.4844]],
    [[-1.0000, 0.0211, 0.5025, -0.5119], [-0.3000, 0.1922, 0.7023, -1.6317], [19.0000, -5.0000, 1.2438, -1.9094],
     [-4.0000, 0.0250, 0.3844, 0.2656], [1.0468, -0.3788, -2.4517, 1.4656]],
    [[-1.0500, 0.0289, 0.4260, 0.3590], [-0.3250, 0.1156, 0.7781, 0.0025], [31.0625, -14.5000, -46.1148, 55.3750],
     [-7.2312, 0.4050, 13.3500, 0.6234], [1.5000, -0.6426, 1.8564, 0.5636]],
];

/// Radiance of each patch, W m⁻² sr⁻¹, for a sun position, the beam square to the sun, the sky's irradiance on the
/// level and the irradiance outside the air square to the sun, all W/m². The sun's disc is not in it. The
/// cosine-weighted sum is `sky_w_m2`, and no value is negative.
///
/// For a cloudless sky take beam and sky from [`crate::sun::clear::irradiance`].
#[must_use]
pub fn patch_radiance(
    patches: &[Patch],
    sun: SunPosition,
    beam_w_m2: f64,
    sky_w_m2: f64,
    extraterrestrial_w_m2: f64,
) -> Vec<f32> {
    let mut radiance = vec![0.0; patches.len()];
    Painter::of(patches).paint(
        sun,
        beam_w_m2,
        sky_w_m2,
        extraterrestrial_w_m2,
        &mut radiance,
    );
    radiance
}

/// Paints one sky after the other on the same patches.
pub struct Painter {
    x: Vec<f32>,
    y: Vec<f32>,
    z: Vec<f32>,
    /// What a radiance of 1 gives on the level, sr.
    level_sr: Vec<f32>,
    /// Patches of one height, one after the other: how many, and the inverse of the sine of their height.
    rows: Vec<(usize, f32)>,
}

impl Painter {
    #[must_use]
    pub fn of(patches: &[Patch]) -> Self {
        let along = |of: fn(&Patch) -> f64| patches.iter().map(|p| of(p) as f32).collect();
        Self {
            x: along(|p| p.direction.x),
            y: along(|p| p.direction.y),
            z: along(|p| p.direction.z),
            level_sr: along(Patch::level_weight_sr),
            rows: patches
                .chunk_by(|a, b| a.direction.z == b.direction.z)
                .map(|row| (row.len(), (1.0 / row[0].direction.z.max(0.01)) as f32))
                .collect(),
        }
    }

    /// Writes what [`patch_radiance`] answers to `out`.
    pub fn paint(
        &self,
        sun: SunPosition,
        beam_w_m2: f64,
        sky_w_m2: f64,
        extraterrestrial_w_m2: f64,
        out: &mut [f32],
    ) {
        if sky_w_m2 <= 0.0 {
            out.fill(0.0);
            return;
        }
        let shape = Shape::of(sun, beam_w_m2, sky_w_m2, extraterrestrial_w_m2);
        let to_sun = sun.direction().as_vec3();
        lanes::widest(
            #[inline(always)]
            || self.relative(&shape, to_sun, out),
        );
        scale(&self.level_sr, out, sky_w_m2);
    }

    #[inline(always)]
    fn relative(&self, shape: &Shape, sun: glam::Vec3, out: &mut [f32]) {
        let [a, b, c, d, e] = [shape.a, shape.b, shape.c, shape.d, shape.e].map(|v| v as f32);
        for (((l, x), y), z) in out.iter_mut().zip(&self.x).zip(&self.y).zip(&self.z) {
            let cos = x * sun.x + y * sun.y + z * sun.z;
            *l = 1.0 + c * lanes::exp(d * lanes::acos(cos)) + e * cos * cos;
        }
        let mut rest = out;
        for (count, inverse) in &self.rows {
            let (row, after) = rest.split_at_mut((*count).min(rest.len()));
            let gradation = 1.0 + a * lanes::exp(b * inverse);
            row.iter_mut().for_each(|l| *l = (*l * gradation).max(0.0));
            rest = after;
        }
    }
}

/// The five parameters of one sky.
struct Shape {
    /// Darkening (below 0) or brightening of the horizon.
    a: f64,
    /// Steepness towards the horizon.
    b: f64,
    /// Brightness about the sun.
    c: f64,
    /// Width about the sun.
    d: f64,
    /// Light scattered back.
    e: f64,
}

impl Shape {
    fn of(sun: SunPosition, beam: f64, sky: f64, extraterrestrial: f64) -> Self {
        let zenith = (std::f64::consts::FRAC_PI_2 - sun.elevation_rad).clamp(0.0, 1.57);
        // 1.041 is for angles in radians (Perez et al. 1990, eq. 1).
        let cubed = 1.041 * zenith.powi(3);
        let clearness = ((sky + beam.max(0.0)) / sky + cubed) / (1.0 + cubed);
        let class = CLEARNESS_ENDS.partition_point(|end| *end <= clearness);
        let brightness = sky * relative_air_mass(sun.elevation_rad) / extraterrestrial.max(1.0);
        // The fit knows no darker skies in the middle classes, and runs off there; limits as in the public
        // implementation of one of its authors' students (Delaunay 1994).
        let least = if (1..5).contains(&class) { 0.2 } else { 0.01 };
        let brightness = brightness.clamp(least, 0.6);

        let of = |x: [f64; 4]| x[0] + x[1] * zenith + brightness * (x[2] + x[3] * zenith);
        let [a, b, c, d, e] = COEFFICIENTS[class];
        let (c, d) = if class == 0 {
            (
                (brightness * (c[0] + c[1] * zenith)).powf(c[2]).exp() - c[3],
                d[2] - (brightness * (d[0] + d[1] * zenith)).exp() + brightness * d[3],
            )
        } else {
            (of(c), of(d))
        };
        Self {
            a: of(a),
            b: of(b),
            c,
            d,
            e: of(e),
        }
    }
}
