//! Buildings, rooms and windows.

use super::list::{Faults, join, object};
use crate::{
    base::{Id, Pt, geometry},
    site::{Roof, Room, RoomAir, Site, Window, WindowKind},
};

/// Rounding that a drawing may have, m.
const SLACK_M: f64 = 0.005;

pub(super) fn check(site: &Site, faults: &mut Faults) {
    for (id, b) in site.buildings.iter() {
        let at = object("buildings", id);
        faults.range(&at, "base_m", b.base_m, 0.0..=60.0, "m");
        faults.range(&at, "wall_top_m", b.wall_top_m, 0.1..=300.0, "m");
        faults.range(&at, "eaves_m", b.eaves_m, 0.0..=3.0, "m");
        faults.range(&at, "reflectance", b.reflectance, 0.0..=1.0, "");
        if b.wall_top_m <= b.base_m {
            faults.fault(
                join(&at, "wall_top_m"),
                format!(
                    "the walls end at {} m, at or below their foot at {} m",
                    b.wall_top_m, b.base_m
                ),
                "give both as heights above the ground",
            );
        }
        let (field, top) = match b.roof {
            Roof::Flat => continue,
            Roof::Gable { ridge_m } | Roof::Hip { ridge_m } => ("roof.ridge_m", ridge_m),
            Roof::Lean {
                high_m,
                towards_deg,
            } => {
                faults.range(&at, "roof.towards_deg", towards_deg, -360.0..=360.0, "°");
                ("roof.high_m", high_m)
            }
        };
        faults.range(&at, field, top, 0.1..=320.0, "m");
        if top < b.wall_top_m {
            faults.fault(
                join(&at, field),
                format!(
                    "the roof's top at {top} m is below the walls' top at {} m",
                    b.wall_top_m
                ),
                "give the height above the ground, not above the walls",
            );
        }
    }
    for (id, room) in site.rooms.iter() {
        check_room(&object("rooms", id), room, faults);
    }
    for (id, window) in site.windows.iter() {
        let at = object("windows", id);
        if faults.known(&at, "room", &window.room, &site.rooms, "room")
            && let Some(room) = site.rooms.get(&window.room)
        {
            in_its_wall(&at, window, room, faults);
        }
        check_window(&at, window, faults);
    }
    overlaps(site, faults);
}

fn check_room(at: &str, room: &Room, faults: &mut Faults) {
    faults.range(at, "floor_m", room.floor_m, -6.0..=200.0, "m");
    faults.range(at, "height_m", room.height_m, 1.0..=12.0, "m");
    faults.range(
        at,
        "air_changes_per_h",
        room.air_changes_per_h,
        0.0..=60.0,
        "an hour",
    );
    faults.range(at, "vapour_kg_d", room.vapour_kg_d, 0.0..=60.0, "kg a day");
    for (field, value) in [
        ("wall_reflectance", room.wall_reflectance),
        ("floor_reflectance", room.floor_reflectance),
        ("ceiling_reflectance", room.ceiling_reflectance),
    ] {
        faults.range(at, field, value, 0.0..=1.0, "");
    }
    match &room.air {
        RoomAir::Heated {
            day_c,
            night_c,
            day_from_h,
            day_to_h,
            months: _,
            cool_to_c,
            season,
        } => {
            faults.range(at, "air.day_c", *day_c, 0.0..=40.0, "°C");
            faults.range(at, "air.night_c", *night_c, 0.0..=40.0, "°C");
            faults.range(at, "air.day_from_h", *day_from_h, 0.0..=24.0, "h");
            faults.range(at, "air.day_to_h", *day_to_h, 0.0..=24.0, "h");
            if let Some(s) = season {
                faults.range(at, "air.season.day_c", s.day_c, 0.0..=40.0, "°C");
                faults.range(at, "air.season.night_c", s.night_c, 0.0..=40.0, "°C");
            }
            if let Some(cool) = cool_to_c {
                let day_c = &season.map_or(*day_c, |s| day_c.max(s.day_c));
                faults.range(at, "air.cool_to_c", *cool, 5.0..=45.0, "°C");
                if *cool < *day_c {
                    faults.fault(
                        join(at, "air.cool_to_c"),
                        format!(
                            "the room is cooled to {cool} °C, below the {day_c} °C it is heated to"
                        ),
                        "raise `cool_to_c` to `day_c` or above",
                    );
                }
            }
        }
        RoomAir::Unheated {
            frost_guard_c,
            shared_with_house,
            aired_above_c,
        } => {
            if let Some(guard) = frost_guard_c {
                faults.range(at, "air.frost_guard_c", *guard, -10.0..=25.0, "°C");
            }
            faults.range(
                at,
                "air.shared_with_house",
                *shared_with_house,
                0.0..=1.0,
                "",
            );
            if let Some(aired) = aired_above_c {
                faults.range(at, "air.aired_above_c", *aired, 0.0..=45.0, "°C");
            }
        }
    }
}

