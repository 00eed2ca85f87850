//! A pot pulled from one spot to another: what comes of it where it is let go.

use chrono::Days;

use crate::{
    app::{
        parts::{dates, form::quantity::Quantity},
        state::{Request, Sight},
    },
    base::Id,
    site::{
        Choices, Pin, Plant,
        edit::{Edit, Object},
    },
};

/// What letting go would do.
#[derive(Clone, Debug, PartialEq)]
pub enum Landing {
    /// Over no spot, or over the one where it stands.
    Nowhere,
    /// It cannot stand there; why.
    Refused(String),
    /// The plan keeps it there from the ribbon's week on.
    Pinned(Pin),
    /// There is no plan yet: it stands there now.
    Stands(Plant),
}

/// What comes of a pot let go over a spot in the ribbon's week.
#[must_use]
pub fn landing(sight: &Sight<'_>, plant_id: &Id, spot_id: Option<&Id>) -> Landing {
    let site = sight.site();
    let (Some(plant), Some(spot_id)) = (site.plants.get(plant_id), spot_id) else {
        return Landing::Nowhere;
    };
    let Some(spot) = site.spots.get(spot_id) else {
        return Landing::Nowhere;
    };
    let week = sight.looking.plan_week;
    let here = match sight.plan() {
        Some(plan) => plan.spot_of(plant_id, week),
        None => plant.stands.as_ref(),
    };
    if here == Some(spot_id) {
        return Landing::Nowhere;
    }
    let rim = |cm| Quantity::Centimetres.words(cm, sight.looking.units);
    if plant.pot.rim_cm > spot.holds.rim_cm {
        return Landing::Refused(format!(
            "A pot of {} does not fit: {} takes {}",
            rim(plant.pot.rim_cm),
            sight.spot_name(spot_id),
            rim(spot.holds.rim_cm)
        ));
    }
    if sight.plan().is_none() {
        return Landing::Stands(Plant {
            stands: Some(spot_id.clone()),
            ..Plant::clone(plant)
        });
    }
    let days = u64::from(site.choices.shortest_stay_weeks.clamp(1, 12)) * 7 - 1;
    let from = sight.date_of(week);
    Landing::Pinned(Pin {
        plant: plant_id.clone(),
        spot: spot_id.clone(),
        from,
        to: from + Days::new(days),
    })
}

impl Landing {
    /// Beside the pointer, before it is let go.
    #[must_use]
    pub fn words(&self, sight: &Sight<'_>) -> String {
        match self {
            Self::Nowhere => "onto another spot".to_owned(),
            Self::Refused(why) => why.clone(),
            Self::Pinned(pin) => format!(
                "onto {} from {} for {}",
                sight.spot_name(&pin.spot),
                dates::short(pin.from),
                weeks(pin)
            ),
            Self::Stands(plant) => plant
                .stands
                .as_ref()
                .map_or_else(String::new, |s| format!("onto {}", sight.spot_name(s))),
        }
    }

    /// What is asked for once it is let go.
    #[must_use]
    pub fn requests(self, sight: &Sight<'_>, plant_id: &Id) -> Vec<Request> {
        let name = sight.plant_name(plant_id);
        match self {
            Self::Nowhere => Vec::new(),
            Self::Refused(why) => vec![Request::Say(why)],
            Self::Pinned(pin) => {
                let spot = sight.spot_name(&pin.spot);
                let note = format!(
                    "{name} is pinned to {spot} for {} from {}; the Year desk changes that",
                    weeks(&pin),
                    dates::short(pin.from)
                );
                let mut choices = Choices::clone(&sight.site().choices);
                choices.pin(pin);
                vec![
                    Request::Edit(format!("Pin {name} to {spot}"), Edit::SetChoices(choices)),
                    Request::Say(note),
                ]
            }
            Self::Stands(plant) => {
                let spot = plant.stands.as_ref().map(|s| sight.spot_name(s));
                vec![Request::Edit(
                    format!("Stand {name} on {}", spot.unwrap_or_default()),
                    Edit::Put(plant_id.clone(), Object::Plant(plant)),
                )]
            }
        }
    }
}

fn weeks(pin: &Pin) -> String {
    match (pin.to - pin.from).num_days().div_euclid(7) + 1 {
        1 => "a week".to_owned(),
        n => format!("{n} weeks"),
    }
}
