//! From whole columns to a typical year and the statistics of its days.

use std::collections::BTreeSet;

use chrono::NaiveDate;

use super::{
    column::{AIR, CLOUD, COLUMNS, GLOBAL, RAIN, RH, SKY, SKY_HEAT, WIND, WIND_FROM},
    pauses::fill,
    rows::Rows,
    station::Station,
};
use crate::{
    base::{
        Day,
        calendar::{DAYS, HOURS},
    },
    climate::import::{
        Imported,
        fault::Fault,
        statistics::{DayRecord, Statistics},
    },
    site::{Series, TypicalHours},
    sun::REFERENCE_YEAR,
};

impl Rows {
    pub fn imported(mut self, station: Station) -> Result<Imported, Fault> {
        for (column, values) in COLUMNS.iter().zip(&mut self.values) {
            if column.at == COLUMNS[RAIN].at {
                continue;
            }
            match fill(values, column) {
                Ok(bridged) => self.says.extend(bridged),
                // Clouds tell it nearly as well.
                Err(fault) if column.at == COLUMNS[SKY_HEAT].at => {
                    values.fill(f64::NAN);
                    self.says.push(format!("Not taken: {}.", fault.what));
                }
                Err(fault) => return Err(fault),
            }
        }
        let readings = |column: usize| -> Option<Vec<f64>> {
            let values = &self.values[column];
            values.iter().all(|v| v.is_finite()).then(|| {
                // Read at the end of each hour: its mean lies between two readings.
                (0..HOURS)
                    .map(|h| f64::midpoint(values[(h + HOURS - 1) % HOURS], values[h]))
                    .collect()
            })
        };
        let sums = |column: usize| -> Option<Vec<f64>> {
            let values = &self.values[column];
            values.iter().all(|v| v.is_finite()).then(|| values.clone())
        };
        let air = readings(AIR).unwrap_or_default();
        let rh = readings(RH);
        let wind = readings(WIND);
        let global = sums(GLOBAL);
        let sky = sums(SKY).filter(|_| global.is_some());
        let rain: Option<Vec<f64>> = self.values[RAIN].iter().any(|v| v.is_finite()).then(|| {
            self.values[RAIN]
                .chunks(24)
                .map(|day| day.iter().filter(|v| v.is_finite()).sum())
                .collect()
        });
        let series = |values: &Option<Vec<f64>>, by: f64| -> Option<Series> {
            let values = values.as_ref()?;
            Series::new(
                values
                    .iter()
                    .map(|v| (v * by).round().clamp(-32_000.0, 32_000.0) as i16)
                    .collect(),
            )
        };
        let hours = TypicalHours {
            air_tenth_c: series(&Some(air.clone()), 10.0),
            rh_pct: series(&rh, 1.0),
            wind_tenth_m_s: series(&wind, 10.0),
            // Directions have no mean between two readings that turn through north.
            wind_from_deg: series(&sums(WIND_FROM), 1.0),
            cloud_pct: series(&readings(CLOUD), 10.0),
            global_w_m2: series(&global, 1.0).filter(|_| sky.is_some()),
            sky_w_m2: series(&sky, 1.0),
            sky_heat_w_m2: series(&sums(SKY_HEAT), 1.0),
            rain_tenth_mm: series(&rain, 10.0),
        };
        let mut missing = Vec::new();
        for (name, there) in [
            ("humidity", hours.rh_pct.is_some()),
            ("radiation", hours.global_w_m2.is_some()),
            ("wind", hours.wind_tenth_m_s.is_some()),
            ("cloud", hours.cloud_pct.is_some()),
            ("rain", hours.rain_tenth_mm.is_some()),
        ] {
            if !there {
                missing.push(name);
            }
        }
        let mut says = vec![years_told(&self.years)];
        says.append(&mut self.says);
        if !missing.is_empty() {
            says.push(format!(
                "The file does not tell: {}. What was known of it before stays, or is estimated.",
                missing.join(", ")
            ));
        }
        let days = days(
            &air,
            rh.as_deref(),
            wind.as_deref(),
            global.as_deref(),
            rain.as_deref(),
        );
        let mut doubts = station.doubts;
        doubts.append(&mut self.doubts);
        Ok(Imported {
            source: station.source,
            site: Some(station.place),
            statistics: Statistics::of(&days),
            hours: Some(hours.into()),
            says,
            doubts,
        })
    }
}

fn years_told(years: &BTreeSet<i32>) -> String {
    match (years.first(), years.last()) {
        (Some(first), Some(last)) if first == last => format!("8,760 hours of the year {first}."),
        (Some(first), Some(last)) => format!(
            "8,760 hours of a typical year, its months from {} years between {first} and {last}.",
            years.len()
        ),
        _ => "8,760 hours.".to_owned(),
    }
}

/// The days of the year, dated in the reference year.
fn days(
    air: &[f64],
    rh: Option<&[f64]>,
    wind: Option<&[f64]>,
    global: Option<&[f64]>,
    rain: Option<&[f64]>,
) -> Vec<DayRecord> {
    let mean = |values: Option<&[f64]>, d: usize| -> Option<f64> {
        let day = values?.get(d * 24..d * 24 + 24)?;
        Some(day.iter().sum::<f64>() / 24.0)
    };
    (0..DAYS)
        .filter_map(|d| {
            let day = air.get(d * 24..d * 24 + 24)?;
            let date: NaiveDate = Day::new(d).in_year(REFERENCE_YEAR);
            Some(DayRecord {
                night_min_c: Some(day.iter().copied().fold(f64::INFINITY, f64::min)),
                day_max_c: Some(day.iter().copied().fold(f64::NEG_INFINITY, f64::max)),
                rh_pct: mean(rh, d),
                wind_m_s: mean(wind, d),
                radiation_mj_m2: mean(global, d).map(|w| w * 0.0864),
                rain_mm: rain.and_then(|r| r.get(d).copied()),
                ..DayRecord::new(date)
            })
        })
        .collect()
}
