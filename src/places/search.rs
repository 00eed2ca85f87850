//! Towns by name, and the nearest one to coordinates.

use super::{
    Town,
    fold::fold,
    list::{Entry, entries},
};

/// Mean radius of the earth, km (IUGG 1980).
const EARTH_KM: f64 = 6371.0;

/// Towns whose name, or another name of theirs, begins with `query`, the best first, at most `limit`.
///
/// Accents and capitals do not matter. A whole name comes before the beginning of one, that before a later word of
/// one, and then the bigger town. What follows a comma must be the beginning of the region or country:
/// `"paris, tex"`. Two numbers are latitude and longitude in degrees, and give the towns nearest to them.
#[must_use]
pub fn find(query: &str, limit: usize) -> Vec<&'static Town> {
    if let Some((latitude_deg, longitude_deg)) = coordinates(query) {
        return near(latitude_deg, longitude_deg, limit)
            .into_iter()
            .map(|(town, _)| town)
            .collect();
    }
    let mut parts = query.split(',').map(fold).filter(|p| !p.is_empty());
    let Some(name) = parts.next() else {
        return Vec::new();
    };
    let wheres: Vec<String> = parts.map(|p| format!("\n{p}")).collect();
    let mut found: Vec<(u8, u32, usize)> = entries()
        .iter()
        .enumerate()
        .filter(|(_, e)| wheres.iter().all(|w| e.whereabouts.contains(w.as_str())))
        .filter_map(|(i, e)| Some((rank(e, &name)?, u32::MAX - e.town.people_thousand, i)))
        .collect();
    found.sort_unstable();
    found.truncate(limit);
    found
        .into_iter()
        .filter_map(|(_, _, i)| entries().get(i).map(|e| &e.town))
        .collect()
}

/// 0 whole name, 1 beginning of a name, 2 beginning of a later word of one.
fn rank(entry: &Entry, name: &str) -> Option<u8> {
    let mut best = None;
    for (at, found) in entry.names.match_indices(name) {
        let before = entry.names.get(..at).and_then(|b| b.chars().next_back());
        let after = entry
            .names
            .get(at + found.len()..)
            .and_then(|a| a.chars().next());
        let rank = match (before, after) {
            (Some('\n'), None | Some('\n')) => 0,
            (Some('\n'), _) => 1,
            (Some(' '), _) => 2,
            _ => continue,
        };
        best = Some(best.map_or(rank, |b: u8| b.min(rank)));
    }
    best
}

/// The nearest town to a point and its distance along the great circle, km; `None` where the figures are none.
#[must_use]
pub fn nearest(latitude_deg: f64, longitude_deg: f64) -> Option<(&'static Town, f64)> {
    near(latitude_deg, longitude_deg, 1).into_iter().next()
}

fn near(latitude_deg: f64, longitude_deg: f64, limit: usize) -> Vec<(&'static Town, f64)> {
    if !(latitude_deg.is_finite() && longitude_deg.is_finite()) {
        return Vec::new();
    }
    let mut all: Vec<(f64, usize)> = entries()
        .iter()
        .enumerate()
        .map(|(i, e)| (distance_km((latitude_deg, longitude_deg), &e.town), i))
        .collect();
    all.sort_unstable_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    all.truncate(limit);
    all.into_iter()
        .filter_map(|(km, i)| entries().get(i).map(|e| (&e.town, km)))
        .collect()
}

/// Great-circle distance by the haversine formula.
fn distance_km((latitude_deg, longitude_deg): (f64, f64), town: &Town) -> f64 {
    let (a, b) = (latitude_deg.to_radians(), town.latitude_deg.to_radians());
    let across = (town.longitude_deg - longitude_deg).to_radians();
    let h = ((b - a) / 2.0).sin().powi(2) + a.cos() * b.cos() * (across / 2.0).sin().powi(2);
    2.0 * EARTH_KM * h.clamp(0.0, 1.0).sqrt().asin()
}

/// `"48.2, 16.4"` and `"48.2 16.4"`.
fn coordinates(query: &str) -> Option<(f64, f64)> {
    let mut figures = query
        .split([',', ';', ' ', '°'])
        .filter(|p| !p.is_empty())
        .map(str::parse::<f64>);
    let pair = (figures.next()?.ok()?, figures.next()?.ok()?);
    let possible = pair.0.abs() <= 90.0 && pair.1.abs() <= 180.0;
    (possible && figures.next().is_none()).then_some(pair)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn first(query: &str) -> String {
        find(query, 1)
            .first()
            .map_or_else(String::new, |t| t.full_name())
    }

    #[test]
    fn towns_are_found_as_growers_type_them() {
        for (query, wanted) in [
            ("zurich", "Zürich, Zurich, Switzerland"),
            ("ZÜRICH", "Zürich, Zurich, Switzerland"),
            ("münchen", "Munich, Bavaria, Germany"),
            ("wien", "Vienna, Vienna, Austria"),
            ("lond", "London, England, United Kingdom"),
            ("paris, tex", "Paris, Texas, United States"),
            ("melbourne", "Melbourne, Victoria, Australia"),
            ("saint etienne", "Saint-Étienne, Rhone-Alpes, France"),
        ] {
            let found = find(query, 1);
            let town = found.first().expect(query);
            assert!(
                wanted.starts_with(town.name) && wanted.ends_with(town.country),
                "{query}: {}",
                town.full_name()
            );
        }
        // The bigger one first, the smaller ones after it.
        let springfields = find("springfield", 50);
        assert!(springfields.len() > 10);
        assert!(
            springfields
                .windows(2)
                .take(8)
                .all(|w| w[0].people_thousand >= w[1].people_thousand)
        );
        assert_eq!(first(""), "");
        assert_eq!(first(" , "), "");
        assert_eq!(first("xyzzyq"), "");
    }

    #[test]
    fn coordinates_give_the_nearest_town() {
        // Wellington's harbour; across the date line; the middle of the south Pacific.
        let (town, km) = nearest(-41.29, 174.78).unwrap();
        assert_eq!(town.time_zone, "Pacific/Auckland");
        assert!(km < 5.0);
        let (_, km) = nearest(-16.8, -179.99).unwrap();
        assert!(km < 100.0, "{km}");
        let (_, km) = nearest(-48.9, -123.4).unwrap();
        assert!(km > 1500.0);
        assert_eq!(find("47.4, 8.5", 3).len(), 3);
        assert!(nearest(f64::NAN, 0.0).is_none());
    }

    #[test]
    fn validate_a_great_circle_distance() {
        // Quarter of a meridian: 10,007.5 km on a sphere of 6,371 km (from its circumference).
        let pole = Town {
            name: "",
            region: "",
            country: "",
            latitude_deg: 90.0,
            longitude_deg: 0.0,
            elevation_m: None,
            time_zone: "UTC",
            people_thousand: 0,
        };
        assert!((distance_km((0.0, 35.0), &pole) - 10_007.54).abs() < 0.1);
    }
}
