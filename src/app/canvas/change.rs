//! From what the hand does to edits of the document. All of it counts from the site as it was when the hand
//! went down, so that a long drag gathers no error.

use super::{
    reshape,
    shape::{self, Item},
};
use crate::{
    base::{Id, Pt, geometry},
    site::{
        Drawing, Site, Window,
        edit::{Edit, Object, ObjectKind},
    },
};

/// Least width of a window, m.
const LEAST_WIDTH_M: f64 = 0.2;
/// A window goes over to a wall that is as near as this, and by as much nearer than its own, m.
const OTHER_WALL_M: f64 = 0.35;

/// Whether there is nothing but what is locked.
#[must_use]
pub fn all_locked(site: &Site, items: &[Item]) -> bool {
    !items.is_empty()
        && items
            .iter()
            .all(|(kind, id)| site.drawing.is_locked(*kind, id))
}

/// Locks what is drawn, or unlocks it where all of it is locked; with the name of the step.
#[must_use]
pub fn lock_switched(site: &Site, items: &[Item], name: &str) -> Option<(String, Edit)> {
    let drawn: Vec<Item> = items
        .iter()
        .filter(|(kind, _)| shape::DRAWN.contains(kind))
        .cloned()
        .collect();
    if drawn.is_empty() {
        return None;
    }
    let lock = !all_locked(site, &drawn);
    let mut drawing = Drawing::clone(&site.drawing);
    drawing.lock(&drawn, lock);
    let word = if lock { "Lock" } else { "Unlock" };
    Some((format!("{word} {name}"), Edit::SetDrawing(drawing)))
}

/// Objects moved by `by`. Windows slide along their wall, and one alone goes over to another wall that it is pulled to.
/// With `together`, what stands in a moved room comes along. What is locked stays.
#[must_use]
pub fn moved(site: &Site, items: &[Item], by: Pt, together: bool) -> Vec<Edit> {
    let alone = items.len() == 1;
    let items: Vec<Item> = items
        .iter()
        .filter(|(kind, id)| !site.drawing.is_locked(*kind, id))
        .cloned()
        .collect();
    let rooms: Vec<&Id> = items
        .iter()
        .filter(|(kind, _)| *kind == ObjectKind::Room)
        .map(|(_, id)| id)
        .collect();
    let mut all: Vec<Item> = items.clone();
    if together {
        for room in &rooms {
            all.extend(contents(site, room));
        }
    }
    all.retain(|(kind, id)| !site.drawing.is_locked(*kind, id));
    all.sort();
    all.dedup();
    all.iter()
        .filter_map(|item| {
            let object = site.object(item.0, &item.1)?;
            let object = match object {
                Object::Window(window) if alone => Object::Window(pulled_window(site, window, by)),
                other => moved_object(site, other, by, &rooms, together)?,
            };
            Some(Edit::Put(item.1.clone(), object))
        })
        .collect()
}

fn moved_object(
    site: &Site,
    mut object: Object,
    by: Pt,
    rooms: &[&Id],
    together: bool,
) -> Option<Object> {
    if let Object::Window(window) = &mut object {
        if rooms.contains(&&window.room) {
            return None;
        }
        slide(site, window, by);
        return Some(object);
    }
    if shape::corners(&object).is_none() {
        shape::point_mut(&mut object)?;
    }
    shape::shift(&mut object, by);
    let came_along = together && room_of(&object).is_some_and(|room| rooms.contains(&room));
    if !came_along {
        settle(site, &mut object);
    }
    Some(object)
}

fn slide(site: &Site, window: &mut Window, by: Pt) {
    if let Some(o) = shape::opening(site, window) {
        let along = by.dot((o.wall.b - o.wall.a).unit());
        window.from_corner_m =
            (window.from_corner_m + along).clamp(0.0, (o.wall.length() - window.width_m).max(0.0));
    }
}

