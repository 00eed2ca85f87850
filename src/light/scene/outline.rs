//! Outlines in true directions: turning, growing, cutting into convex parts.

use glam::DVec2;

use crate::base::Pt;

/// Turns plan coordinates into true ones: x east, y north.
#[derive(Clone, Copy, Debug)]
pub struct Turn {
    sin: f64,
    cos: f64,
}

impl Default for Turn {
    fn default() -> Self {
        Self::by(0.0)
    }
}

impl Turn {
    /// `plan_north_deg` is the true azimuth to which plan-up points.
    pub fn by(plan_north_deg: f64) -> Self {
        let (sin, cos) = plan_north_deg.to_radians().sin_cos();
        Self { sin, cos }
    }

    pub fn point(self, p: Pt) -> DVec2 {
        DVec2::new(
            p.0 * self.cos + p.1 * self.sin,
            p.1 * self.cos - p.0 * self.sin,
        )
    }

    /// Back from true directions to the plan.
    pub fn back(self, p: DVec2) -> Pt {
        Pt(
            p.x * self.cos - p.y * self.sin,
            p.y * self.cos + p.x * self.sin,
        )
    }

    /// The corners turned, running anticlockwise, without doubled corners. Empty if there is no area.
    pub fn outline(self, outline: &[Pt]) -> Vec<DVec2> {
        let mut corners: Vec<DVec2> = outline.iter().map(|p| self.point(*p)).collect();
        corners.dedup_by(|a, b| a.distance_squared(*b) < 1e-12);
        if corners.len() > 1 && corners[0].distance_squared(corners[corners.len() - 1]) < 1e-12 {
            corners.pop();
        }
        let area = area(&corners);
        if corners.len() < 3 || area.abs() < 1e-9 || !area.is_finite() {
            return Vec::new();
        }
        if area < 0.0 {
            corners.reverse();
        }
        corners
    }
}

/// Signed area, m²; positive anticlockwise.
pub fn area(corners: &[DVec2]) -> f64 {
    edges(corners).map(|(a, b)| a.perp_dot(b)).sum::<f64>() * 0.5
}

pub fn edges(corners: &[DVec2]) -> impl Iterator<Item = (DVec2, DVec2)> + '_ {
    (0..corners.len()).map(|i| (corners[i], corners[(i + 1) % corners.len()]))
}

pub fn contains(corners: &[DVec2], p: DVec2) -> bool {
    let mut inside = false;
    for (a, b) in edges(corners) {
        if (a.y > p.y) != (b.y > p.y) && p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x {
            inside = !inside;
        }
    }
    inside
}

pub fn is_convex(corners: &[DVec2]) -> bool {
    let n = corners.len();
    (0..n).all(|i| {
        let (a, b, c) = (corners[i], corners[(i + 1) % n], corners[(i + 2) % n]);
        (b - a).perp_dot(c - b) >= -1e-9
    })
}

/// An anticlockwise outline grown outwards by `by` metres with mitred corners.
pub fn grown(corners: &[DVec2], by: f64) -> Vec<DVec2> {
    if by.abs() < 1e-9 {
        return corners.to_vec();
    }
    let n = corners.len();
    (0..n)
        .map(|i| {
            let (before, here, after) =
                (corners[(i + n - 1) % n], corners[i], corners[(i + 1) % n]);
            let out = |d: DVec2| DVec2::new(d.y, -d.x).normalize_or_zero();
            let (m, k) = (out(here - before), out(after - here));
            // The mitre lies along the sum of the two normals; a very sharp corner is cut short.
            let along = (m + k) / (1.0 + m.dot(k)).max(0.2);
            here + along * by
        })
        .collect()
}

/// Corners of the smallest rectangle along the longest wall that holds the outline, and unit vectors along its
/// long and its short side: (middle, half sizes along those vectors, long, short).
pub fn rectangle(corners: &[DVec2]) -> (DVec2, DVec2, DVec2, DVec2) {
    let along = edges(corners)
        .map(|(a, b)| b - a)
        .max_by(|a, b| a.length_squared().total_cmp(&b.length_squared()))
        .unwrap_or(DVec2::X)
        .normalize_or(DVec2::X);
    let across = along.perp();
    let (mut lo, mut hi) = (DVec2::INFINITY, DVec2::NEG_INFINITY);
    for c in corners {
        let p = DVec2::new(c.dot(along), c.dot(across));
        lo = lo.min(p);
        hi = hi.max(p);
    }
    let (mid, half) = ((lo + hi) / 2.0, (hi - lo) / 2.0);
    let middle = along * mid.x + across * mid.y;
    if half.x >= half.y {
        (middle, half, along, across)
    } else {
        (middle, DVec2::new(half.y, half.x), across, -along)
    }
}

