//! How often cold nights and hot days come at a spot.
//!
//! Method: each day of each weather year has a minimum, a maximum, a clearness and a wind in the open. Outdoors the
//! same function that makes the typical year's nights turns minimum, cloud (from the clearness of the days before and
//! after the night) and night wind into the air at the spot, and the leaf's energy balance under that night's sky into
//! the leaf's temperature; a still clear night thus costs more than a windy or dull one. The day's maximum
//! is raised by the month's usual gain of the spot, in step with the day's clearness. Indoors the room itself is run
//! through all years (see `room_year`), and glass, curtain and leaks act with that night's inner and outer air.

use super::{
    AirCorrection, AirWeek,
    indoors::{IndoorSpot, RoomNow},
    leaf::{self, LeafPlace},
    outdoors::OutdoorSpot,
    psychrometrics,
    room_year::{RoomDays, Rooms},
    sky_heat,
    spot_model::SpotModel,
    weeks::Series,
    year::{OpenYear, at},
};
use crate::{
    base::{
        Day, Week,
        calendar::{DAYS, WEEKS},
    },
    climate::WeatherYears,
    needs::Leaf,
    site::Place,
};

/// The leaf that frost risks are counted on: 5 cm wide, of an orchid's conductance.
pub const RISK_LEAF: Leaf = Leaf {
    width_m: 0.05,
    conductance_mol_m2_s: 0.05,
};

/// Everything that a spot's weather years are made from.
pub(crate) struct RiskInputs<'a> {
    pub place: &'a Place,
    pub open: &'a OpenYear,
    pub rooms: &'a Rooms,
    pub years: &'a WeatherYears,
    pub room_days: Option<&'a RoomDays>,
    /// Before correction.
    pub series: &'a Series,
    pub correction: &'a AirCorrection,
}

/// A day of a weather year at the spot.
#[derive(Clone, Copy)]
struct RiskDay {
    leaf_c: f64,
    min_c: f64,
    max_c: f64,
}

/// Fills the distributions over weather years.
pub(crate) fn fill(weeks: &mut [AirWeek], model: &SpotModel, inputs: &RiskInputs<'_>) {
    let years = inputs.years;
    let count = years.years * DAYS;
    let known = years.night_min_c.len() >= count && years.day_max_c.len() >= count;
    if years.years == 0 || !known || weeks.len() < WEEKS {
        return;
    }
    let seasonal = Seasonal::of(model, inputs);
    let mut days = Vec::with_capacity(DAYS);
    for year in 0..years.years {
        days.clear();
        match model {
            SpotModel::Outdoors(spot) => {
                days.extend((0..DAYS).map(|d| outdoors(spot, inputs, &seasonal, year, d)));
            }
            SpotModel::Indoors(spot) => {
                days.extend((0..DAYS).map(|d| indoors(spot, inputs, &seasonal, year, d)));
            }
        }
        for week in Week::all() {
            let Some(of_week) = days.get(week.days()) else {
                continue;
            };
            let n = of_week.len() as f64;
            let out = &mut weeks[week.index()];
            let least =
                |v: fn(&RiskDay) -> f64| of_week.iter().map(v).fold(f64::INFINITY, f64::min);
            let mean = |v: fn(&RiskDay) -> f64| of_week.iter().map(v).sum::<f64>() / n;
            let hottest = of_week
                .iter()
                .map(|d| d.max_c)
                .fold(f64::NEG_INFINITY, f64::max);
            out.coldest_leaf_c.push(least(|d| d.leaf_c) as f32);
            out.coldest_air_c.push(least(|d| d.min_c) as f32);
            out.night_means_c.push(mean(|d| d.min_c) as f32);
            out.hottest_air_c.push(hottest as f32);
            out.day_night_means_k
                .push(mean(|d| d.max_c - d.min_c) as f32);
        }
    }
    for week in weeks {
        settle(week);
        for values in [
            &mut week.coldest_leaf_c,
            &mut week.coldest_air_c,
            &mut week.night_means_c,
            &mut week.hottest_air_c,
            &mut week.day_night_means_k,
        ] {
            values.sort_by(f32::total_cmp);
        }
    }
}

