//! The sides of an opening in the wall: those on the room's side of the glass pass light on into the room, those
//! outside it are lit from the open and seen through the glass.

use std::f32::consts::FRAC_1_PI;

use glam::{Vec2, Vec3};

use super::{Surface, add};
use crate::light::{
    cells::Cell,
    flow::{Flow, SUNS},
    room::Pane,
    scene::{Ray, Shares},
    works::Works,
};

/// White paint or plaster (common practice, no source).
const REFLECTANCE: f32 = 0.7;
/// Pieces of a side are about this long, and this deep, m.
const LONG_M: f32 = 0.5;
const DEEP_M: f32 = 0.25;
/// Shallower than this there is no side, m.
const SHALLOWEST_M: f32 = 0.02;

/// Sill, head, and the sides where the pane's `u` begins and ends.
pub const SIDES: usize = 4;

/// The pieces of an opening's inner sides among the surfaces of a room.
#[derive(Clone, Copy, Debug, Default)]
pub struct Pieces {
    first: usize,
    /// Along each side, and from the glass inwards.
    long: [usize; SIDES],
    deep: usize,
}

/// A place on a side: which, how far along it and how far from the glass, 0..=1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Struck {
    pub side: usize,
    along: f32,
    depth: f32,
}

impl Pieces {
    pub fn surface_at(&self, at: Struck) -> Option<u16> {
        let long = *self.long.get(at.side)?;
        if self.deep == 0 {
            return None;
        }
        let before: usize = self.long[..at.side].iter().sum();
        let step = |share: f32, n: usize| ((share.max(0.0) * n as f32) as usize).min(n - 1);
        let k = before + step(at.along, long);
        Some((self.first + k * self.deep + step(at.depth, self.deep)) as u16)
    }

    pub fn range(&self) -> std::ops::Range<usize> {
        let count = self.long.iter().sum::<usize>() * self.deep;
        self.first..self.first + count
    }
}

/// Puts the pieces of a pane's inner sides behind the surfaces of a room.
pub fn inner_sides(pane: &Pane, list: &mut Vec<Surface>) -> Pieces {
    if pane.reveal < SHALLOWEST_M {
        return Pieces::default();
    }
    let count = |l: f32, of: f32| ((l / of).round() as usize).clamp(1, 6);
    let mut pieces = Pieces {
        first: list.len(),
        long: [0; SIDES],
        deep: count(pane.reveal, DEEP_M),
    };
    for side in 0..SIDES {
        let frame = Frame::of(pane, side);
        let n = count(frame.length, LONG_M);
        pieces.long[side] = n;
        let (du, dv) = (
            frame.along * (frame.length / n as f32),
            pane.normal * (pane.reveal / pieces.deep as f32),
        );
        for k in 0..n * pieces.deep {
            let (i, j) = (
                (k / pieces.deep) as f32 + 0.5,
                (k % pieces.deep) as f32 + 0.5,
            );
            list.push(Surface {
                middle: frame.corner + pane.normal * pane.reveal + du * i - dv * j,
                normal: frame.normal,
                u: du / 2.0,
                v: dv / 2.0,
                area: du.length() * dv.length(),
                reflectance: REFLECTANCE,
            });
        }
    }
    pieces
}

/// Share of the light that falls into an opening from the room and comes back out: what reaches the glass meets
/// `glass`, what meets a side first is thrown back and half of that leaves again.
pub fn thrown_back(pane: &Pane, glass: f32) -> f32 {
    if pane.reveal < SHALLOWEST_M {
        return glass;
    }
    let reaches = facing(pane.size.x / pane.reveal, pane.size.y / pane.reveal);
    glass * reaches + REFLECTANCE / 2.0 * (1.0 - reaches)
}

/// View factor between equal rectangles that face each other, sides by distance (Hottel; Howell's catalogue C-11).
fn facing(x: f32, y: f32) -> f32 {
    let (x, y) = (f64::from(x.max(1e-3)), f64::from(y.max(1e-3)));
    let (xx, yy) = (1.0 + x * x, 1.0 + y * y);
    let sum = (xx * yy / (xx + yy - 1.0)).sqrt().ln()
        + x * yy.sqrt() * (x / yy.sqrt()).atan()
        + y * xx.sqrt() * (y / xx.sqrt()).atan()
        - x * x.atan()
        - y * y.atan();
    (2.0 / (std::f64::consts::PI * x * y) * sum).clamp(0.0, 1.0) as f32
}

/// A side's edge on the inner face of the wall.
struct Frame {
    corner: Vec3,
    along: Vec3,
    length: f32,
    /// Into the opening.
    normal: Vec3,
}

impl Frame {
    fn of(pane: &Pane, side: usize) -> Self {
        let Vec2 { x, y } = pane.size;
        let (shift, along, length, normal) = match side {
            0 => (Vec3::ZERO, pane.u, x, pane.v),
            1 => (pane.v * y, pane.u, x, -pane.v),
            2 => (Vec3::ZERO, pane.v, y, pane.u),
            _ => (pane.u * x, pane.v, y, -pane.u),
        };
        Self {
            corner: pane.corner + shift,
            along,
            length,
            normal,
        }
    }
}

