//! Light in the rooms under a map.

use std::{collections::BTreeMap, f32::consts::FRAC_1_PI};

use glam::{Vec2, Vec3};
use rayon::prelude::*;

use super::{
    Ask, Ground, Picture, Quantity,
    lamps::{self, Moment, Supply},
    place_in,
};
use crate::{
    base::{
        Cancelled, Day, Progress,
        units::{PPFD_PER_BEAM_W_M2, PPFD_PER_SKY_W_M2},
    },
    light::{
        LightInputs,
        enclosed::{
            RoomLight, SIDES,
            glow::{Glow, Outside},
        },
        flow::{PER_EXITANCE, SUNS},
        room::{Enclosure, Pane},
        scene::Ray,
        sight, sun_path,
        works::Works,
        year::Year,
    },
};

/// Fills in the cells that lie in rooms.
pub fn fill(
    inputs: &LightInputs<'_>,
    ask: &Ask,
    supply: &Supply,
    grounds: &[Ground],
    picture: &mut Picture,
    progress: &Progress,
) -> Result<(), Cancelled> {
    let mut cells: BTreeMap<u16, Vec<usize>> = BTreeMap::new();
    for (k, ground) in grounds.iter().enumerate() {
        if let Ground::Room(room) = ground {
            cells.entry(*room).or_default().push(k);
        }
    }
    if cells.is_empty() {
        return Ok(());
    }
    let year = Year::new(inputs, false);
    progress.check()?;
    if ask.quantity == Quantity::SunHours {
        let moments = lamps::clear_moments(inputs, ask);
        return each(inputs, &cells, picture, progress, |room, at| {
            sun_hours(&year, room, at, &moments)
        });
    }
    let per = ask.per_ppfd_h(supply) as f32;
    let bare = outside(&year, supply, None);
    let beams = beams(&year, supply);
    for (index, list) in cells {
        let Some(room) = inputs.scene.rooms.get(usize::from(index)) else {
            continue;
        };
        progress.check()?;
        let light = RoomLight::of(&year.works, room);
        progress.check()?;
        let inside = Inside::of(&year, supply, &beams, &light, &bare);
        let one = BTreeMap::from([(index, list)]);
        each(inputs, &one, picture, progress, |_, at| {
            inside.light(&year, &light, &bare, &beams, at) * per
        })?;
    }
    Ok(())
}

/// Computes a value at each cell of some rooms.
fn each(
    inputs: &LightInputs<'_>,
    cells: &BTreeMap<u16, Vec<usize>>,
    picture: &mut Picture,
    progress: &Progress,
    value: impl Fn(&Enclosure, Vec3) -> f32 + Sync,
) -> Result<(), Cancelled> {
    for (index, list) in cells {
        let Some(room) = inputs.scene.rooms.get(usize::from(*index)) else {
            continue;
        };
        let values: Vec<f32> = list
            .par_iter()
            .with_min_len(8)
            .map(|k| {
                progress.check()?;
                let at = room.drawn_in(place_in(inputs.scene, &picture.grid, room, *k));
                Ok(value(room, at))
            })
            .collect::<Result<_, Cancelled>>()?;
        for (k, v) in list.iter().zip(values) {
            if let Some(cell) = picture.values.get_mut(*k) {
                *cell = Some(v);
            }
        }
    }
    Ok(())
}

/// Shares that a pane's coverings leave in an hour of the year: straight, and scattered.
fn covered(year: &Year<'_>, pane: &Pane, hour: usize, near: bool) -> (f32, f32) {
    if pane.coverings.is_empty() {
        return (1.0, 0.0);
    }
    pane.covered(Day::new(hour / 24).month0(), year.clock_h(hour), near)
}

fn sun_hours(year: &Year<'_>, room: &Enclosure, at: Vec3, moments: &[Moment]) -> f32 {
    let scene = year.works.scene;
    moments
        .iter()
        .map(|m| {
            let Some((k, share)) = sight::beam_indoors(scene, room, at, m.dir, m.state) else {
                return 0.0;
            };
            let left = room.panes.get(k).map_or(1.0, |pane| {
                covered(year, pane, m.hour, sight::near(pane, at)).0
            });
            (share * left * 2.0).min(1.0) * m.hours as f32
        })
        .sum()
}

/// A sun that stands for an hour of a few days.
struct Beam {
    hour: usize,
    dir: Vec3,
    state: usize,
    /// PPFD hours on the open level.
    level: f32,
}

/// Days whose beams are told apart, at most about so many: through a window the sun is there or not.
const DAYS_APART: usize = 30;
const FEW_DAYS: usize = 8;

