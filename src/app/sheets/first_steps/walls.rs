//! Walls that face the open, and what can be put into them or stand before them.

use crate::{
    app::canvas::{
        change,
        shape::{self, Wall},
    },
    base::{Id, Pt, Table, geometry, names},
    site::{
        Building, Canopy, Holds, Room, Site, Spot, Window, WindowKind,
        edit::{Edit, Object, ObjectKind},
    },
};

/// Beyond a wall, m: in the open unless a room or a building is there.
const BEYOND_M: f64 = 0.6;
/// Left of a window at either end of its gap, m.
const SIDE_M: f64 = 0.15;
/// Walls are looked along in steps of this, m.
const STEP_M: f64 = 0.1;
/// Least glass worth drawing, m.
const LEAST_GLASS_M: f64 = 0.3;
/// From the inner face of the wall to the middle of a row of pots on the sill, m.
const ON_SILL_M: f64 = 0.12;
/// How the names of sills begin.
pub const SILL: &str = "Sill";
/// A spot nearer than this to a suggested one is that one, m.
const SAME_PLACE_M: f64 = 0.4;

/// The part of a drawing that walls, windows and offered spots follow from.
#[derive(PartialEq)]
pub struct Drawn {
    rooms: Table<Room>,
    buildings: Table<Building>,
    windows: Table<Window>,
    canopies: Table<Canopy>,
    spots: Table<Spot>,
    north_deg: f64,
}

impl Drawn {
    #[must_use]
    pub fn of(site: &Site) -> Self {
        Self {
            rooms: site.rooms.clone(),
            buildings: site.buildings.clone(),
            windows: site.windows.clone(),
            canopies: site.canopies.clone(),
            spots: site.spots.clone(),
            north_deg: site.place.plan_north_deg,
        }
    }
}

/// A wall of a room with the open air beyond it.
pub struct OuterWall {
    pub room: Id,
    pub index: usize,
    pub wall: Wall,
    /// True azimuth it looks to, degrees.
    pub faces_deg: f64,
}

impl OuterWall {
    /// `"Front room, south wall"`
    #[must_use]
    pub fn name(&self, site: &Site) -> String {
        format!(
            "{}, {} wall",
            site.name_of(ObjectKind::Room, &self.room),
            names::compass(self.faces_deg)
        )
    }
}

impl OuterWall {
    /// The widest part with the open beyond it and nothing of `taken` in it, m from the wall's first corner.
    fn widest_free(&self, site: &Site, taken: &[(f64, f64)]) -> (f64, f64) {
        let length = self.wall.length();
        let steps = (length / STEP_M).floor() as usize;
        let along = (self.wall.b - self.wall.a).unit();
        let mut widest = (0.0, 0.0);
        let mut begun: Option<f64> = None;
        for k in 0..=steps + 1 {
            let at = (k as f64 * STEP_M).min(length);
            let free = k <= steps
                && is_open(site, self.wall.a + along * at - self.wall.inward * BEYOND_M)
                && !taken.iter().any(|(from, to)| (*from..=*to).contains(&at));
            match (begun, free) {
                (None, true) => begun = Some(at),
                (Some(from), false) => {
                    let to = if k > steps { length } else { at - STEP_M };
                    if to - from > widest.1 - widest.0 {
                        widest = (from, to);
                    }
                    begun = None;
                }
                _ => {}
            }
        }
        widest
    }
}

/// All of them, room by room.
#[must_use]
pub fn outer_walls(site: &Site) -> Vec<OuterWall> {
    let mut walls = Vec::new();
    for (id, room) in site.rooms.iter() {
        for index in 0..room.outline.len() {
            let Some(wall) = shape::wall(room, index) else {
                continue;
            };
            let outer = OuterWall {
                room: id.clone(),
                index,
                faces_deg: change::azimuth_deg(wall.inward * -1.0) + site.place.plan_north_deg,
                wall,
            };
            let (from, to) = outer.widest_free(site, &[]);
            if to - from > LEAST_GLASS_M {
                walls.push(outer);
            }
        }
    }
    walls
}

fn is_open(site: &Site, p: Pt) -> bool {
    let inside = |outline: &[Pt]| geometry::contains(outline, p);
    !site.rooms.values().any(|r| inside(&r.outline))
        && !site.buildings.values().any(|b| inside(&b.outline))
}

