//! The next nights at each spot, from a weather forecast: by the same function that makes the weather years' nights, so
//! that sky view, cover, hollow, wall, room and readings count as they do there. Rooms are lived through from ten usual
//! days before on, so that a cold spell tells.

use chrono::{Days, NaiveDate};
use rayon::prelude::*;

use super::{
    AirInputs, SpotAir, covers, hourly,
    leaf::{self, LeafPlace},
    nights::{NightInputs, OpenDay, SpotDay, SpotNights},
    room_year::{RoomWeather, Rooms},
    sky_heat,
    spot_model::SpotModel,
    year::OpenYear,
};
pub use crate::site::ForecastDay;
use crate::{
    base::{Cancelled, Day, Id, Progress, calendar::DAYS},
    light::SpotLight,
    needs::Leaf,
    site::{NightCoverKind, Site, Spot},
};

/// Usual days before the first of a forecast that rooms live through.
const LEAD_DAYS: u64 = 10;
/// Share of a day's departure from the usual that the day before already had: the usual correlation of temperatures from
/// one day to the next (0.6 to 0.7; Richardson 1981).
const LEAD_SHARE: f64 = 0.6;
/// Wind that counts where none is told, m/s at 10 m: nearly calm, the safe side.
const UNTOLD_WIND_M_S: f64 = 1.0;
/// Error of a forecast minimum, standard deviation for tonight and growth with each night further on, K (order of
/// magnitude of what weather services publish of themselves; from memory).
const TONIGHT_SD_K: f64 = 1.5;
const PER_NIGHT_SD_K: f64 = 0.5;
/// Nine nights of ten stay above the expected value less this many standard deviations.
const NINE_OF_TEN: f64 = 1.2816;
/// Step by which a spot's answer to a colder night is tried, K.
const TRIAL_K: f64 = 2.0;
/// A day at a spot and the night that begins on it.
#[derive(Clone, Debug, PartialEq)]
pub struct SpotNight {
    pub date: NaiveDate,
    /// Lowest air at leaf height, °C.
    pub air_min_c: f64,
    /// Highest air of the day, °C.
    pub day_max_c: f64,
    /// Standard deviation of the minimum's error, K: the forecast's, and the spot's own after its readings.
    pub sd_k: f64,
    place: LeafPlace,
    under_k: Option<[f64; NightCoverKind::ALL.len()]>,
}

impl SpotNight {
    /// A leaf's temperature at the night's lowest, °C.
    #[must_use]
    pub fn leaf_c(&self, leaf: &Leaf) -> f64 {
        leaf::temperature_c(leaf, &self.place)
    }

    /// The night's lowest under a frost cover: air and a leaf beneath it, °C; `None` in heated rooms and where one lies already.
    #[must_use]
    pub fn under(&self, kind: NightCoverKind, leaf: &Leaf) -> Option<(f64, f64)> {
        let place = NightCoverKind::ALL.iter().position(|k| *k == kind)?;
        let gain_k = *self.under_k.as_ref()?.get(place)?;
        let covered = covers::under(&self.place, kind, gain_k);
        let leaf_c = leaf::temperature_c(leaf, &covered).max(self.leaf_c(leaf));
        Some((covered.air_c, leaf_c))
    }

    /// How far below the expected value one night of ten may fall, K.
    #[must_use]
    pub fn margin_k(&self) -> f64 {
        NINE_OF_TEN * self.sd_k
    }
}

/// The nights of a forecast at each spot, in the order of `spots` and of the dates. `light` and `air` are the spots'
/// own results in the same order; of `air` only the correction by readings is used. Where a date is missing between
/// others, the usual weather stands in and no night is given.
///
/// # Errors
/// [`Cancelled`].
pub fn nights(
    inputs: &AirInputs<'_>,
    site: &Site,
    spots: &[(&Id, &Spot)],
    light: &[&SpotLight],
    air: &[&SpotAir],
    forecast: &[ForecastDay],
    progress: &Progress,
) -> Result<Vec<Vec<SpotNight>>, Cancelled> {
    let nothing = || spots.iter().map(|_| Vec::new()).collect();
    let Some(open) = OpenYear::of(inputs) else {
        return Ok(nothing());
    };
    let Some(spell) = Spell::of(&open, forecast) else {
        return Ok(nothing());
    };
    let rooms = Rooms::of(site, &open, progress)?;
    spots
        .par_iter()
        .enumerate()
        .map(|(i, (_, spot))| {
            progress.check()?;
            let light = light.get(i).copied();
            let correction = air.get(i).map(|a| a.correction).unwrap_or_default();
            let model = SpotModel::of(site, spot, light, &open);
            let series = hourly(&model, light, &open, &rooms);
            let nights = SpotNights::of(
                &model,
                NightInputs {
                    place: inputs.place,
                    open: &open,
                    rooms: &rooms,
                    series: &series,
                    correction: &correction,
                },
            );
            let sd_k = forecast.first().map_or(correction.sd_k, |d| {
                correction.one_night_sd_at(Day::of(d.date).index())
            });
            Ok(spell.at(&nights, spot, &rooms, &open, sd_k))
        })
        .collect()
}

/// Days in a row: those before the forecast as they usually are, its own, and the morning after the last.
struct Spell {
    days: Vec<OpenDay>,
    told: Vec<(usize, NaiveDate)>,
    tonight: NaiveDate,
}

