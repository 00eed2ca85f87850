//! Turning, pushing walls in and out, resizing devices. As in [`super::change`], all counts from the site as it was when
//! the hand went down.

use super::{
    change,
    shape::{self, Item, Opening},
};
use crate::{
    base::{Id, Pt, geometry},
    site::{
        Room, Site, Window,
        edit::{Edit, Object, ObjectKind},
    },
};

/// Shortest heater, m.
const LEAST_HEATER_M: f64 = 0.1;

/// The point that objects are turned about: the middle of the box round them.
#[must_use]
pub fn centre(site: &Site, items: &[Item]) -> Option<Pt> {
    shape::bounds(site, items).map(|(low, high)| low.lerp(high, 0.5))
}

/// Objects turned clockwise about a point, devices with the way they point. Windows turn with their rooms; with
/// `together`, what stands in a turned room comes along. What is locked stays.
#[must_use]
pub fn turned(site: &Site, items: &[Item], about: Pt, deg: f64, together: bool) -> Vec<Edit> {
    let mut all: Vec<Item> = items
        .iter()
        .filter(|(kind, id)| !site.drawing.is_locked(*kind, id))
        .cloned()
        .collect();
    if together {
        let rooms: Vec<Id> = all
            .iter()
            .filter(|(kind, _)| *kind == ObjectKind::Room)
            .map(|(_, id)| id.clone())
            .collect();
        all.extend(rooms.iter().flat_map(|room| change::contents(site, room)));
    }
    all.retain(|(kind, id)| !site.drawing.is_locked(*kind, id));
    all.sort();
    all.dedup();
    let (sin, cos) = deg.to_radians().sin_cos();
    let turn = |p: Pt| {
        let d = p - about;
        let q = about + Pt(d.x() * cos + d.y() * sin, d.y() * cos - d.x() * sin);
        // Tenths of a millimetre: sines of whole turns are not quite zero.
        Pt((q.x() * 1e4).round() / 1e4, (q.y() * 1e4).round() / 1e4)
    };
    all.iter()
        .filter_map(|item| {
            let mut object = site.object(item.0, &item.1)?;
            if let Some(points) = shape::corners_mut(&mut object) {
                points.iter_mut().for_each(|p| *p = turn(*p));
            } else {
                let at = shape::point_mut(&mut object)?;
                *at = turn(*at);
            }
            if let Some((_, azimuth_deg)) = shape::bearing(&object) {
                shape::set_bearing(&mut object, (azimuth_deg + deg).rem_euclid(360.0));
            }
            Some(Edit::Put(item.1.clone(), object))
        })
        .collect()
}

/// One edge of an outline pushed by `by_m` to its left; its neighbours grow or shrink along their own lines, so that
/// angles stay. `None` if the outline would cross itself.
#[must_use]
pub fn with_edge(site: &Site, item: &Item, edge: usize, by_m: f64) -> Option<Edit> {
    let before = site.object(item.0, &item.1)?;
    let points = shape::corners(&before)?.clone();
    let n = points.len();
    let at = |k: usize| points.get(k % n).copied();
    let (a, b) = (at(edge)?, at(edge + 1)?);
    let along = (b - a).unit();
    let shift = along.left() * by_m;
    // Where a neighbour's line meets the pushed edge.
    let meet = |corner: Pt, other: Pt| {
        let way = (corner - other).unit();
        let cross = way.cross(along);
        if cross.abs() < 0.05 {
            return corner + shift;
        }
        corner + way * (shift.cross(along) / cross)
    };
    let (new_a, new_b) = (meet(a, at(edge + n - 1)?), meet(b, at(edge + 2)?));
    let mut object = before;
    let corners = shape::corners_mut(&mut object)?;
    *corners.get_mut(edge % n)? = new_a;
    *corners.get_mut((edge + 1) % n)? = new_b;
    change::settle(site, &mut object);
    if !shape::is_sound(&object) {
        return None;
    }
    let mut edits = vec![Edit::Put(item.1.clone(), object.clone())];
    if let Object::Room(room) = &object {
        edits.extend(windows_kept(site, &item.1, room));
    }
    Some(Edit::All(edits))
}

/// Windows of a room whose walls have changed stay where they were on the plan, as far as their walls allow.
#[must_use]
pub fn windows_kept(site: &Site, id: &Id, after: &Room) -> Vec<Edit> {
    site.windows
        .iter()
        .filter(|(_, w)| w.room == *id)
        .filter_map(|(i, window)| {
            let Opening { a, .. } = shape::opening(site, window)?;
            let wall = shape::wall(after, window.wall)?;
            let mut fitted = Window::clone(window);
            fitted.from_corner_m = (a - wall.a).dot((wall.b - wall.a).unit());
            change::fit(&mut fitted, wall.length());
            (fitted != **window).then(|| Edit::Put(i.clone(), Object::Window(fitted)))
        })
        .collect()
}

/// A tree, tray or fan with another radius.
#[must_use]
pub fn with_radius(site: &Site, item: &Item, radius_m: f64) -> Option<Edit> {
    let mut object = site.object(item.0, &item.1)?;
    match &mut object {
        Object::Tree(tree) => tree.crown_radius_m = radius_m.max(0.2),
        Object::Tray(tray) => {
            tray.area_m2 = (std::f64::consts::PI * radius_m * radius_m).clamp(0.01, 20.0);
        }
        Object::Fan(fan) => fan.diameter_m = (radius_m * 2.0).clamp(0.05, 8.0),
        _ => return None,
    }
    Some(Edit::Put(item.1.clone(), object))
}

