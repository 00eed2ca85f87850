//! Series of measurements in time.

use std::collections::BTreeMap;

use chrono::{NaiveDate, NaiveDateTime, Timelike};

use super::Quantity;

/// Measurements by time, ascending, each time once. Values are in the units of their [`Quantity`].
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Records {
    /// Local standard time.
    pub at: Vec<NaiveDateTime>,
    pub columns: Vec<(Quantity, Vec<f32>)>,
}

impl Records {
    #[must_use]
    pub fn has(&self, quantity: Quantity) -> bool {
        self.columns.iter().any(|c| c.0 == quantity)
    }

    /// Times and values of a quantity, without what is missing.
    pub fn of(&self, quantity: Quantity) -> impl Iterator<Item = (NaiveDateTime, f64)> + '_ {
        let values = self
            .columns
            .iter()
            .find(|c| c.0 == quantity)
            .map_or(&[][..], |c| c.1.as_slice());
        self.at
            .iter()
            .zip(values)
            .filter(|(_, v)| v.is_finite())
            .map(|(at, v)| (*at, f64::from(*v)))
    }

    /// Means over whole hours: the start of each hour, its mean and the number of values in it.
    #[must_use]
    pub fn hourly(&self, quantity: Quantity) -> Vec<(NaiveDateTime, f64, usize)> {
        let mut hours: BTreeMap<NaiveDateTime, (f64, usize)> = BTreeMap::new();
        for (at, value) in self.of(quantity) {
            let start = at.date().and_hms_opt(at.hour(), 0, 0).unwrap_or(at);
            let hour = hours.entry(start).or_default();
            hour.0 += value;
            hour.1 += 1;
        }
        hours
            .into_iter()
            .map(|(at, (sum, n))| (at, sum / n as f64, n))
            .collect()
    }

    /// Lowest and highest value of each day from midnight to midnight, and the number of values in it.
    #[must_use]
    pub fn daily(&self, quantity: Quantity) -> Vec<(NaiveDate, f64, f64, usize)> {
        let mut days: BTreeMap<NaiveDate, (f64, f64, usize)> = BTreeMap::new();
        for (at, value) in self.of(quantity) {
            let day = days
                .entry(at.date())
                .or_insert((f64::INFINITY, f64::NEG_INFINITY, 0));
            day.0 = day.0.min(value);
            day.1 = day.1.max(value);
            day.2 += 1;
        }
        days.into_iter()
            .map(|(at, (low, high, n))| (at, low, high, n))
            .collect()
    }
}
