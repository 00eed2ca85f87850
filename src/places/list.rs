//! The list of towns, read once when it is first asked for.

use std::sync::LazyLock;

use super::fold::fold;

const TEXT: &str = include_str!("../../assets/places/towns.tsv");

/// A town or large village.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Town {
    pub name: &'static str,
    /// State, province or county; empty where the source names none.
    pub region: &'static str,
    pub country: &'static str,
    /// North positive; to a hundredth of a degree, 1.1 km.
    pub latitude_deg: f64,
    /// East positive; to a hundredth of a degree.
    pub longitude_deg: f64,
    /// Above the sea, m, from a terrain model: in hilly towns the house may stand 50 m and more off.
    pub elevation_m: Option<f64>,
    /// Name in the IANA time zone database.
    pub time_zone: &'static str,
    /// People, in thousands.
    pub people_thousand: u32,
}

impl Town {
    /// Name with region and country: `"Springfield, Illinois, United States"`.
    #[must_use]
    pub fn full_name(&self) -> String {
        let parts = [self.name, self.region, self.country];
        let mut named: Vec<&str> = Vec::with_capacity(3);
        for part in parts {
            if !part.is_empty() && named.last() != Some(&part) {
                named.push(part);
            }
        }
        named.join(", ")
    }
}

/// A town with what the search compares.
pub(super) struct Entry {
    pub town: Town,
    /// The name and other names, folded, each after a line feed.
    pub names: String,
    /// Region and country, folded, each after a line feed.
    pub whereabouts: String,
}

/// All towns, by country.
pub fn towns() -> impl Iterator<Item = &'static Town> {
    entries().iter().map(|e| &e.town)
}

pub(super) fn entries() -> &'static [Entry] {
    static ENTRIES: LazyLock<Vec<Entry>> = LazyLock::new(|| parse(TEXT));
    &ENTRIES
}

fn parse(text: &'static str) -> Vec<Entry> {
    let (mut country, mut region, mut time_zone) = ("", "", "");
    let mut whereabouts = String::new();
    let mut entries = Vec::new();
    for line in text.lines() {
        if line.starts_with('#') {
            continue;
        }
        if let Some(name) = line.strip_prefix(':') {
            country = name;
        } else if let Some(group) = line.strip_prefix('+') {
            (region, time_zone) = group.split_once('\t').unwrap_or((group, "UTC"));
            whereabouts = format!("\n{}\n{}", fold(region), fold(country));
        } else {
            entries.extend(
                town(line, country, region, time_zone).map(|(town, others)| {
                    let mut names = format!("\n{}", fold(town.name));
                    for other in others.split(';').filter(|o| !o.is_empty()) {
                        names.push('\n');
                        names.push_str(&fold(other));
                    }
                    Entry {
                        town,
                        names,
                        whereabouts: whereabouts.clone(),
                    }
                }),
            );
        }
    }
    entries
}

fn town(
    line: &'static str,
    country: &'static str,
    region: &'static str,
    time_zone: &'static str,
) -> Option<(Town, &'static str)> {
    let mut fields = line.split('\t');
    let mut next = || fields.next();
    let town = Town {
        name: next()?,
        region,
        country,
        latitude_deg: next()?.parse().ok()?,
        longitude_deg: next()?.parse().ok()?,
        elevation_m: next()?.parse().ok(),
        time_zone,
        people_thousand: next()?.parse().ok()?,
    };
    Some((town, next().unwrap_or("")))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_line_of_the_list_is_a_town_with_a_known_zone() {
        let lines = TEXT
            .lines()
            .filter(|l| !l.starts_with(['#', ':', '+']))
            .count();
        assert_eq!(entries().len(), lines);
        for town in towns() {
            assert!(
                town.time_zone.parse::<chrono_tz::Tz>().is_ok(),
                "{}: {}",
                town.name,
                town.time_zone
            );
            assert!((-90.0..=90.0).contains(&town.latitude_deg), "{}", town.name);
            assert!(
                (-180.0..=180.0).contains(&town.longitude_deg),
                "{}",
                town.name
            );
            assert!(
                town.elevation_m
                    .is_none_or(|m| (-430.0..=6000.0).contains(&m)),
                "{}: {:?}",
                town.name,
                town.elevation_m
            );
            assert!(!town.name.is_empty() && !town.country.is_empty());
        }
    }
}
