//! What to say of watering: the interval of [`super::thirst`], and what the journal has taught.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::{
    CareInputs, Task, TaskKind, Year,
    thirst::{Interval, UNCERTAINTY, habit, interval, middle},
};
use crate::{
    base::{Id, Week},
    site::{Event, JournalEntry, Site},
};

/// What the journal has taught of a plant's thirst.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Learned {
    /// Intervals are multiplied by this.
    pub factor: f64,
    pub intervals: usize,
}

/// Compares the days between waterings in the journal with those computed for the same weeks. From three intervals
/// on the logarithms' mean counts, drawn towards no change by a prior of as many readings as the spread of the
/// computed intervals is worth (0.35 against 0.3 of a single interval; both ours).
pub(crate) fn learned(
    site: &Site,
    plant_id: &Id,
    computed: impl Fn(NaiveDate) -> Option<f64>,
) -> Option<Learned> {
    let mut dates: Vec<NaiveDate> = waterings(&site.journal, plant_id).map(|e| e.date).collect();
    dates.sort_unstable();
    dates.dedup();
    let logs: Vec<f64> = dates
        .windows(2)
        .filter_map(|pair| {
            let days = (pair[1] - pair[0]).num_days() as f64;
            // A gap of two months is a journal not kept, not a thirst.
            if days > 60.0 {
                return None;
            }
            Some((days / computed(pair[0])?).ln().clamp(-1.5, 1.5))
        })
        .collect();
    if logs.len() < 3 {
        return None;
    }
    let n = logs.len() as f64;
    let prior = (0.30 / UNCERTAINTY).powi(2);
    Some(Learned {
        factor: (logs.iter().sum::<f64>() / (n + prior)).exp(),
        intervals: logs.len(),
    })
}

fn waterings<'a>(
    journal: &'a [JournalEntry],
    plant: &'a Id,
) -> impl Iterator<Item = &'a JournalEntry> {
    journal
        .iter()
        .filter(move |e| e.event == Event::Watered && e.plant.as_ref() == Some(plant))
}

/// One task a plant and week: the interval and when to look first.
pub(super) fn tasks(inputs: &CareInputs<'_>, year: &Year<'_>, out: &mut Vec<Task>) {
    let mut lessons: BTreeMap<&Id, Option<Learned>> = BTreeMap::new();
    for (id, plant) in inputs.site.plants.iter() {
        let Some(kind) = inputs.site.kind(&plant.kind) else {
            continue;
        };
        let lesson = learned(inputs.site, id, |date| {
            // Where it stood then is not always told: it is taken to have stood where it stands now.
            let week = crate::base::Day::of(date).week();
            let stage = inputs.scores.stage(id, kind, week)?.1;
            let spot = plant.stands.as_ref()?;
            Some(
                interval(
                    plant,
                    &stage.water,
                    inputs.spot_weeks.get(spot)?.get(week.index())?,
                )?
                .days,
            )
        });
        lessons.insert(id, lesson);
        for week in 0..year.weeks.len() {
            let Some(spot) = inputs.plan.spot_of(id, week) else {
                continue;
            };
            let calendar: Week = year.weeks[week];
            let Some((_, stage)) = inputs.scores.stage(id, kind, calendar) else {
                continue;
            };
            let offered = inputs
                .spot_weeks
                .get(spot)
                .and_then(|w| w.get(calendar.index()));
            let (shortest, longest) = stage.water.interval_d.value;
            let of_this_pot = habit(plant, &stage.water);
            let learned = lessons.get(id).copied().flatten();
            let computed = offered.and_then(|o| interval(plant, &stage.water, o));
            let what = match &computed {
                Some(i) => every(i.days * learned.map_or(1.0, |l| l.factor)),
                None => every(middle(of_this_pot)),
            };
            let mut why = computed.map_or_else(
                || "air at this spot is not known".to_owned(),
                |i| figures(&i),
            );
            why.push_str(&format!(
                "; growers water middling pots every {shortest} to {longest} days, {} one of this size; growers' days: {}",
                between(of_this_pot),
                stage.water.interval_d.source.text(),
            ));
            why.push_str(&match (computed, learned) {
                (None, _) => ": that is told".to_owned(),
                (Some(_), Some(l)) => format!(
                    "; between the two, times {:.2}, learned from {} intervals in your journal",
                    l.factor, l.intervals
                ),
                (Some(_), None) => format!(
                    "; the interval lies between the computed need and growers' habit, sure to ±{:.0} %",
                    100.0 * UNCERTAINTY
                ),
            });
            why.push_str("; lift the pot: its weight decides");
            if !stage.water.note.is_empty() {
                why.push_str("; ");
                why.push_str(&stage.water.note);
            }
            let outdoors = inputs
                .site
                .spots
                .get(spot)
                .is_some_and(|s| s.room.is_none());
            let cool = offered
                .and_then(|o| o.air.as_ref())
                .is_some_and(|a| a.night_c < 10.0);
            out.push(Task {
                kind: TaskKind::Water,
                week,
                date: year.dates[week],
                plant: Some(id.clone()),
                what,
                why,
                caution: if cool {
                    Some("in the morning, so that leaves are dry by night".to_owned())
                } else if outdoors {
                    None
                } else {
                    Some("no water on sockets, leads and heaters; follow local codes".to_owned())
                },
            });
        }
    }
}

