//! Hourly weather files in the EPW format: eight lines of headings, then a line of 35 fields for each hour.
//!
//! Field numbers, units and codes for what is missing as in the public column specification of the format (EnergyPlus,
//! Auxiliary Programs, "EPW CSV format"). Hours 1 to 24 end at the full hour, in standard time.

use chrono::NaiveDate;

use super::{
    FilePlace, ImportError, Imported,
    fault::Fault,
    statistics::{DayRecord, Statistics},
};
use crate::{
    base::{
        Day,
        calendar::{DAYS, HOURS, MONTH_NAMES, MONTH_STARTS},
    },
    climate::estimates,
    places,
    site::{Place, Series, TypicalHours},
    sun::{REFERENCE_YEAR, SunTable, clock},
};

/// A field of the hourly lines.
#[derive(Clone, Copy)]
struct Column {
    /// From 0.
    at: usize,
    name: &'static str,
    /// From this value on nothing was measured.
    missing_from: f64,
    low: f64,
    high: f64,
    unit: &'static str,
    /// What a value out of range may come from.
    hint: &'static str,
}

const COLUMNS: [Column; 10] = [
    Column {
        at: 6,
        name: "dry bulb temperature",
        missing_from: 99.9,
        low: -90.0,
        high: 60.0,
        unit: "°C",
        hint: "EPW holds °C: convert it if it is in °F or in tenths",
    },
    Column {
        at: 7,
        name: "dew point",
        missing_from: 99.9,
        low: -90.0,
        high: 60.0,
        unit: "°C",
        hint: "EPW holds °C: convert it if it is in °F or in tenths",
    },
    Column {
        at: 8,
        name: "relative humidity",
        missing_from: 999.0,
        low: 0.0,
        high: 110.0,
        unit: "%",
        hint: "correct it, or write 999 where nothing was measured",
    },
    Column {
        at: 13,
        name: "global horizontal radiation",
        missing_from: 9999.0,
        low: 0.0,
        high: 1500.0,
        unit: "Wh/m²",
        hint: "EPW holds the hour's sum in Wh/m²: convert kJ (by 3.6), or write 9999 where nothing was measured",
    },
    Column {
        at: 15,
        name: "diffuse horizontal radiation",
        missing_from: 9999.0,
        low: 0.0,
        high: 1100.0,
        unit: "Wh/m²",
        hint: "EPW holds the hour's sum in Wh/m²: convert kJ (by 3.6), or write 9999 where nothing was measured",
    },
    Column {
        at: 20,
        name: "wind direction",
        missing_from: 999.0,
        low: 0.0,
        high: 360.0,
        unit: "°",
        hint: "correct it, or write 999 where nothing was measured",
    },
    Column {
        at: 21,
        name: "wind speed",
        missing_from: 999.0,
        low: 0.0,
        high: 60.0,
        unit: "m/s",
        hint: "EPW holds m/s: convert km/h or knots, or write 999 where nothing was measured",
    },
    Column {
        at: 22,
        name: "total sky cover",
        missing_from: 99.0,
        low: 0.0,
        high: 10.0,
        unit: "tenths",
        hint: "EPW holds tenths of the sky: convert eighths, or write 99 where nothing was measured",
    },
    Column {
        at: 33,
        name: "liquid precipitation depth",
        missing_from: 999.0,
        low: 0.0,
        high: 300.0,
        unit: "mm",
        hint: "correct it, or write 999 where nothing was measured",
    },
    Column {
        at: 12,
        name: "infrared radiation of the sky",
        missing_from: 9999.0,
        low: 0.0,
        high: 700.0,
        unit: "Wh/m²",
        hint: "EPW holds the hour's sum in Wh/m²: correct it, or write 9999 where nothing was measured",
    },
];

const AIR: usize = 0;
const DEW: usize = 1;
const RH: usize = 2;
const GLOBAL: usize = 3;
const SKY: usize = 4;
const WIND_FROM: usize = 5;
const WIND: usize = 6;
const CLOUD: usize = 7;
const RAIN: usize = 8;
const SKY_HEAT: usize = 9;

