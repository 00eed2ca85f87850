//! What a stage wants of every condition, side by side: the form in which the many scores of a site are made.

use super::{
    Factor, FactorScore,
    factor::Sides,
    rules::{Curve, rules},
};
use crate::needs::{Band, Needs};

/// How many factors there are.
pub(super) const FACTORS: usize = Factor::ALL.len();

/// A figure for each factor, in the order of [`Factor::ALL`]; not a number where it is unknown.
pub(super) type ByFactor = [f64; FACTORS];

/// One by the width of a slope that is a step: what lies on its far side is harmed, however near.
const STEP: f64 = 1e12;

/// The ranges and weights of a stage.
#[derive(Clone, Debug)]
pub(super) struct Wants {
    /// The plant's ranges of the factors that count.
    bands: [Option<Band>; FACTORS],
    /// 0 for a factor that does not count.
    pub weights: ByFactor,
    /// Corners of the ideal, and one by the width of the slope beyond; a slope of 0 on the side that does not count.
    from: ByFactor,
    to: ByFactor,
    rise: ByFactor,
    fall: ByFactor,
    curve: Curve,
}

fn slope(width: f64) -> f64 {
    if width <= 1e-12 { STEP } else { 1.0 / width }
}

impl Wants {
    pub fn of(needs: &Needs) -> Self {
        let mut wants = Self {
            curve: rules().responses.curve.value,
            ..Self::nothing()
        };
        for (at, factor) in Factor::ALL.into_iter().enumerate() {
            let Some((band, weight)) = factor.wanted(needs) else {
                continue;
            };
            wants.bands[at] = Some(band);
            wants.weights[at] = weight;
            let sides = factor.sides();
            if sides != Sides::High {
                wants.from[at] = band.ideal_low();
                wants.rise[at] = slope(band.ideal_low() - band.harm_low());
            }
            if sides != Sides::Low {
                wants.to[at] = band.ideal_high();
                wants.fall[at] = slope(band.harm_high() - band.ideal_high());
            }
        }
        wants
    }

    /// What a stage that wants nothing wants.
    pub fn nothing() -> Self {
        Self {
            bands: [None; FACTORS],
            weights: [0.0; FACTORS],
            from: [0.0; FACTORS],
            to: [0.0; FACTORS],
            rise: [0.0; FACTORS],
            fall: [0.0; FACTORS],
            curve: Curve::Straight,
        }
    }

    /// Response to what is met of the factor at a place, 0..=1; not a number where that is none. The same as
    /// [`super::factor::response`].
    pub fn response(&self, at: usize, met: f64) -> f64 {
        let low = (met - self.from[at]) * self.rise[at];
        let high = (self.to[at] - met) * self.fall[at];
        // Written so that what is not a number comes through.
        let over = if low < high { low } else { high };
        self.curve.shape((1.0 + over).clamp(0.0, 1.0))
    }

    pub fn responses(&self, met: &ByFactor) -> ByFactor {
        std::array::from_fn(|at| self.response(at, met[at]))
    }

    /// Every factor that counts, held against its range.
    pub fn held_against(&self, met: &ByFactor) -> impl Iterator<Item = FactorScore> {
        Factor::ALL
            .into_iter()
            .enumerate()
            .filter_map(move |(at, factor)| {
                let response = self.response(at, met[at]);
                Some(FactorScore {
                    factor,
                    response: (!response.is_nan()).then_some(response),
                    weight: self.weights[at],
                    value: (!met[at].is_nan()).then_some(met[at]),
                    band: self.bands[at]?,
                })
            })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scoring::factor::response;

    #[test]
    fn the_quick_way_to_a_response_is_the_same() {
        for (_, kind) in crate::needs::library::kinds().iter() {
            for stage in &kind.stages {
                let wants = Wants::of(&stage.needs);
                for (at, factor) in Factor::ALL.into_iter().enumerate() {
                    let Some((band, _)) = factor.wanted(&stage.needs) else {
                        assert_eq!(wants.weights[at], 0.0);
                        continue;
                    };
                    let Band(a, b, c, d) = band;
                    for value in [a - 1.0, a, 0.5 * (a + b), b, c, 0.5 * (c + d), d, d + 1.0] {
                        let slow = response(factor, band, value);
                        let quick = wants.response(at, value);
                        assert!(
                            (slow - quick).abs() < 1e-12,
                            "{}: {factor:?} {band:?} {value}",
                            kind.name
                        );
                    }
                    assert!(wants.response(at, f64::NAN).is_nan());
                }
            }
        }
    }

    #[test]
    fn a_range_without_slopes_is_a_step() {
        let mut wants = Wants::nothing();
        (wants.from[0], wants.to[0]) = (2.0, 3.0);
        (wants.rise[0], wants.fall[0]) = (slope(0.0), slope(0.0));
        for (value, expected) in [(1.999, 0.0), (2.0, 1.0), (3.0, 1.0), (3.001, 0.0)] {
            assert_eq!(wants.response(0, value), expected, "{value}");
        }
    }
}
