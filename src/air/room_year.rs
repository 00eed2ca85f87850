//! Every room through the typical year by the hour, and through the weather years in steps of three hours. Rooms that exchange air
//! through open doors are run again with each other's air, until that hardly matters.

use std::collections::BTreeMap;

use rayon::prelude::*;

use super::{
    envelope::{Envelope, openings_of},
    nights::{Draught, RoomDay},
    openings::Opening,
    passages::{Beside, Beyond, Passage, UsualAir},
    plume::AIR_HEAT_J_M3_K,
    psychrometrics,
    rooms::{RoomModel, RoomState, RoomStep},
    sky_heat,
    year::{OpenYear, at},
};
use crate::{
    base::{
        Cancelled, Day, Id, Progress,
        calendar::{DAYS, HOURS},
    },
    climate::WeatherYears,
    site::{HeaterKind, Room, RoomAir, Site, Vent, VentKind},
};

/// Steps of a day in the weather years.
pub(crate) const STEPS: usize = 8;
/// What the house is kept at where no heated room is drawn, °C by day and by night (our choice).
const HOUSE_DAY_C: f64 = 19.5;
const HOUSE_NIGHT_C: f64 = 17.0;

/// How often rooms with open doors between them are run again.
const ROUNDS: usize = 3;

/// A room through the typical year.
pub(crate) struct RoomYear {
    pub model: RoomModel,
    /// Doors and windows that stand open at times.
    openings: Vec<Opening>,
    /// Those that lead indoors, with the air beyond as it usually is.
    passages: Vec<(Passage, UsualAir)>,
    /// At mid-height, 8,760 hours.
    pub air_c: Vec<f32>,
    pub vapour_kpa: Vec<f32>,
    /// Share of the joint output of the room's heaters that is asked for, 0..=1.
    pub demand: Vec<f32>,
    /// Whether heat is put in.
    pub heating: Vec<bool>,
    /// Sun that comes in, W/m² of floor.
    pub sun_w_m2: Vec<f32>,
    /// Sun by the step of the day for a clearness of 1, W, mean of each month.
    sun_by_clearness: [[f64; STEPS]; 12],
    /// What heaters and vents put in by the step of the day, mean of each month.
    put_in_by_step: [[PutIn; STEPS]; 12],
}

/// What devices put into a room.
#[derive(Clone, Copy, Debug, Default)]
struct PutIn {
    /// Heaters drawn in a room without set-points, W.
    heater_w: f64,
    /// Air that vents supply, W/K, and that times its temperature in °C.
    supply_w_k: f64,
    supply_c_w_k: f64,
}

impl PutIn {
    fn supply_c(&self) -> f64 {
        if self.supply_w_k > 0.0 {
            self.supply_c_w_k / self.supply_w_k
        } else {
            0.0
        }
    }

    fn add(&mut self, other: Self, share: f64) {
        self.heater_w += share * other.heater_w;
        self.supply_w_k += share * other.supply_w_k;
        self.supply_c_w_k += share * other.supply_c_w_k;
    }
}

/// Air that comes through several inner doors.
#[derive(Clone, Copy, Debug, Default)]
struct Mixed {
    w_k: f64,
    /// Times its temperature in °C and its vapour pressure in kPa.
    c_w_k: f64,
    kpa_w_k: f64,
}

impl Mixed {
    fn add(&mut self, w_k: f64, (c, kpa): (f64, f64)) {
        self.w_k += w_k;
        self.c_w_k += w_k * c;
        self.kpa_w_k += w_k * kpa;
    }

    fn mean(&self, of: f64) -> f64 {
        of / self.w_k.max(1e-9)
    }
}

/// Outside of a room on a day.
#[derive(Clone, Copy, Debug)]
pub(crate) struct RoomWeather {
    /// Day of the year, 0..365.
    pub day: usize,
    /// Lowest of the night before, °C.
    pub min_c: f64,
    pub max_c: f64,
    pub clearness: f64,
}

/// A room's days one after the other; in the weather years index `year * 365 + day`.
#[derive(Default)]
pub(crate) struct RoomDays {
    /// Lowest from the evening before to the morning, °C.
    pub min_c: Vec<f32>,
    /// Outside at that time, °C.
    pub out_at_min_c: Vec<f32>,
    pub max_c: Vec<f32>,
    /// Doors and windows that stand open at times.
    openings: usize,
    /// Of each opening the coldest hours it stood open: those from the evening before to the morning, then those of the
    /// afternoon before.
    draughts: Vec<Option<Draught>>,
}

