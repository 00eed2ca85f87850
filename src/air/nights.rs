//! A day and the night before it at a spot, from the weather in the open: one function for the weather years, for a
//! forecast, and for whatever else names a minimum, a maximum, a sky and a wind.

use super::{
    AirCorrection, covers,
    indoors::{IndoorSpot, RoomNow},
    leaf::{self, LeafPlace},
    outdoors::OutdoorSpot,
    psychrometrics,
    risk::RISK_LEAF,
    room_year::Rooms,
    sky_heat,
    spot_model::SpotModel,
    weeks::Series,
    year::{OpenYear, at},
};
use crate::{
    base::{Day, calendar::DAYS},
    site::{NightCoverKind, Place},
};

/// Weather in the open of a day and of the night before it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct OpenDay {
    /// Day of the year, 0..365.
    pub day: usize,
    /// Lowest of the night before, at 1.5 m, °C.
    pub min_c: f64,
    pub max_c: f64,
    /// Of the day, 0..1.
    pub clearness: f64,
    /// How far cloud closes the night's sky to heat, 0..=1.
    pub cloud: f64,
    /// Mean of the night at 10 m, m/s.
    pub night_wind_m_s: f64,
    /// Dew point at the minimum, °C; as is usual in the month if `None`.
    pub dew_c: Option<f64>,
}

/// The coldest time outside while a door or window of the room stood open.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Draught {
    /// In the room, at mid-height.
    pub room_c: f64,
    pub out_c: f64,
    /// Local clock time, h.
    pub clock_h: f64,
}

/// The same day in the spot's room, at mid-height.
#[derive(Clone, Copy, Debug)]
pub(crate) struct RoomDay<'a> {
    /// Lowest from the evening before to the morning, °C.
    pub min_c: f64,
    /// Outside at that time, °C.
    pub out_at_min_c: f64,
    pub max_c: f64,
    /// Of each opening, from the evening before to the morning.
    pub draughts_by_night: &'a [Option<Draught>],
    /// And in the afternoon before.
    pub draughts_by_day: &'a [Option<Draught>],
}

/// A day and the night before it at the spot.
#[derive(Clone, Copy, Debug)]
pub(crate) struct SpotDay {
    /// Of [`RISK_LEAF`] at its lowest, °C.
    pub leaf_c: f64,
    /// Lowest of the night, °C.
    pub min_c: f64,
    /// Lowest of the 24 hours up to noon, °C: lower where a door stands open in the afternoon before.
    pub coldest_c: f64,
    pub max_c: f64,
    /// What a leaf exchanges heat with then.
    pub night: LeafPlace,
    /// What each of [`NightCoverKind::ALL`] would add to the air, K; nothing where one lies already, and in heated rooms.
    pub under_k: Option<[f64; NightCoverKind::ALL.len()]>,
}

/// What turns weather in the open into weather at a spot.
pub(crate) struct NightInputs<'a> {
    pub place: &'a Place,
    pub open: &'a OpenYear,
    pub rooms: &'a Rooms,
    /// The spot's typical year before correction.
    pub series: &'a Series,
    pub correction: &'a AirCorrection,
}

/// A spot with what it usually adds.
pub(crate) struct SpotNights<'a> {
    pub inputs: NightInputs<'a>,
    model: &'a SpotModel,
    seasonal: Seasonal,
}

impl<'a> SpotNights<'a> {
    pub fn of(model: &'a SpotModel, inputs: NightInputs<'a>) -> Self {
        let seasonal = Seasonal::of(model, &inputs);
        Self {
            inputs,
            model,
            seasonal,
        }
    }

    /// `room` is needed indoors only; without it the room is as cold as the open.
    pub fn day(&self, weather: &OpenDay, room: Option<&RoomDay<'_>>) -> SpotDay {
        match self.model {
            SpotModel::Outdoors(spot) => outdoors(spot, &self.inputs, &self.seasonal, weather),
            SpotModel::Indoors(spot) => indoors(spot, &self.inputs, &self.seasonal, weather, room),
        }
    }
}

