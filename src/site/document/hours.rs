use std::fmt;

use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

use crate::base::calendar::{MONTH_NAMES, MONTH_STARTS};

/// A typical year by the hour in the open, from a weather file. What is here stands in place of what would be made from
/// the normals. Local standard time; a value is the mean from its hour to the next, midnight to one being the first.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct TypicalHours {
    /// Air at 1.5 m, tenths of °C. Needed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub air_tenth_c: Option<Series>,
    /// Relative humidity, %.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rh_pct: Option<Series>,
    /// Wind at 10 m, tenths of m/s.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wind_tenth_m_s: Option<Series>,
    /// Direction the wind blows from, degrees from north.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wind_from_deg: Option<Series>,
    /// Cloud cover, %.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cloud_pct: Option<Series>,
    /// Global radiation on the level, W/m².
    #[serde(skip_serializing_if = "Option::is_none")]
    pub global_w_m2: Option<Series>,
    /// Radiation from the sky on the level, W/m²; together with `global_w_m2` only.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sky_w_m2: Option<Series>,
    /// Heat radiation of the sky on the level, W/m².
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sky_heat_w_m2: Option<Series>,
    /// Rain of each day, tenths of mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rain_tenth_mm: Option<Series>,
}

/// A year of whole numbers: a list of twelve texts, January to December, each with the numbers of its month parted by
/// spaces, 24 for each day or one for each day.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Series(Vec<i16>);

impl Series {
    /// Of 8,760 hours or 365 days; `None` of any other number.
    #[must_use]
    pub fn new(values: Vec<i16>) -> Option<Self> {
        matches!(values.len(), 365 | 8760).then_some(Self(values))
    }

    #[must_use]
    pub fn values(&self) -> &[i16] {
        &self.0
    }

    #[must_use]
    pub fn is_hourly(&self) -> bool {
        self.0.len() == 8760
    }

    fn per_day(&self) -> usize {
        if self.is_hourly() { 24 } else { 1 }
    }
}

/// First and last day of each month, as indices.
fn months() -> impl Iterator<Item = (usize, usize)> {
    MONTH_STARTS
        .windows(2)
        .filter_map(|w| Some((*w.first()?, *w.last()?)))
}

impl Serialize for Series {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        let per_day = self.per_day();
        let lines = months().map(|(from, to)| {
            let month = self.0.get(from * per_day..to * per_day).unwrap_or_default();
            let figures: Vec<String> = month.iter().map(ToString::to_string).collect();
            figures.join(" ")
        });
        s.collect_seq(lines)
    }
}

impl<'de> Deserialize<'de> for Series {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        struct Lines;
        impl<'de> de::Visitor<'de> for Lines {
            type Value = Series;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a list of twelve texts, January to December, each with the numbers of its month")
            }

            fn visit_seq<A: de::SeqAccess<'de>>(self, mut seq: A) -> Result<Series, A::Error> {
                let mut lines: Vec<String> = Vec::with_capacity(12);
                while let Some(line) = seq.next_element::<String>()? {
                    lines.push(line);
                }
                series(&lines).map_err(de::Error::custom)
            }
        }
        d.deserialize_seq(Lines)
    }
}

fn series(lines: &[String]) -> Result<Series, String> {
    if lines.len() != 12 {
        return Err(format!(
            "twelve texts are needed, January to December, but here are {}",
            lines.len()
        ));
    }
    let mut values = Vec::with_capacity(8760);
    let mut per_day = None;
    for (((from, to), name), line) in months().zip(MONTH_NAMES).zip(lines) {
        let before = values.len();
        for word in line.split_ascii_whitespace() {
            let value: i16 = word
                .parse()
                .map_err(|_| format!("{name}: \"{word}\" is not a whole number"))?;
            values.push(value);
        }
        let (days, found) = (to - from, values.len() - before);
        let here = if found == days { 1 } else { 24 };
        if found != days * here || per_day.is_some_and(|p| p != here) {
            return Err(format!(
                "{name}: {} numbers are needed, but here are {found}",
                days * per_day.unwrap_or(24)
            ));
        }
        per_day = Some(here);
    }
    Series::new(values).ok_or_else(|| "a year has 8,760 hours or 365 days".to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn series_come_back_and_miscounts_are_told() {
        for count in [365, 8760] {
            let old = Series::new((0..count).map(|i| (i % 500 - 250) as i16).collect()).unwrap();
            let text = ron::to_string(&old).unwrap();
            assert_eq!(ron::from_str::<Series>(&text).unwrap(), old);
        }
        assert!(Series::new(vec![0; 366]).is_none());
        let mut lines: Vec<String> = months()
            .map(|(a, b)| vec!["7"; (b - a) * 24].join(" "))
            .collect();
        assert!(series(&lines).is_ok());
        lines[1].push_str(" 7");
        assert!(
            series(&lines)
                .unwrap_err()
                .starts_with("February: 672 numbers")
        );
        lines[1] = lines[1].replacen('7', "seven", 1);
        assert!(
            series(&lines)
                .unwrap_err()
                .contains("\"seven\" is not a whole number")
        );
        assert!(series(&lines[..11]).unwrap_err().contains("here are 11"));
    }
}
