//! Bodies that let part of the light through: crowns, hedges, cloths, glass, open roofs.

use glam::{Vec2, Vec3};

use super::bvh::Box3;
use crate::{base::lanes, light::glass};

/// How much a body lets through.
#[derive(Clone, Copy, Debug)]
pub enum Passes {
    /// The same share from every side.
    Share(f32),
    /// A share square on; oblique light meets more of it: share^(1/cos), to 80° (knitted cloth, hedges, slats).
    Deep(f32),
    /// Panes and what share dirt and bars leave.
    Glass(glass::Panes, f32),
    /// Leaves filling a volume: exp(-k s) over s metres, never below a twentieth.
    Leaves { per_m: f32 },
}

/// Least share that a crown lets through: gaps (published for street trees; from memory).
const LEAST_THROUGH_CROWN: f32 = 0.05;
/// cos 80°.
const LEAST_COS: f32 = 0.173_648;

impl Passes {
    /// `cos` of the angle to the sheet's normal, `chord` the way through a volume, m.
    pub fn share(self, cos: f32, chord: f32) -> f32 {
        match self {
            Self::Share(t) => t,
            Self::Deep(t) => t.powf(1.0 / cos.max(LEAST_COS)),
            Self::Glass(panes, clean) => clean * glass::passes(panes, cos),
            Self::Leaves { per_m } => leaves_let_through(per_m * chord),
        }
    }
}

/// Share that leaves of an optical depth let through.
#[inline(always)]
pub fn leaves_let_through(depth: f32) -> f32 {
    lanes::exp(-depth).max(LEAST_THROUGH_CROWN)
}

#[derive(Clone, Debug)]
pub enum Shape {
    /// A flat polygon with its frame.
    Sheet {
        origin: Vec3,
        u: Vec3,
        v: Vec3,
        normal: Vec3,
        corners: Vec<Vec2>,
    },
    /// An upright ellipsoid.
    Crown {
        middle: Vec3,
        radius: f32,
        half_height: f32,
    },
}

#[derive(Clone, Debug)]
pub struct Soft {
    pub shape: Shape,
    pub bounds: Box3,
    /// What it lets through in the months of `months`, else `or`.
    pub passes: Passes,
    pub or: Option<Passes>,
    pub months: crate::base::Months,
    /// Share of what falls on it that goes on below as scattered light, 0..=1 (coloured cloth).
    pub scatters: f32,
    /// Its room, when it is part of the room's own shell.
    pub room: Option<u16>,
    /// What it was drawn as: an index into the scene's origins.
    pub origin: u16,
}

/// Where a ray meets a soft body.
#[derive(Clone, Copy, Debug)]
pub struct Meeting {
    pub at: f32,
    pub cos: f32,
    pub chord: f32,
}

impl Shape {
    pub fn sheet(origin: Vec3, u: Vec3, v: Vec3, corners: Vec<Vec2>) -> Self {
        Self::Sheet {
            origin,
            u,
            v,
            normal: u.cross(v).normalize_or(Vec3::Z),
            corners,
        }
    }

    pub fn bounds(&self) -> Box3 {
        let mut b = Box3::EMPTY;
        match self {
            Self::Sheet {
                origin,
                u,
                v,
                corners,
                ..
            } => {
                for c in corners {
                    b.add(*origin + *u * c.x + *v * c.y);
                }
            }
            Self::Crown {
                middle,
                radius,
                half_height,
            } => {
                let r = Vec3::new(*radius, *radius, *half_height);
                b.add(*middle - r);
                b.add(*middle + r);
            }
        }
        b.padded()
    }

    pub fn meet(&self, from: Vec3, dir: Vec3) -> Option<Meeting> {
        match self {
            Self::Sheet {
                origin,
                u,
                v,
                normal,
                corners,
            } => {
                let slope = normal.dot(dir);
                if slope.abs() < 1e-6 {
                    return None;
                }
                let at = normal.dot(*origin - from) / slope;
                if at <= 1e-4 {
                    return None;
                }
                let p = from + dir * at - *origin;
                inside(corners, Vec2::new(p.dot(*u), p.dot(*v))).then_some(Meeting {
                    at,
                    cos: slope.abs(),
                    chord: 0.0,
                })
            }
            Self::Crown {
                middle,
                radius,
                half_height,
            } => {
                let scale = Vec3::new(1.0 / radius, 1.0 / radius, 1.0 / half_height);
                let (o, d) = ((from - *middle) * scale, dir * scale);
                let (a, b, c) = (d.dot(d), o.dot(d), o.dot(o) - 1.0);
                let root = b * b - a * c;
                if root <= 0.0 {
                    return None;
                }
                let root = root.sqrt();
                let (enter, leave) = (((-b - root) / a).max(0.0), (-b + root) / a);
                (leave > enter).then_some(Meeting {
                    at: enter,
                    cos: 1.0,
                    chord: leave - enter,
                })
            }
        }
    }
}

fn inside(corners: &[Vec2], p: Vec2) -> bool {
    let mut inside = false;
    let mut a = match corners.last() {
        Some(last) => *last,
        None => return false,
    };
    for &b in corners {
        if (a.y > p.y) != (b.y > p.y) && p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x {
            inside = !inside;
        }
        a = b;
    }
    inside
}
