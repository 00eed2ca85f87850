//! The typical year: which days, and what each hour of them brings.

use super::{
    FilledNormals, TypicalYear, WeatherYears, daily::DailyMeans, moisture, month_days, radiation,
    temperature,
};
use crate::{
    base::calendar::{DAYS, HOURS},
    sun::SunTable,
};

/// Weather years among which the typical months are looked for.
const CANDIDATES: usize = 30;

/// Swing of the wind over the day by its mean: least under cloud, most under a clear sky; our choice.
const WIND_SWING: (f64, f64) = (0.10, 0.40);
/// The wind is strongest so long after noon, h.
const WIND_LAG_H: f64 = 2.5;

pub(super) fn year(
    normals: &FilledNormals,
    means: &DailyMeans,
    years: &WeatherYears,
    sun: &SunTable,
    seed: u64,
) -> TypicalYear {
    let days = typical_days(years);
    let of = |values: &[f32]| -> Vec<f64> {
        days.iter()
            .map(|i| values.get(*i).copied().map_or(0.0, f64::from))
            .collect()
    };
    let mut night_c = of(&years.night_min_c);
    let mut day_c = of(&years.day_max_c);
    to_mean(&mut night_c, &normals.night_min_c);
    to_mean(&mut day_c, &normals.day_max_c);
    let clearness = of(&years.clearness);

    let air = temperature::fitted_hours(
        sun,
        &night_c,
        &day_c,
        &normals.night_min_c,
        &normals.day_max_c,
    );
    let light = radiation::hours(&clearness, normals, means, sun, seed);
    let rh = moisture::hours(&air, &night_c, &normals.rh_pct);
    let bright: Vec<f64> = (0..DAYS)
        .map(|d| (clearness[d] / means.cloudless[d].max(0.1)).clamp(0.0, 1.0))
        .collect();
    let mut wind_days = of(&years.wind_m_s);
    scale_to_mean(&mut wind_days, &normals.wind_m_s);
    let mut rain = of(&years.rain_mm);
    rain_to_normals(&mut rain, normals, &bright);

    let narrow = |values: Vec<f64>| values.into_iter().map(|v| v as f32).collect();
    TypicalYear {
        air_c: narrow(air),
        rh_pct: narrow(rh),
        wind_m_s: narrow(wind_hours(&wind_days, &bright, sun)),
        wind_from_deg: None,
        cloud: narrow(cloud_hours(&light.by_clear, &bright)),
        global_w_m2: narrow(light.global),
        beam_w_m2: narrow(light.beam),
        sky_w_m2: narrow(light.sky),
        sky_heat_w_m2: None,
        rain_mm: narrow(rain),
    }
}

/// For each day of the year its index in the weather years: months of the years whose days are distributed most
/// like those of all years together (in the manner of Finkelstein & Schafer 1971, by quantiles).
fn typical_days(years: &WeatherYears) -> Vec<usize> {
    let quantities = [
        (&years.night_min_c, 1.0),
        (&years.day_max_c, 1.0),
        (&years.clearness, 1.5),
        (&years.wind_m_s, 0.3),
        (&years.rain_mm, 0.5),
    ];
    let mut days = Vec::with_capacity(DAYS);
    for m in 0..12 {
        let mut distance = vec![0.0; years.years.min(CANDIDATES)];
        for (values, weight) in quantities {
            let of_year = |year: usize| -> Vec<f64> {
                let mut month: Vec<f64> = month_days(m)
                    .map(|day| f64::from(values[years.at(year, day)]))
                    .collect();
                month.sort_by(f64::total_cmp);
                month
            };
            let mut pool: Vec<f64> = (0..years.years).flat_map(of_year).collect();
            pool.sort_by(f64::total_cmp);
            let n = pool.len() as f64;
            let mean = pool.iter().sum::<f64>() / n;
            let sd = (pool.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / n)
                .sqrt()
                .max(1e-6);
            for (year, distance) in distance.iter_mut().enumerate() {
                let month = of_year(year);
                let count = month.len() as f64;
                let off: f64 = month
                    .iter()
                    .enumerate()
                    .map(|(i, v)| {
                        let rank = ((i as f64 + 0.5) / count * n) as usize;
                        (v - pool[rank.min(pool.len() - 1)]).abs()
                    })
                    .sum();
                *distance += weight * off / count / sd;
            }
        }
        let best = (0..distance.len())
            .min_by(|a, b| distance[*a].total_cmp(&distance[*b]))
            .unwrap_or(0);
        days.extend(month_days(m).map(|day| years.at(best, day)));
    }
    days
}

