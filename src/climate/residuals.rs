//! How the departures of days from the season hang together: the matrices of the weather generator.

use crate::site::DayToDay;

pub(super) type Matrix = [[f64; 3]; 3];

/// Day maximum, night minimum and brightness as a first-order process x' = A x + B e.
#[derive(Clone, Copy, Debug)]
pub(super) struct Process {
    pub a: Matrix,
    pub b: Matrix,
    /// Shares of the temperatures' variance that are left to spells of weeks, by month: of night minima and of day maxima.
    pub spells: Spells,
    pub own: bool,
}

/// Shares of a variance, January to December, 0..=1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Spells {
    pub night: [f64; 12],
    pub day: [f64; 12],
}

impl Spells {
    /// Of a record, as far as it tells; else the usual ones. `night_sd_k` and `day_sd_k` are the spreads of single days.
    fn of(record: &DayToDay, usual: Self, night_sd_k: &[f64; 12], day_sd_k: &[f64; 12]) -> Self {
        let lag = f64::midpoint(record.day_lag_1, record.night_lag_1);
        let of = |months: Option<[f64; 12]>, sd_k: &[f64; 12], lag: f64, usual: [f64; 12]| {
            let Some(months) = months.filter(|m| m.iter().all(|sd| sd.is_finite())) else {
                return usual;
            };
            std::array::from_fn(|m| {
                if sd_k[m] > 0.0 {
                    spell_share(months[m] / sd_k[m], lag.clamp(0.0, 0.95))
                } else {
                    usual[m]
                }
            })
        };
        // Older files have the mean of all months only.
        let of_all = |sd_k: &[f64; 12], usual: [f64; 12]| {
            let together: f64 = night_sd_k.iter().chain(day_sd_k).sum::<f64>() / 24.0;
            let months = record
                .month_mean_sd_k
                .filter(|_| together > 0.0)
                .map(|sd| std::array::from_fn(|m| sd * sd_k[m] / together));
            of(months, sd_k, lag, usual)
        };
        Self {
            night: match record.night_month_sd_k {
                Some(_) => of(
                    record.night_month_sd_k,
                    night_sd_k,
                    record.night_lag_1,
                    usual.night,
                ),
                None => of_all(night_sd_k, usual.night),
            },
            day: match record.day_month_sd_k {
                Some(_) => of(record.day_month_sd_k, day_sd_k, record.day_lag_1, usual.day),
                None => of_all(day_sd_k, usual.day),
            },
        }
    }

    /// Means of the year.
    fn means(&self) -> (f64, f64) {
        let mean = |of: &[f64; 12]| of.iter().sum::<f64>() / 12.0;
        (mean(&self.night), mean(&self.day))
    }
}

/// Richardson & Wright 1984, from stations of the USA: order day maximum, night minimum, radiation.
const A: Matrix = [
    [0.567, 0.086, -0.002],
    [0.253, 0.504, -0.050],
    [-0.006, -0.039, 0.244],
];
const B: Matrix = [
    [0.781, 0.0, 0.0],
    [0.328, 0.637, 0.0],
    [0.238, -0.341, 0.873],
];

/// Days after which a spell has faded to 1/e.
pub(super) const SPELL_DAYS: f64 = 20.0;
/// Days of a month, for the spread of its mean.
const MONTH_DAYS: usize = 30;
/// Largest share of the variance that spells may have.
const MOST_SPELL: f64 = 0.45;

