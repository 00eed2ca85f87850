//! The inside of a room: its walls, floor and ceiling, and the panes through which it sees out.

use glam::{DVec2, Vec2, Vec3};

use super::{
    glass::Panes,
    scene::{
        Own, Ray, Scene,
        build::{GLASSHOUSE_CLEAN, leans_on_a_building},
        outline,
    },
};
use crate::{
    base::{Id, calendar::hour_within},
    site::{Covering, CoveringKind, Glazing, Room, Site, WindowKind},
};

/// Deepest that a building may reach beyond a window before the window is taken to look into the building, m.
const DEEPEST_WALL_M: f32 = 1.0;
/// A covering hangs behind the plants only for those this near to the glass, m.
pub const BEHIND_PLANTS_M: f32 = 0.6;

/// A room's inside, in true directions.
#[derive(Clone, Debug)]
pub struct Enclosure {
    pub index: u16,
    /// Anticlockwise.
    pub corners: Vec<DVec2>,
    /// Smallest upright rectangle around them.
    pub low: DVec2,
    pub high: DVec2,
    pub floor: f64,
    pub ceiling: f64,
    pub convex: bool,
    pub wall_reflectance: f32,
    pub floor_reflectance: f32,
    pub ceiling_reflectance: f32,
    pub panes: Vec<Pane>,
}

/// An opening with glass.
#[derive(Clone, Debug)]
pub struct Pane {
    /// Corner on the inner face of the wall from which `u` and `v` run.
    pub corner: Vec3,
    pub u: Vec3,
    pub v: Vec3,
    /// Outwards.
    pub normal: Vec3,
    /// Along `u` and `v`, m.
    pub size: Vec2,
    /// Outline in the pane's frame where it isn't the whole rectangle.
    pub clip: Vec<Vec2>,
    /// Rectangles taken out of it (low corner, high corner).
    pub holes: Vec<(Vec2, Vec2)>,
    pub reveal: f32,
    pub outer_reveal: f32,
    pub panes: Panes,
    pub clean: f32,
    pub coverings: Vec<Covering>,
    pub own: Own,
    /// In the ceiling.
    pub roof: bool,
}

/// A way from a point in the room out through a pane.
#[derive(Clone, Copy, Debug)]
pub struct WayOut {
    /// On the outer face.
    pub at: Vec3,
    pub cos: f32,
}

