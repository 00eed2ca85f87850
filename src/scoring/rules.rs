//! Weights and curves of the score that are not a plant's own: data, in `assets/scoring.ron`, each with its reason.

use std::sync::LazyLock;

use serde::Deserialize;

/// A figure with why it is what it is: a source, or that it is our choice and what for.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rule<T> {
    pub value: T,
    pub why: String,
}

#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rules {
    pub responses: Responses,
    pub frost: Frost,
    pub scorch: Heat,
    pub bud_heat: Heat,
    pub root_heat: Heat,
    pub plume: Device,
    pub jet: Device,
    pub flowering: Flowering,
}

/// From harm to ideal.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
pub enum Curve {
    /// 3t² − 2t³.
    Smooth,
    /// t.
    Straight,
}

impl Curve {
    /// 0 up to `from`, 1 from `to` on; never falls.
    #[must_use]
    pub fn step(self, value: f64, from: f64, to: f64) -> f64 {
        if to - from <= 1e-12 {
            return if value >= to { 1.0 } else { 0.0 };
        }
        self.shape(((value - from) / (to - from)).clamp(0.0, 1.0))
    }

    /// Of the way from harm to ideal, 0..=1.
    #[must_use]
    pub fn shape(self, t: f64) -> f64 {
        match self {
            Self::Smooth => t * t * (3.0 - 2.0 * t),
            Self::Straight => t,
        }
    }
}

#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Responses {
    pub curve: Rule<Curve>,
    /// Share of the least factor in the score; the rest is the weighted geometric mean.
    pub least_share: Rule<f64>,
    /// Least that a factor leaves for the mean.
    pub floor: Rule<f64>,
    /// Below this share of known weight there is no score.
    pub known_enough: Rule<f64>,
    /// Share of itself that unknown weight takes from the score.
    pub unknown_takes: Rule<f64>,
}

#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Frost {
    pub lasting_weeks: Rule<f64>,
    /// Share of the score taken at the limit of leaves, of buds, of roots.
    pub leaf_least: Rule<f64>,
    pub bud_least: Rule<f64>,
    pub root_least: Rule<f64>,
    /// So far below the limit everything is taken, K.
    pub full_k: Rule<f64>,
    /// A pot's mix lags behind the air of a frosty night, K.
    pub pot_lag_k: Rule<f64>,
}

/// A part that is hotter than it stands.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Heat {
    pub lasting_weeks: Rule<f64>,
    /// Share of the score taken when the limit is just reached.
    pub least: Rule<f64>,
    /// So far above the limit everything is taken, K.
    pub full_k: Rule<f64>,
}

/// A device on buds: begins to tell, and is at its worst, in its own unit.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Device {
    pub lasting_weeks: Rule<f64>,
    pub begins: Rule<f64>,
    pub worst: Rule<f64>,
    /// Most that it takes of a week's score, 0..=1.
    pub most: Rule<f64>,
}

/// Shares of flowering odds, 0..=1.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Flowering {
    /// Odds when nothing is wanting.
    pub best: Rule<f64>,
    /// For a weak plant, and for one repotted within the year, times this.
    pub weak: Rule<f64>,
    pub fresh_pot: Rule<f64>,
    /// What the worst light in growth, the worst setting and the worst bud time leave.
    pub light_least: Rule<f64>,
    pub setting_least: Rule<f64>,
    pub bud_least: Rule<f64>,
    /// Good weeks of setting that are enough.
    pub setting_weeks: Rule<f64>,
}

static RULES: LazyLock<Rules> = LazyLock::new(|| {
    // Compiled in, and a test reads it: a fault here never reaches a grower.
    ron::from_str(include_str!("../../assets/scoring.ron"))
        .unwrap_or_else(|e| unreachable!("the rules of this program: {e}"))
});

/// The rules, read once.
#[must_use]
pub fn rules() -> &'static Rules {
    &RULES
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_rule_says_why() {
        let text = include_str!("../../assets/scoring.ron");
        let values = text.matches("(value:").count();
        let reasons: Vec<&str> = text
            .split("why: \"")
            .skip(1)
            .map(|rest| rest.split('"').next().unwrap())
            .collect();
        assert_eq!(values, reasons.len());
        assert!(values >= 34);
        for why in reasons {
            let sourced = ["our choice", "common practice", "from memory"]
                .iter()
                .any(|s| why.starts_with(s));
            assert!(sourced && why.len() > 20, "{why}");
        }
    }

    #[test]
    fn rules_lie_where_they_make_sense() {
        let r = rules();
        let shares = [
            &r.responses.least_share,
            &r.responses.floor,
            &r.responses.known_enough,
            &r.responses.unknown_takes,
            &r.frost.leaf_least,
            &r.frost.bud_least,
            &r.frost.root_least,
            &r.scorch.least,
            &r.bud_heat.least,
            &r.root_heat.least,
            &r.plume.most,
            &r.jet.most,
            &r.flowering.best,
            &r.flowering.weak,
            &r.flowering.fresh_pot,
            &r.flowering.light_least,
            &r.flowering.setting_least,
            &r.flowering.bud_least,
        ];
        assert!(shares.iter().all(|s| (0.0..=1.0).contains(&s.value)));
        for weeks in [
            &r.frost.lasting_weeks,
            &r.scorch.lasting_weeks,
            &r.bud_heat.lasting_weeks,
            &r.root_heat.lasting_weeks,
            &r.plume.lasting_weeks,
            &r.jet.lasting_weeks,
        ] {
            assert!((1.0..=52.0).contains(&weeks.value));
        }
        assert!(r.plume.begins.value < r.plume.worst.value);
        assert!(r.jet.begins.value < r.jet.worst.value);
        assert!(r.frost.full_k.value > 0.0);
        assert!(
            [&r.scorch, &r.bud_heat, &r.root_heat]
                .iter()
                .all(|h| h.full_k.value > 0.0)
        );
    }

    #[test]
    fn a_curve_runs_from_harm_to_ideal_and_never_falls() {
        for curve in [Curve::Smooth, Curve::Straight] {
            assert_eq!(curve.step(-1.0, 0.0, 2.0), 0.0);
            assert_eq!(curve.step(1.0, 0.0, 2.0), 0.5);
            assert_eq!(curve.step(3.0, 0.0, 2.0), 1.0);
            assert_eq!(curve.step(2.0, 2.0, 2.0), 1.0);
            let values: Vec<f64> = (0..100)
                .map(|i| curve.step(f64::from(i) * 0.03, 0.0, 2.0))
                .collect();
            assert!(values.is_sorted());
        }
    }
}