/// A window pulled by `by`: along its wall, or over to the wall that is clearly nearer by then.
fn pulled_window(site: &Site, mut window: Window, by: Pt) -> Window {
    let Some(o) = shape::opening(site, &window) else {
        return window;
    };
    let at = o.a.lerp(o.b, 0.5) + by;
    let own = geometry::nearest_on_segment(o.wall.a, o.wall.b, at)
        .0
        .distance(at);
    match nearest_wall(site, at) {
        Some((room, index, along, distance))
            if (room != window.room || index != window.wall)
                && distance <= OTHER_WALL_M
                && distance + OTHER_WALL_M < own =>
        {
            let length = site
                .rooms
                .get(&room)
                .and_then(|r| shape::wall(r, index))
                .map_or(0.0, |w| w.length());
            window.room = room;
            window.wall = index;
            window.from_corner_m = along - window.width_m * 0.5;
            fit(&mut window, length);
        }
        _ => slide(site, &mut window, by),
    }
    window
}

/// Devices and spots of a room.
pub fn contents(site: &Site, room: &Id) -> Vec<Item> {
    [
        ObjectKind::Heater,
        ObjectKind::Vent,
        ObjectKind::Fan,
        ObjectKind::Tray,
        ObjectKind::Spot,
    ]
    .into_iter()
    .flat_map(|kind| site.ids(kind).into_iter().map(move |id| (kind, id)))
    .filter(|(kind, id)| {
        site.object(*kind, id)
            .is_some_and(|o| room_of(&o) == Some(room))
    })
    .collect()
}

/// The room an object belongs to.
#[must_use]
pub fn room_of(object: &Object) -> Option<&Id> {
    match object {
        Object::Window(o) => Some(&o.room),
        Object::Heater(o) => Some(&o.room),
        Object::Vent(o) => Some(&o.room),
        Object::Fan(o) => o.room.as_ref(),
        Object::Tray(o) => o.room.as_ref(),
        Object::Spot(o) => o.room.as_ref(),
        _ => None,
    }
}

/// Gives a device or spot the room it now stands in. A heater or vent outside every room keeps the one it had.
pub fn settle(site: &Site, object: &mut Object) {
    let at = match object {
        Object::Spot(o) => o.middle(),
        Object::Heater(o) => o.at,
        Object::Vent(o) => o.at,
        Object::Fan(o) => o.at,
        Object::Tray(o) => o.at,
        _ => return,
    };
    let room = shape::room_at(site, at);
    match (object, room) {
        (Object::Spot(o), room) => o.room = room,
        (Object::Fan(o), room) => o.room = room,
        (Object::Tray(o), room) => o.room = room,
        (Object::Heater(o), Some(room)) => o.room = room,
        (Object::Vent(o), Some(room)) => o.room = room,
        _ => {}
    }
}

/// One corner moved. `None` if the outline would cross itself or lose its area.
#[must_use]
pub fn with_corner(site: &Site, item: &Item, index: usize, to: Pt) -> Option<Edit> {
    let mut object = site.object(item.0, &item.1)?;
    *shape::corners_mut(&mut object)?.get_mut(index)? = to;
    settle(site, &mut object);
    if !shape::is_sound(&object) {
        return None;
    }
    let mut edits = vec![Edit::Put(item.1.clone(), object.clone())];
    if let Object::Room(room) = &object {
        edits.extend(reshape::windows_kept(site, &item.1, room));
    }
    Some(Edit::All(edits))
}

/// Makes a window lie within a wall of a given length.
pub fn fit(window: &mut Window, wall_m: f64) {
    window.width_m = window.width_m.min(wall_m).max(LEAST_WIDTH_M.min(wall_m));
    window.from_corner_m = window
        .from_corner_m
        .clamp(0.0, (wall_m - window.width_m).max(0.0));
}

/// A corner put in after corner `after`. Windows beyond it move to the new wall.
#[must_use]
pub fn with_new_corner(site: &Site, item: &Item, after: usize, at: Pt) -> Option<Edit> {
    let mut object = site.object(item.0, &item.1)?;
    let points = shape::corners_mut(&mut object)?;
    let first = *points.get(after)?;
    points.insert(after + 1, at);
    let split_m = first.distance(at);
    let mut edits = vec![Edit::Put(item.1.clone(), object)];
    if item.0 == ObjectKind::Room {
        for (id, window) in site.windows.iter().filter(|(_, w)| w.room == item.1) {
            let mut window = Window::clone(window);
            if window.wall > after {
                window.wall += 1;
            } else if window.wall == after && window.from_corner_m + window.width_m * 0.5 >= split_m
            {
                window.wall += 1;
                window.from_corner_m = (window.from_corner_m - split_m).max(0.0);
            } else if window.wall == after {
                fit(&mut window, split_m);
            } else {
                continue;
            }
            edits.push(Edit::Put(id.clone(), Object::Window(window)));
        }
    }
    Some(Edit::All(edits))
}

