//! What to look at and when: spikes, pests before coming in, cold nights, cloth.

use std::collections::BTreeMap;

use chrono::{Days, Months as CalendarMonths};

use super::{CareInputs, Task, TaskKind, Year, spot_name};
use crate::{
    base::{Id, Week, calendar::MONTH_NAMES, names::years_in},
    needs::StageName,
    scoring::HazardKind,
};

/// Staking when spikes and scapes rise: once, some weeks into each spike and bud stage.
pub(super) fn staking(inputs: &CareInputs<'_>, year: &Year<'_>, out: &mut Vec<Task>) {
    for (id, plant) in inputs.site.plants.iter() {
        let Some(kind) = inputs.site.kind(&plant.kind) else {
            continue;
        };
        let spiky = matches!(
            kind.group,
            crate::needs::Group::CoolOrchid
                | crate::needs::Group::IntermediateOrchid
                | crate::needs::Group::WarmOrchid
        );
        if !spiky {
            continue;
        }
        let in_bud = |week: Week| {
            inputs
                .scores
                .stage(id, kind, week)
                .is_some_and(|(_, s)| s.stage == StageName::Bud)
        };
        // A spike is long enough to tie some six weeks after buds begin to show (common practice).
        let Some(week) = (0..year.weeks.len()).find(|w| {
            let now = year.weeks[*w];
            in_bud(now) && in_bud(now.plus(-6)) && !in_bud(now.plus(-7))
        }) else {
            continue;
        };
        out.push(Task {
            kind: TaskKind::Stake,
            week,
            date: year.dates[week],
            plant: Some(id.clone()),
            what: "Stake spikes that are longer than a hand".to_owned(),
            why: "spikes harden as they grow: tie loosely, cane first, spike second; do not turn the pot after".to_owned(),
            caution: Some("cap the canes: danger to eyes".to_owned()),
        });
    }
}

/// A look for pests two weeks before a plant comes in.
pub(super) fn before_coming_in(inputs: &CareInputs<'_>, year: &Year<'_>, out: &mut Vec<Task>) {
    let indoors = |spot: &Id| {
        inputs
            .site
            .spots
            .get(spot)
            .is_some_and(|s| s.room.is_some())
    };
    for m in &inputs.plan.moves {
        let comes_in = m.from.as_ref().is_some_and(|f| !indoors(f)) && indoors(&m.to);
        if !comes_in {
            continue;
        }
        let week = m.week.saturating_sub(2);
        out.push(Task {
            kind: TaskKind::Check,
            week,
            date: year.dates[week],
            plant: Some(m.plant.clone()),
            what: format!("Look for pests: it comes in on {}", m.date.format("%-d %B")),
            why: "leaf undersides, axils, drain holes and saucer: scale, mealybug, mites, thrips, slugs, ants; two \
                  weeks are enough to treat and look again (common practice)"
                .to_owned(),
            caution: Some("pesticides by their label only, outdoors, with gloves; never on food plants unless allowed".to_owned()),
        });
    }
}

/// Weeks in which the planned spot is at risk of frost: have covers ready, watch the forecast.
pub(super) fn cold_nights(inputs: &CareInputs<'_>, year: &Year<'_>, out: &mut Vec<Task>) {
    for (week, date) in year.dates.iter().enumerate() {
        // Plants by spot, so that one task speaks for all that stand together.
        let mut at_risk: BTreeMap<&Id, (f64, Vec<&str>)> = BTreeMap::new();
        for (id, plant) in inputs.site.plants.iter() {
            let Some(spot) = inputs.plan.spot_of(id, week) else {
                continue;
            };
            let Some(score) = inputs.scores.get(id, spot, year.weeks[week]) else {
                continue;
            };
            let chance = score
                .hazards
                .iter()
                .filter(|h| {
                    matches!(
                        h.kind,
                        HazardKind::LeafFrost | HazardKind::BudFrost | HazardKind::RootFrost
                    )
                })
                .map(|h| h.chance)
                .fold(0.0, f64::max);
            if chance >= 0.05 {
                let entry = at_risk.entry(spot).or_default();
                entry.0 = entry.0.max(chance);
                entry.1.push(if plant.name.is_empty() {
                    id.as_str()
                } else {
                    &plant.name
                });
            }
        }
        for (spot, (chance, names)) in at_risk {
            let bring_in = names.join(", ");
            out.push(Task {
                kind: TaskKind::Check,
                week,
                date: *date,
                plant: None,
                what: format!("Watch the night minimum at {}", spot_name(inputs.site, spot)),
                why: format!(
                    "frost reaches {bring_in} {} in this week; on clear calm nights leaves are 2-3 K colder than the \
                     air that is forecast",
                    years_in(chance)
                ),
                caution: Some(
                    "fleece to the ground, not touching leaves, off by mid-morning; heaters only as their maker says, \
                     on a protected circuit, with ventilation; follow local codes"
                        .to_owned(),
                ),
            });
        }
    }
}

/// Cloth goes up and comes down with the months it is set for.
pub(super) fn cloths(inputs: &CareInputs<'_>, year: &Year<'_>, out: &mut Vec<Task>) {
    for (id, cloth) in inputs.site.cloths.iter() {
        let name = if cloth.name.is_empty() {
            id.as_str()
        } else {
            &cloth.name
        };
        for (month0, month) in MONTH_NAMES.iter().enumerate() {
            let (was, is) = (
                cloth.months.has((month0 + 11) % 12),
                cloth.months.has(month0),
            );
            if was == is {
                continue;
            }
            let Some((week, date)) = first_of_month(inputs, year, month0) else {
                continue;
            };
            let (what, why) = if is {
                (
                    format!("Put up the cloth “{name}” ({:.0} % shade)", cloth.shade_pct),
                    format!(
                        "set to be up from {}; before the first strong sun, not after",
                        month
                    ),
                )
            } else {
                (
                    format!("Take down the cloth “{name}”"),
                    format!(
                        "set to be down from {}; on a dull day, for the leaves beneath are used to shade",
                        month
                    ),
                )
            };
            out.push(Task {
                kind: TaskKind::Cloth,
                week,
                date,
                plant: None,
                what,
                why,
                caution: Some(
                    "firm ladder and a second person; fixings for wind load, no rope on gutters; take it down before a \
                     storm; follow local codes"
                        .to_owned(),
                ),
            });
        }
    }
}

/// The first day of a month within the plan and its week.
fn first_of_month(
    inputs: &CareInputs<'_>,
    year: &Year<'_>,
    month0: usize,
) -> Option<(usize, chrono::NaiveDate)> {
    use chrono::Datelike;
    let from = inputs.plan.from;
    let first = (0..=12)
        .filter_map(|n| from.with_day(1)?.checked_add_months(CalendarMonths::new(n)))
        .find(|d| *d >= from && d.month0() as usize == month0)?;
    let week = ((first - from).num_days() / 7) as usize;
    (week < year.weeks.len() && first < from + Days::new(7 * 52)).then_some((week, first))
}
