//! Quantities as the grower types them, and as the document holds them.

use crate::{
    app::{
        parts::figures,
        state::{LightUnit, Units},
    },
    base::units,
};

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
    /// Held in K, shown in °C or °F of difference.
    Difference,
    /// Held as 0..1, shown in %.
    Share,
    Percent,
    Degrees,
    /// Hour of the day.
    Hour,
    Watts,
    /// Of air within reach of plants: m/s, or ft/s.
    Speed,
    /// Of the weather: m/s, or miles an hour.
    Wind,
    /// km, or miles.
    Distance,
    /// Above the sea: whole m, or ft.
    Elevation,
    /// Held in mm, shown in whole mm, or in.
    Rain,
    /// mol m⁻² d⁻¹.
    DailyLight,
    /// PPFD of daylight, in the grower's unit of light.
    Brightness,
    /// MJ m⁻² d⁻¹.
    Radiation,
    /// Hours of sunshine in a day.
    Sunshine,
    Kilopascals,
    Days,
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
/// International mile, km, and with it miles an hour in m/s (definition of 1959).
const MILE_KM: f64 = 1.609_344;
const MPH_M_S: f64 = MILE_KM / 3.6;

impl Quantity {
    /// As it is shown.
    #[must_use]
    pub fn shown(self, held: f64, u: Units) -> f64 {
        match self {
            Self::Length | Self::Speed | Self::Elevation if u.feet => units::feet_from_metres(held),
            Self::Wind if u.feet => held / MPH_M_S,
            Self::Distance if u.feet => held / MILE_KM,
            Self::Brightness => figures::brightness_value(u, held),
            Self::SmallLength if u.feet => held * 100.0 / INCH_CM,
            Self::SmallLength | Self::Share => held * 100.0,
            Self::Centimetres if u.feet => held / INCH_CM,
            Self::Millimetres | Self::Rain if u.feet => held / (10.0 * INCH_CM),
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
            Self::Length | Self::Speed | Self::Elevation if u.feet => {
                units::metres_from_feet(shown)
            }
            Self::Wind if u.feet => shown * MPH_M_S,
            Self::Distance if u.feet => shown * MILE_KM,
            Self::Brightness => figures::ppfd_from_value(u, shown),
            Self::SmallLength if u.feet => shown * INCH_CM / 100.0,
            Self::SmallLength | Self::Share => shown / 100.0,
            Self::Centimetres if u.feet => shown * INCH_CM,
            Self::Millimetres | Self::Rain if u.feet => shown * 10.0 * INCH_CM,
            Self::Area if u.feet => units::metres_from_feet(units::metres_from_feet(shown)),
            Self::Temperature if u.fahrenheit => units::celsius_from_fahrenheit(shown),
            Self::Kilograms if u.feet => shown * POUND_KG,
            Self::Difference if u.fahrenheit => shown / 1.8,
            _ => shown,
        }
    }

    /// With the space before it, if there is one.
    #[must_use]
    pub fn unit(self, u: Units) -> &'static str {
        let by_feet = |imperial, metric| if u.feet { imperial } else { metric };
        match self {
            Self::Length | Self::Elevation => by_feet(" ft", " m"),
            Self::SmallLength | Self::Centimetres => by_feet(" in", " cm"),
            Self::Millimetres | Self::Rain => by_feet(" in", " mm"),
            Self::Area => by_feet(" ft²", " m²"),
            Self::Speed => by_feet(" ft/s", " m/s"),
            Self::Wind => by_feet(" mph", " m/s"),
            Self::Distance => by_feet(" miles", " km"),
            Self::Kilograms => by_feet(" lb", " kg"),
            Self::Temperature | Self::Difference if u.fahrenheit => " °F",
            Self::Temperature | Self::Difference => " °C",
            Self::Share | Self::Percent => " %",
            Self::Degrees => "°",
            Self::Hour | Self::Sunshine => " h",
            Self::Watts => " W",
            Self::DailyLight => " mol/m²",
            Self::Brightness => match u.light {
                LightUnit::Ppfd => " µmol/m² s",
                LightUnit::Lux => " lx",
                LightUnit::FootCandles => " fc",
            },
            Self::Radiation => " MJ/m²",
            Self::Kilopascals => " kPa",
            Self::Days => " days",
            Self::KilogramsADay => " kg a day",
            Self::AirChanges => " an hour",
            Self::Plain => "",
        }
    }

    /// Digits after the point.
    #[must_use]
    pub fn decimals(self, u: Units) -> usize {
        match self {
            Self::Length | Self::Speed | Self::AirChanges | Self::Hour | Self::Kilopascals => 2,
            Self::Rain => {
                if u.feet {
                    2
                } else {
                    0
                }
            }
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
            | Self::Wind
            | Self::DailyLight
            | Self::Radiation
            | Self::Sunshine
            | Self::Plain => 1,
            Self::Share
            | Self::Percent
            | Self::Degrees
            | Self::Watts
            | Self::Distance
            | Self::Elevation
            | Self::Brightness
            | Self::Days => 0,
        }
    }

    /// Change for each point that the pointer pulls.
    #[must_use]
    pub fn speed(self) -> f64 {
        match self {
            Self::Length | Self::Speed | Self::AirChanges => 0.02,
            Self::Area => 0.005,
            Self::Millimetres | Self::Hour | Self::Plain | Self::Kilopascals => 0.05,
            Self::Temperature
            | Self::Difference
            | Self::KilogramsADay
            | Self::Kilograms
            | Self::Wind
            | Self::DailyLight
            | Self::Radiation
            | Self::Sunshine => 0.1,
            Self::SmallLength | Self::Centimetres | Self::Share | Self::Percent | Self::Rain => 0.5,
            Self::Degrees | Self::Distance | Self::Elevation | Self::Days => 1.0,
            Self::Watts | Self::Brightness => 10.0,
        }
    }

    /// A figure with its unit, as the grower writes it, without needless noughts: `"24 cm"`, `"9.4 in"`.
    #[must_use]
    pub fn words(self, held: f64, u: Units) -> String {
        let figure = figures::trimmed(self.shown(held, u), self.decimals(u));
        format!("{figure}{}", self.unit(u))
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
            Quantity::Wind,
            Quantity::Distance,
            Quantity::Elevation,
            Quantity::Rain,
            Quantity::DailyLight,
            Quantity::Brightness,
            Quantity::Radiation,
            Quantity::Sunshine,
            Quantity::Kilopascals,
            Quantity::Days,
            Quantity::Plain,
        ];
        for fahrenheit in [false, true] {
            for feet in [false, true] {
                for light in [LightUnit::Ppfd, LightUnit::Lux, LightUnit::FootCandles] {
                    let u = Units {
                        fahrenheit,
                        feet,
                        light,
                    };
                    for q in all {
                        assert!((q.held(q.shown(7.25, u), u) - 7.25).abs() < 1e-9, "{q:?}");
                    }
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
        // 1 mile = 1.609344 km exactly, so 1 mile an hour = 0.44704 m/s.
        assert!((Quantity::Wind.shown(0.447_04, u) - 1.0).abs() < 1e-12);
        assert_eq!(Quantity::Centimetres.words(24.0, u), "9.4 in");
        assert_eq!(Quantity::Centimetres.words(24.0, Units::default()), "24 cm");
        assert_eq!(Quantity::Rain.words(25.4, u), "1 in");
    }
}
