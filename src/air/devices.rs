//! What heaters, vents, fans and leaks bring to a spot.

use super::{
    jet::{self, CeilingFan, Jet},
    plume::{self, AIR_HEAT_J_M3_K, LineHeater, Stream},
};
use crate::{
    base::{Id, Pt, geometry},
    site::{Fan, FanKind, Heater, HeaterKind, Room, Site, Spot, Timetable, Vent, VentKind},
};

/// Convective share of a heater's output (from memory; panels give the rest off as radiation).
fn convective_share(kind: HeaterKind) -> f64 {
    match kind {
        HeaterKind::Radiator => 0.7,
        HeaterKind::Convector => 0.95,
        HeaterKind::FanHeater => 1.0,
        HeaterKind::Stove => 0.45,
        HeaterKind::FloorHeating => 0.5,
    }
}

/// Opening and speed of a usual fan heater (from memory).
const FAN_HEATER_AREA_M2: f64 = 0.02;
const FAN_HEATER_M_S: f64 = 3.0;
/// Share of a plume that still reaches pots on a board that lies over the heater, and on whatever narrower sill or
/// shelf holds pots above it (our choice).
const OVER_BOARD: f64 = 0.3;
const OVER_SILL: f64 = 0.5;
/// Blown-air excess at which jets are tabled, K: from -40 to 40 in steps of 2.
const TABLE_FROM_K: f64 = -40.0;
const TABLE_STEP_K: f64 = 2.0;
const TABLE: usize = 41;

/// A device that acts on a spot.
#[derive(Clone, Debug)]
pub(crate) struct Effect {
    pub kind: EffectKind,
    pub name: String,
    pub runs: Timetable,
    action: Action,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum EffectKind {
    Plume,
    HotJet,
    Jet,
    Extract,
    Fan,
}

#[derive(Clone, Debug)]
enum Action {
    /// At full output; weaker with the heat that the room asks for.
    Plume(Stream),
    Blown {
        supply: Supply,
        /// Excess and speed at the spot by excess of the blown air.
        table: Box<[Stream; TABLE]>,
    },
    Moved {
        speed_m_s: f64,
    },
}

#[derive(Clone, Copy, Debug)]
enum Supply {
    At(f64),
    AboveRoom(f64),
}

/// The state of the room that decides how hard devices work.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Running {
    pub month0: usize,
    pub clock_h: f64,
    pub room_c: f64,
    /// Share of the heaters' joint output that the room asks for, 0..=1.
    pub demand: f64,
}

impl Effect {
    /// What it brings, zero while it does not run.
    pub fn at(&self, now: &Running) -> Stream {
        if !self.runs.runs(now.month0, now.clock_h) {
            return Stream::default();
        }
        match &self.action {
            Action::Plume(full) => {
                // Buoyancy in step with the heat: speed as its cube root, excess as its two-thirds power.
                let root = now.demand.clamp(0.0, 1.0).cbrt();
                Stream {
                    excess_k: full.excess_k * root * root,
                    speed_m_s: full.speed_m_s * root,
                }
            }
            Action::Blown { supply, table } => {
                let (excess, share) = match supply {
                    Supply::At(c) => (c - now.room_c, 1.0),
                    Supply::AboveRoom(k) => (*k, now.demand.clamp(0.0, 1.0)),
                };
                let felt = lookup(table, excess);
                Stream {
                    excess_k: felt.excess_k * share,
                    speed_m_s: felt.speed_m_s * share,
                }
            }
            Action::Moved { speed_m_s } => Stream {
                excess_k: 0.0,
                speed_m_s: *speed_m_s,
            },
        }
    }

    /// What it brings while it runs at full output, with room air at 20 °C.
    pub fn at_full(&self) -> Stream {
        match &self.action {
            Action::Plume(full) => *full,
            Action::Blown { supply, table } => match supply {
                Supply::At(c) => lookup(table, c - 20.0),
                Supply::AboveRoom(k) => lookup(table, *k),
            },
            Action::Moved { speed_m_s } => Stream {
                excess_k: 0.0,
                speed_m_s: *speed_m_s,
            },
        }
    }
}

fn lookup(table: &[Stream; TABLE], excess_k: f64) -> Stream {
    let place = ((excess_k - TABLE_FROM_K) / TABLE_STEP_K).clamp(0.0, (TABLE - 1) as f64);
    let low = (place as usize).min(TABLE - 2);
    let t = place - low as f64;
    let (a, b) = (table[low], table[low + 1]);
    Stream {
        excess_k: a.excess_k + (b.excess_k - a.excess_k) * t,
        speed_m_s: a.speed_m_s + (b.speed_m_s - a.speed_m_s) * t,
    }
}

