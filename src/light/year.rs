//! The typical year at spots.

use std::{
    collections::{BTreeMap, BTreeSet},
    sync::{
        Arc,
        atomic::{AtomicUsize, Ordering},
    },
};

use chrono::{NaiveDate, NaiveTime, TimeDelta};
use glam::Vec3;
use rayon::prelude::*;

use super::{
    LightFactors, LightInputs, SpotLight,
    all_hours::{AllHours, clear_day},
    enclosed::RoomLight,
    flow::{Flow, dot, of_state},
    room::Enclosure,
    scene::{NO_OWN, Ray, Scene},
    sight::{self, FACES, Group, RECEPTORS, Sight},
    sun_path::{self, HourShares, SunHour, Way},
    works::Works,
};
use crate::{
    base::{
        Cancelled, Day, Id, Progress, Week,
        calendar::{DAYS, HOURS},
        units::{PPFD_PER_BEAM_W_M2, PPFD_PER_SKY_W_M2},
    },
    site::{Site, Spot},
    sky::{self, Painter},
    sun::{REFERENCE_YEAR, SunPosition, clock},
};

/// Light at each given spot through the typical year, in the order of `spots`. Works on all cores.
///
/// # Errors
/// [`Cancelled`].
pub fn spots_year(
    inputs: &LightInputs<'_>,
    site: &Site,
    spots: &[(&Id, &Spot)],
    progress: &Progress,
) -> Result<Vec<SpotLight>, Cancelled> {
    progress.check()?;
    let year = Year::new(inputs, true);
    progress.check()?;
    let rooms = rooms_of(&year.works, spots.iter().map(|(_, s)| *s), progress)?;
    let done = AtomicUsize::new(0);
    let seen = spots
        .par_iter()
        .map(|(_, spot)| {
            progress.check()?;
            let seen = Seen::of(&year, site, &rooms, spot);
            let n = done.fetch_add(1, Ordering::Relaxed) + 1;
            progress.tell("Light at the spots", n as f32 / spots.len() as f32);
            Ok(seen)
        })
        .collect::<Result<Vec<_>, Cancelled>>()?;
    let spots: Vec<&Spot> = spots.iter().map(|(_, spot)| *spot).collect();
    AllHours::of(&year).lights(site, &seen, &spots, progress)
}

/// The rooms in which spots stand, with the light thrown about in them.
pub fn rooms_of<'s>(
    works: &Works<'_>,
    spots: impl Iterator<Item = &'s Spot>,
    progress: &Progress,
) -> Result<BTreeMap<u16, RoomLight>, Cancelled> {
    let needed: BTreeSet<u16> = spots
        .filter_map(|s| works.scene.room(s.room.as_ref()))
        .map(|r| r.index)
        .collect();
    needed
        .into_par_iter()
        .filter_map(|k| works.scene.rooms.get(usize::from(k)))
        .map(|room| {
            progress.check()?;
            Ok((room.index, RoomLight::of(works, room)))
        })
        .collect()
}

/// What is shared by all spots: rays, the sun's way, clear days.
pub struct Year<'a> {
    pub inputs: &'a LightInputs<'a>,
    pub works: Works<'a>,
    suns: Vec<SunHour>,
    /// Clock time less standard time at each hour, h; empty while no window has a covering.
    saving: Vec<f32>,
    pub clear_days: Vec<Vec<ClearMoment>>,
    /// Relative clear skies: `week * 24 + hour`, for a sky irradiance of 1 on the level.
    pub clear_skies: Vec<Vec<f32>>,
    painter: Painter,
}

/// Six moments an hour of a cloudless day.
pub struct ClearMoment {
    pub hour: usize,
    pub dir: Vec3,
    pub beam_w_m2: f32,
    pub sky_w_m2: f32,
}

/// Between moments of a clear day.
pub const STEP_H: f64 = 1.0 / 6.0;