/// The week's usual figures are those of all weather years: a single typical year has weeks 4 K milder or harsher than
/// usual. Humidity stays the typical year's, and the deficit follows the day's warmth.
fn settle(week: &mut AirWeek) {
    let mean = |values: &[f32]| {
        values.iter().map(|v| f64::from(*v)).sum::<f64>() / values.len().max(1) as f64
    };
    let night_c = mean(&week.night_means_c);
    let day_night_k = mean(&week.day_night_means_k);
    let max_c = night_c + day_night_k;
    // By day the air is nearer to its maximum than to the night's minimum.
    let day_c = week.day_c + 0.65 * (max_c - week.max_c) + 0.35 * (night_c - week.night_c);
    let saturation = |c: f64| psychrometrics::saturation_kpa(c);
    week.vpd_kpa *= saturation(day_c) / saturation(week.day_c);
    week.day_c = day_c;
    week.night_c = night_c;
    week.max_c = max_c;
    week.day_night_k = day_night_k;
}

/// What the spot usually adds, by month.
struct Seasonal {
    /// At the day's maximum over that of the open or of the room, K.
    day_gain_k: [f64; 12],
    /// By wall and paving at the night's minimum, K, and in what the leaves see.
    wall_k: [f64; 12],
    around_k: [f64; 12],
    /// By devices (without leaks) at the night's minimum, K, and their speed, m/s.
    device_k: [f64; 12],
    device_m_s: [f64; 12],
    /// Relative humidity at the night's minimum, %.
    rh_pct: [f64; 12],
}

impl Seasonal {
    fn of(model: &SpotModel, inputs: &RiskInputs<'_>) -> Self {
        let open = inputs.open;
        let (min_hour, max_hour) = inputs.series.extreme_hours();
        let mut all = Self {
            day_gain_k: [0.0; 12],
            wall_k: [0.0; 12],
            around_k: [0.0; 12],
            device_k: [0.0; 12],
            device_m_s: [0.0; 12],
            rh_pct: [0.0; 12],
        };
        let mut n = [0.0_f64; 12];
        for d in 0..DAYS {
            let m = Day::new(d).month0();
            n[m] += 1.0;
            let (low, high) = (min_hour[d], max_hour[d]);
            all.rh_pct[m] += at(&inputs.series.rh_pct, low);
            let top = match model {
                SpotModel::Outdoors(spot) => {
                    let (wall, around) = spot.wall_at_night_k(low);
                    all.wall_k[m] += wall;
                    all.around_k[m] += around;
                    all.device_k[m] += at(&inputs.series.device_excess_k, low);
                    open.day_max_c[d]
                }
                SpotModel::Indoors(spot) => {
                    let parts = spot.parts(open, inputs.rooms, low);
                    // The leak acts with each night's own weather.
                    all.device_k[m] += parts.device.excess_k - parts.leak_k;
                    inputs
                        .rooms
                        .years
                        .get(spot.room_id())
                        .map_or(open.day_max_c[d], |room| {
                            (d * 24..d * 24 + 24)
                                .map(|h| at(&room.air_c, h))
                                .fold(f64::NEG_INFINITY, f64::max)
                        })
                }
            };
            all.device_m_s[m] += at(&inputs.series.device_speed_m_s, low);
            all.day_gain_k[m] += at(&inputs.series.air_c, high) - top;
        }
        for (m, days) in n.iter().enumerate() {
            for sum in [
                &mut all.day_gain_k[m],
                &mut all.wall_k[m],
                &mut all.around_k[m],
                &mut all.device_k[m],
                &mut all.device_m_s[m],
                &mut all.rh_pct[m],
            ] {
                *sum /= days.max(1.0);
            }
        }
        all
    }
}

/// Clearness of a day and of the night before it.
fn clearness(inputs: &RiskInputs<'_>, year: usize, d: usize, month0: usize) -> (f64, f64) {
    let years = inputs.years;
    let of = |d: usize| {
        years
            .clearness
            .get(years.at(year, d))
            .map_or(inputs.open.month_clearness[month0], |v| f64::from(*v))
    };
    let day = of(d);
    (day, 0.5 * (day + of(d.saturating_sub(1))))
}

