//! The heat and vapour balance of a room, hour by hour.

use super::{
    envelope::{Envelope, mass_kj_m2_k},
    plume::AIR_HEAT_J_M3_K,
    psychrometrics,
};
use crate::{
    base::calendar::hour_within,
    site::{Room, RoomAir},
};

/// Between room air and the surfaces around it, W/(m² K), and surfaces by floor area (ISO 13790:2008, 7.2.2.2).
const INNER_W_M2_K: f64 = 3.45;
const SURFACE_BY_FLOOR: f64 = 4.5;
/// Between the surfaces and the mass behind them, W/(m² K) (ISO 13790:2008, 12.2.2).
const MASS_W_M2_K: f64 = 9.1;
/// People, lamps and appliances of a lived-in room, W/m² of floor.
const INNER_GAIN_W_M2: f64 = 3.0;
/// Air changes an hour with windows, or the vents of a glazed roof, wide open (from memory).
const AIRED_PER_H: f64 = 10.0;
const ROOF_AIRED_PER_H: f64 = 20.0;
/// Air temperature above which people open the windows of a room without cooling, °C (our choice).
const PEOPLE_AIR_ABOVE_C: f64 = 24.5;
/// Air that a heated room exchanges with the rest of the house through doors, changes an hour (our choice).
const HOUSE_MIX_PER_H: f64 = 1.0;
/// Vapour in lived-in houses beyond that outside, g/m³ at 0 °C and below, none at 20 °C (ISO 13788, humidity class 2).
const HOUSE_EXCESS_G_M3: f64 = 4.0;
/// How much damper than the outside a lived-in house is, kg/m³.
pub(crate) fn house_excess_kg_m3(out_c: f64) -> f64 {
    HOUSE_EXCESS_G_M3 / 1000.0 * ((20.0 - out_c) / 20.0).clamp(0.0, 1.0)
}

/// More air changes with windows open in warm weather, an hour: from 12 °C outside, in full at 20 °C (our choice).
const WARM_AIRING_PER_H: f64 = 1.5;
/// Indoor air by which heaters are sized: 30 K above the outside and half as much again.
const SIZED_FOR_K: f64 = 45.0;

/// A room as five resistances and one mass: the simple hourly method of ISO 13790:2008, annex C, with the mass
/// stepped implicitly, one path more to the heated house and one to the ground.
#[derive(Clone, Debug)]
pub struct RoomModel {
    inner_w_k: f64,
    glass_w_k: f64,
    mass_path_w_k: f64,
    outer_mass_w_k: f64,
    opaque_w_k: f64,
    house_w_k: f64,
    ground_w_k: f64,
    capacity_wh_k: f64,
    mass_share: f64,
    surface_share: f64,
    sky_loss_w: f64,
    leak_w_k: f64,
    volume_m3: f64,
    inner_gain_w: f64,
    heat_limit_w: f64,
    control: RoomAir,
    vapour_kg_h: f64,
    worst_glass_u: f64,
    aired_per_h: f64,
}

/// What a room is exposed to during a step.
#[derive(Clone, Copy, Debug, Default)]
pub struct RoomStep {
    pub hours: f64,
    pub out_c: f64,
    pub out_vapour_kpa: f64,
    pub house_c: f64,
    pub ground_c: f64,
    pub sun_w: f64,
    /// Heaters drawn in a room without set-points, W.
    pub heater_w: f64,
    /// Air that vents supply, W/K, and its temperature, °C.
    pub supply_w_k: f64,
    pub supply_c: f64,
    pub cloud: f64,
    pub month0: usize,
    pub clock_h: f64,
    pub sun_up: bool,
    /// Air through doors and windows that stand open, W/K.
    pub open_w_k: f64,
    /// Air that is exchanged with other rooms, W/K, and what it is like there, °C and kPa.
    pub beside_w_k: f64,
    pub beside_c: f64,
    pub beside_vapour_kpa: f64,
    /// Vapour from trays, kg/h.
    pub tray_kg_h: f64,
}

/// What a room is like at the end of a step.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct RoomState {
    pub air_c: f64,
    pub mass_c: f64,
    pub vapour_kpa: f64,
    /// Heating that keeps the set-point, W; negative is cooling.
    pub heating_w: f64,
}

