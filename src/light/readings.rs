//! Light readings against the model: by how much the model is off at a spot, and how sure that is.

use chrono::{TimeDelta, Timelike};

use super::{
    LightCorrection,
    hours::{OVERCAST_SHARE, overcast},
    scene::towards,
    year::{Seen, Shine, Year},
};
use crate::{
    base::{
        Day,
        units::{PPFD_PER_BEAM_W_M2, PPFD_PER_SKY_W_M2},
    },
    site::{LightReading, SkyState},
    sun::{self, clock},
};

/// Standard deviation of the model's log error from spot to spot before any reading (our estimate).
const PRIOR_SD: f64 = 0.35;
/// A mixed sky gives anything between overcast and clear: geometric middle.
const MIXED_SHARE: f64 = 0.6;
/// More than this times the open clear sky cannot be; cloud edges can add up to a quarter.
const MOST_OF_OPEN: f64 = 1.25;
/// Log ratios this far from the middle of the others are wild: three times too much or too little.
const WILD: f64 = 1.1;
/// A single reading this far off (seven times) is rather a slip of unit or place.
const WILD_ALONE: f64 = 2.0;

/// Standard deviation of a reading's log error: meter, levelling, and how well the sky's state tells its light.
fn reading_sd(sky: SkyState) -> f64 {
    match sky {
        SkyState::Clear => 0.20,
        SkyState::Mixed => 0.45,
        SkyState::Overcast => 0.40,
    }
}

/// What readings say of the model at a spot: the mean log ratio, drawn towards none by a normal prior.
pub fn correction(year: &Year<'_>, seen: &Seen<'_>, readings: &[LightReading]) -> LightCorrection {
    if readings.is_empty() {
        return LightCorrection::default();
    }
    let mut ratios: Vec<(f64, f64)> = readings
        .iter()
        .filter_map(|r| Some((log_ratio(year, seen, r)?, reading_sd(r.sky))))
        .collect();
    let middle = median(ratios.iter().map(|r| r.0).collect());
    let limit = if ratios.len() >= 3 { WILD } else { WILD_ALONE };
    let centre = if ratios.len() >= 3 { middle } else { 0.0 };
    ratios.retain(|(l, _)| (l - centre).abs() <= limit);
    if ratios.is_empty() {
        return LightCorrection {
            set_aside: readings.len(),
            ..LightCorrection::default()
        };
    }
    // Huber's weights: a reading beyond 1.5 of its deviations counts less.
    let (mut shift, mut precision) = (median(ratios.iter().map(|r| r.0).collect()), 0.0);
    for _ in 0..20 {
        precision = 1.0 / (PRIOR_SD * PRIOR_SD);
        let mut sum = 0.0;
        for (l, sd) in &ratios {
            let off = (l - shift).abs() / sd;
            let weight = if off > 1.5 { 1.5 / off } else { 1.0 } / (sd * sd);
            precision += weight;
            sum += weight * l;
        }
        shift = sum / precision;
    }
    let square = ratios.iter().map(|(l, _)| l * l).sum::<f64>() / ratios.len() as f64;
    LightCorrection {
        factor: shift.exp(),
        log_sd: precision.recip().sqrt(),
        readings: ratios.len(),
        set_aside: readings.len() - ratios.len(),
        log_error_before: Some(square.sqrt()),
    }
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    match values.len() {
        0 => 0.0,
        n if n % 2 == 1 => values[n / 2],
        n => (values[n / 2 - 1] + values[n / 2]) / 2.0,
    }
}

/// Logarithm of reading by model; `None` where the reading cannot be true.
fn log_ratio(year: &Year<'_>, seen: &Seen<'_>, reading: &LightReading) -> Option<f64> {
    let value = reading.value.ppfd();
    let inputs = year.inputs;
    let utc = clock::utc_from_local(inputs.place, reading.when);
    let at = sun::position(inputs.place, utc);
    if !(value > 0.0 && value.is_finite()) || at.elevation_rad < 0.02 {
        return None;
    }
    let offset = TimeDelta::seconds((inputs.sun.standard_offset_h * 3600.0) as i64);
    let standard = utc.naive_utc() + offset;
    let day = Day::of(standard.date()).index();
    let hour = day * 24 + standard.hour() as usize;
    let (clear, radiance) = year.clear(day, at, None);
    let open = clear.beam_w_m2 * at.elevation_rad.sin() * PPFD_PER_BEAM_W_M2
        + clear.sky_w_m2 * PPFD_PER_SKY_W_M2;
    if value > MOST_OF_OPEN * open {
        return None;
    }
    let dir = [towards(at.azimuth_rad, at.elevation_rad)];
    let under = |radiance: &[f32], beam: f64| {
        let shine = Shine {
            hour,
            radiance,
            beam_w_m2: beam as f32,
            level_beam_w_m2: (beam * at.elevation_rad.sin()) as f32,
            moments: &dir,
        };
        f64::from(seen.light(year, &shine).0[0].ppfd())
    };
    let model = match reading.sky {
        SkyState::Clear => under(&radiance, clear.beam_w_m2),
        SkyState::Overcast => {
            let sky = overcast(&year.works, clear.global_w_m2 * OVERCAST_SHARE);
            under(&sky, 0.0)
        }
        SkyState::Mixed => {
            // Half the sun, and a sky between clear and overcast.
            let beam = clear.beam_w_m2 * 0.5;
            let level = beam * at.elevation_rad.sin();
            let rest = (clear.global_w_m2 * MIXED_SHARE - level).max(clear.sky_w_m2);
            under(&overcast(&year.works, rest), beam)
        }
    };
    (model > 0.0).then(|| (value / model).ln())
}