fn check_window(at: &str, window: &Window, faults: &mut Faults) {
    faults.range(at, "width_m", window.width_m, 0.05..=30.0, "m");
    faults.range(at, "height_m", window.height_m, 0.05..=12.0, "m");
    faults.range(at, "sill_m", window.sill_m, 0.0..=12.0, "m");
    faults.range(at, "reveal_m", window.reveal_m, 0.0..=1.5, "m");
    faults.range(at, "outer_reveal_m", window.outer_reveal_m, 0.0..=1.5, "m");
    faults.range(at, "clean", window.clean, 0.0..=1.0, "");
    faults.range(at, "leak_gap_mm", window.leak_gap_mm, 0.0..=20.0, "mm");
    if let Some(opened) = &window.opened {
        faults.range(at, "opened.from_h", opened.from_h, 0.0..=24.0, "h");
        faults.range(at, "opened.to_h", opened.to_h, 0.0..=24.0, "h");
        faults.range(at, "opened.share", opened.share, 0.0..=1.0, "");
    }
    for (i, covering) in window.coverings.iter().enumerate() {
        let at = format!("{at}.coverings[{i}]");
        faults.range(&at, "from_h", covering.from_h, 0.0..=24.0, "h");
        faults.range(&at, "to_h", covering.to_h, 0.0..=24.0, "h");
    }
    if window.coverings.len() > 50 {
        faults.fault(
            join(at, "coverings"),
            format!(
                "{} things are drawn over one window",
                window.coverings.len()
            ),
            "keep those that matter, 50 at most",
        );
    }
}

fn in_its_wall(at: &str, window: &Window, room: &Room, faults: &mut Faults) {
    let walls = room.outline.len();
    let Some((a, b)) = wall(&room.outline, window.wall) else {
        faults.fault(
            join(at, "wall"),
            format!(
                "wall {} is not there: the room has {walls} walls, 0 to {}",
                window.wall,
                walls.saturating_sub(1)
            ),
            "walls are counted from 0, which runs from the outline's first corner to its second",
        );
        return;
    };
    let length = a.distance(b);
    let end = window.from_corner_m + window.width_m;
    if window.from_corner_m < -SLACK_M || end > length + SLACK_M {
        faults.fault(
            join(at, "from_corner_m"),
            format!(
                "the glass from {} to {end:.2} m does not lie in its wall, which is {length:.2} m long",
                window.from_corner_m
            ),
            "move it along the wall, make it narrower, or name another wall",
        );
    }
    let head = window.sill_m + window.height_m;
    if head > room.height_m + SLACK_M {
        faults.fault(
            join(at, "height_m"),
            format!(
                "the glass ends {head:.2} m above the floor, but the room is {} m high",
                room.height_m
            ),
            "lower the sill or the glass",
        );
    }
}

/// The two corners of a wall.
fn wall(outline: &[Pt], index: usize) -> Option<(Pt, Pt)> {
    let a = *outline.get(index)?;
    let b = *outline.get((index + 1) % outline.len())?;
    (outline.len() >= 3).then_some((a, b))
}

fn overlaps(site: &Site, faults: &mut Faults) {
    let mut by_wall: std::collections::BTreeMap<(&Id, usize), Vec<(&Id, &Window)>> =
        std::collections::BTreeMap::new();
    for (id, window) in site.windows.iter() {
        by_wall
            .entry((&window.room, window.wall))
            .or_default()
            .push((id, window));
    }
    for mut windows in by_wall.into_values() {
        windows.sort_by(|a, b| a.1.from_corner_m.total_cmp(&b.1.from_corner_m));
        for (i, (id, window)) in windows.iter().enumerate() {
            let end = window.from_corner_m + window.width_m - SLACK_M;
            let beside = windows.iter().skip(i + 1);
            for (other_id, other) in beside.take_while(|(_, o)| o.from_corner_m < end) {
                let apart = window.sill_m + window.height_m <= other.sill_m + SLACK_M
                    || other.sill_m + other.height_m <= window.sill_m + SLACK_M;
                if !apart {
                    faults.fault(
                        join(&object("windows", other_id), "from_corner_m"),
                        format!("it overlaps \"{id}\" in the same wall"),
                        "move one of the two along the wall, or take it away",
                    );
                }
            }
        }
    }
}

/// How far outside the inner faces of a room's walls something may stand: on a sill, in the opening of a window.
pub(super) fn in_reveals_m(site: &Site, room: &Id) -> f64 {
    0.05 + site
        .windows
        .values()
        .filter(|w| w.room == *room)
        .map(|w| w.reveal_m)
        .fold(0.05, f64::max)
}

/// Whether a point lies in a room, its sills included.
pub(super) fn is_inside(room: &Room, p: Pt, slack_m: f64) -> bool {
    geometry::contains(&room.outline, p) || geometry::distance_to_rim(&room.outline, p) <= slack_m
}

/// Whether any daylight comes into a room.
pub(super) fn has_daylight(site: &Site, id: &Id, room: &Room) -> bool {
    room.glazed_roof.is_some()
        || room.glazed_walls.is_some()
        || site
            .windows
            .values()
            .any(|w| w.room == *id && w.kind != WindowKind::Door)
}