fn outdoors(
    spot: &OutdoorSpot,
    inputs: &RiskInputs<'_>,
    seasonal: &Seasonal,
    year: usize,
    d: usize,
) -> RiskDay {
    let (open, years) = (inputs.open, inputs.years);
    let m = Day::new(d).month0();
    let i = years.at(year, d);
    let (day_clear, night_clear) = clearness(inputs, year, d, m);
    let cloud = sky_heat::cloud_from_clearness(night_clear);
    let open_min = at(&years.night_min_c, i);
    let wind = years.wind_m_s.get(i).map_or(2.0, |v| f64::from(*v)) * open.night_wind_ratio[m];
    let night = spot.night(m, wind, spot.mean_shelter(m), cloud, 1.0);
    let min_c = open_min
        + night.sky_k
        + night.cover_k
        + night.hollow_k
        + seasonal.wall_k[m]
        + seasonal.device_k[m]
        + inputs.correction.night_k;
    let dew_c = open_min - open.dew_below_min_k[m];
    let vapour = psychrometrics::saturation_kpa(dew_c);
    let leaf_c = leaf::temperature_c(
        &RISK_LEAF,
        &LeafPlace {
            air_c: min_c,
            rh_pct: psychrometrics::rh_pct(min_c, vapour),
            speed_m_s: night.speed_m_s.hypot(seasonal.device_m_s[m]),
            absorbed_w_m2: 0.0,
            sky_c: sky_heat::sky_from_dew_c(open_min, dew_c, cloud),
            around_c: min_c + seasonal.around_k[m],
            sky_view: spot.sky_view(m),
            elevation_m: inputs.place.elevation_m,
            day: false,
        },
    );
    let gain = seasonal.day_gain_k[m] * day_clear / open.month_clearness[m].max(0.05);
    RiskDay {
        leaf_c,
        min_c,
        max_c: min_c.max(at(&years.day_max_c, i) + gain + inputs.correction.day_k),
    }
}

fn indoors(
    spot: &IndoorSpot,
    inputs: &RiskInputs<'_>,
    seasonal: &Seasonal,
    year: usize,
    d: usize,
) -> RiskDay {
    let (open, years) = (inputs.open, inputs.years);
    let m = Day::new(d).month0();
    let i = years.at(year, d);
    let (day_clear, _) = clearness(inputs, year, d, m);
    let open_min = at(&years.night_min_c, i);
    let days = inputs.room_days;
    let of = |v: fn(&RoomDays) -> &Vec<f32>, otherwise: f64| {
        days.and_then(|x| v(x).get(i))
            .map_or(otherwise, |c| f64::from(*c))
    };
    let room_c = of(|x| &x.min_c, open_min);
    let out_c = of(|x| &x.out_at_min_c, open_min);
    let typical_min = open.min_hour[d];
    let room = inputs.rooms.years.get(spot.room_id());
    let wind = years.wind_m_s.get(i).map_or(2.0, |v| f64::from(*v)) * open.night_wind_ratio[m];
    let placed = spot.placed(&RoomNow {
        room_c,
        out_c,
        wind_m_s: wind,
        month0: m,
        clock_h: open.hours[typical_min].clock_h,
        heating: room.is_some_and(|r| r.heating.get(typical_min).copied().unwrap_or(false)),
        sun_on_spot_w_m2: 0.0,
        sun_in_room_w_m2: 0.0,
    });
    let min_c = room_c + placed.sum_k() + seasonal.device_k[m] + inputs.correction.night_k;
    let speed = spot
        .still_m_s()
        .hypot(placed.beside.speed_m_s)
        .hypot(placed.leak.speed_m_s);
    let leaf_c = leaf::temperature_c(
        &RISK_LEAF,
        &LeafPlace {
            air_c: min_c,
            rh_pct: seasonal.rh_pct[m],
            speed_m_s: speed,
            absorbed_w_m2: 0.0,
            sky_c: placed.beside.seen_c,
            around_c: if placed.beside.curtain_k < 0.0 {
                min_c
            } else {
                room_c
            },
            sky_view: placed.beside.view,
            elevation_m: inputs.place.elevation_m,
            day: false,
        },
    );
    let gain = seasonal.day_gain_k[m] * day_clear / open.month_clearness[m].max(0.05);
    let room_max = of(|x| &x.max_c, at(&years.day_max_c, i));
    RiskDay {
        leaf_c,
        min_c,
        max_c: min_c.max(room_max + gain + inputs.correction.day_k),
    }
}
