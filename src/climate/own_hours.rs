//! A typical year by the hour as a weather file has it, in place of one made from normals.

use super::{FilledNormals, TypicalYear, daily::DailyMeans, moisture, radiation, typical};
use crate::{
    base::calendar::{DAYS, HOURS},
    site::{Series, TypicalHours},
    sun::SunTable,
};

/// The file's hours where it has them, else those of `made`; and which, as a sentence.
pub(super) fn put(
    file: &TypicalHours,
    made: &mut TypicalYear,
    normals: &FilledNormals,
    means: &DailyMeans,
    sun: &SunTable,
) -> Option<String> {
    let air = hourly(file.air_tenth_c.as_ref(), 0.1)?;
    let mut own = vec!["temperature"];
    let mut other = Vec::new();
    made.air_c = narrow(&air);
    match hourly(file.rh_pct.as_ref(), 1.0) {
        Some(rh) => {
            own.push("humidity");
            made.rh_pct = rh.iter().map(|v| v.clamp(1.0, 100.0) as f32).collect();
        }
        None => {
            other.push("humidity");
            let nights: Vec<f64> = air
                .chunks(24)
                .map(|day| day.iter().copied().fold(f64::INFINITY, f64::min))
                .collect();
            made.rh_pct = narrow(&moisture::hours(&air, &nights, &normals.rh_pct));
        }
    }
    match hourly(file.wind_tenth_m_s.as_ref(), 0.1) {
        Some(wind) => {
            own.push("wind");
            made.wind_m_s = wind.iter().map(|v| v.max(0.0) as f32).collect();
            made.wind_from_deg = hourly(file.wind_from_deg.as_ref(), 1.0).map(|v| narrow(&v));
        }
        None => other.push("wind"),
    }
    let global = hourly(file.global_w_m2.as_ref(), 1.0);
    let sky = hourly(file.sky_w_m2.as_ref(), 1.0);
    let mut by_clear = None;
    if let (Some(global), Some(sky)) = (global, sky) {
        own.push("radiation");
        let light = radiation::measured(global, sky, means, sun);
        made.global_w_m2 = narrow(&light.global);
        made.beam_w_m2 = narrow(&light.beam);
        made.sky_w_m2 = narrow(&light.sky);
        by_clear = Some(light.by_clear);
    } else {
        other.push("radiation");
    }
    match (hourly(file.cloud_pct.as_ref(), 0.01), by_clear) {
        (Some(cloud), _) => {
            own.push("cloud");
            made.cloud = cloud.iter().map(|v| v.clamp(0.0, 1.0) as f32).collect();
        }
        (None, Some(by_clear)) => {
            other.push("cloud by night");
            made.cloud = narrow(&typical::cloud_hours(&by_clear, &bright(made, means)));
        }
        (None, None) => other.push("cloud"),
    }
    if let Some(heat) = hourly(file.sky_heat_w_m2.as_ref(), 1.0) {
        own.push("heat of the sky");
        made.sky_heat_w_m2 = Some(narrow(&heat));
    }
    match file.rain_tenth_mm.as_ref().map(Series::values) {
        Some(rain) if rain.len() == DAYS => {
            own.push("rain");
            made.rain_mm = rain.iter().map(|v| f32::from(*v).max(0.0) / 10.0).collect();
        }
        _ => other.push("rain"),
    }
    let own = own.join(", ");
    Some(if other.is_empty() {
        format!("The typical year is that of the weather file, hour by hour: {own}.")
    } else {
        format!(
            "The typical year is that of the weather file, hour by hour, for {own}; {} it does not tell and is made from \
             the normals.",
            other.join(", ")
        )
    })
}

fn hourly(series: Option<&Series>, unit: f64) -> Option<Vec<f64>> {
    let values = series?.values();
    (values.len() == HOURS).then(|| values.iter().map(|v| f64::from(*v) * unit).collect())
}

fn narrow(values: &[f64]) -> Vec<f32> {
    values.iter().map(|v| *v as f32).collect()
}

/// Each day's radiation by that of a cloudless one.
fn bright(made: &TypicalYear, means: &DailyMeans) -> Vec<f64> {
    (0..DAYS)
        .map(|d| {
            let hours = d * 24..d * 24 + 24;
            let sum: f64 = made.global_w_m2[hours.clone()]
                .iter()
                .map(|v| f64::from(*v))
                .sum();
            let clear: f64 = means.clear_sky[hours].iter().map(|c| c.global_w_m2).sum();
            if clear > 1.0 {
                (sum / clear).clamp(0.0, 1.0)
            } else {
                0.5
            }
        })
        .collect()
}
