//! Copies through the system's clipboard, within a site and from one to another, as text that can be read. What comes
//! back from there may be anything: it is checked as a file is, and taken whole or not at all.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::{
    change,
    shape::{self, Item},
    snap,
};
use crate::{
    base::{Id, Pt, geometry},
    site::{
        Site,
        edit::{Edit, Object, ObjectKind},
        file::{self, Severity},
    },
};

/// Longest text that is looked at, bytes.
const MOST_BYTES: usize = 2_000_000;
/// Objects taken at once at most.
const MOST_OBJECTS: usize = 500;
/// Version of the text.
const VERSION: u32 = 1;

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Copied {
    sillward_objects: u32,
    objects: Vec<(Id, Object)>,
}

/// What is to be put in.
#[derive(Debug)]
pub struct Pasted {
    pub edit: Edit,
    pub items: Vec<Item>,
    /// What found no room or wall to belong to.
    pub left_out: Vec<String>,
}

/// Whether an object can be put in again by itself: pots stand on spots, and a window wants its room.
#[must_use]
pub fn is_whole((kind, _): &Item) -> bool {
    shape::DRAWN.contains(kind) && *kind != ObjectKind::Window
}

/// Objects as text; rooms bring their windows, devices and spots along. `None` if nothing of it is drawn.
#[must_use]
pub fn copied(site: &Site, items: &[Item]) -> Option<String> {
    let mut all: Vec<Item> = items
        .iter()
        .filter(|(kind, _)| shape::DRAWN.contains(kind))
        .cloned()
        .collect();
    for (kind, id) in items {
        if *kind == ObjectKind::Room {
            all.extend(change::contents(site, id));
            all.extend(
                site.windows
                    .iter()
                    .filter(|(_, w)| w.room == *id)
                    .map(|(i, _)| (ObjectKind::Window, i.clone())),
            );
        }
    }
    all.sort();
    all.dedup();
    let objects: Vec<(Id, Object)> = all
        .into_iter()
        .filter_map(|(kind, id)| site.object(kind, &id).map(|o| (id, o)))
        .collect();
    if objects.is_empty() {
        return None;
    }
    let copied = Copied {
        sillward_objects: VERSION,
        objects,
    };
    ron::ser::to_string_pretty(&copied, ron::ser::PrettyConfig::default()).ok()
}

/// Copies out of a text, with their middle at a point.
///
/// # Errors
/// A sentence for the grower when the text holds no objects, or such as this site could not hold.
pub fn pasted(site: &Site, text: &str, at: Pt) -> Result<Pasted, String> {
    if text.len() > MOST_BYTES || !text.contains("sillward_objects") {
        return Err("The clipboard holds nothing that was copied from a drawing".to_owned());
    }
    let copied: Copied =
        ron::from_str(text).map_err(|e| format!("What was copied cannot be read: {e}"))?;
    if copied.sillward_objects != VERSION {
        return Err("What was copied comes from a newer version of this program".to_owned());
    }
    let objects = copied.objects;
    if objects.len() > MOST_OBJECTS {
        return Err(format!(
            "{} objects are too many at once; {MOST_OBJECTS} can be taken",
            objects.len()
        ));
    }
    if objects
        .iter()
        .any(|(_, o)| !shape::DRAWN.contains(&o.kind()) || !shape::is_sound(o))
    {
        return Err("What was copied holds something that cannot be drawn".to_owned());
    }
    let by = snap::to_grid(at - middle(&objects)?);
    let mut scratch = site.clone();
    let mut edits = Vec::new();
    let mut items = Vec::new();
    let mut left_out = Vec::new();
    let mut rooms: BTreeMap<Id, Id> = BTreeMap::new();
    // Rooms first: the others name them.
    let (first, then): (Vec<_>, Vec<_>) = objects
        .into_iter()
        .partition(|(_, o)| o.kind() == ObjectKind::Room);
    for (id, mut object) in first.into_iter().chain(then) {
        let kind = object.kind();
        shape::shift(&mut object, by);
        if !housed(&scratch, &rooms, &mut object) {
            left_out.push(named(&object));
            continue;
        }
        if object.name().is_empty() || is_taken(&scratch, &object) {
            object.set_name(&change::copied_name(&scratch, &object));
        }
        let new = change::new_id(&scratch, kind, object.name());
        let edit = Edit::Put(new.clone(), object);
        scratch.apply(edit.clone()).map_err(|e| e.to_string())?;
        edits.push(edit);
        if kind == ObjectKind::Room {
            rooms.insert(id, new.clone());
        }
        items.push((kind, new));
    }
    if items.is_empty() {
        return Err(format!(
            "There is no room here for {}: draw or copy its room first",
            left_out.join(", ")
        ));
    }
    refuse_faults(site, &scratch)?;
    Ok(Pasted {
        edit: Edit::All(edits),
        items,
        left_out,
    })
}