impl Process {
    /// From a record where there is one; `night_sd_k` and `day_sd_k` are the spreads of single days within each month.
    pub fn of(
        record: Option<&DayToDay>,
        usual_spells: Spells,
        (night_sd_k, day_sd_k): (&[f64; 12], &[f64; 12]),
    ) -> Self {
        let usual = Self {
            a: A,
            b: B,
            spells: usual_spells,
            own: false,
        };
        let Some(record) = record else {
            return usual;
        };
        let spells = Spells::of(record, usual_spells, night_sd_k, day_sd_k);
        let (of_night, of_day) = spells.means();
        let spell_lag = (-1.0 / SPELL_DAYS).exp();
        // What spells do not bring: they move night and day alike, and fade slowly.
        let rest = |r: f64, a: f64, b: f64, of_spell: f64| {
            ((r - (a * b).sqrt() * of_spell) / ((1.0 - a) * (1.0 - b)).sqrt()).clamp(-0.95, 0.95)
        };
        let (mut now, mut next) = correlations();
        let both = rest(record.day_with_night, of_day, of_night, 1.0);
        (now[0][1], now[1][0]) = (both, both);
        next[0][0] = rest(record.day_lag_1, of_day, of_day, spell_lag);
        next[1][1] = rest(record.night_lag_1, of_night, of_night, spell_lag);
        next[0][1] = rest(record.day_after_night, of_day, of_night, spell_lag);
        next[1][0] = rest(record.night_after_day, of_day, of_night, spell_lag);
        let (usual_now, usual_next) = correlations();
        // Figures rounded or typed by hand may contradict one another; then they are drawn towards the usual ones.
        (0..=10)
            .map(|k| f64::from(k) / 10.0)
            .find_map(|w| {
                let (a, b) = matrices(&blend(&now, &usual_now, w), &blend(&next, &usual_next, w))?;
                Some(Self {
                    a,
                    b,
                    spells,
                    own: w < 1.0,
                })
            })
            .unwrap_or(Self { spells, ..usual })
    }
}

/// Share of the variance of days that spells must have for months to differ as they do, from the standard deviation
/// of monthly means by that of days. Means over n days of a first-order process (e.g. von Storch & Zwiers 1999,
/// sect. 6.6): variance / n² · (n + 2 Σ (n - k) φᵏ).
fn spell_share(month_by_day: f64, lag: f64) -> f64 {
    let of_mean = |lag: f64| {
        let n = MONTH_DAYS as f64;
        let sum: f64 = (1..MONTH_DAYS)
            .map(|k| (n - k as f64) * lag.powi(k as i32))
            .sum();
        (n + 2.0 * sum) / (n * n)
    };
    let spell_lag = (-1.0 / SPELL_DAYS).exp();
    // Taking spells out lowers the correlation that is left, which lowers its part of the monthly means.
    let mut share: f64 = 0.1;
    for _ in 0..30 {
        let left = ((lag - share * spell_lag) / (1.0 - share)).clamp(0.0, 0.95);
        let (of_days, of_spells) = (of_mean(left), of_mean(spell_lag));
        let wanted = (month_by_day.powi(2) - of_days) / (of_spells - of_days).max(1e-6);
        share = f64::midpoint(share, wanted.clamp(0.0, MOST_SPELL));
    }
    share
}

/// Correlations of the same day and of a day with the one before, to which the published matrices lead.
fn correlations() -> (Matrix, Matrix) {
    let mut c = [[0.0; 3]; 3];
    for _ in 0..200 {
        c = sum(
            &product(&B, &turned(&B)),
            &product(&product(&A, &c), &turned(&A)),
        );
    }
    let sd: [f64; 3] = std::array::from_fn(|i| c[i][i].sqrt());
    let next = product(&A, &c);
    let scaled =
        |m: Matrix| std::array::from_fn(|i| std::array::from_fn(|j| m[i][j] / (sd[i] * sd[j])));
    (scaled(c), scaled(next))
}

/// A and B from both correlations (Matalas 1967): A = M₁ M₀⁻¹, B Bᵀ = M₀ - A M₁ᵀ. `None` where no process has them.
fn matrices(now: &Matrix, next: &Matrix) -> Option<(Matrix, Matrix)> {
    let a = product(next, &inverse(now)?);
    let of_a = product(&a, &turned(next));
    let left: Matrix = std::array::from_fn(|i| std::array::from_fn(|j| now[i][j] - of_a[i][j]));
    Some((a, lower_root(&left)?))
}

fn blend(own: &Matrix, usual: &Matrix, weight: f64) -> Matrix {
    std::array::from_fn(|i| {
        std::array::from_fn(|j| own[i][j] * (1.0 - weight) + usual[i][j] * weight)
    })
}

