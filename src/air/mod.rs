//! Air at a spot through the year: temperature, humidity, movement, what heaters and vents do, and how often
//! frost and hot nights come. Knows of plants only leaf, pot and spread, never what they want.

pub mod cooler;
mod corrected;
pub mod course;
pub mod covers;
pub mod damp;
mod devices;
pub mod envelope;
pub mod evaporation;
pub mod evening;
pub mod explain;
pub mod forecast;
pub mod glass;
mod indoors;
mod influences;
pub mod jet;
pub mod leaf;
pub mod map;
pub mod moisture;
mod nights;
pub mod openings;
mod outdoors;
pub mod parts;
pub mod passages;
pub mod plume;
mod pools;
pub mod psychrometrics;
mod readings;
mod risk;
mod room_year;
pub mod rooms;
pub mod roots;
pub mod shelter;
pub mod sky_heat;
mod spot_model;
mod weeks;
mod year;

use std::collections::BTreeMap;

use rayon::prelude::*;

use crate::{
    base::{Cancelled, Id, Progress, calendar::HOURS},
    climate::Weather,
    light::SpotLight,
    site::{Logged, LoggedQuantity, Place, Site, Spot},
    sun::SunTable,
};
use influences::Told;
use nights::{NightInputs, SpotNights};
use plume::Stream;
pub use readings::{AirCorrection, AirDoubt, AirReadings, HeldBack, ReviewedMinMax, Unexplained};
pub use risk::RISK_LEAF;
use room_year::{RoomDays, Rooms};
use spot_model::SpotModel;
use weeks::Series;
use year::OpenYear;

/// Air at leaf height of a spot, typical year, 8,760 hours; corrected by the spot's readings where there are any.
#[derive(Clone, Debug, Default)]
pub struct SpotAir {
    pub air_c: Vec<f32>,
    pub rh_pct: Vec<f32>,
    pub vpd_kpa: Vec<f32>,
    /// Mean air speed, m/s.
    pub speed_m_s: Vec<f32>,
    /// Part of the air temperature that heaters and vents add (negative: take) at the spot, K.
    pub device_excess_k: Vec<f32>,
    /// Part of the air speed that heaters, vents, fans and leaks bring, m/s.
    pub device_speed_m_s: Vec<f32>,
    /// 52 weeks.
    pub weeks: Vec<AirWeek>,
    pub correction: AirCorrection,
    pub readings: AirReadings,
    /// What acts on the air here, in the grower's words, strongest first: `"in the plume of the bay radiator:
    /// +3.8 K, 0.4 m/s while it runs"`.
    pub influences: Vec<String>,
}

/// A week's air in figures. Day is from sunrise to sunset, night the rest. Temperatures are means over the weather years
/// where there are any: a single typical year has weeks much milder or harsher than usual.
#[derive(Clone, Debug, Default, PartialEq, serde::Serialize)]
pub struct AirWeek {
    /// Mean by day, °C.
    pub day_c: f64,
    /// Mean of the daily maxima, °C.
    pub max_c: f64,
    /// Mean of the nightly minima, °C.
    pub night_c: f64,
    /// Mean of daily maximum less nightly minimum, K.
    pub day_night_k: f64,
    /// Mean by day, %.
    pub rh_day_pct: f64,
    /// Mean over the whole week, %.
    pub rh_pct: f64,
    /// Mean by day, kPa.
    pub vpd_kpa: f64,
    /// Mean air speed, m/s.
    pub speed_m_s: f64,
    /// Mean of the daily highest hourly air speed brought by heaters, vents, fans and leaks, m/s.
    pub draught_m_s: f64,
    /// Largest hourly warmth by heaters and vents as a leaf meets it, K, 0 or more: what the air has too much and what a
    /// stove's radiation adds on a leaf that faces it.
    pub device_warm_k: f64,
    /// Largest hourly chill by vents, jets and leaks in the air, K, 0 or less.
    pub device_cold_k: f64,
    /// Coldest leaf temperature of the week in each weather year, °C, ascending.
    pub coldest_leaf_c: Vec<f32>,
    /// Coldest air temperature of the week in each weather year, °C, ascending.
    pub coldest_air_c: Vec<f32>,
    /// Mean night minimum of the week in each weather year, °C, ascending.
    pub night_means_c: Vec<f32>,
    /// Highest air temperature of the week in each weather year, °C, ascending.
    pub hottest_air_c: Vec<f32>,
    /// Mean day-night difference of the week in each weather year, K, ascending.
    pub day_night_means_k: Vec<f32>,
    /// Mean rain that reaches the spot in the week, mm.
    pub rain_mm: f64,
    /// Reference evapotranspiration at the spot, mm/d (FAO-56 Penman-Monteith with the spot's light and air).
    pub et0_mm_d: f64,
}