/// Places over which a spot's devices are averaged: its middle and half-way to each corner.
pub(crate) fn sample_points(spot: &Spot) -> Vec<Pt> {
    let middle = spot.middle();
    let mut points = vec![middle];
    if spot.outline.len() > 1 {
        points.extend(spot.outline.iter().take(8).map(|c| middle.lerp(*c, 0.5)));
    }
    points
}

/// All devices that reach a spot.
pub(crate) fn effects(site: &Site, spot: &Spot) -> Vec<Effect> {
    let room = spot.room.as_ref().and_then(|id| site.rooms.get(id));
    let place = Reached {
        points: sample_points(spot),
        leaf_m: spot.height_m + spot.leaf_m,
        foot_m: spot.height_m,
        outline: &spot.outline,
        room: spot.room.as_ref(),
        walls: room.map(|r| r.outline.as_slice()),
        ceiling_m: room.map_or(f64::INFINITY, |r| r.height_m),
    };
    effects_at(site, &place)
}

/// Where devices are felt.
pub(crate) struct Reached<'a> {
    pub points: Vec<Pt>,
    /// Leaves and foot of the pots above the floor, m.
    pub leaf_m: f64,
    pub foot_m: f64,
    pub outline: &'a [Pt],
    pub room: Option<&'a Id>,
    pub walls: Option<&'a [Pt]>,
    pub ceiling_m: f64,
}

pub(crate) fn effects_at(site: &Site, place: &Reached<'_>) -> Vec<Effect> {
    let mut all = Vec::new();
    if let Some(id) = place.room {
        for heater in site.heaters.values().filter(|h| h.room == *id) {
            all.extend(of_heater(heater, place));
        }
        for vent in site.vents.values().filter(|v| v.room == *id) {
            all.extend(of_vent(vent, place));
        }
    }
    for fan in site.fans.values().filter(|f| f.room.as_ref() == place.room) {
        all.extend(of_fan(fan, place));
    }
    all.retain(|e| {
        let full = e.at_full();
        let most = match &e.action {
            Action::Blown { table, .. } => table.iter().fold(full, |m, s| Stream {
                excess_k: if s.excess_k.abs() > m.excess_k.abs() {
                    s.excess_k
                } else {
                    m.excess_k
                },
                speed_m_s: m.speed_m_s.max(s.speed_m_s),
            }),
            _ => full,
        };
        most.excess_k.abs() > 0.02 || most.speed_m_s > 0.01
    });
    all
}

/// Whether air can go straight from a device to a point: no wall of the room between, but that it hangs on.
fn in_sight(walls: Option<&[Pt]>, from: Pt, to: Pt) -> bool {
    let Some(outline) = walls else {
        return true;
    };
    let way = to - from;
    let length = way.length();
    if length < 1e-6 {
        return true;
    }
    let towards = way.unit();
    geometry::edges(outline)
        .filter_map(|(a, b)| super::shelter::ray_meets(from, towards, a, b))
        .all(|x| x < 0.35 || x > length - 0.35)
}

fn mean(streams: impl Iterator<Item = Stream>) -> Stream {
    let (mut sum, mut n) = (Stream::default(), 0.0_f64);
    for s in streams {
        sum.excess_k += s.excess_k;
        sum.speed_m_s += s.speed_m_s;
        n += 1.0;
    }
    let n = n.max(1.0);
    Stream {
        excess_k: sum.excess_k / n,
        speed_m_s: sum.speed_m_s / n,
    }
}

fn effect(kind: EffectKind, name: &str, runs: Timetable, action: Action) -> Effect {
    Effect {
        kind,
        name: name.to_owned(),
        runs,
        action,
    }
}