/// Fields that a line must have: up to the sky cover. Rain stands further right and may be left off.
const LEAST_FIELDS: usize = 23;
/// Hours that may be missing or without temperature, of 8,760.
const MOST_MISSING: usize = 876;
/// A pause up to this is bridged in a straight line, h.
const STRAIGHT_H: usize = 3;
/// A pause up to this takes the hours of the days about it, h; a longer one is a fault.
const BRIDGED_H: usize = 72;
/// A column of which less than this share was measured is not taken.
const LEAST_SHARE: f64 = 0.5;

/// Reads the text of an EPW file.
///
/// # Errors
/// [`ImportError::Fault`], naming line and field.
pub fn read(text: &str) -> Result<Imported, ImportError> {
    let (site, data_from) = headings(text)?;
    let mut rows = Rows::read(text, data_from)?;
    rows.check_whole()?;
    rows.told();
    rows.check_units(&site)?;
    Ok(rows.imported(site)?)
}

/// What the file says of its station.
struct Station {
    place: FilePlace,
    source: String,
    /// For the sun: with a time zone whose standard time is the file's.
    sun_place: Place,
    doubts: Vec<String>,
}

/// The station of the first line, and the number of lines before the hours.
fn headings(text: &str) -> Result<(Station, usize), Fault> {
    const BEGIN: &str = "an EPW file begins with LOCATION, city, region, country, source, number, latitude, longitude, \
                         time zone, height";
    let first = text
        .lines()
        .next()
        .unwrap_or("")
        .trim_start_matches('\u{feff}');
    let fields: Vec<&str> = first.split(',').map(str::trim).collect();
    if !fields
        .first()
        .is_some_and(|f| f.eq_ignore_ascii_case("LOCATION"))
    {
        return Err(Fault::at(
            1,
            "the line does not begin with LOCATION".to_owned(),
            BEGIN,
        ));
    }
    let number = |at: usize, name: &str, low: f64, high: f64| -> Result<f64, Fault> {
        let word = fields.get(at).copied().unwrap_or("");
        word.parse::<f64>()
            .ok()
            .filter(|v| (low..=high).contains(v))
            .ok_or_else(|| {
                Fault::at(
                    1,
                    format!("\"{}\" is not between {low} and {high}", short(word)),
                    BEGIN,
                )
                .in_field(format!("field {} ({name})", at + 1))
            })
    };
    let place = FilePlace {
        latitude_deg: number(6, "latitude", -90.0, 90.0)?,
        longitude_deg: number(7, "longitude", -180.0, 180.0)?,
        offset_h: number(8, "time zone", -13.0, 14.0)?,
        elevation_m: number(9, "height", -430.0, 6000.0)?,
        name: title(fields.get(1).copied().unwrap_or("")),
    };
    let data_from = text
        .lines()
        .take(40)
        .position(|l| {
            l.trim_start()
                .to_ascii_uppercase()
                .starts_with("DATA PERIODS")
        })
        .ok_or_else(|| {
            Fault::of_file(
                "there is no line DATA PERIODS among the first 40".to_owned(),
                "the headings are damaged or cut off: get the file anew",
            )
        })?;
    let per_hour = text
        .lines()
        .nth(data_from)
        .and_then(|l| l.split(',').nth(2))
        .map_or("1", str::trim);
    if per_hour != "1" {
        return Err(Fault::at(
            data_from + 1,
            format!("the file has \"{}\" records an hour", short(per_hour)),
            "only files of one record an hour are read: make hours of them first",
        )
        .in_field("field 3 (records per hour)".to_owned()));
    }
    let mut doubts = Vec::new();
    let by_sun = place.longitude_deg / 15.0;
    if ((place.offset_h - by_sun + 12.0).rem_euclid(24.0) - 12.0).abs() > 3.5 {
        doubts.push(format!(
            "The time zone, UTC{:+}, does not go with the longitude {}°: check line 1, fields 8 and 9 (east is positive).",
            place.offset_h, place.longitude_deg
        ));
    }
    let words: Vec<&str> = [1, 2, 3]
        .iter()
        .filter_map(|i| fields.get(*i).copied())
        .filter(|w| !w.is_empty() && *w != "-")
        .collect();
    let origin = fields.get(4).copied().unwrap_or("");
    let source = format!(
        "EPW of {}{}",
        words.join(", "),
        if origin.is_empty() {
            String::new()
        } else {
            format!(" ({origin})")
        }
    );
    Ok((
        Station {
            sun_place: sun_place(&place),
            place,
            source,
            doubts,
        },
        data_from + 1,
    ))
}

