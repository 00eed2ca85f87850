use std::{fmt::Write, sync::Arc};

use chrono::NaiveDate;
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

/// What a logger measured.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum LoggedQuantity {
    /// Air temperature, °C.
    #[default]
    Temperature,
    /// Relative humidity, %.
    Humidity,
    /// PPFD on the level, µmol m⁻² s⁻¹.
    Light,
}

/// What a logger recorded, as hourly means: as fine as the model computes, and small enough to be read and compared,
/// a line a day.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Logged {
    /// The file it came from, or what the grower calls it.
    #[serde(default)]
    pub name: String,
    pub quantity: LoggedQuantity,
    /// Recorded in the open near by, to hold the spot's own record against, not at the spot.
    #[serde(default)]
    pub open: bool,
    pub first_day: NaiveDate,
    /// Each day's 24 hours of local standard time from midnight on, parted by spaces; `-` where nothing was recorded.
    pub days: Arc<Vec<LoggedDay>>,
}

/// A day's hourly means.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LoggedDay(pub [Option<f32>; 24]);

impl LoggedDay {
    pub const EMPTY: Self = Self([None; 24]);
}

impl Serialize for LoggedDay {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let mut text = String::with_capacity(24 * 5);
        for (hour, value) in self.0.iter().enumerate() {
            if hour > 0 {
                text.push(' ');
            }
            match value {
                // Writing to a string does not fail.
                Some(value) => {
                    let _ = write!(text, "{value}");
                }
                None => text.push('-'),
            }
        }
        to.serialize_str(&text)
    }
}

impl<'de> Deserialize<'de> for LoggedDay {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let text = String::deserialize(from)?;
        let mut day = Self::EMPTY;
        let mut found = 0;
        for word in text.split_whitespace() {
            if let Some(hour) = day.0.get_mut(found)
                && word != "-"
            {
                let value: f32 = word
                    .parse()
                    .ok()
                    .filter(|v: &f32| v.is_finite())
                    .ok_or_else(|| {
                        de::Error::custom(format!(
                            "\"{word}\" is no hour's value; write a number, or - for none"
                        ))
                    })?;
                *hour = Some(value);
            }
            found += 1;
        }
        if found == 24 {
            Ok(day)
        } else {
            Err(de::Error::custom(format!(
                "a logged day has 24 hours parted by spaces, not {found}; write - for an hour without a value"
            )))
        }
    }
}

impl Logged {
    /// Days with their dates.
    pub fn dated(&self) -> impl Iterator<Item = (NaiveDate, &LoggedDay)> {
        self.days.iter().enumerate().filter_map(|(i, day)| {
            let date = self
                .first_day
                .checked_add_days(chrono::Days::new(i as u64))?;
            Some((date, day))
        })
    }

    /// Number of hours with a value.
    #[must_use]
    pub fn hours(&self) -> usize {
        self.days.iter().map(|d| d.0.iter().flatten().count()).sum()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_is_written_in_one_line_and_read_again() {
        let mut day = LoggedDay::EMPTY;
        day.0[0] = Some(4.5);
        day.0[23] = Some(-0.1);
        let text = ron::to_string(&day).unwrap();
        assert_eq!(text, format!("\"4.5{} -0.1\"", " -".repeat(22)));
        assert_eq!(ron::from_str::<LoggedDay>(&text).unwrap(), day);
        for (bad, word) in [("\"1 2 3\"", "24 hours"), ("\"x\"", "no hour's value")] {
            let said = ron::from_str::<LoggedDay>(bad).unwrap_err().to_string();
            assert!(said.contains(word), "{said}");
        }
    }
}
