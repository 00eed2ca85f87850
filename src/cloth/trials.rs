//! The spot's light and air under each cloth, from the engines themselves.
//!
//! Every percentage is run through the whole light engine as a black cloth that is up all year; white, green and
//! aluminised cloths add scattered light in proportion to what they shade, so each is run once and scaled. A cloth
//! that is up for some months is put together from the year with it and the year without.

use rayon::prelude::*;

use super::{COLOURS, ClothInputs, SOLD_PCT, frame::Frame, place_of};
use crate::{
    air::{self, AirCorrection, AirInputs, AirWeek, SpotAir, psychrometrics},
    base::{Cancelled, Day, Id, Months, Progress, Week, calendar::DAYS},
    light::{self, LightCorrection, Scene, SpotLight},
    scoring::{SpotWeek, spot_weeks},
    site::{ClothColour, Site, Spot},
};

/// Percentage at which coloured cloths are run.
const COLOUR_RUN_PCT: f64 = 50.0;

/// Years with and without cloth.
pub(super) struct Trials {
    none: Under,
    /// Black, in the order of [`SOLD_PCT`].
    black: Vec<Under>,
    /// What a colour adds to black at [`COLOUR_RUN_PCT`], in the order of [`COLOURS`].
    adds: Vec<Added>,
}

/// A year under a cloth that is up all year. Only what scores are made from is kept.
struct Under {
    light: SpotLight,
    air: SpotAir,
}

/// Light that a colour adds to a black cloth's.
struct Added {
    dli: Vec<f32>,
    upright_dli: Vec<f32>,
    peak: Vec<f32>,
}

/// A cloth by its place in [`SOLD_PCT`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Which {
    pub size: usize,
    pub colour: ClothColour,
}

impl Trials {
    pub fn of(
        inputs: &ClothInputs<'_>,
        id: &Id,
        spot: &Spot,
        frame: &Frame,
        progress: &Progress,
    ) -> Result<Self, Cancelled> {
        // Readings were taken under what hangs there now: they correct that model, and the correction is kept.
        let bare = Spot {
            light: Vec::new(),
            min_max: Vec::new(),
            ..spot.clone()
        };
        let mut jobs: Vec<(Site, &Spot)> = vec![(frame.hung(inputs.site, None), &bare)];
        let mut hang = |pct: f64, colour| {
            let cloth = frame.cloth(pct, colour, Months::ALL);
            jobs.push((frame.hung(inputs.site, Some(cloth)), &bare));
        };
        SOLD_PCT.iter().for_each(|p| hang(*p, ClothColour::Black));
        COLOURS[1..].iter().for_each(|c| hang(COLOUR_RUN_PCT, *c));
        let read = !spot.light.is_empty() || !spot.min_max.is_empty();
        if read {
            jobs.push((inputs.site.clone(), spot));
        }
        let (count, done) = (jobs.len(), std::sync::atomic::AtomicUsize::new(0));
        let mut lights = jobs
            .par_iter()
            .map(|(site, spot)| {
                progress.check()?;
                // The engine's own word on how far it is would jump about.
                let light = light_of(inputs, site, id, spot)?;
                let n = done.fetch_add(1, std::sync::atomic::Ordering::Relaxed) + 1;
                progress.tell("Light under each cloth", 0.6 * n as f32 / count as f32);
                Ok(light)
            })
            .collect::<Result<Vec<SpotLight>, Cancelled>>()?;
        let now = if read { lights.pop() } else { None };
        let correction = now.as_ref().map(|l| l.correction).unwrap_or_default();
        lights.iter_mut().for_each(|l| correct(l, correction));

        progress.check()?;
        progress.tell("Air under each cloth", 0.6);
        let colours = lights.split_off(1 + SOLD_PCT.len());
        let spots: Vec<(&Id, &Spot)> = lights.iter().map(|_| (id, &bare)).collect();
        let air_inputs = AirInputs {
            place: &inputs.site.place,
            sun: inputs.sun,
            weather: inputs.weather,
        };
        let mut airs = air::spots_year(&air_inputs, inputs.site, &spots, &lights, progress)?;
        if let Some(now) = now.filter(|_| !spot.min_max.is_empty()) {
            let found = air::spots_year(&air_inputs, inputs.site, &[(id, spot)], &[now], progress)?;
            if let Some(found) = found.first() {
                airs.iter_mut().for_each(|a| shift(a, found.correction));
            }
        }
        let mut all = lights.into_iter().zip(airs).map(|(light, air)| Under {
            light: slim(light),
            air: SpotAir {
                weeks: air.weeks,
                correction: air.correction,
                ..SpotAir::default()
            },
        });
        let none = all.next().unwrap_or_else(|| Under {
            light: SpotLight::default(),
            air: SpotAir::default(),
        });
        let black: Vec<Under> = all.collect();
        let at_run = SOLD_PCT
            .iter()
            .position(|p| *p == COLOUR_RUN_PCT)
            .and_then(|k| black.get(k));
        let adds = std::iter::once(Added::nothing())
            .chain(colours.into_iter().map(|light| {
                at_run.map_or_else(Added::nothing, |black| Added::of(&light, &black.light))
            }))
            .collect();
        Ok(Self { none, black, adds })
    }

