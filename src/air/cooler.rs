//! What would bring a spot's nights down: water and ice in the evening, hour by hour through the nights of a month, and
//! the same spot in other places, each with its figure.

use super::{
    AirInputs, SpotAir,
    evening::{self, Cooled, Measure, NightHour, Wetting},
    outdoors::OutdoorSpot,
    room_year::Rooms,
    spot_model::SpotModel,
    spots_year,
    year::{self, OpenYear},
};
use crate::{
    base::{Cancelled, Day, Id, Progress, Week, calendar::HOURS},
    light::SpotLight,
    needs::Leaf,
    site::{Pot, Site, Spot},
};

/// Hours of a night that are followed, from sunset on.
const NIGHT_H: usize = 15;
/// Fall of temperature with height, K/m (ISO 2533, standard atmosphere).
const LAPSE_K_M: f64 = 0.0065;
/// How much higher up the country a place is tried, m.
const HIGHER_M: f64 = 300.0;
/// How far from a wall a spot is tried, m: beyond its reach.
const FROM_WALL_M: f64 = 2.5;
/// How much colder a cold hollow is tried, K.
const HOLLOW_K: f64 = 2.0;

/// Share of a month's nights that must be as wanted for a spot to need nothing.
const MOST_NIGHTS: f64 = 0.9;

/// What is said where nights are as wanted.
pub const SUITS: &str = "The nights here already suit: nothing needs to bring them down.";

/// Caution that goes with water in the evening.
pub const CAUTION: &str = "wet floors are slippery, and water keeps away from sockets, lamps and heaters; leaves, crowns and \
flowers that are wet overnight rot and spot, so mist no later than dries before dark where nights are cool.";

/// What is asked.
#[derive(Clone, Debug)]
pub struct Question<'a> {
    /// 0..12.
    pub month0: usize,
    pub wetting: Wetting,
    pub pot: &'a Pot,
    pub leaf: &'a Leaf,
    /// Night minimum that the plant wants not to be passed, °C.
    pub wanted_c: Option<f64>,
    /// Leaf temperature that hurts the plant, °C: colder places are not named.
    pub frost_c: Option<f64>,
}

/// What one measure does, mean over the month's nights.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Effect {
    pub measure: Measure,
    /// Largest fall of an hour, K, and the fall at the night's lowest, K.
    pub air_most_k: f64,
    pub air_at_low_k: f64,
    pub leaf_most_k: f64,
    pub leaf_at_low_k: f64,
    pub root_most_k: f64,
    pub root_at_low_k: f64,
    /// Hours in which the fall of whatever falls most is at least half of its most.
    pub lasts_h: f64,
    /// Nights of the month whose air would stay at or below what is wanted.
    pub nights: Option<f64>,
}

/// The spot changed, or another place.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Elsewhere {
    pub what: String,
    /// Mean night minimum of the month, °C, and its difference from the spot as it is, K.
    pub night_c: f64,
    pub change_k: f64,
    /// Coldest leaf of the month in the worst tenth of years, °C.
    pub coldest_leaf_c: f64,
}

/// The answer for a month.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Answer {
    pub month0: usize,
    /// Mean night minimum, °C.
    pub night_c: f64,
    /// Air at the leaves an hour after sunset, °C, and how far its wet bulb lies below it, K: no water can do more.
    pub evening_c: f64,
    pub wet_bulb_below_k: f64,
    pub wanted_c: Option<f64>,
    /// Nights of the month, and those at or below what is wanted as things are.
    pub nights_of_month: usize,
    pub nights: Option<f64>,
    /// Nights are as wanted nearly always: nothing needs to bring them down, and no other place is named.
    pub suits: bool,
    pub effects: Vec<Effect>,
    pub elsewhere: Vec<Elsewhere>,
}

