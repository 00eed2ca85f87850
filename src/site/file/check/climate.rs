//! Place and climate.

use chrono::{NaiveDate, Offset, TimeZone};
use chrono_tz::Tz;

use super::list::Faults;
use crate::{
    base::Day,
    site::{DayToDay, Monthly, Site, TypicalHours},
};

pub(super) fn check(site: &Site, faults: &mut Faults) {
    place(site, faults);
    normals(site, faults);
    forecast(site, faults);
}

fn forecast(site: &Site, faults: &mut Faults) {
    let Some(forecast) = &site.forecast else {
        return;
    };
    faults.date("forecast", "told_on", forecast.told_on);
    faults.range(
        "forecast",
        "days",
        forecast.days.len() as f64,
        0.0..=16.0,
        "days",
    );
    for (i, day) in forecast.days.iter().enumerate() {
        let at = format!("forecast.days[{i}]");
        faults.date(&at, "date", day.date);
        faults.range(&at, "night_min_c", day.night_min_c, -70.0..=50.0, "°C");
        for (field, value, range, unit) in [
            ("day_max_c", day.day_max_c, -70.0..=60.0, "°C"),
            ("wind_m_s", day.wind_m_s, 0.0..=60.0, "m/s"),
            ("cloud", day.cloud, 0.0..=1.0, ""),
        ] {
            if let Some(value) = value {
                faults.range(&at, field, value, range, unit);
            }
        }
        if forecast.days.iter().take(i).any(|d| d.date == day.date) {
            faults.fault(
                format!("{at}.date"),
                format!("{} is there twice", day.date),
                "keep one of the two",
            );
        }
    }
}

fn place(site: &Site, faults: &mut Faults) {
    let p = &site.place;
    faults.range("place", "latitude_deg", p.latitude_deg, -90.0..=90.0, "°");
    faults.range(
        "place",
        "longitude_deg",
        p.longitude_deg,
        -180.0..=180.0,
        "°",
    );
    faults.range("place", "elevation_m", p.elevation_m, -430.0..=6000.0, "m");
    faults.range(
        "place",
        "plan_north_deg",
        p.plan_north_deg,
        -360.0..=360.0,
        "°",
    );
    if let Some(km) = p.coast_km {
        faults.range("place", "coast_km", km, 0.0..=3000.0, "km");
    }
    faults.range("place", "slope_deg", p.slope_deg, 0.0..=45.0, "°");
    faults.range(
        "place",
        "falls_towards_deg",
        p.falls_towards_deg,
        -360.0..=360.0,
        "°",
    );
    match p.time_zone.parse::<Tz>() {
        Err(_) => faults.fault(
            "place.time_zone",
            format!("\"{}\" is not a time zone", p.time_zone),
            "write a name of the IANA time zone database, such as \"Europe/Lisbon\"",
        ),
        Ok(zone) => {
            let hours = standard_offset_h(zone);
            let by_sun = p.longitude_deg / 15.0;
            // The widest honest gap, in the far west of one zone, is a little over three hours.
            let apart = (hours - by_sun + 12.0).rem_euclid(24.0) - 12.0;
            if apart.abs() > 3.5 {
                faults.doubt(
                    "place.time_zone",
                    format!(
                        "the zone is {hours:+} h from UTC, but the sun at longitude {} is {by_sun:+.1} h",
                        p.longitude_deg
                    ),
                    "check the sign of the longitude (east is positive) and the time zone",
                );
            }
        }
    }
}

/// Offset of the zone's standard time from UTC, h.
fn standard_offset_h(zone: Tz) -> f64 {
    [(1, 15), (7, 15)]
        .into_iter()
        .filter_map(|(month, day)| {
            let noon = NaiveDate::from_ymd_opt(2026, month, day)?.and_hms_opt(12, 0, 0)?;
            let seconds = zone.offset_from_utc_datetime(&noon).fix().local_minus_utc();
            Some(f64::from(seconds) / 3600.0)
        })
        .fold(f64::INFINITY, f64::min)
}

const MONTHS: [&str; 12] = crate::base::calendar::MONTH_NAMES;