impl RoomModel {
    #[must_use]
    pub fn new(room: &Room, envelope: &Envelope) -> Self {
        let (capacity_kj, mass_area) = mass_kj_m2_k(room.mass);
        let floor = envelope.floor_m2;
        let surface = SURFACE_BY_FLOOR * floor;
        let mass_path_w_k = MASS_W_M2_K * mass_area * floor;
        let behind = envelope.opaque_w_k + envelope.house_w_k + envelope.ground_w_k;
        // The standard takes the path from surface to mass out of the wall's own resistance.
        let outer_mass_w_k = 1.0 / (1.0 / behind.max(0.1) - 1.0 / mass_path_w_k).max(1e-3);
        let leak_w_k =
            AIR_HEAT_J_M3_K / 3600.0 * envelope.volume_m3 * room.air_changes_per_h.max(0.02);
        let heated = matches!(room.air, RoomAir::Heated { .. });
        let mass_share = mass_area / SURFACE_BY_FLOOR;
        let to_glass = envelope.glass_w_k / (MASS_W_M2_K * surface);
        Self {
            inner_w_k: INNER_W_M2_K * surface,
            glass_w_k: envelope.glass_w_k,
            mass_path_w_k,
            outer_mass_w_k,
            opaque_w_k: envelope.opaque_w_k,
            house_w_k: envelope.house_w_k,
            ground_w_k: envelope.ground_w_k,
            capacity_wh_k: capacity_kj * floor / 3.6,
            mass_share,
            surface_share: (1.0 - mass_share - to_glass).max(0.0),
            sky_loss_w: envelope.sky_loss_w,
            leak_w_k,
            volume_m3: envelope.volume_m3,
            inner_gain_w: if heated { INNER_GAIN_W_M2 * floor } else { 0.0 },
            heat_limit_w: SIZED_FOR_K * (envelope.glass_w_k + behind + leak_w_k),
            control: room.air.clone(),
            vapour_kg_h: room.vapour_kg_d.max(0.0) / 24.0,
            worst_glass_u: envelope.worst_glass_u,
            aired_per_h: if room.glazed_roof.is_some() {
                ROOF_AIRED_PER_H
            } else {
                AIRED_PER_H
            },
        }
    }

    /// Air in it, m³.
    #[must_use]
    pub fn volume_m3(&self) -> f64 {
        self.volume_m3
    }

    /// Air that is exchanged with the outside and with the house, changes an hour, with this outside, °C; without vents.
    #[must_use]
    pub fn air_changes_per_h(&self, out_c: f64) -> f64 {
        let leaks = self.leak_w_k * 3600.0 / (AIR_HEAT_J_M3_K * self.volume_m3);
        let (aired, mixed_in) = self.mixing_per_h(out_c);
        leaks + aired + mixed_in
    }

    /// Changes an hour by windows opened in warm weather, and with the rest of the house.
    fn mixing_per_h(&self, out_c: f64) -> (f64, f64) {
        match self.control {
            RoomAir::Heated { .. } => (
                WARM_AIRING_PER_H * ((out_c - 12.0) / 8.0).clamp(0.0, 1.0),
                HOUSE_MIX_PER_H,
            ),
            RoomAir::Unheated { .. } => (0.0, 0.0),
        }
    }

    /// What holds its air to its temperature over some hours, W/K: the surfaces around it, and the air that leaks through.
    #[must_use]
    pub fn air_hold_w_k(&self) -> f64 {
        self.inner_w_k + self.leak_w_k
    }

    /// A state to start from.
    #[must_use]
    pub fn start(&self, out_c: f64, out_vapour_kpa: f64) -> RoomState {
        let c = match self.control {
            RoomAir::Heated { day_c, .. } => day_c.max(out_c),
            RoomAir::Unheated { .. } => out_c,
        };
        RoomState {
            air_c: c,
            mass_c: c,
            vapour_kpa: out_vapour_kpa,
            heating_w: 0.0,
        }
    }

    /// One step on. Heating and cooling act as far as the set-points ask and the heaters' size allows; windows are
    /// opened as far as needed to stay below the airing limit, never when that would warm the room.
    #[must_use]
    pub fn step(&self, before: &RoomState, step: &RoomStep) -> RoomState {
        let (low, high, open_above) = self.limits(step);
        let mut vent_w_k = self.leak_w_k + step.open_w_k;
        let (mut air_c, mut mass_c) = self.solve(before, step, vent_w_k, 0.0);
        if let Some(limit) = open_above
            && air_c > limit
            && step.out_c < air_c
        {
            let most = vent_w_k + AIR_HEAT_J_M3_K / 3600.0 * self.volume_m3 * self.aired_per_h;
            let (mut closed, mut wide) = (vent_w_k, most);
            if self.solve(before, step, most, 0.0).0 >= limit {
                closed = most;
            }
            for _ in 0..8 {
                let middle = 0.5 * (closed + wide);
                if self.solve(before, step, middle, 0.0).0 > limit {
                    closed = middle;
                } else {
                    wide = middle;
                }
            }
            vent_w_k = wide;
            (air_c, mass_c) = self.solve(before, step, vent_w_k, 0.0);
        }
        let mut heating_w = 0.0;
        let goal = match (low, high) {
            (Some(low), _) if air_c < low => Some(low),
            (_, Some(high)) if air_c > high => Some(high),
            _ => None,
        };
        if let Some(goal) = goal {
            // The answer is linear in the heat put in.
            let trial = 1000.0;
            let (with_trial, _) = self.solve(before, step, vent_w_k, trial);
            let per_w = (with_trial - air_c) / trial;
            if per_w > 1e-9 {
                heating_w = ((goal - air_c) / per_w).clamp(-self.heat_limit_w, self.heat_limit_w);
                (air_c, mass_c) = self.solve(before, step, vent_w_k, heating_w);
            }
        }
        let vapour_kpa = self.vapour(before, step, vent_w_k + step.supply_w_k, air_c);
        RoomState {
            air_c,
            mass_c,
            vapour_kpa,
            heating_w,
        }
    }