/// A window of these sizes in the middle of the widest free part of a wall; narrower where there is less room. `None`
/// where there is none.
#[must_use]
pub fn window_in(site: &Site, outer: &OuterWall, wanted: &Window) -> Option<Edit> {
    let taken: Vec<(f64, f64)> = site
        .windows
        .values()
        .filter(|w| w.room == outer.room && w.wall == outer.index)
        .map(|w| (w.from_corner_m, w.from_corner_m + w.width_m))
        .collect();
    let free = outer.widest_free(site, &taken);
    let room_m = free.1 - free.0 - 2.0 * SIDE_M;
    if room_m < LEAST_GLASS_M {
        return None;
    }
    let width_m = wanted.width_m.min(room_m);
    let kind = match wanted.kind {
        WindowKind::Window => "window",
        WindowKind::GlassDoor => "glass door",
        WindowKind::Door => "door",
    };
    let compass = names::compass(outer.faces_deg);
    let word = format!("{} {kind}", compass[..1].to_uppercase() + &compass[1..]);
    let name = fresh_name(site, ObjectKind::Window, &word);
    let id = Id::from_name(&name, |i| site.windows.contains(i));
    let window = Window {
        name,
        room: outer.room.clone(),
        wall: outer.index,
        from_corner_m: (free.0 + free.1 - width_m) / 2.0,
        width_m,
        ..wanted.clone()
    };
    Some(Edit::Put(id, Object::Window(window)))
}

/// Spots that the drawing offers and that are not there yet: sills that take pots of this rim, glazed rooms, balconies,
/// and the foot of walls.
#[must_use]
pub fn offered_spots(site: &Site, sill_rim_cm: f64) -> Vec<Spot> {
    let mut spots: Vec<Spot> = sills(site, sill_rim_cm);
    spots.extend(
        site.rooms
            .iter()
            .filter(|(_, r)| r.glazed_walls.is_some())
            .filter_map(|(id, room)| in_glass(id, room)),
    );
    spots.extend(balconies(site));
    spots.extend(outer_walls(site).iter().filter_map(|w| before(site, w)));
    spots.retain(|offered| {
        !site
            .spots
            .values()
            .any(|s| s.middle().distance(offered.middle()) < SAME_PLACE_M && s.room == offered.room)
    });
    spots
}

/// The edit that puts an offered spot into the site.
#[must_use]
pub fn put(site: &Site, mut spot: Spot) -> Edit {
    spot.name = fresh_name(site, ObjectKind::Spot, &spot.name);
    let id = Id::from_name(&spot.name, |i| site.spots.contains(i));
    Edit::Put(id, Object::Spot(spot))
}

fn fresh_name(site: &Site, kind: ObjectKind, name: &str) -> String {
    let taken = site
        .ids(kind)
        .iter()
        .any(|id| site.name_of(kind, id) == name);
    if taken {
        change::new_name(site, kind, name)
    } else {
        name.to_owned()
    }
}

fn pots(length_m: f64, rim_cm: f64) -> Holds {
    Holds {
        pots: ((length_m * 100.0 / rim_cm).floor() as u32).clamp(1, 60),
        rim_cm,
    }
}

fn sills(site: &Site, rim_cm: f64) -> Vec<Spot> {
    site.windows
        .values()
        .filter(|w| w.kind == WindowKind::Window && w.sill_m >= 0.3)
        .filter_map(|w| {
            let o = shape::opening(site, w)?;
            let shift = o.inward * ON_SILL_M;
            Some(Spot {
                name: format!("{SILL}, {}", lower_first(&w.name)),
                room: Some(w.room.clone()),
                outline: vec![o.a + shift, o.b + shift],
                height_m: w.sill_m,
                leaf_m: 0.25,
                holds: pots(w.width_m, rim_cm),
                ..Spot::default()
            })
        })
        .collect()
}

fn in_glass(id: &Id, room: &Room) -> Option<Spot> {
    let (low, high) = geometry::bounds(room.outline.iter().copied())?;
    let (w, d) = (high.x() - low.x(), high.y() - low.y());
    if w < 0.6 || d < 0.6 {
        return None;
    }
    let (depth, air) = (0.5_f64.min(d / 2.0), 0.1);
    let (a, b) = (
        low + Pt(air, air),
        Pt(high.x() - air, low.y() + air + depth),
    );
    Some(Spot {
        name: format!("Bench, {}", lower_first(&room.name)),
        room: Some(id.clone()),
        outline: vec![a, Pt(b.x(), a.y()), b, Pt(a.x(), b.y())],
        height_m: 0.5,
        holds: pots(w - 2.0 * air, 28.0),
        ..Spot::default()
    })
}

/// On slabs at the height of a floor.
fn balconies(site: &Site) -> Vec<Spot> {
    let mut spots = Vec::new();
    for canopy in site.canopies.values() {
        let top_m = canopy.height_m + canopy.thickness_m;
        let level = top_m > 1.0 && site.rooms.values().any(|r| (r.floor_m - top_m).abs() < 0.5);
        let Some((low, high)) = geometry::bounds(canopy.outline.iter().copied()).filter(|_| level)
        else {
            continue;
        };
        let (air, depth) = (0.15, 0.45_f64.min((high.y() - low.y()) / 2.0));
        let (a, b) = (
            low + Pt(air, air),
            Pt(high.x() - air, low.y() + air + depth),
        );
        spots.push(Spot {
            name: format!("On the {}", lower_first(&canopy.name)),
            outline: vec![a, Pt(b.x(), a.y()), b, Pt(a.x(), b.y())],
            height_m: top_m,
            holds: pots(b.x() - a.x(), 30.0),
            ..Spot::default()
        });
    }
    spots
}

