//! Reference evapotranspiration, FAO Irrigation and Drainage Paper 56 (Allen, Pereira, Raes & Smith 1998).

use super::psychrometrics::psychrometric_kpa_k;
use std::f64::consts::PI;

/// Saturation vapour pressure as FAO-56 has it (eq. 11), kPa, so that its worked examples come out to the digit.
#[must_use]
pub fn fao_saturation_kpa(air_c: f64) -> f64 {
    0.6108 * (17.27 * air_c / (air_c + 237.3)).exp()
}

/// Pressure as FAO-56 has it (eq. 7, air of 20 °C), kPa.
#[must_use]
pub fn fao_pressure_kpa(elevation_m: f64) -> f64 {
    101.3 * ((293.0 - 0.0065 * elevation_m) / 293.0).powf(5.26)
}

/// Wind at 2 m over grass from wind at another height (eq. 47), m/s.
#[must_use]
pub fn wind_at_2_m(wind_m_s: f64, height_m: f64) -> f64 {
    wind_m_s * 4.87 / (67.8 * height_m.max(0.1) - 5.42).ln()
}

/// Radiation outside the air on the level, MJ m⁻² d⁻¹ (eq. 21-25). `day` from 0 (1 January).
#[must_use]
pub fn extraterrestrial_mj_m2_d(latitude_deg: f64, day: usize) -> f64 {
    let turn = 2.0 * PI * (day as f64 + 1.0) / 365.0;
    let distance = 1.0 + 0.033 * turn.cos();
    let declination = 0.409 * (turn - 1.39).sin();
    let latitude = latitude_deg.clamp(-89.9, 89.9).to_radians();
    let sunset = (-latitude.tan() * declination.tan())
        .clamp(-1.0, 1.0)
        .acos();
    let shape = sunset * latitude.sin() * declination.sin()
        + latitude.cos() * declination.cos() * sunset.sin();
    (24.0 * 60.0 / PI * 0.0820 * distance * shape).max(0.0)
}

/// A day as the equation needs it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EvaporationDay {
    pub min_c: f64,
    pub max_c: f64,
    pub vapour_kpa: f64,
    /// At 2 m, m/s.
    pub wind_m_s: f64,
    /// Net radiation, MJ m⁻² d⁻¹.
    pub net_mj_m2_d: f64,
    pub elevation_m: f64,
}

/// Reference evapotranspiration, mm/d (eq. 6), never below zero.
#[must_use]
pub fn reference_mm_d(day: &EvaporationDay) -> f64 {
    let mean_c = 0.5 * (day.min_c + day.max_c);
    let saturation = 0.5 * (fao_saturation_kpa(day.min_c) + fao_saturation_kpa(day.max_c));
    let slope = 4098.0 * fao_saturation_kpa(mean_c) / (mean_c + 237.3).powi(2);
    let gamma = psychrometric_kpa_k(fao_pressure_kpa(day.elevation_m));
    let u = day.wind_m_s.max(0.0);
    let radiant = 0.408 * slope * day.net_mj_m2_d;
    let drying = gamma * 900.0 / (mean_c + 273.0) * u * (saturation - day.vapour_kpa).max(0.0);
    ((radiant + drying) / (slope + gamma * (1.0 + 0.34 * u))).max(0.0)
}

/// Net longwave loss to an open sky, MJ m⁻² d⁻¹ (eq. 39). `clearness` is the day's global radiation by that of a
/// clear day, 0..=1.
#[must_use]
pub fn longwave_loss_mj_m2_d(min_c: f64, max_c: f64, vapour_kpa: f64, clearness: f64) -> f64 {
    let fourth = 0.5 * ((max_c + 273.16).powi(4) + (min_c + 273.16).powi(4));
    4.903e-9
        * fourth
        * (0.34 - 0.14 * vapour_kpa.max(0.0).sqrt())
        * (1.35 * clearness.clamp(0.05, 1.0) - 0.35).max(0.05)
}
