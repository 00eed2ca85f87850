//! The headings: where the station lies, and where the hours begin.

use super::short;
use crate::{
    climate::import::{FilePlace, fault::Fault},
    places,
    site::Place,
    sun::clock,
};

/// What the file says of its station.
pub(super) struct Station {
    pub place: FilePlace,
    pub source: String,
    /// For the sun: with a time zone whose standard time is the file's.
    pub sun_place: Place,
    pub doubts: Vec<String>,
}

/// The station of the first line, and the number of lines before the hours.
pub(super) fn headings(text: &str) -> Result<(Station, usize), Fault> {
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
