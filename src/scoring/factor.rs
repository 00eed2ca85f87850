//! A single condition held against the plant's range.

use serde::Serialize;

use super::{SpotWeek, rules::rules, tally::share_left};
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
            Self::Light => "mol/m² a day",
            Self::PeakLight => "µmol/m² s",
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
    fn a_response_only_rises_and_then_only_falls() {
        let values: Vec<f64> = (-100..400)
            .map(|i| response(Factor::NightWarmth, BAND, f64::from(i) * 0.1))
            .collect();
        let top = values.iter().position(|v| *v >= 1.0).unwrap();
        assert!(values[..=top].windows(2).all(|w| w[0] <= w[1]));
        assert!(values[top..].windows(2).all(|w| w[0] >= w[1]));
    }
}
