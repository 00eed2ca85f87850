//! What the grower has decided.

use std::collections::BTreeMap;

use super::list::{Faults, join};
use crate::{
    base::Id,
    site::{Pin, Site},
};

pub(super) fn check(site: &Site, faults: &mut Faults) {
    let c = &site.choices;
    let at = "choices";
    if let Some(date) = c.plan_from {
        faults.date(at, "plan_from", date);
    }
    faults.range(at, "move_dislike", c.move_dislike, 0.0..=3.0, "");
    let weeks = f64::from(c.shortest_stay_weeks);
    faults.range(at, "shortest_stay_weeks", weeks, 1.0..=12.0, "weeks");
    faults.range(at, "lift_limit_kg", c.lift_limit_kg, 1.0..=200.0, "kg");
    for (i, absence) in c.absences.iter().enumerate() {
        let at = format!("choices.absences[{i}]");
        faults.date(&at, "from", absence.from);
        faults.date(&at, "to", absence.to);
        in_order(&at, absence.from, absence.to, faults);
    }
    let mut of_plant: BTreeMap<&Id, Vec<(usize, &Pin)>> = BTreeMap::new();
    for (i, pin) in c.pins.iter().enumerate() {
        let at = format!("choices.pins[{i}]");
        faults.known(&at, "plant", &pin.plant, &site.plants, "plant");
        faults.known(&at, "spot", &pin.spot, &site.spots, "spot");
        faults.date(&at, "from", pin.from);
        faults.date(&at, "to", pin.to);
        in_order(&at, pin.from, pin.to, faults);
        fits(site, &at, pin, faults);
        of_plant.entry(&pin.plant).or_default().push((i, pin));
    }
    for (plant, mut pins) in of_plant {
        pins.sort_by_key(|(i, pin)| (pin.from, *i));
        for (before, after) in pins.iter().zip(pins.iter().skip(1)) {
            if after.1.from <= before.1.to {
                faults.fault(
                    format!("choices.pins[{}]", after.0),
                    format!(
                        "\"{plant}\" is pinned to \"{}\" and to \"{}\" on {}",
                        before.1.spot, after.1.spot, after.1.from
                    ),
                    "shorten one of the two pins, or take it away",
                );
            }
        }
    }
}

fn in_order(at: &str, from: chrono::NaiveDate, to: chrono::NaiveDate, faults: &mut Faults) {
    if to < from {
        faults.fault(
            join(at, "to"),
            format!("the last day, {to}, comes before the first, {from}"),
            "exchange the two, or check the year",
        );
    }
}

fn fits(site: &Site, at: &str, pin: &Pin, faults: &mut Faults) {
    if let (Some(plant), Some(spot)) = (site.plants.get(&pin.plant), site.spots.get(&pin.spot))
        && let Some(misfit) = spot.holds.misfit(&plant.pot)
    {
        faults.fault(
            join(at, "spot"),
            format!(
                "a pot of {} cm does not fit on \"{}\", which takes {} cm",
                misfit.pot_cm, pin.spot, misfit.takes_cm
            ),
            "take the pin away, or say that wider pots fit on the spot",
        );
    }
}