impl Spell {
    fn of(open: &OpenYear, forecast: &[ForecastDay]) -> Option<Self> {
        let first_told = forecast.iter().map(|d| d.date).min()?;
        let last_told = forecast.iter().map(|d| d.date).max()?;
        let first = first_told.checked_sub_days(Days::new(LEAD_DAYS))?;
        let usual = Usual::of(open);
        let on = |date: NaiveDate| forecast.iter().find(|d| d.date == date);
        let lead_k = on(first_told).map_or(0.0, |d| {
            d.night_min_c - usual.min_c[Day::of(d.date).month0()]
        });
        let count = (last_told - first).num_days().clamp(0, 60) as usize + 2;
        let dates: Vec<NaiveDate> = first.iter_days().take(count).collect();
        let days = dates
            .iter()
            .map(|date| {
                let day = Day::of(*date);
                let m = day.month0();
                let before = (first_told - *date).num_days();
                let shift_k = if before >= 0 {
                    lead_k * LEAD_SHARE.powi(before as i32 + 1)
                } else {
                    0.0
                };
                let (today, evening) = (on(*date), date.pred_opt().and_then(on));
                let min_c = evening.map_or(usual.min_c[m] + shift_k, |d| d.night_min_c);
                let night_cloud = evening.map_or(0.5, |d| d.cloud.unwrap_or(0.0));
                OpenDay {
                    day: day.index(),
                    min_c,
                    // The day after the last is taken to be like it.
                    max_c: today.or(evening).map_or(usual.max_c[m] + shift_k, |d| {
                        d.day_max_c
                            .unwrap_or(d.night_min_c + usual.max_c[m] - usual.min_c[m])
                    }),
                    clearness: today
                        .and_then(|d| d.cloud)
                        .map_or(open.month_clearness[m], clearness_under),
                    cloud: sky_heat::closing(night_cloud),
                    night_wind_m_s: evening.and_then(|d| d.wind_m_s).unwrap_or(UNTOLD_WIND_M_S),
                    dew_c: None,
                }
            })
            .collect();
        let told = dates
            .iter()
            .enumerate()
            .filter(|(_, date)| on(**date).is_some())
            .map(|(i, date)| (i, *date))
            .collect();
        Some(Self {
            days,
            told,
            tonight: first_told,
        })
    }

    fn at(
        &self,
        nights: &SpotNights<'_>,
        spot: &Spot,
        rooms: &Rooms,
        open: &OpenYear,
        spot_sd_k: f64,
    ) -> Vec<SpotNight> {
        let here = live(&self.days, nights, spot, rooms, open);
        // How much of the open's error arrives: all of it outdoors, next to nothing in a heated room.
        let colder: Vec<OpenDay> = self
            .days
            .iter()
            .map(|d| OpenDay {
                min_c: d.min_c - TRIAL_K,
                ..*d
            })
            .collect();
        let in_colder = live(&colder, nights, spot, rooms, open);
        self.told
            .iter()
            .filter_map(|(i, date)| {
                let (today, morning) = (here.get(*i)?, here.get(i + 1)?);
                let ahead = (*date - self.tonight).num_days() as f64;
                let arrives = (morning.min_c - in_colder.get(i + 1)?.min_c) / TRIAL_K;
                let forecast_sd =
                    TONIGHT_SD_K.hypot(PER_NIGHT_SD_K * ahead) * arrives.clamp(0.0, 1.0);
                Some(SpotNight {
                    date: *date,
                    air_min_c: morning.min_c,
                    day_max_c: today.max_c,
                    sd_k: spot_sd_k.max(0.0).hypot(forecast_sd),
                    place: morning.night,
                    under_k: morning.under_k,
                })
            })
            .collect()
    }
}

/// The spot through days that follow one another.
fn live(
    days: &[OpenDay],
    nights: &SpotNights<'_>,
    spot: &Spot,
    rooms: &Rooms,
    open: &OpenYear,
) -> Vec<SpotDay> {
    let room = spot.room.as_ref().and_then(|id| rooms.years.get(id));
    let lived = room.map(|room| {
        let weather: Vec<RoomWeather> = days
            .iter()
            .map(|d| RoomWeather {
                day: d.day,
                min_c: d.min_c,
                max_c: d.max_c,
                clearness: d.clearness,
            })
            .collect();
        rooms.spell(room, open, &weather)
    });
    days.iter()
        .enumerate()
        .map(|(i, day)| {
            let room = lived.as_ref().and_then(|l| l.get(i));
            nights.day(day, room.as_ref())
        })
        .collect()
}

/// Clearness index of a day under this cover (Kasten & Czeplak 1980, on a cloudless day's 0.75).
fn clearness_under(cover: f64) -> f64 {
    0.75 * (1.0 - 0.75 * cover.clamp(0.0, 1.0).powf(3.4))
}

/// Means of the months.
struct Usual {
    min_c: [f64; 12],
    max_c: [f64; 12],
}

impl Usual {
    fn of(open: &OpenYear) -> Self {
        let mut usual = Self {
            min_c: [0.0; 12],
            max_c: [0.0; 12],
        };
        let mut n = [0.0_f64; 12];
        for d in 0..DAYS {
            let m = Day::new(d).month0();
            usual.min_c[m] += open.night_min_c[d];
            usual.max_c[m] += open.day_max_c[d];
            n[m] += 1.0;
        }
        for (m, n) in n.iter().enumerate() {
            usual.min_c[m] /= n.max(1.0);
            usual.max_c[m] /= n.max(1.0);
        }
        usual
    }
}