impl RoomDays {
    pub fn get(&self, index: usize) -> Option<RoomDay<'_>> {
        let first = index * 2 * self.openings;
        let of = |from: usize| self.draughts.get(from..from + self.openings);
        Some(RoomDay {
            min_c: f64::from(*self.min_c.get(index)?),
            out_at_min_c: f64::from(*self.out_at_min_c.get(index)?),
            max_c: f64::from(*self.max_c.get(index)?),
            draughts_by_night: of(first).unwrap_or_default(),
            draughts_by_day: of(first + self.openings).unwrap_or_default(),
        })
    }
}

/// All rooms of a site.
pub(crate) struct Rooms {
    pub years: BTreeMap<Id, RoomYear>,
    ground: [f64; 12],
    /// Mean of heated rooms by the hour of the clock in each month, for the weather years.
    house_by_step: [[f64; STEPS]; 12],
}

impl Rooms {
    pub fn of(site: &Site, open: &OpenYear, progress: &Progress) -> Result<Self, Cancelled> {
        // The ground lags behind and swings half as far as the year (our choice).
        let ground = std::array::from_fn(|m| {
            open.mean_air_c + 0.5 * (open.month_air_c[(m + 11) % 12] - open.mean_air_c)
        });
        let mut house_c: Vec<f32> = open
            .hours
            .iter()
            .map(|h| {
                if (6.5..22.5).contains(&h.clock_h) {
                    HOUSE_DAY_C as f32
                } else {
                    HOUSE_NIGHT_C as f32
                }
            })
            .collect();
        let mut years = BTreeMap::new();
        let (heated, unheated): (Vec<_>, Vec<_>) = site
            .rooms
            .iter()
            .filter(|(_, r)| r.outline.len() >= 3)
            .partition(|(_, r)| matches!(r.air, RoomAir::Heated { .. }));
        for group in [heated, unheated] {
            progress.check()?;
            let made: Vec<(Id, RoomYear)> = group
                .par_iter()
                .map(|(id, room)| {
                    let year = run(site, (id, room), open, (&house_c, &ground), &[]);
                    ((*id).clone(), year)
                })
                .collect();
            if years.is_empty()
                && !made.is_empty()
                && matches!(group[0].1.air, RoomAir::Heated { .. })
            {
                for (h, house) in house_c.iter_mut().enumerate() {
                    let sum: f64 = made.iter().map(|(_, y)| at(&y.air_c, h)).sum();
                    *house = (sum / made.len() as f64) as f32;
                }
            }
            years.extend(made);
        }
        mix(site, &mut years, open, (&house_c, &ground), progress)?;
        let mut house_by_step = [[0.0; STEPS]; 12];
        let mut counts = [[0.0_f64; STEPS]; 12];
        for (h, c) in house_c.iter().enumerate() {
            let (m, s) = (open.hours[h].month0, h % 24 * STEPS / 24);
            house_by_step[m][s] += f64::from(*c);
            counts[m][s] += 1.0;
        }
        for (sums, ns) in house_by_step.iter_mut().zip(&counts) {
            for (sum, n) in sums.iter_mut().zip(ns) {
                *sum /= n.max(1.0);
            }
        }
        Ok(Self {
            years,
            ground,
            house_by_step,
        })
    }

    /// The weather years of one room. Each day's temperature runs between that day's minimum and maximum as the typical
    /// month has it, the sun in step with the day's clearness; the room carries its warmth over from day to day, so
    /// that long cold or hot spells tell.
    pub fn days(&self, id: &Id, open: &OpenYear, years: &WeatherYears) -> RoomDays {
        let Some(room) = self.years.get(id) else {
            return RoomDays::default();
        };
        let count = years.years * DAYS;
        if count == 0 || years.night_min_c.len() < count || years.day_max_c.len() < count {
            return RoomDays::default();
        }
        let all: Vec<RoomDays> = (0..years.years)
            .into_par_iter()
            .map(|year| self.one_year(room, open, years, year))
            .collect();
        let mut joined = RoomDays::default();
        for days in all {
            joined.min_c.extend(days.min_c);
            joined.out_at_min_c.extend(days.out_at_min_c);
            joined.max_c.extend(days.max_c);
            joined.openings = days.openings;
            joined.draughts.extend(days.draughts);
        }
        joined
    }

    fn one_year(
        &self,
        room: &RoomYear,
        open: &OpenYear,
        years: &WeatherYears,
        year: usize,
    ) -> RoomDays {
        let days: Vec<RoomWeather> = (0..DAYS)
            .map(|day| {
                let i = years.at(year, day);
                RoomWeather {
                    day,
                    min_c: at(&years.night_min_c, i),
                    max_c: at(&years.day_max_c, i),
                    clearness: years
                        .clearness
                        .get(i)
                        .map_or(open.month_clearness[Day::new(day).month0()], |v| {
                            f64::from(*v)
                        }),
                }
            })
            .collect();
        self.spell(room, open, &days)
    }

