//! Causes are ranked by the plant's own record: what is changed in the record changes the order.

use sillward::{
    base::Id,
    site::{Event, JournalEntry},
    trouble::{Cause, Symptom, TroubleInputs, causes},
};

use super::seasons::{Case, date};

fn diagnose(case: &Case, symptom: Symptom) -> Vec<Cause> {
    let plant = Id::new("cym");
    let inputs = TroubleInputs {
        site: &case.site,
        plant: &plant,
        scores: &case.scores,
        spot_weeks: case.spot_weeks(),
        today: date(2027, 1, 20),
    };
    causes(&inputs, symptom)
}

fn with_journal(events: Vec<(chrono::NaiveDate, Event)>) -> Case {
    let mut case = Case::new(45.0, &[("cym", "cymbidium-standard")]);
    case.site.journal = events
        .into_iter()
        .map(|(date, event)| JournalEntry {
            date,
            plant: Some(Id::new("cym")),
            event,
            from: None,
            note: String::new(),
        })
        .collect::<Vec<_>>()
        .into();
    case
}

fn named<'a>(causes: &'a [Cause], name: &str) -> &'a Cause {
    causes
        .iter()
        .find(|c| c.name == name)
        .unwrap_or_else(|| panic!("no {name} in {causes:#?}"))
}

#[test]
fn every_symptom_has_causes_and_none_is_certain() {
    let case = with_journal(Vec::new());
    for symptom in Symptom::ALL {
        let causes = diagnose(&case, symptom);
        assert!(causes.len() >= 3, "{symptom:?}");
        let total: f64 = causes.iter().map(|c| c.likelihood).sum();
        assert!((total - 1.0).abs() < 1e-9, "{symptom:?}: {total}");
        assert!(
            causes
                .windows(2)
                .all(|c| c[0].likelihood >= c[1].likelihood)
        );
        assert!(causes[0].likelihood < 0.97, "{symptom:?} is called certain");
        for cause in &causes {
            assert!(!cause.remedy.is_empty() && !cause.source.is_empty());
        }
        assert!(!symptom.words().is_empty());
    }
}

#[test]
fn buds_that_drop_after_a_move_to_a_warm_sill() {
    let cool = with_journal(vec![
        (date(2026, 2, 1), Event::Moved(Id::new("porch"))),
        (date(2026, 10, 20), Event::Moved(Id::new("porch"))),
    ]);
    let moved = with_journal(vec![
        (date(2026, 2, 1), Event::Moved(Id::new("porch"))),
        (date(2027, 1, 6), Event::Moved(Id::new("sill"))),
    ]);
    let shock = |case: &Case| named(&diagnose(case, Symptom::BudsDrop), "Shock of a move").clone();
    assert!(shock(&moved).likelihood > 2.0 * shock(&cool).likelihood);
    let told = shock(&moved).evidence_for.join("; ");
    assert!(
        told.contains("6 January 2027") && told.contains("nights +"),
        "{told}"
    );
    assert!(
        shock(&cool)
            .evidence_against
            .iter()
            .any(|t| t.contains("no move"))
    );
}

#[test]
fn no_spikes_after_a_year_on_the_warm_dim_sill() {
    let sill = with_journal(vec![(date(2025, 11, 1), Event::Moved(Id::new("sill")))]);
    let out = with_journal(vec![
        (date(2025, 11, 1), Event::Moved(Id::new("porch"))),
        (date(2026, 5, 10), Event::Moved(Id::new("bench"))),
        (date(2026, 11, 5), Event::Moved(Id::new("porch"))),
    ]);
    let (bad, good) = (
        diagnose(&sill, Symptom::NoFlowers),
        diagnose(&out, Symptom::NoFlowers),
    );
    for name in [
        "Too little light in growth",
        "Nights too warm while flowers were set",
    ] {
        let (bad, good) = (named(&bad, name), named(&good, name));
        assert!(
            bad.likelihood > good.likelihood,
            "{name}: {bad:#?} {good:#?}"
        );
        assert!(!bad.evidence_for.is_empty(), "{name}: {bad:#?}");
        assert!(!good.evidence_against.is_empty(), "{name}: {good:#?}");
    }
    assert_ne!(bad[0].name, "Something the record does not hold");
}

#[test]
fn a_thin_record_is_called_thin() {
    let thin = diagnose(&with_journal(Vec::new()), Symptom::Shrivelled);
    let unseen = named(&thin, "Something the record does not hold");
    assert!(
        unseen.evidence_for.iter().any(|t| t.contains("no move")),
        "{unseen:#?}"
    );
    assert!(
        unseen.evidence_for.iter().any(|t| t.contains("waterings")),
        "{unseen:#?}"
    );

    // The journal begins in December: the months before are unknown, not taken for the porch.
    let late = with_journal(vec![(date(2026, 12, 10), Event::Moved(Id::new("porch")))]);
    let causes = diagnose(&late, Symptom::NoFlowers);
    let unseen = named(&causes, "Something the record does not hold");
    assert!(
        unseen
            .evidence_for
            .iter()
            .any(|t| t.contains("of the past 52 weeks")),
        "{unseen:#?}"
    );
    assert!(
        named(&causes, "Too little light in growth")
            .evidence_for
            .is_empty()
    );
}

/// Light under the range, be it by a hair, never speaks against too little light, and what is compared reads as it is.
#[test]
fn regress_light_on_the_wrong_side_never_counts_against_its_cause() {
    let mut both = [0, 0];
    for spot in ["bench", "porch", "sill"] {
        let mut case = with_journal(Vec::new());
        let mut plant = (**case.site.plants.get(&Id::new("cym")).unwrap()).clone();
        plant.stands = Some(Id::new(spot));
        case.site.plants.put(Id::new("cym"), plant);
        for symptom in Symptom::ALL {
            for cause in diagnose(&case, symptom) {
                for (side, told) in [&cause.evidence_for, &cause.evidence_against]
                    .into_iter()
                    .enumerate()
                {
                    for line in told.iter().filter(|l| l.contains("mol/m² a day")) {
                        let figures: Vec<f64> = line
                            .split_whitespace()
                            .filter_map(|w| w.parse().ok())
                            .collect();
                        let (has, wants) = (figures[0], figures[figures.len() - 1]);
                        assert_ne!(has, wants, "{line}");
                        assert_eq!(side == 0, has < wants, "{spot}, {line}");
                        both[side] += 1;
                    }
                }
            }
        }
    }
    assert!(both[0] > 0 && both[1] > 0, "{both:?}");
}