impl<'a> Year<'a> {
    pub fn new(inputs: &'a LightInputs<'a>, clear_days: bool) -> Self {
        let suns = sun_path::sun_hours(inputs.place, inputs.sun);
        let works = Works::new(inputs.scene, &suns, &inputs.sky.patches);
        let covered = inputs
            .scene
            .rooms
            .iter()
            .any(|r| r.panes.iter().any(|p| !p.coverings.is_empty()));
        let saving = if covered {
            (0..HOURS).map(|h| saving_h(inputs, h) as f32).collect()
        } else {
            Vec::new()
        };
        let mut year = Self {
            suns,
            inputs,
            works,
            saving,
            clear_days: Vec::new(),
            clear_skies: Vec::new(),
            painter: Painter::of(&inputs.sky.patches),
        };
        if clear_days {
            let days: Vec<_> = Week::all()
                .collect::<Vec<_>>()
                .into_par_iter()
                .map(|week| year.clear_day(clear_day(week.index())))
                .collect();
            for (moments, skies) in days {
                year.clear_days.push(moments);
                year.clear_skies.extend(skies);
            }
        }
        year
    }

    fn extraterrestrial(&self, day: usize) -> f64 {
        let values = &self.inputs.sun.extraterrestrial_w_m2;
        values.get(day % DAYS).copied().map_or(0.0, f64::from)
    }

    /// Beam and sky of a clear moment, and the radiance of each patch.
    pub fn clear(
        &self,
        day: usize,
        at: SunPosition,
        turbidity: Option<f64>,
    ) -> (sky::clear::ClearSky, Vec<f32>) {
        let turbidity = turbidity.unwrap_or(self.inputs.turbidity_linke[Day::new(day).month0()]);
        let outside = self.extraterrestrial(day);
        let clear = sky::clear::irradiance(
            self.inputs.place.elevation_m,
            at.elevation_rad,
            outside,
            turbidity,
        );
        let mut radiance = vec![0.0; self.works.dome.patches];
        self.painter
            .paint(at, clear.beam_w_m2, clear.sky_w_m2, outside, &mut radiance);
        (clear, radiance)
    }

    fn clear_day(&self, day: usize) -> (Vec<ClearMoment>, Vec<Vec<f32>>) {
        let (place, sun) = (self.inputs.place, self.inputs.sun);
        let turbidity = self.inputs.turbidity_linke[Day::new(day).month0()];
        let mut moments = Vec::new();
        for k in 0..(24.0 / STEP_H) as usize {
            let time = (k as f64 + 0.5) * STEP_H;
            if sun.up_share.get(day * 24 + time as usize).copied() == Some(0.0) {
                continue;
            }
            let Some(dir) = sun_path::direction_at(place, sun, day, time) else {
                continue;
            };
            let (_, elevation) = sun_path::angles(dir);
            if elevation <= 0.0 {
                continue;
            }
            let clear = sky::clear::irradiance(
                place.elevation_m,
                elevation,
                self.extraterrestrial(day),
                turbidity,
            );
            moments.push(ClearMoment {
                hour: time as usize,
                dir: dir.as_vec3(),
                beam_w_m2: clear.beam_w_m2 as f32,
                sky_w_m2: clear.sky_w_m2 as f32,
            });
        }
        let skies = (0..24)
            .map(|hour| {
                let dir = sun_path::direction_at(place, sun, day, hour as f64 + 0.5);
                let (azimuth_rad, elevation_rad) = dir.map_or((0.0, -1.0), sun_path::angles);
                let at = SunPosition {
                    azimuth_rad,
                    // The sky about sunrise is taken as with the sun just up.
                    elevation_rad: elevation_rad.max(0.01),
                };
                if elevation_rad < -0.14 {
                    return Vec::new();
                }
                let (clear, mut radiance) = self.clear(day, at, None);
                let by = (1.0 / clear.sky_w_m2.max(1e-6)) as f32;
                radiance.iter_mut().for_each(|l| *l *= by);
                radiance
            })
            .collect();
        (moments, skies)
    }

