//! Single days at a spot.

use super::{
    LightCorrection, LightHour, LightInputs, SkyChoice, readings,
    works::Works,
    year::{Seen, Shine, Year, rooms_of, typical_shine},
};
use crate::{
    base::{
        Progress,
        calendar::{DAYS, HOURS},
        units::{PPFD_PER_BEAM_W_M2, PPFD_PER_SKY_W_M2},
    },
    site::{Site, Spot},
    sun::SunPosition,
};

/// Global radiation under the standard overcast sky as a share of a clear sky's (common practice, no source; real
/// overcast days lie between 0.1 and 0.4).
pub const OVERCAST_SHARE: f64 = 0.25;

/// Light at one spot for `days` days from `first_day` (0..365) under a chosen sky, hour by hour; readings count.
#[must_use]
pub fn spot_hours(
    inputs: &LightInputs<'_>,
    site: &Site,
    spot: &Spot,
    first_day: usize,
    days: usize,
    sky: SkyChoice,
) -> Vec<LightHour> {
    let year = Year::new(inputs, false);
    let Ok(rooms) = rooms_of(&year.works, std::iter::once(spot), &Progress::new()) else {
        return Vec::new();
    };
    let seen = Seen::of(&year, site, &rooms, spot);
    let share = if spot.light.is_empty() && spot.logged.is_empty() {
        0.0
    } else {
        readings::direct_share(&year, &seen)
    };
    let (correction, _) = readings::of_spot(&year, &seen, site, spot, share);
    (0..days.min(DAYS) * 24)
        .map(|k| {
            let hour = ((first_day % DAYS) * 24 + k) % HOURS;
            one_hour(&year, &seen, hour, sky, &correction)
        })
        .collect()
}

fn one_hour(
    year: &Year<'_>,
    seen: &Seen<'_>,
    hour: usize,
    sky: SkyChoice,
    correction: &LightCorrection,
) -> LightHour {
    let table = year.inputs.sun;
    let value = |v: &[f32]| v.get(hour).copied().map_or(0.0, f64::from);
    let at = SunPosition {
        azimuth_rad: value(&table.azimuth_rad),
        elevation_rad: value(&table.elevation_rad),
    };
    let mut out = LightHour {
        hour,
        sun_azimuth_deg: at.azimuth_rad.to_degrees(),
        sun_elevation_deg: at.elevation_rad.to_degrees(),
        ..LightHour::default()
    };
    let hours = year.sun_hours();
    let Some(sun) = hours
        .binary_search_by_key(&hour, |s| s.hour)
        .ok()
        .map(|k| &hours[k])
    else {
        return out;
    };
    let up = f64::from(sun.up_share);
    let mean_sin =
        sun.moments.iter().map(|m| f64::from(m.z)).sum::<f64>() / sun.moments.len() as f64;
    let radiance: Vec<f32>;
    let (shine, open_sky) = match sky {
        SkyChoice::Typical => (
            typical_shine(year, sun),
            value(&year.inputs.typical.sky_w_m2),
        ),
        SkyChoice::Clear { turbidity_linke } => {
            let (clear, mut l) = year.clear(hour / 24, at, turbidity_linke);
            l.iter_mut().for_each(|l| *l *= sun.up_share);
            radiance = l;
            let shine = Shine {
                hour,
                radiance: &radiance,
                beam_w_m2: (clear.beam_w_m2 * up) as f32,
                level_beam_w_m2: (clear.beam_w_m2 * up * mean_sin) as f32,
                moments: &sun.moments,
            };
            (shine, clear.sky_w_m2 * up)
        }
        SkyChoice::Overcast => {
            let (clear, _) = year.clear(hour / 24, at, None);
            let global = clear.global_w_m2 * OVERCAST_SHARE * up;
            radiance = overcast(&year.works, global);
            let shine = Shine {
                hour,
                radiance: &radiance,
                beam_w_m2: 0.0,
                level_beam_w_m2: 0.0,
                moments: &sun.moments,
            };
            (shine, global)
        }
    };
    let ([level, _], share) = seen.light(year, &shine);
    out.beam_ppfd_umol_m2_s = correction.direct_factor * f64::from(level.beam_ppfd());
    out.sky_ppfd_umol_m2_s = correction.sky_factor * f64::from(level.sky_ppfd());
    out.reflected_ppfd_umol_m2_s = correction.sky_factor * f64::from(level.reflected_ppfd());
    out.sunlit_fraction = f64::from(share) * up;
    out.open_ppfd_umol_m2_s =
        f64::from(shine.level_beam_w_m2) * PPFD_PER_BEAM_W_M2 + open_sky * PPFD_PER_SKY_W_M2;
    out
}

/// Radiance of the overcast sky for an irradiance on the open level, W/m².
pub fn overcast(works: &Works<'_>, global_w_m2: f64) -> Vec<f32> {
    works
        .overcast
        .iter()
        .map(|l| l * global_w_m2 as f32)
        .collect()
}
