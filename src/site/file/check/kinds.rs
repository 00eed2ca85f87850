//! Plant kinds of the grower's own.

use super::list::{Faults, object};
use crate::{
    needs::{Band, Kind, Stage},
    site::Site,
};

pub(super) fn check(site: &Site, faults: &mut Faults) {
    for (id, kind) in site.kinds.iter() {
        let at = object("kinds", id);
        stages(&at, kind, faults);
        let d = &kind.damage;
        for (field, value) in [
            ("leaf_frost_c", d.leaf_frost_c.value),
            ("bud_frost_c", d.bud_frost_c.value),
            ("root_frost_c", d.root_frost_c.value),
            ("bring_in_c", d.bring_in_c.value),
        ] {
            faults.range(
                &at,
                &format!("damage.{field}.value"),
                value,
                -50.0..=30.0,
                "°C",
            );
        }
        let heat = d.leaf_heat_c.value;
        faults.range(&at, "damage.leaf_heat_c.value", heat, 20.0..=80.0, "°C");
        faults.range(&at, "leaf.width_m", kind.leaf.width_m, 0.0005..=2.0, "m");
        faults.range(
            &at,
            "leaf.conductance_mol_m2_s",
            kind.leaf.conductance_mol_m2_s,
            0.001..=2.0,
            "mol/m²s",
        );
        let years = kind.repot.every_years.value;
        faults.range(&at, "repot.every_years.value", years, 0.2..=30.0, "years");
        let shock = kind.change_sensitivity.value;
        faults.range(&at, "change_sensitivity.value", shock, 0.0..=1.0, "");
        let step = kind.brighter_step.value;
        faults.range(&at, "brighter_step.value", step, 1.0..=10.0, "");
    }
}

fn stages(at: &str, kind: &Kind, faults: &mut Faults) {
    if kind.stages.is_empty() {
        faults.fault(
            format!("{at}.stages"),
            "the kind has no stages",
            "give at least one stage, with what the plant needs in it",
        );
    }
    if kind.stages.len() > 24 {
        faults.fault(
            format!("{at}.stages"),
            format!("the kind has {} stages", kind.stages.len()),
            "join some; a year has room for 24 at most",
        );
    }
    // Each stage lasts until the next begins; the year may turn once between two of them.
    let starts: Vec<usize> = kind
        .stages
        .iter()
        .map(|s| s.from.day_of_year().index())
        .collect();
    let after = || starts.iter().cycle().skip(1);
    let turns = starts.iter().zip(after()).filter(|(a, b)| b <= a).count();
    if starts.len() > 1 && turns > 1 {
        faults.fault(
            format!("{at}.stages"),
            "the stages do not follow one another through the year",
            "put them in the order of their first days, no two on the same day",
        );
    }
    for (i, stage) in kind.stages.iter().enumerate() {
        check_stage(&format!("{at}.stages[{i}]"), stage, faults);
    }
}

fn check_stage(at: &str, stage: &Stage, faults: &mut Faults) {
    let n = &stage.needs;
    let mut band = |field: &str, band: Band, lo: f64, hi: f64, unit: &str| {
        let at = format!("{at}.needs.{field}.value");
        let corners = [band.0, band.1, band.2, band.3];
        if corners.iter().all(|c| c.is_finite()) && !band.is_valid() {
            faults.fault(
                at,
                format!("the corners {corners:?} run downwards"),
                "write (harm at or below, content from, content to, harm at or above)",
            );
        } else {
            for corner in corners {
                faults.range(&at, "", corner, lo..=hi, unit);
            }
        }
    };
    band("dli", n.dli.value, -1e3, 1e3, "mol/m² a day");
    band("peak_ppfd", n.peak_ppfd.value, -1e4, 1e4, "µmol/m² s");
    band("day_c", n.day_c.value, -99.0, 99.0, "°C");
    band("night_c", n.night_c.value, -99.0, 99.0, "°C");
    if let Some(difference) = &n.day_night_k {
        band("day_night_k", difference.value, -99.0, 999.0, "K");
    }
    band("rh_pct", n.rh_pct.value, -100.0, 200.0, "%");
    band("air_m_s", n.air_m_s.value, -10.0, 100.0, "m/s");
    let w = &n.weights;
    for (field, value) in [
        ("dli", w.dli),
        ("peak_ppfd", w.peak_ppfd),
        ("day_c", w.day_c),
        ("night_c", w.night_c),
        ("day_night_k", w.day_night_k),
        ("rh_pct", w.rh_pct),
        ("air_m_s", w.air_m_s),
    ] {
        faults.range(at, &format!("needs.weights.{field}"), value, 0.0..=3.0, "");
    }
    let water = &stage.water;
    let depletion = water.depletion.value;
    faults.range(at, "water.depletion.value", depletion, 0.0..=1.0, "");
    let kc = water.crop_coefficient.value;
    faults.range(at, "water.crop_coefficient.value", kc, 0.0..=3.0, "");
    let (shortest, longest) = water.interval_d.value;
    faults.range(at, "water.interval_d.value", shortest, 0.1..=365.0, "days");
    faults.range(at, "water.interval_d.value", longest, 0.1..=365.0, "days");
    if shortest > longest {
        faults.fault(
            format!("{at}.water.interval_d.value"),
            format!(
                "the shortest interval, {shortest} days, is longer than the longest, {longest}"
            ),
            "exchange the two",
        );
    }
    if let Some(days) = stage.feed.interval_d {
        faults.range(at, "feed.interval_d", days, 0.5..=365.0, "days");
    }
    if let Some(nitrogen) = stage.feed.nitrogen_mg_l {
        faults.range(at, "feed.nitrogen_mg_l", nitrogen, 0.0..=2000.0, "mg/L");
    }
}
