//! Canopies, screens, trees, grounds and cloths.

use super::list::{Faults, join, object};
use crate::site::Site;

pub(super) fn check(site: &Site, faults: &mut Faults) {
    for (id, c) in site.canopies.iter() {
        let at = object("canopies", id);
        faults.range(&at, "height_m", c.height_m, 0.3..=60.0, "m");
        faults.range(&at, "thickness_m", c.thickness_m, 0.0..=3.0, "m");
        faults.range(&at, "passes", c.passes, 0.0..=1.0, "");
    }
    for (id, s) in site.screens.iter() {
        let at = object("screens", id);
        faults.range(&at, "base_m", s.base_m, 0.0..=60.0, "m");
        faults.range(&at, "top_m", s.top_m, 0.05..=60.0, "m");
        above(&at, "top_m", s.top_m, s.base_m, faults);
        faults.range(&at, "thickness_m", s.thickness_m, 0.0..=5.0, "m");
        faults.range(&at, "porosity", s.porosity, 0.0..=1.0, "");
        faults.range(&at, "reflectance", s.reflectance, 0.0..=1.0, "");
        if let Some(bare) = s.bare_porosity {
            faults.range(&at, "bare_porosity", bare, 0.0..=1.0, "");
            if bare < s.porosity {
                faults.doubt(
                    join(&at, "bare_porosity"),
                    format!(
                        "it is denser without leaves ({bare}) than in leaf ({})",
                        s.porosity
                    ),
                    "porosity is the open share: exchange the two",
                );
            }
        }
    }
    for (id, t) in site.trees.iter() {
        let at = object("trees", id);
        faults.range(&at, "crown_radius_m", t.crown_radius_m, 0.1..=30.0, "m");
        faults.range(&at, "crown_base_m", t.crown_base_m, 0.0..=60.0, "m");
        faults.range(&at, "top_m", t.top_m, 0.2..=100.0, "m");
        above(&at, "top_m", t.top_m, t.crown_base_m, faults);
        faults.range(&at, "leaf_area_index", t.leaf_area_index, 0.0..=15.0, "");
    }
    for (id, g) in site.grounds.iter() {
        if let Some(reflectance) = g.reflectance {
            let at = object("grounds", id);
            faults.range(&at, "reflectance", reflectance, 0.0..=1.0, "");
        }
    }
    for (id, c) in site.cloths.iter() {
        let at = object("cloths", id);
        faults.range(&at, "height_m", c.height_m, 0.1..=60.0, "m");
        faults.range(&at, "shade_pct", c.shade_pct, 5.0..=95.0, "%");
        faults.range(&at, "drop_m", c.drop_m, 0.0..=60.0, "m");
        if c.drop_m > c.height_m {
            faults.fault(
                join(&at, "drop_m"),
                format!(
                    "it hangs {} m down from a height of {} m",
                    c.drop_m, c.height_m
                ),
                "let it end at the ground",
            );
        }
    }
}

fn above(at: &str, field: &str, top: f64, foot: f64, faults: &mut Faults) {
    if top <= foot {
        faults.fault(
            join(at, field),
            format!("it ends at {top} m, at or below its lower end at {foot} m"),
            "give both as heights above the ground",
        );
    }
}