    /// Clock hour at the middle of an hour of the year.
    pub fn clock_h(&self, hour: usize) -> f64 {
        let saving = self.saving.get(hour).copied().unwrap_or(0.0);
        ((hour % 24) as f64 + 0.5 + f64::from(saving)).rem_euclid(24.0)
    }

    /// The sky's radiance in an hour of the typical year; nothing in the dark.
    pub fn typical_sky(&self, hour: usize) -> &[f32] {
        let sky = self.inputs.sky;
        let n = sky.patches.len();
        sky.row_of_hour
            .get(hour)
            .copied()
            .flatten()
            .and_then(|row| {
                let row = usize::from(row);
                sky.radiance.get(row * n..(row + 1) * n)
            })
            .unwrap_or_default()
    }

    pub fn sun_hours(&self) -> &[SunHour] {
        &self.suns
    }
}

fn saving_h(inputs: &LightInputs<'_>, hour: usize) -> f64 {
    NaiveDate::from_ymd_opt(REFERENCE_YEAR, 1, 1)
        .map(|d| d.and_time(NaiveTime::MIN) + TimeDelta::minutes(hour as i64 * 60 + 30))
        .map_or(0.0, |t| clock::saving_h(inputs.place, t))
}

/// A group of panes with its flows ready for the hours.
pub struct Ready {
    pub panes: Vec<usize>,
    /// Straight from the sky: `state * patches + patch`.
    pub sky: [Vec<f32>; RECEPTORS],
    /// By way of surfaces outside and inside.
    pub thrown: [Flow; RECEPTORS],
    pub scattered: [Flow; RECEPTORS],
}

/// A spot and all that it sees.
pub struct Seen<'a> {
    pub room: Option<Arc<Enclosure>>,
    pub at: Vec3,
    scene: &'a Scene,
    pub ready: Vec<Ready>,
    pub factors: Vec<LightFactors>,
    /// Which panes have coverings that hang behind the plants here.
    near: Vec<bool>,
}

/// Light of an hour or a moment on one receptor, W/m².
#[derive(Clone, Copy, Debug, Default)]
pub struct Light {
    pub beam: f32,
    pub sky: f32,
    pub thrown_sky: f32,
    pub thrown_beam: f32,
}

impl Light {
    pub fn beam_ppfd(self) -> f32 {
        self.beam * PPFD_PER_BEAM_W_M2 as f32
    }

    pub fn sky_ppfd(self) -> f32 {
        self.sky * PPFD_PER_SKY_W_M2 as f32
    }

    pub fn reflected_ppfd(self) -> f32 {
        self.thrown_sky * PPFD_PER_SKY_W_M2 as f32 + self.thrown_beam * PPFD_PER_BEAM_W_M2 as f32
    }

    pub fn ppfd(self) -> f32 {
        self.beam_ppfd() + self.sky_ppfd() + self.reflected_ppfd()
    }
}

/// What shines in an hour or a moment.
pub struct Shine<'s> {
    pub hour: usize,
    pub radiance: &'s [f32],
    /// Square to the sun, W/m², mean of the hour.
    pub beam_w_m2: f32,
    /// On the open level, W/m².
    pub level_beam_w_m2: f32,
    pub moments: &'s [Vec3],
}

impl<'a> Seen<'a> {
    pub fn of(year: &Year<'a>, site: &Site, rooms: &BTreeMap<u16, RoomLight>, spot: &Spot) -> Self {
        let scene = year.works.scene;
        let z = site.spot_height_m(spot) + spot.leaf_m;
        let at = scene.turn.point(spot.middle()).extend(z).as_vec3();
        let light = scene
            .room(spot.room.as_ref())
            .and_then(|r| rooms.get(&r.index));
        match light {
            Some(light) => Self::indoors(year, light, at),
            None => Self::new(year, None, at, sight::outdoors(&year.works, at)),
        }
    }

