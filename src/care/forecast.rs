//! Which plants a forecast night concerns: bring in, be ready to, or leave where they stand.

mod read;

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;
use serde::Serialize;

pub use read::{ForecastFault, ForecastFileError, read, read_file};

use super::spot_name;
use crate::{
    air::{
        covers,
        forecast::{ForecastDay, SpotNight},
    },
    base::{Day, Id},
    needs::{Damage, Kind, Leaf, StageName},
    planner::Plan,
    scoring::{ScoreWord, Scores},
    site::{NightCoverKind, Plant, Reach, Site},
};

/// Roots in their pot lag behind the air of a frosty night by about this, K (from memory).
const POT_LAG_K: f64 = 1.5;
/// A cover that adds less than this to air and leaves is not worth naming, K.
const WORTH_A_COVER_K: f64 = 0.5;

/// What to do with a plant on a night.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Advice {
    /// A limit is reached as the forecast stands.
    BringIn,
    /// A limit is within what one night of ten may bring.
    BeReady,
    Stay,
}

impl Advice {
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::BringIn => "Bring in",
            Self::BeReady => "Be ready to",
            Self::Stay => "May stay",
        }
    }
}

/// What a limit protects.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Limit {
    /// Air at which growers bring the kind in, a margin above harm.
    BringIn,
    Leaves,
    Buds,
    Roots,
}

impl Limit {
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::BringIn => "growers bring it in",
            Self::Leaves => "leaves are hurt",
            Self::Buds => "buds are hurt",
            Self::Roots => "roots are hurt",
        }
    }
}

/// A plant's night under a frost cover that is not there yet.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Under {
    pub cover: NightCoverKind,
    /// Lowest air and leaf beneath it, °C.
    pub air_min_c: f64,
    pub leaf_min_c: f64,
    /// What would then be to do.
    pub advice: Advice,
}

/// A plant on a night.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlantNight {
    /// Evening of the night.
    pub date: NaiveDate,
    pub plant: Id,
    pub spot: Id,
    pub advice: Advice,
    /// Lowest air and leaf of the plant's own leaves, °C.
    pub air_min_c: f64,
    pub leaf_min_c: f64,
    /// How much colder one night of ten may be, K.
    pub margin_k: f64,
    /// The limit that is nearest, and its temperature, °C.
    pub limit: Limit,
    pub limit_c: f64,
    /// How far the night stays above that limit, K; negative below it.
    pub spare_k: f64,
    /// The least cover under which it may stay; where there is none, the one that helps most. Where nothing is to do, or
    /// no cover is worth it, there is nothing.
    pub under: Option<Under>,
    /// A place for it where this night is safe and there is room: where the plan has it, else the one that scores best.
    pub to: Option<Refuge>,
    /// Where the plan has it on that day, if that is not where it was last recorded: whether it was moved is not known.
    pub planned_on: Option<Id>,
    pub cautions: Vec<String>,
}

/// Where a plant is to go for a night.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Refuge {
    pub spot: Id,
    /// How the place suits it in the week of the night, 0..=100; `None` where too little is known.
    pub points: Option<f64>,
    /// Lowest air there that night, °C.
    pub air_min_c: f64,
    /// The plan has it there then.
    pub planned: bool,
}

/// A spot on a night.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlaceNight {
    pub date: NaiveDate,
    pub spot: Id,
    pub air_min_c: f64,
    pub day_max_c: f64,
    pub margin_k: f64,
}

/// All that is said of a forecast.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Outlook {
    pub forecast: Vec<ForecastDay>,
    /// By date, then by spot.
    pub spots: Vec<PlaceNight>,
    /// By date, then the most pressing first.
    pub plants: Vec<PlantNight>,
}

/// What the list is made from. `nights` are those of `spots`, in the same order.
pub struct OutlookInputs<'a> {
    pub site: &'a Site,
    pub forecast: &'a [ForecastDay],
    pub spots: &'a [&'a Id],
    pub nights: &'a [Vec<SpotNight>],
    /// For where a plant is to go, and for where it stands if the site does not say.
    pub scores: Option<&'a Scores>,
    pub plan: Option<&'a Plan>,
}

/// Caution that goes with frost covers.
pub const COVER_CAUTION: &str = covers::CAUTION;

/// Cautions that go with every list of plants to bring in.
pub const CAUTIONS: &str = "Carry in daylight, watered pots weigh more; clear steps and a firm ladder, and a second person \
for what is heavy. No fuel heater among plants without ventilation and a carbon monoxide alarm; electric ones outdoor-rated, \
on a protected circuit, clear of fleece. Follow local codes.";

