//! From monthly means to a smooth curve by the day.

use crate::base::calendar::{DAYS, Day};

/// A smooth curve of 365 days, periodic over the year, whose mean over each month is the given one.
///
/// Rymes & Myers 2001 (Solar Energy 71:225): average each day with its neighbours, put the months' means right,
/// and so on again.
pub(super) fn curve(monthly: &[f64; 12]) -> Vec<f64> {
    let month_of: Vec<usize> = (0..DAYS).map(|day| Day::new(day).month0()).collect();
    let mut days: Vec<f64> = month_of.iter().map(|m| monthly[*m]).collect();
    let mut smoothed = days.clone();
    for _ in 0..DAYS {
        for day in 0..DAYS {
            let before = days[(day + DAYS - 1) % DAYS];
            let after = days[(day + 1) % DAYS];
            smoothed[day] = (before + days[day] + after) / 3.0;
        }
        std::mem::swap(&mut days, &mut smoothed);
        put_means_right(&mut days, monthly);
    }
    days
}

fn put_means_right(days: &mut [f64], monthly: &[f64; 12]) {
    for (month0, wanted) in monthly.iter().enumerate() {
        let days = &mut days[super::month_days(month0)];
        let off = wanted - days.iter().sum::<f64>() / days.len() as f64;
        days.iter_mut().for_each(|day| *day += off);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn verify_means_and_smoothness() {
        let monthly = [
            -3.0, -1.0, 3.0, 7.0, 12.0, 15.0, 17.0, 16.5, 13.0, 8.0, 2.0, -2.0,
        ];
        let days = curve(&monthly);
        for (m, wanted) in monthly.iter().enumerate() {
            let month = &days[super::super::month_days(m)];
            let mean = month.iter().sum::<f64>() / month.len() as f64;
            assert!((mean - wanted).abs() < 1e-9);
        }
        // The steepest month changes by 6 K in 30 days, so no day by more than double that pace.
        for day in 0..DAYS {
            assert!((days[day] - days[(day + 1) % DAYS]).abs() < 0.4, "{day}");
        }
    }
}
