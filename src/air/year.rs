//! The typical year and its clock, laid out once for all spots and rooms.

use super::{AirInputs, psychrometrics, sky_heat};
use crate::{
    base::{
        Day,
        calendar::{DAYS, HOURS},
    },
    sun::{REFERENCE_YEAR, clock},
};

/// Value at an hour; zero where a table is shorter.
pub(crate) fn at(values: &[f32], index: usize) -> f64 {
    f64::from(values.get(index).copied().unwrap_or(0.0))
}

/// Outdoor conditions of one hour.
#[derive(Clone, Copy, Debug)]
pub(crate) struct OpenHour {
    pub air_c: f64,
    pub vapour_kpa: f64,
    /// At 10 m, m/s.
    pub wind_m_s: f64,
    /// Plan azimuth it comes from, as an index of `shelter::DIRECTIONS`, where known.
    pub wind_from: Option<usize>,
    /// How far cloud closes the sky to heat, 0..=1.
    pub cloud: f64,
    pub month0: usize,
    /// Local clock time at the middle of the hour, h.
    pub clock_h: f64,
    /// How far the night's cooling has set in, 0 by day ..= 1.
    pub night: f64,
    pub sun_up: bool,
}

/// Sun in plan directions: x right, y up the plan, z to the zenith.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct SunRay {
    pub x: f64,
    pub y: f64,
    pub z: f64,
    /// Share of the hour with the sun up.
    pub up: f64,
}

pub(crate) struct OpenYear {
    pub hours: Vec<OpenHour>,
    pub sun: Vec<SunRay>,
    pub beam_w_m2: Vec<f32>,
    pub sky_w_m2: Vec<f32>,
    pub global_w_m2: Vec<f32>,
    /// Clearness index of each of 365 days.
    pub clearness: Vec<f64>,
    /// Radiation outside the air, MJ m⁻² d⁻¹.
    pub outside_mj: Vec<f64>,
    pub mean_air_c: f64,
    pub month_air_c: [f64; 12],
    /// Mean clearness of each month.
    pub month_clearness: [f64; 12],
    /// Night wind by the day's mean wind, for each month.
    pub night_wind_ratio: [f64; 12],
    /// Night minimum less dew point, mean of each month, K.
    pub dew_below_min_k: [f64; 12],
    /// Place within the day's range, 0 (minimum) ..= 1 (maximum), by hour, mean of each month.
    pub day_shape: [[f64; 24]; 12],
    /// Lowest of the 24 hours up to noon of each day, °C.
    pub night_min_c: Vec<f64>,
    /// Hour of the year of that lowest.
    pub min_hour: Vec<usize>,
    pub day_max_c: Vec<f64>,
    pub max_hour: Vec<usize>,
}

impl OpenYear {
    /// `None` when there is no typical year to work with.
    pub fn of(inputs: &AirInputs<'_>) -> Option<Self> {
        let typical = &inputs.weather.typical;
        if typical.air_c.len() < HOURS {
            return None;
        }
        let sun = sun_rays(inputs);
        let hours = open_hours(inputs, &sun);
        let outside_mj: Vec<f64> = (0..DAYS)
            .map(|d| super::evaporation::extraterrestrial_mj_m2_d(inputs.place.latitude_deg, d))
            .collect();
        let clearness = (0..DAYS)
            .map(|d| {
                let mj: f64 = (d * 24..d * 24 + 24)
                    .map(|h| at(&typical.global_w_m2, h) * 0.0036)
                    .sum();
                // In polar night there is nothing to measure by: neither clear nor dull.
                if outside_mj[d] > 0.5 {
                    (mj / outside_mj[d]).clamp(0.02, 0.85)
                } else {
                    0.45
                }
            })
            .collect();
        let (min_hour, max_hour) = extremes(|h| hours[h].air_c);
        let mut year = Self {
            night_min_c: min_hour.iter().map(|h| hours[*h].air_c).collect(),
            day_max_c: max_hour.iter().map(|h| hours[*h].air_c).collect(),
            mean_air_c: hours.iter().map(|h| h.air_c).sum::<f64>() / HOURS as f64,
            hours,
            sun,
            beam_w_m2: typical.beam_w_m2.clone(),
            sky_w_m2: typical.sky_w_m2.clone(),
            global_w_m2: typical.global_w_m2.clone(),
            clearness,
            outside_mj,
            month_air_c: [0.0; 12],
            month_clearness: [0.0; 12],
            night_wind_ratio: [1.0; 12],
            dew_below_min_k: [1.0; 12],
            day_shape: [[0.0; 24]; 12],
            min_hour,
            max_hour,
        };
        year.summarise_months();
        Some(year)
    }

    /// The coldest of some months (0 to 11) by their means.
    pub fn coldest_month(&self, which: impl Fn(usize) -> bool) -> Option<usize> {
        (0..12)
            .filter(|m| which(*m))
            .min_by(|a, b| self.month_air_c[*a].total_cmp(&self.month_air_c[*b]))
    }

