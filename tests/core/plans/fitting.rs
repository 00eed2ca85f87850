//! Pots that are too wide for a spot: never planned there, told of with what would help.

use sillward::{
    base::Id,
    site::{Absence, Holds},
};

use super::seasons::{Case, date};

/// Porch and sill take pots of 18 cm; the plant's own is the usual one of 20 cm.
fn narrow_indoors(kind: &str) -> Case {
    let mut case = Case::new(45.0, &[("cym", kind)]);
    for id in ["porch", "sill"] {
        let mut spot = (**case.site.spots.get(&Id::new(id)).unwrap()).clone();
        spot.holds = Holds {
            pots: 3,
            rim_cm: 18.0,
        };
        case.site.spots.put(Id::new(id), spot);
    }
    let mut plant = (**case.site.plants.get(&Id::new("cym")).unwrap()).clone();
    plant.stands = Some(Id::new("bench"));
    case.site.plants.put(Id::new("cym"), plant);
    case
}

#[test]
fn regress_a_plant_left_in_the_frost_is_told_of_and_what_would_help() {
    let case = narrow_indoors("cymbidium-standard");
    let plan = case.plan(date(2026, 11, 25), None);
    assert!(plan.moves.is_empty() && !plan.is_safe());
    let exposed = &plan.exposed[0];
    assert_eq!(exposed.spot, Some(Id::new("bench")));
    // Frost comes at once and stays until spring.
    assert!(exposed.from_week <= 3 && exposed.weeks > 8, "{exposed:#?}");
    assert!(
        exposed
            .what
            .starts_with("no spot that it fits is safe from ")
            && exposed.what.contains("on “Bench” frost on"),
        "{}",
        exposed.what
    );
    assert!(
        exposed
            .help
            .starts_with("the pot of 20 cm is 2 cm too wide for “Porch”, which would score"),
        "{}",
        exposed.help
    );
    assert_eq!(
        case.site
            .misfit(&Id::new("cym"), &Id::new("sill"))
            .unwrap()
            .words(),
        "pot too wide: 20 cm, spot takes 18 cm"
    );
}

#[test]
fn a_pot_that_fits_is_safe_and_nothing_is_said() {
    let mut case = narrow_indoors("cymbidium-standard");
    let mut plant = (**case.site.plants.get(&Id::new("cym")).unwrap()).clone();
    plant.pot.rim_cm = 18.0;
    case.site.plants.put(Id::new("cym"), plant);
    let plan = case.plan(date(2026, 11, 25), None);
    assert!(plan.is_safe(), "{:#?}", plan.exposed);
    assert!(!plan.moves.is_empty());
}

#[test]
fn room_that_others_have_is_told_as_such() {
    let mut case = Case::new(45.0, &[("cym", "cymbidium-standard"), ("lemon", "lemon")]);
    for (id, pots) in [("porch", 1), ("sill", 0)] {
        let mut spot = (**case.site.spots.get(&Id::new(id)).unwrap()).clone();
        spot.holds = Holds { pots, rim_cm: 20.0 };
        case.site.spots.put(Id::new(id), spot);
    }
    let plan = case.plan(date(2026, 11, 25), None);
    let told = plan.exposed.first().expect("one of the two stays out");
    assert!(
        told.help.contains("but others have its room then"),
        "{}",
        told.help
    );
    // Who is away all winter could not carry it in; what is said does not blame the room then.
    let mut alone = Case::new(45.0, &[("cym", "cymbidium-standard")]);
    let mut plant = (**alone.site.plants.get(&Id::new("cym")).unwrap()).clone();
    plant.stands = Some(Id::new("bench"));
    alone.site.plants.put(Id::new("cym"), plant);
    let mut choices = (*alone.site.choices).clone();
    choices.absences.push(Absence {
        from: date(2026, 11, 20),
        to: date(2027, 3, 1),
    });
    alone.site.choices = choices.into();
    let plan = alone.plan(date(2026, 11, 25), None);
    let told = plan.exposed.first().expect("it stays out");
    assert!(told.help.contains("you are away"), "{}", told.help);
}

#[test]
fn without_any_other_place_what_would_help_follows_the_danger() {
    // Only the bench outdoors.
    let mut case = narrow_indoors("cymbidium-standard");
    for id in case.site.spots.ids().cloned().collect::<Vec<_>>() {
        if id != Id::new("bench") {
            case.site.spots.remove(&id);
        }
    }
    let plan = case.plan(date(2026, 11, 25), None);
    let told = plan.exposed.first().expect("it stays out in the frost");
    assert_eq!(
        told.help,
        "no drawn spot would do in all these weeks: draw one that does, such as a bright frost-free room or porch"
    );
}