    /// The spot's year with a cloth that is up in some months, or without any.
    pub fn year(&self, cloth: Option<Which>, months: Months) -> Vec<SpotWeek> {
        let Some((which, under)) = cloth.and_then(|w| Some((w, self.black.get(w.size)?))) else {
            return spot_weeks(&self.none.light, &self.none.air, false);
        };
        let none = &self.none;
        let tint = place_of(which.colour);
        let by = SOLD_PCT.get(which.size).map_or(0.0, |p| p / COLOUR_RUN_PCT) as f32;
        let added = self.adds.get(tint);
        let mix =
            |without: &[f32], with: &[f32], add: Option<&Vec<f32>>, up: &dyn Fn(usize) -> bool| {
                without
                    .iter()
                    .zip(with)
                    .enumerate()
                    .map(|(i, (none, cloth))| {
                        if up(i) {
                            cloth + by * add.and_then(|a| a.get(i)).copied().unwrap_or(0.0)
                        } else {
                            *none
                        }
                    })
                    .collect::<Vec<f32>>()
            };
        let day = |d: usize| months.has(Day::new(d % DAYS).month0());
        let week = |w: usize| months.has(Week::new(w).month0());
        let (a, b) = (&none.light, &under.light);
        let light = SpotLight {
            dli: mix(&a.dli, &b.dli, added.map(|x| &x.dli), &day),
            upright_dli: mix(
                &a.upright_dli,
                &b.upright_dli,
                added.map(|x| &x.upright_dli),
                &day,
            ),
            clear_peak_ppfd: mix(
                &a.clear_peak_ppfd,
                &b.clear_peak_ppfd,
                added.map(|x| &x.peak),
                &week,
            ),
            clear_sun_h: mix(&a.clear_sun_h, &b.clear_sun_h, None, &week),
            factors: (0..12)
                .filter_map(|m| {
                    if months.has(m) {
                        &b.factors
                    } else {
                        &a.factors
                    }
                    .get(m)
                })
                .copied()
                .collect(),
            correction: a.correction,
            ..SpotLight::default()
        };
        let air = SpotAir {
            weeks: Week::all()
                .filter_map(|w| {
                    let from = if week(w.index()) { under } else { none };
                    from.air.weeks.get(w.index()).cloned()
                })
                .collect(),
            correction: none.air.correction,
            ..SpotAir::default()
        };
        spot_weeks(&light, &air, false)
    }
}

impl Added {
    fn nothing() -> Self {
        Self {
            dli: Vec::new(),
            upright_dli: Vec::new(),
            peak: Vec::new(),
        }
    }

    fn of(light: &SpotLight, black: &SpotLight) -> Self {
        let less = |a: &[f32], b: &[f32]| a.iter().zip(b).map(|(a, b)| a - b).collect();
        Self {
            dli: less(&light.dli, &black.dli),
            upright_dli: less(&light.upright_dli, &black.upright_dli),
            peak: less(&light.clear_peak_ppfd, &black.clear_peak_ppfd),
        }
    }
}

fn light_of(
    inputs: &ClothInputs<'_>,
    site: &Site,
    id: &Id,
    spot: &Spot,
) -> Result<SpotLight, Cancelled> {
    let scene = Scene::of(site);
    let year = light::spots_year(&inputs.light(&scene), site, &[(id, spot)], &Progress::new())?;
    Ok(year.into_iter().next().unwrap_or_default())
}

fn correct(light: &mut SpotLight, correction: LightCorrection) {
    // Sums of direct and other light by the year's mixture; where the hours are kept, each by its own.
    for (values, factor) in [
        (&mut light.beam_ppfd, correction.direct_factor),
        (&mut light.sky_ppfd, correction.sky_factor),
        (&mut light.reflected_ppfd, correction.sky_factor),
        (&mut light.upright_dli, correction.factor),
        (&mut light.dli, correction.factor),
        (&mut light.clear_peak_ppfd, correction.factor),
    ] {
        let factor = factor as f32;
        values.iter_mut().for_each(|v| *v *= factor);
    }
    light.correction = correction;
}

/// Without the hours: tens of kilobytes for each cloth.
fn slim(light: SpotLight) -> SpotLight {
    SpotLight {
        upright_dli: light.upright_dli,
        dli: light.dli,
        clear_peak_ppfd: light.clear_peak_ppfd,
        clear_sun_h: light.clear_sun_h,
        factors: light.factors,
        correction: light.correction,
        ..SpotLight::default()
    }
}

/// Share of the night's correction in the mean of the hours between sunrise and sunset: cooling fades over the
/// first two or three hours of light.
const NIGHT_IN_DAY: f64 = 0.13;

/// Carries a correction from thermometer readings over to a year that was computed without them.
fn shift(air: &mut SpotAir, correction: AirCorrection) {
    let add = |values: &mut Vec<f32>, k: f64| values.iter_mut().for_each(|v| *v += k as f32);
    for (n, week) in air.weeks.iter_mut().enumerate() {
        let middle = n * 7 + 3;
        let (night, day) = (correction.night_at(middle), correction.day_at(middle));
        let mean_day = NIGHT_IN_DAY * night + (1.0 - NIGHT_IN_DAY) * day;
        let dryer = psychrometrics::saturation_kpa(week.day_c)
            / psychrometrics::saturation_kpa(week.day_c + mean_day);
        *week = AirWeek {
            day_c: week.day_c + mean_day,
            max_c: week.max_c + day,
            night_c: week.night_c + night,
            day_night_k: week.day_night_k + day - night,
            rh_day_pct: (week.rh_day_pct * dryer).clamp(1.0, 100.0),
            ..std::mem::take(week)
        };
        add(&mut week.coldest_leaf_c, night);
        add(&mut week.coldest_air_c, night);
        add(&mut week.night_means_c, night);
        add(&mut week.hottest_air_c, day);
        add(&mut week.day_night_means_k, day - night);
    }
    air.correction = correction;
}