    /// A room through days that follow one another. The first is lived through fourteen times before, so that the mass
    /// has settled.
    pub fn spell(&self, room: &RoomYear, open: &OpenYear, weather: &[RoomWeather]) -> RoomDays {
        let openings = room.openings.len();
        let mut days = RoomDays {
            openings,
            ..RoomDays::default()
        };
        let Some(first) = weather.first() else {
            return days;
        };
        let mut by_night: Vec<Option<Draught>> = vec![None; openings];
        let mut by_day = by_night.clone();
        let mut state = room
            .model
            .start(first.min_c, psychrometrics::vapour_kpa(first.min_c, 80.0));
        let (mut night_low, mut night_out) = (f64::INFINITY, first.min_c);
        for turn in 0..weather.len() + 14 {
            let n = turn.saturating_sub(14);
            let today = weather.get(n).unwrap_or(first);
            let next_min_c = weather.get(n + 1).map_or(today.min_c, |w| w.min_c);
            let (d, clearness) = (Day::new(today.day).index(), today.clearness);
            let month0 = Day::new(d).month0();
            let shape = &open.day_shape[month0];
            let top = (0..24)
                .max_by(|a, b| shape[*a].total_cmp(&shape[*b]))
                .unwrap_or(14);
            let bottom = (0..24)
                .min_by(|a, b| shape[*a].total_cmp(&shape[*b]))
                .unwrap_or(5);
            let yesterday_max_c = n
                .checked_sub(1)
                .and_then(|y| weather.get(y))
                .map_or(today.max_c, |w| w.max_c);
            let mut highest = f64::NEG_INFINITY;
            for step in 0..STEPS {
                let hour = step * 24 / STEPS + 1;
                let share = (shape[hour - 1] + shape[hour] + shape[hour + 1]) / 3.0;
                // After the day's top the air runs down to the next morning's minimum, and until that has come it comes
                // from the day before.
                let (from, to) = if hour > top {
                    (next_min_c, today.max_c)
                } else if hour < bottom {
                    (today.min_c, yesterday_max_c)
                } else {
                    (today.min_c, today.max_c)
                };
                let out_c = from + (to - from) * share;
                let typical = &open.hours[d * 24 + hour];
                let put_in = &room.put_in_by_step[month0][step];
                let open_w_k = through(
                    &room.openings,
                    month0,
                    (typical.clock_h, 24 / STEPS),
                    typical.wind_m_s,
                    state.air_c - out_c,
                );
                let mut through_doors = Mixed::default();
                for (passage, usual) in &room.passages {
                    let there_c = usual.air_c(month0, step, out_c);
                    let clock = (typical.clock_h, 24 / STEPS);
                    let w_k = passage.exchange_w_k(state.air_c - there_c, month0, clock);
                    through_doors.add(w_k, (there_c, state.vapour_kpa));
                }
                let now = RoomStep {
                    hours: 24.0 / STEPS as f64,
                    beside_w_k: through_doors.w_k,
                    beside_c: through_doors.mean(through_doors.c_w_k),
                    beside_vapour_kpa: state.vapour_kpa,
                    out_c,
                    out_vapour_kpa: psychrometrics::saturation_kpa(today.min_c) * 0.9,
                    house_c: self.house_by_step[month0][step],
                    ground_c: self.ground[month0],
                    sun_w: room.sun_by_clearness[month0][step] * clearness,
                    heater_w: put_in.heater_w,
                    supply_w_k: put_in.supply_w_k,
                    supply_c: put_in.supply_c(),
                    cloud: sky_heat::cloud_from_clearness(clearness),
                    month0,
                    clock_h: typical.clock_h,
                    sun_up: typical.sun_up,
                    open_w_k,
                    tray_kg_h: 0.0,
                };
                state = room.model.step(&state, &now);
                let (morning, evening) = (step < STEPS / 2, step >= STEPS - 2);
                if step == STEPS / 2 {
                    by_day.fill(None);
                } else if step == STEPS - 2 {
                    by_night.fill(None);
                }
                let coldest = if morning || evening {
                    &mut by_night
                } else {
                    &mut by_day
                };
                for (opening, coldest) in room.openings.iter().zip(coldest) {
                    let mut open = opening.open_hours(month0, typical.clock_h, 24 / STEPS);
                    if let Some(clock_h) = open.next()
                        && coldest.is_none_or(|c| out_c < c.out_c)
                    {
                        *coldest = Some(Draught {
                            room_c: state.air_c,
                            out_c,
                            clock_h,
                        });
                    }
                }
                if morning || evening {
                    // Steps from the evening on belong to the next morning's night.
                    if step == STEPS - 2 {
                        night_low = f64::INFINITY;
                    }
                    if state.air_c < night_low {
                        (night_low, night_out) = (state.air_c, out_c);
                    }
                }
                if step + 1 == STEPS / 2 && turn >= 14 {
                    days.min_c.push(night_low as f32);
                    days.out_at_min_c.push(night_out as f32);
                    days.draughts.extend(by_night.iter().chain(&by_day));
                }
                highest = highest.max(state.air_c);
            }
            if turn >= 14 {
                days.max_c.push(highest as f32);
            }
        }
        days
    }
}