    pub fn indoors(year: &Year<'a>, light: &RoomLight, at: Vec3) -> Self {
        let at = light.room.drawn_in(at);
        let sight = sight::indoors(&year.works, light, at);
        Self::new(year, Some(Arc::clone(&light.room)), at, sight)
    }

    fn new(year: &Year<'a>, room: Option<Arc<Enclosure>>, at: Vec3, sight: Sight) -> Self {
        let near = room
            .iter()
            .flat_map(|r| r.panes.iter().map(|p| sight::near(p, at)))
            .collect();
        let mut seen = Self {
            scene: year.works.scene,
            factors: Vec::new(),
            ready: Vec::new(),
            room,
            at,
            near,
        };
        seen.factors = (0..12)
            .map(|month0| factors(year, &seen, &sight, month0))
            .collect();
        seen.ready = sight
            .groups
            .into_iter()
            .map(|g| {
                let mut thrown = g.outside;
                for (t, inside) in thrown.iter_mut().zip(&g.inside) {
                    t.add(inside, 1.0);
                }
                Ready {
                    panes: g.panes,
                    sky: g.sky,
                    thrown,
                    scattered: g.scattered,
                }
            })
            .collect();
        seen
    }

    /// Whether coverings hang before a group of panes.
    pub fn covers(&self, ready: &Ready) -> bool {
        let panes = self.room.iter().flat_map(|r| &r.panes).enumerate();
        panes
            .filter(|(k, _)| ready.panes.contains(k))
            .any(|(_, pane)| !pane.coverings.is_empty())
    }

    /// What coverings leave of the light through a group of panes: straight, and scattered.
    pub fn covered(&self, panes: &[usize], month0: usize, clock_h: f64) -> (f32, f32) {
        match (panes, &self.room) {
            ([one], Some(room)) => room.panes.get(*one).map_or((1.0, 0.0), |p| {
                let near = self.near.get(*one).copied().unwrap_or(false);
                p.covered(month0, clock_h, near)
            }),
            _ => (1.0, 0.0),
        }
    }

    /// Share of the beam from a direction that arrives.
    pub fn beam_share(&self, dir: Vec3, month0: usize, clock_h: f64) -> f32 {
        let state = self.scene.state_of_month[month0].into();
        match &self.room {
            None => self
                .scene
                .beam_share(&Ray::new(self.at, dir), &NO_OWN, state),
            Some(room) => sight::beam_indoors(self.scene, room, self.at, dir, state)
                .map_or(0.0, |(pane, share)| {
                    share * self.covered(&[pane], month0, clock_h).0
                }),
        }
    }

    /// Light on the level and on the cylinder, and the mean share of the beam that arrives.
    pub fn light(&self, year: &Year<'_>, shine: &Shine<'_>) -> ([Light; RECEPTORS], f32) {
        let month0 = Day::new(shine.hour / 24).month0();
        let state = usize::from(self.scene.state_of_month[month0]);
        let clock_h = year.clock_h(shine.hour);
        let sun = Works::sun_of_hour(shine.hour);
        let mut out = [Light::default(); RECEPTORS];
        let works = &year.works;
        let mut blended = vec![0.0; works.dome.groups];
        works.dome.blend(shine.radiance, &mut blended);
        for group in &self.ready {
            let (straight, scattered) = self.covered(&group.panes, month0, clock_h);
            for (c, light) in out.iter_mut().enumerate() {
                let by_sky = |f: &Flow| dot(f.state(works, state), &blended);
                let sky = of_state(&group.sky[c], works.dome.patches, state);
                light.sky += straight * dot(sky, shine.radiance);
                light.thrown_sky += straight * by_sky(&group.thrown[c]);
                let mut beam = straight * group.thrown[c].beam[sun];
                if scattered > 0.0 {
                    light.thrown_sky += scattered * by_sky(&group.scattered[c]);
                    beam += scattered * group.scattered[c].beam[sun];
                }
                light.thrown_beam += beam * shine.beam_w_m2;
            }
        }
        let mut share = 0.0;
        if shine.beam_w_m2 > 0.0 || shine.level_beam_w_m2 > 0.0 {
            let (mut level, mut open, mut upright) = (0.0, 0.0, 0.0);
            let mut add = |dir: Vec3, s: f32, part: f32| {
                let w = sight::weights(dir);
                level += part * s * w[0];
                open += part * w[0];
                upright += part * s * w[1];
                share += part * s;
            };
            let seen = |dir: Vec3| self.beam_share(dir, month0, clock_h);
            if let Ok(moments) = <[Vec3; sun_path::MOMENTS]>::try_from(shine.moments) {
                let add = |way: Way, s: f32, part: f32| add(way.direction(moments), s, part);
                HourShares::of(moments, seen).follow(moments, seen, add);
            } else {
                let part = 1.0 / shine.moments.len().max(1) as f32;
                for dir in shine.moments {
                    add(*dir, seen(*dir), part);
                }
            }
            if open > 0.0 {
                out[0].beam = level / open * shine.level_beam_w_m2;
            }
            out[1].beam = upright * shine.beam_w_m2;
        }
        (out, share)
    }
}

