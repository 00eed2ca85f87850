//! Humidity by the hour from a dew point that moves little over the day.

use super::{estimates, month_days};
use crate::base::calendar::{DAYS, HOURS};

/// Relative humidity of each hour, %, whose monthly means are the normals.
///
/// The dew point follows the night minimum of each day at a distance that is found for each month.
pub(super) fn hours(air_c: &[f64], night_c: &[f64], rh_pct: &[f64; 12]) -> Vec<f64> {
    let saturation: Vec<f64> = air_c
        .iter()
        .map(|t| estimates::saturation_kpa(*t))
        .collect();
    let (mut low_k, mut high_k) = ([-45.0; 12], [30.0; 12]);
    let mut rh = vec![0.0; HOURS];
    for _ in 0..24 {
        let offset_k: [f64; 12] = std::array::from_fn(|m| f64::midpoint(low_k[m], high_k[m]));
        let dew = dew_points(night_c, &offset_k);
        for hour in 0..HOURS {
            let dew_c = at_hour(&dew, hour);
            rh[hour] =
                (100.0 * estimates::saturation_kpa(dew_c) / saturation[hour]).clamp(1.0, 100.0);
        }
        for m in 0..12 {
            let days = month_days(m);
            let month = &rh[days.start * 24..days.end * 24];
            let mean = month.iter().sum::<f64>() / month.len() as f64;
            if mean < rh_pct[m] {
                low_k[m] = offset_k[m];
            } else {
                high_k[m] = offset_k[m];
            }
        }
    }
    rh
}

/// Dew point at the noon of each day, °C.
fn dew_points(night_c: &[f64], offset_k: &[f64; 12]) -> Vec<f64> {
    let mut dew = vec![0.0; DAYS];
    for (m, offset) in offset_k.iter().enumerate() {
        for d in month_days(m) {
            // The night before and the night after share in it.
            dew[d] = f64::midpoint(night_c[d], night_c[(d + 1) % DAYS]) + offset;
        }
    }
    dew
}

/// Between the noons in a straight line.
fn at_hour(dew: &[f64], hour: usize) -> f64 {
    let since_noon = (hour + HOURS - 12) % HOURS;
    let (day, share) = (since_noon / 24, ((since_noon % 24) as f64 + 0.5) / 24.0);
    dew[day] + (dew[(day + 1) % DAYS] - dew[day]) * share
}
