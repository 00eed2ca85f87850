//! One storey at a time: what lies on the others is neither drawn nor picked. What stands outdoors is always there.

use crate::{
    base::Id,
    site::{Room, Site, edit::ObjectKind},
};

use super::shape::Item;

/// Floors closer than this belong to one storey, m: a porch a step down is no storey of its own.
const ONE_STOREY_M: f64 = 1.2;
/// From floor to floor where nothing is known, m.
pub const USUAL_RISE_M: f64 = 2.7;

/// Floor heights of the storeys, m above the ground, ascending; the ground is always one.
#[must_use]
pub fn levels(site: &Site) -> Vec<f64> {
    let mut floors: Vec<f64> = site.rooms.values().map(|r| r.floor_m).collect();
    floors.push(0.0);
    floors.sort_by(f64::total_cmp);
    let mut levels: Vec<f64> = Vec::new();
    for floor in floors {
        match levels.last() {
            // The ground gives its storey its name, whatever steps lead down.
            Some(last) if floor - last < ONE_STOREY_M => {
                if floor == 0.0
                    && let Some(last) = levels.last_mut()
                {
                    *last = 0.0;
                }
            }
            _ => levels.push(floor),
        }
    }
    levels
}

/// The storey to begin with: where most of the spots indoors are, or else most of the rooms; the ground in doubt.
#[must_use]
pub fn main(site: &Site) -> f64 {
    let levels = levels(site);
    let busy = |level: f64| {
        let here = |room: &Room| is_on(room, level, &levels);
        let spots = site
            .spots
            .values()
            .filter(|s| {
                let room = s.room.as_ref().and_then(|r| site.rooms.get(r));
                room.is_some_and(|r| here(r))
            })
            .count();
        let rooms = site.rooms.values().filter(|r| here(r)).count();
        (spots, rooms)
    };
    levels
        .iter()
        .copied()
        .max_by(|a, b| {
            busy(*a)
                .cmp(&busy(*b))
                .then_with(|| b.abs().total_cmp(&a.abs()))
        })
        .unwrap_or(0.0)
}

/// What a storey is called.
#[must_use]
pub fn name(level_m: f64, levels: &[f64]) -> String {
    let above = levels
        .iter()
        .filter(|l| **l > 0.5 && **l <= level_m + 1e-6)
        .count();
    match above {
        0 if level_m < -0.5 => "Cellar".to_owned(),
        0 => "Ground floor".to_owned(),
        1 => "Upper floor".to_owned(),
        n => format!("{n} floors up"),
    }
}

fn is_on(room: &Room, level_m: f64, levels: &[f64]) -> bool {
    let own = levels
        .iter()
        .copied()
        .min_by(|a, b| {
            (a - room.floor_m)
                .abs()
                .total_cmp(&(b - room.floor_m).abs())
        })
        .unwrap_or(0.0);
    (own - level_m).abs() < 1e-6
}

/// The storey an object is on; `None` outdoors and for what reaches over all.
#[must_use]
pub fn level_of(site: &Site, item: &Item) -> Option<f64> {
    let room = match item.0 {
        ObjectKind::Room => item.1.clone(),
        _ => super::change::room_of(&site.object(item.0, &item.1)?)?.clone(),
    };
    let levels = levels(site);
    let room = site.rooms.get(&room)?;
    levels.iter().copied().find(|l| is_on(room, *l, &levels))
}

/// The site without the rooms of other storeys and what is in them.
#[must_use]
pub fn on(site: &Site, level_m: f64) -> Site {
    let levels = levels(site);
    let hidden: Vec<Id> = site
        .rooms
        .iter()
        .filter(|(_, room)| !is_on(room, level_m, &levels))
        .map(|(id, _)| id.clone())
        .collect();
    let mut shown = site.clone();
    for room in &hidden {
        shown.rooms.remove(room);
    }
    for kind in [
        ObjectKind::Window,
        ObjectKind::Heater,
        ObjectKind::Vent,
        ObjectKind::Fan,
        ObjectKind::Tray,
        ObjectKind::Spot,
    ] {
        for id in site.ids(kind) {
            let gone = site
                .object(kind, &id)
                .is_some_and(|o| super::change::room_of(&o).is_some_and(|r| hidden.contains(r)));
            if gone {
                hide(&mut shown, kind, &id);
            }
        }
    }
    shown
}

