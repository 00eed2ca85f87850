//! Smooth daily means and spreads that both the weather years and the typical year are made from.

use super::{
    FilledNormals,
    clearness::Clearness,
    estimates, month_days,
    residuals::{Process, Spells},
    seasonal,
};
use crate::{
    base::calendar::{DAYS, HOURS},
    site::{DayToDay, Place},
    sun::{
        SunTable,
        clear::{self, ClearSky},
        extraterrestrial,
    },
};

/// 365 values each, but for `clear_sky` with 8,760.
pub(super) struct DailyMeans {
    pub night_min_c: Vec<f64>,
    pub day_max_c: Vec<f64>,
    /// Standard deviation about the day's mean; what the season changes within the month is taken off.
    pub night_sd_k: Vec<f64>,
    pub day_sd_k: Vec<f64>,
    pub clearness: Vec<Clearness>,
    /// Radiation outside the air, MJ m⁻² d⁻¹.
    pub outside_mj_m2: Vec<f64>,
    /// Clearness index of a cloudless day.
    pub cloudless: Vec<f64>,
    /// Cloudless irradiance, mean over each hour.
    pub clear_sky: Vec<ClearSky>,
    /// Share of days with at least 1 mm of rain.
    pub wet_share: Vec<f64>,
    /// Rain of a wet day, mm.
    pub rain_per_wet_day_mm: Vec<f64>,
    pub wind_m_s: Vec<f64>,
}

/// Below this radiation outside the air a clearness index means nothing, MJ m⁻² d⁻¹.
pub(super) const TOO_DARK_MJ_M2: f64 = 0.2;

impl DailyMeans {
    pub fn of(place: &Place, normals: &FilledNormals, sun: &SunTable) -> Self {
        let latitude_deg = place.latitude_deg;
        let night_min_c = seasonal::curve(&normals.night_min_c);
        let day_max_c = seasonal::curve(&normals.day_max_c);
        let night_sd_k = about_the_curve(&normals.night_min_sd_k, &night_min_c);
        let day_sd_k = about_the_curve(&normals.day_max_sd_k, &day_max_c);
        let clear_sky = clear_hours(place, normals, sun);
        let outside_mj_m2: Vec<f64> = (0..DAYS)
            .map(|day| extraterrestrial::daily_mj_m2(latitude_deg, day))
            .collect();
        let cloudless: Vec<f64> = (0..DAYS)
            .map(|day| {
                let clear_mj: f64 = clear_sky[day * 24..day * 24 + 24]
                    .iter()
                    .map(|hour| hour.global_w_m2 * 3600e-6)
                    .sum();
                if outside_mj_m2[day] > TOO_DARK_MJ_M2 {
                    (clear_mj / outside_mj_m2[day]).clamp(0.3, 0.88)
                } else {
                    0.7
                }
            })
            .collect();
        let clearness = mean_clearness(latitude_deg, normals)
            .into_iter()
            .zip(&cloudless)
            .map(|(mean, cloudless)| Clearness::with_mean(mean, *cloudless))
            .collect();

        let wet: [f64; 12] =
            std::array::from_fn(|m| normals.rain_days[m] / super::month_days(m).len() as f64);
        let amount: [f64; 12] = std::array::from_fn(|m| {
            if normals.rain_days[m] > 0.0 {
                normals.rain_mm[m] / normals.rain_days[m]
            } else {
                0.0
            }
        });
        let within = |curve: Vec<f64>, low: f64, high: f64| -> Vec<f64> {
            curve.into_iter().map(|v| v.clamp(low, high)).collect()
        };
        Self {
            night_min_c,
            day_max_c,
            night_sd_k,
            day_sd_k,
            clearness,
            outside_mj_m2,
            cloudless,
            clear_sky,
            wet_share: within(seasonal::curve(&wet), 0.0, 0.97),
            rain_per_wet_day_mm: within(seasonal::curve(&amount), 1.0, f64::MAX),
            wind_m_s: within(seasonal::curve(&normals.wind_m_s), 0.1, 40.0),
        }
    }
}

impl DailyMeans {
    /// How days hang together: as in a record, or as usual.
    pub fn process(&self, record: Option<&DayToDay>) -> Process {
        let monthly = |days: &[f64]| -> [f64; 12] {
            std::array::from_fn(|m| {
                let month = days.get(month_days(m)).unwrap_or_default();
                month.iter().sum::<f64>() / month.len().max(1) as f64
            })
        };
        let night_c = monthly(&self.night_min_c);
        let usual = Spells {
            night: [estimates::NIGHT_SPELL_SHARE; 12],
            day: night_c.map(estimates::day_spell_share),
        };
        let sds = (monthly(&self.night_sd_k), monthly(&self.day_sd_k));
        Process::of(record, usual, (&sds.0, &sds.1))
    }
}

/// Takes off what the curve itself varies within each month, so that the pooled days have the given spread.
fn about_the_curve(monthly_sd_k: &[f64; 12], curve_c: &[f64]) -> Vec<f64> {
    let left: [f64; 12] = std::array::from_fn(|m| {
        let month = &curve_c[super::month_days(m)];
        let count = month.len() as f64;
        let mean = month.iter().sum::<f64>() / count;
        let of_season = month.iter().map(|c| (c - mean).powi(2)).sum::<f64>() / count;
        let sd = monthly_sd_k[m];
        (sd * sd - of_season).max(0.25 * sd * sd).sqrt()
    });
    seasonal::curve(&left)
        .into_iter()
        .map(|sd| sd.max(0.1))
        .collect()
}

/// Mean clearness index of each day. Months without sun take theirs from the months about them.
fn mean_clearness(latitude_deg: f64, normals: &FilledNormals) -> Vec<f64> {
    let known: [Option<f64>; 12] = std::array::from_fn(|m| {
        let outside = estimates::outside_mj_m2_d(latitude_deg, m);
        (outside > TOO_DARK_MJ_M2).then(|| normals.radiation_mj_m2_d[m] / outside)
    });
    let nearest = |m: usize, step: usize| (1..12).find_map(|k| known[(m + k * step) % 12]);
    let monthly: [f64; 12] = std::array::from_fn(|m| {
        known[m].unwrap_or_else(|| {
            // Going 11 months on is going one back.
            let about = [nearest(m, 1), nearest(m, 11)];
            about.iter().flatten().sum::<f64>() / about.iter().flatten().count().max(1) as f64
        })
    });
    seasonal::curve(&monthly)
}

fn clear_hours(place: &Place, normals: &FilledNormals, sun: &SunTable) -> Vec<ClearSky> {
    let turbidity = seasonal::curve(&normals.turbidity_linke);
    (0..HOURS)
        .map(|hour| {
            let elevation_rad = sun.elevation_rad.get(hour).copied().map_or(-1.0, f64::from);
            let outside = sun
                .extraterrestrial_w_m2
                .get(hour / 24)
                .copied()
                .map_or(0.0, f64::from);
            let share = sun.up_share.get(hour).copied().map_or(0.0, f64::from);
            let clear = clear::irradiance(
                place.elevation_m,
                elevation_rad,
                outside,
                turbidity[hour / 24],
            );
            ClearSky {
                global_w_m2: clear.global_w_m2 * share,
                beam_w_m2: clear.beam_w_m2 * share,
                sky_w_m2: clear.sky_w_m2 * share,
            }
        })
        .collect()
}
