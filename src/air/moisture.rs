//! Evaporation trays and what a little water does.

use super::psychrometrics::{saturation_kpa, vapour_kpa};

/// Still home water gives off half of what the formula for used pools says; of pebbles half the area is wet.
const ACTIVITY: f64 = 0.5;
const WET_SHARE: f64 = 0.5;

/// Evaporation from open water, kg/(m² h): (p_w - p_a)(0.089 + 0.0782 v)/2450 kg/(s m²), pressures in kPa (Carrier's
/// formula as ASHRAE prints it for pools, Applications ch. on natatoriums; from memory), before any activity factor.
#[must_use]
pub fn open_water_kg_m2_h(water_c: f64, vapour_kpa: f64, speed_m_s: f64) -> f64 {
    let drive = (saturation_kpa(water_c) - vapour_kpa).max(0.0);
    drive * (0.089 + 0.0782 * speed_m_s.max(0.0)) / 2450.0 * 3600.0
}

/// What a tray of wet pebbles gives off, kg/h, in a room; its water is between room and wet bulb.
#[must_use]
pub fn tray_kg_h(area_m2: f64, room_c: f64, room_vapour_kpa: f64, speed_m_s: f64) -> f64 {
    // Half-way between the air and its wet bulb: near enough without solving the dish's own balance.
    let rh = 100.0 * room_vapour_kpa / saturation_kpa(room_c);
    let water_c = 0.5 * (room_c + rough_wet_bulb_c(room_c, rh));
    area_m2.max(0.0)
        * ACTIVITY
        * WET_SHARE
        * open_water_kg_m2_h(water_c, room_vapour_kpa, speed_m_s)
}

/// Wet bulb at sea level, within 1 K from 5 to 35 °C: slope of the psychrometric line without iteration.
fn rough_wet_bulb_c(air_c: f64, rh_pct: f64) -> f64 {
    let deficit = saturation_kpa(air_c) - vapour_kpa(air_c, rh_pct);
    let slope = super::psychrometrics::saturation_slope_kpa_k(air_c - 3.0);
    air_c - deficit / (slope + 0.067)
}