/// A bench before a wall on the ground.
fn before(site: &Site, outer: &OuterWall) -> Option<Spot> {
    let room = site.rooms.get(&outer.room)?;
    if room.floor_m > 1.0 || outer.wall.length() < 1.2 {
        return None;
    }
    let out = outer.wall.inward * -1.0;
    let along = (outer.wall.b - outer.wall.a).unit();
    let (from, to) = outer.widest_free(site, &[]);
    let length = 1.6_f64.min(to - from - 0.4).max(0.5);
    // Beyond the building's outer face, wherever that is, with room to pass.
    let mut foot = outer.wall.a + along * ((from + to) / 2.0) + out * BEYOND_M;
    for _ in 0..20 {
        if is_open(site, foot) {
            break;
        }
        foot = foot + out * 0.1;
    }
    let (half, depth) = (along * (length / 2.0), out * 0.6);
    let name = format!(
        "Outdoors, {} of the {}",
        names::compass(outer.faces_deg),
        lower_first(&room.name)
    );
    Some(Spot {
        name,
        outline: vec![
            foot - half,
            foot + half,
            foot + half + depth,
            foot - half + depth,
        ],
        height_m: 0.45,
        holds: pots(length, 32.0),
        ..Spot::default()
    })
}

fn lower_first(name: &str) -> String {
    let mut chars = name.chars();
    chars
        .next()
        .map_or_else(String::new, |c| c.to_lowercase().chain(chars).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        app::sheets::first_steps::shapes::{HouseShape, Sizes},
        base::Hemisphere,
    };

    fn house(shape: HouseShape) -> Site {
        let mut site = Site::default();
        let sizes = Sizes::usual(Hemisphere::North);
        let edits = shape.drawn(&sizes, &site);
        site.apply(Edit::All(edits)).unwrap();
        site
    }

    #[test]
    fn outer_walls_are_those_with_the_open_beyond() {
        let named = |shape| {
            let site = house(shape);
            let mut names: Vec<String> = outer_walls(&site).iter().map(|w| w.name(&site)).collect();
            names.sort();
            names
        };
        let plain = [
            "Back room, east wall",
            "Back room, north wall",
            "Back room, west wall",
            "Front room, east wall",
            "Front room, south wall",
            "Front room, west wall",
        ];
        assert_eq!(named(HouseShape::Plain), plain);
        assert_eq!(
            named(HouseShape::Row),
            ["Back room, north wall", "Front room, south wall"]
        );
    }

    #[test]
    fn windows_share_a_wall_until_it_is_full() {
        let mut site = house(HouseShape::Row);
        let wanted = Window {
            width_m: 3.0,
            ..Window::default()
        };
        let mut count = 0;
        while let Some(edit) = outer_walls(&site)
            .iter()
            .find(|w| w.name(&site).starts_with("Front"))
            .and_then(|w| window_in(&site, w, &wanted))
        {
            site.apply(edit).unwrap();
            count += 1;
            assert!(count < 20);
        }
        assert!(count >= 3, "{count}");
        let mut glass: Vec<(f64, f64)> = site
            .windows
            .values()
            .map(|w| (w.from_corner_m, w.from_corner_m + w.width_m))
            .collect();
        glass.sort_by(|a, b| a.0.total_cmp(&b.0));
        assert!(glass.windows(2).all(|w| w[0].1 < w[1].0), "{glass:?}");
        assert!(glass.last().unwrap().1 < 8.4);
    }

    #[test]
    fn spots_offered_are_sound_and_are_offered_once() {
        for shape in HouseShape::ALL {
            let mut site = house(shape);
            let walls = outer_walls(&site);
            let wanted = Window::default();
            let edits: Vec<Edit> = walls
                .iter()
                .filter(|w| {
                    site.rooms
                        .get(&w.room)
                        .is_some_and(|r| r.glazed_walls.is_none())
                })
                .take(1)
                .filter_map(|w| window_in(&site, w, &wanted))
                .collect();
            site.apply(Edit::All(edits)).unwrap();
            let offered = offered_spots(&site, 20.0);
            assert!(offered.len() >= 2, "{shape:?}");
            for spot in offered {
                let edit = put(&site, spot);
                site.apply(edit).unwrap();
            }
            assert!(offered_spots(&site, 20.0).is_empty(), "{shape:?}");
            let faults: Vec<String> = crate::site::file::check(&site)
                .iter()
                .filter(|f| f.field.starts_with("spots"))
                .map(|f| format!("{}: {}", f.field, f.what))
                .collect();
            assert!(faults.is_empty(), "{shape:?}: {faults:?}");
        }
    }
}
