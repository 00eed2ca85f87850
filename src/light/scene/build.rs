//! From the drawn objects to bodies.

use std::sync::Arc;

use glam::{DVec2, DVec3, Vec2, Vec3};

use super::{
    Scene,
    bvh::Bvh,
    outline::{self, Turn},
    soft::{Passes, Shape, Soft},
    solid::{Shaper, Solid},
};
use crate::{
    base::{Id, Months, Pt},
    light::{glass::Panes, room},
    site::{
        Building, Canopy, Cloth, ClothColour, Leafing, Roof, Room, Screen, ScreenKind, Site, Tree,
        Weave, edit::ObjectKind,
    },
};

/// Thickness of a flat roof above the top of the walls, and of ceilings and floors of rooms that stand alone, m.
const ROOF_M: f64 = 0.12;
/// Walls of rooms that stand in no building, m.
const WALL_M: f64 = 0.15;
/// What glazing bars leave of a glazed wall or roof, times what dirt leaves: 0.9 each (common practice, no source).
pub const GLASSHOUSE_CLEAN: f64 = 0.81;
/// Leaf projection of a spherical leaf-angle distribution, and clumping of leaves in a garden tree's crown.
const LEAF_PROJECTION: f64 = 0.5;
const CLUMPING: f64 = 0.7;
/// Area of twigs and branches of a bare tree, m² per m² ground (from memory; gives 0.5-0.7 through a bare crown).
const WOOD_AREA_INDEX: f64 = 0.5;
/// Share of what a cloth keeps out and throws back that comes out below as scattered light.
const CLOTH_DOWNWARD: f64 = 0.3;
/// Undersides of porch roofs and balconies (common practice, no source).
const CANOPY_REFLECTANCE: f64 = 0.4;
/// Tiles and roofing (common practice, no source).
const ROOF_REFLECTANCE: f64 = 0.2;

#[derive(Default)]
struct Parts {
    turn: Turn,
    solids: Vec<Solid>,
    softs: Vec<Soft>,
    masses: u16,
    /// What has been drawn so far, and which of it each mass is.
    origins: Vec<(ObjectKind, Id)>,
    origin_of_mass: Vec<u16>,
}

impl Parts {
    /// What is built from here on belongs to this object.
    fn begin(&mut self, kind: ObjectKind, id: &Id) {
        self.origins.push((kind, id.clone()));
    }

    fn origin(&self) -> u16 {
        self.origins
            .len()
            .saturating_sub(1)
            .min(usize::from(u16::MAX)) as u16
    }

    fn shaper(&mut self, reflectance: f64) -> Shaper {
        let mass = self.masses;
        let origin = self.origin();
        self.origin_of_mass.push(origin);
        self.masses = self.masses.saturating_add(1);
        Shaper { mass, reflectance }
    }

    fn soft(
        &mut self,
        shape: Shape,
        passes: Passes,
        or: Option<Passes>,
        months: Months,
    ) -> &mut Soft {
        self.softs.push(Soft {
            bounds: shape.bounds(),
            shape,
            passes,
            or,
            months,
            scatters: 0.0,
            room: None,
            origin: self.origin(),
        });
        let last = self.softs.len() - 1;
        &mut self.softs[last]
    }
}

pub fn scene(site: &Site) -> Scene {
    let mut parts = Parts {
        turn: Turn::by(site.place.plan_north_deg),
        ..Parts::default()
    };
    for (id, b) in site.buildings.iter() {
        parts.begin(ObjectKind::Building, id);
        building(&mut parts, b);
    }
    let own_mass: Vec<bool> = site.rooms.values().map(|r| stands_alone(site, r)).collect();
    for (k, ((id, r), alone)) in site.rooms.iter().zip(&own_mass).enumerate() {
        if *alone {
            parts.begin(ObjectKind::Room, id);
            lone_room(&mut parts, site, r, k as u16);
        }
    }
    for (id, c) in site.canopies.iter() {
        parts.begin(ObjectKind::Canopy, id);
        canopy(&mut parts, c);
    }
    for (id, s) in site.screens.iter() {
        parts.begin(ObjectKind::Screen, id);
        screen(&mut parts, s);
    }
    for (id, t) in site.trees.iter() {
        parts.begin(ObjectKind::Tree, id);
        tree(&mut parts, t);
    }
    for (id, c) in site.cloths.iter() {
        parts.begin(ObjectKind::Cloth, id);
        cloth(&mut parts, c);
    }
    finish(parts, site)
}