/// `"GREENSBORO PIEDMONT"` is easier to read as `"Greensboro Piedmont"`.
fn title(name: &str) -> String {
    if name.chars().any(char::is_lowercase) {
        return name.to_owned();
    }
    let mut title = String::with_capacity(name.len());
    let mut begins = true;
    for c in name.chars() {
        if begins {
            title.push(c);
        } else {
            title.extend(c.to_lowercase());
        }
        begins = !c.is_alphanumeric();
    }
    title
}

/// The station with a zone that keeps the file's standard time: that of the nearest town, or one of whole hours.
fn sun_place(place: &FilePlace) -> Place {
    let of = |zone: &str| Place {
        latitude_deg: place.latitude_deg,
        longitude_deg: place.longitude_deg,
        elevation_m: place.elevation_m,
        time_zone: zone.to_owned(),
        ..Place::default()
    };
    let near =
        places::nearest(place.latitude_deg, place.longitude_deg).map(|(t, _)| of(t.time_zone));
    near.filter(|p| (clock::standard_offset_h(p) - place.offset_h).abs() < 0.1)
        // The names of these zones count the other way round.
        .unwrap_or_else(|| of(&format!("Etc/GMT{:+}", -place.offset_h.round() as i64)))
}

fn short(word: &str) -> String {
    word.chars().take(24).collect()
}

/// The hours as they stand in the file, put in the order of a year of 365 days.
struct Rows {
    values: [Vec<f64>; COLUMNS.len()],
    /// Line of each hour, 0 where none came.
    lines: Vec<usize>,
    last_line: usize,
    leap_hours: usize,
    doubled: Vec<(usize, usize)>,
    years: std::collections::BTreeSet<i32>,
    says: Vec<String>,
    doubts: Vec<String>,
}

impl Rows {
    fn read(text: &str, data_from: usize) -> Result<Self, Fault> {
        let mut rows = Self {
            values: std::array::from_fn(|_| vec![f64::NAN; HOURS]),
            lines: vec![0; HOURS],
            last_line: data_from,
            leap_hours: 0,
            doubled: Vec::new(),
            years: std::collections::BTreeSet::new(),
            says: Vec::new(),
            doubts: Vec::new(),
        };
        let total = text.lines().count();
        for (i, line) in text.lines().enumerate().skip(data_from) {
            if !line.trim().is_empty() {
                rows.take(i + 1, line, i + 1 == total)?;
                rows.last_line = i + 1;
            }
        }
        Ok(rows)
    }

    fn take(&mut self, line: usize, text: &str, last: bool) -> Result<(), Fault> {
        let fields: Vec<&str> = text.split(',').map(str::trim).collect();
        if fields.len() < LEAST_FIELDS {
            return Err(Fault::at(
                line,
                format!("{} fields, of which an hour has 35", fields.len()),
                if last {
                    "the file breaks off here: get it anew"
                } else {
                    "mend the line, or get the file anew; fields are parted by commas"
                },
            ));
        }
        let whole = |at: usize, name: &str, low: i32, high: i32| -> Result<i32, Fault> {
            let word = fields.get(at).copied().unwrap_or("");
            word.parse::<f64>()
                .ok()
                .filter(|v| v.fract() == 0.0 && (f64::from(low)..=f64::from(high)).contains(v))
                .map(|v| v as i32)
                .ok_or_else(|| {
                    Fault::at(
                        line,
                        format!("\"{}\" is not a whole number from {low} to {high}", short(word)),
                        "an hour begins with year, month, day and hour, the hours of a day from 1 to 24",
                    )
                    .in_field(format!("field {} ({name})", at + 1))
                })
        };
        let year = whole(0, "year", 1, 9999)?;
        let month = whole(1, "month", 1, 12)?;
        let day = whole(2, "day", 1, 31)?;
        let hour = whole(3, "hour", 1, 24)?;
        if (month, day) == (2, 29) {
            self.leap_hours += 1;
            return Ok(());
        }
        let start = MONTH_STARTS.get(month as usize - 1).copied().unwrap_or(0);
        let end = MONTH_STARTS.get(month as usize).copied().unwrap_or(DAYS);
        let date = start + day as usize - 1;
        if date >= end {
            return Err(Fault::at(
                line,
                format!(
                    "{} has no day {day}",
                    MONTH_NAMES.get(month as usize - 1).unwrap_or(&"the month")
                ),
                "correct month and day",
            )
            .in_field("field 3 (day)".to_owned()));
        }
        let slot = date * 24 + hour as usize - 1;
        match self.lines.get_mut(slot) {
            Some(taken) if *taken > 0 => {
                self.doubled.push((*taken, line));
                return Ok(());
            }
            Some(taken) => *taken = line,
            None => return Ok(()),
        }
        self.years.insert(year);
        for (column, values) in COLUMNS.iter().zip(&mut self.values) {
            if let (Some(value), Some(place)) =
                (number(line, &fields, column)?, values.get_mut(slot))
            {
                *place = value;
            }
        }
        Ok(())
    }