fn hide(shown: &mut Site, kind: ObjectKind, id: &Id) {
    match kind {
        ObjectKind::Window => drop(shown.windows.remove(id)),
        ObjectKind::Heater => drop(shown.heaters.remove(id)),
        ObjectKind::Vent => drop(shown.vents.remove(id)),
        ObjectKind::Fan => drop(shown.fans.remove(id)),
        ObjectKind::Tray => drop(shown.trays.remove(id)),
        ObjectKind::Spot => drop(shown.spots.remove(id)),
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        app::canvas::fixture,
        site::{
            Spot,
            edit::{Edit, Object},
        },
    };

    /// The fixture with a bedroom above the hall, a cellar, and a porch a step down.
    fn tall() -> Site {
        let mut site = fixture::site();
        let hall = Room::clone(site.rooms.get(&Id::new("hall")).unwrap());
        for (id, floor_m) in [("bedroom", 2.75), ("cellar", -2.2), ("porch", -0.2)] {
            let room = Room {
                name: id.into(),
                floor_m,
                ..hall.clone()
            };
            site.apply(Edit::Put(Id::new(id), Object::Room(room)))
                .unwrap();
        }
        let shelf = Spot {
            room: Some(Id::new("bedroom")),
            outline: hall.outline[..1].to_vec(),
            ..Spot::default()
        };
        site.apply(Edit::Put(Id::new("shelf"), Object::Spot(shelf)))
            .unwrap();
        site
    }

    #[test]
    fn storeys_follow_the_floors_of_rooms() {
        let site = tall();
        let levels = levels(&site);
        assert_eq!(levels, [-2.2, 0.0, 2.75]);
        let names: Vec<String> = levels.iter().map(|l| name(*l, &levels)).collect();
        assert_eq!(names, ["Cellar", "Ground floor", "Upper floor"]);
        assert_eq!(
            level_of(&site, &(ObjectKind::Spot, Id::new("shelf"))),
            Some(2.75)
        );
        assert_eq!(
            level_of(&site, &(ObjectKind::Room, Id::new("porch"))),
            Some(0.0)
        );
        assert_eq!(level_of(&site, &(ObjectKind::Spot, Id::new("bench"))), None);
    }

    #[test]
    fn the_plan_begins_on_the_storey_with_most_spots() {
        let mut site = tall();
        assert!(
            main(&site).abs() < 1e-9,
            "a spot on each of two: the ground"
        );
        let spot = Spot::clone(site.spots.get(&Id::new("shelf")).unwrap());
        site.apply(Edit::Put(Id::new("second-shelf"), Object::Spot(spot)))
            .unwrap();
        assert!((main(&site) - 2.75).abs() < 1e-9);
    }

    #[test]
    fn only_one_storey_is_shown_but_always_the_garden() {
        let site = tall();
        let ground = on(&site, 0.0);
        assert_eq!(
            ground.ids(ObjectKind::Room),
            [Id::new("hall"), Id::new("porch")]
        );
        assert_eq!(
            ground.ids(ObjectKind::Spot),
            [Id::new("bench"), Id::new("sill")]
        );
        let upper = on(&site, 2.75);
        assert_eq!(
            upper.ids(ObjectKind::Spot),
            [Id::new("bench"), Id::new("shelf")]
        );
        assert!(upper.windows.is_empty() && upper.heaters.is_empty() && upper.cloths.len() == 1);
    }
}