/// The side that is met on the way from a place on the glass along a direction, within `depth` m of the glass.
pub fn struck(pane: &Pane, glass: Vec3, dir: Vec3, depth: f32) -> Option<Struck> {
    let slope = dir.dot(pane.normal).abs();
    let start = pane.place(glass);
    let step = Vec2::new(dir.dot(pane.u), dir.dot(pane.v));
    let reach = |from: f32, by: f32, size: f32| {
        if by < -1e-9 {
            -from / by
        } else if by > 1e-9 {
            (size - from) / by
        } else {
            f32::INFINITY
        }
    };
    let (tx, ty) = (
        reach(start.x, step.x, pane.size.x),
        reach(start.y, step.y, pane.size.y),
    );
    let t = tx.min(ty);
    if !t.is_finite() || t * slope > depth {
        return None;
    }
    let at = start + step * t;
    let (side, along) = if ty <= tx {
        (usize::from(step.y > 0.0), at.x / pane.size.x)
    } else {
        (2 + usize::from(step.x > 0.0), at.y / pane.size.y)
    };
    Some(Struck {
        side,
        along,
        depth: t * slope / depth,
    })
}

/// The outer side that is met from a place on the glass along a direction outwards.
pub fn outer_side(pane: &Pane, glass: Vec3, dir: Vec3) -> Option<usize> {
    if pane.outer_reveal < SHALLOWEST_M || !pane.glass_at(pane.place(glass)) {
        return None;
    }
    struck(pane, glass, dir, pane.outer_reveal).map(|s| s.side)
}

/// Whether a place in the room sees one in the opening: the line between them goes through the opening's inner edge.
pub fn seen_through(pane: &Pane, at: Vec3, piece: Vec3) -> bool {
    let (here, there) = (
        (at - pane.corner).dot(pane.normal),
        (piece - pane.corner).dot(pane.normal),
    );
    // Both in the opening.
    here >= 0.0 || pane.framed(pane.place(at.lerp(piece, here / (here - there))))
}

/// Form factor from a small piece to another.
pub fn form(a: &Surface, b: &Surface) -> f32 {
    let d = b.middle - a.middle;
    let square = d.length_squared().max(1e-9);
    let cos = d.dot(a.normal).max(0.0) * (-d.dot(b.normal)).max(0.0) / square;
    cos * b.area * FRAC_1_PI / square.max(0.36 * b.area)
}

/// Light that the outer sides throw on, W/m² of their surface; nothing where the glass is flush with the wall.
pub fn outer_sides(works: &Works<'_>, pane: &Pane) -> Vec<Flow> {
    if pane.outer_reveal < SHALLOWEST_M {
        return Vec::new();
    }
    (0..SIDES)
        .map(|side| {
            let mut flow = Flow::none(works);
            flow.add(&fallen_on(works, pane, side), REFLECTANCE);
            flow
        })
        .collect()
}

/// Light on the middle of an outer side, from what it sees of the open.
fn fallen_on(works: &Works<'_>, pane: &Pane, side: usize) -> Flow {
    let frame = Frame::of(pane, side);
    let at = frame.corner
        + frame.along * (frame.length / 2.0)
        + frame.normal * 0.005
        + pane.normal * (pane.reveal + pane.outer_reveal / 2.0);
    let out = |dir: Vec3| {
        let slope = dir.dot(pane.normal);
        if slope <= 1e-3 || dir.dot(frame.normal) <= 0.0 {
            return None;
        }
        let edge = at + dir * (pane.outer_reveal / 2.0 / slope);
        pane.framed(pane.place(edge))
            .then(|| edge + dir * (2e-3 / slope))
    };
    let (n, states) = (works.dome.groups, works.scene.states);
    let mut flow = Flow::none(works);
    let mut cells: std::collections::BTreeMap<Cell, Shares> = std::collections::BTreeMap::new();
    for r in &works.coarse {
        for dir in [r.dir, Vec3::new(r.dir.x, r.dir.y, -r.dir.z)] {
            let Some(start) = out(dir) else { continue };
            let weight = dir.dot(frame.normal) * r.sr;
            let group = usize::from(works.dome.group_of[usize::from(r.patch)]);
            let sky = &mut flow.sky;
            works.look(
                &Ray::new(start, dir),
                &pane.own,
                |shares| {
                    for state in 0..states {
                        sky[state * n + group] += shares[state] * weight;
                    }
                },
                |cell, shares| add(cells.entry(cell).or_default(), shares, weight * FRAC_1_PI),
            );
        }
    }
    for (cell, shares) in cells {
        flow.add_by_state(works, &works.exitance(cell), &shares);
    }
    for s in 0..SUNS {
        let Some(dir) = works.sun(s, side) else {
            continue;
        };
        if let Some(start) = out(dir) {
            let ray = Ray::new(start, dir);
            let seen = works
                .scene
                .beam_share(&ray, &pane.own, works.state_of_sun(s));
            flow.beam[s] += seen * dir.dot(frame.normal);
        }
    }
    flow
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn validate_facing_rectangles_against_the_tables() {
        // Howell's catalogue C-11: squares as far apart as they are long see 0.1998 of each other; twice as long 0.4153.
        assert!((facing(1.0, 1.0) - 0.1998).abs() < 2e-4);
        assert!((facing(2.0, 2.0) - 0.4153).abs() < 2e-4);
        assert!(facing(1e4, 1e4) > 0.999);
    }
}
