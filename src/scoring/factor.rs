//! A single condition held against the plant's range.

use serde::Serialize;

use super::{
    SpotWeek,
    rules::{Curve, rules},
    tally::share_left,
};
use crate::needs::{Band, Kind, LightForm, Needs};

/// A condition that is held against the plant's range.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Factor {
    /// Daily light integral, weekly mean.
    Light,
    /// Peak PPFD of a clear day.
    PeakLight,
    /// Mean air temperature by day.
    DayWarmth,
    /// Night minimum of the air.
    NightWarmth,
    /// Day maximum less night minimum.
    DayNightDifference,
    /// Relative humidity by day.
    Humidity,
    /// Vapour pressure deficit of the air by day: how hard it draws water from a leaf.
    DryingAir,
    /// Air speed at the leaf: the mean, or what devices bring in their worst hour if that is more.
    AirMovement,
}

/// Which corners of a band count for a factor.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Sides {
    Both,
    /// Only too little can harm.
    Low,
    /// Only too much can harm.
    High,
}

impl Factor {
    pub const ALL: [Self; 8] = [
        Self::Light,
        Self::PeakLight,
        Self::DayWarmth,
        Self::NightWarmth,
        Self::DayNightDifference,
        Self::Humidity,
        Self::DryingAir,
        Self::AirMovement,
    ];

    /// Short name for column heads.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Light => "daily light",
            Self::PeakLight => "noon light",
            Self::DayWarmth => "days",
            Self::NightWarmth => "nights",
            Self::DayNightDifference => "day-night difference",
            Self::Humidity => "humidity",
            Self::DryingAir => "drying air",
            Self::AirMovement => "moving air",
        }
    }

    /// Unit of the factor's values and bands.
    #[must_use]
    pub fn unit(self) -> &'static str {
        match self {
            Self::Light => "mol m⁻² d⁻¹",
            Self::PeakLight => "µmol m⁻² s⁻¹",
            Self::DayWarmth | Self::NightWarmth => "°C",
            Self::DayNightDifference => "K",
            Self::Humidity => "%",
            Self::DryingAir => "kPa",
            Self::AirMovement => "m/s",
        }
    }

    pub(super) fn sides(self) -> Sides {
        match self {
            // Moist air that harms is too moist by its humidity.
            Self::PeakLight | Self::DryingAir => Sides::High,
            Self::DayNightDifference => Sides::Low,
            _ => Sides::Both,
        }
    }

    /// The plant's range and the weight of the factor in a stage; `None` where the factor does not matter.
    #[must_use]
    pub fn wanted(self, needs: &Needs) -> Option<(Band, f64)> {
        let w = &needs.weights;
        let (band, weight) = match self {
            Self::Light => (needs.dli.value, w.dli),
            Self::PeakLight => (needs.peak_ppfd.value, w.peak_ppfd),
            Self::DayWarmth => (needs.day_c.value, w.day_c),
            Self::NightWarmth => (needs.night_c.value, w.night_c),
            Self::DayNightDifference => (needs.day_night_k.as_ref()?.value, w.day_night_k),
            Self::Humidity => (needs.rh_pct.value, w.rh_pct),
            Self::DryingAir => (needs.vpd_kpa.as_ref()?.value, w.vpd_kpa),
            Self::AirMovement => (needs.air_m_s.value, w.air_m_s),
        };
        (weight > 0.0).then_some((band, weight))
    }

    /// What a spot offers of the factor to a kind, in [`Factor::unit`]; `None` when it is not known.
    #[must_use]
    pub fn offered(self, kind: &Kind, week: &SpotWeek) -> Option<f64> {
        self.offered_to(kind.light_form, week)
    }

    pub(super) fn offered_to(self, form: LightForm, week: &SpotWeek) -> Option<f64> {
        let air = week.air.as_ref();
        let value = match self {
            Self::Light => match form {
                LightForm::Spreading => week.dli,
                LightForm::Upright => week.upright_dli.or(week.dli),
            },
            Self::PeakLight => week.clear_peak_ppfd,
            Self::DayWarmth => air.map(|a| a.day_c),
            Self::NightWarmth => air.map(|a| a.night_c),
            Self::DayNightDifference => air.map(|a| a.day_night_k),
            Self::Humidity => air.map(|a| a.rh_day_pct),
            Self::DryingAir => air.map(|a| a.vpd_kpa),
            Self::AirMovement => air.map(|a| a.speed_m_s.max(a.draught_m_s)),
        };
        value.filter(|v| v.is_finite())
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct FactorScore {
    pub factor: Factor,
    /// Response, 0 (harmed) to 1 (ideal); `None` when the condition is unknown.
    pub response: Option<f64>,
    pub weight: f64,
    /// The condition, in the unit of [`Factor::unit`].
    pub value: Option<f64>,
    /// The plant's range.
    pub band: Band,
}

/// A factor that counts in a stage: the plant's range and the factor's weight.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wanted {
    pub factor: Factor,
    pub band: Band,
    pub weight: f64,
    /// Ideal from and to, on the sides that count.
    from: f64,
    to: f64,
    /// One by the width of the slope below and above the ideal; 0 where there is none.
    rise: f64,
    fall: f64,
    curve: Curve,
}