/// What would bring a spot's nights down. `None` without a typical year.
///
/// # Errors
/// [`Cancelled`].
pub fn nights(
    inputs: &AirInputs<'_>,
    site: &Site,
    (id, spot): (&Id, &Spot),
    light: &SpotLight,
    air: &SpotAir,
    question: &Question<'_>,
    progress: &Progress,
) -> Result<Option<Answer>, Cancelled> {
    let Some(open) = OpenYear::of(inputs) else {
        return Ok(None);
    };
    let month0 = question.month0 % 12;
    let rooms = Rooms::of(site, &open, progress)?;
    let model = SpotModel::of(site, spot, Some(light), &open);
    let night_c = month_night_c(air, month0);
    let months: Vec<MonthNight> = (0..crate::base::calendar::DAYS)
        .filter(|d| Day::new(*d).month0() == month0)
        .map(|d| MonthNight::of(&model, &open, &rooms, air, d))
        .collect();
    let n = months.len().max(1) as f64;
    let mean = |value: &dyn Fn(&MonthNight) -> f64| months.iter().map(value).sum::<f64>() / n;
    // The typical year's month may be milder or harsher than usual.
    let shift_k = night_c - mean(&|m| m.low_c());
    let below = |fall: &dyn Fn(usize) -> f64| {
        question.wanted_c.map(|wanted| {
            months
                .iter()
                .enumerate()
                .filter(|(i, m)| m.low_c() + shift_k - fall(*i) <= wanted)
                .count() as f64
        })
    };
    let room_w_k = spot
        .room
        .as_ref()
        .and_then(|room| rooms.years.get(room))
        .map(|room| room.model.air_hold_w_k());
    let heated = spot
        .room
        .as_ref()
        .and_then(|id| site.rooms.get(id))
        .is_some_and(|r| r.air.heated_to_c(month0).is_some());
    let above_floor_m = spot.height_m + spot.leaf_m;
    let effects = Measure::ALL
        .into_iter()
        .map(|measure| {
            let all: Vec<Cooled> = months
                .iter()
                .map(|m| {
                    let w = &question.wetting;
                    let mut cooled = match measure {
                        Measure::WetFloor => {
                            evening::wet_floor(&m.hours, w, above_floor_m, room_w_k)
                        }
                        Measure::WaterPot => {
                            evening::watered_pot(&m.hours, question.pot, w.water_c)
                        }
                        Measure::MistLeaves => evening::misted_leaves(
                            &m.hours,
                            question.leaf,
                            inputs.place.elevation_m,
                        ),
                        Measure::Ice => evening::iced_pot(&m.hours, question.pot, w.ice_kg),
                    };
                    if heated && measure == Measure::WetFloor {
                        // The heater makes good what the floor takes.
                        cooled.air_k.fill(0.0);
                        cooled.leaf_k.fill(0.0);
                    }
                    cooled
                })
                .collect();
            effect(
                measure,
                &months,
                &all,
                below(&|i| {
                    months
                        .get(i)
                        .zip(all.get(i))
                        .map_or(0.0, |(m, c)| m.at_low(&c.air_k))
                }),
            )
        })
        .collect();
    let nights = below(&|_| 0.0);
    let suits = nights.is_some_and(|of| of >= MOST_NIGHTS * months.len() as f64);
    let mut elsewhere = if suits {
        Vec::new()
    } else {
        elsewhere(
            inputs,
            site,
            (id, spot),
            light,
            &model,
            (night_c, month_coldest_c(air, month0)),
            month0,
            progress,
        )?
    };
    if let Some(frost_c) = question.frost_c {
        elsewhere.retain(|e| e.coldest_leaf_c > frost_c);
    }
    Ok(Some(Answer {
        month0,
        night_c,
        evening_c: mean(&|m| m.hours.get(1).map_or(0.0, |h| h.air_c)),
        wet_bulb_below_k: mean(&|m| m.hours.get(1).map_or(0.0, evening::depth_k)),
        wanted_c: question.wanted_c,
        nights_of_month: months.len(),
        nights,
        suits,
        effects,
        elsewhere,
    }))
}

/// A night of the typical year at the spot, from sunset on.
struct MonthNight {
    hours: Vec<NightHour>,
    /// Index of its coldest hour.
    low: usize,
}