    /// Lowest and highest temperature that is kept, and that above which windows are opened.
    fn limits(&self, step: &RoomStep) -> (Option<f64>, Option<f64>, Option<f64>) {
        match self.control {
            RoomAir::Heated {
                day_c,
                night_c,
                day_from_h,
                day_to_h,
                cool_to_c,
                ..
            } => {
                let kept = self.control.heated_to_c(step.month0);
                let (day_c, night_c) = kept.unwrap_or((day_c, night_c));
                let set = if hour_within(step.clock_h, day_from_h, day_to_h) {
                    day_c
                } else {
                    night_c
                };
                let low = kept.map(|_| set);
                let high = cool_to_c.map(|c| c.max(set));
                let aired = cool_to_c
                    .is_none()
                    .then_some(PEOPLE_AIR_ABOVE_C.max(day_c + 2.0));
                (low, high, aired)
            }
            RoomAir::Unheated {
                frost_guard_c,
                aired_above_c,
                ..
            } => (frost_guard_c, None, aired_above_c.filter(|_| step.sun_up)),
        }
    }

    /// Air and mass, °C, at the end of a step with so much exchange of air and heat put in.
    fn solve(&self, before: &RoomState, step: &RoomStep, vent_w_k: f64, put_w: f64) -> (f64, f64) {
        let air_w_k = (vent_w_k + step.supply_w_k + step.beside_w_k).max(0.05);
        let supply_c = (vent_w_k * step.out_c
            + step.supply_w_k * step.supply_c
            + step.beside_w_k * step.beside_c)
            / air_w_k;
        let behind = (self.opaque_w_k + self.house_w_k + self.ground_w_k).max(1e-6);
        let behind_c = (self.opaque_w_k * step.out_c
            + self.house_w_k * step.house_c
            + self.ground_w_k * step.ground_c)
            / behind;
        let gains = step.sun_w + 0.5 * self.inner_gain_w
            - self.sky_loss_w * (1.0 - 0.84 * step.cloud.clamp(0.0, 1.0));
        let to_air = 0.5 * self.inner_gain_w + step.heater_w + put_w;
        let to_mass = self.mass_share * gains;
        let to_surface = self.surface_share * gains;
        let h1 = 1.0 / (1.0 / air_w_k + 1.0 / self.inner_w_k);
        let h2 = h1 + self.glass_w_k;
        let h3 = 1.0 / (1.0 / h2 + 1.0 / self.mass_path_w_k);
        let air_drive = h1 * (supply_c + to_air / air_w_k);
        let surface_drive = to_surface + self.glass_w_k * step.out_c + air_drive;
        let inert = self.capacity_wh_k / step.hours.max(0.01);
        let mass_c = (inert * before.mass_c
            + to_mass
            + self.outer_mass_w_k * behind_c
            + h3 * surface_drive / h2)
            / (inert + h3 + self.outer_mass_w_k);
        let surface_c = (self.mass_path_w_k * mass_c + surface_drive) / (self.mass_path_w_k + h2);
        let air_c =
            (self.inner_w_k * surface_c + air_w_k * supply_c + to_air) / (self.inner_w_k + air_w_k);
        (air_c, mass_c)
    }

    /// Vapour pressure after a step: what comes in with the outer air and from people, plants and trays. Warming the
    /// air adds no vapour, which is why heating dries it. What exceeds saturation at the coldest glass settles there.
    fn vapour(&self, before: &RoomState, step: &RoomStep, air_w_k: f64, air_c: f64) -> f64 {
        let changes = (air_w_k * 3600.0 / (AIR_HEAT_J_M3_K * self.volume_m3)).max(0.01);
        let (aired, mixed_in) = self.mixing_per_h(step.out_c);
        let from_open = changes + aired + mixed_in;
        let beside = step.beside_w_k * 3600.0 / (AIR_HEAT_J_M3_K * self.volume_m3);
        let changes = from_open + beside;
        let house = house_excess_kg_m3(step.out_c);
        let given =
            (mixed_in * house + (self.vapour_kg_h + step.tray_kg_h) / self.volume_m3) / changes;
        let comes = (from_open * step.out_vapour_kpa + beside * step.beside_vapour_kpa) / changes;
        let settled = comes + psychrometrics::vapour_from_kg_m3_kpa(air_c, given);
        let left = (-changes * step.hours).exp();
        let mixed = settled + (before.vapour_kpa - settled) * left;
        let glass_c = super::glass::inner_surface_c(air_c, step.out_c, self.worst_glass_u);
        let at_glass = psychrometrics::saturation_kpa(glass_c);
        let held = if mixed > at_glass {
            mixed - 0.5 * (mixed - at_glass)
        } else {
            mixed
        };
        held.min(psychrometrics::saturation_kpa(air_c))
    }
}