    /// Whether a year is there at all.
    fn check_whole(&mut self) -> Result<(), Fault> {
        if let Some((first, second)) = self.doubled.first().copied()
            && self.doubled.len() > 24
        {
            return Err(Fault::at(
                second,
                format!(
                    "the hour stands in line {first} already, and {} more hours come twice",
                    self.doubled.len() - 1
                ),
                "a typical year has each hour once: take one year out of the file, or give a longer record as CSV",
            ));
        }
        let missing = self.lines.iter().filter(|l| **l == 0).count();
        let first = self.lines.iter().position(|l| *l == 0);
        if let Some(first) = first.filter(|_| missing > MOST_MISSING) {
            return Err(Fault::at(
                self.last_line,
                format!(
                    "the file ends with {} of 8,760 hours; the first that is missing is {}",
                    HOURS - missing,
                    moment(first)
                ),
                "it is cut off, or is not a whole year: get it anew",
            ));
        }
        if let Some(first) = first {
            self.says.push(format!(
                "{missing} of 8,760 hours have no line, the first of them {}; they are filled from the hours about them.",
                moment(first)
            ));
        }
        if let Some((first, second)) = self.doubled.first() {
            let by_clock = missing == self.doubled.len() && missing <= 2;
            self.doubts.push(if by_clock {
                format!(
                    "One hour is missing and one comes twice (lines {first} and {second}), as clocks with daylight saving \
                     do. EPW holds standard time: through the summer all may lie an hour off."
                )
            } else {
                format!(
                    "{} hours come twice, the first in lines {first} and {second}; the earlier line is taken.",
                    self.doubled.len()
                )
            });
        }
        if self.leap_hours > 0 {
            self.says
                .push("29 February is left out: years have 365 days here.".to_owned());
        }
        Ok(())
    }

    /// Which columns are hardly filled.
    fn told(&mut self) {
        for (column, values) in COLUMNS.iter().zip(&mut self.values) {
            let known = values.iter().filter(|v| v.is_finite()).count();
            if known > 0 && (known as f64) < LEAST_SHARE * HOURS as f64 {
                self.says.push(format!(
                    "The {} has values for {known} hours only and is not taken.",
                    column.name
                ));
                values.fill(f64::NAN);
            }
        }
        // Files without rain gauges have zeros.
        let rain = &mut self.values[RAIN];
        if rain.iter().all(|v| v.is_nan() || *v == 0.0) {
            rain.fill(f64::NAN);
        }
        // No sky is so cold: files without it have zeros.
        for heat in &mut self.values[SKY_HEAT] {
            if *heat < 50.0 {
                *heat = f64::NAN;
            }
        }
        let humidity = self.values[RH].iter().all(|v| v.is_nan());
        if humidity && self.values[DEW].iter().any(|v| v.is_finite()) {
            self.says
                .push("Relative humidity is worked out from the dew point.".to_owned());
            for hour in 0..HOURS {
                let (air, dew) = (self.values[AIR][hour], self.values[DEW][hour]);
                self.values[RH][hour] = (100.0 * estimates::saturation_kpa(dew)
                    / estimates::saturation_kpa(air))
                .clamp(1.0, 100.0);
            }
        }
    }