/// The plants of a forecast.
#[must_use]
pub fn outlook(inputs: &OutlookInputs<'_>) -> Outlook {
    let mut out = Outlook {
        forecast: inputs.forecast.to_vec(),
        ..Outlook::default()
    };
    out.forecast.sort_by_key(|d| d.date);
    let dates: BTreeSet<NaiveDate> = inputs.forecast.iter().map(|d| d.date).collect();
    for date in dates {
        let on: BTreeMap<&Id, &SpotNight> = inputs
            .spots
            .iter()
            .zip(inputs.nights)
            .filter_map(|(id, nights)| Some((*id, nights.iter().find(|n| n.date == date)?)))
            .collect();
        out.spots.extend(on.iter().map(|(id, night)| PlaceNight {
            date,
            spot: (*id).clone(),
            air_min_c: night.air_min_c,
            day_max_c: night.day_max_c,
            margin_k: night.margin_k(),
        }));
        let mut plants: Vec<PlantNight> = inputs
            .site
            .plants
            .iter()
            .filter_map(|(id, plant)| of_plant(inputs, date, id, plant, &on))
            .collect();
        plants.sort_by(|a, b| {
            a.advice
                .cmp(&b.advice)
                .then_with(|| a.spare_k.total_cmp(&b.spare_k))
                .then_with(|| a.plant.cmp(&b.plant))
        });
        find_places(inputs, date, &on, &mut plants);
        out.plants.extend(plants);
    }
    out
}

/// Where a plant stands on a date: where the site has it, else where the plan does. Moves of the plan count as not made
/// until they are recorded: a plant that is thought indoors and is not freezes.
fn stands<'a>(
    inputs: &'a OutlookInputs<'_>,
    date: NaiveDate,
    id: &Id,
    plant: &'a Plant,
) -> Option<&'a Id> {
    plant.stands.as_ref().or_else(|| planned(inputs, date, id))
}

/// Where the plan has a plant on a date.
fn planned<'a>(inputs: &'a OutlookInputs<'_>, date: NaiveDate, id: &Id) -> Option<&'a Id> {
    let plan = inputs.plan?;
    let week = usize::try_from((date - plan.from).num_days().div_euclid(7)).ok()?;
    plan.spot_of(id, week)
}

fn of_plant(
    inputs: &OutlookInputs<'_>,
    date: NaiveDate,
    id: &Id,
    plant: &Plant,
    on: &BTreeMap<&Id, &SpotNight>,
) -> Option<PlantNight> {
    let spot = stands(inputs, date, id, plant)?;
    let night = on.get(spot)?;
    let kind = inputs.site.kind(&plant.kind)?;
    let in_bud = in_bud(inputs, id, kind, date);
    let judged = judge(kind, in_bud, &Met::of(night, &kind.leaf), night.margin_k());
    Some(PlantNight {
        date,
        plant: id.clone(),
        spot: spot.clone(),
        advice: judged.advice,
        air_min_c: night.air_min_c,
        leaf_min_c: night.leaf_c(&kind.leaf),
        margin_k: night.margin_k(),
        limit: judged.limit,
        limit_c: judged.limit_c,
        spare_k: judged.spare_k,
        under: (judged.advice != Advice::Stay)
            .then(|| under(kind, in_bud, night))
            .flatten(),
        to: None,
        planned_on: planned(inputs, date, id).filter(|p| *p != spot).cloned(),
        cautions: Vec::new(),
    })
}

/// Whether a plant is in bud or bloom, by its own calendar where it has one.
fn in_bud(inputs: &OutlookInputs<'_>, plant: &Id, kind: &Kind, date: NaiveDate) -> bool {
    let day = Day::of(date);
    inputs
        .scores
        .and_then(|s| s.stage(plant, kind, day.week()))
        .or_else(|| kind.stage_on(day, inputs.site.hemisphere()))
        .is_some_and(|(_, s)| matches!(s.stage, StageName::Bud | StageName::Bloom))
}

#[derive(Clone, Copy)]
struct Judged {
    advice: Advice,
    limit: Limit,
    limit_c: f64,
    spare_k: f64,
}

/// The lowest that air and leaves of a plant meet in a night, °C.
struct Met {
    air_c: f64,
    leaf_c: f64,
}

impl Met {
    fn of(night: &SpotNight, leaf: &Leaf) -> Self {
        Self {
            air_c: night.air_min_c,
            leaf_c: night.leaf_c(leaf),
        }
    }
}

