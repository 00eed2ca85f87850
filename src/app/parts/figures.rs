//! Figures in the grower's units.

use crate::{
    app::{
        parts::locale,
        state::{LightUnit, Units},
    },
    base::units,
};

/// A temperature with its unit: `"12.4 °C"`.
#[must_use]
pub fn temperature(units: Units, celsius: f64) -> String {
    let (value, unit) = (temperature_value(units, celsius), temperature_unit(units));
    format!("{} {unit}", signed(value, 1))
}

#[must_use]
pub fn temperature_value(units: Units, celsius: f64) -> f64 {
    if units.fahrenheit {
        units::fahrenheit_from_celsius(celsius)
    } else {
        celsius
    }
}

#[must_use]
pub fn celsius_from_value(units: Units, value: f64) -> f64 {
    if units.fahrenheit {
        units::celsius_from_fahrenheit(value)
    } else {
        value
    }
}

#[must_use]
pub fn temperature_unit(units: Units) -> &'static str {
    if units.fahrenheit { "°F" } else { "°C" }
}

/// A difference of temperatures, in the degrees of the thermometer: `"8.0 °C"` or `"14.4 °F"`.
#[must_use]
pub fn difference(units: Units, kelvin: f64) -> String {
    let value = if units.fahrenheit {
        kelvin * 1.8
    } else {
        kelvin
    };
    format!("{} {}", signed(value, 1), temperature_unit(units))
}

/// A length: `"3.20 m"` or `"10.5 ft"`.
#[must_use]
pub fn length(units: Units, metres: f64) -> String {
    if units.feet {
        format!("{} ft", signed(units::feet_from_metres(metres), 1))
    } else {
        format!("{} m", signed(metres, 2))
    }
}

/// A daily light integral: `"12.3 mol/m² a day"`.
#[must_use]
pub fn dli(mol_m2_d: f64) -> String {
    format!("{} mol/m² a day", signed(mol_m2_d, 1))
}

/// Brightness from PPFD of daylight: `"420 µmol/m²s"`, `"22,700 lx"` or `"2,110 fc"`.
#[must_use]
pub fn brightness(units: Units, ppfd: f64) -> String {
    let lux = units::lux_from_ppfd(ppfd);
    match units.light {
        LightUnit::Ppfd => format!("{} µmol/m² s", grouped(ppfd)),
        LightUnit::Lux => format!("{} lx", grouped(round_to_three(lux))),
        LightUnit::FootCandles => {
            format!(
                "{} fc",
                grouped(round_to_three(units::foot_candles_from_lux(lux)))
            )
        }
    }
}

/// PPFD of daylight in the grower's unit of light.
#[must_use]
pub fn brightness_value(units: Units, ppfd: f64) -> f64 {
    let lux = units::lux_from_ppfd(ppfd);
    match units.light {
        LightUnit::Ppfd => ppfd,
        LightUnit::Lux => lux,
        LightUnit::FootCandles => units::foot_candles_from_lux(lux),
    }
}

/// The other way.
#[must_use]
pub fn ppfd_from_value(units: Units, value: f64) -> f64 {
    match units.light {
        LightUnit::Ppfd => value,
        LightUnit::Lux => units::ppfd_from_lux(value),
        LightUnit::FootCandles => units::ppfd_from_lux(units::lux_from_foot_candles(value)),
    }
}

#[must_use]
pub fn brightness_unit(units: Units) -> &'static str {
    match units.light {
        LightUnit::Ppfd => "µmol/m² s",
        LightUnit::Lux => "lx",
        LightUnit::FootCandles => "fc",
    }
}

/// Brightnesses that are round in the grower's unit: their PPFD and their words.
#[must_use]
pub fn round_brightness(units: Units) -> Vec<(f64, String)> {
    let of = |values: [f64; 5], ppfd: fn(f64) -> f64| {
        let mark = |v: f64| (ppfd(v), grouped(v));
        values.map(mark).to_vec()
    };
    match units.light {
        LightUnit::Ppfd => of([10.0, 50.0, 200.0, 500.0, 1_000.0], |v| v),
        LightUnit::Lux => of(
            [500.0, 2_000.0, 10_000.0, 20_000.0, 50_000.0],
            units::ppfd_from_lux,
        ),
        LightUnit::FootCandles => of([50.0, 200.0, 1_000.0, 2_000.0, 5_000.0], |v| {
            units::ppfd_from_lux(units::lux_from_foot_candles(v))
        }),
    }
}

/// A number with a true minus sign and the grower's decimal sign.
#[must_use]
pub fn signed(value: f64, decimals: usize) -> String {
    locale::figure(plain_signed(value, decimals))
}

/// The same without needless noughts at its end.
#[must_use]
pub fn trimmed(value: f64, decimals: usize) -> String {
    let text = plain_signed(value, decimals);
    locale::figure(if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    })
}

/// Latitude and longitude in degrees, north and east positive.
#[must_use]
pub fn coordinates(latitude_deg: f64, longitude_deg: f64) -> String {
    // Where a comma begins the decimals it cannot part the two as well.
    let between = if locale::here().comma { ";" } else { "," };
    format!(
        "{}°{between} {}°",
        signed(latitude_deg, 2),
        signed(longitude_deg, 2)
    )
}

/// A number with a true minus sign and a decimal point.
#[must_use]
pub fn plain_signed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let zero = text.chars().all(|c| matches!(c, '-' | '0' | '.'));
    match text.strip_prefix('-') {
        Some(rest) if zero => rest.to_owned(),
        Some(rest) => format!("−{rest}"),
        None => text,
    }
}

/// A whole number with a sign between thousands: a comma, or a space where a comma begins the decimals.
#[must_use]
pub fn grouped(value: f64) -> String {
    let digits = format!("{:.0}", value.abs());
    let between = if locale::here().comma { '\u{a0}' } else { ',' };
    let mut out = String::new();
    for (i, c) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            out.push(between);
        }
        out.push(c);
    }
    if value <= -0.5 {
        format!("−{out}")
    } else {
        out
    }
}

fn round_to_three(value: f64) -> f64 {
    if value.abs() < 1.0 {
        return value;
    }
    let step = 10_f64.powi(value.abs().log10().floor() as i32 - 2);
    (value / step).round() * step
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_come_in_the_growers_units() {
        let metric = Units::default();
        let imperial = Units {
            fahrenheit: true,
            feet: true,
            light: LightUnit::FootCandles,
        };
        assert_eq!(temperature(metric, -2.0), "−2.0 °C");
        assert_eq!(temperature(metric, -0.01), "0.0 °C");
        assert_eq!(temperature(imperial, -2.0), "28.4 °F");
        assert_eq!(difference(imperial, 10.0), "18.0 °F");
        assert_eq!(length(imperial, 3.048), "10.0 ft");
        // 1,000 µmol of daylight are 54,000 lx at 54 lx per µmol: 5,017 fc.
        assert_eq!(brightness(imperial, 1000.0), "5,020 fc");
        assert_eq!(brightness(metric, 1999.6), "2,000 µmol/m² s");
    }
}
