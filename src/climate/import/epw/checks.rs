//! Whether the hours make a year, and whether they are in the units they should be in.

use super::{
    column::{AIR, COLUMNS, DEW, GLOBAL, RAIN, RH, SKY_HEAT, WIND},
    pauses::moment,
    rows::Rows,
    station::Station,
};
use crate::{
    base::{Day, calendar::HOURS},
    climate::{estimates, import::fault::Fault},
    places,
    sun::SunTable,
};

/// Hours that may be missing or without temperature, of 8,760.
const MOST_MISSING: usize = 876;
/// A column of which less than this share was measured is not taken.
const LEAST_SHARE: f64 = 0.5;
/// Share of values out of range up to which these are slips. Radiation in kJ has ten times as many, temperatures in °F more.
const MOST_BEYOND: f64 = 0.01;
/// So many values out of range are slips even where hardly any other was measured.
const ALWAYS_SLIPS: usize = 24;

impl Rows {
    /// Whether a year is there at all.
    pub fn check_whole(&mut self) -> Result<(), Fault> {
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

    /// Few values out of range are slips and count as missing; many are a wrong unit.
    pub fn check_ranges(&mut self) -> Result<(), Fault> {
        for (at, column) in COLUMNS.iter().enumerate() {
            let (beyond, first) = (self.beyond[at].0, self.beyond[at].1.take());
            let Some(first) = first else { continue };
            let known = self.values[at].iter().filter(|v| v.is_finite()).count();
            // Clouds tell the sky's heat nearly as well: what is good of it may be taken.
            let most = if at == SKY_HEAT { 0.5 } else { MOST_BEYOND };
            let slips = most * (known + beyond) as f64;
            if beyond > ALWAYS_SLIPS && beyond as f64 > slips {
                return Err(first);
            }
            self.doubts.push(format!(
                "The {} is out of range in {beyond} hour{}, taken as missing; the first: line {}, {}.",
                column.name,
                if beyond == 1 { "" } else { "s" },
                first.line.unwrap_or(0),
                first.what
            ));
        }
        Ok(())
    }

    /// Which columns are hardly filled.
    pub fn told(&mut self) {
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
    pub fn check_units(&mut self, station: &Station) -> Result<(), Fault> {
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
}
