//! Factors brought together into points, so that one of them can be exchanged cheaply, and a band about them.

use std::sync::LazyLock;

use super::{
    rules::rules,
    wants::{ByFactor, FACTORS},
};

/// The rules of the sum, worked out once.
struct Combine {
    least_share: f64,
    unknown_takes: f64,
    log_floor: f64,
}

static COMBINE: LazyLock<Combine> = LazyLock::new(|| {
    let r = &rules().responses;
    Combine {
        least_share: r.least_share.value,
        unknown_takes: r.unknown_takes.value,
        log_floor: r.floor.value.ln(),
    }
});

/// Share of the score that a factor leaves, 0..=1. A weight below 1 is the largest share that the factor can take; above
/// 1 the response is raised to the weight.
#[must_use]
pub(super) fn share_left(response: f64, weight: f64) -> f64 {
    if response >= 1.0 {
        1.0
    } else if weight <= 1.0 {
        1.0 - weight * (1.0 - response)
    } else {
        response.powf(weight)
    }
}

/// A factor as it stands in the sum: the share that it leaves, and the logarithm of that, not below the floor, times
/// its weight.
#[derive(Clone, Copy, Debug)]
struct Left {
    share: f64,
    weighed: f64,
}

impl Left {
    fn of(response: f64, weight: f64) -> Self {
        if response >= 1.0 || weight <= 0.0 {
            return Self {
                share: 1.0,
                weighed: 0.0,
            };
        }
        let floor = COMBINE.log_floor;
        if weight <= 1.0 {
            let share = 1.0 - weight * (1.0 - response);
            Self {
                share,
                weighed: weight * share.ln().max(floor),
            }
        } else if response <= 0.0 {
            Self {
                share: 0.0,
                weighed: weight * floor,
            }
        } else {
            let log_share = weight * response.ln();
            Self {
                share: log_share.exp(),
                weighed: weight * log_share.max(floor),
            }
        }
    }
}

/// All factors of a score, in the order of [`super::Factor::ALL`].
pub(super) struct Tally {
    weights: ByFactor,
    /// What each leaves; not a number where it is unknown.
    shares: ByFactor,
    weighed: ByFactor,
    log_sum: f64,
    known: f64,
    all: f64,
    /// The least share that is left, whose it is, and the least of the others.
    least: f64,
    least_at: usize,
    next_least: f64,
}

impl Tally {
    /// Of weights, 0 where a factor does not count, and responses, not a number where one is not known.
    #[must_use]
    pub fn of(weights: &ByFactor, responses: &ByFactor) -> Self {
        let mut tally = Self {
            weights: *weights,
            shares: [1.0; FACTORS],
            weighed: [0.0; FACTORS],
            log_sum: 0.0,
            known: 0.0,
            all: 0.0,
            least: 1.0,
            least_at: FACTORS,
            next_least: 1.0,
        };
        for at in 0..FACTORS {
            let (weight, response) = (weights[at], responses[at]);
            tally.all += weight;
            if response.is_nan() {
                tally.shares[at] = f64::NAN;
                continue;
            }
            tally.known += weight;
            if response >= 1.0 {
                continue;
            }
            let left = Left::of(response, weight);
            (tally.shares[at], tally.weighed[at]) = (left.share, left.weighed);
            tally.log_sum += left.weighed;
            if left.share < tally.least {
                (tally.next_least, tally.least) = (tally.least, left.share);
                tally.least_at = at;
            } else if left.share < tally.next_least {
                tally.next_least = left.share;
            }
        }
        tally
    }

    /// Share of the score that the factor at a place leaves, 0..=1; not a number where it is unknown.
    #[must_use]
    pub fn left(&self, at: usize) -> f64 {
        self.shares[at]
    }

    /// The factors that alone can gain most by being mended: the one that leaves least, and the first of those that
    /// weigh most on the mean. To mend any other moves the mean less and the least not at all.
    pub fn worth_mending(&self) -> impl Iterator<Item = usize> {
        let mut heaviest = FACTORS;
        let mut most = 0.0;
        for (at, weighed) in self.weighed.iter().enumerate() {
            if *weighed < most {
                (heaviest, most) = (at, *weighed);
            }
        }
        // In their order, so that the first of equals is named.
        let (first, second) = (heaviest.min(self.least_at), heaviest.max(self.least_at));
        [first, if second == first { FACTORS } else { second }]
            .into_iter()
            .filter(|at| *at < FACTORS)
    }

    /// Share of the weight that is known, 0..=1.
    #[must_use]
    pub fn known_share(&self) -> f64 {
        if self.all > 0.0 {
            self.known / self.all
        } else {
            0.0
        }
    }

    /// Points without dangers, 0..=100.
    #[must_use]
    pub fn points(&self) -> f64 {
        self.sum(self.log_sum, self.known, self.least)
    }

