//! Daily or hourly tables of weather stations and loggers in the open, by way of the general reader of records.

use std::{collections::BTreeMap, fs::File, io::BufReader, path::Path};

use chrono::NaiveDate;

use super::{
    ImportError, Imported,
    fault::Fault,
    statistics::{DayRecord, Statistics},
};
use crate::{
    base::{Progress, calendar::MONTH_NAMES},
    climate::estimates,
    site::{
        Place,
        records::{self, Asked, Preview, Quantity, Records},
    },
};

/// A table as understood, and what the climate would take from it; `None` while there are questions.
#[derive(Clone, Debug)]
pub struct TableRead {
    pub preview: Preview,
    pub imported: Option<Imported>,
}

/// A day counts if so much of it was measured.
const LEAST_OF_DAY: f64 = 0.8;

/// Reads a table of days or hours.
///
/// # Errors
/// [`ImportError`]: no table at all, or one from which no climate can be had.
pub fn read(
    path: &Path,
    place: &Place,
    asked: &Asked,
    progress: &Progress,
) -> Result<TableRead, ImportError> {
    let file = File::open(path).map_err(ImportError::Io)?;
    let reading = records::read(BufReader::new(file), asked, progress)?;
    let name = path
        .file_name()
        .map_or_else(String::new, |n| n.to_string_lossy().into_owned());
    let imported = reading
        .records
        .map(|records| imported(&records, &reading.preview, &name, place))
        .transpose()?;
    Ok(TableRead {
        preview: reading.preview,
        imported,
    })
}

fn imported(
    records: &Records,
    preview: &Preview,
    name: &str,
    place: &Place,
) -> Result<Imported, Fault> {
    let step_min = preview.step_min.unwrap_or(1440.0).max(1.0);
    let days = days(records, step_min)?;
    let (Some(first), Some(last)) = (days.first(), days.last()) else {
        return Err(Fault::of_file(
            "no day was measured through".to_owned(),
            "a day needs four fifths of its rows: give a fuller record",
        ));
    };
    let source = format!("Record {name}, {} to {}", first.date, last.date);
    let statistics = Statistics::of(&days);
    let mut says = vec![format!(
        "{} days with temperatures, {:.1} years in all.",
        days.iter()
            .filter(|d| d.night_min_c.is_some() || d.day_max_c.is_some())
            .count(),
        statistics.years
    )];
    if records.has(Quantity::DewPoint) && !records.has(Quantity::Humidity) {
        says.push("Relative humidity is worked out from the dew point.".to_owned());
    }
    for (quantity, months) in statistics.gaps() {
        let names: Vec<&str> = months
            .iter()
            .filter_map(|m| MONTH_NAMES.get(*m).copied())
            .collect();
        says.push(format!(
            "Too few days of {quantity} in {}: the figures that were there stay, or the quantity is estimated.",
            names.join(", ")
        ));
    }
    if statistics.years < 0.9 {
        says.push(
            "Under a year says nothing of how days hang together: what is usual is taken for that."
                .to_owned(),
        );
    } else if statistics.years < 8.0 {
        says.push(
            "A record under eight years says little of how years differ: what is usual is taken for that.".to_owned(),
        );
    }
    Ok(Imported {
        source,
        site: None,
        doubts: doubts(&statistics, place),
        statistics,
        hours: None,
        says,
    })
}

