//! Robust Bayesian regression: few parameters with normal priors about nought, and residuals of which some are wild.
//!
//! Ridge regression with Huber's weights (Huber 1964, Ann. Math. Statist. 35:73), solved by repeated reweighting.
//! Rows that tell the same twice are given a share below 1, so that a thousand rows of a logger are not taken for a
//! thousand independent readings.

/// Residuals beyond so many of their deviations count less.
const HUBER: f64 = 1.5;
const ROUNDS: usize = 30;

/// A measured residual: `y` is explained by the parameters times `x`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Row<const K: usize> {
    pub x: [f64; K],
    pub y: f64,
    /// Standard deviation of `y` about what the parameters explain.
    pub sd: f64,
    /// How much of an independent row it is, 0..=1.
    pub share: f64,
}

/// Parameters with their covariance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fit<const K: usize> {
    pub at: [f64; K],
    pub covariance: [[f64; K]; K],
}

impl<const K: usize> Fit<K> {
    /// What is known before any row.
    #[must_use]
    pub fn prior(sd: [f64; K]) -> Self {
        let mut covariance = [[0.0; K]; K];
        for (i, row) in covariance.iter_mut().enumerate() {
            row[i] = sd[i] * sd[i];
        }
        Self {
            at: [0.0; K],
            covariance,
        }
    }

    #[must_use]
    pub fn value(&self, x: [f64; K]) -> f64 {
        (0..K).map(|i| self.at[i] * x[i]).sum()
    }

    /// Standard deviation of [`Fit::value`].
    #[must_use]
    pub fn sd(&self, x: [f64; K]) -> f64 {
        let variance: f64 = (0..K)
            .map(|i| {
                (0..K)
                    .map(|j| x[i] * self.covariance[i][j] * x[j])
                    .sum::<f64>()
            })
            .sum();
        variance.max(0.0).sqrt()
    }
}

/// Fits the rows; the first parameter should be the one that all rows share.
#[must_use]
pub fn fit<const K: usize>(rows: &[Row<K>], prior_sd: [f64; K]) -> Fit<K> {
    let mut fit = Fit::prior(prior_sd);
    if rows.is_empty() || K == 0 {
        return fit;
    }
    // From the middle, so that one wild row does not lead the first round astray.
    fit.at[0] = median(rows.iter().map(|r| r.y));
    for _ in 0..ROUNDS {
        let mut precision = [[0.0; K]; K];
        let mut sum = [0.0; K];
        for (i, row) in precision.iter_mut().enumerate() {
            row[i] = 1.0 / (prior_sd[i] * prior_sd[i]).max(1e-12);
        }
        for row in rows {
            let off = (row.y - fit.value(row.x)).abs() / row.sd;
            let held = if off > HUBER { HUBER / off } else { 1.0 };
            let weight = held * row.share / (row.sd * row.sd);
            for i in 0..K {
                sum[i] += weight * row.x[i] * row.y;
                for (p, x) in precision[i].iter_mut().zip(row.x) {
                    *p += weight * row.x[i] * x;
                }
            }
        }
        let covariance = inverse(precision);
        let mut at = [0.0; K];
        for i in 0..K {
            at[i] = (0..K).map(|j| covariance[i][j] * sum[j]).sum();
        }
        let moved = (0..K)
            .map(|i| (at[i] - fit.at[i]).abs())
            .fold(0.0, f64::max);
        fit = Fit { at, covariance };
        if moved < 1e-9 {
            break;
        }
    }
    let misfit = misfit(&fit, rows);
    fit.covariance
        .iter_mut()
        .flatten()
        .for_each(|c| *c *= misfit);
    fit
}

