use super::Outcome;
use crate::{
    air::{
        AirInputs, RISK_LEAF,
        cooler::{self, Answer, Elsewhere, Question},
        evening::Wetting,
    },
    base::{Cancelled, Id, Progress, Week},
    needs::StageName,
    site::{Pot, edit::ObjectKind},
};

/// Other spots of the site that are named.
const OWN_SPOTS: usize = 3;

/// What would bring a spot's nights down in a month, for a plant if one is named: its pot, its leaf, and the nights that it
/// wants while it sets flowers, else those of the month. Colder spots of the site are named with the other ways. `None`
/// where nothing is known of the spot.
///
/// # Errors
/// [`Cancelled`].
pub fn cooler_nights(
    outcome: &Outcome,
    spot_id: &Id,
    plant: Option<&Id>,
    month0: usize,
    wetting: Wetting,
    progress: &Progress,
) -> Result<Option<Answer>, Cancelled> {
    let site = &outcome.site;
    let (Some(spot), Some(found)) = (site.spots.get(spot_id), outcome.spots.get(spot_id)) else {
        return Ok(None);
    };
    let plant = plant.and_then(|id| Some((id, site.plants.get(id)?)));
    let kind = plant.and_then(|(_, p)| site.kind(&p.kind));
    let wanted_c = kind.and_then(|kind| {
        let setting = kind
            .stages
            .iter()
            .find(|s| s.stage == StageName::Initiation);
        let middle = Week::all().filter(|w| w.month0() == month0).nth(1);
        let of_month = middle.zip(plant).and_then(|(w, (id, _))| {
            let own = outcome.scores.stage(id, kind, w);
            own.or_else(|| kind.stage_in(w, site.hemisphere()))
                .map(|(_, s)| s)
        });
        setting
            .or(of_month)
            .map(|stage| stage.needs.night_c.value.ideal_high())
    });
    let usual = Pot::default();
    let inputs = AirInputs {
        place: &site.place,
        sun: &outcome.sun,
        weather: &outcome.weather,
    };
    let question = Question {
        month0,
        wetting,
        pot: plant.map_or(&usual, |(_, p)| &p.pot),
        leaf: kind.map_or(&RISK_LEAF, |k| &k.leaf),
        wanted_c,
        frost_c: kind.map(|kind| {
            let in_bud = Week::all().filter(|w| w.month0() == month0).any(|w| {
                let own = plant.and_then(|(id, _)| outcome.scores.stage(id, kind, w));
                let stage = own.or_else(|| kind.stage_in(w, site.hemisphere()));
                stage.is_some_and(|(_, s)| matches!(s.stage, StageName::Bud | StageName::Bloom))
            });
            let leaf_c = kind.damage.leaf_frost_c.value;
            if in_bud {
                leaf_c.max(kind.damage.bud_frost_c.value)
            } else {
                leaf_c
            }
        }),
    };
    let mut answer = cooler::nights(
        &inputs,
        site,
        (spot_id, spot),
        &found.light,
        &found.air,
        &question,
        progress,
    )?;
    if let Some(answer) = answer.as_mut().filter(|a| !a.suits) {
        let mut own: Vec<Elsewhere> = outcome
            .spots
            .iter()
            .filter(|(id, _)| *id != spot_id)
            .filter(|(id, _)| {
                let there = site.spots.get(id);
                there.is_some_and(|s| {
                    let pot = plant.map(|(_, p)| &p.pot);
                    s.months.has(month0) && pot.is_none_or(|p| s.holds.misfit(p).is_none())
                })
            })
            .map(|(id, there)| {
                let night_c = cooler::month_night_c(&there.air, month0);
                Elsewhere {
                    what: format!("on “{}”", site.name_of(ObjectKind::Spot, id)),
                    night_c,
                    change_k: night_c - answer.night_c,
                    coldest_leaf_c: cooler::month_coldest_c(&there.air, month0),
                }
            })
            .filter(|e| e.change_k < -0.3)
            .filter(|e| question.frost_c.is_none_or(|f| e.coldest_leaf_c > f))
            .collect();
        own.sort_by(|a, b| {
            a.change_k
                .total_cmp(&b.change_k)
                .then_with(|| a.what.cmp(&b.what))
        });
        own.truncate(OWN_SPOTS);
        answer.elsewhere.extend(own);
        answer.elsewhere.sort_by(|a, b| {
            a.change_k
                .total_cmp(&b.change_k)
                .then_with(|| a.what.cmp(&b.what))
        });
    }
    Ok(answer)
}
