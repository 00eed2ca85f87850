//! Lengths as the grower reads and types them.

use crate::{
    app::parts::{figures, locale},
    base::{Pt, units},
};

/// A length in the grower's unit: `3.25 m`, or `10 ft 8 in`.
#[must_use]
pub fn length(metres: f64, feet: bool) -> String {
    if !feet {
        return format!("{} m", figures::signed(metres, 2));
    }
    let inches = (units::feet_from_metres(metres.abs()) * 12.0).round();
    let sign = if metres < 0.0 && inches > 0.0 {
        "-"
    } else {
        ""
    };
    let (whole, rest) = ((inches / 12.0).floor(), inches % 12.0);
    match (whole > 0.0, rest > 0.0) {
        (true, true) => format!("{sign}{whole:.0} ft {rest:.0} in"),
        (false, true) => format!("{sign}{rest:.0} in"),
        _ => format!("{sign}{whole:.0} ft"),
    }
}

/// An area: `12.4 m²`, or `133 ft²`.
#[must_use]
pub fn area(square_metres: f64, feet: bool) -> String {
    if feet {
        format!(
            "{:.0} ft²",
            units::feet_from_metres(units::feet_from_metres(square_metres))
        )
    } else {
        format!("{} m²", figures::signed(square_metres, 1))
    }
}

/// Coordinates on the plan.
#[must_use]
pub fn place(p: Pt, feet: bool) -> String {
    let of = figures::signed;
    // Where a comma begins the decimals it cannot part the two as well.
    let between = if locale::here().comma { ";" } else { "," };
    if feet {
        let (x, y) = (
            units::feet_from_metres(p.x()),
            units::feet_from_metres(p.y()),
        );
        format!("{}{between} {} ft", of(x, 1), of(y, 1))
    } else {
        format!("{}{between} {} m", of(p.x(), 2), of(p.y(), 2))
    }
}

/// Reads a typed length, m. Without a unit it is in the grower's; `m`, `cm`, `mm`, `ft`, `in`, `'` and `"` are
/// understood, and feet with inches after them. `None` if it is no length above zero.
#[must_use]
pub fn typed(text: &str, feet: bool) -> Option<f64> {
    let mut total = 0.0;
    let mut found = false;
    let mut last_was_feet = false;
    let mut rest = text.trim();
    while !rest.is_empty() {
        let end = rest
            .find(|c: char| !c.is_ascii_digit() && c != '.' && c != ',')
            .unwrap_or(rest.len());
        let value: f64 = rest.get(..end)?.replace(',', ".").parse().ok()?;
        rest = rest.get(end..)?.trim_start();
        let unit_end = rest
            .find(|c: char| c.is_ascii_digit() || c.is_whitespace())
            .unwrap_or(rest.len());
        let unit = rest.get(..unit_end)?;
        rest = rest.get(unit_end..)?.trim_start();
        let metres_each = match unit {
            "m" => 1.0,
            "cm" => 0.01,
            "mm" => 0.001,
            "ft" | "'" | "′" => units::metres_from_feet(1.0),
            "in" | "\"" | "″" => units::metres_from_feet(1.0 / 12.0),
            "" if last_was_feet => units::metres_from_feet(1.0 / 12.0),
            "" if feet => units::metres_from_feet(1.0),
            "" => 1.0,
            _ => return None,
        };
        last_was_feet = matches!(unit, "ft" | "'" | "′");
        total += value * metres_each;
        found = true;
    }
    (found && total > 0.0 && total.is_finite()).then_some(total)
}

/// Spacing of grid lines, m, so that they stand at least `least` metres apart: 1, 2 and 5 times powers of ten, or
/// feet and inches.
#[must_use]
pub fn grid_step(least: f64, feet: bool) -> f64 {
    const FEET: [f64; 9] = [1.0 / 12.0, 0.25, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0];
    if feet {
        return FEET
            .iter()
            .map(|f| units::metres_from_feet(*f))
            .find(|step| *step >= least)
            .unwrap_or_else(|| units::metres_from_feet(100.0));
    }
    let power = 10_f64.powf(least.max(1e-6).log10().floor());
    [1.0, 2.0, 5.0, 10.0]
        .iter()
        .map(|k| k * power)
        .find(|step| *step >= least * (1.0 - 1e-9))
        .unwrap_or(10.0 * power)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_read_as_people_write_them() {
        assert_eq!(length(3.254, false), "3.25 m");
        assert_eq!(length(3.2512, true), "10 ft 8 in");
        assert_eq!(length(0.3048, true), "1 ft");
        assert_eq!(length(0.0508, true), "2 in");
    }

    #[test]
    fn typed_lengths_are_understood() {
        for (text, feet, metres) in [
            ("3.2", false, 3.2),
            ("3,2", false, 3.2),
            ("320cm", false, 3.2),
            ("10", true, 3.048),
            ("10ft 6in", false, 3.2004),
            ("10' 6\"", true, 3.2004),
            ("10ft 6", true, 3.2004),
            ("2.5 m", true, 2.5),
        ] {
            let read = typed(text, feet).unwrap_or(f64::NAN);
            assert!((read - metres).abs() < 1e-9, "{text}: {read} m");
        }
        for text in ["", "0", "wide", "3 parsecs", "1.2.3"] {
            assert_eq!(typed(text, false), None, "{text}");
        }
    }

    #[test]
    fn the_grid_steps_in_round_figures() {
        assert!((grid_step(0.3, false) - 0.5).abs() < 1e-12);
        assert!((grid_step(0.1, false) - 0.1).abs() < 1e-12);
        assert!((grid_step(7.0, false) - 10.0).abs() < 1e-12);
        assert!((grid_step(0.2, true) - 0.3048).abs() < 1e-12);
    }
}