fn every(days: f64) -> String {
    let first = (days * (1.0 - UNCERTAINTY)).floor().max(1.0);
    if days < 1.5 {
        "Water every day; in heat look twice a day".to_owned()
    } else {
        format!("Water every {days:.0} days; check from day {first:.0}")
    }
}

/// `"1.5 L"`, or `"40 mL"` where tenths of a litre would say nothing.
fn litres(litres: f64) -> String {
    if litres >= 1.0 {
        format!("{litres:.1} L")
    } else {
        let ml = litres * 1000.0;
        let step = if ml >= 100.0 { 10.0 } else { 1.0 };
        format!("{:.0} mL", (ml / step).round() * step)
    }
}

fn figures(i: &Interval) -> String {
    let mut text = format!(
        "the pot gives {} between waterings, {} a day are used",
        litres(i.used_l),
        litres(i.use_l_d)
    );
    if i.rain_l_d > 0.005 {
        text.push_str(&format!(
            ", rain brings {} a day in the mean",
            litres(i.rain_l_d)
        ));
    }
    text.push_str(&format!(": {}", days(i.balance_d)));
    text
}

/// `"4 days"`, or `"60 days or more"`.
fn days(days: f64) -> String {
    if days >= 59.5 {
        "60 days or more".to_owned()
    } else if days < 1.5 {
        "a day".to_owned()
    } else {
        format!("{days:.0} days")
    }
}

/// `"every 7 to 13 days"`, `"every 2 days"`.
fn between((shortest, longest): (f64, f64)) -> String {
    let (from, to) = (shortest.max(1.0).round(), longest.max(1.0).round());
    if from < to {
        format!("every {from:.0} to {to:.0} days")
    } else if to < 1.5 {
        "every day".to_owned()
    } else {
        format!("every {to:.0} days")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    #[test]
    fn three_intervals_teach_two_do_not() {
        let id = Id::new("cym");
        let day = |d: u32| NaiveDate::from_ymd_opt(2026, 6, d).unwrap();
        let journal = |days: &[u32]| Site {
            journal: days
                .iter()
                .map(|d| JournalEntry {
                    date: day(*d),
                    plant: Some(id.clone()),
                    event: Event::Watered,
                    from: None,
                    note: String::new(),
                })
                .collect::<Vec<_>>()
                .into(),
            ..Site::default()
        };
        assert_eq!(learned(&journal(&[1, 7, 13]), &id, |_| Some(3.0)), None);
        // Twice as long as computed, four times over: most of the way to 2, not all.
        let l = learned(&journal(&[1, 7, 13, 19, 25]), &id, |_| Some(3.0)).unwrap();
        assert_eq!(l.intervals, 4);
        assert!((1.7..2.0).contains(&l.factor), "{}", l.factor);
    }
}
