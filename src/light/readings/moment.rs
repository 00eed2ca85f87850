//! What the model gives at a spot at one minute, under the sky a reading tells of.

use chrono::{NaiveDateTime, TimeDelta, Timelike};

use super::{
    super::{
        hours::{OVERCAST_SHARE, overcast},
        scene::towards,
        year::{Seen, Shine, Year},
    },
    LightDoubt,
};
use crate::{
    base::{
        Day,
        units::{PPFD_PER_BEAM_W_M2, PPFD_PER_SKY_W_M2},
    },
    site::{LightReading, SkyState},
    sun::{self, SunPosition, clock},
};

/// A mixed sky gives anything between overcast and clear: geometric middle.
const MIXED_SHARE: f64 = 0.6;
/// More than this times the open clear sky cannot be; cloud edges can add up to a quarter.
const MOST_OF_OPEN: f64 = 1.25;
/// Meters side by side differ by a tenth and more.
const MOST_OF_BESIDE: f64 = 1.15;
/// Sine of the lowest sun that is reckoned with.
const LEAST_ELEVATION_RAD: f64 = 0.02;

/// The model's light, before correction.
#[derive(Clone, Copy, Debug)]
pub(super) struct Moment {
    pub direct_ppfd: f64,
    /// Of sky and surfaces.
    pub rest_ppfd: f64,
}

/// Sun and open clear sky at a minute.
pub(super) struct Open {
    pub at: SunPosition,
    /// Hour of the year, local standard time.
    hour: usize,
    clear: crate::sky::clear::ClearSky,
    radiance: Vec<f32>,
    /// Of the open level under the clear sky.
    pub clear_ppfd: f64,
}

impl Open {
    /// By UTC; `None` while the sun is down.
    pub fn at_utc(year: &Year<'_>, utc: chrono::DateTime<chrono::Utc>) -> Option<Self> {
        let inputs = year.inputs;
        let at = sun::position(inputs.place, utc);
        if at.elevation_rad < LEAST_ELEVATION_RAD {
            return None;
        }
        let offset = TimeDelta::seconds((inputs.sun.standard_offset_h * 3600.0) as i64);
        let standard = utc.naive_utc() + offset;
        let day = Day::of(standard.date()).index();
        let (clear, radiance) = year.clear(day, at, None);
        Some(Self {
            at,
            hour: day * 24 + standard.hour() as usize,
            clear_ppfd: clear.beam_w_m2 * at.elevation_rad.sin() * PPFD_PER_BEAM_W_M2
                + clear.sky_w_m2 * PPFD_PER_SKY_W_M2,
            clear,
            radiance,
        })
    }

    /// By local standard time.
    pub fn at_standard(year: &Year<'_>, when: NaiveDateTime) -> Option<Self> {
        let offset = TimeDelta::seconds((year.inputs.sun.standard_offset_h * 3600.0) as i64);
        Self::at_utc(year, (when - offset).and_utc())
    }

    pub fn under_clear(&self, year: &Year<'_>, seen: &Seen<'_>) -> Moment {
        self.under(year, seen, &self.radiance, self.clear.beam_w_m2)
    }

    fn under_overcast(&self, year: &Year<'_>, seen: &Seen<'_>, sky_w_m2: f64) -> Moment {
        self.under(year, seen, &overcast(&year.works, sky_w_m2), 0.0)
    }

    /// Under a sky that gives so much on the open level: sun and cloud in the proportion that takes.
    pub fn under_sky_of(&self, year: &Year<'_>, seen: &Seen<'_>, open_ppfd: f64) -> Moment {
        let brightness = open_ppfd / self.clear_ppfd.max(1.0);
        let sun = ((brightness - OVERCAST_SHARE) / (1.0 - OVERCAST_SHARE)).clamp(0.0, 1.0);
        if sun >= 0.9 {
            // As clear as can be: the clear sky itself, with the open's own brightness.
            let m = self.under_clear(year, seen);
            return Moment {
                direct_ppfd: m.direct_ppfd * brightness,
                rest_ppfd: m.rest_ppfd * brightness,
            };
        }
        let beam = self.clear.beam_w_m2 * sun;
        let level_ppfd = beam * self.at.elevation_rad.sin() * PPFD_PER_BEAM_W_M2;
        let sky_w_m2 = (open_ppfd - level_ppfd).max(0.0) / PPFD_PER_SKY_W_M2;
        self.under(year, seen, &overcast(&year.works, sky_w_m2), beam)
    }

    fn under_mixed(&self, year: &Year<'_>, seen: &Seen<'_>) -> Moment {
        // Half the sun, and a sky between clear and overcast.
        let beam = self.clear.beam_w_m2 * 0.5;
        let level = beam * self.at.elevation_rad.sin();
        let rest = (self.clear.global_w_m2 * MIXED_SHARE - level).max(self.clear.sky_w_m2);
        self.under(year, seen, &overcast(&year.works, rest), beam)
    }

    fn under(&self, year: &Year<'_>, seen: &Seen<'_>, radiance: &[f32], beam: f64) -> Moment {
        let dir = [towards(self.at.azimuth_rad, self.at.elevation_rad)];
        let shine = Shine {
            hour: self.hour,
            radiance,
            beam_w_m2: beam as f32,
            level_beam_w_m2: (beam * self.at.elevation_rad.sin()) as f32,
            moments: &dir,
        };
        let light = seen.light(year, &shine).0[0];
        Moment {
            direct_ppfd: f64::from(light.beam_ppfd()),
            rest_ppfd: f64::from(light.sky_ppfd() + light.reflected_ppfd()),
        }
    }
}

/// The model's light for a reading.
///
/// # Errors
/// Why the reading cannot be true.
pub(super) fn of(
    year: &Year<'_>,
    seen: &Seen<'_>,
    reading: &LightReading,
) -> Result<Moment, LightDoubt> {
    let value = reading.value.ppfd();
    if !(value > 0.0 && value.is_finite()) {
        return Err(LightDoubt::NoLight);
    }
    let utc = clock::utc_from_local(year.inputs.place, reading.when);
    let open = Open::at_utc(year, utc).ok_or(LightDoubt::SunDown)?;
    let most_ppfd = MOST_OF_OPEN * open.clear_ppfd;
    let beside = reading.open.map(|v| v.ppfd());
    if value > most_ppfd || beside.is_some_and(|b| b > most_ppfd) {
        return Err(LightDoubt::BrighterThanOpenSky { most_ppfd });
    }
    if let Some(beside) = beside {
        if !(beside > 0.0 && beside.is_finite()) {
            return Err(LightDoubt::NoLight);
        }
        if value > MOST_OF_BESIDE * beside {
            return Err(LightDoubt::BrighterThanBeside);
        }
        return Ok(open.under_sky_of(year, seen, beside));
    }
    Ok(match reading.sky {
        SkyState::Clear => open.under_clear(year, seen),
        SkyState::Overcast => {
            open.under_overcast(year, seen, open.clear.global_w_m2 * OVERCAST_SHARE)
        }
        SkyState::Mixed => open.under_mixed(year, seen),
    })
}
