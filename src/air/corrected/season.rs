//! What the model expects of a night or day about a date.

use crate::base::Day;

/// Scatter of a single night's difference between spot and open about its usual value, K.
const NIGHT_SD_K: f64 = 1.2;
/// Days on each side that count as the season of a reading.
const SEASON_DAYS: i64 = 30;

/// The model's values within a season and how they go with those in the open.
pub(super) struct Season {
    mean: f64,
    open_mean: f64,
    sd: f64,
    slope: f64,
    scatter: f64,
}

impl Season {
    pub(super) fn around(day: usize, spot: &[f64], open: &[f64]) -> Self {
        let pairs: Vec<(f64, f64)> = (-SEASON_DAYS..=SEASON_DAYS)
            .map(|k| Day::new(day).plus(k).index())
            .map(|d| (spot[d], open[d]))
            .collect();
        let n = pairs.len() as f64;
        let mean = pairs.iter().map(|p| p.0).sum::<f64>() / n;
        let open_mean = pairs.iter().map(|p| p.1).sum::<f64>() / n;
        let (mut ss, mut so, mut oo) = (0.0, 0.0, 0.0);
        for (s, o) in &pairs {
            ss += (s - mean).powi(2);
            so += (s - mean) * (o - open_mean);
            oo += (o - open_mean).powi(2);
        }
        let slope = if oo > 1.0 {
            (so / oo).clamp(0.0, 1.2)
        } else {
            1.0
        };
        let left = (ss - 2.0 * slope * so + slope * slope * oo).max(0.0);
        Self {
            mean,
            open_mean,
            sd: (ss / n).sqrt(),
            slope,
            scatter: (left / n).sqrt(),
        }
    }

    /// Expected value and variance with the open's value of that night known.
    pub(super) fn given(&self, open_c: f64) -> (f64, f64) {
        let expected = self.mean + self.slope * (open_c - self.open_mean);
        (expected, NIGHT_SD_K.powi(2) + self.scatter.powi(2))
    }

    /// The same without: any night of the season may have been meant.
    pub(super) fn alone(&self, daily_sd_k: f64) -> (f64, f64) {
        let spread = self.sd.max(self.slope * daily_sd_k);
        (self.mean, NIGHT_SD_K.powi(2) + spread.powi(2))
    }
}
