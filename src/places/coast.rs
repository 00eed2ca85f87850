//! How far the sea is.

use std::sync::LazyLock;

const TEXT: &str = include_str!("../../assets/places/coasts.txt");
/// Length of a degree of latitude, km.
const DEGREE_KM: f64 = 111.2;

/// Ends of a stretch of coast: longitude and latitude, degrees.
type Stretch = [(f64, f64); 2];

/// Distance to the nearest coast, km, on land or at sea; by a coarse map, within some 20 km. Small islands are not on it, so
/// that they are farther from a coast than they should be.
#[must_use]
pub fn coast_km(latitude_deg: f64, longitude_deg: f64) -> f64 {
    let shrink = latitude_deg.to_radians().cos().max(0.01);
    // Flat about the place: what is nearest is near enough for that.
    let flat = |(lon, lat): (f64, f64)| {
        let east = (lon - longitude_deg + 180.0).rem_euclid(360.0) - 180.0;
        (east * shrink, lat - latitude_deg)
    };
    let degrees = stretches()
        .iter()
        .map(|[a, b]| {
            let from = flat(*a);
            let (dx, dy) = ((b.0 - a.0) * shrink, b.1 - a.1);
            let length = dx * dx + dy * dy;
            let share = if length > 0.0 {
                (-(from.0 * dx + from.1 * dy) / length).clamp(0.0, 1.0)
            } else {
                0.0
            };
            (from.0 + share * dx).hypot(from.1 + share * dy)
        })
        .fold(180.0, f64::min);
    degrees * DEGREE_KM
}

fn stretches() -> &'static [Stretch] {
    static ALL: LazyLock<Vec<Stretch>> = LazyLock::new(|| {
        TEXT.lines()
            .filter(|l| !l.starts_with('#'))
            .flat_map(|line| {
                let corners: Vec<(f64, f64)> = line
                    .split(' ')
                    .filter_map(|c| {
                        let (lon, lat) = c.split_once(',')?;
                        Some((lon.parse().ok()?, lat.parse().ok()?))
                    })
                    .collect();
                corners
                    .windows(2)
                    .filter_map(|w| Some([*w.first()?, *w.last()?]))
                    .collect::<Vec<Stretch>>()
            })
            .collect()
    });
    &ALL
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn verify_the_sea_is_as_far_as_maps_have_it() {
        assert!(stretches().len() > 4000);
        // Distances to the sea as atlases have them, rounded; from memory.
        for (name, latitude, longitude, km, within) in [
            ("Lisbon", 38.7, -9.1, 10.0, 30.0),
            ("Munich", 48.1, 11.6, 300.0, 60.0),
            ("Moscow", 55.8, 37.6, 650.0, 100.0),
            ("Denver", 39.7, -105.0, 1200.0, 150.0),
            ("Urumqi, far from every sea", 43.8, 87.6, 2300.0, 300.0),
            ("Sydney", -33.9, 151.2, 5.0, 20.0),
            ("Suva, beyond the date line", -18.1, 178.4, 5.0, 30.0),
        ] {
            let found = coast_km(latitude, longitude);
            assert!((found - km).abs() < within, "{name}: {found}");
        }
    }
}