fn of_heater(heater: &Heater, place: &Reached<'_>) -> Vec<Effect> {
    let faces = Pt::towards(heater.faces_deg.to_radians());
    let mut all = Vec::new();
    match heater.kind {
        HeaterKind::Radiator | HeaterKind::Convector | HeaterKind::Stove => {
            let on_wall = place
                .walls
                .is_some_and(|w| geometry::distance_to_rim(w, heater.at) < 0.35);
            let source = LineHeater {
                convective_w: heater.output_w * convective_share(heater.kind),
                length_m: heater.length_m,
                origin_below_top_m: 0.5 * heater.top_m.clamp(0.0, 1.2),
                on_wall,
            };
            let held_above = !place.outline.is_empty() && place.foot_m >= heater.top_m - 0.02;
            let left = match held_above {
                true if place.outline.len() >= 3
                    && geometry::contains(place.outline, heater.at) =>
                {
                    OVER_BOARD
                }
                true => OVER_SILL,
                false => 1.0,
            };
            let above = place.leaf_m.min(place.ceiling_m) - heater.top_m;
            let full = mean(place.points.iter().map(|p| {
                if !in_sight(place.walls, heater.at, *p) {
                    return Stream::default();
                }
                let to = *p - heater.at;
                let felt = source.at(above, to.dot(faces), to.cross(faces));
                Stream {
                    excess_k: felt.excess_k * left,
                    speed_m_s: felt.speed_m_s * left,
                }
            }));
            all.push(effect(
                EffectKind::Plume,
                &heater.name,
                heater.runs,
                Action::Plume(full),
            ));
        }
        HeaterKind::FanHeater => {
            let excess = heater.output_w / (AIR_HEAT_J_M3_K * FAN_HEATER_AREA_M2 * FAN_HEATER_M_S);
            let nozzle = Nozzle {
                at: heater.at,
                height_m: 0.5 * heater.top_m,
                towards: faces,
                tilt_rad: 0.0,
                area_m2: FAN_HEATER_AREA_M2,
                speed_m_s: FAN_HEATER_M_S,
            };
            all.push(effect(
                EffectKind::HotJet,
                &heater.name,
                heater.runs,
                Action::Blown {
                    supply: Supply::AboveRoom(excess.min(40.0)),
                    table: nozzle.table(place),
                },
            ));
        }
        // Warm everywhere alike: the room's own balance has it.
        HeaterKind::FloorHeating => {}
    }
    all
}

/// A stove that shines on a spot.
#[derive(Clone, Debug)]
pub(crate) struct StoveHeat {
    pub name: String,
    pub runs: Timetable,
    /// On leaves that face it while it burns at full output, W/m².
    pub full_w_m2: f64,
}

impl StoveHeat {
    /// W/m² at a time; like all heaters a stove burns no harder than the room asks for.
    pub fn at(&self, now: &Running) -> f64 {
        if self.runs.runs(now.month0, now.clock_h) {
            self.full_w_m2 * now.demand.clamp(0.0, 1.0)
        } else {
            0.0
        }
    }
}

/// Heat radiation of the room's stoves on leaves at a spot.
pub(crate) fn stove_heat(site: &Site, spot: &Spot, room: &Room) -> Vec<StoveHeat> {
    let Some(id) = &spot.room else {
        return Vec::new();
    };
    site.heaters
        .values()
        .filter(|h| h.room == *id && h.kind == HeaterKind::Stove)
        .filter_map(|stove| {
            let to = spot.middle() - stove.at;
            let faces = Pt::towards(stove.faces_deg.to_radians());
            let in_front =
                to.dot(faces) > 0.0 && in_sight(Some(&room.outline), stove.at, spot.middle());
            in_front.then(|| {
                let radiant = stove.output_w * (1.0 - convective_share(HeaterKind::Stove));
                let rise = spot.height_m + spot.leaf_m - 0.5 * stove.top_m;
                let flux = plume::stove_radiation_w_m2(radiant, to.length().hypot(rise));
                StoveHeat {
                    name: stove.name.clone(),
                    runs: stove.runs,
                    full_w_m2: flux,
                }
            })
        })
        .collect()
}

fn of_vent(vent: &Vent, place: &Reached<'_>) -> Option<Effect> {
    match vent.kind {
        VentKind::Supply => {
            let nozzle = Nozzle {
                at: vent.at,
                height_m: vent.height_m,
                towards: Pt::towards(vent.blows_deg.to_radians()),
                tilt_rad: vent.tilt_deg.to_radians(),
                area_m2: vent.area_m2,
                speed_m_s: vent.speed_m_s,
            };
            Some(effect(
                EffectKind::Jet,
                &vent.name,
                vent.runs,
                Action::Blown {
                    supply: Supply::At(vent.supply_c),
                    table: nozzle.table(place),
                },
            ))
        }
        VentKind::Extract => {
            let felt = mean(place.points.iter().map(|p| {
                let away = vent.at.distance(*p).hypot(vent.height_m - place.leaf_m);
                Stream {
                    excess_k: 0.0,
                    speed_m_s: if in_sight(place.walls, vent.at, *p) {
                        jet::extract_speed_m_s(vent.area_m2, vent.speed_m_s, away)
                    } else {
                        0.0
                    },
                }
            }));
            Some(effect(
                EffectKind::Extract,
                &vent.name,
                vent.runs,
                Action::Moved {
                    speed_m_s: felt.speed_m_s,
                },
            ))
        }
    }
}

