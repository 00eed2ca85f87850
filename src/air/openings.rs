//! Doors and windows that stand open: the air they exchange, and the draught before them.
//!
//! Exchange through one opening by wind, warmth and turbulence: De Gids & Phaff 1982 (AIVC, "Ventilation rates and energy
//! consumption due to open windows"; as in EN 16798-7): half the area times sqrt(0.001 v² + 0.0035 H ΔT + 0.01).

use super::{
    jet::Jet,
    plume::{AIR_HEAT_J_M3_K, Stream},
};
use crate::{
    base::{Pt, calendar::hour_within, geometry},
    site::{Opened, Room, Window},
};

/// Share of an opening through which air comes in; it goes out through the rest.
const INWARD: f64 = 0.5;

/// Mean speed of the air that comes in, m/s. `wind_m_s` at 10 m, `height_m` of the opening, `apart_k` between inside and out.
#[must_use]
pub fn inflow_m_s(wind_m_s: f64, height_m: f64, apart_k: f64) -> f64 {
    (0.001 * wind_m_s * wind_m_s + 0.0035 * height_m.max(0.0) * apart_k.abs() + 0.01).sqrt()
}

/// An opening of a room.
#[derive(Clone, Debug)]
pub(crate) struct Opening {
    pub name: String,
    times: Opened,
    area_m2: f64,
    height_m: f64,
    /// Lower edge above the floor, m.
    sill_m: f64,
    at: Pt,
    /// Into the room.
    inwards: Pt,
}

impl Opening {
    /// Of a window that stands open at times and has the open air before it.
    pub fn of(room: &Room, window: &Window) -> Option<Self> {
        let times = window.opened?;
        let (a, b) = geometry::edges(&room.outline).nth(window.wall)?;
        let turn = geometry::signed_area(&room.outline).signum();
        let along = (b - a).unit();
        Some(Self {
            name: window.name.clone(),
            times,
            area_m2: window.width_m.max(0.0)
                * window.height_m.max(0.0)
                * times.share.clamp(0.0, 1.0),
            height_m: window.height_m.max(0.0),
            sill_m: window.sill_m.max(0.0),
            at: a + along * (window.from_corner_m + 0.5 * window.width_m),
            inwards: (b - a).left().unit() * turn,
        })
    }

    pub fn is_open(&self, month0: usize, clock_h: f64) -> bool {
        self.times.months.has(month0) && hour_within(clock_h, self.times.from_h, self.times.to_h)
    }

    /// Which of so many hours about one of the clock it stands open.
    pub fn open_hours(
        &self,
        month0: usize,
        clock_h: f64,
        hours: usize,
    ) -> impl Iterator<Item = f64> + '_ {
        let middle = 0.5 * (hours as f64 - 1.0);
        (0..hours)
            .map(move |k| (clock_h + k as f64 - middle).rem_euclid(24.0))
            .filter(move |h| self.is_open(month0, *h))
    }

    /// Heat that the exchanged air carries, W/K.
    pub fn exchange_w_k(&self, wind_m_s: f64, apart_k: f64) -> f64 {
        AIR_HEAT_J_M3_K * INWARD * self.area_m2 * inflow_m_s(wind_m_s, self.height_m, apart_k)
    }

    /// What comes in and reaches a point of the room: cold air through the lower half, warm through the upper, as a jet.
    pub fn felt(&self, point: Pt, above_floor_m: f64, wind_m_s: f64, out_less_in_k: f64) -> Stream {
        let quarter = if out_less_in_k <= 0.0 { 0.25 } else { 0.75 };
        let jet = Jet {
            area_m2: INWARD * self.area_m2,
            speed_m_s: inflow_m_s(wind_m_s, self.height_m, out_less_in_k),
            excess_k: out_less_in_k,
        };
        let to = point - self.at;
        if to.dot(self.inwards) < -0.3 {
            return Stream::default();
        }
        let middle_m = self.sill_m + quarter * self.height_m;
        let along = to.dot(self.inwards).max(0.05);
        // Cold air that has come down to the floor spreads along it: it sinks no deeper.
        let sinks = jet.rise_m(along).max(-middle_m) - jet.rise_m(along);
        jet.at(
            along,
            to.cross(self.inwards),
            above_floor_m - middle_m - sinks,
        )
    }
}
