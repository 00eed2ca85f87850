//! Whether the figures of a kind make sense together.

use super::{Band, Kind, Needs, Source};

/// What is wrong with a kind, one sentence each; empty when it can be used.
#[must_use]
pub fn faults(kind: &Kind) -> Vec<String> {
    let mut faults = Vec::new();
    if kind.name.trim().is_empty() {
        faults.push("the kind has no name".to_owned());
    }
    if kind.stages.is_empty() {
        faults.push("the kind has no stages; give at least one".to_owned());
    }
    let starts: Vec<usize> = kind
        .stages
        .iter()
        .map(|s| s.from.day_of_year().index())
        .collect();
    let turns = starts
        .iter()
        .zip(starts.iter().cycle().skip(1))
        .filter(|(a, b)| a >= b)
        .count();
    if starts.len() > 1 && turns != 1 {
        faults.push(
            "the stages do not follow each other once round the year; put them in order of `from`"
                .to_owned(),
        );
    }
    for stage in &kind.stages {
        let at = format!("{} from {}", stage.stage.word(), stage.from);
        needs_faults(&stage.needs, &at, &mut faults);
        let depletion = stage.water.depletion.value;
        if !(0.0..=1.0).contains(&depletion) {
            faults.push(format!(
                "{at}: depletion is {depletion}; it is a share, 0 to 1"
            ));
        }
        let kc = stage.water.crop_coefficient.value;
        if !(0.0..=2.0).contains(&kc) {
            faults.push(format!(
                "{at}: crop coefficient is {kc}; it lies between 0 and 2"
            ));
        }
        let (shortest, longest) = stage.water.interval_d.value;
        if !(shortest > 0.0 && shortest <= longest && longest <= 366.0) {
            faults.push(format!(
                "{at}: days between waterings run from {shortest} to {longest}; shortest first, both above 0"
            ));
        }
        if stage
            .feed
            .interval_d
            .is_some_and(|d| !(d >= 1.0 && d.is_finite()))
        {
            faults.push(format!("{at}: feeds are at least a day apart"));
        }
    }
    let damage = &kind.damage;
    for (name, value) in [
        ("leaf_frost_c", damage.leaf_frost_c.value),
        ("bud_frost_c", damage.bud_frost_c.value),
        ("root_frost_c", damage.root_frost_c.value),
        ("bring_in_c", damage.bring_in_c.value),
    ] {
        if !(-30.0..=20.0).contains(&value) {
            faults.push(format!("{name} is {value} °C; it lies between -30 and 20"));
        }
    }
    for (name, figure, range) in [
        ("bud_heat_c", &damage.bud_heat_c, 20.0..=50.0),
        ("root_heat_c", &damage.root_heat_c, 30.0..=55.0),
    ] {
        let Some(value) = figure.as_ref().map(|f| f.value) else {
            continue;
        };
        if !range.contains(&value) {
            faults.push(format!(
                "{name} is {value} °C; it lies between {} and {}",
                range.start(),
                range.end()
            ));
        }
    }
    let heat = damage.leaf_heat_c.value;
    if !(30.0..=65.0).contains(&heat) {
        faults.push(format!(
            "leaf_heat_c is {heat} °C; it lies between 30 and 65"
        ));
    }
    if !(kind.leaf.width_m > 0.0 && kind.leaf.width_m <= 1.0) {
        faults.push(format!(
            "the leaf is {} m wide; it lies between 0 and 1 m",
            kind.leaf.width_m
        ));
    }
    if !(0.0..=2.0).contains(&kind.leaf.conductance_mol_m2_s) {
        faults.push(format!(
            "the leaf's conductance is {} mol m⁻² s⁻¹; it lies between 0 and 2",
            kind.leaf.conductance_mol_m2_s
        ));
    }
    if !(0.0..=1.0).contains(&kind.change_sensitivity.value) {
        faults.push("change_sensitivity is a share, 0 to 1".to_owned());
    }
    if !(1.0..=10.0).contains(&kind.brighter_step.value) {
        faults.push("brighter_step is a ratio of 1 or more".to_owned());
    }
    faults
}

fn needs_faults(needs: &Needs, at: &str, faults: &mut Vec<String>) {
    for (name, figure) in [
        ("dli", Some(&needs.dli)),
        ("peak_ppfd", Some(&needs.peak_ppfd)),
        ("day_c", Some(&needs.day_c)),
        ("night_c", Some(&needs.night_c)),
        ("day_night_k", needs.day_night_k.as_ref()),
        ("rh_pct", Some(&needs.rh_pct)),
        ("vpd_kpa", needs.vpd_kpa.as_ref()),
        ("air_m_s", Some(&needs.air_m_s)),
    ] {
        let Some(figure) = figure else { continue };
        if !figure.value.is_valid() {
            let Band(a, b, c, d) = figure.value;
            faults.push(format!(
                "{at}: the corners of {name} are ({a}, {b}, {c}, {d}); they may not run downwards"
            ));
        }
        if matches!(&figure.source, Source::Published(what) | Source::WorkedOut(what) if what.trim().is_empty())
        {
            faults.push(format!("{at}: {name} names an empty source"));
        }
    }
    let w = needs.weights;
    for weight in [
        w.dli,
        w.peak_ppfd,
        w.day_c,
        w.night_c,
        w.day_night_k,
        w.rh_pct,
        w.vpd_kpa,
        w.air_m_s,
    ] {
        if !(0.0..=3.0).contains(&weight) {
            faults.push(format!(
                "{at}: a weight is {weight}; weights lie between 0 and 3"
            ));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{base::Id, needs::library};

    #[test]
    fn faults_of_a_kind_are_named() {
        let good = library::kinds()
            .get(&Id::new("cymbidium-standard"))
            .expect("is in the library");
        assert_eq!(faults(good), Vec::<String>::new());

        let mut kind = Kind::clone(good);
        kind.stages.swap(0, 1);
        kind.stages[2].needs.night_c.value = Band(5.0, 4.0, 12.0, 13.0);
        kind.stages[0].water.interval_d.value = (9.0, 3.0);
        kind.damage.leaf_heat_c.value = f64::NAN;
        let found = faults(&kind).join("\n");
        for part in ["once round the year", "night_c", "waterings", "leaf_heat_c"] {
            assert!(found.contains(part), "{part} in {found}");
        }
        kind.stages.clear();
        assert!(faults(&kind).iter().any(|f| f.contains("no stages")));
    }
}
