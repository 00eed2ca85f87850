//! Heaters, vents, fans and trays.

use super::{
    house::is_inside,
    list::{Faults, join, object},
};
use crate::{
    base::{Id, Pt},
    site::{HeaterKind, Site, Timetable},
};

/// How far outside a wall's inner face the middle of a device may lie: set into the wall, m.
const IN_THE_WALL_M: f64 = 0.35;

pub(super) fn check(site: &Site, faults: &mut Faults) {
    for (id, h) in site.heaters.iter() {
        let at = object("heaters", id);
        let under_all = h.kind == HeaterKind::FloorHeating;
        stands(
            site,
            &at,
            Some(&h.room),
            (!under_all).then_some(h.at),
            faults,
        );
        faults.range(&at, "faces_deg", h.faces_deg, -360.0..=360.0, "°");
        faults.range(&at, "length_m", h.length_m, 0.05..=15.0, "m");
        faults.range(&at, "top_m", h.top_m, 0.0..=6.0, "m");
        faults.range(&at, "output_w", h.output_w, 0.0..=50_000.0, "W");
        runs(&at, &h.runs, faults);
    }
    for (id, v) in site.vents.iter() {
        let at = object("vents", id);
        stands(site, &at, Some(&v.room), Some(v.at), faults);
        below_ceiling(site, &at, Some(&v.room), v.height_m, faults);
        faults.range(&at, "blows_deg", v.blows_deg, -360.0..=360.0, "°");
        faults.range(&at, "tilt_deg", v.tilt_deg, -90.0..=90.0, "°");
        faults.range(&at, "area_m2", v.area_m2, 0.0001..=4.0, "m²");
        faults.range(&at, "speed_m_s", v.speed_m_s, 0.0..=20.0, "m/s");
        faults.range(&at, "supply_c", v.supply_c, -30.0..=60.0, "°C");
        runs(&at, &v.runs, faults);
    }
    for (id, f) in site.fans.iter() {
        let at = object("fans", id);
        stands(site, &at, f.room.as_ref(), Some(f.at), faults);
        below_ceiling(site, &at, f.room.as_ref(), f.height_m, faults);
        faults.range(&at, "blows_deg", f.blows_deg, -360.0..=360.0, "°");
        faults.range(&at, "diameter_m", f.diameter_m, 0.03..=8.0, "m");
        faults.range(&at, "speed_m_s", f.speed_m_s, 0.0..=20.0, "m/s");
        faults.range(&at, "share", f.share, 0.0..=1.0, "");
        runs(&at, &f.runs, faults);
    }
    for (id, t) in site.trays.iter() {
        let at = object("trays", id);
        stands(site, &at, t.room.as_ref(), Some(t.at), faults);
        faults.range(&at, "area_m2", t.area_m2, 0.001..=20.0, "m²");
    }
}

fn runs(at: &str, runs: &Timetable, faults: &mut Faults) {
    faults.range(at, "runs.from_h", runs.from_h, 0.0..=24.0, "h");
    faults.range(at, "runs.to_h", runs.to_h, 0.0..=24.0, "h");
}

fn stands(site: &Site, at: &str, room: Option<&Id>, point: Option<Pt>, faults: &mut Faults) {
    let Some(id) = room else { return };
    if !faults.known(at, "room", id, &site.rooms, "room") {
        return;
    }
    if let (Some(room), Some(p)) = (site.rooms.get(id), point)
        && p.is_finite()
        && room.outline.len() >= 3
        && !is_inside(room, p, IN_THE_WALL_M)
    {
        faults.fault(
            join(at, "at"),
            format!("({}, {}) lies outside \"{id}\"", p.x(), p.y()),
            "move it into its room, or name the room it is in",
        );
    }
}

fn below_ceiling(site: &Site, at: &str, room: Option<&Id>, height_m: f64, faults: &mut Faults) {
    match room.and_then(|id| site.rooms.get(id)) {
        Some(room) if height_m > room.height_m && height_m.is_finite() => faults.fault(
            join(at, "height_m"),
            format!(
                "{height_m} m above the floor is above the ceiling at {} m",
                room.height_m
            ),
            "heights of devices count from the floor of their room",
        ),
        _ => faults.range(at, "height_m", height_m, 0.0..=60.0, "m"),
    }
}