fn finish(mut parts: Parts, site: &Site) -> Scene {
    parts
        .solids
        .retain(|s| s.bounds.lo.is_finite() && s.bounds.hi.is_finite());
    parts
        .softs
        .retain(|s| s.bounds.lo.is_finite() && s.bounds.hi.is_finite());
    let boxes = |b: Vec<_>| Bvh::of(&b);
    let mut masses = vec![Vec::new(); usize::from(parts.masses)];
    for (i, s) in parts.solids.iter().enumerate() {
        masses[usize::from(s.mass)].push(i as u32);
    }
    let mut patterns: Vec<Vec<bool>> = Vec::new();
    let mut state_of_month = [0; 12];
    for (month0, state) in state_of_month.iter_mut().enumerate() {
        let pattern: Vec<bool> = parts.softs.iter().map(|s| s.months.has(month0)).collect();
        let k = patterns
            .iter()
            .position(|p| *p == pattern)
            .unwrap_or_else(|| {
                patterns.push(pattern);
                patterns.len() - 1
            });
        *state = k as u8;
    }
    let soft_on = (0..parts.softs.len())
        .map(|i| {
            patterns
                .iter()
                .enumerate()
                .fold(0, |bits, (k, p)| bits | u16::from(p[i]) << k)
        })
        .collect();
    let mut grounds: Vec<(Vec<DVec2>, f32)> = site
        .grounds
        .values()
        .map(|g| {
            let r = g.reflectance.unwrap_or(g.kind.reflectance());
            (parts.turn.outline(&g.outline), r.clamp(0.0, 1.0) as f32)
        })
        .filter(|(corners, _)| !corners.is_empty())
        .collect();
    // A small surface lies on a large one.
    grounds.sort_by(|a, b| outline::area(&a.0).total_cmp(&outline::area(&b.0)));
    let mut scene = Scene {
        turn: parts.turn,
        solid_tree: boxes(parts.solids.iter().map(|s| s.bounds).collect()),
        soft_tree: boxes(parts.softs.iter().map(|s| s.bounds).collect()),
        solids: parts.solids,
        masses,
        soft_on,
        softs: parts.softs,
        origins: parts.origins,
        origin_of_mass: parts.origin_of_mass,
        state_of_month,
        states: patterns.len(),
        grounds,
        rooms: Vec::new(),
        room_ids: site
            .rooms
            .ids()
            .enumerate()
            .map(|(k, id)| (id.clone(), k))
            .collect(),
    };
    scene.rooms = site
        .rooms
        .iter()
        .enumerate()
        .map(|(k, (id, r))| Arc::new(room::enclosure(site, &scene, id, r, k as u16)))
        .collect();
    scene
}

fn building(parts: &mut Parts, b: &Building) {
    let corners = parts.turn.outline(&b.outline);
    let shaper = parts.shaper(b.reflectance);
    let top = b.wall_top_m;
    parts
        .solids
        .extend(shaper.prism(&corners, b.base_m, top, false));
    let eaves = b.eaves_m.max(0.0);
    let rim = outline::grown(&corners, eaves);
    let (middle, half, long, short) = outline::rectangle(&corners);
    let half = half + eaves;
    let roof = Shaper {
        mass: shaper.mass,
        reflectance: ROOF_REFLECTANCE,
    };
    // A slope that rises `rise` over `run` from the rim at distance `run` from the middle towards it.
    let slope = |outwards: DVec2, run: f64, rise: f64| {
        let n = DVec3::new(outwards.x * rise, outwards.y * rise, run).normalize_or(DVec3::Z);
        let foot = (middle + outwards * run).extend(top);
        (n, n.dot(foot))
    };
    let pieces = match b.roof {
        Roof::Flat if eaves > 0.0 => roof.prism(&rim, top, top + ROOF_M, true),
        Roof::Flat => Vec::new(),
        Roof::Gable { ridge_m } => {
            let rise = ridge_m - top;
            let slopes = [slope(short, half.y, rise), slope(-short, half.y, rise)];
            roof.sloped(&rim, top, ridge_m, &slopes)
        }
        Roof::Hip { ridge_m } => {
            let rise = ridge_m - top;
            // The hips have the pitch of the long sides.
            let hip = |out: DVec2| {
                let n = DVec3::new(out.x * rise, out.y * rise, half.y).normalize_or(DVec3::Z);
                (n, n.dot((middle + out * half.x).extend(top)))
            };
            let slopes = [
                slope(short, half.y, rise),
                slope(-short, half.y, rise),
                hip(long),
                hip(-long),
            ];
            roof.sloped(&rim, top, ridge_m, &slopes)
        }
        Roof::Lean {
            high_m,
            towards_deg,
        } => {
            let up = parts.turn.point(Pt::towards(towards_deg.to_radians()));
            let reach =
                |f: fn(f64, f64) -> f64, start: f64| rim.iter().map(|c| c.dot(up)).fold(start, f);
            let (low, high) = (
                reach(f64::min, f64::INFINITY),
                reach(f64::max, f64::NEG_INFINITY),
            );
            let (run, rise) = (high - low, high_m - top);
            let n = DVec3::new(-up.x * rise, -up.y * rise, run).normalize_or(DVec3::Z);
            roof.sloped(&rim, top, high_m, &[(n, n.dot((up * low).extend(top)))])
        }
    };
    parts.solids.extend(pieces);
}