/// Middle of all of it, windows apart.
fn middle(objects: &[(Id, Object)]) -> Result<Pt, String> {
    let points = objects.iter().flat_map(|(_, o)| {
        let mut o = o.clone();
        match shape::corners(&o) {
            Some(corners) => corners.clone(),
            None => shape::point_mut(&mut o).map(|p| *p).into_iter().collect(),
        }
    });
    match geometry::bounds(points) {
        Some((low, high)) if low.is_finite() && high.is_finite() => Ok(low.lerp(high, 0.5)),
        _ => Err("Windows and doors are copied with their room".to_owned()),
    }
}

/// Gives an object its room among the copies, or where it comes to stand; false if it needs one and there is none.
fn housed(site: &Site, rooms: &BTreeMap<Id, Id>, object: &mut Object) -> bool {
    let old = change::room_of(object).cloned();
    if let Some(new) = old.as_ref().and_then(|old| rooms.get(old)) {
        change::set_room(object, new);
        return true;
    }
    match object {
        Object::Window(_) => false,
        Object::Heater(o) => match shape::room_at(site, o.at) {
            Some(room) => {
                o.room = room;
                true
            }
            None => false,
        },
        Object::Vent(o) => match shape::room_at(site, o.at) {
            Some(room) => {
                o.room = room;
                true
            }
            None => false,
        },
        other => {
            change::settle(site, other);
            true
        }
    }
}

fn named(object: &Object) -> String {
    if object.name().is_empty() {
        object.kind().word().to_owned()
    } else {
        object.name().to_owned()
    }
}

fn is_taken(site: &Site, object: &Object) -> bool {
    let name = object.name().to_lowercase();
    let kind = object.kind();
    site.ids(kind)
        .iter()
        .any(|id| site.name_of(kind, id).to_lowercase() == name)
}

/// What is pasted must be what a file could hold.
fn refuse_faults(before: &Site, after: &Site) -> Result<(), String> {
    let known = file::check(before);
    let new = file::check(after)
        .into_iter()
        .find(|f| f.severity == Severity::Fault && !known.contains(f));
    match new {
        Some(fault) => Err(format!(
            "What was copied cannot stand here: {}; {}",
            fault.what, fault.remedy
        )),
        None => Ok(()),
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
    fn a_room_comes_over_to_another_site_with_all_that_is_in_it() {
        let from = fixture::site();
        let text = copied(&from, &[item(ObjectKind::Room, "hall")]).unwrap();
        let mut to = Site::default();
        let pasted = pasted(&to, &text, Pt(20.0, 20.0)).unwrap();
        to.apply(pasted.edit).unwrap();
        assert!(pasted.left_out.is_empty());
        assert_eq!(
            (
                to.rooms.len(),
                to.windows.len(),
                to.heaters.len(),
                to.spots.len()
            ),
            (1, 1, 1, 1)
        );
        let (id, room) = to.rooms.iter().next().unwrap();
        assert_eq!(room.outline[0], Pt(18.0, 18.0));
        assert_eq!(to.heaters.values().next().unwrap().at, Pt(21.5, 21.9));
        assert_eq!(to.spots.values().next().unwrap().room.as_ref(), Some(id));
    }

    #[test]
    fn within_a_site_copies_get_names_of_their_own() {
        let mut site = fixture::site();
        let text = copied(&site, &[item(ObjectKind::Spot, "bench")]).unwrap();
        let pasted = pasted(&site, &text, Pt(10.0, 10.0)).unwrap();
        site.apply(pasted.edit).unwrap();
        let copy = site.spots.get(&pasted.items[0].1).unwrap();
        assert_eq!(copy.name, "Bench 2");
        assert!(geometry::centroid(&copy.outline).distance(Pt(10.0, 10.0)) < 0.051);
    }

    #[test]
    fn what_has_no_room_is_left_out_and_said() {
        let from = fixture::site();
        let both = [
            item(ObjectKind::Heater, "stove"),
            item(ObjectKind::Spot, "bench"),
        ];
        let text = copied(&from, &both).unwrap();
        let pasted = pasted(&Site::default(), &text, Pt(0.0, 0.0)).unwrap();
        assert_eq!(
            (pasted.items.len(), pasted.left_out),
            (1, vec!["Stove".to_owned()])
        );
    }

    #[test]
    fn anything_else_on_the_clipboard_is_refused() {
        let site = fixture::site();
        let good = copied(&site, &[item(ObjectKind::Spot, "bench")]).unwrap();
        let at = Pt(0.0, 0.0);
        for (text, part) in [
            ("some words".to_owned(), "nothing that was copied"),
            (good.replace("6.5", "many"), "cannot be read"),
            (
                good.replace("sillward_objects: 1", "sillward_objects: 7"),
                "newer",
            ),
            (
                good.replace("height_m: 0.0", "height_m: 900.0"),
                "cannot stand here",
            ),
            (good.replace("6.5", "inf"), "cannot"),
        ] {
            let why = pasted(&site, &text, at).unwrap_err();
            assert!(why.contains(part), "{why}");
        }
    }
}
