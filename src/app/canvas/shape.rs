//! What each object covers on the plan: for hit testing, bounds, handles and drawing.

use crate::{
    base::{Id, Pt, geometry},
    site::{
        Heater, Room, Site, Window,
        edit::{Object, ObjectKind},
    },
};

/// One object of the drawing.
pub type Item = (ObjectKind, Id);

/// How far a radiator stands out from its wall on the plan, m.
pub const HEATER_DEPTH_M: f64 = 0.12;
/// Half the width at which an air vent is drawn, m.
pub const VENT_HALF_M: f64 = 0.12;
/// Walls are drawn this thick round a room, m.
pub const WALL_M: f64 = 0.14;

/// An object's outline on the plan.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    Area(Vec<Pt>),
    Line(Vec<Pt>),
    Disc { at: Pt, radius_m: f64 },
}

impl Shape {
    /// Corners of a box around it suffice for bounds and selection boxes.
    #[must_use]
    pub fn extent(&self) -> Vec<Pt> {
        match self {
            Self::Area(points) | Self::Line(points) => points.clone(),
            Self::Disc { at, radius_m: r } => vec![*at - Pt(*r, *r), *at + Pt(*r, *r)],
        }
    }

    /// Distance from a point, m; 0 inside.
    #[must_use]
    pub fn distance(&self, p: Pt) -> f64 {
        match self {
            Self::Area(outline) if geometry::contains(outline, p) => 0.0,
            Self::Area(outline) => geometry::distance_to_rim(outline, p),
            Self::Line(line) => distance_to_line(line, p),
            Self::Disc { at, radius_m } => (at.distance(p) - radius_m).max(0.0),
        }
    }

    /// Where a label or a menu about it belongs.
    #[must_use]
    pub fn middle(&self) -> Pt {
        match self {
            Self::Area(outline) => geometry::centroid(outline),
            Self::Line(line) => along(line, 0.5),
            Self::Disc { at, .. } => *at,
        }
    }
}

/// Distance from a point to a line of several points, m.
#[must_use]
pub fn distance_to_line(line: &[Pt], p: Pt) -> f64 {
    match line {
        [] => f64::INFINITY,
        [only] => only.distance(p),
        _ => line
            .windows(2)
            .map(|w| geometry::nearest_on_segment(w[0], w[1], p).0.distance(p))
            .fold(f64::INFINITY, f64::min),
    }
}

/// The point at a share of a line's length.
#[must_use]
pub fn along(line: &[Pt], share: f64) -> Pt {
    let whole: f64 = line.windows(2).map(|w| w[0].distance(w[1])).sum();
    let mut left = whole * share;
    for w in line.windows(2) {
        let length = w[0].distance(w[1]);
        if left <= length && length > 0.0 {
            return w[0].lerp(w[1], left / length);
        }
        left -= length;
    }
    line.last().copied().unwrap_or_default()
}

/// A wall of a room: its corners and the unit vector into the room.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wall {
    pub a: Pt,
    pub b: Pt,
    pub inward: Pt,
}

impl Wall {
    #[must_use]
    pub fn length(&self) -> f64 {
        self.a.distance(self.b)
    }
}

/// Wall `index` of a room.
#[must_use]
pub fn wall(room: &Room, index: usize) -> Option<Wall> {
    let n = room.outline.len();
    let a = *room.outline.get(index)?;
    let b = *room.outline.get((index + 1) % n.max(1))?;
    let left = (b - a).unit().left();
    let inward = if geometry::signed_area(&room.outline) >= 0.0 {
        left
    } else {
        left * -1.0
    };
    Some(Wall { a, b, inward })
}

/// A window's or door's opening: ends on the inner face of the wall, unit vector into the room.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Opening {
    pub a: Pt,
    pub b: Pt,
    pub inward: Pt,
    pub wall: Wall,
}

#[must_use]
pub fn opening(site: &Site, window: &Window) -> Option<Opening> {
    let room = site.rooms.get(&window.room)?;
    let wall = wall(room, window.wall)?;
    let d = (wall.b - wall.a).unit();
    let a = wall.a + d * window.from_corner_m;
    Some(Opening {
        a,
        b: a + d * window.width_m,
        inward: wall.inward,
        wall,
    })
}

/// Depth of the wall at an opening, m: both reveals.
#[must_use]
pub fn opening_depth(window: &Window) -> f64 {
    (window.reveal_m + window.outer_reveal_m).max(WALL_M)
}