/// The cover that is worth naming.
fn under(kind: &Kind, in_bud: bool, night: &SpotNight) -> Option<Under> {
    let open = Met::of(night, &kind.leaf);
    NightCoverKind::ALL
        .into_iter()
        .filter_map(|cover| {
            let (air_c, leaf_c) = night.under(cover, &kind.leaf)?;
            let gain_k = (air_c - open.air_c).max(leaf_c - open.leaf_c);
            let judged = judge(kind, in_bud, &Met { air_c, leaf_c }, night.margin_k());
            (gain_k >= WORTH_A_COVER_K).then_some((
                judged,
                Under {
                    cover,
                    air_min_c: air_c,
                    leaf_min_c: leaf_c,
                    advice: judged.advice,
                },
            ))
        })
        // The first of equals is the lightest.
        .min_by(|a, b| {
            let best = |j: &Judged| {
                if j.advice == Advice::Stay {
                    0.0
                } else {
                    -j.spare_k
                }
            };
            b.0.advice
                .cmp(&a.0.advice)
                .then_with(|| best(&a.0).total_cmp(&best(&b.0)))
        })
        .map(|(_, under)| under)
}

/// Holds a night against all limits of a kind; the nearest decides.
fn judge(kind: &Kind, in_bud: bool, met: &Met, margin_k: f64) -> Judged {
    let Damage {
        leaf_frost_c,
        bud_frost_c,
        root_frost_c,
        bring_in_c,
        ..
    } = &kind.damage;
    let mut limits = vec![
        (Limit::BringIn, bring_in_c.value, met.air_c),
        (Limit::Leaves, leaf_frost_c.value, met.leaf_c),
        (Limit::Roots, root_frost_c.value, met.air_c + POT_LAG_K),
    ];
    if in_bud {
        limits.push((Limit::Buds, bud_frost_c.value, met.leaf_c));
    }
    let (limit, limit_c, spare_k) = limits
        .into_iter()
        .map(|(limit, c, met)| (limit, c, met - c))
        .min_by(|a, b| a.2.total_cmp(&b.2).then_with(|| a.0.cmp(&b.0)))
        .unwrap_or((Limit::BringIn, bring_in_c.value, 0.0));
    let advice = if spare_k <= 0.0 {
        Advice::BringIn
    } else if spare_k <= margin_k {
        Advice::BeReady
    } else {
        Advice::Stay
    };
    Judged {
        advice,
        limit,
        limit_c,
        spare_k,
    }
}

/// Finds each plant that must move a place where its night is safe, the most pressing first, as far as there is room;
/// among safe places the one that scores best.
fn find_places(
    inputs: &OutlookInputs<'_>,
    date: NaiveDate,
    on: &BTreeMap<&Id, &SpotNight>,
    plants: &mut [PlantNight],
) {
    let site = inputs.site;
    let week = Day::of(date).week();
    let area = |plant: &Id| {
        site.plants
            .get(plant)
            .map_or(0.0, |p| p.pot.footprint_cm2())
    };
    let mut left: BTreeMap<&Id, f64> = on
        .keys()
        .filter_map(|id| {
            let holds = site.spots.get(id)?.holds;
            Some((*id, f64::from(holds.pots) * holds.rim_cm * holds.rim_cm))
        })
        .collect();
    for night in plants.iter().filter(|p| p.advice != Advice::BringIn) {
        if let Some(room) = left.get_mut(&night.spot) {
            *room -= area(&night.plant);
        }
    }
    // First each to where the plan has it, so that no other takes that room; then the rest to what scores best.
    for by_plan in [true, false] {
        for night in plants
            .iter_mut()
            .filter(|p| p.advice == Advice::BringIn && p.to.is_none())
        {
            let Some(plant) = site.plants.get(&night.plant) else {
                continue;
            };
            let Some(kind) = site.kind(&plant.kind) else {
                continue;
            };
            let needs = plant.pot.footprint_cm2();
            let in_bud = in_bud(inputs, &night.plant, kind, date);
            let planned = planned(inputs, date, &night.plant);
            let best = on
                .iter()
                .filter(|(id, there)| {
                    let Some(spot) = site.spots.get(id) else {
                        return false;
                    };
                    **id != &night.spot
                        && (!by_plan || planned == Some(**id))
                        && spot.holds.misfit(&plant.pot).is_none()
                        && spot.months.has(week.month0())
                        && left.get(**id).is_some_and(|room| *room >= needs)
                        && judge(kind, in_bud, &Met::of(there, &kind.leaf), there.margin_k()).advice
                            == Advice::Stay
                })
                .map(|(id, there)| Refuge {
                    spot: (*id).clone(),
                    points: inputs
                        .scores
                        .and_then(|s| s.get(&night.plant, id, week))
                        .and_then(|s| s.points),
                    air_min_c: there.air_min_c,
                    planned: planned == Some(*id),
                })
                .max_by(|a, b| {
                    let points = |r: &Refuge| r.points.unwrap_or(0.0);
                    points(a)
                        .total_cmp(&points(b))
                        .then_with(|| b.spot.cmp(&a.spot))
                });
            if let Some(to) = best {
                if let Some(room) = left.get_mut(&to.spot) {
                    *room -= needs;
                }
                night.to = Some(to);
            }
        }
    }
    for night in plants.iter_mut().filter(|p| p.advice == Advice::BringIn) {
        if let Some(plant) = site.plants.get(&night.plant) {
            let to = night.to.as_ref().map(|r| &r.spot);
            night.cautions = cautions(site, plant, &night.spot, to);
        }
    }
}

