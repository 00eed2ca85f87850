//! Plane geometry of the plan. Metres; x to the right of the plan, y up the plan; angles in radians.

use serde::{Deserialize, Serialize};

/// A point or vector on the plan, m. In a file: `(3.2, -1.5)`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Pt(pub f64, pub f64);

impl Pt {
    #[must_use]
    pub fn x(self) -> f64 {
        self.0
    }

    #[must_use]
    pub fn y(self) -> f64 {
        self.1
    }

    #[must_use]
    pub fn dot(self, o: Self) -> f64 {
        self.0 * o.0 + self.1 * o.1
    }

    /// z of the cross product: positive when `o` lies to the left of `self`.
    #[must_use]
    pub fn cross(self, o: Self) -> f64 {
        self.0 * o.1 - self.1 * o.0
    }

    #[must_use]
    pub fn length(self) -> f64 {
        self.0.hypot(self.1)
    }

    #[must_use]
    pub fn distance(self, o: Self) -> f64 {
        (self - o).length()
    }

    /// Length 1, or zero if it has no length.
    #[must_use]
    pub fn unit(self) -> Self {
        let l = self.length();
        if l > 0.0 {
            self * (1.0 / l)
        } else {
            Self(0.0, 0.0)
        }
    }

    /// Turned a quarter to the left.
    #[must_use]
    pub fn left(self) -> Self {
        Self(-self.1, self.0)
    }

    #[must_use]
    pub fn lerp(self, o: Self, t: f64) -> Self {
        self + (o - self) * t
    }

    /// Unit vector towards an azimuth on the plan, clockwise from plan-up, radians.
    #[must_use]
    pub fn towards(azimuth_rad: f64) -> Self {
        Self(azimuth_rad.sin(), azimuth_rad.cos())
    }

    #[must_use]
    pub fn is_finite(self) -> bool {
        self.0.is_finite() && self.1.is_finite()
    }
}

impl std::ops::Add for Pt {
    type Output = Self;
    fn add(self, o: Self) -> Self {
        Self(self.0 + o.0, self.1 + o.1)
    }
}

impl std::ops::Sub for Pt {
    type Output = Self;
    fn sub(self, o: Self) -> Self {
        Self(self.0 - o.0, self.1 - o.1)
    }
}

impl std::ops::Mul<f64> for Pt {
    type Output = Self;
    fn mul(self, k: f64) -> Self {
        Self(self.0 * k, self.1 * k)
    }
}

/// Signed area of a polygon, m²: positive when its corners run anticlockwise.
#[must_use]
pub fn signed_area(outline: &[Pt]) -> f64 {
    edges(outline).map(|(a, b)| a.cross(b)).sum::<f64>() * 0.5
}

/// The edges of a closed polygon; the last one leads back to the first corner.
pub fn edges(outline: &[Pt]) -> impl Iterator<Item = (Pt, Pt)> + '_ {
    (0..outline.len()).map(|i| (outline[i], outline[(i + 1) % outline.len()]))
}

/// Whether a point lies in a polygon (even-odd rule).
#[must_use]
pub fn contains(outline: &[Pt], p: Pt) -> bool {
    let mut inside = false;
    for (a, b) in edges(outline) {
        if (a.1 > p.1) != (b.1 > p.1) && p.0 < (b.0 - a.0) * (p.1 - a.1) / (b.1 - a.1) + a.0 {
            inside = !inside;
        }
    }
    inside
}

/// Area-weighted middle of a polygon; the mean of the corners if it has no area.
#[must_use]
pub fn centroid(outline: &[Pt]) -> Pt {
    let area = signed_area(outline);
    if area.abs() < 1e-9 {
        let n = outline.len().max(1) as f64;
        return outline.iter().fold(Pt(0.0, 0.0), |s, p| s + *p) * (1.0 / n);
    }
    let sum = edges(outline).fold(Pt(0.0, 0.0), |s, (a, b)| s + (a + b) * a.cross(b));
    sum * (1.0 / (6.0 * area))
}

/// Nearest point of a segment, and its place along it, 0..=1.
#[must_use]
pub fn nearest_on_segment(a: Pt, b: Pt, p: Pt) -> (Pt, f64) {
    let d = b - a;
    let l2 = d.dot(d);
    let t = if l2 > 0.0 {
        ((p - a).dot(d) / l2).clamp(0.0, 1.0)
    } else {
        0.0
    };
    (a + d * t, t)
}