pub fn enclosure(site: &Site, scene: &Scene, id: &Id, room: &Room, index: u16) -> Enclosure {
    let corners = scene.turn.outline(&room.outline);
    let (low, high) = corners
        .iter()
        .fold((DVec2::INFINITY, DVec2::NEG_INFINITY), |(lo, hi), c| {
            (lo.min(*c), hi.max(*c))
        });
    let mut inside = Enclosure {
        index,
        low,
        high,
        convex: outline::is_convex(&corners),
        floor: room.floor_m,
        ceiling: room.floor_m + room.height_m.max(0.1),
        wall_reflectance: room.wall_reflectance.clamp(0.0, 0.95) as f32,
        floor_reflectance: room.floor_reflectance.clamp(0.0, 0.95) as f32,
        ceiling_reflectance: room.ceiling_reflectance.clamp(0.0, 0.95) as f32,
        panes: Vec::new(),
        corners,
    };
    if inside.corners.is_empty() {
        return inside;
    }
    let plan: Vec<DVec2> = room.outline.iter().map(|p| scene.turn.point(*p)).collect();
    let anticlockwise = outline::area(&plan) > 0.0;
    let wall = |k: usize| {
        let (a, b) = (*plan.get(k)?, plan[(k + 1) % plan.len()]);
        let along = (b - a).normalize_or_zero();
        let out = if anticlockwise {
            -along.perp()
        } else {
            along.perp()
        };
        (a.distance(b) > 1e-6).then_some((a, along, out, a.distance(b)))
    };
    let height = inside.ceiling - inside.floor;
    let mut taken: Vec<Vec<(Vec2, Vec2)>> = vec![Vec::new(); plan.len()];
    for w in site.windows.values().filter(|w| w.room == *id) {
        let Some((a, along, out, length)) = wall(w.wall) else {
            continue;
        };
        let (left, right) = (
            w.from_corner_m.max(0.0),
            (w.from_corner_m + w.width_m).min(length),
        );
        let (low, high) = (w.sill_m.max(0.0), (w.sill_m + w.height_m).min(height));
        if right - left < 1e-3 || high - low < 1e-3 {
            continue;
        }
        taken[w.wall].push((
            Vec2::new(left as f32, low as f32),
            Vec2::new(right as f32, high as f32),
        ));
        if w.kind == WindowKind::Door {
            continue;
        }
        inside.panes.push(Pane {
            corner: (a + along * left).extend(inside.floor + low).as_vec3(),
            u: along.extend(0.0).as_vec3(),
            v: Vec3::Z,
            normal: out.extend(0.0).as_vec3(),
            size: Vec2::new((right - left) as f32, (high - low) as f32),
            clip: Vec::new(),
            holes: Vec::new(),
            reveal: w.reveal_m.max(0.0) as f32,
            outer_reveal: w.outer_reveal_m.max(0.0) as f32,
            panes: w.glazing.into(),
            clean: if w.glazing == Glazing::Open {
                1.0
            } else {
                w.clean.clamp(0.0, 1.0) as f32
            },
            coverings: w.coverings.clone(),
            own: Own::default(),
            roof: false,
        });
    }
    if let Some(glazing) = room.glazed_walls {
        for (k, holes) in taken.into_iter().enumerate() {
            let Some((a, along, out, length)) = wall(k) else {
                continue;
            };
            let [p, q, outwards] = [a, a + along * length, out].map(|v| scene.turn.back(v));
            if leans_on_a_building(site, room, p, q, outwards) {
                continue;
            }
            inside.panes.push(Pane {
                corner: a.extend(inside.floor).as_vec3(),
                u: along.extend(0.0).as_vec3(),
                v: Vec3::Z,
                normal: out.extend(0.0).as_vec3(),
                size: Vec2::new(length as f32, height as f32),
                clip: Vec::new(),
                holes,
                ..thin(glazing)
            });
        }
    }
    if let Some(glazing) = room.glazed_roof {
        inside.panes.push(Pane {
            corner: low.extend(inside.ceiling).as_vec3(),
            size: (high - low).as_vec2(),
            clip: inside
                .corners
                .iter()
                .map(|c| (*c - low).as_vec2())
                .collect(),
            roof: true,
            ..thin(glazing)
        });
    }
    for pane in &mut inside.panes {
        pane.own = own(scene, pane, index);
    }
    inside
}

/// A pane without reveals, level until said otherwise.
fn thin(glazing: Glazing) -> Pane {
    Pane {
        corner: Vec3::ZERO,
        u: Vec3::X,
        v: Vec3::Y,
        normal: Vec3::Z,
        size: Vec2::ZERO,
        clip: Vec::new(),
        holes: Vec::new(),
        reveal: 0.0,
        outer_reveal: 0.0,
        panes: glazing.into(),
        clean: GLASSHOUSE_CLEAN as f32,
        coverings: Vec::new(),
        own: Own::default(),
        roof: false,
    }
}

/// The masses out of which the pane looks: those whose wall it sits in, not those it looks into.
fn own(scene: &Scene, pane: &Pane, index: u16) -> Own {
    let middle = pane.corner + pane.u * (pane.size.x / 2.0) + pane.v * (pane.size.y / 2.0);
    let outer = middle + pane.normal * (pane.reveal + pane.outer_reveal);
    let mut masses = Vec::new();
    for nudge in [-0.03, 0.01] {
        let p = outer + pane.normal * nudge;
        for mass in scene.masses_at(p) {
            let ray = Ray::new(p, pane.normal);
            if !masses.contains(&mass)
                && (pane.roof || scene.depth(&ray, &[mass]) <= DEEPEST_WALL_M)
            {
                masses.push(mass);
            }
        }
    }
    masses.sort_unstable();
    Own {
        masses,
        room: Some(index),
        with_roof: pane.roof,
    }
}

impl Pane {
    pub fn area(&self) -> f32 {
        let whole = if self.clip.is_empty() {
            self.size.x * self.size.y
        } else {
            let n = self.clip.len();
            (0..n)
                .map(|i| self.clip[i].perp_dot(self.clip[(i + 1) % n]))
                .sum::<f32>()
                .abs()
                / 2.0
        };
        let holes: f32 = self
            .holes
            .iter()
            .map(|(a, b)| (b.x - a.x) * (b.y - a.y))
            .sum();
        (whole - holes).max(1e-4)
    }