fn to_mean(days: &mut [f64], wanted: &[f64; 12]) {
    for (m, wanted) in wanted.iter().enumerate() {
        let month = &mut days[month_days(m)];
        let off = wanted - month.iter().sum::<f64>() / month.len() as f64;
        month.iter_mut().for_each(|v| *v += off);
    }
}

fn scale_to_mean(days: &mut [f64], wanted: &[f64; 12]) {
    for (m, wanted) in wanted.iter().enumerate() {
        let month = &mut days[month_days(m)];
        let mean = month.iter().sum::<f64>() / month.len() as f64;
        month.iter_mut().for_each(|v| *v *= wanted / mean.max(1e-6));
    }
}

/// Each month's rain on the days that have some; on its dullest day if none has.
fn rain_to_normals(rain_mm: &mut [f64], normals: &FilledNormals, bright: &[f64]) {
    for (m, wanted) in normals.rain_mm.iter().enumerate() {
        let days = month_days(m);
        let sum: f64 = rain_mm[days.clone()].iter().sum();
        if sum > 0.0 {
            rain_mm[days].iter_mut().for_each(|v| *v *= wanted / sum);
        } else if let Some(dullest) = days.min_by(|a, b| bright[*a].total_cmp(&bright[*b])) {
            rain_mm[dullest] = *wanted;
        }
    }
}

fn wind_hours(days: &[f64], bright: &[f64], sun: &SunTable) -> Vec<f64> {
    (0..HOURS)
        .map(|hour| {
            let d = hour / 24;
            let transit_h = sun.days.get(d).map_or(12.0, |day| day.transit_h);
            let swing = WIND_SWING.0 + (WIND_SWING.1 - WIND_SWING.0) * bright[d];
            let since = (hour % 24) as f64 + 0.5 - transit_h - WIND_LAG_H;
            days[d] * (1.0 + swing * (std::f64::consts::TAU * since / 24.0).cos())
        })
        .collect()
}

/// Cloud cover from global radiation by that of a cloudless sky (Kasten & Czeplak 1980, Solar Energy 24:177:
/// 1 - 0.75 N^3.4); by night in a straight line between evening and morning.
pub(super) fn cloud_hours(by_clear: &[Option<f64>], bright: &[f64]) -> Vec<f64> {
    let cover = |share: f64| ((1.0 - share) / 0.75).clamp(0.0, 1.0).powf(1.0 / 3.4);
    let mut known: Vec<(usize, f64)> = Vec::new();
    for (d, bright) in bright.iter().enumerate() {
        let hours = d * 24..d * 24 + 24;
        let before = known.len();
        known.extend(hours.filter_map(|h| by_clear[h].map(|share| (h, cover(share)))));
        if known.len() == before {
            // A day whose sun hardly rises: its clearness still tells dull from bright.
            known.push((d * 24 + 12, cover(*bright)));
        }
    }
    let mut cloud = vec![0.0; HOURS];
    for (i, (from, first)) in known.iter().enumerate() {
        let (mut to, next) = known[(i + 1) % known.len()];
        if to <= *from {
            to += HOURS;
        }
        for hour in *from..to {
            let share = (hour - from) as f64 / (to - from) as f64;
            cloud[hour % HOURS] = first + (next - first) * share;
        }
    }
    cloud
}