/// Cuts an anticlockwise outline into convex parts: ears first, then parts are joined again where they may be.
pub fn convex_parts(corners: &[DVec2]) -> Vec<Vec<DVec2>> {
    if corners.len() < 3 {
        return Vec::new();
    }
    if is_convex(corners) {
        return vec![corners.to_vec()];
    }
    let mut rest: Vec<usize> = (0..corners.len()).collect();
    let mut parts: Vec<Vec<usize>> = Vec::new();
    while rest.len() > 3 {
        let n = rest.len();
        let ear = (0..n).find(|&i| {
            let (a, b, c) = (rest[(i + n - 1) % n], rest[i], rest[(i + 1) % n]);
            let (pa, pb, pc) = (corners[a], corners[b], corners[c]);
            (pb - pa).perp_dot(pc - pb) > 1e-12
                && rest
                    .iter()
                    .filter(|k| ![a, b, c].contains(k))
                    .all(|&k| !in_triangle(pa, pb, pc, corners[k]))
        });
        // A crossing outline has no ear left; what is cut off then is wrong, but it ends.
        let i = ear.unwrap_or(0);
        parts.push(vec![rest[(i + n - 1) % n], rest[i], rest[(i + 1) % n]]);
        rest.remove(i);
    }
    parts.push(rest);
    while let Some((i, j, joined)) = first_join(corners, &parts) {
        parts[i] = joined;
        parts.remove(j);
    }
    parts
        .into_iter()
        .map(|part| part.into_iter().map(|k| corners[k]).collect::<Vec<_>>())
        .filter(|part| area(part) > 1e-9)
        .collect()
}

fn in_triangle(a: DVec2, b: DVec2, c: DVec2, p: DVec2) -> bool {
    let side = |u: DVec2, v: DVec2| (v - u).perp_dot(p - u) >= -1e-12;
    side(a, b) && side(b, c) && side(c, a)
}

/// The first two parts that share an edge and are convex together.
fn first_join(corners: &[DVec2], parts: &[Vec<usize>]) -> Option<(usize, usize, Vec<usize>)> {
    for i in 0..parts.len() {
        for j in i + 1..parts.len() {
            let (p, q) = (&parts[i], &parts[j]);
            for a in 0..p.len() {
                let (u, v) = (p[a], p[(a + 1) % p.len()]);
                let Some(b) = (0..q.len()).find(|&b| q[b] == v && q[(b + 1) % q.len()] == u) else {
                    continue;
                };
                let mut joined: Vec<usize> = (1..=p.len()).map(|k| p[(a + k) % p.len()]).collect();
                joined.extend((2..q.len()).map(|k| q[(b + k) % q.len()]));
                let shape: Vec<DVec2> = joined.iter().map(|k| corners[*k]).collect();
                if is_convex(&shape) {
                    return Some((i, j, joined));
                }
            }
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    fn l_shape() -> Vec<DVec2> {
        [(0., 0.), (4., 0.), (4., 2.), (2., 2.), (2., 4.), (0., 4.)]
            .map(|(x, y)| DVec2::new(x, y))
            .to_vec()
    }

    #[test]
    fn an_l_is_two_convex_parts_of_the_same_area() {
        let parts = convex_parts(&l_shape());
        assert_eq!(parts.len(), 2);
        assert!(parts.iter().all(|p| is_convex(p)));
        assert!((parts.iter().map(|p| area(p)).sum::<f64>() - 12.0).abs() < 1e-12);
    }

    #[test]
    fn growing_moves_every_wall_outwards() {
        // 4 x 4 less 2 x 2 becomes 5 x 5 less 2 x 2.
        assert!((area(&grown(&l_shape(), 0.5)) - 21.0).abs() < 1e-9);
    }

    #[test]
    fn plan_up_points_to_its_true_azimuth() {
        let east = Turn::by(90.0).point(Pt(0.0, 1.0));
        assert!(east.distance(DVec2::X) < 1e-12);
    }
}