/// What the spot usually adds, by month.
pub(crate) struct Seasonal {
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
    fn of(model: &SpotModel, inputs: &NightInputs<'_>) -> Self {
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

fn outdoors(
    spot: &OutdoorSpot,
    inputs: &NightInputs<'_>,
    seasonal: &Seasonal,
    weather: &OpenDay,
) -> SpotDay {
    let open = inputs.open;
    let m = Day::new(weather.day).month0();
    let open_min = weather.min_c;
    let cloud = weather.cloud;
    let night = spot.night(m, weather.night_wind_m_s, spot.mean_shelter(m), cloud, 1.0);
    let min_c = open_min
        + night.sky_k
        + night.cover_k
        + night.hollow_k
        + night.fleece_k
        + seasonal.wall_k[m]
        + seasonal.device_k[m]
        + inputs.correction.night_at(weather.day);
    let dew_c = weather
        .dew_c
        .unwrap_or(open_min - open.dew_below_min_k[m])
        .min(open_min);
    let vapour = psychrometrics::saturation_kpa(dew_c);
    let place = LeafPlace {
        air_c: min_c,
        rh_pct: psychrometrics::rh_pct(min_c, vapour),
        speed_m_s: night.speed_m_s.hypot(seasonal.device_m_s[m]),
        absorbed_w_m2: 0.0,
        sky_c: sky_heat::sky_from_dew_c(open_min, dew_c, cloud),
        around_c: min_c + seasonal.around_k[m],
        sky_view: spot.sky_view(m),
        elevation_m: inputs.place.elevation_m,
        day: false,
    };
    let covered = spot.covered(m);
    // The air is warmer by the cover already.
    let place = covered.map_or(place, |kind| covers::under(&place, kind, 0.0));
    let gain = seasonal.day_gain_k[m] * weather.clearness / open.month_clearness[m].max(0.05);
    SpotDay {
        leaf_c: leaf::temperature_c(&RISK_LEAF, &place),
        min_c,
        coldest_c: min_c,
        max_c: min_c.max(weather.max_c + gain + inputs.correction.day_at(weather.day)),
        night: place,
        under_k: covered
            .is_none()
            .then(|| NightCoverKind::ALL.map(|kind| spot.gain_under_k(kind, m, night.still))),
    }
}

fn indoors(
    spot: &IndoorSpot,
    inputs: &NightInputs<'_>,
    seasonal: &Seasonal,
    weather: &OpenDay,
    day: Option<&RoomDay<'_>>,
) -> SpotDay {
    let open = inputs.open;
    let m = Day::new(weather.day).month0();
    let typical_min = open.min_hour[Day::new(weather.day).index()];
    let room = inputs.rooms.years.get(spot.room_id());
    let heating = room.is_some_and(|r| r.heating.get(typical_min).copied().unwrap_or(false));
    let at_time = |time: &Draught| {
        let placed = spot.placed(&RoomNow {
            room_c: time.room_c,
            out_c: time.out_c,
            wind_m_s: weather.night_wind_m_s,
            month0: m,
            clock_h: time.clock_h,
            heating,
            sun_on_spot_w_m2: 0.0,
            sun_in_room_w_m2: 0.0,
        });
        let bare_c = time.room_c
            + placed.sum_k()
            + seasonal.device_k[m]
            + inputs.correction.night_at(weather.day);
        let place = LeafPlace {
            air_c: bare_c,
            rh_pct: seasonal.rh_pct[m],
            speed_m_s: spot
                .still_m_s()
                .hypot(placed.beside.speed_m_s)
                .hypot(placed.leak.speed_m_s),
            absorbed_w_m2: 0.0,
            sky_c: placed.beside.seen_c,
            around_c: if placed.beside.curtain_k < 0.0 {
                bare_c
            } else {
                time.room_c
            },
            sky_view: placed.beside.view,
            elevation_m: inputs.place.elevation_m,
            day: false,
        };
        let still = placed.beside.still(time.room_c);
        let laid = spot.covered(m).map_or(place, |kind| {
            covers::under(&place, kind, spot.gain_under_k(kind, still))
        });
        IndoorNight {
            min_c: laid.air_c,
            leaf_c: leaf::temperature_c(&RISK_LEAF, &laid),
            place: laid,
            still,
        }
    };
    let mut night = at_time(&Draught {
        room_c: day.map_or(weather.min_c, |r| r.min_c),
        out_c: day.map_or(weather.min_c, |r| r.out_at_min_c),
        clock_h: open.hours[typical_min].clock_h,
    });
    // A spot before an opening may be colder while that stands open than at the hour when its room is coldest.
    for time in day.iter().flat_map(|d| d.draughts_by_night).flatten() {
        let then = at_time(time);
        if then.min_c < night.min_c {
            night = then;
        }
    }
    let (mut leaf_c, mut coldest_c) = (night.leaf_c, night.min_c);
    // By day without the sun, the safe side.
    for time in day.iter().flat_map(|d| d.draughts_by_day).flatten() {
        let then = at_time(time);
        leaf_c = leaf_c.min(then.leaf_c);
        coldest_c = coldest_c.min(then.min_c);
    }
    let gain = seasonal.day_gain_k[m] * weather.clearness / open.month_clearness[m].max(0.05);
    let room_max = day.map_or(weather.max_c, |r| r.max_c);
    SpotDay {
        leaf_c,
        min_c: night.min_c,
        coldest_c,
        max_c: night
            .min_c
            .max(room_max + gain + inputs.correction.day_at(weather.day)),
        night: night.place,
        under_k: (spot.is_cold(m) && spot.covered(m).is_none())
            .then(|| NightCoverKind::ALL.map(|kind| spot.gain_under_k(kind, night.still))),
    }
}

/// A spot in a room at one time.
struct IndoorNight {
    min_c: f64,
    leaf_c: f64,
    place: LeafPlace,
    still: f64,
}
