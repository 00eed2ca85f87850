//! Moist air.

/// Saturation vapour pressure over water, kPa (FAO-56 eq. 11; Tetens).
#[must_use]
pub fn saturation_kpa(air_c: f64) -> f64 {
    0.6108 * (17.27 * air_c / (air_c + 237.3)).exp()
}

/// Vapour-pressure deficit of the air, kPa.
#[must_use]
pub fn vpd_kpa(air_c: f64, rh_pct: f64) -> f64 {
    saturation_kpa(air_c) * (1.0 - rh_pct / 100.0).max(0.0)
}
