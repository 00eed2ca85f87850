//! How much light panes let through, by the angle at which it meets them.

use std::sync::LazyLock;

use crate::site::Glazing;

/// Kinds of pane with tables of their own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Panes {
    Single,
    Double,
    DoubleLowE,
    Triple,
    Obscured,
    Polycarbonate,
    Open,
}

const KINDS: [Panes; 7] = [
    Panes::Single,
    Panes::Double,
    Panes::DoubleLowE,
    Panes::Triple,
    Panes::Obscured,
    Panes::Polycarbonate,
    Panes::Open,
];
/// Refractive index of window glass.
const INDEX: f64 = 1.526;
/// Absorption in a pane met square on.
const ABSORPTION: f64 = 0.02;
const STEPS: usize = 256;

impl From<Glazing> for Panes {
    fn from(glazing: Glazing) -> Self {
        match glazing {
            Glazing::Single => Self::Single,
            Glazing::Double => Self::Double,
            Glazing::DoubleLowE => Self::DoubleLowE,
            Glazing::Triple => Self::Triple,
            Glazing::Obscured => Self::Obscured,
            Glazing::Polycarbonate => Self::Polycarbonate,
            Glazing::Open => Self::Open,
        }
    }
}

impl Panes {
    /// Number of clear panes it behaves like, and what it lets through square on where that differs
    /// (low-e double 0.78, triple with coatings 0.70, patterned glass 0.80, twin-wall polycarbonate 0.80: makers'
    /// figures, from memory).
    fn make(self) -> (usize, Option<f64>) {
        match self {
            Self::Single => (1, None),
            Self::Double => (2, None),
            Self::DoubleLowE => (2, Some(0.78)),
            Self::Triple => (3, Some(0.70)),
            Self::Obscured => (1, Some(0.80)),
            Self::Polycarbonate => (2, Some(0.80)),
            Self::Open => (0, Some(1.0)),
        }
    }

    /// Share of the light let through that is scattered: patterned glass and twin walls show no clear picture.
    pub fn scattered(self) -> f32 {
        match self {
            Self::Obscured => 1.0,
            Self::Polycarbonate => 0.9,
            _ => 0.0,
        }
    }
}

/// Share of visible light that `panes` clear panes let through at an angle whose cosine is given: Fresnel's
/// equations at both faces of each pane, absorption, and all reflections between the panes, mean of both
/// polarisations (Duffie & Beckman 2013, ch. 5).
#[must_use]
pub fn clear_panes(panes: usize, cos: f64) -> f64 {
    through_and_back(panes, cos).0
}

/// The same, and the share thrown back.
fn through_and_back(panes: usize, cos: f64) -> (f64, f64) {
    if panes == 0 {
        return (1.0, 0.0);
    }
    let cos = cos.clamp(0.0, 1.0);
    if cos < 1e-9 {
        return (0.0, 1.0);
    }
    let inside = (1.0 - (1.0 - cos * cos) / (INDEX * INDEX)).sqrt();
    let through = (-ABSORPTION / inside).exp();
    let square = ((cos - INDEX * inside) / (cos + INDEX * inside)).powi(2);
    let level = ((INDEX * cos - inside) / (INDEX * cos + inside)).powi(2);
    let [a, b] = [square, level].map(|r| {
        let t1 = through * (1.0 - r) * (1.0 - r) / (1.0 - r * r * through * through);
        let r1 = r * (1.0 + through * t1);
        let (mut t, mut back) = (t1, r1);
        for _ in 1..panes {
            let between = 1.0 - back * r1;
            (t, back) = (t * t1 / between, r1 + t1 * t1 * back / between);
        }
        (t, back)
    });
    (f64::midpoint(a.0, b.0), f64::midpoint(a.1, b.1))
}

