//! Cutting outlines into what can be drawn: triangles, hatch lines, walls beside a line.

use egui::{Pos2, Rect, pos2, vec2};

use crate::base::{Pt, geometry};

/// Triangles that fill an outline of any shape, as corner numbers (ear clipping; Meisters 1975).
pub(in crate::app::canvas) fn triangles(outline: &[Pt]) -> Vec<[u32; 3]> {
    let mut left: Vec<usize> = (0..outline.len()).collect();
    if geometry::signed_area(outline) < 0.0 {
        left.reverse();
    }
    let mut found = Vec::new();
    // Most outlines have no inward corner: then a fan does.
    let turns_in = |i: usize| {
        let n = outline.len();
        let [a, b, c] = [i, i + 1, i + 2].map(|k| outline[left[k % n]]);
        (b - a).cross(c - b) < 0.0
    };
    if outline.len() == 4 && !(0..4).any(turns_in) {
        return vec![
            [left[0] as u32, left[1] as u32, left[2] as u32],
            [left[0] as u32, left[2] as u32, left[3] as u32],
        ];
    }
    while left.len() > 3 {
        let n = left.len();
        let ear = (0..n).find(|i| {
            let corner = |k: usize| left[(i + k) % n];
            let [a, b, c] = [corner(0), corner(1), corner(2)].map(|k| outline[k]);
            (b - a).cross(c - b) > 0.0
                && left
                    .iter()
                    .filter(|k| ![corner(0), corner(1), corner(2)].contains(k))
                    .all(|k| !in_triangle(outline[*k], a, b, c))
        });
        // A crossing outline has no ear left: cut anywhere rather than draw nothing.
        let i = ear.unwrap_or(0);
        found.push([left[i % n], left[(i + 1) % n], left[(i + 2) % n]].map(|k| k as u32));
        left.remove((i + 1) % n);
    }
    if let [a, b, c] = left.as_slice() {
        found.push([*a as u32, *b as u32, *c as u32]);
    }
    found
}

fn in_triangle(p: Pt, a: Pt, b: Pt, c: Pt) -> bool {
    (b - a).cross(p - a) >= 0.0 && (c - b).cross(p - b) >= 0.0 && (a - c).cross(p - c) >= 0.0
}

/// Most lines of one hatch; beyond it would be a grey fill anyway.
const MOST_LINES: i32 = 600;

/// Parallel lines inside a path on the screen.
pub(super) fn hatch(
    path: &[Pos2],
    anchor: Pos2,
    angle_deg: f32,
    spacing: f32,
    seen: Rect,
) -> Vec<[Pos2; 2]> {
    let angle = angle_deg.to_radians();
    let along = vec2(angle.cos(), -angle.sin());
    let across = vec2(-along.y, along.x);
    let place = |p: Pos2| (p - anchor).dot(across);
    let span = |points: &[Pos2]| {
        points
            .iter()
            .fold((f32::INFINITY, f32::NEG_INFINITY), |(lo, hi), p| {
                (lo.min(place(*p)), hi.max(place(*p)))
            })
    };
    let (own, view) = (
        span(path),
        span(&[
            seen.left_top(),
            seen.right_top(),
            seen.left_bottom(),
            seen.right_bottom(),
        ]),
    );
    let (low, high) = (own.0.max(view.0), own.1.min(view.1));
    if high <= low || spacing <= 0.5 || !(high - low).is_finite() {
        return Vec::new();
    }
    let first = (low / spacing).ceil() as i32;
    let last = ((high / spacing).floor() as i32).min(first.saturating_add(MOST_LINES));
    let mut lines = Vec::new();
    for k in first..=last {
        // A hair off the corners, so that each edge is met on one side only.
        let level = k as f32 * spacing + 0.01;
        let mut cuts: Vec<f32> = (0..path.len())
            .filter_map(|i| {
                let (a, b) = (path[i], path[(i + 1) % path.len()]);
                let (pa, pb) = (place(a), place(b));
                ((pa > level) != (pb > level)).then(|| {
                    let share = (level - pa) / (pb - pa);
                    (a + (b - a) * share - anchor).dot(along)
                })
            })
            .collect();
        cuts.sort_by(f32::total_cmp);
        for pair in cuts.chunks_exact(2) {
            let at = |s: f32| {
                let v = along * s + across * level;
                pos2(anchor.x + v.x, anchor.y + v.y)
            };
            lines.push([at(pair[0]), at(pair[1])]);
        }
    }
    lines
}

/// An outline moved outwards by a distance, m (inwards if negative), with mitred corners.
#[must_use]
pub fn offset(outline: &[Pt], by_m: f64) -> Vec<Pt> {
    let n = outline.len();
    if n < 3 {
        return outline.to_vec();
    }
    let side = if geometry::signed_area(outline) >= 0.0 {
        -1.0
    } else {
        1.0
    };
    (0..n)
        .map(|i| {
            let (before, here, after) =
                (outline[(i + n - 1) % n], outline[i], outline[(i + 1) % n]);
            let u = (here - before).unit().left() * side;
            let v = (after - here).unit().left() * side;
            let bisector = u + v;
            let k = bisector.dot(bisector);
            // Sharp corners are cut at twice the distance.
            if k < 0.5 {
                here + u * by_m
            } else {
                here + bisector * (2.0 * by_m / k)
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const L: [Pt; 6] = [
        Pt(0.0, 0.0),
        Pt(4.0, 0.0),
        Pt(4.0, 1.0),
        Pt(1.0, 1.0),
        Pt(1.0, 3.0),
        Pt(0.0, 3.0),
    ];

    fn area(outline: &[Pt]) -> f64 {
        triangles(outline)
            .iter()
            .map(|t| geometry::signed_area(&t.map(|k| outline[k as usize])).abs())
            .sum()
    }

    #[test]
    fn triangles_cover_exactly_the_outline_either_way_round() {
        let mut back = L;
        back.reverse();
        for outline in [L, back] {
            assert_eq!(triangles(&outline).len(), 4);
            assert!((area(&outline) - 6.0).abs() < 1e-9);
        }
    }

    #[test]
    fn hatch_lines_stay_inside() {
        let path: Vec<Pos2> = L
            .iter()
            .map(|p| pos2(p.x() as f32 * 50.0, p.y() as f32 * 50.0))
            .collect();
        let seen = Rect::from_min_size(pos2(-10.0, -10.0), vec2(500.0, 500.0));
        let lines = hatch(&path, pos2(3.0, 4.0), 45.0, 7.0, seen);
        assert!(lines.len() > 20);
        for [a, b] in lines {
            let middle = a + (b - a) * 0.5;
            assert!(geometry::contains(
                &L,
                Pt(f64::from(middle.x) / 50.0, f64::from(middle.y) / 50.0)
            ));
        }
    }

    #[test]
    fn an_offset_outline_lies_at_its_distance() {
        let wide = offset(&L, 0.2);
        assert_eq!(wide[0], Pt(-0.2, -0.2));
        assert!(wide[3].distance(Pt(1.2, 1.2)) < 1e-9);
        let mut back = L;
        back.reverse();
        assert!(
            (geometry::signed_area(&offset(&back, 0.2)).abs() - geometry::signed_area(&wide)).abs()
                < 1e-9
        );
    }
}
