//! Air at a spot in a room: the room's air, layers, the cold of the glass, drawn curtains, sun, devices, leaks.

use super::{
    covers,
    devices::{Effect, Running, StoveHeat},
    envelope::{glazing_u_w_m2_k, openings_of},
    glass::{self, BesideGlass, WindowSide, windows_beside},
    jet,
    openings::Opening,
    parts::{Cause, HourParts},
    plume::Stream,
    room_year::{Rooms, stratification_k_m},
    year::{OpenHour, OpenYear, at},
};
use crate::{
    base::{Id, Pt},
    light::SpotLight,
    site::{NightCover, NightCoverKind, Room, RoomAir, Site, Spot},
};

/// Height at which a room's balance holds, m.
const MIDDLE_M: f64 = 1.1;
/// Air of lived-in and of shut rooms, m/s (from memory).
const LIVED_IN_M_S: f64 = 0.08;
const SHUT_M_S: f64 = 0.05;
/// Air among sunlit leaves and sill by the sun on them, K per W/m² (our choice: 1.5 K at 500 W/m²).
const SUN_K_M2_W: f64 = 0.003;

/// Share of the upper half space that a glazed roof fills.
const ROOF_VIEW: f64 = 0.8;

pub(crate) struct IndoorSpot {
    room_id: Id,
    pub sides: Vec<WindowSide>,
    above_middle_m: f64,
    strat_k_m: f64,
    pub stove_heat: Vec<StoveHeat>,
    effects: Vec<Effect>,
    openings: Vec<Opening>,
    middle: Pt,
    above_floor_m: f64,
    sun_w_m2: Vec<f32>,
    still_m_s: f64,
    /// Heat loss of a glazed roof, W/(m² K).
    roof_u: Option<f64>,
    night_cover: Option<NightCover>,
    foot_m: f64,
    /// Months in which the room is not heated.
    cold: [bool; 12],
}

/// The room about a spot at one time.
#[derive(Clone, Copy, Debug)]
pub(crate) struct RoomNow {
    pub room_c: f64,
    pub out_c: f64,
    pub wind_m_s: f64,
    pub month0: usize,
    pub clock_h: f64,
    pub heating: bool,
    pub sun_on_spot_w_m2: f64,
    pub sun_in_room_w_m2: f64,
}

/// What the room's shape makes of it at the spot.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Placed {
    pub layers_k: f64,
    pub beside: BesideGlass,
    pub sun_k: f64,
    pub leak: Stream,
}

impl Placed {
    pub fn sum_k(&self) -> f64 {
        self.layers_k
            + self.beside.glass_k
            + self.beside.curtain_k
            + self.sun_k
            + self.leak.excess_k
    }
}

impl IndoorSpot {
    pub fn of(site: &Site, spot: &Spot, id: &Id, room: &Room, light: Option<&SpotLight>) -> Self {
        let heated = matches!(room.air, RoomAir::Heated { .. });
        Self {
            room_id: id.clone(),
            sides: windows_beside(site, spot, room),
            above_middle_m: (spot.height_m + spot.leaf_m).min(room.height_m) - MIDDLE_M,
            strat_k_m: stratification_k_m(site, id),
            stove_heat: super::devices::stove_heat(site, spot, room),
            effects: super::devices::effects(site, spot),
            openings: openings_of(site, id, room),
            middle: spot.middle(),
            above_floor_m: spot.height_m + spot.leaf_m,
            sun_w_m2: light.map_or_else(Vec::new, super::outdoors::sun_w_m2),
            still_m_s: if heated { LIVED_IN_M_S } else { SHUT_M_S },
            roof_u: room.glazed_roof.map(glazing_u_w_m2_k),
            night_cover: spot.night_cover,
            foot_m: spot.height_m,
            cold: std::array::from_fn(|m| room.air.heated_to_c(m).is_none()),
        }
    }

    pub fn room_id(&self) -> &Id {
        &self.room_id
    }

    /// Whether the room is left to itself in a month.
    pub fn is_cold(&self, month0: usize) -> bool {
        self.cold[month0]
    }

    /// The frost cover that is laid on in a month. In a heated room there is nothing for it to do.
    pub fn covered(&self, month0: usize) -> Option<NightCoverKind> {
        self.night_cover
            .filter(|c| c.months.has(month0) && self.cold[month0])
            .map(|c| c.kind)
    }

    /// What a cover adds here, K: as in the open, by how much heat is lost upwards, and the less the higher the pots stand over
    /// the floor.
    pub fn gain_under_k(&self, kind: NightCoverKind, still: f64) -> f64 {
        covers::gain_k(kind, still, self.foot_m)
    }