impl MonthNight {
    fn of(model: &SpotModel, open: &OpenYear, rooms: &Rooms, air: &SpotAir, d: usize) -> Self {
        let sunset = (12..24)
            .find(|h| !open.hours[(d * 24 + h) % HOURS].sun_up)
            .unwrap_or(20);
        let hours: Vec<NightHour> = (0..NIGHT_H)
            .map(|k| {
                let h = (d * 24 + sunset + k) % HOURS;
                let hour = &open.hours[h];
                let parts = model.parts(open, rooms, h);
                let (sky_c, sky_view) = match model {
                    SpotModel::Outdoors(spot) => (year::sky_of(hour), spot.sky_view(hour.month0)),
                    SpotModel::Indoors(_) => (parts.air_c(), 0.0),
                };
                NightHour {
                    air_c: air.air_c.get(h).map_or(parts.air_c(), |c| f64::from(*c)),
                    vapour_kpa: parts.vapour_kpa,
                    speed_m_s: parts.speed_with_devices_m_s(),
                    sky_c,
                    sky_view,
                }
            })
            .collect();
        let low = hours
            .iter()
            .enumerate()
            .min_by(|a, b| a.1.air_c.total_cmp(&b.1.air_c))
            .map_or(0, |(i, _)| i);
        Self { hours, low }
    }

    fn low_c(&self) -> f64 {
        self.hours.get(self.low).map_or(0.0, |h| h.air_c)
    }

    fn at_low(&self, fall: &[f64]) -> f64 {
        fall.get(self.low).copied().unwrap_or(0.0)
    }
}

fn effect(measure: Measure, months: &[MonthNight], all: &[Cooled], nights: Option<f64>) -> Effect {
    let n = all.len().max(1) as f64;
    let most = |pick: fn(&Cooled) -> &Vec<f64>| {
        all.iter()
            .map(|c| pick(c).iter().copied().fold(0.0, f64::max))
            .sum::<f64>()
            / n
    };
    let at_low = |pick: fn(&Cooled) -> &Vec<f64>| {
        months
            .iter()
            .zip(all)
            .map(|(m, c)| m.at_low(pick(c)))
            .sum::<f64>()
            / n
    };
    let lasts = |c: &Cooled| {
        let strongest = [&c.air_k, &c.leaf_k, &c.root_k]
            .into_iter()
            .max_by(|a, b| peak(a).total_cmp(&peak(b)));
        strongest.map_or(0, |s| {
            let most = peak(s);
            s.iter().filter(|k| most > 0.0 && **k >= 0.5 * most).count()
        })
    };
    Effect {
        measure,
        air_most_k: most(|c| &c.air_k),
        air_at_low_k: at_low(|c| &c.air_k),
        leaf_most_k: most(|c| &c.leaf_k),
        leaf_at_low_k: at_low(|c| &c.leaf_k),
        root_most_k: most(|c| &c.root_k),
        root_at_low_k: at_low(|c| &c.root_k),
        lasts_h: all.iter().map(|c| lasts(c) as f64).sum::<f64>() / n,
        nights,
    }
}

fn peak(values: &[f64]) -> f64 {
    values.iter().copied().fold(0.0, f64::max)
}

/// Mean night minimum of a month over the weather years, °C.
#[must_use]
pub fn month_night_c(air: &SpotAir, month0: usize) -> f64 {
    let of: Vec<f64> = Week::all()
        .filter(|w| w.month0() == month0)
        .filter_map(|w| air.weeks.get(w.index()))
        .map(|w| w.night_c)
        .collect();
    of.iter().sum::<f64>() / of.len().max(1) as f64
}

/// Coldest leaf of a month in the worst tenth of the weather years, °C.
#[must_use]
pub fn month_coldest_c(air: &SpotAir, month0: usize) -> f64 {
    Week::all()
        .filter(|w| w.month0() == month0)
        .filter_map(|w| {
            let years = &air.weeks.get(w.index())?.coldest_leaf_c;
            years.get(years.len().saturating_sub(1) / 10)
        })
        .fold(f64::INFINITY, |least, c| least.min(f64::from(*c)))
}

