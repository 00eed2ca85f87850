//! How often a pot wants water: what it holds, what the plant uses where it stands, and what the journal has taught.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::{CareInputs, Task, TaskKind, Year};
use crate::{
    base::{Id, Week},
    needs::Water,
    scoring::SpotWeek,
    site::{Event, JournalEntry, Medium, Plant, PotMaterial, Site},
};

/// Share of the mix's volume that is easily available water. From memory, as at [`Medium`]; handbook ranges run a
/// third either way.
fn available_share(medium: Medium) -> f64 {
    match medium {
        Medium::Bark => 0.15,
        Medium::BarkPeat => 0.20,
        Medium::Peat | Medium::Coir => 0.30,
        Medium::Loam => 0.25,
        Medium::Moss => 0.40,
        Medium::Grit => 0.12,
    }
}

/// Loss through the wall beside that through the leaves: an unglazed pot dries a third to twice faster (common
/// practice).
fn wall_factor(material: PotMaterial) -> f64 {
    match material {
        PotMaterial::Clay => 1.4,
        PotMaterial::Wood => 1.15,
        PotMaterial::Plastic | PotMaterial::Glazed => 1.0,
    }
}

/// Error of an interval that nobody has checked: it could as well be this share longer or shorter.
const UNCERTAINTY: f64 = 0.35;

/// Interval between waterings with its figures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Interval {
    pub days: f64,
    /// Water used between two waterings, L.
    pub used_l: f64,
    /// Use of the plant and loss of the pot, L a day.
    pub use_l_d: f64,
    /// Rain that reaches the pot's mouth, L a day.
    pub rain_l_d: f64,
}

/// Days until `depletion` of the available water is used (FAO-56 water balance of a pot; Allen et al. 1998, eqs. 58
/// and 85, on the canopy's area). `None` without an evapotranspiration.
pub(crate) fn interval(plant: &Plant, water: &Water, offered: &SpotWeek) -> Option<Interval> {
    let air = offered.air.as_ref()?;
    let et0_mm_d = air.et0_mm_d;
    if !(et0_mm_d.is_finite() && et0_mm_d > 0.0) {
        return None;
    }
    let available_l = plant.pot.volume_l() * available_share(plant.pot.medium);
    let used_l = available_l * water.depletion.value.clamp(0.05, 1.0);
    let canopy_m2 = std::f64::consts::PI * (plant.spread_cm / 200.0).powi(2);
    // 1 mm on 1 m² is 1 L.
    let use_l_d = et0_mm_d
        * water.crop_coefficient.value.max(0.02)
        * canopy_m2.max(0.002)
        * wall_factor(plant.pot.material);
    let mouth_m2 = std::f64::consts::PI * (plant.pot.rim_cm / 200.0).powi(2);
    // Leaves lead a fifth of the rain past the pot (from memory).
    let rain_l_d = air.rain_mm.max(0.0) / 7.0 * mouth_m2 * 0.8;
    // Rain comes in showers, and what the pot cannot hold runs away: half of it counts.
    let net = (use_l_d - 0.5 * rain_l_d).max(0.2 * use_l_d);
    Some(Interval {
        days: (used_l / net).clamp(0.5, 60.0),
        used_l,
        use_l_d,
        rain_l_d,
    })
}

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
            let learned = lessons.get(id).copied().flatten();
            let computed = offered.and_then(|o| interval(plant, &stage.water, o));
            let (what, mut why) = match computed {
                Some(i) => {
                    let days = i.days * learned.map_or(1.0, |l| l.factor);
                    (every(days), figures(&i, learned))
                }
                None => (
                    every((shortest * longest).max(0.25).sqrt()),
                    "air at this spot is not known: growers' usual interval".to_owned(),
                ),
            };
            why.push_str(&format!(
                "; growers say {} to {} days ({}); lift the pot: its weight decides",
                shortest,
                longest,
                stage.water.interval_d.source.text()
            ));
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

fn figures(i: &Interval, learned: Option<Learned>) -> String {
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
    match learned {
        Some(l) => text.push_str(&format!(
            "; times {:.2}, learned from {} intervals in your journal",
            l.factor, l.intervals
        )),
        None => text.push_str("; sure to ±35 %"),
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        air::AirWeek,
        needs::{Figure, Source},
        site::Pot,
    };

    fn figure<T>(value: T) -> Figure<T> {
        Figure {
            value,
            source: Source::FromMemory,
        }
    }

    fn case(et0_mm_d: f64, rain_mm: f64) -> (Plant, Water, SpotWeek) {
        let plant = Plant {
            pot: Pot {
                rim_cm: 28.0,
                height_cm: 25.5,
                ..Pot::default()
            },
            // 0.35 m²
            spread_cm: 66.8,
            ..Plant::default()
        };
        let water = Water {
            depletion: figure(0.5),
            crop_coefficient: figure(0.4),
            interval_d: figure((2.0, 4.0)),
            note: String::new(),
        };
        let air = AirWeek {
            et0_mm_d,
            rain_mm,
            ..AirWeek::default()
        };
        (
            plant,
            water,
            SpotWeek {
                air: Some(air),
                ..SpotWeek::default()
            },
        )
    }

    #[test]
    fn validate_interval_against_a_worked_example() {
        // A cymbidium in bark that gives 1.5 L, half of it (0.77 L) between waterings, canopy 0.35 m², Kc 0.4:
        // 0.56 L a day and 1.4 d in summer (ET0 4 mm/d), 0.11 L and 7 d in winter indoors (ET0 0.8). Growers' guides
        // name 1-3 and 7-10 days (common practice).
        for (et0, expected) in [(4.0, 1.4), (0.8, 7.0)] {
            let (plant, water, offered) = case(et0, 0.0);
            let i = interval(&plant, &water, &offered).unwrap();
            assert!(
                (i.days - expected).abs() < 0.05 * expected,
                "{} days, expected {expected}",
                i.days
            );
            assert!((i.used_l - 0.77).abs() < 0.02, "{} L", i.used_l);
        }
    }

    #[test]
    fn rain_stretches_the_interval_and_unknown_air_gives_none() {
        let (plant, water, dry) = case(3.0, 0.0);
        let (.., wet) = case(3.0, 30.0);
        let days = |o: &SpotWeek| interval(&plant, &water, o).unwrap().days;
        assert!(days(&wet) > 1.1 * days(&dry));
        assert_eq!(interval(&plant, &water, &SpotWeek::default()), None);
    }

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
