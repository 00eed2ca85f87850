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
    /// Corners that it is in line with, to be shown.
    pub with: [Option<Pt>; 2],
}

impl Rest {
    #[must_use]
    pub fn new(at: Pt, on: On) -> Self {
        Self {
            at,
            on,
            with: [None; 2],
        }
    }
}

/// In which directions a line may run on from its last corner.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Turn {
    #[default]
    Any,
    /// Multiples of 45 degrees.
    Eighths,
    /// This plan azimuth, degrees clockwise from plan-up.
    Exactly(f64),
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
    pub turn: Turn,
    /// Off: points lie where the pointer is.
    pub on: bool,
}

/// Where the pointer comes to rest.
#[must_use]
pub fn rest(p: Pt, guides: &Guides<'_>) -> Rest {
    if let Some(last) = guides.drawn.last() {
        let azimuth_rad = match guides.turn {
            Turn::Any => None,
            Turn::Eighths => {
                let (d, step) = (p - *last, TURN_DEG.to_radians());
                Some((d.x().atan2(d.y()) / step).round() * step)
            }
            Turn::Exactly(deg) => Some(deg.to_radians()),
        };
        if let Some(azimuth_rad) = azimuth_rad {
            return Rest {
                with: [Some(*last), None],
                ..Rest::new(on_ray(*last, azimuth_rad, p, guides.on), On::Line)
            };
        }
    }
    if !guides.on {
        return Rest::new(p, On::Free);
    }
    on_drawing(p, guides)
        .or_else(|| in_line(p, guides))
        .unwrap_or_else(|| Rest::new(to_grid(p), On::Grid))
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

fn on_ray(from: Pt, azimuth_rad: f64, p: Pt, rounded: bool) -> Pt {
    let ray = Pt::towards(azimuth_rad);
    let length = (p - from).dot(ray).max(0.0);
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
            best = Some((rank, distance, Rest::new(at, on)));
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

/// A line that a point can be in line with: where it comes from and which way it runs.
#[derive(Clone, Copy)]
struct Guide {
    from: Pt,
    along: Pt,
}

impl Guide {
    fn foot(self, p: Pt) -> Pt {
        self.from + self.along * (p - self.from).dot(self.along)
    }

    /// Where two meet; `None` if they run side by side.
    fn meets(self, other: Self) -> Option<Pt> {
        let cross = self.along.cross(other.along);
        if cross.abs() < 0.1 {
            return None;
        }
        let d = other.from - self.from;
        Some(self.from + self.along * (d.cross(other.along) / cross))
    }
}

/// Through every corner drawn so far level and upright; through first and last also along the last edge and square to it,
/// so that a house that stands askew on the plan has square corners too.
fn guide_lines(drawn: &[Pt]) -> Vec<Guide> {
    let mut lines = Vec::new();
    let mut add = |from: &Pt, along: Pt| lines.push(Guide { from: *from, along });
    for corner in drawn.iter().rev() {
        add(corner, Pt(1.0, 0.0));
        add(corner, Pt(0.0, 1.0));
    }
    if let (Some(first), [.., before, last]) = (drawn.first(), drawn) {
        let edge = (*last - *before).unit();
        if edge.length() > 0.0 {
            for corner in [last, first] {
                add(corner, edge.left());
                add(corner, edge);
            }
        }
    }
    lines
}

/// In line with one of the corners drawn so far; where two guides agree, both.
fn in_line(p: Pt, guides: &Guides<'_>) -> Option<Rest> {
    let mut near: Vec<(f64, Guide)> = guide_lines(guides.drawn)
        .into_iter()
        .map(|g| (g.foot(p).distance(p), g))
        .filter(|(distance, _)| *distance <= guides.reach_m)
        .collect();
    near.sort_by(|(a, _), (b, _)| a.total_cmp(b));
    let (_, first) = *near.first()?;
    // A little further than for one alone: the crossing lies askew of both.
    let crossing = near.iter().skip(1).find_map(|(_, other)| {
        let at = first.meets(*other)?;
        (at.distance(p) <= guides.reach_m * 1.5).then_some((at, other.from))
    });
    let tidied = |at: Pt| Pt(tidy(at.x()), tidy(at.y()));
    Some(match crossing {
        Some((at, other)) => Rest {
            with: [Some(first.from), Some(other)],
            ..Rest::new(tidied(at), On::Line)
        },
        None => {
            let along = (p - first.from).dot(first.along);
            // Level and upright lines keep to the grid's own steps.
            let level = first.along.x().abs() < 1e-9 || first.along.y().abs() < 1e-9;
            let at = if level && first.along.x().abs() > 0.5 {
                Pt(round(p.x()), first.from.y())
            } else if level {
                Pt(first.from.x(), round(p.y()))
            } else {
                first.from + first.along * round(along)
            };
            Rest {
                with: [Some(first.from), None],
                ..Rest::new(tidied(at), On::Line)
            }
        }
    })
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
                turn: if square { Turn::Eighths } else { Turn::Any },
                on,
            },
        )
    }

    #[test]
    fn corners_come_before_middles_and_those_before_edges() {
        assert_eq!(
            check(Pt(3.97, 0.04), &[], false, true),
            Rest::new(Pt(4.0, 0.0), On::Corner)
        );
        assert_eq!(
            check(Pt(4.03, 2.05), &[], false, true),
            Rest::new(Pt(4.0, 2.0), On::Middle)
        );
        assert_eq!(
            check(Pt(4.03, 1.33), &[], false, true),
            Rest::new(Pt(4.0, 1.33), On::Edge)
        );
    }

    #[test]
    fn elsewhere_the_grid_holds() {
        assert_eq!(
            check(Pt(-5.04, 7.33), &[], false, true),
            Rest::new(Pt(-5.0, 7.3), On::Grid)
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
                with: [Some(drawn[2]), Some(drawn[0])],
                ..Rest::new(Pt(-9.03, 8.02), On::Line)
            }
        );
    }

    #[test]
    fn askew_walls_get_square_corners() {
        // A wall that runs 3 across and 1 up; square to it is 1 back and 3 up.
        let drawn = [Pt(-12.0, 6.0), Pt(-9.0, 7.0)];
        let rest = check(Pt(-9.98, 9.95), &drawn, false, true);
        assert_eq!((rest.on, rest.with[0]), (On::Line, Some(drawn[1])));
        assert!((rest.at - drawn[1]).dot(drawn[1] - drawn[0]).abs() < 1e-4);
    }

    #[test]
    fn a_typed_angle_holds_the_line() {
        let site = fixture::site();
        let guides = Guides {
            site: &site,
            layers: &Layers::default(),
            without: &[],
            drawn: &[Pt(-6.0, 6.0)],
            reach_m: 0.08,
            turn: Turn::Exactly(30.0),
            on: false,
        };
        let d = rest(Pt(-4.0, 8.0), &guides).at - Pt(-6.0, 6.0);
        assert!((d.x().atan2(d.y()).to_degrees() - 30.0).abs() < 1e-4);
    }
}
