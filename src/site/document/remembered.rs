//! A plant's own history: what the journal, its list of flowerings and its pot say of it, in one row of dates.

use chrono::NaiveDate;
use serde::Serialize;

use super::{Event, Site};
use crate::{base::Id, site::edit::ObjectKind};

/// Something that is on record of a plant.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Remembered {
    pub date: NaiveDate,
    pub event: Event,
    /// Spikes or heads of a flowering; 0 where none were counted.
    pub spikes: u32,
    /// What they are, of one and of several, by the plant's kind.
    #[serde(skip)]
    pub counted_in: (&'static str, &'static str),
    pub note: String,
}

impl Site {
    /// All that is on record of a plant, newest first. What stands both in the journal and in its own lists on the same
    /// day is told once.
    #[must_use]
    pub fn remembered_of(&self, plant: &Id) -> Vec<Remembered> {
        let kind = self.plants.get(plant).and_then(|p| self.kind(&p.kind));
        let counted_in = kind.map_or(("spike", "spikes"), |k| k.flower_words());
        let mut rows: Vec<Remembered> = self
            .journal
            .iter()
            .filter(|e| e.plant.as_ref() == Some(plant))
            .map(|e| Remembered {
                date: e.date,
                event: e.event.clone(),
                spikes: 0,
                counted_in,
                note: e.note.clone(),
            })
            .collect();
        if let Some(its) = self.plants.get(plant) {
            let mut add = |date: NaiveDate, event: Event, spikes: u32| {
                let known = rows.iter_mut().find(|r| r.date == date && r.event == event);
                match known {
                    Some(row) => row.spikes = row.spikes.max(spikes),
                    None => rows.push(Remembered {
                        date,
                        event,
                        spikes,
                        counted_in,
                        note: String::new(),
                    }),
                }
            };
            for flowering in &its.flowered {
                add(flowering.first_open, Event::FirstFlower, flowering.spikes);
                if let Some(date) = flowering.last_open {
                    add(date, Event::LastFlower, 0);
                }
            }
            if let Some(date) = its.pot.repotted {
                add(date, Event::Repotted, 0);
            }
        }
        rows.sort_by_key(|r| std::cmp::Reverse(r.date));
        rows
    }

    /// `"Moved to Porch bench"`, `"First flower open, 3 spikes"`.
    #[must_use]
    pub fn remembered_words(&self, row: &Remembered) -> String {
        match (&row.event, row.spikes) {
            (Event::Moved(spot), _) => {
                format!("Moved to {}", self.name_of(ObjectKind::Spot, spot))
            }
            (event, 0) => event.words().to_owned(),
            (event, 1) => format!("{}, 1 {}", event.words(), row.counted_in.0),
            (event, many) => format!("{}, {many} {}", event.words(), row.counted_in.1),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::site::{Flowering, JournalEntry, Plant};

    #[test]
    fn one_row_of_dates_newest_first_and_nothing_twice() {
        let day = |y, m, d| NaiveDate::from_ymd_opt(y, m, d).unwrap();
        let id = Id::new("p");
        let mut plant = Plant::default();
        plant.pot.repotted = Some(day(2024, 4, 2));
        plant.flowered.push(Flowering {
            first_open: day(2025, 2, 10),
            last_open: Some(day(2025, 4, 1)),
            spikes: 3,
        });
        let mut site = Site::default();
        site.plants.put(id.clone(), plant);
        site.journal = vec![
            JournalEntry {
                date: day(2025, 2, 10),
                plant: Some(id.clone()),
                event: Event::FirstFlower,
                from: None,
                note: "scented".to_owned(),
            },
            JournalEntry {
                date: day(2025, 6, 1),
                plant: Some(Id::new("other")),
                event: Event::Watered,
                from: None,
                note: String::new(),
            },
        ]
        .into();
        let rows = site.remembered_of(&id);
        let told: Vec<String> = rows.iter().map(|r| site.remembered_words(r)).collect();
        assert_eq!(
            told,
            [
                "Last flower gone",
                "First flower open, 3 spikes",
                "Repotted"
            ]
        );
        assert_eq!(rows[1].note, "scented");
    }
}