fn days(records: &Records, step_min: f64) -> Result<Vec<DayRecord>, Fault> {
    let extremes = records.has(Quantity::TemperatureMin) && records.has(Quantity::TemperatureMax);
    let by_row = records.has(Quantity::Temperature) && step_min <= 180.0;
    if !extremes && !by_row {
        return Err(if records.has(Quantity::Temperature) {
            Fault::of_file(
                format!("there is one temperature every {:.0} h", step_min / 60.0),
                "days need their minimum and maximum, in two columns, or a temperature every three hours or oftener",
            )
        } else {
            Fault::of_file(
                "no column holds air temperature".to_owned(),
                "name two columns for the day's minimum and maximum, or one for the temperature",
            )
        });
    }
    let rows_a_day = (1440.0 / step_min).max(1.0);
    let enough = |n: usize| n as f64 >= LEAST_OF_DAY * rows_a_day;
    let mut days: BTreeMap<NaiveDate, DayRecord> = BTreeMap::new();
    let mut put = |date: NaiveDate, set: &dyn Fn(&mut DayRecord)| {
        set(days.entry(date).or_insert_with(|| DayRecord::new(date)));
    };
    if extremes {
        for (date, low, _, n) in records.daily(Quantity::TemperatureMin) {
            if enough(n) {
                put(date, &|d| d.night_min_c = Some(low));
            }
        }
        for (date, _, high, n) in records.daily(Quantity::TemperatureMax) {
            if enough(n) {
                put(date, &|d| d.day_max_c = Some(high));
            }
        }
    } else {
        for (date, low, high, n) in records.daily(Quantity::Temperature) {
            if enough(n) {
                put(date, &|d| {
                    (d.night_min_c, d.day_max_c) = (Some(low), Some(high))
                });
            }
        }
    }
    for (quantity, sum) in [
        (Quantity::Humidity, false),
        (Quantity::Wind, false),
        (Quantity::GlobalRadiation, false),
        (Quantity::Rain, true),
        (Quantity::Sunshine, true),
    ] {
        for (date, total, n) in totals(records, quantity) {
            // Rain gauges often write only when it rains.
            if !enough(n) && quantity != Quantity::Rain {
                continue;
            }
            let value = if sum { total } else { total / n.max(1) as f64 };
            put(date, &|d| match quantity {
                Quantity::Humidity => d.rh_pct = Some(value.min(100.0)),
                Quantity::Wind => d.wind_m_s = Some(value),
                // W/m² through a day: MJ.
                Quantity::GlobalRadiation => d.radiation_mj_m2 = Some((value * 0.0864).max(0.0)),
                Quantity::Rain => d.rain_mm = Some(value),
                _ => d.sunshine_h = Some(value.min(24.0)),
            });
        }
    }
    // Where there is no hygrometer the dew point tells as much.
    if !records.has(Quantity::Humidity) {
        for (date, total, n) in totals(records, Quantity::DewPoint) {
            if let Some(day) = days.get_mut(&date).filter(|_| enough(n))
                && let (Some(night), Some(high)) = (day.night_min_c, day.day_max_c)
            {
                day.rh_pct = Some(estimates::mean_rh_pct(total / n.max(1) as f64, night, high));
            }
        }
    }
    Ok(days.into_values().collect())
}

/// Sum and number of the values of each day.
fn totals(records: &Records, quantity: Quantity) -> Vec<(NaiveDate, f64, usize)> {
    let mut days: BTreeMap<NaiveDate, (f64, usize)> = BTreeMap::new();
    for (at, value) in records.of(quantity) {
        let day = days.entry(at.date()).or_default();
        day.0 += value;
        day.1 += 1;
    }
    days.into_iter().map(|(d, (sum, n))| (d, sum, n)).collect()
}

/// What does not go with the place.
fn doubts(s: &Statistics, place: &Place) -> Vec<String> {
    let mut doubts = Vec::new();
    let zonal = estimates::month_means_c(
        place.latitude_deg,
        place.elevation_m,
        place
            .coast_km
            .unwrap_or_else(|| crate::places::coast_km(place.latitude_deg, place.longitude_deg)),
    );
    let off: Vec<f64> = (0..12)
        .filter_map(|m| {
            let mean = f64::midpoint(s.night_min_c[m]?, s.day_max_c[m]?);
            Some(mean - zonal[m])
        })
        .collect();
    let mean = off.iter().sum::<f64>() / off.len().max(1) as f64;
    if mean.abs() > 14.0 {
        doubts.push(format!(
            "The record is {:.0} K {} than is usual at {}° of latitude and {:.0} m: is it from here, and in °C?",
            mean.abs(),
            if mean > 0.0 { "warmer" } else { "colder" },
            place.latitude_deg,
            place.elevation_m
        ));
    }
    let turned =
        (0..12).any(|m| matches!((s.night_min_c[m], s.day_max_c[m]), (Some(n), Some(d)) if n > d));
    if turned {
        doubts.push("Minima are above maxima: are the two columns exchanged?".to_owned());
    }
    let (january, july) = (s.day_max_c[0], s.day_max_c[6]);
    if let (Some(january), Some(july)) = (january, july)
        && place.latitude_deg.abs() > 25.0
        && (july - january).abs() > 2.0
        && (july > january) != (place.latitude_deg > 0.0)
    {
        doubts.push(format!(
            "January days have {january:.0} °C and July days {july:.0} °C, at latitude {}: is the record from here, and \
             are day and month in their order?",
            place.latitude_deg
        ));
    }
    doubts
}
