//! The drawing as flat pieces in space, each with the object it belongs to.

use egui::{Color32, Stroke};

use super::camera::At;
use crate::{
    app::{
        canvas::shape::{self, Item},
        theme::Tokens,
    },
    base::{Id, Pt, Table, geometry},
    light::{Scene, faces::flat_faces},
    site::{Canopy, Leafing, Room, Screen, ScreenKind, Site, Tree, edit::ObjectKind},
};

/// Segments of round things.
const ROUND: usize = 20;

/// What a piece is drawn as.
#[derive(Clone, Debug)]
pub enum Figure {
    /// A flat polygon. With a normal it is seen from that side only.
    Flat {
        corners: Vec<At>,
        normal: Option<[f64; 3]>,
    },
    Line(Vec<At>),
    /// An upright ellipsoid.
    Crown {
        middle: At,
        radius_m: f64,
        half_height_m: f64,
    },
}

/// One piece of the drawing.
#[derive(Clone, Debug)]
pub struct Piece {
    pub item: Item,
    pub figure: Figure,
    pub fill: Color32,
    pub stroke: Stroke,
    /// Of a body in which nothing of the grower's stands: seen through where it is in the way.
    pub aside: bool,
    /// Decides what covers what among things that lie in one plane; larger is nearer, m.
    pub lift_m: f64,
}

/// Shares of the colours that let what stands inside or behind be seen.
mod cover {
    pub const WALL: f32 = 0.42;
    pub const ROOF: f32 = 0.62;
    pub const GLASS: f32 = 0.55;
    pub const FLOOR: f32 = 0.8;
    pub const LEAVES: f32 = 0.75;
    pub const BARE: f32 = 0.18;
    pub const SPOT: f32 = 0.85;
}

/// Whatever the builder needs to turn objects into pieces.
struct Builder<'a> {
    site: &'a Site,
    t: &'a Tokens,
    month0: usize,
    pieces: Vec<Piece>,
}

/// The pieces of a site as it is in a month (0..12).
#[must_use]
pub fn pieces(site: &Site, t: &Tokens, month0: usize) -> Vec<Piece> {
    let mut b = Builder {
        site,
        t,
        month0,
        pieces: Vec::new(),
    };
    b.grounds();
    b.buildings();
    b.rooms();
    b.windows();
    for (id, canopy) in site.canopies.iter() {
        b.canopy(id, canopy);
    }
    for (id, screen) in site.screens.iter() {
        b.screen(id, screen);
    }
    for (id, tree) in site.trees.iter() {
        b.tree(id, tree);
    }
    b.cloths();
    b.devices();
    b.spots();
    b.pieces
}

/// A site with one object alone, for the faces of its body.
fn alone<T: Clone>(site: &Site, id: &Id, object: &T, put: fn(&mut Site, Table<T>)) -> Scene {
    let mut one = Site {
        place: crate::site::Place {
            plan_north_deg: site.place.plan_north_deg,
            ..crate::site::Place::default()
        }
        .into(),
        ..Site::default()
    };
    put(
        &mut one,
        [(id.clone(), object.clone())].into_iter().collect(),
    );
    Scene::of(&one)
}