/// Whether a room is a body of its own: its middle lies in no building.
fn stands_alone(site: &Site, room: &Room) -> bool {
    let middle = crate::base::geometry::centroid(&room.outline);
    !site.buildings.values().any(|b| {
        crate::base::geometry::contains(&b.outline, middle)
            && b.base_m < room.floor_m + room.height_m
            && b.wall_top_m > room.floor_m
    })
}

/// Whether a wall of a room that stands alone, from `a` to `b` on the plan with the room on the given side, is the
/// wall of a building that it leans on: there is no glass then.
pub fn leans_on_a_building(site: &Site, room: &Room, a: Pt, b: Pt, outwards: Pt) -> bool {
    let behind = a.lerp(b, 0.5) + outwards * 0.1;
    let ceiling = room.floor_m + room.height_m;
    // A porch drawn inside the house's outline has the house's outer wall there, in which its own glass sits.
    stands_alone(site, room)
        && site.buildings.values().any(|house| {
            crate::base::geometry::contains(&house.outline, behind)
                && house.base_m <= room.floor_m + 0.3
                && house.wall_top_m >= ceiling - 0.3
        })
}

fn lone_room(parts: &mut Parts, site: &Site, r: &Room, index: u16) {
    let corners = parts.turn.outline(&r.outline);
    let (floor, ceiling) = (r.floor_m, r.floor_m + r.height_m);
    let shaper = parts.shaper(0.4);
    if r.glazed_walls.is_none() && r.glazed_roof.is_none() {
        let outside = outline::grown(&corners, WALL_M);
        parts
            .solids
            .extend(shaper.prism(&outside, floor, ceiling + ROOF_M, false));
        return;
    }
    let glass = |g: crate::site::Glazing| Passes::Glass(Panes::from(g), GLASSHOUSE_CLEAN as f32);
    for (a, b) in outline::edges(&corners) {
        let out = DVec2::new(b.y - a.y, a.x - b.x).normalize_or_zero();
        let [p, q, outwards] = [a, b, out].map(|v| parts.turn.back(v));
        if leans_on_a_building(site, r, p, q, outwards) {
            continue;
        }
        if let Some(g) = r.glazed_walls {
            let shape = upright(a, b, floor, ceiling);
            parts.soft(shape, glass(g), None, Months::ALL).room = Some(index);
        } else {
            let wall = [a, a + out * WALL_M, b + out * WALL_M, b];
            parts
                .solids
                .extend(shaper.prism(&wall, floor, ceiling, false));
        }
    }
    if let Some(g) = r.glazed_roof {
        let shape = level(&corners, ceiling);
        parts.soft(shape, glass(g), None, Months::ALL).room = Some(index);
    } else {
        parts
            .solids
            .extend(shaper.prism(&corners, ceiling, ceiling + ROOF_M, false));
    }
    if floor > ROOF_M {
        parts
            .solids
            .extend(shaper.prism(&corners, floor - ROOF_M, floor, false));
    }
}

fn canopy(parts: &mut Parts, c: &Canopy) {
    let corners = parts.turn.outline(&c.outline);
    if corners.is_empty() {
        return;
    }
    if c.passes <= 0.0 && c.months.is_all() {
        let shaper = parts.shaper(CANOPY_REFLECTANCE);
        let top = c.height_m + c.thickness_m.max(0.01);
        parts
            .solids
            .extend(shaper.prism(&corners, c.height_m, top, true));
    } else {
        let share = c.passes.clamp(0.0, 1.0) as f32;
        parts.soft(
            level(&corners, c.height_m),
            Passes::Deep(share),
            None,
            c.months,
        );
    }
}