/// Runs the rooms that have open doors to others again, with the air beyond them as the round before left it.
fn mix(
    site: &Site,
    years: &mut BTreeMap<Id, RoomYear>,
    open: &OpenYear,
    house: (&[f32], &[f64; 12]),
    progress: &Progress,
) -> Result<(), Cancelled> {
    let mixed: Vec<(Id, Vec<Passage>)> = years
        .keys()
        .map(|id| (id.clone(), Passage::of_room(site, id)))
        .filter(|(_, passages)| !passages.is_empty())
        .collect();
    if mixed.is_empty() {
        return Ok(());
    }
    for _ in 0..ROUNDS {
        progress.check()?;
        let made: Vec<(Id, RoomYear)> = mixed
            .par_iter()
            .filter_map(|(id, passages)| {
                let beside: Vec<(&Passage, Beside<'_>)> = passages
                    .iter()
                    .filter_map(|p| {
                        let air = match &p.beyond {
                            Beyond::House => Beside::House(house.0),
                            Beyond::Room(other) => Beside::Room(years.get(other)?),
                        };
                        Some((p, air))
                    })
                    .collect();
                let year = run(site, (id, site.rooms.get(id)?), open, house, &beside);
                Some((id.clone(), year))
            })
            .collect();
        years.extend(made);
    }
    Ok(())
}

fn run(
    site: &Site,
    (id, room): (&Id, &Room),
    open: &OpenYear,
    (house_c, ground): (&[f32], &[f64; 12]),
    beside: &[(&Passage, Beside<'_>)],
) -> RoomYear {
    let shared = match room.air {
        RoomAir::Unheated {
            shared_with_house, ..
        } => shared_with_house.clamp(0.0, 1.0),
        RoomAir::Heated { .. } => 0.0,
    };
    let heated = matches!(room.air, RoomAir::Heated { .. });
    let envelope = Envelope::of(site, id, room, shared);
    let model = RoomModel::new(room, &envelope);
    let openings = openings_of(site, id, room);
    let sun_w = envelope.sun_w(site, open);
    let heaters: Vec<_> = site.heaters.values().filter(|h| h.room == *id).collect();
    let vents: Vec<&Vent> = site
        .vents
        .values()
        .filter(|v| v.room == *id && v.kind == VentKind::Supply)
        .collect();
    let trays: Vec<_> = site
        .trays
        .values()
        .filter(|t| t.room.as_ref() == Some(id))
        .collect();
    let mut state = model.start(open.hours[0].air_c, open.hours[0].vapour_kpa);
    let mut year = RoomYear {
        air_c: Vec::with_capacity(HOURS),
        vapour_kpa: Vec::with_capacity(HOURS),
        demand: Vec::with_capacity(HOURS),
        heating: Vec::with_capacity(HOURS),
        sun_w_m2: sun_w.iter().map(|w| w / envelope.floor_m2 as f32).collect(),
        sun_by_clearness: by_clearness(&sun_w, open),
        put_in_by_step: [[PutIn::default(); STEPS]; 12],
        model,
        openings,
        passages: beside
            .iter()
            .map(|(p, air)| ((*p).clone(), UsualAir::of(site, &p.beyond, air, open)))
            .collect(),
    };
    let mut days_of_month = [0.0_f64; 12];
    for hour in open.hours.iter().step_by(24) {
        days_of_month[hour.month0] += 1.0;
    }
    // The last weeks of the year lead into its first hour.
    let lead = 21 * 24;
    for k in 0..lead + HOURS {
        let h = (k + HOURS - lead) % HOURS;
        let hour = &open.hours[h];
        let running: f64 = heaters
            .iter()
            .filter(|x| x.runs.runs(hour.month0, hour.clock_h))
            .map(|x| x.output_w)
            .sum();
        let mut put_in = supplied(&vents, hour.month0, hour.clock_h);
        if !heated {
            put_in.heater_w = running;
        }
        let mut through_doors = Mixed::default();
        for (passage, air) in beside {
            let there = air.air(hour, h);
            let clock = (hour.clock_h, 1);
            let w_k = passage.exchange_w_k(state.air_c - there.0, hour.month0, clock);
            through_doors.add(w_k, there);
        }
        let step = RoomStep {
            hours: 1.0,
            beside_w_k: through_doors.w_k,
            beside_c: through_doors.mean(through_doors.c_w_k),
            beside_vapour_kpa: through_doors.mean(through_doors.kpa_w_k),
            out_c: hour.air_c,
            out_vapour_kpa: hour.vapour_kpa,
            house_c: at(house_c, h),
            ground_c: ground[hour.month0],
            sun_w: at(&sun_w, h),
            heater_w: put_in.heater_w,
            supply_w_k: put_in.supply_w_k,
            supply_c: put_in.supply_c(),
            cloud: hour.cloud,
            month0: hour.month0,
            clock_h: hour.clock_h,
            sun_up: hour.sun_up,
            open_w_k: through(
                &year.openings,
                hour.month0,
                (hour.clock_h, 1),
                hour.wind_m_s,
                state.air_c - hour.air_c,
            ),
            tray_kg_h: trays
                .iter()
                .filter(|t| t.months.has(hour.month0))
                .map(|t| super::moisture::tray_kg_h(t.area_m2, state.air_c, state.vapour_kpa, 0.05))
                .sum(),
        };
        state = year.model.step(&state, &step);
        if k >= lead {
            let share = STEPS as f64 / 24.0 / days_of_month[hour.month0].max(1.0);
            year.put_in_by_step[hour.month0][h % 24 * STEPS / 24].add(put_in, share);
            year.push(&state, heated, running);
        }
    }
    year
}

impl RoomYear {
    fn push(&mut self, state: &RoomState, heated: bool, running_w: f64) {
        self.air_c.push(state.air_c as f32);
        self.vapour_kpa.push(state.vapour_kpa as f32);
        let demand = if !heated {
            1.0
        } else if running_w > 0.0 {
            (state.heating_w / running_w).clamp(0.0, 1.0)
        } else {
            0.0
        };
        self.demand.push(demand as f32);
        self.heating
            .push(state.heating_w > 1.0 || (!heated && running_w > 0.0));
    }
}

/// Air through what stands open during some hours about one of the clock, W/K, mean of those hours.
fn through(
    openings: &[Opening],
    month0: usize,
    (clock_h, hours): (f64, usize),
    wind_m_s: f64,
    apart_k: f64,
) -> f64 {
    openings
        .iter()
        .map(|o| {
            let open = o.open_hours(month0, clock_h, hours).count();
            if open == 0 {
                return 0.0;
            }
            o.exchange_w_k(wind_m_s, apart_k) * open as f64 / hours.max(1) as f64
        })
        .sum()
}

fn supplied(vents: &[&Vent], month0: usize, clock_h: f64) -> PutIn {
    let mut put_in = PutIn::default();
    for vent in vents.iter().filter(|v| v.runs.runs(month0, clock_h)) {
        let flow = AIR_HEAT_J_M3_K * vent.area_m2.max(0.0) * vent.speed_m_s.max(0.0);
        put_in.supply_w_k += flow;
        put_in.supply_c_w_k += flow * vent.supply_c;
    }
    put_in
}

/// Warmth grows with height more where the heat comes in as hot air, K/m (our choice).
pub(crate) fn stratification_k_m(site: &Site, id: &Id) -> f64 {
    let main = site
        .heaters
        .values()
        .filter(|h| h.room == *id)
        .max_by(|a, b| a.output_w.total_cmp(&b.output_w));
    match main.map(|h| h.kind) {
        Some(HeaterKind::Stove | HeaterKind::FanHeater) => 1.5,
        Some(HeaterKind::FloorHeating) => 0.2,
        _ => 0.5,
    }
}

fn by_clearness(sun_w: &[f32], open: &OpenYear) -> [[f64; STEPS]; 12] {
    let mut sums = [[0.0; STEPS]; 12];
    let mut hours = [0.0_f64; 12];
    for (h, w) in sun_w.iter().enumerate() {
        let m = open.hours[h].month0;
        sums[m][h % 24 * STEPS / 24] += f64::from(*w);
        hours[m] += 1.0;
    }
    for m in 0..12 {
        let per_step = (hours[m] / STEPS as f64).max(1.0);
        for sum in &mut sums[m] {
            *sum /= per_step * open.month_clearness[m].max(0.05);
        }
    }
    sums
}
