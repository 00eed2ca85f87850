//! Where a pointer comes to rest: corners, middles, edges, straight lines, the grid.

use super::{
    layers::Layers,
    shape::{self, Item, Shape},
};
use crate::{
    base::{Pt, geometry},
    site::Site,
};

/// Step to which free points are rounded, m.
pub const GRID_M: f64 = 0.1;
/// Lines from the last corner come to rest at multiples of this angle.
const TURN_DEG: f64 = 45.0;

/// What a point came to rest on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum On {
    Corner,
    Middle,
    Edge,
    /// Level with, or square to, an earlier corner.
    Line,
    Grid,
    Free,
}

impl On {
    /// In the grower's words, beside the pointer.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Corner => "corner",
            Self::Middle => "middle",
            Self::Edge => "edge",
            Self::Line => "in line",
            Self::Grid | Self::Free => "",
        }
    }
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rest {
    pub at: Pt,
    pub on: On,
}

/// What to come to rest on.
pub struct Guides<'a> {
    pub site: &'a Site,
    pub layers: &'a Layers,
    /// Objects that are being moved themselves.
    pub without: &'a [Item],
    /// Corners drawn so far.
    pub drawn: &'a [Pt],
    /// How near is near enough, m.
    pub reach_m: f64,
    /// Only multiples of 45 degrees from the last corner.
    pub square: bool,
    /// Off: points lie where the pointer is.
    pub on: bool,
}

/// Where the pointer comes to rest.
#[must_use]
pub fn rest(p: Pt, guides: &Guides<'_>) -> Rest {
    if guides.square
        && let Some(last) = guides.drawn.last()
    {
        return Rest {
            at: on_ray(*last, p, guides.on),
            on: On::Line,
        };
    }
    if !guides.on {
        return Rest {
            at: p,
            on: On::Free,
        };
    }
    if let Some(found) = on_drawing(p, guides) {
        return found;
    }
    if let Some(at) = in_line(p, guides) {
        return Rest { at, on: On::Line };
    }
    Rest {
        at: to_grid(p),
        on: On::Grid,
    }
}

/// Rounded to the grid.
#[must_use]
pub fn to_grid(p: Pt) -> Pt {
    Pt(round(p.x()), round(p.y()))
}

/// A length rounded to the grid, m.
#[must_use]
pub fn round(metres: f64) -> f64 {
    // Through whole steps, so that 0.3 is 0.3 and not 0.30000000000000004.
    (metres / GRID_M).round() / (1.0 / GRID_M).round()
}

fn on_ray(from: Pt, p: Pt, rounded: bool) -> Pt {
    let d = p - from;
    let step = TURN_DEG.to_radians();
    let turn = (d.x().atan2(d.y()) / step).round() * step;
    let ray = Pt::towards(turn);
    let length = d.dot(ray).max(0.0);
    let at = from + ray * if rounded { round(length) } else { length };
    // Along the axes sines of whole turns are not quite zero.
    Pt(tidy(at.x()), tidy(at.y()))
}

fn tidy(v: f64) -> f64 {
    (v * 1e6).round() / 1e6
}

fn on_drawing(p: Pt, guides: &Guides<'_>) -> Option<Rest> {
    let mut best: Option<(usize, f64, Rest)> = None;
    let mut offer = |rank: usize, at: Pt, on: On| {
        let distance = at.distance(p);
        if distance <= guides.reach_m && best.is_none_or(|(r, d, _)| (rank, distance) < (r, d)) {
            best = Some((rank, distance, Rest { at, on }));
        }
    };
    for corner in guides.drawn {
        offer(0, *corner, On::Corner);
    }
    for item in shape::items(guides.site) {
        if guides.without.contains(&item) || !guides.layers.shows(item.0) {
            continue;
        }
        match shape::shape(guides.site, &item) {
            Some(Shape::Area(outline)) => {
                for (a, b) in geometry::edges(&outline) {
                    offer(0, a, On::Corner);
                    offer(1, a.lerp(b, 0.5), On::Middle);
                    offer(2, geometry::nearest_on_segment(a, b, p).0, On::Edge);
                }
            }
            Some(Shape::Line(line)) => {
                for w in line.windows(2) {
                    offer(0, w[0], On::Corner);
                    offer(0, w[1], On::Corner);
                    offer(1, w[0].lerp(w[1], 0.5), On::Middle);
                    offer(2, geometry::nearest_on_segment(w[0], w[1], p).0, On::Edge);
                }
            }
            Some(Shape::Disc { at, .. }) => offer(1, at, On::Middle),
            None => {}
        }
    }
    best.map(|(.., rest)| rest)
}

/// Level with or above one of the corners drawn so far; where two agree, both.
fn in_line(p: Pt, guides: &Guides<'_>) -> Option<Pt> {
    let near = |a: f64, b: f64| (a - b).abs() <= guides.reach_m;
    let x = guides
        .drawn
        .iter()
        .rev()
        .map(|c| c.x())
        .find(|x| near(*x, p.x()));
    let y = guides
        .drawn
        .iter()
        .rev()
        .map(|c| c.y())
        .find(|y| near(*y, p.y()));
    match (x, y) {
        (None, None) => None,
        (x, y) => Some(Pt(
            x.unwrap_or_else(|| round(p.x())),
            y.unwrap_or_else(|| round(p.y())),
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::canvas::fixture;

    fn check(p: Pt, drawn: &[Pt], square: bool, on: bool) -> Rest {
        let site = fixture::site();
        rest(
            p,
            &Guides {
                site: &site,
                layers: &Layers::default(),
                without: &[],
                drawn,
                reach_m: 0.08,
                square,
                on,
            },
        )
    }

    #[test]
    fn corners_come_before_middles_and_those_before_edges() {
        assert_eq!(
            check(Pt(3.97, 0.04), &[], false, true),
            Rest {
                at: Pt(4.0, 0.0),
                on: On::Corner
            }
        );
        assert_eq!(
            check(Pt(4.03, 2.05), &[], false, true),
            Rest {
                at: Pt(4.0, 2.0),
                on: On::Middle
            }
        );
        assert_eq!(
            check(Pt(4.03, 1.33), &[], false, true),
            Rest {
                at: Pt(4.0, 1.33),
                on: On::Edge
            }
        );
    }

    #[test]
    fn elsewhere_the_grid_holds() {
        assert_eq!(
            check(Pt(-5.04, 7.33), &[], false, true),
            Rest {
                at: Pt(-5.0, 7.3),
                on: On::Grid
            }
        );
        assert_eq!(
            check(Pt(-5.04, 7.33), &[], false, false).at,
            Pt(-5.04, 7.33)
        );
    }

    #[test]
    fn squared_lines_run_at_multiples_of_45_degrees_with_round_lengths() {
        let from = [Pt(-6.0, 6.0)];
        assert_eq!(check(Pt(-8.33, 6.2), &from, true, true).at, Pt(-8.3, 6.0));
        let slanting = check(Pt(-8.0, 8.1), &from, true, true).at - from[0];
        assert!((slanting.x() + slanting.y()).abs() < 1e-5);
        assert!((slanting.length() - 2.9).abs() < 1e-5);
    }

    #[test]
    fn a_fourth_corner_falls_in_line_with_first_and_third() {
        let drawn = [Pt(-9.03, 5.07), Pt(-6.0, 5.07), Pt(-6.0, 8.02)];
        assert_eq!(
            check(Pt(-9.0, 8.0), &drawn, false, true),
            Rest {
                at: Pt(-9.03, 8.02),
                on: On::Line
            }
        );
    }
}
