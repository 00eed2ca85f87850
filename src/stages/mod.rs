//! When each plant goes through the stages of its kind: the kind's dates, moved by the climate, by what the grower
//! has seen, and by what the grower says. Everything that asks for a plant's stage asks here.
//!
//! A calendar is a ring of 365 days: what it says of a week holds for that week of the coming year.

mod order;
mod record;
mod warmth;

use serde::Serialize;

use crate::{
    base::{Day, Hemisphere, Id, Week, calendar::DAYS},
    needs::{Kind, Stage, StageName},
    site::Site,
};
pub use record::Flowerings;
pub use warmth::Warmth;

/// Where in the year one plant's stages begin, in the order of its kind.
#[derive(Clone, Debug, PartialEq)]
pub struct StageCalendar {
    starts: Vec<StageStart>,
}

/// First day of a stage, and what moved it there.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct StageStart {
    pub stage: StageName,
    #[serde(serialize_with = "as_index")]
    pub day: Day,
    /// The kind's own day on this half of the earth.
    #[serde(serialize_with = "as_index")]
    pub usual: Day,
    /// Days later than usual by the climate; earlier if negative.
    pub climate_d: i64,
    /// Days later by what was seen of this plant.
    pub seen_d: i64,
    /// Days later by the grower's word.
    pub own_d: i64,
    /// Whether it was seen to begin in the year that runs, rather than expected.
    pub seen: bool,
}

fn as_index<S: serde::Serializer>(day: &Day, s: S) -> Result<S::Ok, S::Error> {
    s.serialize_u64(day.index() as u64)
}

impl StageStart {
    /// Days that it lies after the usual one, -182..=182, with what neighbours pushed it.
    #[must_use]
    pub fn later_d(&self) -> i64 {
        apart(self.usual, self.day)
    }

    /// `"3 weeks later than usual: by the climate, as it was seen"`; `None` within three days.
    #[must_use]
    pub fn reason(&self) -> Option<String> {
        let later = self.later_d();
        if later.abs() <= 3 {
            return None;
        }
        let causes: Vec<&str> = [
            (self.climate_d, "by the climate"),
            (self.seen_d, "as it was seen"),
            (self.own_d, "as you set it"),
        ]
        .into_iter()
        .filter(|(days, _)| days.abs() >= 2)
        .map(|(_, cause)| cause)
        .collect();
        let causes = if causes.is_empty() {
            "pushed by its neighbours".to_owned()
        } else {
            causes.join(", ")
        };
        let weeks = later.abs() as f64 / 7.0;
        let span = if weeks < 1.5 {
            format!("{} days", later.abs())
        } else {
            format!("{weeks:.0} weeks")
        };
        let way = if later > 0 { "later" } else { "earlier" };
        Some(format!("{span} {way} than usual: {causes}"))
    }
}

/// Days from `from` to `to`, the short way round the year: -182..=182.
fn apart(from: Day, to: Day) -> i64 {
    let forward = (to.index() + DAYS - from.index()) % DAYS;
    if forward > DAYS / 2 {
        forward as i64 - DAYS as i64
    } else {
        forward as i64
    }
}

impl StageCalendar {
    /// A kind's own dates, moved by nothing but the hemisphere.
    #[must_use]
    pub fn of_kind(kind: &Kind, hemisphere: Hemisphere) -> Self {
        Self::of_climate(kind, hemisphere, None)
    }

    /// A kind's dates moved by the climate, for a plant of which nothing is known.
    #[must_use]
    pub fn of_climate(kind: &Kind, hemisphere: Hemisphere, warmth: Option<&Warmth>) -> Self {
        let shifts = climate_shifts(kind, warmth);
        Self::put_together(kind, hemisphere, &shifts, &[], &[])
    }

    /// A plant's own dates. `from` is the day on which the coming year begins: what was seen within the flowering
    /// that runs then counts in full, what was seen in the years before as a habit. `None` where the site has no such
    /// plant or kind.
    #[must_use]
    pub fn of_plant(
        site: &Site,
        plant: &Id,
        warmth: Option<&Warmth>,
        from: chrono::NaiveDate,
    ) -> Option<Self> {
        let its = site.plants.get(plant)?;
        let kind = site.kind(&its.kind)?;
        let hemisphere = site.hemisphere();
        let climate = climate_shifts(kind, warmth);
        let expected = Self::put_together(kind, hemisphere, &climate, &[], &[]);
        let own: Vec<Option<i64>> = kind
            .stages
            .iter()
            .map(|stage| {
                its.stage_shift
                    .iter()
                    .rev()
                    .find(|s| s.stage == stage.stage)
                    .map(|s| i64::from(s.days))
            })
            .collect();
        let mut seen = Flowerings::of(site, plant).shifts(kind, &expected, from);
        for (seen, own) in seen.iter_mut().zip(&own) {
            if own.is_some() {
                *seen = None;
            }
        }
        Some(Self::put_together(kind, hemisphere, &climate, &seen, &own))
    }