/// One by a width; 0 for a step, on whose far side nothing is left.
fn slope(from: f64, to: f64) -> f64 {
    if to - from <= 1e-12 {
        0.0
    } else {
        1.0 / (to - from)
    }
}

impl Wanted {
    /// What a stage wants, in the order of [`Factor::ALL`].
    pub(super) fn all_of(needs: &Needs) -> std::sync::Arc<[Self]> {
        Factor::ALL
            .into_iter()
            .filter_map(|factor| {
                let (band, weight) = factor.wanted(needs)?;
                let sides = factor.sides();
                let unless = |side, open: f64, corner| if sides == side { open } else { corner };
                Some(Self {
                    factor,
                    band,
                    weight,
                    from: unless(Sides::High, f64::NEG_INFINITY, band.ideal_low()),
                    to: unless(Sides::Low, f64::INFINITY, band.ideal_high()),
                    rise: slope(band.harm_low(), band.ideal_low()),
                    fall: slope(band.ideal_high(), band.harm_high()),
                    curve: rules().responses.curve.value,
                })
            })
            .collect()
    }

    /// Response to what is met; `None` where that is not a number.
    pub(super) fn response(&self, met: f64) -> Option<f64> {
        // The same as [`response`], for the many.
        if self.from <= met && met <= self.to {
            Some(1.0)
        } else if met < self.from {
            let t = (met - self.band.harm_low()) * self.rise;
            Some(self.curve.shape(t.clamp(0.0, 1.0)))
        } else if met > self.to {
            let t = (self.band.harm_high() - met) * self.fall;
            Some(self.curve.shape(t.clamp(0.0, 1.0)))
        } else {
            None
        }
    }

    pub(super) fn held_against(&self, met: f64) -> FactorScore {
        FactorScore {
            factor: self.factor,
            response: self.response(met),
            weight: self.weight,
            value: (!met.is_nan()).then_some(met),
            band: self.band,
        }
    }
}

impl FactorScore {
    /// What the factor leaves of the score, 0..=1. A weight below 1 is the largest share that the factor can take;
    /// above 1 the response is raised to the weight.
    #[must_use]
    pub fn left(&self) -> Option<f64> {
        self.response.map(|r| share_left(r, self.weight))
    }
}

/// How content a plant is with a condition, 0 at a corner of harm and beyond, 1 from ideal to ideal, and the curve of
/// [`super::rules`] between. Rises up to the ideal and falls after it. [`Factor::PeakLight`] and [`Factor::DryingAir`] use the
/// upper corners only, [`Factor::DayNightDifference`] the lower.
#[must_use]
pub fn response(factor: Factor, band: Band, value: f64) -> f64 {
    let sides = factor.sides();
    let curve = rules().responses.curve.value;
    if sides != Sides::High && value < band.ideal_low() {
        curve.step(value, band.harm_low(), band.ideal_low())
    } else if sides != Sides::Low && value > band.ideal_high() {
        curve.step(-value, -band.harm_high(), -band.ideal_high())
    } else {
        1.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const BAND: Band = Band(2.0, 8.0, 15.0, 21.0);

    #[test]
    fn the_corners_of_a_response() {
        for (value, expected) in [
            (-40.0, 0.0),
            (2.0, 0.0),
            (5.0, 0.5),
            (8.0, 1.0),
            (11.0, 1.0),
            (15.0, 1.0),
            (18.0, 0.5),
            (21.0, 0.0),
            (60.0, 0.0),
        ] {
            let r = response(Factor::NightWarmth, BAND, value);
            assert!((r - expected).abs() < 1e-12, "{value}: {r}");
        }
        assert_eq!(response(Factor::PeakLight, BAND, -5.0), 1.0);
        assert_eq!(response(Factor::DayNightDifference, BAND, 30.0), 1.0);
        assert_eq!(
            response(Factor::AirMovement, Band(0.0, 0.0, 1.0, 1.0), 0.0),
            1.0
        );
        assert_eq!(
            response(Factor::AirMovement, Band(0.0, 0.0, 1.0, 1.0), 1.1),
            0.0
        );
    }

    #[test]
    fn the_quick_way_to_a_response_is_the_same() {
        for (_, kind) in crate::needs::library::kinds().iter() {
            for stage in &kind.stages {
                for wanted in Wanted::all_of(&stage.needs).iter() {
                    let Band(a, b, c, d) = wanted.band;
                    for value in [a - 1.0, a, 0.5 * (a + b), b, c, 0.5 * (c + d), d, d + 1.0] {
                        let slow = response(wanted.factor, wanted.band, value);
                        let quick = wanted.response(value).unwrap();
                        assert!(
                            (slow - quick).abs() < 1e-12,
                            "{}: {wanted:?} {value}",
                            kind.name
                        );
                    }
                    assert_eq!(wanted.response(f64::NAN), None);
                }
            }
        }
    }

    #[test]
    fn a_response_only_rises_and_then_only_falls() {
        let values: Vec<f64> = (-100..400)
            .map(|i| response(Factor::NightWarmth, BAND, f64::from(i) * 0.1))
            .collect();
        let top = values.iter().position(|v| *v >= 1.0).unwrap();
        assert!(values[..=top].windows(2).all(|w| w[0] <= w[1]));
        assert!(values[top..].windows(2).all(|w| w[0] >= w[1]));
    }
}