/// Distance from a point to the rim of a polygon, m.
#[must_use]
pub fn distance_to_rim(outline: &[Pt], p: Pt) -> f64 {
    edges(outline)
        .map(|(a, b)| nearest_on_segment(a, b, p).0.distance(p))
        .fold(f64::INFINITY, f64::min)
}

/// Lower-left and upper-right corner of the smallest upright rectangle around the points.
#[must_use]
pub fn bounds(points: impl IntoIterator<Item = Pt>) -> Option<(Pt, Pt)> {
    points.into_iter().fold(None, |box_, p| {
        let (lo, hi) = box_.unwrap_or((p, p));
        Some((
            Pt(lo.0.min(p.0), lo.1.min(p.1)),
            Pt(hi.0.max(p.0), hi.1.max(p.1)),
        ))
    })
}

/// Whether two segments cross or touch; shared end points count.
#[must_use]
pub fn segments_meet(a: Pt, b: Pt, c: Pt, d: Pt) -> bool {
    fn side(a: Pt, b: Pt, p: Pt) -> f64 {
        (b - a).cross(p - a)
    }
    fn on(a: Pt, b: Pt, p: Pt) -> bool {
        p.0 >= a.0.min(b.0) && p.0 <= a.0.max(b.0) && p.1 >= a.1.min(b.1) && p.1 <= a.1.max(b.1)
    }
    let (s1, s2, s3, s4) = (side(a, b, c), side(a, b, d), side(c, d, a), side(c, d, b));
    if ((s1 > 0.0 && s2 < 0.0) || (s1 < 0.0 && s2 > 0.0))
        && ((s3 > 0.0 && s4 < 0.0) || (s3 < 0.0 && s4 > 0.0))
    {
        return true;
    }
    (s1 == 0.0 && on(a, b, c))
        || (s2 == 0.0 && on(a, b, d))
        || (s3 == 0.0 && on(c, d, a))
        || (s4 == 0.0 && on(c, d, b))
}

/// Whether a polygon's edges meet only at their shared corners.
#[must_use]
pub fn is_simple(outline: &[Pt]) -> bool {
    let n = outline.len();
    if n < 3 {
        return false;
    }
    for i in 0..n {
        for j in i + 1..n {
            let neighbours = j == i + 1 || (i == 0 && j == n - 1);
            let (a, b) = (outline[i], outline[(i + 1) % n]);
            let (c, d) = (outline[j], outline[(j + 1) % n]);
            if neighbours {
                // Two edges that share a corner may still fold back on one another.
                let (shared, p, q) = if j == i + 1 { (b, a, d) } else { (a, b, c) };
                if (p - shared).cross(q - shared) == 0.0 && (p - shared).dot(q - shared) > 0.0 {
                    return false;
                }
            } else if segments_meet(a, b, c, d) {
                return false;
            }
        }
    }
    true
}

#[cfg(test)]
mod tests {
    use super::*;

    const SQUARE: [Pt; 4] = [Pt(0.0, 0.0), Pt(2.0, 0.0), Pt(2.0, 2.0), Pt(0.0, 2.0)];

    #[test]
    fn area_middle_and_inside_of_a_square() {
        assert_eq!(signed_area(&SQUARE), 4.0);
        assert_eq!(centroid(&SQUARE), Pt(1.0, 1.0));
        assert!(contains(&SQUARE, Pt(0.5, 1.9)));
        assert!(!contains(&SQUARE, Pt(2.5, 1.0)));
        assert!((distance_to_rim(&SQUARE, Pt(1.0, 0.75)) - 0.75).abs() < 1e-12);
    }

    #[test]
    fn crossing_and_folding_outlines_are_not_simple() {
        assert!(is_simple(&SQUARE));
        assert!(!is_simple(&[
            Pt(0.0, 0.0),
            Pt(2.0, 2.0),
            Pt(2.0, 0.0),
            Pt(0.0, 2.0)
        ]));
        assert!(!is_simple(&[
            Pt(0.0, 0.0),
            Pt(4.0, 0.0),
            Pt(2.0, 0.0),
            Pt(2.0, 2.0)
        ]));
        assert!(!is_simple(&SQUARE[..2]));
    }

    #[test]
    fn azimuth_runs_clockwise_from_up() {
        let east = Pt::towards(std::f64::consts::FRAC_PI_2);
        assert!(east.distance(Pt(1.0, 0.0)) < 1e-12);
        assert!(Pt(1.0, 0.0).left().distance(Pt(0.0, 1.0)) < 1e-12);
    }
}