/// A corner taken away. `None` if too few would be left, or the rest would cross.
#[must_use]
pub fn without_corner(site: &Site, item: &Item, index: usize) -> Option<Edit> {
    let mut object = site.object(item.0, &item.1)?;
    let fewest = shape::fewest_corners(&object);
    let before = shape::corners(&object)?.clone();
    if before.len() <= fewest || index >= before.len() {
        return None;
    }
    shape::corners_mut(&mut object)?.remove(index);
    if !shape::is_sound(&object) {
        return None;
    }
    let mut edits = vec![Edit::Put(item.1.clone(), object.clone())];
    if let Object::Room(room) = &object {
        let n = before.len();
        let joined = (index + n - 1) % n;
        let joined_m = before[joined].distance(before[index]);
        for (id, window) in site.windows.iter().filter(|(_, w)| w.room == item.1) {
            let mut window = Window::clone(window);
            if window.wall == index {
                // Its wall and the one before it are one now.
                window.wall = joined;
                window.from_corner_m += joined_m;
            }
            if window.wall > index {
                window.wall -= 1;
            }
            if let Some(wall) = shape::wall(room, window.wall) {
                fit(&mut window, wall.length());
            }
            edits.push(Edit::Put(id.clone(), Object::Window(window)));
        }
    }
    Some(Edit::All(edits))
}

/// A device turned so that it points from its place towards `to`, in steps of 5 degrees.
#[must_use]
pub fn turned(site: &Site, item: &Item, to: Pt) -> Option<Edit> {
    let mut object = site.object(item.0, &item.1)?;
    let (at, _) = shape::bearing(&object)?;
    shape::set_bearing(&mut object, azimuth_deg(to - at));
    Some(Edit::Put(item.1.clone(), object))
}

/// Plan azimuth of a vector, degrees clockwise from plan-up, in steps of 5, 0..360.
#[must_use]
pub fn azimuth_deg(v: Pt) -> f64 {
    (v.x().atan2(v.y()).to_degrees() / 5.0)
        .round()
        .rem_euclid(72.0)
        * 5.0
}

/// One end of a window moved along its wall; end 0 is the one nearer to the wall's first corner.
#[must_use]
pub fn with_window_end(site: &Site, id: &Id, end: usize, to: Pt) -> Option<Edit> {
    let mut window = Window::clone(site.windows.get(id)?);
    let o = shape::opening(site, &window)?;
    let along = (to - o.wall.a)
        .dot((o.wall.b - o.wall.a).unit())
        .clamp(0.0, o.wall.length());
    let far = window.from_corner_m + window.width_m;
    if end == 0 {
        window.from_corner_m = along.min(far - LEAST_WIDTH_M).max(0.0);
        window.width_m = far - window.from_corner_m;
    } else {
        window.width_m = (along - window.from_corner_m).max(LEAST_WIDTH_M);
    }
    Some(Edit::Put(id.clone(), Object::Window(window)))
}

/// Takes objects away, those that lean on others first.
#[must_use]
pub fn removed(items: &[Item]) -> Edit {
    let mut items = items.to_vec();
    items.sort_by_key(|(kind, id)| (*kind == ObjectKind::Room, *kind, id.clone()));
    Edit::All(
        items
            .into_iter()
            .map(|(kind, id)| Edit::Remove(kind, id))
            .collect(),
    )
}