fn normals(site: &Site, faults: &mut Faults) {
    let climate = &site.climate;
    let n = &climate.normals;
    for (field, figures) in [("night_min_c", n.night_min_c), ("day_max_c", n.day_max_c)] {
        if figures.is_none() {
            faults.doubt(
                format!("climate.normals.{field}"),
                if climate.is_guessed() {
                    "the monthly means are missing: what is usual at the latitude is taken, which can be 9 K off in winter"
                } else {
                    "the monthly means are missing: a usual daily range is taken instead, which can be 4 K off"
                },
                "give twelve figures, January to December, from a weather service's table of normals",
            );
        }
    }
    for (field, figures, range, unit) in [
        ("night_min_c", n.night_min_c, -80.0..=60.0, "°C"),
        ("day_max_c", n.day_max_c, -80.0..=60.0, "°C"),
        ("night_min_sd_k", n.night_min_sd_k, 0.0..=15.0, "K"),
        ("day_max_sd_k", n.day_max_sd_k, 0.0..=15.0, "K"),
        ("rh_pct", n.rh_pct, 1.0..=100.0, "%"),
        ("dew_point_c", n.dew_point_c, -80.0..=40.0, "°C"),
        (
            "radiation_mj_m2_d",
            n.radiation_mj_m2_d,
            0.0..=45.0,
            "MJ/m² a day",
        ),
        ("sunshine_h", n.sunshine_h, 0.0..=24.0, "h"),
        ("rain_mm", n.rain_mm, 0.0..=3000.0, "mm"),
        ("rain_days", n.rain_days, 0.0..=31.0, "days"),
        ("wind_m_s", n.wind_m_s, 0.0..=40.0, "m/s"),
        ("turbidity_linke", n.turbidity_linke, 1.0..=12.0, ""),
    ] {
        for (i, figure) in figures.iter().flat_map(Monthly::known) {
            let at = format!("climate.normals.{field}[{i}]");
            faults.range(&at, "", figure, range.clone(), unit);
        }
    }
    if let (Some(low), Some(high)) = (n.night_min_c, n.day_max_c) {
        let (low, high) = (low.months(), high.months());
        for ((month, low), high) in MONTHS.iter().zip(low).zip(high) {
            if let (Some(low), Some(high)) = (low, high)
                && low > high
            {
                faults.fault(
                    "climate.normals.night_min_c",
                    format!("{month}: nights of {low} °C are warmer than days of {high} °C"),
                    "check the order of the two rows and of their months",
                );
            }
        }
        seasons(site, low, high, faults);
    }
    if let Some(low) = climate.record_low_c {
        faults.range("climate", "record_low_c", low, -90.0..=50.0, "°C");
        let usual = n
            .night_min_c
            .iter()
            .flat_map(Monthly::known)
            .map(|(_, c)| c)
            .fold(f64::INFINITY, f64::min);
        if low > usual {
            faults.doubt(
                "climate.record_low_c",
                format!("the coldest night, {low} °C, is warmer than a usual one of {usual} °C"),
                "give the coldest night of many years, in °C, or leave it out",
            );
        }
    }
    let years = f64::from(climate.years);
    faults.range("climate", "years", years, 30.0..=400.0, "years");
    if let Some(days) = &climate.day_to_day {
        day_to_day(days, faults);
    }
    if let Some(file) = &climate.hours {
        hours(file, faults);
    }
}

fn day_to_day(d: &DayToDay, faults: &mut Faults) {
    let at = "climate.day_to_day";
    for (field, value, range, unit) in [
        ("record_years", Some(d.record_years), 0.0..=300.0, "years"),
        ("day_lag_1", Some(d.day_lag_1), -1.0..=1.0, ""),
        ("night_lag_1", Some(d.night_lag_1), -1.0..=1.0, ""),
        ("day_with_night", Some(d.day_with_night), -1.0..=1.0, ""),
        ("day_after_night", Some(d.day_after_night), -1.0..=1.0, ""),
        ("night_after_day", Some(d.night_after_day), -1.0..=1.0, ""),
        ("month_mean_sd_k", d.month_mean_sd_k, 0.0..=10.0, "K"),
        ("annual_min_c", d.annual_min_c, -90.0..=50.0, "°C"),
        ("rain_persistence", d.rain_persistence, 0.0..=1.0, ""),
        ("wind_spread", d.wind_spread, 0.0..=2.0, ""),
    ] {
        if let Some(value) = value {
            faults.range(at, field, value, range, unit);
        }
    }
    for (field, months, range, unit) in [
        ("night_month_sd_k", d.night_month_sd_k, 0.0..=10.0, "K"),
        ("day_month_sd_k", d.day_month_sd_k, 0.0..=10.0, "K"),
        ("night_skew", d.night_skew, -5.0..=5.0, ""),
        ("day_skew", d.day_skew, -5.0..=5.0, ""),
    ] {
        for (i, value) in months.iter().flatten().enumerate() {
            let at = format!("{at}.{field}[{i}]");
            faults.range(&at, "", *value, range.clone(), unit);
        }
    }
}