/// Corners of a heater's body, its back at the wall.
#[must_use]
pub fn heater_body(heater: &Heater) -> [Pt; 4] {
    let front = Pt::towards(heater.faces_deg.to_radians());
    let side = front.left() * (heater.length_m * 0.5);
    let half = front * (HEATER_DEPTH_M * 0.5);
    [
        heater.at + side - half,
        heater.at - side - half,
        heater.at - side + half,
        heater.at + side + half,
    ]
}

/// The outline of an object on the plan; `None` for plants, plant kinds and what is gone.
#[must_use]
pub fn shape(site: &Site, (kind, id): &Item) -> Option<Shape> {
    let disc = |at, radius_m| Shape::Disc { at, radius_m };
    Some(match kind {
        ObjectKind::Building => Shape::Area(site.buildings.get(id)?.outline.clone()),
        ObjectKind::Room => Shape::Area(site.rooms.get(id)?.outline.clone()),
        ObjectKind::Canopy => Shape::Area(site.canopies.get(id)?.outline.clone()),
        ObjectKind::Ground => Shape::Area(site.grounds.get(id)?.outline.clone()),
        ObjectKind::Cloth => Shape::Area(site.cloths.get(id)?.outline.clone()),
        ObjectKind::Screen => Shape::Line(site.screens.get(id)?.line.clone()),
        ObjectKind::Window => {
            let window = site.windows.get(id)?;
            let o = opening(site, window)?;
            let out = o.inward * -opening_depth(window);
            Shape::Area(vec![o.a, o.b, o.b + out, o.a + out])
        }
        ObjectKind::Tree => {
            let tree = site.trees.get(id)?;
            disc(tree.at, tree.crown_radius_m)
        }
        ObjectKind::Heater => Shape::Area(heater_body(site.heaters.get(id)?).to_vec()),
        ObjectKind::Vent => disc(site.vents.get(id)?.at, VENT_HALF_M),
        ObjectKind::Fan => {
            let fan = site.fans.get(id)?;
            disc(fan.at, (fan.diameter_m * 0.5).max(0.1))
        }
        ObjectKind::Tray => {
            let tray = site.trays.get(id)?;
            disc(
                tray.at,
                (tray.area_m2 / std::f64::consts::PI)
                    .max(0.0)
                    .sqrt()
                    .max(0.08),
            )
        }
        ObjectKind::Spot => {
            let spot = site.spots.get(id)?;
            match spot.outline.as_slice() {
                [at] => disc(*at, (spot.holds.rim_cm / 200.0).max(0.12)),
                [_, _] => Shape::Line(spot.outline.clone()),
                _ => Shape::Area(spot.outline.clone()),
            }
        }
        ObjectKind::Plant | ObjectKind::Kind => return None,
    })
}

/// Bounds of some objects.
#[must_use]
pub fn bounds<'a>(site: &Site, items: impl IntoIterator<Item = &'a Item>) -> Option<(Pt, Pt)> {
    geometry::bounds(
        items
            .into_iter()
            .filter_map(|item| shape(site, item))
            .flat_map(|s| s.extent()),
    )
}

/// Kinds that are drawn, from the lowest upwards.
pub const DRAWN: [ObjectKind; 13] = [
    ObjectKind::Ground,
    ObjectKind::Building,
    ObjectKind::Room,
    ObjectKind::Screen,
    ObjectKind::Window,
    ObjectKind::Spot,
    ObjectKind::Tray,
    ObjectKind::Heater,
    ObjectKind::Vent,
    ObjectKind::Fan,
    ObjectKind::Canopy,
    ObjectKind::Cloth,
    ObjectKind::Tree,
];

/// Everything that is drawn, from the lowest upwards.
pub fn items(site: &Site) -> impl Iterator<Item = Item> + '_ {
    DRAWN
        .into_iter()
        .flat_map(|kind| site.ids(kind).into_iter().map(move |id| (kind, id)))
}

/// Bounds of the whole drawing.
#[must_use]
pub fn site_bounds(site: &Site) -> Option<(Pt, Pt)> {
    bounds(site, &items(site).collect::<Vec<_>>())
}