/// By how much more rows lie off the fit than their deviations let expect, squared, at least 1: rows that do not agree
/// with each other or with the prior leave more doubt than they say themselves (Birge 1932, Phys. Rev. 40:207).
fn misfit<const K: usize>(fit: &Fit<K>, rows: &[Row<K>]) -> f64 {
    let (mut sum, mut shares) = (0.0, 0.0);
    for row in rows {
        let off = (row.y - fit.value(row.x)).abs() / row.sd;
        // As Huber's loss counts it, a wild row weighs by its distance and not by the square.
        sum += row.share * off * off.min(HUBER);
        shares += row.share;
    }
    if shares > 0.0 {
        (sum / shares).max(1.0)
    } else {
        1.0
    }
}

/// Of none: nought.
#[must_use]
pub fn median(values: impl Iterator<Item = f64>) -> f64 {
    let mut values: Vec<f64> = values.collect();
    values.sort_by(f64::total_cmp);
    match values.len() {
        0 => 0.0,
        n if n % 2 == 1 => values[n / 2],
        n => f64::midpoint(values[n / 2 - 1], values[n / 2]),
    }
}

/// Of a symmetric positive definite matrix, by Gauss and Jordan; such a one needs no exchange of rows.
fn inverse<const K: usize>(mut a: [[f64; K]; K]) -> [[f64; K]; K] {
    let mut b = [[0.0; K]; K];
    for (i, row) in b.iter_mut().enumerate() {
        row[i] = 1.0;
    }
    for i in 0..K {
        let pivot = a[i][i];
        for j in 0..K {
            a[i][j] /= pivot;
            b[i][j] /= pivot;
        }
        for k in (0..K).filter(|k| *k != i) {
            let times = a[k][i];
            for j in 0..K {
                a[k][j] -= times * a[i][j];
                b[k][j] -= times * b[i][j];
            }
        }
    }
    b
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn verify_shrinkage_of_a_mean() {
        // Normal with known variance: n/(n + sd²/prior²) of the mean, 1/√(1/prior² + n/sd²) known to.
        let rows = [Row {
            x: [1.0],
            y: 1.0,
            sd: 0.5,
            share: 1.0,
        }; 4];
        let fit = fit(&rows, [1.0]);
        assert!((fit.at[0] - 4.0 / 4.25).abs() < 1e-9);
        assert!((fit.sd([1.0]) - (1.0_f64 / 17.0).sqrt()).abs() < 1e-9);
    }

    #[test]
    fn a_line_is_found_through_wild_rows_and_shares_widen() {
        let rows = |share: f64| -> Vec<Row<2>> {
            (0..40)
                .map(|i| {
                    let x = f64::from(i) / 20.0 - 1.0;
                    let wild = if i % 10 == 3 { 9.0 } else { 0.0 };
                    Row {
                        x: [1.0, x],
                        y: 0.7 - 0.4 * x + wild,
                        sd: 0.2,
                        share,
                    }
                })
                .collect()
        };
        let whole = fit(&rows(1.0), [2.0, 2.0]);
        assert!((whole.at[0] - 0.7).abs() < 0.05, "{whole:?}");
        assert!((whole.at[1] + 0.4).abs() < 0.08, "{whole:?}");
        let shared = fit(&rows(0.1), [2.0, 2.0]);
        let ratio = shared.sd([1.0, 0.0]) / whole.sd([1.0, 0.0]);
        assert!((ratio - 10_f64.sqrt()).abs() < 0.1, "{ratio}");
    }

    #[test]
    fn rows_far_from_the_fit_leave_more_doubt() {
        let row = |y: f64| Row {
            x: [1.0],
            y,
            sd: 0.2,
            share: 1.0,
        };
        let near = fit(&[row(0.1)], [0.35]);
        let far = fit(&[row(1.6)], [0.35]);
        assert!(far.sd([1.0]) > 1.5 * near.sd([1.0]));
        // Readings that agree say no more doubt than before.
        let agree = fit(&[row(0.1), row(0.12), row(0.09)], [0.35]);
        let expected = (1.0_f64 / (3.0 / 0.04 + 1.0 / 0.1225)).sqrt();
        assert!((agree.sd([1.0]) - expected).abs() < 1e-9);
    }
}