    pub fn framed(&self, p: Vec2) -> bool {
        p.x >= 0.0 && p.y >= 0.0 && p.x <= self.size.x && p.y <= self.size.y
    }

    /// Whether there is glass at a place of the pane's frame.
    pub fn glass_at(&self, p: Vec2) -> bool {
        self.framed(p)
            && !self
                .holes
                .iter()
                .any(|(a, b)| p.cmpgt(*a).all() && p.cmplt(*b).all())
            && (self.clip.is_empty() || in_outline(&self.clip, p))
    }

    /// A point's place in the pane's frame.
    pub fn place(&self, p: Vec3) -> Vec2 {
        let d = p - self.corner;
        Vec2::new(d.dot(self.u), d.dot(self.v))
    }

    /// The way from a point in the room along a direction through the whole depth of the opening.
    pub fn way_out(&self, from: Vec3, dir: Vec3) -> Option<WayOut> {
        let slope = dir.dot(self.normal);
        if slope <= 1e-4 {
            return None;
        }
        let inner = (self.corner - from).dot(self.normal) / slope;
        let glass = inner + self.reveal / slope;
        if glass <= 0.0 || !self.glass_at(self.place(from + dir * glass)) {
            return None;
        }
        if self.reveal > 0.0 && inner > 0.0 && !self.framed(self.place(from + dir * inner)) {
            return None;
        }
        let outer = glass + self.outer_reveal / slope;
        if self.outer_reveal > 0.0 && !self.framed(self.place(from + dir * outer)) {
            return None;
        }
        Some(WayOut {
            at: from + dir * (outer + 2e-3 / slope),
            cos: slope,
        })
    }

    /// Whether a place in the room sees a place on the glass through the inner edge of the opening.
    pub fn shows(&self, from: Vec3, glass: Vec3) -> bool {
        let dir = glass - from;
        let slope = dir.dot(self.normal);
        if slope <= 1e-6 {
            return false;
        }
        let inner = (self.corner - from).dot(self.normal) / slope;
        inner <= 0.0 || self.framed(self.place(from + dir * inner))
    }

    /// Whether light that comes in against `dir` at a place of the glass clears the inner edge of the opening.
    pub fn clears_reveal(&self, glass: Vec3, dir: Vec3) -> Option<Vec3> {
        let slope = dir.dot(self.normal);
        let inner = glass - dir * (self.reveal / slope.max(1e-4));
        (self.reveal <= 0.0 || self.framed(self.place(inner))).then_some(inner)
    }

    /// Share of light that the clean and dirty glass lets through without scattering it, and scattered.
    pub fn glass_shares(&self, cos: f32) -> (f32, f32) {
        let t = self.clean * super::glass::passes(self.panes, cos);
        let s = self.panes.scattered();
        (t * (1.0 - s), t * s)
    }

    /// Share of even light from the room that the glass throws back into it.
    pub fn throws_back(&self) -> f32 {
        super::glass::throws_back(self.panes)
    }

    /// Middles and areas of pieces of the glass, on the glass, none larger than `largest` m.
    pub fn pieces(&self, largest: f32, least: usize) -> Vec<(Vec3, f32)> {
        let count = |l: f32| ((l / largest).ceil() as usize).clamp(least, 64);
        let (nx, ny) = (count(self.size.x), count(self.size.y));
        let step = self.size / Vec2::new(nx as f32, ny as f32);
        let origin = self.corner + self.normal * self.reveal;
        (0..nx * ny)
            .map(|k| Vec2::new((k % nx) as f32 + 0.5, (k / nx) as f32 + 0.5) * step)
            .filter(|p| self.glass_at(*p))
            .map(|p| (origin + self.u * p.x + self.v * p.y, step.x * step.y))
            .collect()
    }

