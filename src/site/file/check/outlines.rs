//! Outlines that enclose something, and points that lie on the plan.

use super::list::{Faults, join, object};
use crate::{
    base::{Pt, geometry},
    site::Site,
};

/// Farther from the plan's origin nothing is drawn, m.
const FARTHEST_M: f64 = 2_000.0;
const LEAST_AREA_M2: f64 = 0.05;

pub(super) fn check(site: &Site, faults: &mut Faults) {
    macro_rules! areas {
        ($($table:ident),+) => {$(
            for (id, o) in site.$table.iter() {
                let at = object(stringify!($table), id);
                if near(&at, "outline", &o.outline, faults) {
                    area(&at, &o.outline, LEAST_AREA_M2, faults);
                }
            }
        )+};
    }
    areas!(buildings, rooms, canopies, grounds, cloths);
    for (id, screen) in site.screens.iter() {
        let at = object("screens", id);
        if near(&at, "line", &screen.line, faults) {
            if screen.line.len() < 2 {
                faults.fault(
                    join(&at, "line"),
                    format!("{} points make no line", screen.line.len()),
                    "give at least two points",
                );
            } else if screen.line.windows(2).any(|w| w.first() == w.last()) {
                faults.fault(
                    join(&at, "line"),
                    "two points that follow one another are the same",
                    "take one of the two out",
                );
            }
        }
    }
    for (id, spot) in site.spots.iter() {
        let at = object("spots", id);
        if !near(&at, "outline", &spot.outline, faults) {
            continue;
        }
        match spot.outline.as_slice() {
            [] => faults.fault(
                join(&at, "outline"),
                "the spot is not drawn yet",
                "give one point, the two ends of a sill, or the corners of an area",
            ),
            [_] => {}
            [a, b] => {
                if a.distance(*b) < 0.01 {
                    faults.fault(
                        join(&at, "outline"),
                        "the two ends of the line are the same point",
                        "give one point only, or the two ends",
                    );
                }
            }
            outline => area(&at, outline, 0.001, faults),
        }
    }
    points(site, faults);
}

/// Whether all points are near enough to be of the site.
fn near(at: &str, field: &str, points: &[Pt], faults: &mut Faults) -> bool {
    let far = points
        .iter()
        .position(|p| p.is_finite() && (p.x().abs() > FARTHEST_M || p.y().abs() > FARTHEST_M));
    if let Some(i) = far {
        faults.fault(
            format!("{at}.{field}[{i}]"),
            format!("the point lies more than {FARTHEST_M} m from the plan's origin"),
            "give metres on the plan, with the origin near the house",
        );
    }
    far.is_none() && points.iter().all(|p| p.is_finite())
}

fn area(at: &str, outline: &[Pt], least_m2: f64, faults: &mut Faults) {
    let field = join(at, "outline");
    if outline.len() < 3 {
        faults.fault(
            field,
            format!("{} corners enclose nothing", outline.len()),
            "give at least three corners",
        );
    } else if !geometry::is_simple(outline) {
        faults.fault(
            field,
            "the outline crosses or touches itself",
            "give the corners in their order round the rim, each once; the last leads back to the first by itself",
        );
    } else if geometry::signed_area(outline).abs() < least_m2 {
        faults.fault(
            field,
            format!("the outline encloses less than {least_m2} m²"),
            "check the unit: metres are expected",
        );
    }
}

fn points(site: &Site, faults: &mut Faults) {
    macro_rules! places {
        ($($table:ident),+) => {$(
            for (id, o) in site.$table.iter() {
                let p = o.at;
                if p.is_finite() && (p.x().abs() > FARTHEST_M || p.y().abs() > FARTHEST_M) {
                    faults.fault(
                        join(&object(stringify!($table), id), "at"),
                        format!("the point lies more than {FARTHEST_M} m from the plan's origin"),
                        "give metres on the plan, with the origin near the house",
                    );
                }
            }
        )+};
    }
    places!(trees, heaters, vents, fans, trays);
}
