//! Bodies as convex flat pieces over a grid of cells: what a cell looks at is found by laying each piece's shadow on
//! the grid, not by following rays.

use glam::{DVec2, DVec3, Vec2, Vec3};

use super::Grid;
use crate::{
    base::Pt,
    light::{
        Scene,
        scene::{
            outline,
            soft::{Passes, Shape, Soft},
            solid::Solid,
        },
    },
};

/// A convex flat piece, in cells along x and y and metres above the cells' level.
#[derive(Clone, Debug)]
pub struct Piece {
    pub corners: Vec<Vec3>,
    /// Outwards, true directions.
    pub normal: Vec3,
    /// Height above the level at which a line from cell (x, y) along `dir` meets its plane:
    /// `(plane.x - plane.y * x - plane.z * y) * dir.z / normal · dir`.
    pub plane: Vec3,
    /// Upwards of the level: smallest and largest corner.
    pub low: Vec3,
    pub high: Vec3,
}

/// One body or part of a body.
#[derive(Clone, Debug)]
pub struct Body {
    pub form: Form,
    /// Place, form and make in numbers: equal keys shade alike.
    pub key: Vec<u32>,
    pub low: Vec3,
    pub high: Vec3,
}

#[derive(Clone, Debug)]
pub enum Form {
    /// The faces of a solid, each with its index.
    Solid {
        solid: u32,
        faces: Vec<(u16, Piece)>,
    },
    /// Convex parts of a sheet.
    Sheet { soft: u32, parts: Vec<Piece> },
    /// An ellipsoid: middle, radius in cells, half height in metres.
    Crown {
        soft: u32,
        middle: Vec3,
        radius: f32,
        half_height: f32,
    },
}

/// What a soft body lets through in each state.
#[derive(Clone, Debug)]
pub struct Law {
    pub by_state: Vec<Option<Passes>>,
    pub scatters: f32,
    /// Whether it scatters in each state.
    pub on: Vec<bool>,
}

/// All bodies that reach above the level of a grid, in an order that depends on nothing but what they are.
#[derive(Clone, Debug, Default)]
pub struct Bodies {
    pub list: Vec<Body>,
    /// By index of the scene's soft bodies.
    pub laws: Vec<Law>,
}

/// Where the cells of a grid lie in true directions.
#[derive(Clone, Copy, Debug)]
pub struct Frame {
    /// Middle of the first cell.
    pub base: DVec3,
    /// From a cell to the next, m.
    pub x: DVec2,
    pub y: DVec2,
    cell_m: f64,
}

impl Frame {
    pub fn of(scene: &Scene, grid: &Grid) -> Self {
        let turned = |p: Pt| scene.turn.point(p);
        let cell_m = grid.cell_m.max(1e-3);
        Self {
            base: turned(grid.origin).extend(grid.height_m + super::ABOVE_M),
            x: turned(Pt(1.0, 0.0)) * cell_m,
            y: turned(Pt(0.0, 1.0)) * cell_m,
            cell_m,
        }
    }

    /// A true point in cells and metres above the level.
    fn place(&self, p: DVec3) -> DVec3 {
        let d = p - self.base;
        let flat = d.truncate() / (self.cell_m * self.cell_m);
        DVec3::new(flat.dot(self.x), flat.dot(self.y), d.z)
    }

    /// Cells that a line along a true direction passes in a metre of height.
    pub fn slope(&self, dir: Vec3) -> Vec2 {
        let flat = dir.truncate().as_dvec2() / f64::from(dir.z.max(1e-6));
        let by = 1.0 / (self.cell_m * self.cell_m);
        DVec2::new(flat.dot(self.x) * by, flat.dot(self.y) * by).as_vec2()
    }

    fn piece(&self, corners: &[DVec3], normal: DVec3) -> Option<Piece> {
        let above = clip(corners, |p| p.z - self.base.z);
        if above.len() < 3 {
            return None;
        }
        let n = normal;
        let plane = DVec3::new(
            n.dot(above[0] - self.base),
            n.truncate().dot(self.x),
            n.truncate().dot(self.y),
        );
        let corners: Vec<Vec3> = above.iter().map(|p| self.place(*p).as_vec3()).collect();
        let (low, high) = bounds(&corners);
        Some(Piece {
            corners,
            normal: normal.as_vec3(),
            plane: plane.as_vec3(),
            low,
            high,
        })
    }
}

fn bounds(corners: &[Vec3]) -> (Vec3, Vec3) {
    corners
        .iter()
        .fold((Vec3::INFINITY, Vec3::NEG_INFINITY), |(lo, hi), c| {
            (lo.min(*c), hi.max(*c))
        })
}

/// The part of a convex polygon on which `side` is not negative.
fn clip(corners: &[DVec3], side: impl Fn(DVec3) -> f64) -> Vec<DVec3> {
    let mut kept = Vec::with_capacity(corners.len() + 1);
    for (i, a) in corners.iter().enumerate() {
        let b = corners[(i + 1) % corners.len()];
        let (sa, sb) = (side(*a), side(b));
        if sa >= 0.0 {
            kept.push(*a);
        }
        if (sa >= 0.0) != (sb >= 0.0) {
            kept.push(a.lerp(b, sa / (sa - sb)));
        }
    }
    kept
}