impl Builder<'_> {
    fn push(&mut self, item: Item, figure: Figure, fill: Color32, stroke: Stroke) -> &mut Piece {
        self.pieces.push(Piece {
            item,
            figure,
            fill,
            stroke,
            aside: false,
            lift_m: 0.0,
        });
        let last = self.pieces.len() - 1;
        &mut self.pieces[last]
    }

    fn flat(&mut self, item: Item, corners: Vec<At>, fill: Color32, stroke: Stroke) -> &mut Piece {
        let normal = None;
        self.push(item, Figure::Flat { corners, normal }, fill, stroke)
    }

    fn level(outline: &[Pt], z: f64) -> Vec<At> {
        outline.iter().map(|p| At::new(*p, z)).collect()
    }

    fn upright(a: Pt, b: Pt, low: f64, high: f64) -> Vec<At> {
        vec![
            At::new(a, low),
            At::new(b, low),
            At::new(b, high),
            At::new(a, high),
        ]
    }

    fn ink(&self, width: f32) -> Stroke {
        Stroke::new(width, self.t.wall)
    }

    fn grounds(&mut self) {
        use crate::site::GroundKind as G;
        for (id, ground) in self.site.grounds.iter() {
            let fill = match ground.kind {
                G::Lawn => self.t.lawn,
                G::Water => self.t.water,
                G::Soil => self.t.soil,
                _ => self.t.paving,
            };
            let corners = Self::level(&ground.outline, 0.0);
            self.flat(
                (ObjectKind::Ground, id.clone()),
                corners,
                fill,
                Stroke::new(1.0, self.t.line),
            )
            .lift_m = -1e3;
        }
    }

    /// The faces of one solid body.
    fn body(&mut self, item: &Item, scene: &Scene, wall: Color32, cover: f32, aside: bool) {
        let stroke = self.ink(1.2);
        for face in flat_faces(scene) {
            let (fill, cover) = if face.roof {
                (self.t.wall_fill, cover::ROOF.max(cover))
            } else {
                (wall, cover)
            };
            let corners = face
                .corners
                .iter()
                .map(|[x, y, z]| At::new(Pt(*x, *y), *z))
                .collect();
            let figure = Figure::Flat {
                corners,
                normal: Some(face.normal),
            };
            self.push(item.clone(), figure, fill.gamma_multiply(cover), stroke)
                .aside = aside;
        }
    }

    fn buildings(&mut self) {
        let site = self.site;
        for (id, building) in site.buildings.iter() {
            let scene = alone(site, id, &**building, |s, t| s.buildings = t);
            let lived_in = site
                .rooms
                .values()
                .any(|r| geometry::contains(&building.outline, geometry::centroid(&r.outline)));
            let cover = if lived_in { cover::WALL } else { 0.85 };
            let item = (ObjectKind::Building, id.clone());
            self.body(&item, &scene, self.t.building, cover, !lived_in);
        }
    }

    fn rooms(&mut self) {
        for (id, room) in self.site.rooms.iter() {
            self.room(id, room);
        }
    }

    fn room(&mut self, id: &Id, room: &Room) {
        let item = (ObjectKind::Room, id.clone());
        let (low, high) = (room.floor_m, room.floor_m + room.height_m);
        let thin = Stroke::new(1.0, self.t.wall.gamma_multiply(0.6));
        let glass = self.t.glass.gamma_multiply(cover::GLASS);
        let pane = Stroke::new(1.2, self.t.glass_line);
        let floor = self.t.floor.gamma_multiply(cover::FLOOR);
        self.flat(item.clone(), Self::level(&room.outline, low), floor, thin);
        for (a, b) in geometry::edges(&room.outline) {
            let corners = Self::upright(a, b, low, high);
            if room.glazed_walls.is_some() {
                self.flat(item.clone(), corners, glass, pane);
            } else {
                self.flat(item.clone(), corners, Color32::TRANSPARENT, thin);
            }
        }
        if room.glazed_roof.is_some() {
            self.flat(item, Self::level(&room.outline, high), glass, pane);
        }
    }

    fn windows(&mut self) {
        for (id, window) in self.site.windows.iter() {
            let Some(room) = self.site.rooms.get(&window.room) else {
                continue;
            };
            let Some(o) = shape::opening(self.site, window) else {
                continue;
            };
            // In the outer face of the wall, where it is seen from.
            let out = o.inward * -shape::opening_depth(window);
            let sill = room.floor_m + window.sill_m;
            let corners = Self::upright(o.a + out, o.b + out, sill, sill + window.height_m);
            let fill = self.t.glass.gamma_multiply(0.8);
            let stroke = Stroke::new(1.4, self.t.glass_line);
            let figure = Figure::Flat {
                corners,
                normal: Some([-o.inward.0, -o.inward.1, 0.0]),
            };
            // The wall they sit in is sorted by its middle, which may be nearer.
            self.push((ObjectKind::Window, id.clone()), figure, fill, stroke)
                .lift_m = 2.5;
        }
    }

    fn canopy(&mut self, id: &Id, canopy: &Canopy) {
        let item = (ObjectKind::Canopy, id.clone());
        let cover = if canopy.months.has(self.month0) {
            (1.0 - canopy.passes as f32).clamp(0.15, 0.7)
        } else {
            0.05
        };
        let fill = self.t.wall_fill.gamma_multiply(cover);
        let stroke = self.ink(1.2);
        self.flat(
            item.clone(),
            Self::level(&canopy.outline, canopy.height_m),
            fill,
            stroke,
        );
        self.posts(&item, &canopy.outline, canopy.height_m);
    }

    fn posts(&mut self, item: &Item, outline: &[Pt], top: f64) {
        let stroke = Stroke::new(1.0, self.t.wall.gamma_multiply(0.7));
        for p in outline {
            let line = Figure::Line(vec![At::new(*p, 0.0), At::new(*p, top)]);
            self.push(item.clone(), line, Color32::TRANSPARENT, stroke);
        }
    }

    fn screen(&mut self, id: &Id, screen: &Screen) {
        let item = (ObjectKind::Screen, id.clone());
        if screen.kind == ScreenKind::Wall {
            let scene = alone(self.site, id, screen, |s, t| s.screens = t);
            self.body(&item, &scene, self.t.wall_fill, 0.7, false);
            return;
        }
        let (fill, stroke) = if screen.kind == ScreenKind::Hedge {
            let leafy = screen.leaf_months.has(self.month0) || screen.bare_porosity.is_none();
            let cover = if leafy { cover::LEAVES } else { cover::BARE };
            (
                self.t.leaf.gamma_multiply(cover),
                Stroke::new(1.2, self.t.leaf_deep),
            )
        } else {
            let cover = (1.0 - screen.porosity as f32).clamp(0.15, 0.8);
            (self.t.wall_fill.gamma_multiply(cover), self.ink(1.2))
        };
        for pair in screen.line.windows(2) {
            let corners = Self::upright(pair[0], pair[1], screen.base_m, screen.top_m);
            self.flat(item.clone(), corners, fill, stroke);
        }
    }

    fn tree(&mut self, id: &Id, tree: &Tree) {
        let item = (ObjectKind::Tree, id.clone());
        let leafy = match tree.leafing {
            Leafing::Evergreen => true,
            Leafing::Deciduous { months } => months.has(self.month0),
        };
        let cover = if leafy { cover::LEAVES } else { cover::BARE };
        let half = (tree.top_m - tree.crown_base_m) / 2.0;
        let trunk = Figure::Line(vec![
            At::new(tree.at, 0.0),
            At::new(tree.at, tree.crown_base_m + half),
        ]);
        let ink = self.ink(2.5);
        self.push(item.clone(), trunk, Color32::TRANSPARENT, ink);
        let crown = Figure::Crown {
            middle: At::new(tree.at, tree.crown_base_m + half),
            radius_m: tree.crown_radius_m,
            half_height_m: half,
        };
        let stroke = Stroke::new(1.2, self.t.leaf_deep);
        self.push(item, crown, self.t.leaf.gamma_multiply(cover), stroke);
    }

    fn cloths(&mut self) {
        for (id, cloth) in self.site.cloths.iter() {
            let item = (ObjectKind::Cloth, id.clone());
            let up = cloth.months.has(self.month0);
            let cover = if up {
                0.25 + 0.6 * (cloth.shade_pct as f32 / 100.0)
            } else {
                0.06
            };
            let fill = self.t.cloth.gamma_multiply(cover);
            let stroke = Stroke::new(1.2, self.t.cloth);
            let flat = Self::level(&cloth.outline, cloth.height_m);
            self.flat(item.clone(), flat, fill, stroke);
            if cloth.drop_m > 0.0 {
                for (a, b) in geometry::edges(&cloth.outline) {
                    let low = (cloth.height_m - cloth.drop_m).max(0.0);
                    let side = Self::upright(a, b, low, cloth.height_m);
                    self.flat(item.clone(), side, fill, stroke);
                }
            }
            self.posts(&item, &cloth.outline, cloth.height_m);
        }
    }

    fn devices(&mut self) {
        let floor = |room: Option<&Id>| {
            room.and_then(|id| self.site.rooms.get(id))
                .map_or(0.0, |r| r.floor_m)
        };
        let mut found = Vec::new();
        for (id, heater) in self.site.heaters.iter() {
            let low = floor(Some(&heater.room));
            let body = shape::heater_body(heater);
            for (a, b) in geometry::edges(&body) {
                let side = Self::upright(a, b, low, low + heater.top_m);
                found.push(((ObjectKind::Heater, id.clone()), side, self.t.heat));
            }
        }
        for (id, vent) in self.site.vents.iter() {
            let z = floor(Some(&vent.room)) + vent.height_m;
            let disc = ring(vent.at, shape::VENT_HALF_M, z);
            found.push(((ObjectKind::Vent, id.clone()), disc, self.t.draught));
        }
        for (id, fan) in self.site.fans.iter() {
            let z = floor(fan.room.as_ref()) + fan.height_m;
            let disc = ring(fan.at, fan.diameter_m / 2.0, z);
            found.push(((ObjectKind::Fan, id.clone()), disc, self.t.draught));
        }
        for (id, tray) in self.site.trays.iter() {
            let z = floor(tray.room.as_ref());
            let radius = (tray.area_m2 / std::f64::consts::PI).max(0.0).sqrt();
            let disc = ring(tray.at, radius, z);
            found.push(((ObjectKind::Tray, id.clone()), disc, self.t.water));
        }
        for (item, corners, colour) in found {
            let stroke = Stroke::new(1.4, colour);
            self.flat(item, corners, colour.gamma_multiply(0.35), stroke)
                .lift_m = 0.1;
        }
    }

    fn spots(&mut self) {
        for (id, spot) in self.site.spots.iter() {
            let item = (ObjectKind::Spot, id.clone());
            let z = self.site.spot_height_m(spot);
            let stroke = Stroke::new(1.4, self.t.spot_line);
            let fill = self.t.spot.gamma_multiply(cover::SPOT);
            match spot.outline.as_slice() {
                [] => {}
                [at] => {
                    let corners = ring(*at, (spot.holds.rim_cm / 200.0).max(0.12), z);
                    self.flat(item, corners, fill, stroke).lift_m = 0.1;
                }
                [a, b] => {
                    let line = Figure::Line(vec![At::new(*a, z), At::new(*b, z)]);
                    let stroke = Stroke::new(4.0, self.t.spot_line);
                    self.push(item, line, Color32::TRANSPARENT, stroke).lift_m = 0.1;
                }
                outline => {
                    let corners = Self::level(outline, z);
                    self.flat(item, corners, fill, stroke).lift_m = 0.1;
                }
            }
        }
    }
}

fn ring(at: Pt, radius_m: f64, z: f64) -> Vec<At> {
    (0..ROUND)
        .map(|k| {
            let turn = std::f64::consts::TAU * k as f64 / ROUND as f64;
            At::new(at + Pt::towards(turn) * radius_m, z)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::{canvas::fixture, theme};

    #[test]
    fn every_drawn_object_has_a_piece() {
        let site = fixture::site();
        let found = pieces(&site, theme::of(false), 6);
        for item in shape::items(&site) {
            assert!(found.iter().any(|p| p.item == item), "{item:?}");
        }
    }

    #[test]
    fn a_wall_is_as_high_as_the_document_says() {
        let site = fixture::site();
        let top = pieces(&site, theme::of(false), 6)
            .iter()
            .filter(|p| p.item.0 == ObjectKind::Building)
            .filter_map(|p| match &p.figure {
                Figure::Flat { corners, .. } => corners.iter().map(|c| c.z).reduce(f64::max),
                _ => None,
            })
            .fold(0.0, f64::max);
        let house = site.buildings.get(&Id::new("house")).unwrap();
        // A flat roof with eaves is a slab on the walls.
        assert!(
            top >= house.wall_top_m && top < house.wall_top_m + 0.2,
            "{top}"
        );
    }
}
