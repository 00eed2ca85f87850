//! Moist air. Vapour pressures are over liquid water, also below freezing, as humidity readings and dew points are
//! by convention; over ice they would be lower (by 1 % per kelvin below zero, nearly).

/// Ratio of the molar masses of water and dry air.
const MASS_RATIO: f64 = 0.621_945;

/// Gas constant of water vapour, J/(kg K).
const VAPOUR_GAS: f64 = 461.52;

/// Gas constant of dry air, J/(kg K).
const DRY_AIR_GAS: f64 = 287.042;

const KELVIN: f64 = 273.15;

/// Saturation vapour pressure over water, kPa, -40..=60 °C (Buck 1981, J. Appl. Meteorol. 20:1527, with the
/// constants of his manual of 1996). Within 0.1 % of the steam tables from 0 to 50 °C; FAO-56 eq. 11 agrees
/// within 0.2 % there, but falls 0.6 % short at -20 °C.
#[must_use]
pub fn saturation_kpa(air_c: f64) -> f64 {
    let t = air_c.clamp(-90.0, 120.0);
    0.611_21 * ((18.678 - t / 234.5) * (t / (257.14 + t))).exp()
}

/// Slope of [`saturation_kpa`], kPa/K.
#[must_use]
pub fn saturation_slope_kpa_k(air_c: f64) -> f64 {
    let t = air_c.clamp(-90.0, 120.0);
    let span = 257.14 + t;
    let log_slope = (18.678 - t / 234.5) * 257.14 / (span * span) - t / (234.5 * span);
    saturation_kpa(t) * log_slope
}

/// Vapour pressure of air, kPa.
#[must_use]
pub fn vapour_kpa(air_c: f64, rh_pct: f64) -> f64 {
    saturation_kpa(air_c) * rh_pct.clamp(0.0, 100.0) / 100.0
}

/// Relative humidity of air that holds a vapour pressure, %, 1..=100.
#[must_use]
pub fn rh_pct(air_c: f64, vapour_kpa: f64) -> f64 {
    (100.0 * vapour_kpa / saturation_kpa(air_c)).clamp(1.0, 100.0)
}

/// Vapour-pressure deficit of the air, kPa.
#[must_use]
pub fn vpd_kpa(air_c: f64, rh_pct: f64) -> f64 {
    saturation_kpa(air_c) * (1.0 - rh_pct / 100.0).max(0.0)
}

/// Dew point of a vapour pressure, °C: [`saturation_kpa`] turned round exactly. Vapour pressures below 1 Pa count
/// as 1 Pa (about -60 °C).
#[must_use]
pub fn dew_point_c(vapour_kpa: f64) -> f64 {
    let s = (vapour_kpa.max(1e-3) / 0.611_21).ln();
    let b = 18.678 - s;
    let root = (b * b - 4.0 * 257.14 * s / 234.5).max(0.0).sqrt();
    0.5 * 234.5 * (b - root)
}

/// Pressure of the standard atmosphere, kPa (ASHRAE Fundamentals 2017, ch. 1 eq. 3; ISO 2533).
#[must_use]
pub fn pressure_kpa(elevation_m: f64) -> f64 {
    101.325 * (1.0 - 2.255_77e-5 * elevation_m.clamp(-500.0, 11_000.0)).powf(5.2559)
}

/// Density of moist air, kg/m³.
#[must_use]
pub fn density_kg_m3(air_c: f64, vapour_kpa: f64, pressure_kpa: f64) -> f64 {
    let t = air_c + KELVIN;
    1000.0 * ((pressure_kpa - vapour_kpa) / DRY_AIR_GAS + vapour_kpa / VAPOUR_GAS) / t
}

/// Vapour in a cubic metre of air, kg/m³.
#[must_use]
pub fn vapour_kg_m3(air_c: f64, vapour_kpa: f64) -> f64 {
    1000.0 * vapour_kpa / (VAPOUR_GAS * (air_c + KELVIN))
}

/// Vapour pressure of air that holds so much vapour, kPa.
#[must_use]
pub fn vapour_from_kg_m3_kpa(air_c: f64, vapour_kg_m3: f64) -> f64 {
    vapour_kg_m3 * VAPOUR_GAS * (air_c + KELVIN) / 1000.0
}

/// Kilograms of vapour per kilogram of dry air.
#[must_use]
pub fn humidity_ratio(vapour_kpa: f64, pressure_kpa: f64) -> f64 {
    let e = vapour_kpa.min(0.9 * pressure_kpa);
    MASS_RATIO * e / (pressure_kpa - e)
}

/// Wet-bulb temperature, °C, by iteration on the psychrometric equation (ASHRAE Fundamentals 2017, ch. 1 eq. 33),
/// over water also below zero. To 0.001 K.
#[must_use]
pub fn wet_bulb_c(air_c: f64, rh_pct: f64, elevation_m: f64) -> f64 {
    let pressure = pressure_kpa(elevation_m);
    let held = humidity_ratio(vapour_kpa(air_c, rh_pct), pressure);
    // Humidity ratio that air of `air_c` would have with this wet bulb; it rises with the wet bulb.
    let ratio_of = |wet: f64| {
        let saturated = humidity_ratio(saturation_kpa(wet), pressure);
        ((2501.0 - 2.326 * wet) * saturated - 1.006 * (air_c - wet))
            / (2501.0 + 1.86 * air_c - 4.186 * wet)
    };
    let (mut low, mut high) = (air_c - 60.0, air_c);
    for _ in 0..18 {
        let middle = 0.5 * (low + high);
        if ratio_of(middle) > held {
            high = middle;
        } else {
            low = middle;
        }
    }
    0.5 * (low + high)
}

/// Psychrometric constant, kPa/K, at a pressure (FAO-56 eq. 8).
#[must_use]
pub fn psychrometric_kpa_k(pressure_kpa: f64) -> f64 {
    0.665e-3 * pressure_kpa
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dew_point_turns_saturation_round() {
        for t in [-35.0, -10.0, 0.0, 0.5, 20.0, 45.0] {
            assert!((dew_point_c(saturation_kpa(t)) - t).abs() < 1e-6, "{t}");
        }
    }

    #[test]
    fn slope_is_that_of_the_curve() {
        for t in [-20.0, 0.0, 15.0, 40.0] {
            let by_difference = (saturation_kpa(t + 0.01) - saturation_kpa(t - 0.01)) / 0.02;
            assert!((saturation_slope_kpa_k(t) / by_difference - 1.0).abs() < 1e-5);
        }
    }
}
