//! What to mind at a move: weight, light, pests, poison, heaters.

use super::{PlanInputs, weighing};
use crate::{
    base::{Id, geometry},
    needs::{StageName, Toxicity},
    site::{HeaterKind, Plant, Reach, Spot},
};

pub(super) fn of(
    inputs: &PlanInputs<'_>,
    (id, plant): (&Id, &Plant),
    from: Option<&Id>,
    to: &Id,
    plan_week: usize,
) -> Vec<String> {
    let site = inputs.site;
    let mut cautions = Vec::new();
    let Some(there) = site.spots.get(to) else {
        return cautions;
    };
    let here = from.and_then(|f| site.spots.get(f));
    lifting(
        plant,
        here.map(|s| &**s),
        there,
        site.choices.lift_limit_kg,
        &mut cautions,
    );

    let week = inputs.calendar_week(plan_week);
    let indoors = there.room.is_some();
    if let Some(kind) = site.kind(&plant.kind) {
        let stage = inputs.stage(id, kind, week);
        if let Some(from) = from
            && let (Some(a), Some(b)) = (inputs.offered(from, week), inputs.offered(to, week))
            && let Some(ratio) = weighing::brighter(kind, a, b)
        {
            let step = kind.brighter_step.value;
            if ratio > step {
                cautions.push(format!(
                    "{ratio:.1} times the light, and its old leaves stand {step:.1} times at once: move on a dull day, \
                     begin under 70-80 % shade without midday sun, give more every 3-4 days over {} weeks",
                    if ratio > 2.0 * step { "2-4" } else { "1-2" }
                ));
            } else if ratio < 0.4 {
                cautions.push(format!(
                    "{:.0} % of the light it had: by way of a shaded porch for 1-2 weeks if there is one; water less",
                    100.0 * ratio
                ));
            }
        }
        if matches!(stage, StageName::Bud | StageName::Bloom) {
            cautions.push(
                "in bud or bloom: move it once, gently, with the same side to the light".to_owned(),
            );
        }
        if indoors {
            poison(kind.poison.people, kind.poison.pets, &mut cautions);
        }
    }
    let comes_in = indoors && here.is_some_and(|s| s.room.is_none());
    if comes_in {
        cautions.push(
            "look for scale, mealybug, mites, slugs and ants two weeks before and on the day; keep it apart from the \
             others for two weeks"
                .to_owned(),
        );
    }
    if !indoors && here.is_some_and(|s| s.room.is_some()) {
        cautions.push("out on a mild dull day, sheltered from wind for the first week".to_owned());
    }
    if let Some(caution) = heater(inputs, there, week.month0()) {
        cautions.push(caution);
    }
    cautions
}

fn lifting(
    plant: &Plant,
    here: Option<&Spot>,
    there: &Spot,
    limit_kg: f64,
    cautions: &mut Vec<String>,
) {
    let reach = here.map_or(there.reach, |h| h.reach.max(there.reach));
    // Growers' and guidelines' rule: on stairs and overhead half of what is fine on the level.
    let limit = match reach {
        Reach::Easy => limit_kg,
        Reach::Awkward => 0.8 * limit_kg,
        Reach::Stairs | Reach::Overhead => 0.5 * limit_kg,
    };
    if plant.weight_kg > limit {
        cautions.push(format!(
            "{:.0} kg when watered: two people or a trolley, and water after the move",
            plant.weight_kg
        ));
    } else if plant.weight_kg > 0.75 * limit {
        cautions.push(format!(
            "{:.0} kg when watered: water after the move",
            plant.weight_kg
        ));
    }
    match reach {
        Reach::Stairs => {
            cautions.push("stairs: clear them, keep a hand free for the rail".to_owned())
        }
        Reach::Overhead => cautions.push(
            "overhead: firm steps and a second person; nothing heavy above a path".to_owned(),
        ),
        Reach::Easy | Reach::Awkward => {}
    }
}

fn poison(people: Toxicity, pets: Toxicity, cautions: &mut Vec<String>) {
    let whom = match (people, pets) {
        (Toxicity::Serious, _) => "seriously poisonous to people and pets",
        (_, Toxicity::Serious) => "seriously poisonous to pets",
        (Toxicity::Mild, _) => "can upset or irritate people and pets",
        (_, Toxicity::Mild) => "can upset pets",
        _ => return,
    };
    cautions.push(format!(
        "{whom}: out of reach of children and animals; if eaten, call a poison centre at once"
    ));
}

/// Heaters of the room that run in this month and stand nearer than their usual clearance.
fn heater(inputs: &PlanInputs<'_>, spot: &Spot, month0: usize) -> Option<String> {
    let room = spot.room.as_ref()?;
    inputs
        .site
        .heaters
        .values()
        .filter(|h| h.room == *room && h.runs.months.has(month0))
        .filter_map(|h| {
            let clearance_m = match h.kind {
                HeaterKind::Stove => 0.9,
                HeaterKind::FanHeater | HeaterKind::Convector => 1.0,
                HeaterKind::Radiator => 0.3,
                HeaterKind::FloorHeating => return None,
            };
            let over = spot.outline.len() > 2 && geometry::contains(&spot.outline, h.at);
            let distance_m = if over { 0.0 } else { geometry::distance_to_rim(&spot.outline, h.at) };
            (distance_m < clearance_m).then(|| {
                let name = if h.name.is_empty() { "a heater" } else { h.name.as_str() };
                format!(
                    "{distance_m:.1} m from “{name}”: keep pots, cloth and labels {clearance_m:.1} m clear or as its \
                     maker says, no water over it; follow local codes"
                )
            })
        })
        .next()
}