    /// Calendars of all plants of a site.
    #[must_use]
    pub fn of_site(site: &Site, warmth: &Warmth, from: chrono::NaiveDate) -> Vec<(Id, Self)> {
        site.plants
            .ids()
            .filter_map(|id| Some((id.clone(), Self::of_plant(site, id, Some(warmth), from)?)))
            .collect()
    }

    fn put_together(
        kind: &Kind,
        hemisphere: Hemisphere,
        climate: &[i64],
        seen: &[Option<record::Seen>],
        own: &[Option<i64>],
    ) -> Self {
        let mut starts: Vec<StageStart> = kind
            .stages
            .iter()
            .enumerate()
            .map(|(i, stage)| {
                let usual = hemisphere.shift(stage.from.day_of_year());
                let seen = seen.get(i).copied().flatten();
                StageStart {
                    stage: stage.stage,
                    day: usual,
                    usual,
                    climate_d: climate.get(i).copied().unwrap_or(0),
                    seen_d: seen.map_or(0, |s| s.later_d),
                    own_d: own.get(i).copied().flatten().unwrap_or(0),
                    seen: seen.is_some_and(|s| s.now),
                }
            })
            .collect();
        order::settle(&mut starts);
        Self { starts }
    }

    #[must_use]
    pub fn starts(&self) -> &[StageStart] {
        &self.starts
    }

    /// The stage on a day, as its place in the kind's list. `None` only for a kind without stages.
    #[must_use]
    pub fn index_on(&self, day: Day) -> Option<usize> {
        (0..self.starts.len()).min_by_key(|i| since(self.starts[*i].day, day))
    }

    /// The stage in the middle of a week.
    #[must_use]
    pub fn index_in(&self, week: Week) -> Option<usize> {
        self.index_on(middle(week))
    }

    /// The stage of a kind in the middle of a week, with its place in the kind's list.
    #[must_use]
    pub fn stage_in<'k>(&self, kind: &'k Kind, week: Week) -> Option<(usize, &'k Stage)> {
        let index = self.index_in(week)?;
        Some((index, kind.stages.get(index)?))
    }

    /// How far the middle of a week lies through its stage, 0 (its first day) to just under 1.
    #[must_use]
    pub fn progress_in(&self, week: Week) -> f64 {
        let day = middle(week);
        let Some(at) = self.index_on(day) else {
            return 0.0;
        };
        let length = self.length_d(at);
        (since(self.starts[at].day, day) as f64 / length.max(1) as f64).min(0.999)
    }

    /// Days that a stage lasts, 1..=365; 0 for one that is not there.
    #[must_use]
    pub fn length_d(&self, index: usize) -> usize {
        let Some(start) = self.starts.get(index) else {
            return 0;
        };
        let next = &self.starts[(index + 1) % self.starts.len()];
        match since(start.day, next.day) {
            0 => DAYS,
            length => length,
        }
    }
}

fn middle(week: Week) -> Day {
    week.first_day().plus(3)
}

fn since(from: Day, to: Day) -> usize {
    (to.index() + DAYS - from.index()) % DAYS
}

