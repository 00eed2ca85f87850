//! What can be computed with but is likely not meant, or not wise.

use chrono::{Days, NaiveDate};

use super::{
    house::has_daylight,
    list::{Faults, join, object},
};
use crate::{
    base::{Hemisphere, Months, geometry},
    site::{CoveringKind, Heater, HeaterKind, Reach, Site, Window},
};

/// A pot that weighs more is not for lifting overhead, kg. Common practice, after handling guides for loads at
/// shoulder height and above.
const OVERHEAD_KG: f64 = 8.0;

/// Clearance that makers of heaters ask for to anything that burns, m. Common practice.
const CLEARANCE_M: f64 = 1.0;

/// Readings older than this, against the newest date in the site, tell of another time, days.
const LONG_AGO_D: u64 = 8 * 365;

pub(super) fn check(site: &Site, faults: &mut Faults) {
    rooms(site, faults);
    spots(site, faults);
    plants(site, faults);
    heaters(site, faults);
}

fn rooms(site: &Site, faults: &mut Faults) {
    for (id, room) in site.rooms.iter() {
        let middle = geometry::centroid(&room.outline);
        let own_walls = room.glazed_walls.is_some();
        let in_building = site
            .buildings
            .values()
            .any(|b| geometry::contains(&b.outline, middle));
        if !own_walls && !in_building && room.outline.len() >= 3 {
            faults.doubt(
                object("rooms", id),
                "it lies in no building: its walls and roof cast no shadow outside",
                "draw the building round it",
            );
        }
    }
}

fn spots(site: &Site, faults: &mut Faults) {
    let today = newest(site);
    for (id, spot) in site.spots.iter() {
        let at = object("spots", id);
        if let Some(room) = &spot.room
            && let Some(r) = site.rooms.get(room)
            && !has_daylight(site, room, r)
        {
            faults.doubt(
                join(&at, "room"),
                format!("\"{room}\" has no window: nothing grows on this spot"),
                "draw the room's windows",
            );
        }
        if spot.months == Months::NONE {
            faults.doubt(
                join(&at, "months"),
                "pots may stand here in no month",
                "name the months, or take the spot away",
            );
        }
        let stands = || {
            site.plants
                .iter()
                .filter(|(_, p)| p.stands.as_ref() == Some(id))
        };
        let room_cm2 = f64::from(spot.holds.pots) * spot.holds.rim_cm * spot.holds.rim_cm;
        let taken_cm2: f64 = stands().map(|(_, p)| p.pot.footprint_cm2()).sum();
        if taken_cm2 > room_cm2 * 1.001 {
            faults.doubt(
                join(&at, "holds"),
                format!(
                    "the pots that stand on it take {:.0} % of its room",
                    100.0 * taken_cm2 / room_cm2
                ),
                "say how many pots it really holds, or set some of them elsewhere",
            );
        }
        for (plant_id, plant) in stands() {
            let at = join(&object("plants", plant_id), "stands");
            if plant.pot.rim_cm > spot.holds.rim_cm {
                faults.doubt(
                    at.clone(),
                    format!(
                        "its pot of {} cm is wider than \"{id}\" takes ({} cm)",
                        plant.pot.rim_cm, spot.holds.rim_cm
                    ),
                    "correct `holds` of the spot, or set the plant elsewhere",
                );
            }
            if spot.reach == Reach::Overhead && plant.weight_kg > OVERHEAD_KG {
                faults.doubt(
                    at,
                    format!(
                        "{} kg overhead can hurt whoever lifts it down",
                        plant.weight_kg
                    ),
                    "set heavy pots where they need no ladder",
                );
            }
        }
        let Some(limit) = today.and_then(|d| d.checked_sub_days(Days::new(LONG_AGO_D))) else {
            continue;
        };
        let old = spot
            .light
            .iter()
            .map(|r| r.when.date())
            .chain(spot.min_max.iter().map(|r| r.date))
            .chain(spot.humidity.iter().map(|r| r.when.date()))
            .filter(|d| *d < limit)
            .count();
        if old > 0 {
            faults.doubt(
                at,
                format!("{old} of its readings are older than 8 years"),
                "trees grow and walls are painted: measure again, or take them out",
            );
        }
    }
}

/// The newest date that stands in the site: today, as far as the site knows.
fn newest(site: &Site) -> Option<NaiveDate> {
    site.journal
        .iter()
        .map(|e| e.date)
        .chain(site.choices.plan_from)
        .chain(site.spots.values().flat_map(|s| {
            s.light
                .iter()
                .map(|r| r.when.date())
                .chain(s.min_max.iter().map(|r| r.date))
        }))
        .max()
}

fn plants(site: &Site, faults: &mut Faults) {
    for (id, plant) in site.plants.iter() {
        if plant.stands.is_none() {
            faults.doubt(
                join(&object("plants", id), "stands"),
                "the plant has no place yet",
                "say where it stands now; the plan then counts its first move",
            );
        }
    }
}

fn heaters(site: &Site, faults: &mut Faults) {
    let northern = Heater::usual_months(Hemisphere::North);
    for (id, heater) in site.heaters.iter() {
        if site.hemisphere() == Hemisphere::South && heater.runs.months == northern {
            faults.doubt(
                join(&object("heaters", id), "runs"),
                "it runs from October to April, which is summer here",
                "give it its months: April to October are usual in the south",
            );
        }
        // Water and oil radiators stay below what sets cloth alight.
        let hot = matches!(
            heater.kind,
            HeaterKind::Convector | HeaterKind::FanHeater | HeaterKind::Stove
        );
        if !hot {
            continue;
        }
        let by_window = site.windows.iter().find(|(_, w)| {
            let cloth = w
                .coverings
                .iter()
                .any(|c| matches!(c.kind, CoveringKind::NetCurtain | CoveringKind::Curtain));
            cloth && w.room == heater.room && distance_to_window_m(site, heater, w) < CLEARANCE_M
        });
        if let Some((window, _)) = by_window {
            faults.doubt(
                join(&object("heaters", id), "at"),
                format!("it stands within {CLEARANCE_M} m of the curtain at \"{window}\""),
                "a fire could start: keep the maker's clearance",
            );
        }
        let by_cloth = site.cloths.iter().find(|(_, c)| {
            let floor_m = site.rooms.get(&heater.room).map_or(0.0, |r| r.floor_m);
            let beside = geometry::contains(&c.outline, heater.at)
                || geometry::distance_to_rim(&c.outline, heater.at) < CLEARANCE_M;
            let below_m = c.height_m - c.drop_m - floor_m - heater.top_m;
            beside && below_m < CLEARANCE_M && c.height_m > floor_m
        });
        if let Some((cloth, _)) = by_cloth {
            faults.doubt(
                join(&object("heaters", id), "at"),
                format!("it stands within {CLEARANCE_M} m of the cloth \"{cloth}\""),
                "a fire could start: keep the maker's clearance",
            );
        }
    }
}

fn distance_to_window_m(site: &Site, heater: &Heater, window: &Window) -> f64 {
    let Some(room) = site.rooms.get(&window.room) else {
        return f64::INFINITY;
    };
    let n = room.outline.len();
    let (Some(a), Some(b)) = (
        room.outline.get(window.wall),
        room.outline.get((window.wall + 1) % n.max(1)),
    ) else {
        return f64::INFINITY;
    };
    let along = (*b - *a).unit();
    let from = *a + along * window.from_corner_m;
    let to = from + along * window.width_m;
    geometry::nearest_on_segment(from, to, heater.at)
        .0
        .distance(heater.at)
}