fn screen(parts: &mut Parts, s: &Screen) {
    let line: Vec<DVec2> = s.line.iter().map(|p| parts.turn.point(*p)).collect();
    let solid = s.porosity <= 0.0 && s.bare_porosity.is_none_or(|p| p <= 0.0);
    let shaper = solid.then(|| parts.shaper(s.reflectance));
    for pair in line.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        if a.distance(b) < 1e-6 {
            continue;
        }
        if let Some(shaper) = &shaper {
            let side = (b - a).perp().normalize_or_zero() * (s.thickness_m.max(0.01) / 2.0);
            let wall = [a - side, b - side, b + side, a + side];
            parts
                .solids
                .extend(shaper.prism(&wall, s.base_m, s.top_m, false));
        } else {
            let law = |p: f64| {
                let p = p.clamp(0.0, 1.0) as f32;
                if s.kind == ScreenKind::Fence {
                    Passes::Share(p)
                } else {
                    Passes::Deep(p)
                }
            };
            let bare = s.bare_porosity.map(law);
            let months = if bare.is_some() {
                s.leaf_months
            } else {
                Months::ALL
            };
            parts.soft(
                upright(a, b, s.base_m, s.top_m),
                law(s.porosity),
                bare,
                months,
            );
        }
    }
}

fn tree(parts: &mut Parts, t: &Tree) {
    let half = (t.top_m - t.crown_base_m) / 2.0;
    if half <= 0.0 || t.crown_radius_m <= 0.0 {
        return;
    }
    let shape = Shape::Crown {
        middle: parts
            .turn
            .point(t.at)
            .extend(t.crown_base_m + half)
            .as_vec3(),
        radius: t.crown_radius_m as f32,
        half_height: half as f32,
    };
    // Area index over the crown's shade, spread over an ellipsoid whose mean depth is 4/3 of its half height.
    let leaves = |area_index: f64, clumping: f64| Passes::Leaves {
        per_m: (LEAF_PROJECTION * clumping * area_index / (4.0 / 3.0 * half)) as f32,
    };
    let leafy = leaves(t.leaf_area_index.max(0.0), CLUMPING);
    match t.leafing {
        Leafing::Evergreen => parts.soft(shape, leafy, None, Months::ALL),
        Leafing::Deciduous { months } => {
            parts.soft(shape, leafy, Some(leaves(WOOD_AREA_INDEX, 1.0)), months)
        }
    };
}

fn cloth(parts: &mut Parts, c: &Cloth) {
    let corners = parts.turn.outline(&c.outline);
    if corners.is_empty() {
        return;
    }
    let open = (1.0 - c.shade_pct / 100.0).clamp(0.0, 1.0);
    let law = match c.weave {
        Weave::Knitted => Passes::Deep(open as f32),
        Weave::Woven => Passes::Share(open as f32),
    };
    // Threads throw back: black 0.05, green 0.15, white 0.45, aluminised 0.5 (from memory).
    let threads = match c.colour {
        ClothColour::Black => 0.05,
        ClothColour::Green => 0.15,
        ClothColour::White => 0.45,
        ClothColour::Aluminised => 0.5,
    };
    let scatters = (CLOTH_DOWNWARD * threads * (1.0 - open)) as f32;
    parts
        .soft(level(&corners, c.height_m), law, None, c.months)
        .scatters = scatters;
    if c.drop_m > 0.0 {
        for (a, b) in outline::edges(&corners) {
            let shape = upright(a, b, (c.height_m - c.drop_m).max(0.0), c.height_m);
            parts.soft(shape, law, None, c.months);
        }
    }
}

fn upright(a: DVec2, b: DVec2, low: f64, high: f64) -> Shape {
    let length = a.distance(b) as f32;
    let height = (high - low).max(0.0) as f32;
    Shape::sheet(
        a.extend(low).as_vec3(),
        ((b - a).normalize_or_zero()).extend(0.0).as_vec3(),
        Vec3::Z,
        vec![
            Vec2::ZERO,
            Vec2::new(length, 0.0),
            Vec2::new(length, height),
            Vec2::new(0.0, height),
        ],
    )
}

fn level(corners: &[DVec2], height: f64) -> Shape {
    let origin = corners.first().copied().unwrap_or_default();
    Shape::sheet(
        origin.extend(height).as_vec3(),
        Vec3::X,
        Vec3::Y,
        corners.iter().map(|c| (*c - origin).as_vec2()).collect(),
    )
}