/// Bounds of what matters: rooms, spots, cloth and the walls round the garden; of everything while there is none of these.
#[must_use]
pub fn heart(site: &Site) -> Option<(Pt, Pt)> {
    let inner: Vec<Item> = items(site)
        .filter(|(kind, _)| {
            matches!(
                kind,
                ObjectKind::Room | ObjectKind::Spot | ObjectKind::Cloth | ObjectKind::Screen
            )
        })
        .collect();
    bounds(site, &inner).or_else(|| site_bounds(site))
}

/// The innermost room around a point.
#[must_use]
pub fn room_at(site: &Site, p: Pt) -> Option<Id> {
    site.rooms
        .iter()
        .filter(|(_, room)| geometry::contains(&room.outline, p))
        .min_by(|(_, a), (_, b)| {
            let area = |room: &Room| geometry::signed_area(&room.outline).abs();
            area(a).total_cmp(&area(b))
        })
        .map(|(id, _)| id.clone())
}

/// The corners that can be moved one by one, of objects that have such.
#[must_use]
pub fn corners(object: &Object) -> Option<&Vec<Pt>> {
    match object {
        Object::Building(o) => Some(&o.outline),
        Object::Room(o) => Some(&o.outline),
        Object::Canopy(o) => Some(&o.outline),
        Object::Ground(o) => Some(&o.outline),
        Object::Cloth(o) => Some(&o.outline),
        Object::Spot(o) => Some(&o.outline),
        Object::Screen(o) => Some(&o.line),
        _ => None,
    }
}

pub fn corners_mut(object: &mut Object) -> Option<&mut Vec<Pt>> {
    match object {
        Object::Building(o) => Some(&mut o.outline),
        Object::Room(o) => Some(&mut o.outline),
        Object::Canopy(o) => Some(&mut o.outline),
        Object::Ground(o) => Some(&mut o.outline),
        Object::Cloth(o) => Some(&mut o.outline),
        Object::Spot(o) => Some(&mut o.outline),
        Object::Screen(o) => Some(&mut o.line),
        _ => None,
    }
}

/// Moves an object that has corners or a point; windows have neither.
pub fn shift(object: &mut Object, by: Pt) {
    if let Some(points) = corners_mut(object) {
        points.iter_mut().for_each(|p| *p = *p + by);
    } else if let Some(at) = point_mut(object) {
        *at = *at + by;
    }
}

/// The one point of objects that stand at one.
pub fn point_mut(object: &mut Object) -> Option<&mut Pt> {
    match object {
        Object::Tree(o) => Some(&mut o.at),
        Object::Heater(o) => Some(&mut o.at),
        Object::Vent(o) => Some(&mut o.at),
        Object::Fan(o) => Some(&mut o.at),
        Object::Tray(o) => Some(&mut o.at),
        _ => None,
    }
}

/// Where a device points: its place and plan azimuth, degrees.
#[must_use]
pub fn bearing(object: &Object) -> Option<(Pt, f64)> {
    match object {
        Object::Heater(o) => Some((o.at, o.faces_deg)),
        Object::Vent(o) => Some((o.at, o.blows_deg)),
        Object::Fan(o) => Some((o.at, o.blows_deg)),
        _ => None,
    }
}

pub fn set_bearing(object: &mut Object, azimuth_deg: f64) {
    match object {
        Object::Heater(o) => o.faces_deg = azimuth_deg,
        Object::Vent(o) => o.blows_deg = azimuth_deg,
        Object::Fan(o) => o.blows_deg = azimuth_deg,
        _ => {}
    }
}

/// Whether the last corner is joined to the first.
#[must_use]
pub fn is_closed(object: &Object) -> bool {
    match object {
        Object::Screen(_) => false,
        Object::Spot(o) => o.outline.len() >= 3,
        _ => true,
    }
}

/// Fewest corners an object can have.
#[must_use]
pub fn fewest_corners(object: &Object) -> usize {
    match object {
        Object::Spot(_) => 1,
        Object::Screen(_) => 2,
        _ => 3,
    }
}

/// Whether an object's corners make a line or outline that a site can hold.
#[must_use]
pub fn is_sound(object: &Object) -> bool {
    let Some(points) = corners(object) else {
        return true;
    };
    if points.len() < fewest_corners(object) || !points.iter().all(|p| p.is_finite()) {
        return false;
    }
    !is_closed(object)
        || (geometry::is_simple(points) && geometry::signed_area(points).abs() > 1e-3)
}