    /// Shares (straight, scattered) that coverings leave in a month at a clock hour. `near`: seen from a plant
    /// between glass and covering.
    pub fn covered(&self, month0: usize, clock_h: f64, near: bool) -> (f32, f32) {
        self.coverings
            .iter()
            .filter(|c| {
                c.months.has(month0)
                    && hour_within(clock_h, c.from_h, c.to_h)
                    && !(near && c.behind_plants)
            })
            .fold((1.0, 0.0), |(straight, scattered), c| {
                let (s, d) = covering_shares(c.kind);
                (straight * s, scattered * (s + d) + straight * d)
            })
    }

    /// Distance from a point to the opening, m.
    pub fn distance(&self, p: Vec3) -> f32 {
        let at = self.place(p).clamp(Vec2::ZERO, self.size);
        let nearest = self.corner + self.u * at.x + self.v * at.y;
        let depth = (p - self.corner).dot(self.normal);
        if depth > 0.0 {
            (nearest + self.normal * depth).distance(p)
        } else {
            nearest.distance(p)
        }
    }
}

/// Share let through straight, and scattered (handbook orders of magnitude, from memory: net curtains let 40-60 %
/// through in all, half-open slats 20-35 %).
fn covering_shares(kind: CoveringKind) -> (f32, f32) {
    match kind {
        CoveringKind::NetCurtain => (0.30, 0.25),
        CoveringKind::InsectScreen => (0.65, 0.05),
        CoveringKind::Blind => (0.15, 0.17),
        CoveringKind::Curtain => (0.01, 0.03),
    }
}

fn in_outline(corners: &[Vec2], p: Vec2) -> bool {
    let mut inside = false;
    let n = corners.len();
    for i in 0..n {
        let (a, b) = (corners[i], corners[(i + 1) % n]);
        if (a.y > p.y) != (b.y > p.y) && p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x {
            inside = !inside;
        }
    }
    inside
}

impl Enclosure {
    /// Whether two points of the room see one another on the plan.
    pub fn clear_between(&self, a: Vec3, b: Vec3) -> bool {
        if self.convex {
            return true;
        }
        let (a, b) = (
            DVec2::new(a.x.into(), a.y.into()),
            DVec2::new(b.x.into(), b.y.into()),
        );
        // Ends drawn in a little: points on a wall do not count as behind it.
        let (a, b) = (a.lerp(b, 2e-3), b.lerp(a, 2e-3));
        !outline::edges(&self.corners).any(|(p, q)| {
            let (d, e) = (b - a, q - p);
            let cross = d.perp_dot(e);
            if cross.abs() < 1e-12 {
                return false;
            }
            let (s, t) = ((p - a).perp_dot(e) / cross, (p - a).perp_dot(d) / cross);
            s > 0.0 && s < 1.0 && (0.0..=1.0).contains(&t)
        })
    }

    /// The point itself if it lies in the room or in the depth of one of its windows, else the nearest place inside.
    pub fn drawn_in(&self, at: Vec3) -> Vec3 {
        let mut p = DVec2::new(at.x.into(), at.y.into());
        let in_reveal = self.panes.iter().any(|pane| {
            let depth = (at - pane.corner).dot(pane.normal);
            depth >= 0.0 && depth < pane.reveal && pane.framed(pane.place(at))
        });
        if !in_reveal && !self.corners.is_empty() && !outline::contains(&self.corners, p) {
            let nearest = outline::edges(&self.corners)
                .map(|(a, b)| {
                    let t = (p - a).dot(b - a) / (b - a).length_squared().max(1e-12);
                    // A hand's breadth from the corners and the wall.
                    let on = a.lerp(b, t.clamp(0.02, 0.98));
                    (on, (b - a).perp().normalize_or_zero())
                })
                .min_by(|x, y| x.0.distance(p).total_cmp(&y.0.distance(p)));
            if let Some((on, inwards)) = nearest {
                p = on + inwards * 0.05;
            }
        }
        let z =
            at.z.max(self.floor as f32 + 0.02)
                .min(self.ceiling as f32 - 0.05);
        p.as_vec2().extend(z)
    }

    /// Whether a way from a point of the room to the opening of a pane is free.
    pub fn reaches(&self, from: Vec3, pane: &Pane, way: &WayOut) -> bool {
        self.convex || {
            let inner = way.at - pane.normal * ((way.at - pane.corner).dot(pane.normal) + 5e-3);
            (pane.corner - from).dot(pane.normal) <= 0.0 || self.clear_between(from, inner)
        }
    }
}