/// Copies of objects set beside them, and what the copies are. Windows and devices of a copied room come along.
#[must_use]
pub fn duplicated(site: &Site, items: &[Item], by: Pt) -> (Edit, Vec<Item>) {
    let mut scratch = site.clone();
    let mut edits = Vec::new();
    let mut copies = Vec::new();
    let mut put = |scratch: &mut Site, object: Object| -> Option<Item> {
        let kind = object.kind();
        let id = new_id(scratch, kind, object.name());
        let edit = Edit::Put(id.clone(), object);
        scratch.apply(edit.clone()).ok()?;
        edits.push(edit);
        Some((kind, id))
    };
    for item in items.iter().filter(|(kind, _)| shape::DRAWN.contains(kind)) {
        let Some(object) = site.object(item.0, &item.1) else {
            continue;
        };
        let with_its_room =
            room_of(&object).is_some_and(|room| items.contains(&(ObjectKind::Room, room.clone())));
        if with_its_room {
            continue;
        }
        let Some(mut copy) = moved_object(site, object, by, &[], false) else {
            continue;
        };
        copy.set_name(&copied_name(&scratch, &copy));
        let Some(new) = put(&mut scratch, copy) else {
            continue;
        };
        if item.0 == ObjectKind::Room {
            let mut inside = contents(site, &item.1);
            inside.extend(
                site.windows
                    .iter()
                    .filter(|(_, w)| w.room == item.1)
                    .map(|(id, _)| (ObjectKind::Window, id.clone())),
            );
            for (kind, id) in inside {
                let Some(mut object) = site.object(kind, &id) else {
                    continue;
                };
                shape::shift(&mut object, by);
                set_room(&mut object, &new.1);
                object.set_name(&copied_name(&scratch, &object));
                put(&mut scratch, object);
            }
        }
        copies.push(new);
    }
    (Edit::All(edits), copies)
}

/// Gives an object that belongs to a room another one.
pub fn set_room(object: &mut Object, room: &Id) {
    match object {
        Object::Window(o) => o.room = room.clone(),
        Object::Heater(o) => o.room = room.clone(),
        Object::Vent(o) => o.room = room.clone(),
        Object::Fan(o) => o.room = Some(room.clone()),
        Object::Tray(o) => o.room = Some(room.clone()),
        Object::Spot(o) => o.room = Some(room.clone()),
        _ => {}
    }
}

/// A name for a copy: the same word with the next number.
#[must_use]
pub fn copied_name(site: &Site, object: &Object) -> String {
    let stem = object
        .name()
        .trim_end_matches(|c: char| c.is_ascii_digit())
        .trim_end();
    new_name(
        site,
        object.kind(),
        if stem.is_empty() {
            object.kind().word()
        } else {
            stem
        },
    )
}

/// A name that no other object of this kind has: `Window 3`.
#[must_use]
pub fn new_name(site: &Site, kind: ObjectKind, word: &str) -> String {
    let taken: Vec<String> = site
        .ids(kind)
        .iter()
        .map(|id| site.name_of(kind, id).to_lowercase())
        .collect();
    let alike = taken
        .iter()
        .filter(|n| n.starts_with(&word.to_lowercase()))
        .count();
    let mut n = alike + 1;
    loop {
        let name = format!("{word} {n}");
        if !taken.contains(&name.to_lowercase()) {
            return name;
        }
        n += 1;
    }
}

/// An identifier that no other object of this kind has.
#[must_use]
pub fn new_id(site: &Site, kind: ObjectKind, name: &str) -> Id {
    Id::from_name(name, |id| site.has(kind, id))
}

/// Nearest wall of any room: room, wall number, and the place along it, m.
#[must_use]
pub fn nearest_wall(site: &Site, p: Pt) -> Option<(Id, usize, f64, f64)> {
    site.rooms
        .iter()
        .flat_map(|(id, room)| {
            geometry::edges(&room.outline)
                .enumerate()
                .map(move |(index, (a, b))| {
                    let (at, share) = geometry::nearest_on_segment(a, b, p);
                    (id.clone(), index, share * a.distance(b), at.distance(p))
                })
                .collect::<Vec<_>>()
        })
        .min_by(|a, b| a.3.total_cmp(&b.3).then_with(|| a.0.cmp(&b.0)))
}

#[cfg(test)]
mod tests;
