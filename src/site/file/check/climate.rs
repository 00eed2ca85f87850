//! Place and climate.

use chrono::{NaiveDate, Offset, TimeZone};
use chrono_tz::Tz;

use super::list::Faults;
use crate::site::Site;

pub(super) fn check(site: &Site, faults: &mut Faults) {
    place(site, faults);
    normals(site, faults);
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
            faults.fault(
                format!("climate.normals.{field}"),
                "the monthly means are missing",
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
        for (i, figure) in figures.iter().flatten().enumerate() {
            let at = format!("climate.normals.{field}[{i}]");
            faults.range(&at, "", *figure, range.clone(), unit);
        }
    }
    if let (Some(low), Some(high)) = (n.night_min_c, n.day_max_c) {
        for ((month, low), high) in MONTHS.iter().zip(low).zip(high) {
            if low > high {
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
            .flatten()
            .copied()
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
}

/// Away from the tropics the cold half of the year lies round January in the north and round July in the south.
fn seasons(site: &Site, low: [f64; 12], high: [f64; 12], faults: &mut Faults) {
    let latitude = site.place.latitude_deg;
    let mean = |months: [usize; 3]| {
        months
            .iter()
            .filter_map(|m| Some(low.get(*m)? + high.get(*m)?))
            .sum::<f64>()
            / 6.0
    };
    let (january, july) = (mean([11, 0, 1]), mean([5, 6, 7]));
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