/// The spot changed in one way each, by the same engine.
#[expect(
    clippy::too_many_arguments,
    reason = "one private step of one function"
)]
fn elsewhere(
    inputs: &AirInputs<'_>,
    site: &Site,
    (id, spot): (&Id, &Spot),
    light: &SpotLight,
    model: &SpotModel,
    (night_c, coldest_c): (f64, f64),
    month0: usize,
    progress: &Progress,
) -> Result<Vec<Elsewhere>, Cancelled> {
    let SpotModel::Outdoors(here) = model else {
        return Ok(Vec::new());
    };
    let variants = variants(spot, light, here, month0);
    let spots: Vec<(&Id, &Spot)> = variants.iter().map(|v| (id, &v.spot)).collect();
    let lights: Vec<SpotLight> = variants.iter().map(|v| v.light.clone()).collect();
    let airs = spots_year(inputs, site, &spots, &lights, progress)?;
    let mut all: Vec<Elsewhere> = variants
        .iter()
        .zip(&airs)
        .map(|(v, air)| {
            let there = month_night_c(air, month0);
            Elsewhere {
                what: v.what.clone(),
                night_c: there,
                change_k: there - night_c,
                coldest_leaf_c: month_coldest_c(air, month0),
            }
        })
        .collect();
    let up_k = -LAPSE_K_M * HIGHER_M;
    all.push(Elsewhere {
        what: format!("{HIGHER_M:.0} m higher up the country, where it lies no less open"),
        night_c: night_c + up_k,
        change_k: up_k,
        coldest_leaf_c: coldest_c + up_k,
    });
    all.sort_by(|a, b| {
        a.change_k
            .total_cmp(&b.change_k)
            .then_with(|| a.what.cmp(&b.what))
    });
    Ok(all)
}

struct Variant {
    what: String,
    spot: Spot,
    light: SpotLight,
}

fn variants(spot: &Spot, light: &SpotLight, here: &OutdoorSpot, month0: usize) -> Vec<Variant> {
    let mut all = Vec::new();
    let mut offer = |what: String, spot: Spot, light: SpotLight| {
        all.push(Variant { what, spot, light });
    };
    let mut open = light.clone();
    for factors in &mut open.factors {
        factors.sky_view_cosine = 1.0;
    }
    if here.sky_view(month0) < 0.9 {
        offer("under the open sky".to_owned(), spot.clone(), open);
    }
    let set = |height_m: f64| Spot {
        height_m,
        ..spot.clone()
    };
    offer(
        "1 m higher".to_owned(),
        set(spot.height_m + 1.0),
        light.clone(),
    );
    if spot.height_m > 0.2 {
        offer("on the ground".to_owned(), set(0.0), light.clone());
    }
    if spot.cold_hollow_k < HOLLOW_K {
        let hollow = Spot {
            cold_hollow_k: HOLLOW_K,
            ..spot.clone()
        };
        let what = format!("where cold air gathers, {HOLLOW_K:.0} K on still clear nights");
        offer(what, hollow, light.clone());
    } else {
        let out = Spot {
            cold_hollow_k: 0.0,
            ..spot.clone()
        };
        offer("out of the cold hollow".to_owned(), out, light.clone());
    }
    if let Some(wall) = here.wall() {
        let away = wall.outwards() * (FROM_WALL_M - wall.x_m).max(0.0);
        let moved = Spot {
            outline: spot.outline.iter().map(|p| *p + away).collect(),
            ..spot.clone()
        };
        offer(
            format!("{FROM_WALL_M} m from the wall"),
            moved,
            light.clone(),
        );
    }
    if light.beam_ppfd.len() >= HOURS {
        let mut shaded = light.clone();
        for (h, beam) in shaded.beam_ppfd.iter_mut().enumerate() {
            if h % 24 >= 12 {
                *beam = 0.0;
            }
        }
        for (h, sunlit) in shaded.sunlit.iter_mut().enumerate() {
            if h % 24 >= 12 {
                *sunlit = 0.0;
            }
        }
        offer("shaded from noon on".to_owned(), spot.clone(), shaded);
    }
    all
}
