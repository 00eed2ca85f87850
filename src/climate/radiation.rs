//! Radiation by the hour from the clearness of days, and its parts.

use rand_distr::{Distribution, StandardNormal};

use super::{
    FilledNormals,
    daily::{DailyMeans, TOO_DARK_MJ_M2},
    month_days,
};
use crate::{
    base::{
        calendar::{DAYS, HOURS},
        seed,
    },
    sun::SunTable,
};

/// W/m², mean over each of 8,760 hours.
pub(super) struct Radiation {
    pub global: Vec<f64>,
    /// Square to the sun.
    pub beam: Vec<f64>,
    pub sky: Vec<f64>,
    /// Global by that of a cloudless sky, where the sun is high enough to tell.
    pub by_clear: Vec<Option<f64>>,
}

/// No hour is brighter than this much of a cloudless one: clouds beside the sun add a little.
const BEYOND_CLEAR: f64 = 1.05;

/// Below this height of the sun all light counts as coming from the sky, rad (5°).
const BEAM_FROM_RAD: f64 = 0.0873;

/// Below this height of the sun clearness does not tell the cloud, rad (10°).
const CLOUD_FROM_RAD: f64 = 0.1745;

/// Hours of a year with the given daily clearness, each month's mean brought to the normal.
pub(super) fn hours(
    clearness: &[f64],
    normals: &FilledNormals,
    means: &DailyMeans,
    sun: &SunTable,
    seed: u64,
) -> Radiation {
    let daily_mj = daily_sums(clearness, normals, means);
    let outside: Vec<f64> = (0..HOURS)
        .map(|hour| sun.extraterrestrial_level_w_m2(hour))
        .collect();
    let mut rng = seed::stream(seed, "typical year: cloud by the hour");
    let mut global = Vec::with_capacity(HOURS);
    let mut scatter = 0.0;
    for d in 0..DAYS {
        let noise: [f64; 24] = std::array::from_fn(|_| {
            let e: f64 = StandardNormal.sample(&mut rng);
            // Aguiar & Collares-Pereira 1992, lag-one correlation of the hours.
            let lag = 0.38 + 0.06 * (7.4 * clearness[d] - 2.5).cos();
            scatter = lag * scatter + (1.0 - lag * lag).sqrt() * e;
            scatter
        });
        global.extend(day_hours(d, daily_mj[d], &noise, &outside, means, sun));
    }
    bring_months_to_normals(&mut global, normals);
    split(global, &outside, means, sun)
}

/// Global radiation of each day, MJ/m², whose monthly means are the normals as far as a clear sky allows.
fn daily_sums(clearness: &[f64], normals: &FilledNormals, means: &DailyMeans) -> Vec<f64> {
    let mut index = clearness.to_vec();
    for (m, wanted) in normals.radiation_mj_m2_d.iter().enumerate() {
        let days = month_days(m);
        let count = days.len() as f64;
        if means.outside_mj_m2[days.clone()].iter().sum::<f64>() / count < TOO_DARK_MJ_M2 {
            continue;
        }
        for _ in 0..20 {
            let now = days
                .clone()
                .map(|d| index[d] * means.outside_mj_m2[d])
                .sum::<f64>()
                / count;
            for d in days.clone() {
                index[d] = (index[d] * wanted / now.max(1e-9)).min(means.clearness[d].highest());
            }
        }
    }
    index
        .iter()
        .zip(&means.outside_mj_m2)
        .map(|(k, outside)| k * outside)
        .collect()
}

/// The hours of one day, W/m², adding up to the day's sum as far as a clear sky allows.
fn day_hours(
    d: usize,
    sum_mj: f64,
    noise: &[f64; 24],
    outside: &[f64],
    means: &DailyMeans,
    sun: &SunTable,
) -> [f64; 24] {
    let sun_day = sun.days.get(d).copied().unwrap_or_default();
    let at = |h: usize| d * 24 + h;
    // Collares-Pereira & Rabl 1979 (Solar Energy 22:155): hourly by daily share of global radiation over that
    // outside the air, from the hour angle and that of sunset.
    let sunset = sun_day.length_h * std::f64::consts::PI / 24.0;
    let a = 0.409 + 0.5016 * (sunset - std::f64::consts::FRAC_PI_3).sin();
    let b = 0.6609 - 0.4767 * (sunset - std::f64::consts::FRAC_PI_3).sin();
    let shape: [f64; 24] = std::array::from_fn(|h| {
        let angle = std::f64::consts::TAU * (h as f64 + 0.5 - sun_day.transit_h) / 24.0;
        outside[at(h)] * (a + b * angle.cos()).max(0.05)
    });
    let total: f64 = shape.iter().sum();
    let sum_w = sum_mj * 1e6 / 3600.0;
    if total <= 0.0 || sum_w <= 0.0 {
        return [0.0; 24];
    }
    let day_index = sum_w / outside[at(0)..at(24)].iter().sum::<f64>();
    let most: [f64; 24] =
        std::array::from_fn(|h| BEYOND_CLEAR * means.clear_sky[at(h)].global_w_m2);
    let mut hours: [f64; 24] = std::array::from_fn(|h| {
        if outside[at(h)] <= 0.0 {
            return 0.0;
        }
        let index = shape[h] / total * sum_w / outside[at(h)];
        let spread = scatter_sd(day_index).min(0.6 * index);
        (index + spread * noise[h]).max(0.25 * index) * outside[at(h)]
    });
    for _ in 0..6 {
        let now: f64 = hours.iter().sum();
        for h in 0..24 {
            hours[h] = (hours[h] * sum_w / now.max(1e-9)).min(most[h]);
        }
    }
    hours
}