fn beams(year: &Year<'_>, supply: &Supply) -> Vec<Beam> {
    let t = year.inputs.typical;
    let value = |v: &[f32], h: usize| v.get(h).copied().unwrap_or(0.0);
    let mut days: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for hour in &supply.hours {
        days.entry(hour / 24).or_default().push(*hour);
    }
    let days: Vec<(usize, Vec<usize>)> = days.into_iter().collect();
    let mut found = Vec::new();
    for group in days.chunks(days.len().div_ceil(DAYS_APART).max(1)) {
        let Some((middle, _)) = group.get(group.len() / 2) else {
            continue;
        };
        let mut by_hour = [0.0_f32; 24];
        for hour in group.iter().flat_map(|(_, hours)| hours) {
            let level = (value(&t.global_w_m2, *hour) - value(&t.sky_w_m2, *hour)).max(0.0);
            by_hour[hour % 24] += level * PPFD_PER_BEAM_W_M2 as f32;
        }
        for (h, level) in by_hour.into_iter().enumerate().filter(|(_, l)| *l > 0.0) {
            let hour = middle * 24 + h;
            let suns = year.sun_hours();
            let Ok(k) = suns.binary_search_by_key(&hour, |s| s.hour) else {
                continue;
            };
            // A week is looked at as closely as a spot's; a season has days enough.
            let dirs: Vec<Vec3> = if days.len() <= FEW_DAYS {
                sun_path::looks(suns[k].moments).to_vec()
            } else {
                suns[k].moments.to_vec()
            };
            let all: f32 = dirs.iter().map(|d| d.z).sum();
            found.extend(dirs.into_iter().map(|dir| Beam {
                hour,
                dir,
                state: state_of(year, hour),
                level: level * dir.z / all,
            }));
        }
    }
    found
}

/// The scene's state in the week of an hour of the year.
fn state_of(year: &Year<'_>, hour: usize) -> usize {
    year.works.scene.state_of_month[Day::new(hour / 24).week().month0()].into()
}

/// What shines outside over the span; with a pane and a place near it or not: what its coverings leave straight, and
/// scattered.
fn outside<'a>(
    year: &'a Year<'a>,
    supply: &Supply,
    by: Option<&dyn Fn(usize) -> f32>,
) -> Outside<'a> {
    let states = year.works.scene.states;
    let patches = year.works.dome.patches;
    let mut sky = vec![Vec::new(); states];
    let mut beam = vec![0.0_f32; SUNS];
    let beams = &year.inputs.typical.beam_w_m2;
    for hour in &supply.hours {
        let left = by.map_or(1.0, |by| by(*hour));
        if left <= 0.0 {
            continue;
        }
        if let Some(sum) = sky.get_mut(state_of(year, *hour)) {
            let radiance = year.typical_sky(*hour);
            if sum.is_empty() {
                *sum = vec![0.0; patches];
            }
            let by = left * PPFD_PER_SKY_W_M2 as f32;
            sum.iter_mut().zip(radiance).for_each(|(a, l)| *a += l * by);
        }
        let w = beams.get(*hour).copied().unwrap_or(0.0).max(0.0);
        beam[Works::sun_of_hour(*hour)] += w * left * PPFD_PER_BEAM_W_M2 as f32;
    }
    Outside::new(&year.works, sky, beam)
}

/// What comes through one pane to a place that is near it, or is not.
struct Through<'a> {
    /// What its coverings leave; nothing if there are none.
    straight: Option<Outside<'a>>,
    glow: Glow,
    /// What the outer sides of the opening throw on.
    sides: [f32; SIDES],
    /// What coverings leave of each beam.
    beams: Vec<f32>,
}

/// The panes of a room: for places away from the glass, and near it.
struct Inside<'a> {
    panes: Vec<[Option<Through<'a>>; 2]>,
}

