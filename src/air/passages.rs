//! Doors and windows between rooms, or between a room and the rest of the house, that stand open at set times: warm air goes out
//! through the upper half and cold air comes in through the lower, as many cubic metres either way.
//!
//! Flow through a doorway by the difference of temperature alone: Cd/3 W sqrt(g H³ ΔT/T) (Brown & Solvason 1962, Int. J. Heat
//! Mass Transfer 5:859), with Cd = 0.4 + 0.0045 ΔT (Kiel & Wilson 1989, ASHRAE Transactions 95(2)); both from memory. Draughts on
//! pots near an inner door are not computed.

use super::{
    openings::Opening,
    plume::AIR_HEAT_J_M3_K,
    psychrometrics,
    room_year::RoomYear,
    rooms,
    year::{OpenHour, OpenYear, at},
};
use crate::{
    base::{Id, Pt, calendar::HOURS, geometry},
    site::{Room, RoomAir, Site, Window, outside::leads_outside},
};

const GRAVITY: f64 = 9.81;
const ROOM_K: f64 = 293.0;

/// What lies on the other side.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Beyond {
    Room(Id),
    /// A part of the house that is not drawn.
    House,
}

/// An opening of a room that leads indoors.
#[derive(Clone, Debug)]
pub(crate) struct Passage {
    pub beyond: Beyond,
    opening: Opening,
    width_m: f64,
    height_m: f64,
}

impl Passage {
    /// All of a room, drawn in its own walls or in those of the rooms beside it.
    pub fn of_room(site: &Site, id: &Id) -> Vec<Self> {
        site.windows
            .values()
            .filter_map(|window| {
                let own = site.rooms.get(&window.room)?;
                if window.opened.is_none() || leads_outside(site, (&window.room, own), window.wall)
                {
                    return None;
                }
                let beyond = behind(site, window, own)?;
                let beyond = if window.room == *id {
                    beyond
                } else if beyond == Beyond::Room(id.clone()) {
                    Beyond::Room(window.room.clone())
                } else {
                    return None;
                };
                let share = window.opened.map_or(0.0, |o| o.share.clamp(0.0, 1.0));
                Some(Self {
                    beyond,
                    opening: Opening::of(own, window)?,
                    width_m: window.width_m.max(0.0) * share,
                    height_m: window.height_m.max(0.0),
                })
            })
            .collect()
    }

    /// Heat that the air carries, W/K, with so much between the rooms, K; mean of so many hours about one of the clock.
    pub fn exchange_w_k(&self, apart_k: f64, month0: usize, (clock_h, hours): (f64, usize)) -> f64 {
        let open = self.opening.open_hours(month0, clock_h, hours).count();
        if open == 0 {
            return 0.0;
        }
        let share = open as f64 / hours.max(1) as f64;
        AIR_HEAT_J_M3_K * share * flow_m3_s(self.width_m, self.height_m, apart_k)
    }
}

/// Air that goes either way through a doorway, m³/s.
#[must_use]
pub fn flow_m3_s(width_m: f64, height_m: f64, apart_k: f64) -> f64 {
    let apart_k = apart_k.abs().min(40.0);
    let discharge = 0.4 + 0.0045 * apart_k;
    discharge / 3.0 * width_m * (GRAVITY * height_m.powi(3) * apart_k / ROOM_K).sqrt()
}

/// What lies behind a window or door of a room.
fn behind(site: &Site, window: &Window, room: &Room) -> Option<Beyond> {
    let (a, b) = geometry::edges(&room.outline).nth(window.wall)?;
    let turn = geometry::signed_area(&room.outline).signum();
    let along = (b - a).unit();
    let middle = a + along * (window.from_corner_m + 0.5 * window.width_m);
    let there: Pt = middle + along.left() * (-turn * 0.6);
    let sill_m = room.floor_m + window.sill_m;
    Some(
        site.rooms
            .iter()
            .find(|(id, r)| {
                **id != window.room
                    && (r.floor_m - 0.5..r.floor_m + r.height_m).contains(&sill_m)
                    && geometry::contains(&r.outline, there)
            })
            .map_or(Beyond::House, |(id, _)| Beyond::Room(id.clone())),
    )
}

/// The air beyond a passage through the typical year.
pub(crate) enum Beside<'a> {
    Room(&'a RoomYear),
    House(&'a [f32]),
}

impl Beside<'_> {
    /// Its temperature, °C, and vapour pressure, kPa, in an hour.
    pub fn air(&self, hour: &OpenHour, h: usize) -> (f64, f64) {
        match self {
            Self::Room(year) => (at(&year.air_c, h), at(&year.vapour_kpa, h)),
            Self::House(air_c) => {
                let c = at(air_c, h);
                let excess = rooms::house_excess_kg_m3(hour.air_c);
                (
                    c,
                    hour.vapour_kpa + psychrometrics::vapour_from_kg_m3_kpa(c, excess),
                )
            }
        }
    }
}

/// Steps of a day in the weather years.
const STEPS: usize = super::room_year::STEPS;

/// The air beyond a passage as it usually is, for the weather years: a heated room by the hour of the day and the month, one
/// left to itself as much warmer than the open as it usually is.
#[derive(Clone, Debug)]
pub(crate) struct UsualAir {
    c: [[f64; STEPS]; 12],
    over_open: bool,
}

impl UsualAir {
    pub fn of(site: &Site, beyond: &Beyond, air: &Beside<'_>, open: &OpenYear) -> Self {
        let over_open = match beyond {
            Beyond::House => false,
            Beyond::Room(id) => site
                .rooms
                .get(id)
                .is_some_and(|r| matches!(r.air, RoomAir::Unheated { .. })),
        };
        let mut c = [[0.0; STEPS]; 12];
        let mut n = [[0.0_f64; STEPS]; 12];
        for h in 0..HOURS {
            let hour = &open.hours[h];
            let step = h % 24 * STEPS / 24;
            c[hour.month0][step] += air.air(hour, h).0 - if over_open { hour.air_c } else { 0.0 };
            n[hour.month0][step] += 1.0;
        }
        for (sums, ns) in c.iter_mut().zip(&n) {
            for (sum, n) in sums.iter_mut().zip(ns) {
                *sum /= n.max(1.0);
            }
        }
        Self { c, over_open }
    }

    pub fn air_c(&self, month0: usize, step: usize, out_c: f64) -> f64 {
        self.c[month0][step] + if self.over_open { out_c } else { 0.0 }
    }
}