/// One end of a heater moved along its own line; the other stays. End 0 is to its left as it faces.
#[must_use]
pub fn with_heater_end(site: &Site, id: &Id, end: usize, to: Pt) -> Option<Edit> {
    let heater = site.heaters.get(id)?;
    let left = Pt::towards(heater.faces_deg.to_radians()).left();
    let way = if end == 0 { left } else { left * -1.0 };
    let fixed = heater.at - way * (heater.length_m * 0.5);
    let length = (to - fixed).dot(way).clamp(LEAST_HEATER_M, 15.0);
    let mut heater = crate::site::Heater::clone(heater);
    heater.length_m = length;
    heater.at = fixed + way * (length * 0.5);
    Some(Edit::Put(id.clone(), Object::Heater(heater)))
}

/// An outline brought to another width and depth, its lower left corner staying.
pub fn resize(points: &mut [Pt], (width_m, depth_m): (f64, f64)) {
    let Some((low, high)) = geometry::bounds(points.iter().copied()) else {
        return;
    };
    let size = high - low;
    let factor = |new: f64, old: f64| if old > 1e-6 { new / old } else { 1.0 };
    let (fx, fy) = (factor(width_m, size.x()), factor(depth_m, size.y()));
    for p in points {
        let d = *p - low;
        *p = low + Pt(d.x() * fx, d.y() * fy);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::canvas::fixture;

    fn item(kind: ObjectKind, id: &str) -> Item {
        (kind, Id::new(id))
    }

    #[test]
    fn what_is_locked_stays_when_its_room_turns() {
        let mut site = fixture::site();
        let stove = (
            ObjectKind::Heater,
            site.heaters.ids().next().unwrap().clone(),
        );
        let mut drawing = site.drawing.as_ref().clone();
        drawing.lock(std::slice::from_ref(&stove), true);
        site.apply(Edit::SetDrawing(drawing)).unwrap();
        let hall = [item(ObjectKind::Room, "hall")];
        let edits = turned(&site, &hall, Pt(0.0, 0.0), 90.0, true);
        let before = site.object(stove.0, &stove.1);
        site.apply(Edit::All(edits)).unwrap();
        assert_eq!(site.object(stove.0, &stove.1), before);
    }

    #[test]
    fn a_room_turns_with_what_is_in_it() {
        let mut site = fixture::site();
        let hall = [item(ObjectKind::Room, "hall")];
        let about = centre(&site, &hall).unwrap();
        let edits = turned(&site, &hall, about, 90.0, true);
        site.apply(Edit::All(edits)).unwrap();
        let stove = site.heaters.values().next().unwrap();
        // It stood in the upper right facing down; now in the lower right, facing left.
        assert!(stove.at.distance(Pt(3.9, 0.5)) < 1e-3, "{:?}", stove.at);
        assert_eq!(stove.faces_deg, 270.0);
        let window = site.windows.values().next().unwrap();
        let o = shape::opening(&site, window).unwrap();
        assert!(o.a.x().abs() < 1e-3 && o.b.x().abs() < 1e-3);
    }

    #[test]
    fn four_quarter_turns_are_none() {
        let before = fixture::site();
        let mut site = before.clone();
        let items: Vec<Item> = shape::items(&site).collect();
        for _ in 0..4 {
            let edits = turned(&site, &items, Pt(1.0, 2.0), 90.0, false);
            site.apply(Edit::All(edits)).unwrap();
        }
        assert_eq!(site, before);
    }

    #[test]
    fn a_pushed_wall_leaves_angles_and_windows_where_they_were() {
        let mut site = fixture::site();
        // The left wall runs downwards; to its left is the inside.
        let edit = with_edge(&site, &item(ObjectKind::Room, "hall"), 3, -1.0).unwrap();
        let before = shape::opening(&site, site.windows.values().next().unwrap()).unwrap();
        site.apply(edit).unwrap();
        assert_eq!(
            site.rooms.values().next().unwrap().outline,
            [Pt(-1.0, 0.0), Pt(4.0, 0.0), Pt(4.0, 4.0), Pt(-1.0, 4.0)]
        );
        let after = shape::opening(&site, site.windows.values().next().unwrap()).unwrap();
        assert!(after.a.distance(before.a) < 1e-9 && after.b.distance(before.b) < 1e-9);
        let through = with_edge(&site, &item(ObjectKind::Room, "hall"), 3, 9.0);
        assert!(through.is_none_or(|e| site.apply(e).is_ok()));
    }

    #[test]
    fn a_heater_grows_at_one_end() {
        let mut site = fixture::site();
        let before = site.heaters.get(&Id::new("stove")).unwrap().clone();
        let left_end = before.at + Pt(before.length_m * 0.5, 0.0);
        let edit = with_heater_end(&site, &Id::new("stove"), 1, before.at - Pt(2.0, 0.0));
        site.apply(edit.unwrap()).unwrap();
        let heater = site.heaters.get(&Id::new("stove")).unwrap();
        assert!((heater.length_m - before.length_m * 0.5 - 2.0).abs() < 1e-9);
        assert!((heater.at + Pt(heater.length_m * 0.5, 0.0)).distance(left_end) < 1e-9);
    }
}