impl AirWeek {
    /// Share of weather years in which the coldest leaf of the week is at or below a limit, 0..=1.
    #[must_use]
    pub fn frost_chance(&self, limit_c: f64) -> f64 {
        share_at_or_below(&self.coldest_leaf_c, limit_c)
    }

    /// Share of weather years whose mean night of the week is warmer than a limit, 0..=1.
    #[must_use]
    pub fn warm_night_chance(&self, limit_c: f64) -> f64 {
        if self.night_means_c.is_empty() {
            0.0
        } else {
            1.0 - share_at_or_below(&self.night_means_c, limit_c)
        }
    }
}

fn share_at_or_below(ascending: &[f32], limit: f64) -> f64 {
    if ascending.is_empty() {
        return 0.0;
    }
    ascending.partition_point(|v| f64::from(*v) <= limit) as f64 / ascending.len() as f64
}

pub struct AirInputs<'a> {
    pub place: &'a Place,
    pub sun: &'a SunTable,
    pub weather: &'a Weather,
}

/// Air at each given spot, in the order of `spots`; `light` is in the same order. Works on all cores.
///
/// Where light is missing there is no sun on the spot and an open sky over it; where the typical year is missing
/// nothing is known, and the air comes back empty.
///
/// # Errors
/// [`Cancelled`].
pub fn spots_year(
    inputs: &AirInputs<'_>,
    site: &Site,
    spots: &[(&Id, &Spot)],
    light: &[SpotLight],
    progress: &Progress,
) -> Result<Vec<SpotAir>, Cancelled> {
    progress.check()?;
    let Some(open) = OpenYear::of(inputs) else {
        return Ok(spots.iter().map(|_| SpotAir::default()).collect());
    };
    let rooms = Rooms::of(site, &open, progress)?;
    let mut room_days: BTreeMap<Id, RoomDays> = BTreeMap::new();
    for (_, spot) in spots {
        if let Some(id) = &spot.room
            && !room_days.contains_key(id)
        {
            progress.check()?;
            room_days.insert(id.clone(), rooms.days(id, &open, &inputs.weather.years));
        }
    }
    spots
        .par_iter()
        .enumerate()
        .map(|(i, (_, spot))| {
            progress.check()?;
            let days = spot.room.as_ref().and_then(|id| room_days.get(id));
            Ok(spot_year(
                inputs,
                site,
                spot,
                light.get(i),
                &open,
                &rooms,
                days,
            ))
        })
        .collect()
}