/// Share of even light from all sides that clean panes throw back, by kind.
static BACK: LazyLock<[f32; 7]> = LazyLock::new(|| {
    KINDS.map(|kind| {
        let panes = kind.make().0;
        let back = |k: usize| {
            let cos = (k as f64 + 0.5) / STEPS as f64;
            through_and_back(panes, cos).1 * 2.0 * cos / STEPS as f64
        };
        (0..STEPS).map(back).sum::<f64>() as f32
    })
});

/// Share of even light from all sides that clean panes throw back; coatings are left out.
#[must_use]
pub fn throws_back(panes: Panes) -> f32 {
    BACK[panes as usize]
}

static TABLES: LazyLock<[Vec<f32>; 7]> = LazyLock::new(|| {
    KINDS.map(|kind| {
        let (panes, square_on) = kind.make();
        let scale = square_on.map_or(1.0, |t| t / clear_panes(panes, 1.0));
        (0..=STEPS)
            .map(|k| (scale * clear_panes(panes, k as f64 / STEPS as f64)) as f32)
            .collect()
    })
});

/// Share of light that clean panes let through, by the cosine of the angle to their normal.
#[must_use]
pub fn passes(panes: Panes, cos: f32) -> f32 {
    let table = &TABLES[panes as usize];
    let x = cos.clamp(0.0, 1.0) * STEPS as f32;
    let k = (x as usize).min(STEPS - 1);
    let part = x - k as f32;
    table[k] * (1.0 - part) + table[k + 1] * part
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Duffie & Beckman 2013, sec. 5.1 and fig. 5.1.3: of glass of 1.526 without absorption, sheets let through 0.92,
    /// 0.85 and 0.79 square on; even light from all sides is let through as at about 60°.
    #[test]
    fn what_is_thrown_back_goes_with_what_is_let_through() {
        for (panes, kind) in [(1, Panes::Single), (2, Panes::Double), (3, Panes::Triple)] {
            let (t, r) = through_and_back(panes, 0.5);
            let lost = 1.0 - t - r;
            assert!(
                lost > 0.015 * panes as f64 && lost < 0.03 * panes as f64,
                "{lost}"
            );
            assert!(
                (f64::from(throws_back(kind)) - r).abs() < 0.03,
                "{kind:?}: {r}"
            );
        }
        assert_eq!(throws_back(Panes::Open), 0.0);
        let single = throws_back(Panes::Single);
        assert!(single > 0.13 && single < 0.18, "{single}");
    }

    #[test]
    fn validate_clear_panes_against_reference_values() {
        // Fresnel values of an independent Python calculation, n 1.526, absorption 0.02 a pane, at 0, 45, 60, 70, 80 degrees.
        for (panes, row) in [
            (1, [0.899, 0.881, 0.821, 0.704, 0.440]),
            (2, [0.813, 0.792, 0.721, 0.571, 0.285]),
            (3, [0.740, 0.722, 0.654, 0.487, 0.205]),
        ] {
            for (angle, expected) in [0.0_f64, 45.0, 60.0, 70.0, 80.0].into_iter().zip(row) {
                let t = clear_panes(panes, angle.to_radians().cos());
                assert!((t - expected).abs() < 1.1e-3, "{panes} at {angle}: {t}");
                if panes == 1 {
                    assert!(
                        (f64::from(passes(Panes::Single, angle.to_radians().cos() as f32)) - t)
                            .abs()
                            < 1e-3
                    );
                }
            }
        }
    }

    #[test]
    fn validate_hemispherical_means() {
        for (panes, expected) in [(1, 0.826), (2, 0.727), (3, 0.655)] {
            let n = 2000;
            let mean: f64 = (0..n)
                .map(|k| {
                    let sin2 = (k as f64 + 0.5) / n as f64;
                    clear_panes(panes, (1.0 - sin2).sqrt())
                })
                .sum::<f64>()
                / n as f64;
            assert!((mean - expected).abs() < 1.5e-3, "{panes}: {mean}");
        }
    }
}