fn product(x: &Matrix, y: &Matrix) -> Matrix {
    std::array::from_fn(|i| std::array::from_fn(|j| (0..3).map(|k| x[i][k] * y[k][j]).sum()))
}

fn sum(x: &Matrix, y: &Matrix) -> Matrix {
    std::array::from_fn(|i| std::array::from_fn(|j| x[i][j] + y[i][j]))
}

fn turned(x: &Matrix) -> Matrix {
    std::array::from_fn(|i| std::array::from_fn(|j| x[j][i]))
}

fn inverse(m: &Matrix) -> Option<Matrix> {
    // Indices that run round give the cofactors with their signs.
    let minor = |i: usize, j: usize| {
        let (a, b) = ((i + 1) % 3, (i + 2) % 3);
        let (c, d) = ((j + 1) % 3, (j + 2) % 3);
        m[a][c] * m[b][d] - m[a][d] * m[b][c]
    };
    let determinant: f64 = (0..3).map(|j| m[0][j] * minor(0, j)).sum();
    (determinant.abs() > 1e-6)
        .then(|| std::array::from_fn(|i| std::array::from_fn(|j| minor(j, i) / determinant)))
}

/// Cholesky's lower factor; `None` unless the matrix is positive definite.
fn lower_root(m: &Matrix) -> Option<Matrix> {
    let mut root = [[0.0_f64; 3]; 3];
    for i in 0..3 {
        for j in 0..=i {
            let of_before: f64 = (0..j).map(|k| root[i][k] * root[j][k]).sum();
            let left = m[i][j] - of_before;
            if i == j {
                if left < 0.02 {
                    return None;
                }
                root[i][i] = left.sqrt();
            } else {
                root[i][j] = left / root[j][j];
            }
        }
    }
    Some(root)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_published_matrices_come_back_from_their_own_correlations() {
        let (now, next) = correlations();
        let (a, b) = matrices(&now, &next).unwrap();
        for i in 0..3 {
            for j in 0..3 {
                assert!((a[i][j] - A[i][j]).abs() < 0.01, "{i} {j}: {}", a[i][j]);
                assert!((b[i][j] - B[i][j]).abs() < 0.01, "{i} {j}: {}", b[i][j]);
            }
        }
        // What the document has for "usual".
        let usual = DayToDay::default();
        assert!((next[0][0] - usual.day_lag_1).abs() < 0.01);
        assert!((next[1][1] - usual.night_lag_1).abs() < 0.01);
        assert!((now[0][1] - usual.day_with_night).abs() < 0.01);
        assert!((next[0][1] - usual.day_after_night).abs() < 0.01);
        assert!((next[1][0] - usual.night_after_day).abs() < 0.01);
    }

    #[test]
    fn contradictions_are_drawn_to_the_usual() {
        for (lag, both) in [
            (0.99, -0.99),
            (f64::NAN, 0.5),
            (1.0, 1.0),
            (-1.0, 1.0),
            (0.0, 0.0),
        ] {
            let odd = DayToDay {
                day_lag_1: lag,
                night_lag_1: lag,
                day_with_night: both,
                day_after_night: -both,
                month_mean_sd_k: Some(9.0),
                day_month_sd_k: Some([lag; 12]),
                ..DayToDay::default()
            };
            let usual = Spells {
                night: [0.05; 12],
                day: [0.05; 12],
            };
            let process = Process::of(Some(&odd), usual, (&[3.0; 12], &[3.0; 12]));
            assert!(
                process
                    .a
                    .iter()
                    .chain(&process.b)
                    .flatten()
                    .all(|v| v.is_finite())
            );
        }
    }

    #[test]
    fn verify_spells_explain_how_months_differ() {
        // Days with a lag of 0.6 alone: months differ by sqrt(f(0.6)), about 0.36 of the days' spread.
        assert!(spell_share(0.3, 0.6) < 1e-6);
        let some = spell_share(0.45, 0.6);
        assert!(some > 0.05 && some < spell_share(0.55, 0.6));
    }
}
