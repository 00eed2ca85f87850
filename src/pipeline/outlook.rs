use super::Outcome;
use crate::{
    air::{
        AirInputs, SpotAir,
        forecast::{self, ForecastDay},
    },
    base::{Cancelled, Id, Progress},
    care::forecast::{Outlook, OutlookInputs, outlook as of_nights},
    light::SpotLight,
    site::Spot,
};

/// What a forecast means at every spot and for every plant of an outcome.
///
/// # Errors
/// [`Cancelled`].
pub fn outlook(
    outcome: &Outcome,
    days: &[ForecastDay],
    progress: &Progress,
) -> Result<Outlook, Cancelled> {
    let site = &outcome.site;
    let known: Vec<(&Id, &Spot, &SpotLight, &SpotAir)> = outcome
        .spots
        .iter()
        .filter_map(|(id, found)| {
            let spot = site.spots.get(id)?;
            Some((id, &**spot, &*found.light, &*found.air))
        })
        .collect();
    let spots: Vec<(&Id, &Spot)> = known.iter().map(|k| (k.0, k.1)).collect();
    let light: Vec<&SpotLight> = known.iter().map(|k| k.2).collect();
    let air: Vec<&SpotAir> = known.iter().map(|k| k.3).collect();
    let inputs = AirInputs {
        place: &site.place,
        sun: &outcome.sun,
        weather: &outcome.weather,
    };
    let nights = forecast::nights(&inputs, site, &spots, &light, &air, days, progress)?;
    let ids: Vec<&Id> = known.iter().map(|k| k.0).collect();
    Ok(of_nights(&OutlookInputs {
        site,
        forecast: days,
        spots: &ids,
        nights: &nights,
        scores: Some(&outcome.scores),
        plan: outcome.plan.as_deref().ok(),
    }))
}