fn spot_year(
    inputs: &AirInputs<'_>,
    site: &Site,
    spot: &Spot,
    light: Option<&SpotLight>,
    open: &OpenYear,
    rooms: &Rooms,
    room_days: Option<&RoomDays>,
) -> SpotAir {
    let model = SpotModel::of(site, spot, light, open);
    let mut series = hourly(&model, light, open, rooms);
    let in_the_open: Vec<&Logged> = site
        .logged_in_the_open(LoggedQuantity::Temperature)
        .collect();
    let (correction, readings) = corrected::from_readings(&corrected::Inputs {
        spot,
        in_the_open: &in_the_open,
        series: &series,
        open,
        normals: &inputs.weather.normals,
        indoors: matches!(model, SpotModel::Indoors(_)),
    });
    let (humidity_points, humidity_readings) = corrected::from_humidity(spot, &series, open);
    let uncorrected = series.clone();
    for (h, hour) in open.hours.iter().enumerate() {
        series.air_c[h] += correction_at(&correction, h / 24, hour.night) as f32;
    }
    weeks::humidity_of(&mut series);
    if humidity_readings > 0 {
        weeks::shift_humidity(&mut series, humidity_points);
    }
    let mut weeks = weeks::typical_weeks(&series, &model, open, inputs.weather, inputs.place);
    let nights = SpotNights::of(
        &model,
        NightInputs {
            place: inputs.place,
            open,
            rooms,
            series: &uncorrected,
            correction: &correction,
        },
    );
    risk::fill(&mut weeks, &nights, &inputs.weather.years, room_days);
    let influences = influences::sentences(
        &model,
        &Told {
            site,
            spot,
            open,
            rooms,
            correction: &correction,
            humidity_points,
            humidity_readings,
        },
    );
    SpotAir {
        air_c: series.air_c,
        rh_pct: series.rh_pct,
        vpd_kpa: series.vpd_kpa,
        speed_m_s: series.speed_m_s,
        device_excess_k: series.device_excess_k,
        device_speed_m_s: series.device_speed_m_s,
        weeks,
        correction,
        readings,
        influences,
    }
}

/// The typical year at a spot before correction.
fn hourly(model: &SpotModel, light: Option<&SpotLight>, open: &OpenYear, rooms: &Rooms) -> Series {
    let mut series = Series {
        air_c: Vec::with_capacity(HOURS),
        vapour_kpa: Vec::with_capacity(HOURS),
        speed_m_s: Vec::with_capacity(HOURS),
        device_excess_k: Vec::with_capacity(HOURS),
        device_speed_m_s: Vec::with_capacity(HOURS),
        stove_leaf_k: Vec::new(),
        sun_w_m2: light.map_or_else(Vec::new, outdoors::sun_w_m2),
        ..Series::default()
    };
    for h in 0..HOURS {
        let parts = model.parts(open, rooms, h);
        series.air_c.push(parts.air_c() as f32);
        series.vapour_kpa.push(parts.vapour_kpa as f32);
        series.speed_m_s.push(parts.speed_with_devices_m_s() as f32);
        series.device_excess_k.push(parts.device.excess_k as f32);
        series.device_speed_m_s.push(parts.device.speed_m_s as f32);
        if parts.stove_w_m2 > 1.0 {
            series.stove_leaf_k.resize(h, 0.0);
            series.stove_leaf_k.push(stove_leaf_k(&parts) as f32);
        }
    }
    weeks::humidity_of(&mut series);
    series
}

/// How much warmer than its air a leaf gets in a stove's radiation, K: one side faces it and takes nearly all of it.
fn stove_leaf_k(parts: &parts::HourParts) -> f64 {
    let air_c = parts.air_c();
    let place = |absorbed_w_m2| leaf::LeafPlace {
        air_c,
        rh_pct: psychrometrics::rh_pct(air_c, parts.vapour_kpa),
        speed_m_s: parts.speed_with_devices_m_s(),
        absorbed_w_m2,
        sky_c: air_c,
        around_c: air_c,
        sky_view: 0.0,
        elevation_m: 0.0,
        day: true,
    };
    leaf::temperature_c(&RISK_LEAF, &place(0.95 * parts.stove_w_m2))
        - leaf::temperature_c(&RISK_LEAF, &place(0.0))
}

/// What the readings add at an hour, K: the night's part as far as the night has set in, the day's for the rest.
fn correction_at(correction: &AirCorrection, day: usize, night: f64) -> f64 {
    let by_day = correction.day_at(day);
    by_day + (correction.night_at(day) - by_day) * night
}

/// Several streams at one place: excesses add, speeds by their squares.
fn sum_streams(streams: impl Iterator<Item = Stream>) -> Stream {
    streams.fold(Stream::default(), |sum, s| Stream {
        excess_k: sum.excess_k + s.excess_k,
        speed_m_s: sum.speed_m_s.hypot(s.speed_m_s),
    })
}
