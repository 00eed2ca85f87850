//! Conversions between the units growers use and the SI units computed with. Inside the program everything is
//! SI and the unit stands in the name of the field; these are for the edges.

/// Lux of daylight for one µmol m⁻² s⁻¹ of PPFD. Thimijan & Heins 1983 (HortScience 18:818), sun and sky.
pub const LUX_PER_PPFD_DAYLIGHT: f64 = 54.0;

/// Lux in one foot-candle (1 lm/ft²): 1/0.3048².
pub const LUX_PER_FOOT_CANDLE: f64 = 1.0 / (0.3048 * 0.3048);

/// PPFD of beam sunlight per W/m² of global radiation: a PAR share of 0.44 times 4.57 µmol/J (McCree 1972).
pub const PPFD_PER_BEAM_W_M2: f64 = 2.02;

/// PPFD of skylight per W/m²: bluer, with a larger PAR share than the beam (Ross & Sulev 2000; from memory).
pub const PPFD_PER_SKY_W_M2: f64 = 2.20;

#[must_use]
pub fn ppfd_from_lux(lux: f64) -> f64 {
    lux / LUX_PER_PPFD_DAYLIGHT
}

#[must_use]
pub fn lux_from_ppfd(ppfd_umol_m2_s: f64) -> f64 {
    ppfd_umol_m2_s * LUX_PER_PPFD_DAYLIGHT
}

#[must_use]
pub fn lux_from_foot_candles(foot_candles: f64) -> f64 {
    foot_candles * LUX_PER_FOOT_CANDLE
}

#[must_use]
pub fn foot_candles_from_lux(lux: f64) -> f64 {
    lux / LUX_PER_FOOT_CANDLE
}

/// Daily light integral, mol m⁻² d⁻¹, of a steady PPFD over some hours.
#[must_use]
pub fn dli_from_ppfd(ppfd_umol_m2_s: f64, hours: f64) -> f64 {
    ppfd_umol_m2_s * hours * 3600.0 / 1e6
}

#[must_use]
pub fn fahrenheit_from_celsius(celsius: f64) -> f64 {
    celsius * 1.8 + 32.0
}

#[must_use]
pub fn celsius_from_fahrenheit(fahrenheit: f64) -> f64 {
    (fahrenheit - 32.0) / 1.8
}

#[must_use]
pub fn feet_from_metres(metres: f64) -> f64 {
    metres / 0.3048
}

#[must_use]
pub fn metres_from_feet(feet: f64) -> f64 {
    feet * 0.3048
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(value: f64, expected: f64, tolerance: f64) {
        assert!(
            (value - expected).abs() <= tolerance,
            "{value} is not {expected} ± {tolerance}"
        );
    }

    #[test]
    fn validate_light_units_against_published_tables() {
        // Sun, 2000 µmol = 108,000 lux = 10,020 fc: a sensor maker's table after Thimijan & Heins 1983.
        near(lux_from_ppfd(2000.0), 108_000.0, 1.0);
        near(foot_candles_from_lux(108_000.0), 10_020.0, 20.0);
        // 3000 and 4000 fc of sun: 598 and 797 µmol at 54 lux per µmol.
        near(ppfd_from_lux(lux_from_foot_candles(3000.0)), 598.0, 0.5);
        near(ppfd_from_lux(lux_from_foot_candles(4000.0)), 797.5, 0.5);
    }

    #[test]
    fn validate_dli_against_published_table() {
        // Torres & Lopez, Purdue Extension HO-238-W: 200 µmol for 16 h, 600 µmol for 18 h.
        near(dli_from_ppfd(200.0, 16.0), 11.52, 1e-9);
        near(dli_from_ppfd(600.0, 18.0), 38.88, 1e-9);
        near(dli_from_ppfd(100.0, 12.0), 4.32, 1e-9);
    }

    #[test]
    fn temperatures_convert_both_ways() {
        near(celsius_from_fahrenheit(55.0), 12.8, 0.05);
        near(celsius_from_fahrenheit(27.0), -2.8, 0.05);
        near(
            fahrenheit_from_celsius(celsius_from_fahrenheit(98.6)),
            98.6,
            1e-9,
        );
    }
}
