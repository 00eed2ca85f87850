//! The sample sites that come with the program: read without fault, and planned as a grower would.

use std::sync::LazyLock;

use chrono::NaiveDate;
use sillward::{
    base::{Id, Progress, calendar::WEEKS},
    needs::StageName,
    pipeline::{Engine, Outcome},
    planner::Plan,
    scoring::HazardKind,
    site::samples::{SAMPLES, by_id},
};

#[test]
fn samples_are_found_by_their_identifier() {
    for sample in SAMPLES {
        let found = by_id(sample.id).expect(sample.id);
        assert_eq!(found.title, sample.title);
    }
    assert!(by_id("no-such-sample").is_none());
}

#[test]
fn every_sample_is_read_without_fault_or_doubt() {
    for sample in SAMPLES {
        let read = sample
            .read()
            .unwrap_or_else(|e| panic!("{}: {e}", sample.id));
        assert!((8..=20).contains(&read.site.plants.len()));
        assert!((8..=14).contains(&read.site.spots.len()));
        let doubts: Vec<String> = read.doubts.iter().map(ToString::to_string).collect();
        assert!(doubts.is_empty(), "{}: {doubts:#?}", sample.id);
        assert!(read.site.choices.plan_from.is_some(), "{}", sample.id);
        for said in [
            &read.site.note,
            &read.site.place.name,
            &read.site.climate.source,
        ] {
            assert!(said.to_lowercase().contains("invented"), "{said}");
        }
    }
}

/// Results of all samples, computed once.
static OUTCOMES: LazyLock<Vec<(&str, Outcome)>> = LazyLock::new(|| {
    SAMPLES
        .iter()
        .map(|sample| {
            let site = sample.read().unwrap().site;
            let today = NaiveDate::from_ymd_opt(2026, 9, 28).unwrap();
            let outcome = Engine::new().run(&site, today, &Progress::new()).unwrap();
            (sample.id, outcome)
        })
        .collect()
});

fn plan(outcome: &Outcome) -> &Plan {
    outcome.plan.as_ref().expect("the pins can be kept")
}

/// Every week of every plant: what it is, where it stands.
fn stays(outcome: &Outcome) -> impl Iterator<Item = (&Id, usize, &Id)> {
    let plan = plan(outcome);
    outcome.site.plants.ids().flat_map(move |plant| {
        (0..WEEKS).filter_map(move |week| Some((plant, week, plan.spot_of(plant, week)?)))
    })
}

#[test]
fn every_plant_has_a_place_in_every_week() {
    for (sample, outcome) in OUTCOMES.iter() {
        let plan = plan(outcome);
        assert!(plan.solution.without_room.is_empty(), "{sample}");
        assert_eq!(
            stays(outcome).count(),
            outcome.site.plants.len() * WEEKS,
            "{sample}"
        );
        assert!(plan.solution.gap() < 0.02, "{sample}");
    }
}

#[test]
fn every_move_has_its_reason() {
    for (sample, outcome) in OUTCOMES.iter() {
        let moves = &plan(outcome).moves;
        assert!(!moves.is_empty(), "{sample}");
        for m in moves {
            assert!(m.reason.len() > 15, "{sample}: {m:?}");
        }
    }
}

#[test]
fn nothing_stands_where_frost_hurts_its_leaves_in_most_years() {
    for (sample, outcome) in OUTCOMES.iter() {
        for (plant, week, spot) in stays(outcome) {
            let kind = outcome
                .site
                .kind(&outcome.site.plants.get(plant).unwrap().kind)
                .unwrap();
            let calendar = plan(outcome).calendar_week(week);
            let air = &outcome.spots[spot].air.weeks[calendar.index()];
            let chance = air.frost_chance(kind.damage.leaf_frost_c.value);
            assert!(
                chance < 0.34,
                "{sample}: {plant} on {spot} in plan week {week}: hurt in {chance:.2} of years"
            );
        }
    }
}