fn cautions(site: &Site, plant: &Plant, from: &Id, to: Option<&Id>) -> Vec<String> {
    let reach = [Some(from), to]
        .into_iter()
        .flatten()
        .filter_map(|id| site.spots.get(id))
        .map(|s| s.reach)
        .max()
        .unwrap_or(Reach::Easy);
    let limit_kg = match reach {
        Reach::Easy => 1.0,
        Reach::Awkward => 0.8,
        Reach::Stairs | Reach::Overhead => 0.5,
    } * site.choices.lift_limit_kg;
    let mut all = Vec::new();
    if plant.weight_kg > limit_kg {
        all.push(format!(
            "{:.0} kg when watered: two people or a trolley",
            plant.weight_kg
        ));
    }
    match reach {
        Reach::Overhead => all.push("overhead: firm steps, by daylight, not alone".to_owned()),
        Reach::Stairs => all.push("stairs: clear them, a hand for the rail".to_owned()),
        Reach::Easy | Reach::Awkward => {}
    }
    all
}

/// Why, in a sentence: `"air −1.2 °C, leaves −3.0 °C, ±2.3 K; leaves are hurt at −2.0 °C"`.
#[must_use]
pub fn why(night: &PlantNight) -> String {
    let c = |v: f64| format!("{v:.1}").replace('-', "\u{2212}");
    let mut text = format!(
        "air {} °C, leaves {} °C, one night in ten {:.1} K colder; {} at {} °C",
        c(night.air_min_c),
        c(night.leaf_min_c),
        night.margin_k,
        night.limit.word(),
        c(night.limit_c),
    );
    if let Some(u) = &night.under {
        text.push_str(&format!(
            "; {}",
            under_words(u, &|v| format!("{} °C", c(v)))
        ));
    }
    text
}

/// What a cover would do: `"under fleece to the ground air 1.2 °C, leaves 0.8 °C: it may stay"`.
#[must_use]
pub fn under_words(under: &Under, celsius: &dyn Fn(f64) -> String) -> String {
    format!(
        "under {} to the ground air {}, leaves {}: {}",
        under.cover.word(),
        celsius(under.air_min_c),
        celsius(under.leaf_min_c),
        match under.advice {
            Advice::Stay => "it may stay",
            Advice::BeReady => "still to be watched",
            Advice::BringIn => "not enough",
        }
    )
}

/// Where to, in words; empty where it need not move: `"to “Porch”, where the plan has it: 64 (copes) in this week, 7.2 °C
/// that night"`.
#[must_use]
pub fn where_to(site: &Site, night: &PlantNight) -> String {
    match (&night.advice, &night.to) {
        (Advice::BringIn, Some(to)) => {
            let points = to.points.map_or_else(
                || "not scored".to_owned(),
                |p| format!("{p:.0} ({})", ScoreWord::of(p).word()),
            );
            format!(
                "to {}{}: {points} in this week, {:.1} °C that night",
                spot_name(site, &to.spot),
                if to.planned {
                    ", where the plan has it"
                } else {
                    ""
                },
                to.air_min_c
            )
        }
        (Advice::BringIn, None) => {
            "no drawn spot that it fits is safe and has room: cover it, or find it another place"
                .to_owned()
        }
        _ => String::new(),
    }
}

/// Of what was assumed about where it stands; empty where nothing speaks against it.
#[must_use]
pub fn assumed(site: &Site, night: &PlantNight) -> String {
    night.planned_on.as_ref().map_or_else(String::new, |planned| {
        format!(
            "taken to stand where it was last recorded; the plan has it on {}: if you moved it, record that",
            spot_name(site, planned)
        )
    })
}
