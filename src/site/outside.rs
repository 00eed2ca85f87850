//! Which walls of a room have the open air behind them.

use super::{Building, Room, Site};
use crate::base::{Id, Pt, geometry};

/// The building that a room lies in.
#[must_use]
pub(crate) fn home_of<'a>(site: &'a Site, room: &Room) -> Option<&'a Building> {
    let middle = geometry::centroid(&room.outline);
    site.buildings
        .values()
        .find(|b| geometry::contains(&b.outline, middle))
}

/// Whether a room's wall has open air behind it at a place: neither another room of the same storey nor the inside of
/// a building.
pub(crate) fn faces_open(
    site: &Site,
    (id, room): (&Id, &Room),
    home: Option<&Building>,
    at: Pt,
    normal: Pt,
) -> bool {
    let behind = at + normal * 0.6;
    let in_room = site.rooms.iter().any(|(other, r)| {
        let beside =
            r.floor_m < room.floor_m + room.height_m && r.floor_m + r.height_m > room.floor_m;
        other != id && beside && geometry::contains(&r.outline, behind)
    });
    let in_building = match home {
        Some(b) => geometry::contains(&b.outline, behind),
        None => site
            .buildings
            .values()
            .any(|b| geometry::contains(&b.outline, behind)),
    };
    !in_room && !in_building
}

/// Whether what stands in a wall of a room, counted from 0, leads into the open.
pub(crate) fn leads_outside(site: &Site, (id, room): (&Id, &Room), wall: usize) -> bool {
    let turn = geometry::signed_area(&room.outline).signum();
    geometry::edges(&room.outline)
        .nth(wall)
        .is_some_and(|(a, b)| {
            let normal = (b - a).left().unit() * -turn;
            faces_open(
                site,
                (id, room),
                home_of(site, room),
                a.lerp(b, 0.5),
                normal,
            )
        })
}
