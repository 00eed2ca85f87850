//! One hour at a spot taken apart: what each cause adds.

use super::{
    AirInputs, SpotAir,
    devices::Running,
    leaf::{self, LeafPlace},
    parts::Cause,
    risk::RISK_LEAF,
    room_year::Rooms,
    spot_model::SpotModel,
    year::{self, OpenYear, at},
};
use crate::{
    base::{Cancelled, Progress, calendar::HOURS},
    light::SpotLight,
    site::{Site, Spot},
};

/// A cause's part in the air of an hour.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Contribution {
    pub cause: Cause,
    /// In the grower's words, with the device's name where there is one.
    pub what: String,
    /// °C for the first (the air around), K for the others.
    pub kelvin: f64,
    /// Air speed that it brings, m/s.
    pub speed_m_s: f64,
}

/// An hour at a spot.
#[derive(Clone, Debug, Default, PartialEq, serde::Serialize)]
pub struct ExplainedHour {
    /// Hour of the year, local standard time.
    pub hour: usize,
    /// The air around first, then whatever is not nil.
    pub contributions: Vec<Contribution>,
    pub air_c: f64,
    pub rh_pct: f64,
    pub vpd_kpa: f64,
    pub speed_m_s: f64,
    /// Of a 5 cm leaf of an orchid's conductance in this hour's light, °C.
    pub leaf_c: f64,
}

/// Takes hours of the typical year at a spot apart. `air` is the spot's own result, whose correction is shown.
/// Hours beyond the year are left out; without a typical year there is nothing to show.
///
/// # Errors
/// [`Cancelled`].
pub fn hours(
    inputs: &AirInputs<'_>,
    site: &Site,
    spot: &Spot,
    light: Option<&SpotLight>,
    air: &SpotAir,
    hours: impl IntoIterator<Item = usize>,
    progress: &Progress,
) -> Result<Vec<ExplainedHour>, Cancelled> {
    let Some(open) = OpenYear::of(inputs) else {
        return Ok(Vec::new());
    };
    let rooms = Rooms::of(site, &open, progress)?;
    let model = SpotModel::of(site, spot, light, &open);
    let sun = light.map_or_else(Vec::new, super::outdoors::sun_w_m2);
    Ok(hours
        .into_iter()
        .filter(|h| *h < HOURS)
        .map(|h| explain(inputs, &open, &rooms, &model, &sun, air, h))
        .collect())
}

fn explain(
    inputs: &AirInputs<'_>,
    open: &OpenYear,
    rooms: &Rooms,
    model: &SpotModel,
    sun: &[f32],
    air: &SpotAir,
    h: usize,
) -> ExplainedHour {
    let hour = &open.hours[h];
    let mut parts = model.parts(open, rooms, h);
    parts.add(
        Cause::Correction,
        super::correction_at(&air.correction, h / 24, hour.night),
    );
    let (room_c, demand) = match model {
        SpotModel::Indoors(spot) => rooms
            .years
            .get(spot.room_id())
            .map_or((hour.air_c, 0.0), |y| (at(&y.air_c, h), at(&y.demand, h))),
        SpotModel::Outdoors(_) => (parts.air_c() - parts.device.excess_k, 0.0),
    };
    let running = Running {
        month0: hour.month0,
        clock_h: hour.clock_h,
        room_c,
        demand,
    };
    let mut contributions = Vec::new();
    let mut unnamed = parts.device;
    for cause in Cause::ALL {
        let kelvin = parts.parts[cause as usize];
        if cause == Cause::Devices {
            for effect in model.effects() {
                let felt = effect.at(&running);
                if felt.excess_k.abs() > 0.005 || felt.speed_m_s > 0.005 {
                    unnamed.excess_k -= felt.excess_k;
                    contributions.push(Contribution {
                        cause,
                        what: if effect.name.is_empty() {
                            cause.word().to_owned()
                        } else {
                            effect.name.clone()
                        },
                        kelvin: felt.excess_k,
                        speed_m_s: felt.speed_m_s,
                    });
                }
            }
            if unnamed.excess_k.abs() > 0.005 {
                contributions.push(Contribution {
                    cause,
                    what: "leaks of windows and doors".to_owned(),
                    kelvin: unnamed.excess_k,
                    speed_m_s: 0.0,
                });
            }
        } else if cause == Cause::Base || kelvin.abs() > 0.005 {
            contributions.push(Contribution {
                cause,
                what: match (cause, model) {
                    (Cause::Base, SpotModel::Indoors(_)) => "air of the room".to_owned(),
                    (Cause::Base, SpotModel::Outdoors(_)) => "open air".to_owned(),
                    _ => cause.word().to_owned(),
                },
                kelvin,
                speed_m_s: if cause == Cause::Base {
                    parts.speed_m_s
                } else {
                    0.0
                },
            });
        }
    }
    let (air_c, rh_pct) = (at(&air.air_c, h), at(&air.rh_pct, h));
    let (sky_c, around_c, sky_view) = match model {
        SpotModel::Outdoors(spot) => (year::sky_of(hour), air_c, spot.sky_view(hour.month0)),
        SpotModel::Indoors(_) => (room_c, room_c, 0.0),
    };
    // Leaves absorb about half of the sun's energy: most of the visible, little of the near infrared.
    let absorbed_w_m2 = 0.5 * at(sun, h);
    ExplainedHour {
        hour: h,
        contributions,
        air_c,
        rh_pct,
        vpd_kpa: at(&air.vpd_kpa, h),
        speed_m_s: at(&air.speed_m_s, h),
        leaf_c: leaf::temperature_c(
            &RISK_LEAF,
            &LeafPlace {
                air_c,
                rh_pct,
                speed_m_s: at(&air.speed_m_s, h),
                absorbed_w_m2,
                sky_c,
                around_c,
                sky_view,
                elevation_m: inputs.place.elevation_m,
                day: hour.sun_up,
            },
        ),
    }
}
