//! Solid bodies: convex pieces bounded by planes.

use glam::{DVec2, DVec3, Vec3};

use super::{bvh::Box3, outline};

/// A plane with its outward normal: inside is where `normal · p <= offset`.
#[derive(Clone, Copy, Debug)]
pub struct Face {
    pub normal: Vec3,
    pub offset: f32,
}

/// One convex piece of a solid body.
#[derive(Clone, Debug)]
pub struct Solid {
    pub faces: Vec<Face>,
    pub bounds: Box3,
    /// Pieces of one body share this.
    pub mass: u16,
    pub roof: bool,
    /// Share of light thrown back, 0..=1.
    pub reflectance: f32,
}

/// Where a ray is inside a piece: from `enter` to `leave` along it, m, and the face by which it enters.
#[derive(Clone, Copy, Debug)]
pub struct Span {
    pub enter: f32,
    pub leave: f32,
    pub face: usize,
}

impl Solid {
    pub fn span(&self, from: Vec3, dir: Vec3) -> Option<Span> {
        let (mut enter, mut leave, mut face) = (f32::NEG_INFINITY, f32::INFINITY, 0);
        for (k, f) in self.faces.iter().enumerate() {
            let slope = f.normal.dot(dir);
            let gap = f.offset - f.normal.dot(from);
            if slope.abs() < 1e-9 {
                if gap < 0.0 {
                    return None;
                }
            } else if slope > 0.0 {
                leave = leave.min(gap / slope);
            } else if gap / slope > enter {
                enter = gap / slope;
                face = k;
            }
            if enter >= leave {
                return None;
            }
        }
        Some(Span { enter, leave, face })
    }

    pub fn holds(&self, p: Vec3) -> bool {
        self.faces.iter().all(|f| f.normal.dot(p) <= f.offset)
    }
}

/// Builds pieces of one body.
pub struct Shaper {
    pub mass: u16,
    pub reflectance: f64,
}

impl Shaper {
    fn piece(
        &self,
        footprint: &[DVec2],
        z: (f64, f64),
        extra: &[(DVec3, f64)],
        roof: bool,
    ) -> Solid {
        let mut faces: Vec<Face> = outline::edges(footprint)
            .map(|(a, b)| {
                let n = DVec2::new(b.y - a.y, a.x - b.x).normalize_or_zero();
                face(n.extend(0.0), n.dot(a))
            })
            .collect();
        faces.push(face(DVec3::NEG_Z, -z.0));
        if extra.is_empty() {
            faces.push(face(DVec3::Z, z.1));
        }
        faces.extend(extra.iter().map(|(n, d)| face(*n, *d)));
        let mut bounds = Box3::EMPTY;
        for p in footprint {
            bounds.add(p.extend(z.0).as_vec3());
            bounds.add(p.extend(z.1).as_vec3());
        }
        Solid {
            faces,
            bounds: bounds.padded(),
            mass: self.mass,
            roof,
            reflectance: self.reflectance as f32,
        }
    }

    /// Upright walls over an outline (anticlockwise) from one height to another.
    pub fn prism(&self, corners: &[DVec2], low: f64, high: f64, roof: bool) -> Vec<Solid> {
        if high - low < 1e-6 {
            return Vec::new();
        }
        outline::convex_parts(corners)
            .iter()
            .map(|part| self.piece(part, (low, high), &[], roof))
            .collect()
    }

    /// A roof whose top is the lowest of some slopes, `normal · p = offset`, over an outline from a height up.
    pub fn sloped(
        &self,
        corners: &[DVec2],
        low: f64,
        high: f64,
        slopes: &[(DVec3, f64)],
    ) -> Vec<Solid> {
        if high - low < 1e-6 || slopes.is_empty() {
            return Vec::new();
        }
        outline::convex_parts(corners)
            .iter()
            .map(|part| self.piece(part, (low, high), slopes, true))
            .collect()
    }
}

fn face(normal: DVec3, offset: f64) -> Face {
    Face {
        normal: normal.as_vec3(),
        offset: offset as f32,
    }
}