fn factors(year: &Year<'_>, seen: &Seen<'_>, sight: &Sight, month0: usize) -> LightFactors {
    let works = &year.works;
    let state = usize::from(works.scene.state_of_month[month0]);
    let mut f = LightFactors {
        sky_view_plain: f64::from(sight.plain[state]).min(1.0),
        sky_view_cosine: f64::from(sight.cosine[state]).min(1.0),
        ..LightFactors::default()
    };
    let mut faces = [0.0_f32; FACES];
    // Coverings as at noon.
    for g in &sight.groups {
        let Group {
            sky,
            outside,
            inside,
            scattered,
            ..
        } = g;
        let (straight, part) = seen.covered(&g.panes, month0, 12.0);
        let pct =
            |flow: &Flow| 100.0 * f64::from(dot(flow.state(works, state), &works.overcast_groups));
        let (straight_pct, part_pct) = (f64::from(straight), f64::from(part));
        let level = of_state(&sky[0], works.dome.patches, state);
        f.daylight_sky_pct += straight_pct * 100.0 * f64::from(dot(level, &works.overcast));
        f.daylight_outside_pct += straight_pct * pct(&outside[0]);
        f.daylight_inside_pct += straight_pct * pct(&inside[0]) + part_pct * pct(&scattered[0]);
        let even = straight_pct * pct(&inside[1]) + part_pct * pct(&scattered[1]);
        for (sum, face) in faces.iter_mut().zip(g.faces[state]) {
            *sum += straight * face + (even / 100.0) as f32;
        }
    }
    let brightest = (0..FACES)
        .max_by(|a, b| faces[*a].total_cmp(&faces[*b]))
        .unwrap_or(0);
    let (front, back) = (faces[brightest], faces[(brightest + FACES / 2) % FACES]);
    f.bright_side_deg = brightest as f64 / FACES as f64 * 360.0;
    f.one_sided = f64::from((front - back) / (front + back).max(1e-9)).clamp(0.0, 1.0);
    f
}

pub fn typical_shine<'s>(year: &'s Year<'_>, sun: &'s SunHour) -> Shine<'s> {
    let t = year.inputs.typical;
    let value = |v: &[f32]| v.get(sun.hour).copied().unwrap_or(0.0).max(0.0);
    Shine {
        hour: sun.hour,
        radiance: year.typical_sky(sun.hour),
        beam_w_m2: shine_beam(value(&t.beam_w_m2)),
        level_beam_w_m2: (value(&t.global_w_m2) - value(&t.sky_w_m2)).max(0.0),
        moments: &sun.moments,
    }
}

fn shine_beam(w_m2: f32) -> f32 {
    // Keeps the sunlit share known in dull hours too.
    w_m2.max(1e-6)
}
