//! What adds to the humidity of a room, by its balance of vapour: a source of so many grams an hour, carried off by the air
//! that is exchanged. Usually little, and the figure says so.

use super::{
    moisture::{open_water_kg_m2_h, tray_kg_h},
    psychrometrics::{rh_pct, saturation_kpa, vapour_from_kg_m3_kpa, vpd_kpa, wet_bulb_c},
    rooms::RoomModel,
};
use crate::site::Plant;

/// Evaporation from a damp floor by that of open water: no waves, and it dries in patches (our choice).
const DAMP_ACTIVITY: f64 = 0.7;
/// Water of one misting, kg: a hand sprayer's worth.
const MISTING_KG: f64 = 0.05;
/// Air among plants in a room, m/s.
const STILL_M_S: f64 = 0.08;
/// Molar mass of water, kg/mol, and standard pressure, kPa.
const WATER_KG_MOL: f64 = 0.018;
const PRESSURE_KPA: f64 = 101.3;
/// Share of its daylight conductance at which a plant behind glass transpires through the day (our choice; stomata open
/// in step with the light).
const INDOOR_OPENING: f64 = 0.4;

/// A room by day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RoomDampness {
    pub air_c: f64,
    pub vapour_kpa: f64,
    pub volume_m3: f64,
    pub changes_per_h: f64,
}

/// What a source adds.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Addition {
    pub what: String,
    /// Water given to the air, g/h.
    pub grams_h: f64,
    /// Points of relative humidity in the whole room.
    pub rh_points: f64,
}

impl RoomDampness {
    #[must_use]
    pub fn of(model: &RoomModel, air_c: f64, vapour_kpa: f64, out_c: f64) -> Self {
        Self {
            air_c,
            vapour_kpa,
            volume_m3: model.volume_m3(),
            changes_per_h: model.air_changes_per_h(out_c),
        }
    }

    #[must_use]
    pub fn rh_pct(&self) -> f64 {
        rh_pct(self.air_c, self.vapour_kpa)
    }

    /// Points that a lasting source adds: v = G/(n V) (ISO 13788:2012, 4.3), never beyond saturation.
    #[must_use]
    pub fn points(&self, kg_h: f64) -> f64 {
        let held = kg_h.max(0.0) / (self.changes_per_h.max(0.05) * self.volume_m3.max(1.0));
        let more = vapour_from_kg_m3_kpa(self.air_c, held);
        (100.0 * more / saturation_kpa(self.air_c))
            .min(100.0 - self.rh_pct())
            .max(0.0)
    }

    /// Points that a single dose adds on the mean of the hour after it: it is carried off as e^(-n t).
    #[must_use]
    pub fn points_of_dose(&self, kg: f64) -> f64 {
        let n = self.changes_per_h.max(0.05);
        self.points(kg.max(0.0) * (1.0 - (-n).exp()))
    }
}

/// What trays, a damp floor, misting and a group of plants (each with its conductance, mol m⁻² s⁻¹) add to a room, each by itself.
#[must_use]
pub fn additions(room: &RoomDampness, tray_m2: f64, plants: &[(&Plant, f64)]) -> Vec<Addition> {
    let water_c = 0.5 * (room.air_c + wet_bulb_c(room.air_c, room.rh_pct(), 0.0));
    let tray = tray_kg_h(tray_m2, room.air_c, room.vapour_kpa, STILL_M_S);
    let floor = DAMP_ACTIVITY * open_water_kg_m2_h(water_c, room.vapour_kpa, STILL_M_S);
    let mut all = vec![
        Addition {
            what: format!("a wet tray of {tray_m2:.1} m²"),
            grams_h: 1000.0 * tray,
            rh_points: room.points(tray),
        },
        Addition {
            what: "1 m² of floor kept damp".to_owned(),
            grams_h: 1000.0 * floor,
            rh_points: room.points(floor),
        },
        Addition {
            what: "a misting of 50 g, for an hour".to_owned(),
            grams_h: 1000.0 * MISTING_KG,
            rh_points: room.points_of_dose(MISTING_KG),
        },
    ];
    if !plants.is_empty() {
        let given: f64 = plants
            .iter()
            .map(|(plant, conductance)| transpiration_kg_h(plant, *conductance, room))
            .sum();
        let n = plants.len();
        all.push(Addition {
            what: format!("a group of {n} plants by day"),
            grams_h: 1000.0 * given,
            rh_points: room.points(given),
        });
    }
    all
}

/// Water that a plant's leaves give off by day, kg/h: conductance times deficit over pressure (Campbell & Norman 1998,
/// eq. 14.10), on as much leaf as its spread covers, twice.
#[must_use]
pub fn transpiration_kg_h(plant: &Plant, conductance_mol_m2_s: f64, room: &RoomDampness) -> f64 {
    let leaf_m2 = 2.0 * std::f64::consts::PI * 0.25 * (plant.spread_cm / 100.0).powi(2);
    let mol = INDOOR_OPENING * conductance_mol_m2_s.max(0.0) * vpd_kpa(room.air_c, room.rh_pct())
        / PRESSURE_KPA;
    3600.0 * WATER_KG_MOL * mol * leaf_m2
}