impl Bodies {
    pub fn of(scene: &Scene, frame: &Frame) -> Self {
        let mut list: Vec<Body> = Vec::new();
        for (k, solid) in scene.solids.iter().enumerate() {
            let faces: Vec<(u16, Piece)> = (0..solid.faces.len())
                .filter_map(|f| {
                    let normal = solid.faces[f].normal.as_dvec3();
                    let piece = frame.piece(&face_corners(solid, f), normal)?;
                    Some((f as u16, piece))
                })
                .collect();
            let solid = k as u32;
            push(&mut list, Form::Solid { solid, faces }, Vec::new());
        }
        let states = scene.states;
        let laws: Vec<Law> = (0..scene.softs.len())
            .map(|i| Law {
                by_state: (0..states).map(|s| scene.law(i, s)).collect(),
                scatters: scene.softs[i].scatters,
                on: (0..states).map(|s| scene.is_on(i, s)).collect(),
            })
            .collect();
        for (k, (soft, law)) in scene.softs.iter().zip(&laws).enumerate() {
            push(&mut list, soft_form(frame, k as u32, soft), law_key(law));
        }
        list.sort_by(|a, b| a.key.cmp(&b.key));
        Self { list, laws }
    }

    /// The bodies of either that the other lacks.
    pub fn differing<'a>(&'a self, other: &'a Self) -> Vec<&'a Body> {
        let mut changed = Vec::new();
        let (mut a, mut b) = (self.list.iter().peekable(), other.list.iter().peekable());
        loop {
            let order = match (a.peek(), b.peek()) {
                (None, None) => return changed,
                (Some(_), None) => std::cmp::Ordering::Less,
                (None, Some(_)) => std::cmp::Ordering::Greater,
                (Some(x), Some(y)) => x.key.cmp(&y.key),
            };
            if order.is_eq() {
                a.next();
                b.next();
            } else {
                changed.extend(if order.is_lt() { a.next() } else { b.next() });
            }
        }
    }
}

fn push(list: &mut Vec<Body>, form: Form, mut key: Vec<u32>) {
    let mut low = Vec3::INFINITY;
    let mut high = Vec3::NEG_INFINITY;
    let pieces: Vec<&Piece> = match &form {
        Form::Solid { faces, .. } => faces.iter().map(|(_, p)| p).collect(),
        Form::Sheet { parts, .. } => parts.iter().collect(),
        Form::Crown {
            middle,
            radius,
            half_height,
            ..
        } => {
            let r = Vec3::new(*radius, *radius, *half_height);
            (low, high) = (
                (*middle - r).max(Vec3::new(f32::MIN, f32::MIN, 0.0)),
                *middle + r,
            );
            key.extend(
                [*middle, r]
                    .iter()
                    .flat_map(|v| v.to_array())
                    .map(f32::to_bits),
            );
            Vec::new()
        }
    };
    for piece in pieces {
        low = low.min(piece.low);
        high = high.max(piece.high);
        let numbers = piece.corners.iter().flat_map(|c| c.to_array());
        key.extend(numbers.map(f32::to_bits));
        key.push(u32::MAX);
    }
    // What lies wholly below the cells shades none of them.
    if high.z > 0.0 {
        list.push(Body {
            form,
            key,
            low,
            high,
        });
    }
}

fn soft_form(frame: &Frame, index: u32, soft: &Soft) -> Form {
    match &soft.shape {
        Shape::Crown {
            middle,
            radius,
            half_height,
        } => Form::Crown {
            soft: index,
            middle: frame.place(middle.as_dvec3()).as_vec3(),
            radius: radius / frame.cell_m as f32,
            half_height: *half_height,
        },
        Shape::Sheet {
            origin,
            u,
            v,
            normal,
            corners,
        } => {
            let mut flat: Vec<DVec2> = corners.iter().map(|c| c.as_dvec2()).collect();
            if outline::area(&flat) < 0.0 {
                flat.reverse();
            }
            let parts = outline::convex_parts(&flat)
                .iter()
                .filter_map(|part| {
                    let solid: Vec<DVec3> = part
                        .iter()
                        .map(|c| origin.as_dvec3() + u.as_dvec3() * c.x + v.as_dvec3() * c.y)
                        .collect();
                    frame.piece(&solid, normal.as_dvec3())
                })
                .collect();
            Form::Sheet { soft: index, parts }
        }
    }
}

/// Numbers that tell laws apart.
fn law_key(law: &Law) -> Vec<u32> {
    let mut key = vec![1, law.scatters.to_bits()];
    for (passes, on) in law.by_state.iter().zip(&law.on) {
        key.push(u32::from(*on));
        // What it lets through along three lines tells every law from every other.
        let share = |cos, chord| passes.map_or(2.0, |p| p.share(cos, chord)).to_bits();
        key.extend([share(1.0, 1.0), share(0.5, 0.3), share(0.25, 0.1)]);
    }
    key
}

/// Corners of a face of a solid: a large square on its plane cut by all others.
pub fn face_corners(solid: &Solid, face: usize) -> Vec<DVec3> {
    let Some(own) = solid.faces.get(face) else {
        return Vec::new();
    };
    let (lo, hi) = (solid.bounds.lo.as_dvec3(), solid.bounds.hi.as_dvec3());
    let (middle, reach) = ((lo + hi) / 2.0, (hi - lo).length() + 1.0);
    let n = own.normal.as_dvec3();
    let foot = middle + n * (f64::from(own.offset) - n.dot(middle));
    let u = DVec3::Z.cross(n).normalize_or(DVec3::X);
    let v = n.cross(u);
    let mut corners = [(1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0), (1.0, -1.0)]
        .map(|(a, b)| foot + u * (a * reach) + v * (b * reach))
        .to_vec();
    for (k, other) in solid.faces.iter().enumerate() {
        if k != face && !corners.is_empty() {
            let m = other.normal.as_dvec3();
            corners = clip(&corners, |p| f64::from(other.offset) - m.dot(p));
        }
    }
    // Rays meet a solid only within its box; so do shadows.
    if !corners.is_empty() {
        corners = clip(&corners, |p| hi.z - p.z);
    }
    corners
}
