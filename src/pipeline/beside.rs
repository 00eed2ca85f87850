//! Spots side by side through the hours of some days, against what a plant wants of its warmth then.

use serde::Serialize;

use super::Outcome;
use crate::{
    air::course::usual_days_c,
    base::{Day, Id, calendar::DAYS},
    needs::{Band, StageName},
};

/// Some days at several spots.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Beside {
    /// First hour of the year that is shown, local standard time.
    pub first_hour: usize,
    /// Whether the sun is up in each hour.
    pub sun_up: Vec<bool>,
    pub spots: Vec<SpotHours>,
    pub wanted: Option<Wanted>,
}

/// A spot through these days.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SpotHours {
    pub spot: Id,
    /// Of each hour, as is usual in its week, °C.
    pub air_c: Vec<f64>,
    /// Mean of the hours with the sun up, and of the nightly lows, °C.
    pub day_c: f64,
    pub night_c: f64,
    /// How far they lie outside of what is wanted, K; 0 within, negative where it is too cold.
    pub day_off_k: Option<f64>,
    pub night_off_k: Option<f64>,
}

/// What the plant wants then.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Wanted {
    pub plant: Id,
    pub stage: StageName,
    /// Mean of the day, °C.
    pub day_c: Band,
    /// Low of the night, °C.
    pub night_c: Band,
}

impl Wanted {
    /// What is wanted in an hour: the day's range while the sun is up, else the night's.
    #[must_use]
    pub fn at(&self, sun_up: bool) -> Band {
        if sun_up { self.day_c } else { self.night_c }
    }
}

/// The usual hours of some days from `first` on at spots; what is wanted is of the week in which their middle lies. Spots
/// whose air is not known are left out.
#[must_use]
pub fn beside(
    outcome: &Outcome,
    spots: &[&Id],
    plant: Option<&Id>,
    (first, days): (Day, usize),
) -> Beside {
    let week = first.plus(days as i64 / 2).week();
    let first_hour = first.index() * 24;
    let sun_up: Vec<bool> = (first_hour..first_hour + days * 24)
        .map(|h| h % (DAYS * 24))
        .map(|h| outcome.sun.up_share.get(h).is_some_and(|up| *up >= 0.5))
        .collect();
    let wanted = plant.and_then(|plant| {
        let kind = outcome.site.kind(&outcome.site.plants.get(plant)?.kind)?;
        let (_, stage) = outcome
            .scores
            .stage(plant, kind, week)
            .or_else(|| kind.stage_in(week, outcome.site.hemisphere()))?;
        Some(Wanted {
            plant: plant.clone(),
            stage: stage.stage,
            day_c: stage.needs.day_c.value,
            night_c: stage.needs.night_c.value,
        })
    });
    let spots = spots
        .iter()
        .filter_map(|id| {
            let air = &outcome.spots.get(*id)?.air;
            let air_c = usual_days_c(air, first, days);
            if air_c.is_empty() {
                return None;
            }
            let by_day: Vec<f64> = air_c
                .iter()
                .zip(&sun_up)
                .filter(|(_, up)| **up)
                .map(|(c, _)| *c)
                .collect();
            let mean = |values: &[f64]| values.iter().sum::<f64>() / values.len().max(1) as f64;
            // Without a sunrise the whole day counts.
            let day_c = mean(if by_day.is_empty() { &air_c } else { &by_day });
            let lows: Vec<f64> = air_c
                .chunks(24)
                .map(|day| day.iter().copied().fold(f64::INFINITY, f64::min))
                .collect();
            let night_c = mean(&lows);
            Some(SpotHours {
                spot: (*id).clone(),
                day_off_k: wanted.as_ref().map(|w| outside_k(w.day_c, day_c)),
                night_off_k: wanted.as_ref().map(|w| outside_k(w.night_c, night_c)),
                air_c,
                day_c,
                night_c,
            })
        })
        .collect();
    Beside {
        first_hour,
        sun_up,
        spots,
        wanted,
    }
}

fn outside_k(band: Band, c: f64) -> f64 {
    if c < band.ideal_low() {
        c - band.ideal_low()
    } else if c > band.ideal_high() {
        c - band.ideal_high()
    } else {
        0.0
    }
}
