//! A spot's typical year summed up by the week.

use super::{
    AirWeek,
    evaporation::{self, EvaporationDay},
    psychrometrics,
    spot_model::SpotModel,
    year::{OpenYear, at, extremes},
};
use crate::{
    base::{Week, calendar::DAYS},
    climate::Weather,
    site::Place,
};

/// Hourly air of a spot in the typical year.
#[derive(Clone, Debug, Default)]
pub(crate) struct Series {
    pub air_c: Vec<f32>,
    pub vapour_kpa: Vec<f32>,
    pub rh_pct: Vec<f32>,
    pub vpd_kpa: Vec<f32>,
    pub speed_m_s: Vec<f32>,
    pub device_excess_k: Vec<f32>,
    pub device_speed_m_s: Vec<f32>,
    /// What stoves add to a leaf that faces them, above its air, K; empty without stoves.
    pub stove_leaf_k: Vec<f32>,
    /// Global irradiance at the leaves, W/m²; empty where the light is not known.
    pub sun_w_m2: Vec<f32>,
}

impl Series {
    /// Hours of each day's lowest and highest air temperature.
    pub fn extreme_hours(&self) -> (Vec<usize>, Vec<usize>) {
        extremes(|h| at(&self.air_c, h))
    }
}

/// The weeks without what needs weather years.
pub(crate) fn typical_weeks(
    series: &Series,
    model: &SpotModel,
    open: &OpenYear,
    weather: &Weather,
    place: &Place,
) -> Vec<AirWeek> {
    let (min_hour, max_hour) = series.extreme_hours();
    let rain = rain_by_day(weather);
    Week::all()
        .map(|week| {
            let mut out = AirWeek::default();
            let days = week.days();
            let n = days.len() as f64;
            let (mut by_day, mut all) = (Mean::default(), Mean::default());
            for d in days {
                let low = at(&series.air_c, min_hour[d]);
                let high = at(&series.air_c, max_hour[d]);
                out.night_c += low / n;
                out.max_c += high / n;
                out.day_night_k += (high - low) / n;
                let mut blown = 0.0_f64;
                for h in d * 24..d * 24 + 24 {
                    let hour = [
                        at(&series.air_c, h),
                        at(&series.rh_pct, h),
                        at(&series.vpd_kpa, h),
                        at(&series.speed_m_s, h),
                    ];
                    all.add(hour);
                    if open.hours[h].sun_up {
                        by_day.add(hour);
                    }
                    blown = blown.max(at(&series.device_speed_m_s, h));
                    let excess = at(&series.device_excess_k, h);
                    let at_leaf = excess + at(&series.stove_leaf_k, h);
                    out.device_warm_k = out.device_warm_k.max(at_leaf);
                    out.device_cold_k = out.device_cold_k.min(excess);
                }
                out.draught_m_s += blown / n;
                let month0 = open.hours[d * 24].month0;
                out.rain_mm += rain[d] * model.rain_share(month0);
                out.et0_mm_d += et0_mm_d(series, model, open, place, d, (low, high)) / n;
            }
            let [_, rh, _, speed] = all.mean();
            let [day_c, rh_day, vpd, _] = if by_day.count > 0.0 {
                by_day.mean()
            } else {
                all.mean()
            };
            out.day_c = day_c;
            out.rh_day_pct = rh_day;
            out.rh_pct = rh;
            out.vpd_kpa = vpd;
            out.speed_m_s = speed;
            out
        })
        .collect()
}

#[derive(Default)]
struct Mean {
    sums: [f64; 4],
    count: f64,
}

impl Mean {
    fn add(&mut self, values: [f64; 4]) {
        for (sum, v) in self.sums.iter_mut().zip(values) {
            *sum += v;
        }
        self.count += 1.0;
    }

    fn mean(&self) -> [f64; 4] {
        self.sums.map(|s| s / self.count.max(1.0))
    }
}

/// Mean rain of each day of the year over the weather years, mm; the typical year's without them.
fn rain_by_day(weather: &Weather) -> Vec<f64> {
    let years = &weather.years;
    if years.years > 0 && years.rain_mm.len() >= years.years * DAYS {
        (0..DAYS)
            .map(|d| {
                (0..years.years)
                    .map(|y| at(&years.rain_mm, years.at(y, d)))
                    .sum::<f64>()
                    / years.years as f64
            })
            .collect()
    } else {
        (0..DAYS).map(|d| at(&weather.typical.rain_mm, d)).collect()
    }
}

fn et0_mm_d(
    series: &Series,
    model: &SpotModel,
    open: &OpenYear,
    place: &Place,
    d: usize,
    (min_c, max_c): (f64, f64),
) -> f64 {
    let hours = d * 24..d * 24 + 24;
    let mean = |v: &[f32]| hours.clone().map(|h| at(v, h)).sum::<f64>() / 24.0;
    let vapour_kpa = mean(&series.vapour_kpa);
    let sun_mj = mean(&series.sun_w_m2) * 0.0864;
    let month0 = open.hours[d * 24].month0;
    let clear = (0.75 + 2e-5 * place.elevation_m) * open.outside_mj[d];
    let relative = if clear > 0.5 {
        open.clearness[d] * open.outside_mj[d] / clear
    } else {
        0.6
    };
    // What the sky does not take, walls and roofs of about the air's temperature give back.
    let loss = evaporation::longwave_loss_mj_m2_d(min_c, max_c, vapour_kpa, relative)
        * model.sky_view(month0);
    evaporation::reference_mm_d(&EvaporationDay {
        min_c,
        max_c,
        vapour_kpa,
        // FAO-56 (notes to eq. 47): in calm air vapour still leaves by buoyancy, as with a wind of 0.5 m/s.
        wind_m_s: mean(&series.speed_m_s).max(0.5),
        net_mj_m2_d: (1.0 - 0.23) * sun_mj - loss,
        elevation_m: place.elevation_m,
    })
}

/// Fills what follows from temperature and vapour.
pub(crate) fn humidity_of(series: &mut Series) {
    series.rh_pct.clear();
    series.vpd_kpa.clear();
    for (c, e) in series.air_c.iter().zip(&series.vapour_kpa) {
        let saturated = psychrometrics::saturation_kpa(f64::from(*c));
        let rh = (100.0 * f64::from(*e) / saturated).clamp(1.0, 100.0);
        series.rh_pct.push(rh as f32);
        series.vpd_kpa.push((saturated * (1.0 - rh / 100.0)) as f32);
    }
}

/// Moves relative humidity by some points, and what follows from it.
pub(crate) fn shift_humidity(series: &mut Series, points: f64) {
    for (h, rh) in series.rh_pct.iter_mut().enumerate() {
        let moved = (f64::from(*rh) + points).clamp(5.0, 100.0);
        let saturated = psychrometrics::saturation_kpa(at(&series.air_c, h));
        *rh = moved as f32;
        if let Some(e) = series.vapour_kpa.get_mut(h) {
            *e = (saturated * moved / 100.0) as f32;
        }
        if let Some(vpd) = series.vpd_kpa.get_mut(h) {
            *vpd = (saturated * (1.0 - moved / 100.0)) as f32;
        }
    }
}
