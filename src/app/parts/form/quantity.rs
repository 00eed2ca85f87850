//! Quantities as the grower types them, and as the document holds them.

use crate::{app::state::Units, base::units};

/// What a number means, and with it the unit it is shown in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Quantity {
    /// m, or ft.
    Length,
    /// Held in m, shown in cm or in.
    SmallLength,
    /// Held in cm, shown in cm or in.
    Centimetres,
    /// Held in mm, shown in mm or in.
    Millimetres,
    /// m², or ft².
    Area,
    /// °C, or °F.
    Temperature,
    /// K, or °F of difference.
    Difference,
    /// Held as 0..1, shown in %.
    Share,
    Percent,
    Degrees,
    /// Hour of the day.
    Hour,
    Watts,
    /// m/s, or ft/s.
    Speed,
    KilogramsADay,
    /// kg, or lb.
    Kilograms,
    AirChanges,
    /// A number without a unit.
    Plain,
}

const INCH_CM: f64 = 2.54;
/// International avoirdupois pound, kg (definition of 1959).
const POUND_KG: f64 = 0.453_592_37;

impl Quantity {
    /// As it is shown.
    #[must_use]
    pub fn shown(self, held: f64, u: Units) -> f64 {
        match self {
            Self::Length | Self::Speed if u.feet => units::feet_from_metres(held),
            Self::SmallLength if u.feet => held * 100.0 / INCH_CM,
            Self::SmallLength | Self::Share => held * 100.0,
            Self::Centimetres if u.feet => held / INCH_CM,
            Self::Millimetres if u.feet => held / (10.0 * INCH_CM),
            Self::Area if u.feet => units::feet_from_metres(units::feet_from_metres(held)),
            Self::Temperature if u.fahrenheit => units::fahrenheit_from_celsius(held),
            Self::Kilograms if u.feet => held / POUND_KG,
            Self::Difference if u.fahrenheit => held * 1.8,
            _ => held,
        }
    }

    /// As the document holds it.
    #[must_use]
    pub fn held(self, shown: f64, u: Units) -> f64 {
        match self {
            Self::Length | Self::Speed if u.feet => units::metres_from_feet(shown),
            Self::SmallLength if u.feet => shown * INCH_CM / 100.0,
            Self::SmallLength | Self::Share => shown / 100.0,
            Self::Centimetres if u.feet => shown * INCH_CM,
            Self::Millimetres if u.feet => shown * 10.0 * INCH_CM,
            Self::Area if u.feet => units::metres_from_feet(units::metres_from_feet(shown)),
            Self::Temperature if u.fahrenheit => units::celsius_from_fahrenheit(shown),
            Self::Kilograms if u.feet => shown * POUND_KG,
            Self::Difference if u.fahrenheit => shown / 1.8,
            _ => shown,
        }
    }

    #[must_use]
    pub fn unit(self, u: Units) -> &'static str {
        match self {
            Self::Length => {
                if u.feet {
                    " ft"
                } else {
                    " m"
                }
            }
            Self::SmallLength | Self::Centimetres => {
                if u.feet {
                    " in"
                } else {
                    " cm"
                }
            }
            Self::Millimetres => {
                if u.feet {
                    " in"
                } else {
                    " mm"
                }
            }
            Self::Area => {
                if u.feet {
                    " ft²"
                } else {
                    " m²"
                }
            }
            Self::Temperature => {
                if u.fahrenheit {
                    " °F"
                } else {
                    " °C"
                }
            }
            Self::Difference => {
                if u.fahrenheit {
                    " °F"
                } else {
                    " K"
                }
            }
            Self::Share | Self::Percent => " %",
            Self::Degrees => "°",
            Self::Hour => " h",
            Self::Watts => " W",
            Self::Speed => {
                if u.feet {
                    " ft/s"
                } else {
                    " m/s"
                }
            }
            Self::KilogramsADay => " kg a day",
            Self::Kilograms => {
                if u.feet {
                    " lb"
                } else {
                    " kg"
                }
            }
            Self::AirChanges => " an hour",
            Self::Plain => "",
        }
    }

    /// Digits after the point.
    #[must_use]
    pub fn decimals(self, u: Units) -> usize {
        match self {
            Self::Length | Self::Speed | Self::AirChanges | Self::Hour => 2,
            Self::Area => {
                if u.feet {
                    1
                } else {
                    3
                }
            }
            Self::Millimetres => {
                if u.feet {
                    3
                } else {
                    1
                }
            }
            Self::SmallLength
            | Self::Centimetres
            | Self::Temperature
            | Self::Difference
            | Self::KilogramsADay
            | Self::Kilograms
            | Self::Plain => 1,
            Self::Share | Self::Percent | Self::Degrees | Self::Watts => 0,
        }
    }

    /// Change for each point that the pointer pulls.
    #[must_use]
    pub fn speed(self) -> f64 {
        match self {
            Self::Length | Self::Speed | Self::AirChanges => 0.02,
            Self::Area => 0.005,
            Self::Millimetres | Self::Hour | Self::Plain => 0.05,
            Self::Temperature | Self::Difference | Self::KilogramsADay | Self::Kilograms => 0.1,
            Self::SmallLength | Self::Centimetres | Self::Share | Self::Percent => 0.5,
            Self::Degrees => 1.0,
            Self::Watts => 10.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_quantity_comes_back_as_it_went() {
        let all = [
            Quantity::Length,
            Quantity::SmallLength,
            Quantity::Centimetres,
            Quantity::Millimetres,
            Quantity::Area,
            Quantity::Temperature,
            Quantity::Difference,
            Quantity::Share,
            Quantity::Percent,
            Quantity::Degrees,
            Quantity::Hour,
            Quantity::Watts,
            Quantity::Speed,
            Quantity::KilogramsADay,
            Quantity::Kilograms,
            Quantity::AirChanges,
            Quantity::Plain,
        ];
        for fahrenheit in [false, true] {
            for feet in [false, true] {
                let u = Units {
                    fahrenheit,
                    feet,
                    ..Units::default()
                };
                for q in all {
                    assert!((q.held(q.shown(7.25, u), u) - 7.25).abs() < 1e-9, "{q:?}");
                }
            }
        }
    }

    #[test]
    fn inches_and_feet_are_exact() {
        // 1 in = 2.54 cm, 1 ft = 0.3048 m by definition (international yard and pound agreement, 1959).
        let u = Units {
            feet: true,
            ..Units::default()
        };
        assert!((Quantity::Centimetres.shown(25.4, u) - 10.0).abs() < 1e-12);
        assert!((Quantity::Millimetres.shown(25.4, u) - 1.0).abs() < 1e-12);
        assert!((Quantity::Area.shown(0.3048 * 0.3048, u) - 1.0).abs() < 1e-12);
    }
}