    /// The same with the response of the factor at a place exchanged.
    #[must_use]
    pub fn points_with(&self, at: usize, response: f64) -> f64 {
        let weight = self.weights[at];
        let left = Left::of(response, weight);
        let log_sum = self.log_sum - self.weighed[at] + left.weighed;
        let known = if self.shares[at].is_nan() {
            self.known + weight
        } else {
            self.known
        };
        let others = if at == self.least_at {
            self.next_least
        } else {
            self.least
        };
        self.sum(log_sum, known, others.min(left.share))
    }

    fn sum(&self, log_sum: f64, known: f64, least: f64) -> f64 {
        if known <= 0.0 {
            return 0.0;
        }
        // Most places are ideal in all: an exponential saved is time saved.
        let mean = if log_sum == 0.0 {
            1.0
        } else {
            (log_sum / known).exp()
        };
        let unknown = (1.0 - known / self.all).max(0.0);
        100.0
            * (COMBINE.least_share * least + (1.0 - COMBINE.least_share) * mean)
            * (1.0 - COMBINE.unknown_takes * unknown)
    }
}

/// A 10-90 % band: independent causes add by their squares, downwards and upwards apart.
pub(super) struct Spread {
    points: f64,
    down: f64,
    up: f64,
    squares_down: f64,
    squares_up: f64,
}

impl Spread {
    #[must_use]
    pub fn around(points: f64) -> Self {
        Self {
            points,
            down: 0.0,
            up: 0.0,
            squares_down: 0.0,
            squares_up: 0.0,
        }
    }

    pub fn reach(&mut self, points: f64) {
        self.down = self.down.max(self.points - points);
        self.up = self.up.max(points - self.points);
    }

    /// Ends one cause.
    pub fn close(&mut self) {
        self.squares_down += self.down * self.down;
        self.squares_up += self.up * self.up;
        (self.down, self.up) = (0.0, 0.0);
    }

    #[must_use]
    pub fn range(&self) -> (f64, f64) {
        (
            (self.points - self.squares_down.sqrt()).max(0.0),
            (self.points + self.squares_up.sqrt()).min(100.0),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_light_weight_caps_what_a_factor_takes_and_a_heavy_one_raises_it() {
        for (response, weight, share) in [
            (0.0, 0.3, 0.7),
            (0.5, 1.0, 0.5),
            (0.5, 2.0, 0.25),
            (1.0, 2.5, 1.0),
            (0.0, 2.0, 0.0),
        ] {
            assert!((share_left(response, weight) - share).abs() < 1e-12);
            let left = Left::of(response, weight).share;
            assert!((left - share).abs() < 1e-12, "{response} {weight}");
        }
        let floor = rules().responses.floor.value.ln();
        assert_eq!(Left::of(0.0, 2.0).weighed, 2.0 * floor);
    }

    /// A tally of the first factors; the others do not count.
    fn tally(factors: &[(f64, Option<f64>)]) -> Tally {
        let (mut weights, mut responses) = ([0.0; FACTORS], [f64::NAN; FACTORS]);
        for (at, (weight, response)) in factors.iter().enumerate() {
            weights[at] = *weight;
            responses[at] = response.unwrap_or(f64::NAN);
        }
        Tally::of(&weights, &responses)
    }

    #[test]
    fn exchanging_a_factor_is_the_same_as_adding_it_so_from_the_start() {
        let factors = [
            (1.0, Some(0.4)),
            (0.6, Some(0.9)),
            (2.0, Some(0.4)),
            (1.3, None),
        ];
        let before = tally(&factors);
        for at in 0..factors.len() {
            for response in [0.0, 0.2, 0.5, 1.0] {
                let mut exchanged = factors;
                exchanged[at].1 = Some(response);
                let (a, b) = (before.points_with(at, response), tally(&exchanged).points());
                assert!((a - b).abs() < 1e-9, "{at} {response}: {a} {b}");
            }
        }
    }

    #[test]
    fn what_is_worth_mending_gains_most() {
        // Every pattern of four factors with one of several responses.
        let responses = [None, Some(0.0), Some(0.3), Some(0.9), Some(1.0)];
        let weights = [0.4, 1.0, 1.7, 0.9];
        for pattern in 0..responses.len().pow(4) {
            let factors: [(f64, Option<f64>); 4] = std::array::from_fn(|at| {
                let which = pattern / responses.len().pow(at as u32) % responses.len();
                (weights[at], responses[which])
            });
            let tally = tally(&factors);
            let gain = |at: usize| tally.points_with(at, 1.0) - tally.points();
            let best = (0..4)
                .filter(|at| tally.left(*at) < 1.0)
                .map(gain)
                .fold(0.0, f64::max);
            let found = tally.worth_mending().map(gain).fold(0.0, f64::max);
            assert!((best - found).abs() < 1e-9, "{pattern}: {best} {found}");
        }
    }
}
