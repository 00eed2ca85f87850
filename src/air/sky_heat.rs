//! Heat that the sky sends down.

use super::psychrometrics::dew_point_c;

pub(crate) const STEFAN_BOLTZMANN: f64 = 5.670_374e-8;
pub(crate) const KELVIN: f64 = 273.15;

/// Emissivity of a clear sky by the dew point near the ground (Berdahl & Martin 1984, Solar Energy 32:663).
#[must_use]
pub fn clear_emissivity(dew_c: f64) -> f64 {
    let d = dew_c.clamp(-30.0, 30.0) / 100.0;
    0.711 + 0.56 * d + 0.73 * d * d
}

/// Temperature of a black sky that sends down as much heat as the real one, °C. `cloud` 0..=1 closes the gap between
/// clear emissivity and 1 to 84 % (Unsworth & Monteith 1975).
#[must_use]
pub fn sky_c(air_c: f64, vapour_kpa: f64, cloud: f64) -> f64 {
    sky_from_dew_c(air_c, dew_point_c(vapour_kpa), cloud)
}

/// [`sky_c`] for a dew point, °C.
#[must_use]
pub fn sky_from_dew_c(air_c: f64, dew_c: f64, cloud: f64) -> f64 {
    let clear = clear_emissivity(dew_c.min(air_c));
    let emissivity = clear + (1.0 - clear) * 0.84 * cloud.clamp(0.0, 1.0);
    (air_c + KELVIN) * emissivity.sqrt().sqrt() - KELVIN
}

/// How far a cloud cover closes the sky to heat, 0..=1, for [`sky_c`]. Covers told from radiation count thin cloud in
/// full (Kasten & Czeplak 1980: global is 1 - 0.75 N^3.4 of a clear sky's); FAO-56 eq. 39 says how much of the loss
/// of heat is left with that share of the radiation. Together: 1.2 N^3.4.
#[must_use]
pub fn closing(cover: f64) -> f64 {
    (1.205 * cover.clamp(0.0, 1.0).powf(3.4)).min(1.0)
}

/// How far cloud closes the sky to heat, 0..=1, from the heat radiation that was measured, W/m²: [`sky_c`] turned round.
#[must_use]
pub fn closing_from_heat(air_c: f64, dew_c: f64, heat_w_m2: f64) -> f64 {
    let clear = clear_emissivity(dew_c.min(air_c));
    let emissivity = heat_w_m2 / (STEFAN_BOLTZMANN * (air_c + KELVIN).powi(4));
    ((emissivity - clear) / ((1.0 - clear).max(0.01) * 0.84)).clamp(0.0, 1.0)
}

/// How far cloud closes the sky to heat on a day of this clearness index, 0..=1: FAO-56 eq. 35 (Angstrom), with its usual
/// constants, turned round; eq. 39 by way of the same radiation gives the same within 0.04.
#[must_use]
pub fn cloud_from_clearness(clearness: f64) -> f64 {
    ((0.75 - clearness) / 0.5).clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::air::psychrometrics::vapour_kpa;

    #[test]
    fn verify_sky_temperature_of_a_clear_moist_night() {
        // 2 °C, 90 %: worked out by hand from the formula, -20.2 °C.
        let sky = sky_c(2.0, vapour_kpa(2.0, 90.0), 0.0);
        assert!((sky + 20.2).abs() < 0.1, "{sky}");
        assert!(sky_c(2.0, vapour_kpa(2.0, 90.0), 1.0) > -2.0);
    }
    #[test]
    fn verify_measured_heat_gives_the_sky_back() {
        for (air, rh, cloud) in [(2.0, 90.0, 0.0), (-8.0, 70.0, 0.4), (24.0, 60.0, 0.9)] {
            let dew = dew_point_c(vapour_kpa(air, rh));
            let heat = STEFAN_BOLTZMANN * (sky_from_dew_c(air, dew, cloud) + KELVIN).powi(4);
            assert!((closing_from_heat(air, dew, heat) - cloud).abs() < 1e-9);
        }
        // 300 W/m² at 10 °C and a dew point of 5 °C, by hand: emissivity 0.823 against 0.741 under a clear sky.
        assert!((closing_from_heat(10.0, 5.0, 300.0) - 0.378).abs() < 0.02);
    }

    #[test]
    fn verify_both_ways_to_the_closing_of_the_sky_agree() {
        for cover in [0.0, 0.3, 0.6, 0.8, 0.9, 1.0_f64] {
            let clearness = 0.75 * (1.0 - 0.75 * cover.powf(3.4));
            assert!((closing(cover) - cloud_from_clearness(clearness)).abs() < 0.08);
        }
    }
}