fn of_fan(fan: &Fan, place: &Reached<'_>) -> Option<Effect> {
    let share = fan.share.clamp(0.0, 1.0);
    let felt = mean(place.points.iter().map(|p| {
        let speed_m_s = if !in_sight(place.walls, fan.at, *p) {
            0.0
        } else {
            match fan.kind {
                FanKind::Ceiling => CeilingFan {
                    diameter_m: fan.diameter_m,
                    speed_m_s: fan.speed_m_s,
                    height_m: fan.height_m,
                }
                .at(place.leaf_m, fan.at.distance(*p)),
                FanKind::Table => {
                    let towards = Pt::towards(fan.blows_deg.to_radians());
                    let to = *p - fan.at;
                    // One that swings passes over a quarter circle; off it nothing is felt.
                    let aside = if share < 0.95 && to.dot(towards) > to.length() * 0.7 {
                        0.0
                    } else {
                        to.cross(towards)
                    };
                    let along = if aside == 0.0 {
                        to.length()
                    } else {
                        to.dot(towards)
                    };
                    jet::table_fan_m_s(
                        fan.diameter_m,
                        fan.speed_m_s,
                        along,
                        (aside, place.leaf_m - fan.height_m),
                    )
                }
            }
        };
        Stream {
            excess_k: 0.0,
            speed_m_s: speed_m_s * share,
        }
    }));
    Some(effect(
        EffectKind::Fan,
        &fan.name,
        fan.runs,
        Action::Moved {
            speed_m_s: felt.speed_m_s,
        },
    ))
}

/// A jet spreads evenly along walls that it meets no farther from square than this, as a cosine (our choice).
const ABOUT_SQUARE: f64 = 0.7;

/// Where the level way of a jet ends.
struct Wall {
    a: Pt,
    b: Pt,
    at: Pt,
    /// From the opening, m.
    x_m: f64,
}

impl Wall {
    /// The first wall before an opening, but for that in which it sits.
    fn before(walls: Option<&[Pt]>, from: Pt, towards: Pt) -> Option<Self> {
        geometry::edges(walls?)
            .filter_map(|(a, b)| {
                let x_m = super::shelter::ray_meets(from, towards, a, b)?;
                (x_m > 0.35).then_some(Self {
                    a,
                    b,
                    at: from + towards * x_m,
                    x_m,
                })
            })
            .min_by(|a, b| a.x_m.total_cmp(&b.x_m))
            .filter(|w| (w.b - w.a).left().unit().dot(towards).abs() >= ABOUT_SQUARE)
    }

    /// Level way along the wall to the place beside a point, and from there to the point, m.
    fn beside(&self, point: Pt) -> Option<(f64, f64)> {
        let along = (self.b - self.a).unit();
        let x = (point - self.a).dot(along);
        (0.0..=self.a.distance(self.b)).contains(&x).then(|| {
            let foot = self.a + along * x;
            (foot.distance(self.at), foot.distance(point))
        })
    }
}

/// An opening that blows.
struct Nozzle {
    at: Pt,
    height_m: f64,
    towards: Pt,
    tilt_rad: f64,
    area_m2: f64,
    speed_m_s: f64,
}

impl Nozzle {
    fn table(&self, place: &Reached<'_>) -> Box<[Stream; TABLE]> {
        let points: Vec<Pt> = place.points.clone();
        let (sin, cos) = self.tilt_rad.sin_cos();
        let wall = Wall::before(place.walls, self.at, self.towards).filter(|_| cos > ABOUT_SQUARE);
        Box::new(std::array::from_fn(|i| {
            let blown = Jet {
                area_m2: self.area_m2,
                speed_m_s: self.speed_m_s,
                excess_k: TABLE_FROM_K + TABLE_STEP_K * i as f64,
            };
            mean(points.iter().map(|p| {
                if !in_sight(place.walls, self.at, *p) {
                    return Stream::default();
                }
                let to = *p - self.at;
                let level = to.dot(self.towards);
                let up = place.leaf_m - self.height_m;
                // Along the tilted axis, and square to it in the upright plane.
                let straight = blown.at(
                    level * cos + up * sin,
                    to.cross(self.towards),
                    up * cos - level * sin,
                );
                let turned = wall.as_ref().and_then(|wall| {
                    let way_m = wall.x_m / cos;
                    let height_m = self.height_m + wall.x_m * sin / cos + blown.rise_m(way_m);
                    // One that comes down to the floor or up to the ceiling before is another case.
                    if !(0.0..=place.ceiling_m).contains(&height_m) {
                        return None;
                    }
                    let (along_m, off_m) = wall.beside(*p)?;
                    Some(blown.on_wall(way_m, along_m.hypot(place.leaf_m - height_m), off_m))
                });
                turned
                    .filter(|t| t.speed_m_s > straight.speed_m_s)
                    .unwrap_or(straight)
            }))
        }))
    }
}
