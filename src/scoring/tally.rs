//! Factors brought together into points, so that one of them can be exchanged cheaply, and a band about them.

use super::{FactorScore, rules::rules};

/// A factor as it stands in the sum: what it leaves, and its weighted logarithm.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Left {
    /// Share of the score that it leaves, 0..=1.
    pub share: f64,
    /// Weight times the logarithm of that share, not below the floor.
    pub log: f64,
}

impl Left {
    /// By its response and weight. A weight below 1 is the largest share that the factor can take; above 1 the response is
    /// raised to the weight.
    #[must_use]
    pub fn of(response: f64, weight: f64, log_floor: f64) -> Self {
        if response >= 1.0 || weight <= 0.0 {
            Self {
                share: 1.0,
                log: 0.0,
            }
        } else if weight <= 1.0 {
            let share = 1.0 - weight * (1.0 - response);
            Self {
                share,
                log: weight * share.ln().max(log_floor),
            }
        } else {
            let log = weight * response.ln();
            Self {
                share: log.exp(),
                log: weight * log.max(log_floor),
            }
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
    /// The least share that is left, whose it is, and the least of the others.
    least: f64,
    least_at: usize,
    next_least: f64,
    least_share: f64,
    unknown_takes: f64,
    log_floor: f64,
}

impl Tally {
    #[must_use]
    pub fn new() -> Self {
        let r = &rules().responses;
        Self {
            rows: [Row {
                weight: 0.0,
                left: None,
            }; ROWS],
            len: 0,
            log_sum: 0.0,
            known: 0.0,
            all: 0.0,
            least: 1.0,
            least_at: ROWS,
            next_least: 1.0,
            least_share: r.least_share.value,
            unknown_takes: r.unknown_takes.value,
            log_floor: r.floor.value.ln(),
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
        let left = response.map(|r| Left::of(r, weight, self.log_floor));
        *row = Row { weight, left };
        self.all += weight;
        if let Some(left) = left {
            self.known += weight;
            self.log_sum += left.log;
            if left.share < self.least {
                (self.next_least, self.least) = (self.least, left.share);
                self.least_at = self.len;
            } else if left.share < self.next_least {
                self.next_least = left.share;
            }
        }
        self.len += 1;
    }

    /// What the factor at a place leaves.
    #[must_use]
    pub fn left(&self, at: usize) -> Option<f64> {
        self.rows.get(at)?.left.map(|l| l.share)
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
        let Some(row) = self.rows.get(at).filter(|_| at < self.len) else {
            return self.points();
        };
        let left = Left::of(response, row.weight, self.log_floor);
        let (log_sum, known) = match row.left {
            Some(before) => (self.log_sum - before.log + left.log, self.known),
            None => (self.log_sum + left.log, self.known + row.weight),
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
        let mean = if log_sum == 0.0 {
            1.0
        } else {
            (log_sum / known).exp()
        };
        let unknown = (1.0 - known / self.all).max(0.0);
        100.0
            * (self.least_share * least + (1.0 - self.least_share) * mean)
            * (1.0 - self.unknown_takes * unknown)
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
        let floor = 1e-4_f64.ln();
        let left = |r, w| Left::of(r, w, floor).share;
        assert_eq!(left(0.0, 0.3), 0.7);
        assert_eq!(left(0.5, 1.0), 0.5);
        assert!((left(0.5, 2.0) - 0.25).abs() < 1e-12);
        assert_eq!(left(1.0, 2.5), 1.0);
        assert_eq!(left(0.0, 2.0), 0.0);
        assert_eq!(Left::of(0.0, 2.0, floor).log, 2.0 * floor);
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