    fn summarise_months(&mut self) {
        for month0 in 0..12 {
            let days: Vec<usize> = (0..DAYS)
                .filter(|d| Day::new(*d).month0() == month0)
                .collect();
            let n = days.len().max(1) as f64;
            let (mut air, mut wind, mut night_wind, mut nights) = (0.0, 0.0, 0.0, 0.0);
            let mut shape = [0.0; 24];
            for d in &days {
                let (low, high) = (self.night_min_c[*d], self.day_max_c[*d]);
                for (i, share) in shape.iter_mut().enumerate() {
                    let hour = &self.hours[d * 24 + i];
                    air += hour.air_c;
                    wind += hour.wind_m_s;
                    if !hour.sun_up {
                        night_wind += hour.wind_m_s;
                        nights += 1.0;
                    }
                    *share += ((hour.air_c - low) / (high - low).max(0.5)).clamp(0.0, 1.0) / n;
                }
            }
            self.month_air_c[month0] = air / (24.0 * n);
            if nights > 0.0 && wind > 0.0 {
                self.night_wind_ratio[month0] = (night_wind / nights) / (wind / (24.0 * n));
            }
            self.month_clearness[month0] = days.iter().map(|d| self.clearness[*d]).sum::<f64>() / n;
            self.dew_below_min_k[month0] = days
                .iter()
                .map(|d| {
                    let hour = &self.hours[self.min_hour[*d]];
                    hour.air_c - psychrometrics::dew_point_c(hour.vapour_kpa)
                })
                .sum::<f64>()
                / n;
            self.day_shape[month0] = shape;
        }
    }
}

/// For each day the hour of the lowest value in the 24 hours up to noon, and of the highest value of the day.
pub(crate) fn extremes(value: impl Fn(usize) -> f64) -> (Vec<usize>, Vec<usize>) {
    let mut lowest = Vec::with_capacity(DAYS);
    let mut highest = Vec::with_capacity(DAYS);
    for d in 0..DAYS {
        let night = (0..24).map(|k| (d * 24 + HOURS - 12 + k) % HOURS);
        let day = d * 24..d * 24 + 24;
        let low = night.min_by(|a, b| value(*a).total_cmp(&value(*b)));
        let high = day.max_by(|a, b| value(*a).total_cmp(&value(*b)));
        lowest.push(low.unwrap_or(d * 24));
        highest.push(high.unwrap_or(d * 24));
    }
    (lowest, highest)
}

fn sun_rays(inputs: &AirInputs<'_>) -> Vec<SunRay> {
    let north = inputs.place.plan_north_deg.to_radians();
    let table = inputs.sun;
    (0..HOURS)
        .map(|h| {
            let up = at(&table.up_share, h);
            if up <= 0.0 {
                return SunRay::default();
            }
            let azimuth = at(&table.azimuth_rad, h) - north;
            let elevation = at(&table.elevation_rad, h);
            SunRay {
                x: azimuth.sin() * elevation.cos(),
                y: azimuth.cos() * elevation.cos(),
                z: elevation.sin().max(0.0),
                up,
            }
        })
        .collect()
}

fn open_hours(inputs: &AirInputs<'_>, sun: &[SunRay]) -> Vec<OpenHour> {
    let typical = &inputs.weather.typical;
    let no_sun_table = inputs.sun.up_share.len() < HOURS;
    let directions = super::shelter::DIRECTIONS as f64;
    let saving: Vec<f64> = (0..DAYS)
        .map(|d| {
            Day::new(d)
                .in_year(REFERENCE_YEAR)
                .and_hms_opt(12, 0, 0)
                .map_or(0.0, |noon| clock::saving_h(inputs.place, noon))
        })
        .collect();
    let measured = |h: usize, air_c: f64, rh_pct: f64| {
        let heat = typical.sky_heat_w_m2.as_ref()?.get(h)?;
        let dew_c = psychrometrics::dew_point_c(psychrometrics::vapour_kpa(air_c, rh_pct));
        Some(sky_heat::closing_from_heat(air_c, dew_c, f64::from(*heat)))
    };
    let mut hours: Vec<OpenHour> = (0..HOURS)
        .map(|h| {
            let air_c = at(&typical.air_c, h);
            let rh = typical.rh_pct.get(h).map_or(70.0, |v| f64::from(*v));
            let sun_up = if no_sun_table {
                (6..18).contains(&(h % 24))
            } else {
                sun[h].up >= 0.5
            };
            OpenHour {
                air_c,
                vapour_kpa: psychrometrics::vapour_kpa(air_c, rh),
                wind_m_s: at(&typical.wind_m_s, h).max(0.0),
                wind_from: typical.wind_from_deg.as_ref().map(|from| {
                    let plan = at(from, h) - inputs.place.plan_north_deg;
                    let turn = plan.rem_euclid(360.0) / 360.0;
                    (turn * directions).round() as usize % super::shelter::DIRECTIONS
                }),
                cloud: measured(h, air_c, rh).unwrap_or_else(|| {
                    sky_heat::closing(typical.cloud.get(h).map_or(0.7, |v| f64::from(*v)))
                }),
                month0: Day::new(h / 24).month0(),
                clock_h: ((h % 24) as f64 + 0.5 + saving[h / 24]).rem_euclid(24.0),
                night: 0.0,
                sun_up,
            }
        })
        .collect();
    // Cooling sets in over some two hours after sunset and ends as fast; the last day leads into the first.
    let mut state = 1.0;
    for h in (HOURS - 24..HOURS).chain(0..HOURS) {
        let goal = if hours[h].sun_up { 0.0 } else { 1.0 };
        state += (goal - state) * 0.4;
        hours[h].night = state;
    }
    hours
}

/// Sky temperature of an hour over the spot, °C.
pub(crate) fn sky_of(hour: &OpenHour) -> f64 {
    sky_heat::sky_c(hour.air_c, hour.vapour_kpa, hour.cloud)
}