/// Standard deviation of the hourly clearness about its smooth course: most on days of sun and cloud, little on
/// overcast and on clear ones. Fitted to the hours of three stations (`tests/reference/climate`); a little more than
/// theirs, because what would exceed a clear sky is cut off.
fn scatter_sd(day_index: f64) -> f64 {
    0.175 * (-(day_index - 0.46).powi(2) / 0.08).exp()
}

fn bring_months_to_normals(global: &mut [f64], normals: &FilledNormals) {
    for (m, wanted) in normals.radiation_mj_m2_d.iter().enumerate() {
        let days = month_days(m);
        let month = &mut global[days.start * 24..days.end * 24];
        let now = month.iter().sum::<f64>() * 3600e-6 / days.len() as f64;
        if now > 1e-6 {
            month.iter_mut().for_each(|g| *g *= wanted / now);
        }
    }
}

/// Beam and sky by Erbs, Klein & Duffie 1982 (Solar Energy 28:293), the beam at most a cloudless one's.
fn split(global: Vec<f64>, outside: &[f64], means: &DailyMeans, sun: &SunTable) -> Radiation {
    let mut beam = vec![0.0; HOURS];
    let mut sky = global.clone();
    let mut by_clear = vec![None; HOURS];
    for hour in 0..HOURS {
        let elevation_rad = sun.elevation_rad.get(hour).copied().map_or(-1.0, f64::from);
        if outside[hour] <= 0.0 || elevation_rad < BEAM_FROM_RAD {
            continue;
        }
        let index = (global[hour] / outside[hour]).clamp(0.0, 1.0);
        let clear = means.clear_sky[hour];
        let direct = global[hour] * (1.0 - sky_share(index)) / elevation_rad.sin();
        beam[hour] = direct.min(BEYOND_CLEAR * clear.beam_w_m2);
        sky[hour] = global[hour] - beam[hour] * elevation_rad.sin();
        if elevation_rad > CLOUD_FROM_RAD && clear.global_w_m2 > 1.0 {
            by_clear[hour] = Some((global[hour] / clear.global_w_m2).clamp(0.0, 1.0));
        }
    }
    Radiation {
        global,
        beam,
        sky,
        by_clear,
    }
}

/// Measured global and sky radiation as they fit the sun of the site: nothing while it is down, no more sky than global,
/// and no beam at the horizon.
pub(super) fn measured(
    mut global: Vec<f64>,
    mut sky: Vec<f64>,
    means: &DailyMeans,
    sun: &SunTable,
) -> Radiation {
    let mut beam = vec![0.0; HOURS];
    let mut by_clear = vec![None; HOURS];
    for hour in 0..HOURS {
        let up = sun.up_share.get(hour).copied().unwrap_or(0.0) > 0.0;
        let elevation_rad = sun.elevation_rad.get(hour).copied().map_or(-1.0, f64::from);
        if !up {
            (global[hour], sky[hour]) = (0.0, 0.0);
            continue;
        }
        global[hour] = global[hour].max(0.0);
        sky[hour] = sky[hour].clamp(0.0, global[hour]);
        if elevation_rad < BEAM_FROM_RAD {
            sky[hour] = global[hour];
            continue;
        }
        let outside = sun
            .extraterrestrial_w_m2
            .get(hour / 24)
            .copied()
            .map_or(0.0, f64::from);
        // The cleanest mountain air lets nine tenths through.
        let most = 0.9 * outside;
        beam[hour] = ((global[hour] - sky[hour]) / elevation_rad.sin()).min(most);
        sky[hour] = global[hour] - beam[hour] * elevation_rad.sin();
        let clear = means.clear_sky[hour];
        if elevation_rad > CLOUD_FROM_RAD && clear.global_w_m2 > 1.0 {
            by_clear[hour] = Some((global[hour] / clear.global_w_m2).clamp(0.0, 1.0));
        }
    }
    Radiation {
        global,
        beam,
        sky,
        by_clear,
    }
}

/// Share of global radiation that comes from the sky, from the clearness of the hour. Erbs et al. 1982, eq. 1.
fn sky_share(k: f64) -> f64 {
    if k <= 0.22 {
        1.0 - 0.09 * k
    } else if k <= 0.80 {
        0.9511 - 0.1604 * k + 4.388 * k.powi(2) - 16.638 * k.powi(3) + 12.336 * k.powi(4)
    } else {
        0.165
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn validate_the_split_against_a_general_library() {
        // pvlib 0.16.1, irradiance.erbs.
        for (k, expected) in [
            (0.149_505, 0.986_545),
            (0.299_011, 0.949_272),
            (0.498_351, 0.662_579),
            (0.598_021, 0.443_846),
            (0.747_527, 0.185_206),
            (0.847_197, 0.165),
        ] {
            assert!((sky_share(k) - expected).abs() < 1e-5, "{k}");
        }
    }
}