fn climate_shifts(kind: &Kind, warmth: Option<&Warmth>) -> Vec<i64> {
    kind.stages
        .iter()
        .map(|s| warmth.map_or(0, |w| w.later_d(kind, s.stage, s.from.day_of_year())))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{needs::library, site::StageShift};
    use chrono::NaiveDate;

    fn site(kind: &str, edit: impl FnOnce(&mut Site)) -> Site {
        let mut site = Site::default();
        let mut place = crate::site::Place::clone(&site.place);
        place.latitude_deg = 45.0;
        site.place = place.into();
        site.plants.put(
            Id::new("p"),
            crate::site::Plant {
                kind: Id::new(kind),
                ..crate::site::Plant::default()
            },
        );
        edit(&mut site);
        site
    }

    fn date(y: i32, m: u32, d: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(y, m, d).unwrap()
    }

    fn seen(site: &mut Site, date: NaiveDate, event: crate::site::Event) {
        let mut journal = Vec::clone(&site.journal);
        journal.push(crate::site::JournalEntry {
            date,
            plant: Some(Id::new("p")),
            event,
            from: None,
            note: String::new(),
        });
        site.journal = journal.into();
    }

    fn start(calendar: &StageCalendar, stage: StageName) -> StageStart {
        *calendar.starts().iter().find(|s| s.stage == stage).unwrap()
    }

    #[test]
    fn without_anything_known_a_plant_keeps_its_kinds_dates() {
        for (id, kind) in library::kinds().iter() {
            for hemisphere in [Hemisphere::North, Hemisphere::South] {
                let calendar = StageCalendar::of_kind(kind, hemisphere);
                for day in (0..DAYS).map(Day::new) {
                    assert_eq!(
                        calendar.index_on(day),
                        kind.stage_on(day, hemisphere).map(|(i, _)| i),
                        "{id} {day}"
                    );
                }
            }
        }
    }

    #[test]
    fn a_spike_seen_moves_bud_and_bloom_and_nothing_before() {
        // The kind has buds from 20 October and bloom from 1 February: 104 days on.
        let site = site("cymbidium-standard", |s| {
            seen(s, date(2026, 9, 10), crate::site::Event::SpikeSeen);
        });
        let now = date(2026, 9, 28);
        let calendar = StageCalendar::of_plant(&site, &Id::new("p"), None, now).unwrap();
        let bud = start(&calendar, StageName::Bud);
        assert_eq!(bud.day, Day::of(date(2026, 9, 10)));
        assert!(bud.seen);
        let bloom = start(&calendar, StageName::Bloom);
        assert_eq!(since(bud.day, bloom.day), 104);
        assert!(!bloom.seen);
        let setting = start(&calendar, StageName::Initiation);
        assert_eq!(setting.day, setting.usual);
        assert!(bud.reason().unwrap().contains("6 weeks earlier"));
        // Another year's sight is a habit, and is not believed in full.
        let later = StageCalendar::of_plant(&site, &Id::new("p"), None, date(2027, 6, 1)).unwrap();
        assert_eq!(start(&later, StageName::Bud).later_d(), -20);
        // Of another plant nothing is learned.
        let mut other = site.clone();
        other.plants.put(
            Id::new("q"),
            crate::site::Plant::clone(site.plants.get(&Id::new("p")).unwrap()),
        );
        let calendar = StageCalendar::of_plant(&other, &Id::new("q"), None, now).unwrap();
        assert_eq!(start(&calendar, StageName::Bud).later_d(), 0);
    }

    #[test]
    fn years_of_flowering_make_a_habit() {
        let site = site("clivia", |s| {
            let mut plant = crate::site::Plant::clone(s.plants.get(&Id::new("p")).unwrap());
            for year in [2023, 2024, 2025] {
                plant.flowered.push(crate::site::Flowering {
                    first_open: date(year, 3, 21),
                    last_open: None,
                    spikes: 1,
                });
            }
            s.plants.put(Id::new("p"), plant);
        });
        let calendar =
            StageCalendar::of_plant(&site, &Id::new("p"), None, date(2025, 10, 1)).unwrap();
        // Twenty days later than 1 March, three years of it: three quarters believed.
        assert_eq!(start(&calendar, StageName::Bloom).later_d(), 15);
        assert_eq!(start(&calendar, StageName::Bud).later_d(), 15);
        assert_eq!(start(&calendar, StageName::Rest).later_d(), 0);
    }

    #[test]
    fn the_growers_word_stands_over_the_record() {
        let site = site("cymbidium-standard", |s| {
            seen(s, date(2026, 9, 10), crate::site::Event::SpikeSeen);
            let mut plant = crate::site::Plant::clone(s.plants.get(&Id::new("p")).unwrap());
            plant.stage_shift.push(StageShift {
                stage: StageName::Bud,
                days: 14,
            });
            s.plants.put(Id::new("p"), plant);
        });
        let calendar =
            StageCalendar::of_plant(&site, &Id::new("p"), None, date(2026, 9, 28)).unwrap();
        assert_eq!(start(&calendar, StageName::Bud).later_d(), 14);
    }

    #[test]
    fn whatever_is_said_the_stages_keep_their_order() {
        for (id, kind) in library::kinds().iter() {
            for (n, stage) in kind.stages.iter().enumerate() {
                for days in [-90, -35, 35, 90] {
                    let site = site(id.as_str(), |s| {
                        let mut plant =
                            crate::site::Plant::clone(s.plants.get(&Id::new("p")).unwrap());
                        plant.stage_shift.push(StageShift {
                            stage: stage.stage,
                            days,
                        });
                        s.plants.put(Id::new("p"), plant);
                    });
                    let calendar =
                        StageCalendar::of_plant(&site, &Id::new("p"), None, date(2026, 1, 1))
                            .unwrap();
                    let lengths: Vec<usize> = (0..kind.stages.len())
                        .map(|i| calendar.length_d(i))
                        .collect();
                    assert_eq!(lengths.iter().sum::<usize>(), DAYS, "{id} {n} {days}");
                    assert!(
                        lengths.iter().all(|l| *l >= 7),
                        "{id} {n} {days}: {lengths:?}"
                    );
                }
            }
        }
    }
}
