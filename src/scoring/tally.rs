//! Factors brought together into points, so that one of them can be exchanged cheaply, and a band about them.

use std::sync::LazyLock;

use super::{FactorScore, rules::rules};

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

/// A factor as it stands in the sum: the logarithm of the share that it leaves, and that times its weight, not below
/// the floor.
#[derive(Clone, Copy, Debug)]
struct Left {
    log_share: f64,
    weighed: f64,
}

impl Left {
    fn of(response: f64, weight: f64) -> Self {
        if response >= 1.0 || weight <= 0.0 {
            return Self {
                log_share: 0.0,
                weighed: 0.0,
            };
        }
        let log_share = if response <= 0.0 && weight >= 1.0 {
            f64::NEG_INFINITY
        } else if weight <= 1.0 {
            (1.0 - weight * (1.0 - response)).ln()
        } else {
            weight * response.ln()
        };
        Self {
            log_share,
            weighed: weight * log_share.max(COMBINE.log_floor),
        }
    }
}

#[derive(Clone, Copy, Debug)]
struct Row {
    weight: f64,
    left: Option<Left>,
}

const ROWS: usize = super::Factor::ALL.len();

/// All factors of a score.
pub(super) struct Tally {
    rows: [Row; ROWS],
    len: usize,
    log_sum: f64,
    known: f64,
    all: f64,
    /// Logarithms of the least share that is left, whose it is, and of the least of the others.
    least: f64,
    least_at: usize,
    next_least: f64,
}

impl Tally {
    #[must_use]
    pub fn new() -> Self {
        Self {
            rows: [Row {
                weight: 0.0,
                left: None,
            }; ROWS],
            len: 0,
            log_sum: 0.0,
            known: 0.0,
            all: 0.0,
            least: 0.0,
            least_at: ROWS,
            next_least: 0.0,
        }
    }

    #[must_use]
    pub fn of(factors: impl IntoIterator<Item = FactorScore>) -> Self {
        let mut tally = Self::new();
        for f in factors {
            tally.add(f.weight, f.response);
        }
        tally
    }

    /// Adds a factor; `None` for a response that is not known. More than there are factors are left out.
    pub fn add(&mut self, weight: f64, response: Option<f64>) {
        let Some(row) = self.rows.get_mut(self.len) else {
            return;
        };
        let left = response.map(|r| Left::of(r, weight));
        *row = Row { weight, left };
        self.all += weight;
        if let Some(left) = left {
            self.known += weight;
            self.log_sum += left.weighed;
            if left.log_share < self.least {
                (self.next_least, self.least) = (self.least, left.log_share);
                self.least_at = self.len;
            } else if left.log_share < self.next_least {
                self.next_least = left.log_share;
            }
        }
        self.len += 1;
    }

    /// Logarithm of what the factor at a place leaves.
    #[must_use]
    pub fn log_left(&self, at: usize) -> Option<f64> {
        self.rows.get(at)?.left.map(|l| l.log_share)
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
        self.sum(self.log_sum, self.known, exp(self.least))
    }

    /// The same with the response of the factor at a place exchanged.
    #[must_use]
    pub fn points_with(&self, at: usize, response: f64) -> f64 {
        let Some(row) = self.rows.get(at).filter(|_| at < self.len) else {
            return self.points();
        };
        let left = Left::of(response, row.weight);
        let (log_sum, known) = match row.left {
            Some(before) => (self.log_sum - before.weighed + left.weighed, self.known),
            None => (self.log_sum + left.weighed, self.known + row.weight),
        };
        let others = if at == self.least_at {
            self.next_least
        } else {
            self.least
        };
        self.sum(log_sum, known, exp(others.min(left.log_share)))
    }

    fn sum(&self, log_sum: f64, known: f64, least: f64) -> f64 {
        if known <= 0.0 {
            return 0.0;
        }
        let mean = exp(log_sum / known);
        let unknown = (1.0 - known / self.all).max(0.0);
        100.0
            * (COMBINE.least_share * least + (1.0 - COMBINE.least_share) * mean)
            * (1.0 - COMBINE.unknown_takes * unknown)
    }
}

/// Most places are ideal in all or nearly all, or hopeless in one: an exponential saved is time saved.
fn exp(log: f64) -> f64 {
    if log == 0.0 {
        1.0
    } else if log == f64::NEG_INFINITY {
        0.0
    } else {
        log.exp()
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
            let log = Left::of(response, weight).log_share;
            assert!((log.exp() - share).abs() < 1e-12, "{response} {weight}");
        }
        let floor = rules().responses.floor.value.ln();
        assert_eq!(Left::of(0.0, 2.0).weighed, 2.0 * floor);
    }

    #[test]
    fn exchanging_a_factor_is_the_same_as_adding_it_so_from_the_start() {
        let factors = [
            (1.0, Some(0.4)),
            (0.6, Some(0.9)),
            (2.0, Some(0.4)),
            (1.3, None),
        ];
        let mut tally = Tally::new();
        for (weight, response) in factors {
            tally.add(weight, response);
        }
        for at in 0..factors.len() {
            for response in [0.0, 0.2, 0.5, 1.0] {
                let mut afresh = Tally::new();
                for (i, (weight, before)) in factors.into_iter().enumerate() {
                    afresh.add(weight, if i == at { Some(response) } else { before });
                }
                let (a, b) = (tally.points_with(at, response), afresh.points());
                assert!((a - b).abs() < 1e-9, "{at} {response}: {a} {b}");
            }
        }
    }
}
