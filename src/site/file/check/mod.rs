//! Everything that can be wrong in a site that reads well, one file per matter. Each looks at the whole site and
//! goes on after a fault, so that one reading tells them all.

mod choices;
mod climate;
mod devices;
mod doubts;
mod drawing;
mod garden;
mod house;
mod kinds;
mod list;
mod names;
mod numbers;
mod outlines;
mod plants;
mod spots;
mod totals;

use super::{Fault, Severity};
use crate::site::Site;
use list::Faults;

/// Faults first, then doubts, each in the order of the document's tables.
pub(super) fn all(site: &Site) -> Vec<Fault> {
    let mut faults = Faults::default();
    if !totals::check(site, &mut faults) {
        // What follows compares things with one another, which would take too long.
        return faults.sorted();
    }
    numbers::check(site, &mut faults);
    names::check(site, &mut faults);
    climate::check(site, &mut faults);
    house::check(site, &mut faults);
    garden::check(site, &mut faults);
    devices::check(site, &mut faults);
    spots::check(site, &mut faults);
    plants::check(site, &mut faults);
    kinds::check(site, &mut faults);
    choices::check(site, &mut faults);
    drawing::check(site, &mut faults);
    outlines::check(site, &mut faults);
    doubts::check(site, &mut faults);
    faults.sorted()
}
