//! Spots and their readings.

use chrono::NaiveDateTime;

use super::{
    house::{in_reveals_m, is_inside},
    list::{Faults, join, object},
};
use crate::site::{LightValue, LoggedQuantity, Site, Spot, records::keep};

pub(super) fn check(site: &Site, faults: &mut Faults) {
    for (id, spot) in site.spots.iter() {
        let at = object("spots", id);
        faults.range(&at, "height_m", spot.height_m, 0.0..=60.0, "m");
        faults.range(&at, "leaf_m", spot.leaf_m, 0.0..=5.0, "m");
        let pots = f64::from(spot.holds.pots);
        faults.range(&at, "holds.pots", pots, 1.0..=500.0, "pots");
        faults.range(&at, "holds.rim_cm", spot.holds.rim_cm, 4.0..=150.0, "cm");
        faults.range(&at, "cold_hollow_k", spot.cold_hollow_k, 0.0..=5.0, "K");
        if let (Some(room), Some(cover)) = (&spot.room, &spot.night_cover)
            && let Some(room) = site.rooms.get(room)
            && (0..12).all(|m| !cover.months.has(m) || room.air.heated_to_c(m).is_some())
        {
            faults.doubt(
                join(&at, "night_cover"),
                "a frost cover counts outdoors and in months without heating only",
                "leave it out, or correct its months or the heating of the room",
            );
        }
        in_its_room(site, &at, spot, faults);
        readings(&at, spot, faults);
        logged(&at, spot, faults);
    }
}

fn in_its_room(site: &Site, at: &str, spot: &Spot, faults: &mut Faults) {
    let Some(id) = &spot.room else { return };
    if !faults.known(at, "room", id, &site.rooms, "room") {
        return;
    }
    let Some(room) = site.rooms.get(id).filter(|r| r.outline.len() >= 3) else {
        return;
    };
    let slack_m = in_reveals_m(site, id);
    let outside = spot
        .outline
        .iter()
        .position(|p| p.is_finite() && !is_inside(room, *p, slack_m));
    if let Some(i) = outside {
        faults.fault(
            format!("{at}.outline[{i}]"),
            format!("this corner lies outside \"{id}\""),
            "draw the spot inside its room, or take `room` out if it is outdoors",
        );
    }
    let leaf = spot.height_m + spot.leaf_m;
    if leaf > room.height_m && leaf.is_finite() {
        faults.fault(
            join(at, "height_m"),
            format!(
                "the leaves, {leaf:.2} m above the floor, are above the ceiling at {} m",
                room.height_m
            ),
            "heights of spots indoors count from the floor of their room",
        );
    }
}

fn readings(at: &str, spot: &Spot, faults: &mut Faults) {
    for (i, reading) in spot.light.iter().enumerate() {
        let at = format!("{at}.light[{i}]");
        moment(&at, reading.when, faults);
        // Full sun under a clear sky with bright clouds about: 130 klux, 2,400 µmol m⁻² s⁻¹.
        for (field, value) in [("value", Some(reading.value)), ("open", reading.open)] {
            let Some(value) = value else { continue };
            let (value, most, unit) = match value {
                LightValue::Lux(v) => (v, 150_000.0, "lux"),
                LightValue::FootCandles(v) => (v, 14_000.0, "foot-candles"),
                LightValue::Ppfd(v) => (v, 2_800.0, "µmol"),
            };
            if value.is_finite() && !(0.0..=most).contains(&value) {
                faults.fault(
                    format!("{at}.{field}"),
                    format!("{value} {unit} cannot be: the brightest sun gives less than {most}"),
                    "check the unit (Lux, FootCandles or Ppfd) and the meter's range switch",
                );
            }
        }
    }
    for (i, reading) in spot.min_max.iter().enumerate() {
        let at = format!("{at}.min_max[{i}]");
        faults.date(&at, "date", reading.date);
        let celsius = |faults: &mut Faults, field: &str, v: f64| {
            if v.is_finite() && !(-70.0..=70.0).contains(&v) {
                faults.fault(
                    join(&at, field),
                    format!("{v} °C cannot be"),
                    "give it in °C; 50 °F are 10 °C",
                );
            }
        };
        celsius(faults, "min_c", reading.min_c);
        if let Some(max) = reading.max_c {
            celsius(faults, "max_c", max);
            if max < reading.min_c {
                faults.fault(
                    join(&at, "max_c"),
                    format!(
                        "the maximum {max} °C is below the minimum {} °C",
                        reading.min_c
                    ),
                    "exchange the two",
                );
            }
        }
        if let Some(outdoors) = reading.outdoors_min_c {
            celsius(faults, "outdoors_min_c", outdoors);
        }
    }
    for (i, reading) in spot.humidity.iter().enumerate() {
        let at = format!("{at}.humidity[{i}]");
        moment(&at, reading.when, faults);
        faults.range(&at, "rh_pct", reading.rh_pct, 1.0..=100.0, "%");
        if let Some(air) = reading.air_c {
            faults.range(&at, "air_c", air, -70.0..=70.0, "°C");
        }
    }
}

fn logged(at: &str, spot: &Spot, faults: &mut Faults) {
    for (i, logged) in spot.logged.iter().enumerate() {
        let at = format!("{at}.logged[{i}]");
        faults.date(&at, "first_day", logged.first_day);
        let days = logged.days.len() as f64;
        faults.range(&at, "days", days, 1.0..=keep::MOST_DAYS as f64, "days");
        let (least, most, unit) = match logged.quantity {
            LoggedQuantity::Temperature => (-70.0, 70.0, "°C"),
            LoggedQuantity::Humidity => (0.0, 100.0, "%"),
            LoggedQuantity::Light => (0.0, 3_000.0, "µmol"),
        };
        let beyond = logged.days.iter().enumerate().find_map(|(d, day)| {
            let values = day.0.iter().flatten();
            let value = values.copied().find(|v| !(least..=most).contains(v))?;
            Some((d, value))
        });
        if let Some((day, value)) = beyond {
            faults.fault(
                format!("{at}.days[{day}]"),
                format!("{value} {unit} cannot be"),
                format!("give values from {least} to {most} {unit}, or - for none"),
            );
        }
    }
}

fn moment(at: &str, when: NaiveDateTime, faults: &mut Faults) {
    faults.date(at, "when", when.date());
}
