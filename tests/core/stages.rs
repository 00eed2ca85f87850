//! Stages that move, from the journal to the scores.

use std::sync::Arc;

use chrono::NaiveDate;
use proptest::prelude::*;
use sillward::{
    air::AirWeek,
    base::{Day, Hemisphere, Id, Progress, Week, calendar::WEEKS},
    climate::FilledNormals,
    needs::{StageName, library},
    pipeline::{Engine, Outcome},
    scoring::{Scores, SpotWeek},
    site::{Event, JournalEntry, Site, samples::SAMPLES},
    stages::{StageCalendar, Warmth},
};

fn outcome(engine: &mut Engine, site: &Site) -> Outcome {
    let today = NaiveDate::from_ymd_opt(2026, 9, 28).unwrap();
    engine.run(site, today, &Progress::new()).unwrap()
}

#[test]
fn a_spike_in_the_journal_moves_bud_and_bloom_in_the_scores() {
    let mut site = SAMPLES[0].read().unwrap().site;
    let plant = site
        .plants
        .iter()
        .find(|(_, p)| p.kind.as_str() == "cymbidium-standard")
        .unwrap()
        .0
        .clone();
    site.journal = Arc::new(Vec::new());
    let mut engine = Engine::new();
    let before = outcome(&mut engine, &site);
    let stage = |o: &Outcome, day: NaiveDate| {
        let calendar = o.scores.calendar(&plant).unwrap();
        calendar.starts()[calendar.index_on(Day::of(day)).unwrap()].stage
    };
    let from = site.choices.plan_from.unwrap();
    assert_eq!(stage(&before, from), StageName::Initiation);

    site.journal = Arc::new(vec![JournalEntry {
        date: from - chrono::Days::new(14),
        plant: Some(plant.clone()),
        event: Event::SpikeSeen,
        from: None,
        note: String::new(),
    }]);
    let after = outcome(&mut engine, &site);
    assert_eq!(stage(&after, from), StageName::Bud);
    let spot = site.spots.ids().next().unwrap();
    let week = Day::of(from).week();
    let score = after.scores.get(&plant, spot, week).unwrap();
    assert_eq!(score.stage, StageName::Bud);
    // What was kept from before the entry does not change what comes out.
    let fresh = outcome(&mut Engine::new(), &site);
    assert_eq!(
        after.scores.year(&plant, spot),
        fresh.scores.year(&plant, spot)
    );
    assert_eq!(
        after.plan.as_ref().unwrap().solution,
        fresh.plan.as_ref().unwrap().solution
    );
}

fn spot_weeks(shift: usize) -> Vec<SpotWeek> {
    (0..WEEKS)
        .map(|w| {
            let season = ((w as f64 - 28.0 - shift as f64) / 52.0 * std::f64::consts::TAU).cos();
            SpotWeek {
                dli: Some(16.0 + 12.0 * season),
                clear_peak_ppfd: Some(800.0 + 500.0 * season),
                air: Some(AirWeek {
                    day_c: 14.0 + 9.0 * season,
                    max_c: 18.0 + 9.0 * season,
                    night_c: 8.0 + 7.0 * season,
                    day_night_k: 10.0 + 2.0 * season,
                    rh_day_pct: 60.0,
                    speed_m_s: 0.4,
                    ..AirWeek::default()
                }),
                ..SpotWeek::default()
            }
        })
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]
    /// A climate and its places turned by half a year give the same scores half a year on.
    #[test]
    fn the_south_scores_as_the_north_half_a_year_on(
        mean_c in 0.0..24.0_f64, half_range_k in 0.0..14.0_f64, which in 0..57_usize
    ) {
        let monthly: [f64; 12] = std::array::from_fn(|m| {
            mean_c - half_range_k * (m as f64 / 12.0 * std::f64::consts::TAU).cos()
        });
        let normals = |monthly: [f64; 12]| FilledNormals {
            night_min_c: monthly.map(|m| m - 4.0),
            day_max_c: monthly.map(|m| m + 4.0),
            ..FilledNormals::default()
        };
        let mut turned = monthly;
        turned.rotate_left(6);
        let kinds = library::kinds();
        let kind = kinds.values().nth(which % kinds.len()).unwrap();
        let scores = |hemisphere, monthly, shift| {
            let warmth = Warmth::of(&normals(monthly), hemisphere);
            let calendar = StageCalendar::of_climate(kind, hemisphere, Some(&warmth));
            let weeks = spot_weeks(shift);
            Scores::by_calendar(
                &[(Id::new("p"), kind, calendar)],
                &[(Id::new("s"), weeks.as_slice())],
            )
        };
        let north = scores(Hemisphere::North, monthly, 0);
        let south = scores(Hemisphere::South, turned, 26);
        let (p, s) = (Id::new("p"), Id::new("s"));
        let mut other_stage = 0;
        for week in Week::all() {
            let a = north.get(&p, &s, week).unwrap();
            let b = south.get(&p, &s, week.plus(26)).unwrap();
            if a.stage != b.stage {
                other_stage += 1;
                continue;
            }
            match (a.points, b.points) {
                (Some(a), Some(b)) => prop_assert!((a - b).abs() < 1e-6, "{} {week:?}: {a} {b}", kind.name),
                (a, b) => prop_assert_eq!(a, b),
            }
        }
        // Half years differ by some days, so a stage may begin in the next week.
        prop_assert!(other_stage <= kind.stages.len(), "{}: {other_stage} weeks", kind.name);
    }
}
