//! A site's readings held against the model: what each says, and which are questioned.

use chrono::NaiveDate;
use serde::Serialize;

use super::{Foundations, foundations};
use crate::{
    air::{self, AirInputs, SpotAir},
    base::{Cancelled, Id, Progress},
    light::{self, SpotLight},
    site::{Site, Spot},
};

/// Light and air at a spot, with its readings against them.
#[derive(Clone, Debug)]
pub struct Reviewed {
    pub spot: Id,
    pub light: SpotLight,
    pub air: SpotAir,
}

/// A reading that is likely wrong. It stays in the site; where it cannot be true it does not count.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Questioned {
    pub spot: Id,
    /// `spots."sill".light[0]`
    pub field: String,
    pub when: String,
    pub why: String,
    /// It counts in the correction all the same.
    pub counts: bool,
}

/// Whether there is anything at a spot to hold against the model.
#[must_use]
pub fn has_readings(spot: &Spot) -> bool {
    !(spot.light.is_empty()
        && spot.min_max.is_empty()
        && spot.humidity.is_empty()
        && spot.logged.is_empty())
}

/// Computes the spots that have readings, or the one asked for.
///
/// # Errors
/// [`Cancelled`].
pub fn review(
    site: &Site,
    only: Option<&Id>,
    progress: &Progress,
) -> Result<Vec<Reviewed>, Cancelled> {
    let spots: Vec<(&Id, &Spot)> = site
        .spots
        .iter()
        .filter(|(id, spot)| only.map_or_else(|| has_readings(spot), |o| o == *id))
        .map(|(id, spot)| (id, &**spot))
        .collect();
    if spots.is_empty() {
        return Ok(Vec::new());
    }
    let base: Foundations = foundations(site, progress)?;
    let lights = light::spots_year(&base.light_inputs(site), site, &spots, progress)?;
    let inputs = AirInputs {
        place: &site.place,
        sun: &base.sun,
        weather: &base.weather,
    };
    let airs = air::spots_year(&inputs, site, &spots, &lights, progress)?;
    Ok(spots
        .iter()
        .zip(lights.into_iter().zip(airs))
        .map(|((id, _), (light, air))| Reviewed {
            spot: (*id).clone(),
            light,
            air,
        })
        .collect())
}

/// Why the date of something seen or read is questioned; `None` where it may stand.
#[must_use]
pub fn date_doubt(date: NaiveDate, today: NaiveDate) -> Option<&'static str> {
    (date > today).then_some("its date is still to come: look at the year")
}

/// The questioned readings of a spot. `today` finds those that are still to come.
#[must_use]
pub fn questioned(
    id: &Id,
    spot: &Spot,
    light: &SpotLight,
    air: &SpotAir,
    today: NaiveDate,
) -> Vec<Questioned> {
    let mut out = Vec::new();
    let mut ask = |list: &str, i: usize, when: String, why: String, counts: bool| {
        out.push(Questioned {
            spot: id.clone(),
            field: format!("spots.{:?}.{list}[{i}]", id.as_str()),
            when,
            why,
            counts,
        });
    };
    for (i, reading) in spot.light.iter().enumerate() {
        let when = reading.when.format("%Y-%m-%d %H:%M").to_string();
        if let Some(doubt) = light.readings.get(i).and_then(|r| r.doubt) {
            ask("light", i, when, doubt.text(), false);
        } else if let Some(why) = date_doubt(reading.when.date(), today) {
            ask("light", i, when, why.to_owned(), true);
        }
    }
    for (i, reading) in spot.min_max.iter().enumerate() {
        let when = reading.date.to_string();
        if let Some(doubt) = air.readings.min_max.get(i).and_then(|r| r.doubt) {
            ask("min_max", i, when, doubt.text(), false);
        } else if let Some(why) = date_doubt(reading.date, today) {
            ask("min_max", i, when, why.to_owned(), true);
        }
    }
    for (i, reading) in spot.humidity.iter().enumerate() {
        let when = reading.when.format("%Y-%m-%d %H:%M").to_string();
        if !(3.0..=100.0).contains(&reading.rh_pct) {
            let why = "no hygrometer reads that: type it again".to_owned();
            ask("humidity", i, when, why, false);
        } else if let Some(why) = date_doubt(reading.when.date(), today) {
            ask("humidity", i, when, why.to_owned(), true);
        }
    }
    out
}