    /// Units that every single value might pass with.
    fn check_units(&mut self, station: &Station) -> Result<(), Fault> {
        let known = |column: usize| -> Vec<(usize, f64)> {
            self.values[column]
                .iter()
                .copied()
                .enumerate()
                .filter(|(_, v)| v.is_finite())
                .collect()
        };
        let air = known(AIR);
        if air.len() + MOST_MISSING < HOURS {
            return Err(Fault::of_file(
                format!("{} of 8,760 hours have a temperature", air.len()),
                "field 7 (dry bulb temperature) is needed: get a fuller file",
            ));
        }
        let mean = air.iter().map(|(_, v)| v).sum::<f64>() / air.len().max(1) as f64;
        let zonal = {
            let (latitude, longitude) = (station.place.latitude_deg, station.place.longitude_deg);
            estimates::month_means_c(
                latitude,
                station.place.elevation_m,
                places::coast_km(latitude, longitude),
            )
        };
        let usual = zonal.iter().sum::<f64>() / 12.0;
        if mean - usual > 22.0 {
            let line = air
                .first()
                .and_then(|(h, _)| self.lines.get(*h))
                .copied()
                .unwrap_or(0);
            return Err(Fault::at(
                line,
                format!(
                    "the year's mean of {mean:.0} would be {:.0} K warmer than is usual at {}° of latitude; read as °F it \
                     is {:.0} °C",
                    mean - usual,
                    station.place.latitude_deg,
                    (mean - 32.0) / 1.8
                ),
                "EPW holds °C: convert the column, or correct the latitude in line 1",
            )
            .in_field("field 7 (dry bulb temperature)".to_owned()));
        }
        let winter = |m: [usize; 3]| -> f64 {
            let of: Vec<f64> = air
                .iter()
                .filter(|(h, _)| m.contains(&Day::new(h / 24).month0()))
                .map(|(_, v)| *v)
                .collect();
            of.iter().sum::<f64>() / of.len().max(1) as f64
        };
        let (january, july) = (winter([11, 0, 1]), winter([5, 6, 7]));
        let latitude = station.place.latitude_deg;
        if latitude.abs() > 25.0
            && (july - january).abs() > 2.0
            && (july > january) != (latitude > 0.0)
        {
            self.doubts.push(format!(
                "December to February has a mean of {january:.0} °C and June to August {july:.0} °C, at latitude \
                 {latitude}: check its sign in line 1 (south is negative)."
            ));
        }
        let highest = |column: usize| {
            known(column)
                .iter()
                .map(|(_, v)| *v)
                .fold(f64::MIN, f64::max)
        };
        let (rh, wind) = (known(RH), known(WIND));
        if !rh.is_empty() && highest(RH) <= 1.0 {
            return Err(Fault::of_file(
                "no humidity is above 1".to_owned(),
                "field 9 (relative humidity) holds %, not a share of 1: multiply it by 100",
            ));
        }
        let mean_wind = wind.iter().map(|(_, v)| v).sum::<f64>() / wind.len().max(1) as f64;
        if mean_wind > 10.5 {
            self.doubts.push(format!(
                "The wind has a mean of {mean_wind:.0} m/s, more than at the windiest coasts: is field 22 in km/h or knots?"
            ));
        }
        self.check_light(station, highest(GLOBAL))
    }

    /// Whether the radiation is in its unit, and goes with the sun.
    fn check_light(&mut self, station: &Station, highest: f64) -> Result<(), Fault> {
        if !self.values[GLOBAL].iter().any(|v| v.is_finite()) {
            return Ok(());
        }
        if highest < 50.0 {
            return Err(Fault::of_file(
                format!("no hour has more global radiation than {highest:.1}"),
                "field 14 (global horizontal radiation) holds Wh/m²: convert MJ (by 277.8), or write 9999 where nothing \
                 was measured",
            ));
        }
        let sun = SunTable::of(&station.sun_place);
        // Share of the light that falls while the sun is down, if all came `by` hours earlier.
        let in_the_dark = |by: usize| -> f64 {
            let (mut dark, mut all) = (0.0, 1e-9);
            for (h, global) in self.values[GLOBAL]
                .iter()
                .enumerate()
                .filter(|(_, v)| v.is_finite())
            {
                all += global;
                let hour = (h + HOURS - by) % HOURS;
                if sun.up_share.get(hour).is_some_and(|s| *s <= 0.0) {
                    dark += global;
                }
            }
            dark / all
        };
        let now = in_the_dark(0);
        if now > 0.005 {
            let best = (0..24)
                .min_by(|a, b| in_the_dark(*a).total_cmp(&in_the_dark(*b)))
                .unwrap_or(0);
            let shift = if best > 12 {
                best as i64 - 24
            } else {
                best as i64
            };
            self.doubts.push(if shift == 0 {
                format!(
                    "{:.1} % of the light falls while the sun is down: check latitude, longitude and time zone in line 1.",
                    100.0 * now
                )
            } else {
                format!(
                    "{:.1} % of the light falls while the sun is down; {} h {} it would fit: check the time zone and the \
                     longitude in line 1.",
                    100.0 * now,
                    shift.abs(),
                    if shift > 0 { "earlier" } else { "later" }
                )
            });
        }
        Ok(())
    }

