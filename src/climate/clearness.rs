//! How often days are bright or dull, given how bright they are on average.

/// Distribution of the daily clearness index within a month: Bendt, Collares-Pereira & Rabl 1981 (Solar Energy
/// 27:1), exponential between a lowest and a highest value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Clearness {
    low: f64,
    high: f64,
    /// Of the exponential; positive where bright days are the more frequent.
    gamma: f64,
}

/// Clearness of the darkest day (Bendt et al. 1981).
const DARKEST: f64 = 0.05;

impl Clearness {
    /// With a mean, and the clearness of a cloudless day as the upper end where that is below the usual one.
    pub fn with_mean(mean: f64, cloudless: f64) -> Self {
        let mean = mean.clamp(0.06, 0.84);
        // Hollands & Huget 1983 (Solar Energy 30:195): the brightest day seen in months of this mean.
        let usual = 0.6313 + 0.267 * mean - 11.9 * (mean - 0.75).powi(8);
        let high = usual.min(cloudless).clamp(mean + 0.01, 0.88);
        let low = DARKEST.min(mean - 0.01);
        Self {
            low,
            high,
            gamma: gamma_of(mean, low, high),
        }
    }

    pub fn highest(&self) -> f64 {
        self.high
    }

    /// The clearness below which a share of days lies, share 0..=1.
    pub fn at_share(&self, share: f64) -> f64 {
        let share = share.clamp(0.0, 1.0);
        if self.gamma.abs() < 1e-3 {
            return self.low + share * (self.high - self.low);
        }
        // Written from the nearer end, so that no exponential overflows.
        let span = self.gamma * (self.high - self.low);
        let value = if self.gamma > 0.0 {
            self.high + (share + (1.0 - share) * (-span).exp()).ln() / self.gamma
        } else {
            self.low + ((1.0 - share) + share * span.exp()).ln() / self.gamma
        };
        value.clamp(self.low, self.high)
    }
}

fn gamma_of(mean: f64, low: f64, high: f64) -> f64 {
    let (mut below, mut above) = (-1000.0, 1000.0);
    for _ in 0..60 {
        let gamma = f64::midpoint(below, above);
        if mean_of(gamma, low, high) < mean {
            below = gamma;
        } else {
            above = gamma;
        }
    }
    f64::midpoint(below, above)
}

/// Mean of the exponential of `gamma` cut off at both ends.
fn mean_of(gamma: f64, low: f64, high: f64) -> f64 {
    let span = high - low;
    let x = gamma * span;
    if x.abs() < 1e-3 {
        return low + span * (0.5 + x / 12.0);
    }
    // coth is even better behaved than the difference of exponentials.
    f64::midpoint(low, high) + span * (0.5 / (x / 2.0).tanh() - 1.0 / x)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_mean_comes_back_at_every_level() {
        for mean in [0.08, 0.2, 0.35, 0.5, 0.62, 0.74, 0.8] {
            let days = Clearness::with_mean(mean, 0.9);
            let n = 20_000;
            let got = (0..n)
                .map(|i| days.at_share((f64::from(i) + 0.5) / f64::from(n)))
                .sum::<f64>()
                / f64::from(n);
            assert!((got - mean).abs() < 1e-3, "{mean}: {got}");
        }
    }

    #[test]
    fn verify_shares_against_the_distribution_function() {
        for mean in [0.2, 0.5, 0.7] {
            let days = Clearness::with_mean(mean, 0.9);
            // Bendt et al. 1981: F(k) = (e^γlow - e^γk) / (e^γlow - e^γhigh).
            let e = |k: f64| (days.gamma * k).exp();
            for share in [0.05, 0.1, 0.5, 0.9, 0.99] {
                let k = days.at_share(share);
                let below = (e(days.low) - e(k)) / (e(days.low) - e(days.high));
                assert!((below - share).abs() < 1e-9, "{mean}, {share}: {below}");
            }
        }
    }
}