    /// What an opening brings here while it stands open.
    pub fn in_the_draught_of(
        &self,
        opening: &Opening,
        wind_m_s: f64,
        out_less_in_k: f64,
    ) -> Stream {
        opening.felt(self.middle, self.above_floor_m, wind_m_s, out_less_in_k)
    }

    pub fn openings(&self) -> &[Opening] {
        &self.openings
    }

    pub fn effects(&self) -> &[Effect] {
        &self.effects
    }

    pub fn still_m_s(&self) -> f64 {
        self.still_m_s
    }

    /// What the place in the room makes of the room's air.
    pub fn placed(&self, now: &RoomNow) -> Placed {
        // Glass and curtain: the nearest window rules; two at a corner do not add up.
        let mut beside = self.sides.first().map_or_else(BesideGlass::default, |s| {
            s.at(now.room_c, now.out_c, now.month0, now.clock_h)
        });
        // Under a glazed roof the leaves see mostly that.
        if let Some(u) = self.roof_u {
            beside.seen_c = glass::inner_surface_c(now.room_c, now.out_c, u.min(7.0));
            beside.view = ROOF_VIEW;
        }
        // Layers form while heat is put in, by heaters or, in glazed rooms, by the sun.
        let sun_layers = (now.sun_in_room_w_m2 / 150.0).clamp(0.0, 1.0) * 0.5;
        let gradient = if now.heating {
            self.strat_k_m.max(sun_layers)
        } else {
            sun_layers
        };
        let leak = self
            .sides
            .iter()
            .filter(|s| s.gap_mm > 0.0)
            .map(|s| jet::leak(s.gap_mm, now.wind_m_s, now.out_c - now.room_c, s.x_m))
            .chain(
                self.openings
                    .iter()
                    .filter(|o| o.is_open(now.month0, now.clock_h))
                    .map(|o| self.in_the_draught_of(o, now.wind_m_s, now.out_c - now.room_c)),
            )
            .max_by(|a, b| a.speed_m_s.total_cmp(&b.speed_m_s))
            .unwrap_or_default();
        Placed {
            layers_k: gradient * self.above_middle_m,
            beside,
            sun_k: SUN_K_M2_W * now.sun_on_spot_w_m2.clamp(0.0, 700.0),
            leak,
        }
    }

    pub fn parts(&self, open: &OpenYear, rooms: &Rooms, h: usize) -> HourParts {
        let hour: &OpenHour = &open.hours[h];
        let Some(room) = rooms.years.get(&self.room_id) else {
            return HourParts::new(hour.air_c, hour.vapour_kpa);
        };
        let room_c = at(&room.air_c, h);
        let demand = at(&room.demand, h);
        let now = RoomNow {
            room_c,
            out_c: hour.air_c,
            wind_m_s: hour.wind_m_s,
            month0: hour.month0,
            clock_h: hour.clock_h,
            heating: room.heating.get(h).copied().unwrap_or(false),
            sun_on_spot_w_m2: at(&self.sun_w_m2, h),
            sun_in_room_w_m2: at(&room.sun_w_m2, h),
        };
        let placed = self.placed(&now);
        let mut parts = HourParts::new(room_c, at(&room.vapour_kpa, h));
        parts.add(Cause::Layers, placed.layers_k);
        parts.add(Cause::Glass, placed.beside.glass_k);
        parts.add(Cause::Curtain, placed.beside.curtain_k);
        parts.add(Cause::SunOnSill, placed.sun_k);
        if let Some(kind) = self.covered(hour.month0) {
            let gain_k = self.gain_under_k(kind, placed.beside.still(room_c));
            parts.add(Cause::NightCover, hour.night * gain_k);
        }
        let running = Running {
            month0: hour.month0,
            clock_h: hour.clock_h,
            room_c,
            demand,
        };
        let mut device = super::sum_streams(self.effects.iter().map(|e| e.at(&running)));
        device.excess_k += placed.leak.excess_k;
        device.speed_m_s = device.speed_m_s.hypot(placed.leak.speed_m_s);
        parts.device = device;
        parts.leak_k = placed.leak.excess_k;
        parts.stove_w_m2 = self.stove_heat.iter().map(|s| s.at(&running)).sum();
        parts.add(Cause::Devices, device.excess_k);
        parts.speed_m_s = self.still_m_s.hypot(placed.beside.speed_m_s);
        parts
    }
}
