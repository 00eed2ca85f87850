//! Plants and the journal.

use super::list::{Faults, join, object};
use crate::{
    base::Id,
    needs::library,
    site::{Event, Plant, Site},
};

pub(super) fn check(site: &Site, faults: &mut Faults) {
    for (id, plant) in site.plants.iter() {
        let at = object("plants", id);
        kind(site, &at, plant, faults);
        if let Some(spot) = &plant.stands {
            faults.known(&at, "stands", spot, &site.spots, "spot");
        }
        faults.range(&at, "pot.rim_cm", plant.pot.rim_cm, 3.0..=150.0, "cm");
        faults.range(&at, "pot.height_cm", plant.pot.height_cm, 3.0..=150.0, "cm");
        if let Some(date) = plant.pot.repotted {
            faults.date(&at, "pot.repotted", date);
        }
        faults.range(&at, "spread_cm", plant.spread_cm, 1.0..=800.0, "cm");
        faults.range(&at, "weight_kg", plant.weight_kg, 0.02..=500.0, "kg");
        faults.range(&at, "worth", plant.worth, 0.1..=10.0, "");
        stage_shifts(site, &at, plant, faults);
        for (i, flowering) in plant.flowered.iter().enumerate() {
            let at = format!("{at}.flowered[{i}]");
            faults.date(&at, "first_open", flowering.first_open);
            if let Some(last) = flowering.last_open {
                faults.date(&at, "last_open", last);
                if last < flowering.first_open {
                    faults.fault(
                        join(&at, "last_open"),
                        "the last flower comes before the first",
                        "check the years of the two dates",
                    );
                }
            }
        }
    }
    journal(site, faults);
}

fn stage_shifts(site: &Site, at: &str, plant: &Plant, faults: &mut Faults) {
    for (i, shift) in plant.stage_shift.iter().enumerate() {
        let at = format!("{at}.stage_shift[{i}]");
        faults.range(&at, "days", f64::from(shift.days), -90.0..=90.0, "days");
        let has = |kind: &crate::needs::Kind| kind.stages.iter().any(|s| s.stage == shift.stage);
        if site.kind(&plant.kind).is_some_and(|k| !has(k)) {
            faults.doubt(
                join(&at, "stage"),
                format!("its kind has no stage of {}", shift.stage.word()),
                "it has no effect; take it away, or choose another stage",
            );
        }
    }
}

fn kind(site: &Site, at: &str, plant: &Plant, faults: &mut Faults) {
    if site.kind(&plant.kind).is_some() {
        return;
    }
    let mut ids: Vec<&str> = library::kinds()
        .ids()
        .chain(site.kinds.ids())
        .map(Id::as_str)
        .collect();
    ids.sort_unstable();
    ids.dedup();
    let remedy = match super::super::syntax::nearest(plant.kind.as_str(), &ids) {
        Some(near) if !plant.kind.as_str().is_empty() => format!("did you mean \"{near}\"?"),
        _ => format!(
            "choose a kind, or write one of your own under `kinds`; the library has: {}",
            ids.join(", ")
        ),
    };
    faults.fault(
        join(at, "kind"),
        format!("there is no plant kind \"{}\"", plant.kind),
        remedy,
    );
}

/// A record outlives what it is about: a plant that died, a spot that was given up. So what is missing is no fault.
fn journal(site: &Site, faults: &mut Faults) {
    for (i, entry) in site.journal.iter().enumerate() {
        let at = format!("journal[{i}]");
        faults.date(&at, "date", entry.date);
        if let Some(plant) = entry.plant.as_ref().filter(|p| !site.plants.contains(p)) {
            faults.doubt(
                join(&at, "plant"),
                format!("there is no plant \"{plant}\" any more"),
                "leave it as a record, or correct the name",
            );
        }
        if let Event::Moved(spot) = &entry.event
            && !site.spots.contains(spot)
        {
            faults.doubt(
                join(&at, "event"),
                format!("there is no spot \"{spot}\" any more"),
                "leave it as a record, or correct the name",
            );
        }
    }
}