fn hours(h: &TypicalHours, faults: &mut Faults) {
    if h.air_tenth_c.is_none() {
        faults.fault(
            "climate.hours.air_tenth_c",
            "the temperatures of the typical year are missing",
            "read the weather file again, or take the field `hours` out",
        );
    }
    if h.global_w_m2.is_some() != h.sky_w_m2.is_some() {
        faults.fault(
            "climate.hours.global_w_m2",
            "global and sky radiation are needed together",
            "read the weather file again, or take both out",
        );
    }
    for (field, series, hourly, range, unit) in [
        (
            "air_tenth_c",
            &h.air_tenth_c,
            true,
            -900..=600,
            "tenths of °C",
        ),
        ("rh_pct", &h.rh_pct, true, 0..=110, "%"),
        (
            "wind_tenth_m_s",
            &h.wind_tenth_m_s,
            true,
            0..=900,
            "tenths of m/s",
        ),
        ("wind_from_deg", &h.wind_from_deg, true, 0..=360, "°"),
        ("cloud_pct", &h.cloud_pct, true, 0..=100, "%"),
        ("global_w_m2", &h.global_w_m2, true, 0..=1500, "W/m²"),
        ("sky_w_m2", &h.sky_w_m2, true, 0..=1500, "W/m²"),
        ("sky_heat_w_m2", &h.sky_heat_w_m2, true, 40..=700, "W/m²"),
        (
            "rain_tenth_mm",
            &h.rain_tenth_mm,
            false,
            0..=20_000,
            "tenths of mm",
        ),
    ] {
        let Some(series) = series else { continue };
        let at = format!("climate.hours.{field}");
        if series.is_hourly() != hourly {
            let (here, wanted) = if hourly { (365, 8760) } else { (8760, 365) };
            faults.fault(
                &at,
                format!("the year has {here} numbers here"),
                format!("give {wanted}, in twelve texts"),
            );
        }
        if let Some((i, v)) = (0..)
            .zip(series.values())
            .find(|(_, v)| !range.contains(*v))
        {
            let per_day = if series.is_hourly() { 24 } else { 1 };
            let day = Day::new(i / per_day);
            faults.fault(
                &at,
                format!("{v} {unit} on {day} is not possible"),
                format!("give figures from {} to {}", range.start(), range.end()),
            );
        }
    }
}

/// Away from the tropics the cold half of the year lies round January in the north and round July in the south.
fn seasons(site: &Site, low: [Option<f64>; 12], high: [Option<f64>; 12], faults: &mut Faults) {
    let latitude = site.place.latitude_deg;
    let mean = |months: [usize; 3]| -> Option<f64> {
        let known: Vec<f64> = months
            .iter()
            .filter_map(|m| Some(f64::midpoint((*low.get(*m)?)?, (*high.get(*m)?)?)))
            .collect();
        (!known.is_empty()).then(|| known.iter().sum::<f64>() / known.len() as f64)
    };
    let (Some(january), Some(july)) = (mean([11, 0, 1]), mean([5, 6, 7])) else {
        return;
    };
    let north_is_warm_in_july = july > january;
    if latitude.abs() > 25.0
        && (july - january).abs() > 2.0
        && north_is_warm_in_july != (latitude > 0.0)
    {
        faults.doubt(
            "climate.normals",
            format!(
                "December to February has a mean of {january:.0} °C and June to August {july:.0} °C, at latitude {latitude}"
            ),
            "check the sign of the latitude (south is negative) and that the figures run from January",
        );
    }
}
