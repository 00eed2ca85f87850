//! Which causes a symptom may have. Each rule: how common it is before the record is looked at (ours), what of the
//! record speaks for and against it, what to do, and where that comes from.

use super::{
    Symptom,
    evidence::{
        Change, Evidence, cold_nights, damp_and_still, dim, dry_air, even_days, feeds_in, frost,
        heater_or_vent, moved, too_bright, warm_nights, watering,
    },
    record::Record,
};
use crate::{
    needs::StageName,
    scoring::HazardKind,
    site::{Condition, Event},
};

pub(super) struct Rule {
    pub symptom: Symptom,
    pub name: &'static str,
    /// How common, beside the others of the same symptom.
    pub prior: f64,
    pub applies: fn(&Record<'_>) -> bool,
    pub weigh: fn(&Record<'_>, &mut Evidence),
    pub remedy: &'static str,
    pub source: &'static str,
}

const PRACTICE: &str = "common practice, no source";
const SETTING: &[StageName] = &[StageName::Initiation];
const GROWING: &[StageName] = &[StageName::Growth, StageName::Initiation];
const LEAF_OR_ROOT: &[HazardKind] = &[HazardKind::LeafFrost, HazardKind::RootFrost];

fn always(_: &Record<'_>) -> bool {
    true
}

fn has_stage(r: &Record<'_>, stage: StageName) -> bool {
    r.kind.stages.iter().any(|s| s.stage == stage)
}

/// A repotting within a year speaks for a missed flowering.
fn newly_potted(r: &Record<'_>, e: &mut Evidence) {
    let told = r
        .entries(365)
        .iter()
        .find(|x| x.event == Event::Repotted)
        .map(|x| x.date);
    let Some(date) = told.max(r.plant.pot.repotted) else {
        return;
    };
    let days = (r.inputs.today - date).num_days();
    let text = format!("last repotted on {}", date.format("%-d %B %Y"));
    if (0..365).contains(&days) {
        e.pro(1.4, text);
    } else {
        e.con(1.2, text);
    }
}

fn old_mix(r: &Record<'_>, e: &mut Evidence) {
    let Some(date) = r.plant.pot.repotted else {
        return;
    };
    let years = (r.inputs.today - date).num_days() as f64 / 365.25;
    let text = format!("{years:.1} years in the same mix");
    if years > r.kind.repot.every_years.value + 1.0 {
        e.pro(1.0, text);
    } else {
        e.con(0.6, text);
    }
}

/// Came to warmer nights while flowers were still being set.
fn came_in_early(r: &Record<'_>, e: &mut Evidence) {
    let indoors = |w: &super::record::PastWeek<'_>| w.offered.map(|o| o.indoors);
    let weeks = r.in_stages(SETTING);
    let in_weeks: Vec<_> = weeks
        .iter()
        .filter(|w| indoors(w) == Some(true))
        .copied()
        .collect();
    if in_weeks.len() >= 2 {
        warm_nights(&in_weeks, e);
    } else if weeks.iter().filter(|w| indoors(w) == Some(false)).count() > 2 {
        e.con(1.2, "it stood outdoors while flowers were set".to_owned());
    }
}

fn feeding_of_flowers(r: &Record<'_>, e: &mut Evidence) {
    match (feeds_in(r, &[StageName::Growth]), feeds_in(r, SETTING)) {
        (Some(0), _) => e.pro(0.8, "no feed in growth in the journal".to_owned()),
        (Some(_), Some(late)) if late > 6 => {
            e.pro(0.6, format!("fed {late} times while flowers were set"));
        }
        (Some(n), _) => e.con(0.5, format!("fed {n} times in growth")),
        _ => {}
    }
}

fn weak(r: &Record<'_>, e: &mut Evidence) {
    match r.plant.condition {
        Condition::Weak => e.pro(1.2, "you call it weak".to_owned()),
        Condition::Strong => e.con(1.2, "you call it strong".to_owned()),
        Condition::Fair => {}
    }
}

fn cloth_taken_down(r: &Record<'_>, e: &mut Evidence) {
    use chrono::Datelike;
    let now = r.inputs.today.month0() as usize;
    for cloth in r.inputs.site.cloths.values() {
        let down = (0..2).any(|back| {
            let m = (now + 12 - back) % 12;
            !cloth.months.has(m) && cloth.months.has((m + 11) % 12)
        });
        if down {
            e.pro(
                0.9,
                format!("the cloth “{}” came down within two months", cloth.name),
            );
        }
    }
}

fn pests_seen(r: &Record<'_>, e: &mut Evidence) {
    if let Some(x) = r.entries(90).iter().find(|x| x.event == Event::PestSeen) {
        e.pro(
            1.5,
            format!("you saw pests on {}", x.date.format("%-d %B %Y")),
        );
    }
}

fn nothing(_: &Record<'_>, _: &mut Evidence) {}

fn much_feed(r: &Record<'_>, e: &mut Evidence) {
    if let Some(n) = feeds_in(
        r,
        &[
            StageName::Growth,
            StageName::Initiation,
            StageName::Bud,
            StageName::Bloom,
            StageName::AfterBloom,
            StageName::Rest,
        ],
    ) {
        if n > 25 {
            e.pro(0.9, format!("fed {n} times in a year"));
        } else {
            e.con(0.4, format!("fed {n} times in a year"));
        }
    }
}

fn little_feed(r: &Record<'_>, e: &mut Evidence) {
    match feeds_in(r, GROWING) {
        Some(n) if n < 3 => e.pro(0.8, format!("fed {n} times in growth")),
        Some(n) => e.con(0.8, format!("fed {n} times in growth")),
        None => {}
    }
}

pub(super) const RULES: &[Rule] = &[
    Rule {
        symptom: Symptom::NoFlowers,
        name: "Too little light in growth",
        prior: 3.0,
        applies: always,
        weigh: |r, e| dim(r, &r.in_stages(GROWING), e),
        remedy: "a brighter spot or thinner cloth from spring on, by steps; leaves should be yellow-green, not dark",
        source: "American Orchid Society and Cymbidium Society of America culture sheets",
    },
    Rule {
        symptom: Symptom::NoFlowers,
        name: "Nights too warm while flowers were set",
        prior: 3.0,
        applies: |r| has_stage(r, StageName::Initiation),
        weigh: |r, e| warm_nights(&r.in_stages(SETTING), e),
        remedy: "out in the open in late summer, off paving and warm walls, or a cooler room",
        source: "American Orchid Society and Cymbidium Society of America culture sheets",
    },
    Rule {
        symptom: Symptom::NoFlowers,
        name: "Day and night too alike while flowers were set",
        prior: 1.5,
        applies: |r| {
            r.kind
                .stages
                .iter()
                .any(|s| s.stage == StageName::Initiation && s.needs.day_night_k.is_some())
        },
        weigh: |r, e| even_days(&r.in_stages(SETTING), e),
        remedy: "an open spot under clear sky, sun by day, no roof by night",
        source: "Cymbidium Society of America, culture page",
    },
    Rule {
        symptom: Symptom::NoFlowers,
        name: "Came indoors too early",
        prior: 1.2,
        applies: |r| has_stage(r, StageName::Initiation),
        weigh: came_in_early,
        remedy: "leave it out until just before its own frost limit, then to a cool bright place",
        source: PRACTICE,
    },
    Rule {
        symptom: Symptom::NoFlowers,
        name: "No cool rest",
        prior: 2.0,
        applies: |r| has_stage(r, StageName::Rest),
        weigh: |r, e| warm_nights(&r.in_stages(&[StageName::Rest]), e),
        remedy: "6-8 weeks cool and nearly dry at its resting time",
        source: PRACTICE,
    },
    Rule {
        symptom: Symptom::NoFlowers,
        name: "Newly repotted or divided",
        prior: 1.0,
        applies: always,
        weigh: newly_potted,
        remedy: "wait a year; divide to 3-5 bulbs and more next time",
        source: PRACTICE,
    },
    Rule {
        symptom: Symptom::NoFlowers,
        name: "Starved in growth, or fed late",
        prior: 0.8,
        applies: always,
        weigh: feeding_of_flowers,
        remedy: "feed from spring on, less nitrogen from late summer",
        source: PRACTICE,
    },
    Rule {
        symptom: Symptom::NoFlowers,
        name: "Plant too weak or too small",
        prior: 1.0,
        applies: always,
        weigh: weak,
        remedy: "a year of good light and steady feed first",
        source: PRACTICE,
    },
    Rule {
        symptom: Symptom::BudsDrop,
        name: "Nights too warm in bud",
        prior: 2.5,
        applies: always,
        weigh: |r, e| warm_nights(&r.last(6), e),
        remedy: "a cooler place until the first flower opens",
        source: "cymbidium growers' guide, Santa Barbara",
    },
    Rule {
        symptom: Symptom::BudsDrop,
        name: "Shock of a move",
        prior: 1.5,
        applies: always,
        weigh: |r, e| moved(r, 28, &[Change::Night, Change::Darker, Change::Drier], e),
        remedy: "move before buds colour or after they open, by a step between",
        source: PRACTICE,
    },
    Rule {
        symptom: Symptom::BudsDrop,
        name: "Plume of a heater or jet of a vent",
        prior: 1.2,
        applies: always,
        weigh: |r, e| heater_or_vent(&r.last(4), e),
        remedy: "1.5-2 m away, or turn the vent aside; keep the heater's own clearance",
        source: PRACTICE,
    },
    Rule {
        symptom: Symptom::BudsDrop,
        name: "Air too dry",
        prior: 1.0,
        applies: always,
        weigh: |r, e| dry_air(&r.last(4), 35.0, e),
        remedy: "a cooler room or a humidifier; a tray of water adds little",
        source: PRACTICE,
    },
    Rule {
        symptom: Symptom::BudsDrop,
        name: "Dried out once",
        prior: 1.2,
        applies: always,
        weigh: |r, e| watering(r, 60, true, e),
        remedy: "evenly moist from spike to flower; weigh the pot in the hand",
        source: PRACTICE,
    },
    Rule {
        symptom: Symptom::BudsDrop,
        name: "Roots too wet",
        prior: 0.8,
        applies: always,
        weigh: |r, e| {
            watering(r, 60, false, e);
            old_mix(r, e);
        },
        remedy: "look at the roots; cut the brown, repot after the season",
        source: PRACTICE,
    },
    Rule {
        symptom: Symptom::BudsDrop,
        name: "Sun on the buds",
        prior: 0.8,
        applies: always,
        weigh: |r, e| too_bright(&r.last(4), e),
        remedy: "a thin net or a step back from the glass",
        source: "American Orchid Society, culture sheets",
    },
    Rule {
        symptom: Symptom::BudsDrop,
        name: "Frost on the buds",
        prior: 0.7,
        applies: always,
        weigh: |r, e| frost(r, &r.last(6), &[HazardKind::BudFrost], e),
        remedy: "in before the spike's own limit, which is higher than the leaves'",
        source: "Cymbidium Society of America, culture page",
    },
    Rule {
        symptom: Symptom::BudsDrop,
        name: "Gas, smoke or ripe fruit (ethylene)",
        prior: 0.4,
        applies: always,
        weigh: nothing,
        remedy: "air the room, no fruit bowl, no unflued heater",
        source: PRACTICE,
    },
    Rule {
        symptom: Symptom::LeavesScorched,
        name: "Too much light at once after a move",
        prior: 2.5,
        applies: always,
        weigh: |r, e| moved(r, 45, &[Change::Brighter], e),
        remedy: "shade now; next time by steps over 2-4 weeks; burnt patches stay",
        source: PRACTICE,
    },
    Rule {
        symptom: Symptom::LeavesScorched,
        name: "Spot too bright at noon",
        prior: 2.0,
        applies: always,
        weigh: |r, e| too_bright(&r.last(8), e),
        remedy: "cloth or a spot without midday sun",
        source: PRACTICE,
    },
    Rule {
        symptom: Symptom::LeavesScorched,
        name: "Cloth taken down",
        prior: 1.0,
        applies: always,
        weigh: cloth_taken_down,
        remedy: "take it down in a dull week, or later",
        source: PRACTICE,
    },
    Rule {
        symptom: Symptom::LeavesDark,
        name: "Too little light",
        prior: 3.0,
        applies: always,
        weigh: |r, e| dim(r, &r.last(26), e),
        remedy: "brighter by steps of a quarter to a half",
        source: "American Orchid Society, culture sheets",
    },
    Rule {
        symptom: Symptom::LeavesDark,
        name: "Much nitrogen",
        prior: 0.8,
        applies: always,
        weigh: much_feed,
        remedy: "half the strength, flush once",
        source: PRACTICE,
    },
    Rule {
        symptom: Symptom::LeavesYellow,
        name: "Age of the oldest leaves",
        prior: 1.5,
        applies: always,
        weigh: nothing,
        remedy: "none if only the oldest yellow",
        source: PRACTICE,
    },
    Rule {
        symptom: Symptom::LeavesYellow,
        name: "Too bright",
        prior: 1.0,
        applies: always,
        weigh: |r, e| too_bright(&r.last(12), e),
        remedy: "some shade at noon",
        source: PRACTICE,
    },
    Rule {
        symptom: Symptom::LeavesYellow,
        name: "Too little feed",
        prior: 1.0,
        applies: always,
        weigh: little_feed,
        remedy: "feed in growth",
        source: PRACTICE,
    },
    Rule {
        symptom: Symptom::LeavesYellow,
        name: "Wet, airless roots",
        prior: 1.2,
        applies: always,
        weigh: |r, e| {
            watering(r, 90, false, e);
            old_mix(r, e);
        },
        remedy: "let it dry further; look at the roots",
        source: PRACTICE,
    },
    Rule {
        symptom: Symptom::LeavesYellow,
        name: "Moved to a darker place",
        prior: 0.8,
        applies: always,
        weigh: |r, e| moved(r, 60, &[Change::Darker], e),
        remedy: "by a place between; water less",
        source: PRACTICE,
    },
    Rule {
        symptom: Symptom::LeavesYellow,
        name: "Too cold",
        prior: 0.8,
        applies: always,
        weigh: |r, e| cold_nights(&r.last(8), e),
        remedy: "a warmer place, dry leaves",
        source: PRACTICE,
    },
    Rule {
        symptom: Symptom::LeavesYellow,
        name: "Mites",
        prior: 0.7,
        applies: always,
        weigh: |r, e| {
            dry_air(&r.last(8), 40.0, e);
            pests_seen(r, e);
        },
        remedy: "look under leaves with a lens; rinse; moister air; treat by the label only",
        source: PRACTICE,
    },
    Rule {
        symptom: Symptom::BrownTips,
        name: "Salts in the mix",
        prior: 1.5,
        applies: always,
        weigh: |r, e| {
            much_feed(r, e);
            old_mix(r, e);
        },
        remedy: "flush with 2-3 pot volumes of plain water, soft if it can be had",
        source: PRACTICE,
    },
    Rule {
        symptom: Symptom::BrownTips,
        name: "Air too dry",
        prior: 1.0,
        applies: always,
        weigh: |r, e| dry_air(&r.last(12), 35.0, e),
        remedy: "away from the heater, a cooler room",
        source: PRACTICE,
    },
    Rule {
        symptom: Symptom::BrownTips,
        name: "Roots dried out",
        prior: 1.0,
        applies: always,
        weigh: |r, e| watering(r, 90, true, e),
        remedy: "even moisture",
        source: PRACTICE,
    },
    Rule {
        symptom: Symptom::Shrivelled,
        name: "Drought",
        prior: 1.5,
        applies: always,
        weigh: |r, e| watering(r, 60, true, e),
        remedy: "soak twice, then by weight",
        source: PRACTICE,
    },
    Rule {
        symptom: Symptom::Shrivelled,
        name: "Root rot",
        prior: 1.3,
        applies: always,
        weigh: |r, e| {
            watering(r, 90, false, e);
            old_mix(r, e);
        },
        remedy: "heavy pot and yet limp: out of the pot, cut brown roots, fresh mix, drier",
        source: PRACTICE,
    },
    Rule {
        symptom: Symptom::Shrivelled,
        name: "Very dry air",
        prior: 0.6,
        applies: always,
        weigh: |r, e| dry_air(&r.last(6), 30.0, e),
        remedy: "moister, cooler, more shade",
        source: PRACTICE,
    },
    Rule {
        symptom: Symptom::BlackSpots,
        name: "Damp still air (rot or grey mould)",
        prior: 2.0,
        applies: always,
        weigh: |r, e| damp_and_still(&r.last(6), e),
        remedy: "a fan, water in the morning only, cut out with a clean blade",
        source: "American Orchid Society, culture sheets: leaves dry by night",
    },
    Rule {
        symptom: Symptom::BlackSpots,
        name: "Cold and wet",
        prior: 1.2,
        applies: always,
        weigh: |r, e| cold_nights(&r.last(8), e),
        remedy: "drier and a little warmer",
        source: PRACTICE,
    },
    Rule {
        symptom: Symptom::BlackSpots,
        name: "Frost",
        prior: 0.8,
        applies: always,
        weigh: |r, e| frost(r, &r.last(6), LEAF_OR_ROOT, e),
        remedy: "see frost damage",
        source: PRACTICE,
    },
    Rule {
        symptom: Symptom::FrostDamage,
        name: "Frost where it stood",
        prior: 3.0,
        applies: always,
        weigh: |r, e| frost(r, &r.last(6), LEAF_OR_ROOT, e),
        remedy: "shade from morning sun, prune when the harm shows its edge; in a week earlier next time",
        source: PRACTICE,
    },
    Rule {
        symptom: Symptom::FrostDamage,
        name: "Chilling without frost",
        prior: 1.0,
        applies: always,
        weigh: |r, e| cold_nights(&r.last(6), e),
        remedy: "a warmer place; keep it drier",
        source: PRACTICE,
    },
    Rule {
        symptom: Symptom::FrostDamage,
        name: "Rot that looks like frost",
        prior: 0.6,
        applies: always,
        weigh: |r, e| damp_and_still(&r.last(6), e),
        remedy: "cut out, dry leaves, moving air",
        source: PRACTICE,
    },
];