    fn imported(mut self, station: Station) -> Result<Imported, Fault> {
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

fn years_told(years: &std::collections::BTreeSet<i32>) -> String {
    match (years.first(), years.last()) {
        (Some(first), Some(last)) if first == last => format!("8,760 hours of the year {first}."),
        (Some(first), Some(last)) => format!(
            "8,760 hours of a typical year, its months from {} years between {first} and {last}.",
            years.len()
        ),
        _ => "8,760 hours.".to_owned(),
    }
}

fn number(line: usize, fields: &[&str], column: &Column) -> Result<Option<f64>, Fault> {
    let Some(word) = fields.get(column.at).copied().filter(|w| !w.is_empty()) else {
        return Ok(None);
    };
    let fault = |what: String, remedy: &str| {
        Err(Fault::at(line, what, remedy).in_field(format!(
            "field {} ({})",
            column.at + 1,
            column.name
        )))
    };
    let Ok(value) = word.parse::<f64>() else {
        return fault(
            format!("\"{}\" is not a number", short(word)),
            "correct it, or leave the field empty where nothing was measured; decimals take a point",
        );
    };
    if value >= column.missing_from || value == -9999.0 || value == -999.0 {
        return Ok(None);
    }
    if !(column.low..=column.high).contains(&value) {
        return fault(
            format!(
                "{word} {} is not possible ({} to {})",
                column.unit, column.low, column.high
            ),
            column.hint,
        );
    }
    Ok(Some(value))
}

/// Fills pauses. A sentence where hours were taken from days about them; a fault where a pause is too long.
fn fill(values: &mut [f64], column: &Column) -> Result<Option<String>, Fault> {
    let n = values.len();
    if values.iter().all(|v| v.is_nan()) {
        return Ok(None);
    }
    let Some(begin) = values.iter().position(|v| v.is_finite()) else {
        return Ok(None);
    };
    let known = values.to_vec();
    let (mut filled, mut longest) = (0, (0, 0));
    let mut at = begin;
    while at < begin + n {
        if known[at % n].is_finite() {
            at += 1;
            continue;
        }
        let from = at;
        while known[at % n].is_nan() {
            at += 1;
        }
        let length = at - from;
        filled += length;
        if length > longest.1 {
            longest = (from % n, length);
        }
        let (before, after) = (known[(from + n - 1) % n], known[at % n]);
        for k in 0..length {
            let hour = (from + k) % n;
            values[hour] = if length <= STRAIGHT_H {
                before + (after - before) * (k + 1) as f64 / (length + 1) as f64
            } else {
                same_hour(&known, hour).unwrap_or(f64::midpoint(before, after))
            };
        }
    }
    if longest.1 > BRIDGED_H {
        return Err(Fault::of_file(
            format!(
                "the {} is missing for {} hours from {} on",
                column.name,
                longest.1,
                moment(longest.0)
            ),
            "a pause of more than three days can't be filled: get a fuller file",
        ));
    }
    Ok((filled > 0).then(|| {
        format!(
            "The {} is missing for {filled} hours, {} of them on end from {} on; up to 3 are bridged, more are taken from \
             the same hours of the days about them.",
            column.name,
            longest.1,
            moment(longest.0)
        )
    }))
}

/// Mean of the nearest known days before and after at the same hour.
fn same_hour(known: &[f64], hour: usize) -> Option<f64> {
    let n = known.len();
    let find = |step: usize| {
        (1..=4)
            .map(|d| known[(hour + d * step) % n])
            .find(|v| v.is_finite())
    };
    match (find(24), find(n - 24)) {
        (Some(a), Some(b)) => Some(f64::midpoint(a, b)),
        (a, b) => a.or(b),
    }
}

/// `"4 March, 05:00 to 06:00"`.
fn moment(hour: usize) -> String {
    let h = hour % 24;
    format!("{}, {h:02}:00 to {:02}:00", Day::new(hour / 24), h + 1)
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