#[test]
fn cymbidiums_summer_outdoors() {
    for (sample, outcome) in OUTCOMES.iter() {
        let site = &outcome.site;
        // The week in the middle of the warm season.
        let midsummer = |week: usize| {
            let month = plan(outcome).calendar_week(week).month0();
            month == if site.place.latitude_deg > 0.0 { 6 } else { 0 }
        };
        let of_cymbidiums: Vec<bool> = stays(outcome)
            .filter(|(plant, week, _)| {
                let kind = &site.plants.get(plant).unwrap().kind;
                kind.as_str().starts_with("cymbidium-") && midsummer(*week)
            })
            .map(|(_, _, spot)| site.spots.get(spot).unwrap().room.is_none())
            .collect();
        let outdoors = of_cymbidiums.iter().filter(|out| **out).count();
        assert!(
            outdoors * 4 >= of_cymbidiums.len() * 3 && outdoors > 0,
            "{sample}: {outdoors} of {} plant weeks",
            of_cymbidiums.len()
        );
    }
}

#[test]
fn no_cymbidium_buds_stand_in_the_plume_of_a_heater() {
    for (sample, outcome) in OUTCOMES.iter() {
        for (plant, week, spot) in stays(outcome) {
            let kind = &outcome.site.plants.get(plant).unwrap().kind;
            if !kind.as_str().starts_with("cymbidium-") {
                continue;
            }
            let calendar = plan(outcome).calendar_week(week);
            let score = outcome.scores.get(plant, spot, calendar).unwrap();
            let in_bud = matches!(score.stage, StageName::Bud | StageName::Bloom);
            let plume = score
                .hazards
                .iter()
                .any(|h| h.kind == HazardKind::HeaterPlume && h.chance * h.severity > 0.2);
            assert!(
                !(in_bud && plume),
                "{sample}: {plant} on {spot}, week {week}"
            );
        }
    }
}

/// The samples' readings are invented: they must at least be ones that such places could give.
#[test]
fn readings_agree_with_what_is_computed() {
    for (sample, outcome) in OUTCOMES.iter() {
        for (id, spot) in outcome.spots.iter() {
            let light = &spot.light.correction;
            assert_eq!(light.set_aside, 0, "{sample}: {id}");
            if let Some(error) = light.log_error_before {
                assert!(error < 0.3, "{sample}: light on {id} off by e^{error:.2}");
            }
            let air = &spot.air.correction;
            assert_eq!(air.set_aside, 0, "{sample}: {id}");
            if let Some(error) = air.error_before_k {
                assert!(error < 3.0, "{sample}: air on {id} off by {error:.1} K");
            }
        }
    }
}

#[test]
fn the_unit_of_a_light_reading_does_not_matter() {
    use sillward::{
        base::units,
        site::{LightValue, Spot},
    };
    // 1 ft-cd is 10.764 lx by definition; both stand for the same light.
    let told_in_foot_candles = |value: LightValue| match value {
        LightValue::Lux(lux) => LightValue::FootCandles(units::foot_candles_from_lux(lux)),
        LightValue::Ppfd(ppfd) => {
            LightValue::FootCandles(units::foot_candles_from_lux(units::lux_from_ppfd(ppfd)))
        }
        same @ LightValue::FootCandles(_) => same,
    };
    let (sample, outcome) = OUTCOMES
        .iter()
        .find(|(_, o)| o.site.spots.values().any(|s| !s.light.is_empty()))
        .expect("a sample has light readings");
    let mut site = outcome.site.clone();
    let ids: Vec<Id> = site.spots.ids().cloned().collect();
    for id in ids {
        let mut spot = Spot::clone(site.spots.get(&id).unwrap());
        for reading in &mut spot.light {
            reading.value = told_in_foot_candles(reading.value);
            reading.open = reading.open.map(told_in_foot_candles);
        }
        site.spots.put(id, spot);
    }
    let today = NaiveDate::from_ymd_opt(2026, 9, 28).unwrap();
    let other = Engine::new().run(&site, today, &Progress::new()).unwrap();
    for plant in outcome.site.plants.ids() {
        for spot in outcome.site.spots.ids() {
            let (Some(a), Some(b)) = (
                outcome.scores.year(plant, spot),
                other.scores.year(plant, spot),
            ) else {
                panic!("{sample}: {plant} on {spot} is scored");
            };
            for (a, b) in a.iter().zip(b) {
                let apart = a.points.unwrap_or(-1.0) - b.points.unwrap_or(-1.0);
                assert!(apart.abs() < 1e-6, "{sample}: {plant} on {spot}: {apart}");
            }
        }
    }
}
