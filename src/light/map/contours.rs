//! Lines of equal light (marching squares; Lorensen & Cline 1987 in two dimensions), and round levels for them.

use std::collections::BTreeMap;

use super::Grid;
use crate::base::Pt;

/// A line along which a map has one value, plan metres. Closed lines end where they begin.
#[derive(Clone, Debug, PartialEq)]
pub struct Contour {
    pub level: f64,
    pub points: Vec<Pt>,
}

/// An edge between the middles of two neighbouring cells: the lower left one, and whether it runs upwards.
type Edge = (usize, usize, bool);

/// Lines at the given levels, in their order. None are drawn through squares of cells of which one has no value.
#[must_use]
pub fn contours(grid: &Grid, values: &[Option<f32>], levels: &[f64]) -> Vec<Contour> {
    levels
        .iter()
        .flat_map(|level| {
            let lines = lines(grid, values, *level).into_iter();
            lines.map(|points| Contour {
                level: *level,
                points,
            })
        })
        .collect()
}

/// Up to about `most` round levels (1, 2 or 5 times a power of ten apart) strictly between two values.
#[must_use]
pub fn round_levels(low: f64, high: f64, most: usize) -> Vec<f64> {
    let rough = (high - low) / most.max(1) as f64;
    if !rough.is_finite() || rough <= 0.0 {
        return Vec::new();
    }
    let power = 10_f64.powf(rough.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0]
        .map(|m| m * power)
        .into_iter()
        .find(|s| *s >= rough * (1.0 - 1e-9))
        .unwrap_or(10.0 * power);
    let first = (low / step).floor() as i64 + 1;
    (first..first + 2 * most as i64 + 2)
        .map(|k| k as f64 * step)
        .filter(|v| *v > low && *v < high)
        .collect()
}

fn lines(grid: &Grid, values: &[Option<f32>], level: f64) -> Vec<Vec<Pt>> {
    let at = |c: usize, r: usize| {
        values
            .get(r * grid.columns + c)
            .copied()
            .flatten()
            .map(f64::from)
    };
    let mut next: BTreeMap<Edge, Vec<Edge>> = BTreeMap::new();
    let mut place: BTreeMap<Edge, Pt> = BTreeMap::new();
    for r in 0..grid.rows.saturating_sub(1) {
        for c in 0..grid.columns.saturating_sub(1) {
            let (Some(a), Some(b), Some(d), Some(e)) =
                (at(c, r), at(c + 1, r), at(c + 1, r + 1), at(c, r + 1))
            else {
                continue;
            };
            let edges: [(Edge, f64, f64); 4] = [
                ((c, r, false), a, b),
                ((c + 1, r, true), b, d),
                ((c, r + 1, false), e, d),
                ((c, r, true), a, e),
            ];
            let crossed: Vec<Edge> = edges
                .iter()
                .filter(|(_, p, q)| (*p >= level) != (*q >= level))
                .map(|(edge, p, q)| {
                    let t = ((level - p) / (q - p)).clamp(0.0, 1.0);
                    let (x, y) = if edge.2 { (0.0, t) } else { (t, 0.0) };
                    let cell = Pt(edge.0 as f64 + x, edge.1 as f64 + y);
                    place.insert(*edge, grid.origin + cell * grid.cell_m);
                    *edge
                })
                .collect();
            let mut join = |p: Edge, q: Edge| {
                next.entry(p).or_default().push(q);
                next.entry(q).or_default().push(p);
            };
            match crossed.as_slice() {
                [p, q] => join(*p, *q),
                // A saddle: the middle decides which corners hang together.
                [bottom, right, top, left] => {
                    let middle = (a + b + d + e) / 4.0;
                    if (middle >= level) == (a >= level) {
                        join(*bottom, *right);
                        join(*top, *left);
                    } else {
                        join(*bottom, *left);
                        join(*top, *right);
                    }
                }
                _ => {}
            }
        }
    }
    follow(next, &place)
}

/// Joins the pieces into lines: first those with ends, then rings.
fn follow(mut next: BTreeMap<Edge, Vec<Edge>>, place: &BTreeMap<Edge, Pt>) -> Vec<Vec<Pt>> {
    let mut found = Vec::new();
    loop {
        let start = next
            .iter()
            .find(|(_, to)| to.len() == 1)
            .or_else(|| next.iter().find(|(_, to)| !to.is_empty()))
            .map(|(edge, _)| *edge);
        let Some(start) = start else {
            return found;
        };
        let mut line = vec![start];
        let mut here = start;
        while let Some(to) = next.get_mut(&here).and_then(Vec::pop) {
            if let Some(back) = next.get_mut(&to)
                && let Some(k) = back.iter().position(|e| *e == here)
            {
                back.swap_remove(k);
            }
            line.push(to);
            here = to;
        }
        for edge in &line {
            if next.get(edge).is_some_and(Vec::is_empty) {
                next.remove(edge);
            }
        }
        found.push(line.iter().filter_map(|e| place.get(e).copied()).collect());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn grid() -> Grid {
        Grid {
            origin: Pt(-5.0, -5.0),
            cell_m: 0.1,
            columns: 101,
            rows: 101,
            height_m: 0.0,
            storey_m: 0.0,
        }
    }

    #[test]
    fn the_contours_of_a_cone_are_circles() {
        let grid = grid();
        let cone: Vec<Option<f32>> = (0..grid.cells())
            .map(|k| Some(grid.plan_point(k).distance(Pt(0.0, 0.0)) as f32))
            .collect();
        for line in contours(&grid, &cone, &[1.0, 2.5, 4.0]) {
            assert_eq!(line.points.first(), line.points.last());
            for p in &line.points {
                // Between cells a cone bends by no more than h²/8r.
                assert!((p.distance(Pt(0.0, 0.0)) - line.level).abs() < 0.002);
            }
            let length: f64 = line.points.windows(2).map(|w| w[0].distance(w[1])).sum();
            assert!((length / line.level - std::f64::consts::TAU).abs() < 0.03);
        }
        assert_eq!(contours(&grid, &cone, &[1.0, 2.5, 4.0]).len(), 3);
    }

    #[test]
    fn a_line_breaks_off_where_nothing_is_known() {
        let grid = grid();
        let slope: Vec<Option<f32>> = (0..grid.cells())
            .map(|k| {
                let p = grid.plan_point(k);
                (p.y().abs() > 0.31).then_some(p.x() as f32)
            })
            .collect();
        let lines = contours(&grid, &slope, &[0.05]);
        assert_eq!(lines.len(), 2);
        assert!(
            lines
                .iter()
                .flat_map(|l| &l.points)
                .all(|p| (p.x() - 0.05).abs() < 1e-6)
        );
    }

    #[test]
    fn levels_are_round() {
        assert_eq!(round_levels(0.3, 9.7, 5), [2.0, 4.0, 6.0, 8.0]);
        assert_eq!(round_levels(0.0, 41.0, 6), [10.0, 20.0, 30.0, 40.0]);
        assert!(round_levels(3.0, 3.0, 6).is_empty() && round_levels(0.0, f64::NAN, 6).is_empty());
    }
}