impl<'a> Inside<'a> {
    fn of(
        year: &'a Year<'a>,
        supply: &Supply,
        beams: &[Beam],
        light: &RoomLight,
        bare: &Outside<'a>,
    ) -> Self {
        let panes = light
            .room
            .panes
            .iter()
            .enumerate()
            .map(|(k, pane)| {
                let differs = pane.coverings.iter().any(|c| c.behind_plants);
                [false, true].map(|near| {
                    (!near || differs).then(|| {
                        let left = |b: &Beam| covered(year, pane, b.hour, near).0;
                        let beams = beams.iter().map(left).collect();
                        let sides = |outside: &Outside<'_>| {
                            let thrown =
                                |side| light.outer_of(k, side).map_or(0.0, |f| outside.of(f));
                            std::array::from_fn(thrown)
                        };
                        if pane.coverings.is_empty() {
                            return Through {
                                straight: None,
                                glow: light.glow(k, bare, None),
                                sides: sides(bare),
                                beams,
                            };
                        }
                        let left = |h: usize| covered(year, pane, h, near);
                        let straight = outside(year, supply, Some(&|h| left(h).0));
                        let scattered = outside(year, supply, Some(&|h| left(h).1));
                        let glow = light.glow(k, &straight, Some(&scattered));
                        Through {
                            sides: sides(&straight),
                            straight: Some(straight),
                            glow,
                            beams,
                        }
                    })
                })
            })
            .collect();
        Self { panes }
    }

    fn through(&self, k: usize, near: bool) -> Option<&Through<'a>> {
        let [away, close] = self.panes.get(k)?;
        close.as_ref().filter(|_| near).or(away.as_ref())
    }

    /// PPFD hours on the level at a place of the room.
    fn light(
        &self,
        year: &Year<'_>,
        light: &RoomLight,
        bare: &Outside<'_>,
        beams: &[Beam],
        at: Vec3,
    ) -> f32 {
        let (scene, room) = (year.works.scene, &*light.room);
        let seen = light.seen_from(at, |dir| dir.z.max(0.0));
        let mut sum = 0.0;
        for (k, pane) in room.panes.iter().enumerate() {
            let Some(through) = self.through(k, sight::near(pane, at)) else {
                continue;
            };
            let outside = through.straight.as_ref().unwrap_or(bare);
            let (straight, opening) =
                through_pane(&year.works, light, k, pane, at, outside, &through.sides);
            sum += straight + through.glow.on(&seen) + opening.min(1.0) * through.glow.opening;
        }
        for (i, beam) in beams.iter().enumerate() {
            if let Some((k, share)) = sight::beam_indoors(scene, room, at, beam.dir, beam.state)
                && let Some(pane) = room.panes.get(k)
                && let Some(through) = self.through(k, sight::near(pane, at))
            {
                let left = through.beams.get(i).copied().unwrap_or(1.0);
                sum += share * left * beam.level;
            }
        }
        sum
    }
}

/// Light that comes straight through the glass of a pane from sky and surfaces outside, and the form factor to the
/// opening.
fn through_pane(
    works: &Works<'_>,
    room_light: &RoomLight,
    k: usize,
    pane: &Pane,
    at: Vec3,
    outside: &Outside<'_>,
    sides: &[f32; SIDES],
) -> (f32, f32) {
    let room = &*room_light.room;
    let (mut light, mut opening) = (0.0, 0.0);
    let glass = pane.corner + pane.normal * pane.reveal;
    let largest = (pane.size.min_element() / 6.0).max(0.02);
    let mut pieces = vec![(Vec2::ZERO, pane.size)];
    while let Some((low, size)) = pieces.pop() {
        let middle = low + size / 2.0;
        let to = glass + pane.u * middle.x + pane.v * middle.y - at;
        let distance = to.length();
        if size.max_element() > (0.08 * distance).clamp(0.02, largest) {
            let half = if size.x > size.y {
                Vec2::new(size.x / 2.0, 0.0)
            } else {
                Vec2::new(0.0, size.y / 2.0)
            };
            pieces.push((low, size - half));
            pieces.push((low + half, size - half));
            continue;
        }
        let dir = to / distance.max(1e-6);
        if dir.z <= 0.0 {
            continue;
        }
        let Some(way) = pane.way_out(at, dir) else {
            // The glass may be seen all the same, with the outer side of the opening behind it.
            if let Some((side, sr)) = sight::outer_side(room_light, k, at, at + to, size) {
                let (straight, _) = pane.glass_shares(dir.dot(pane.normal));
                light += dir.z * sr * straight * FRAC_1_PI * sides[side];
            }
            continue;
        };
        if !room.reaches(at, pane, &way) {
            continue;
        }
        let sr = way.cos * size.x * size.y / (distance * distance).max(1e-6);
        opening += dir.z * sr * FRAC_1_PI;
        let (straight, _) = pane.glass_shares(way.cos);
        if straight <= 0.0 {
            continue;
        }
        let (mut sky, mut thrown) = (0.0, 0.0);
        works.look(
            &Ray::new(way.at, dir),
            &pane.own,
            |shares| {
                let patch = works.dome.patch_of(dir).unwrap_or(usize::MAX);
                sky += outside
                    .sky
                    .iter()
                    .zip(shares)
                    .map(|(sky, s)| s * sky.get(patch).copied().unwrap_or(0.0))
                    .sum::<f32>();
            },
            |cell, shares| {
                let light = outside.thrown(cell);
                thrown += PER_EXITANCE * light.iter().zip(shares).map(|(a, b)| a * b).sum::<f32>();
            },
        );
        light += straight * dir.z * sr * (sky + thrown);
    }
    (light, opening)
}
