//! Light over an area, for the plan's pictures.

use glam::{DVec2, Vec3};
use rayon::prelude::*;

use super::{
    LightInputs, Scene,
    enclosed::RoomLight,
    flow::Works,
    room::Enclosure,
    scene::{NO_OWN, Ray, outline, towards},
    sight,
    year::{Seen, Shine, Year, typical_shine},
};
use crate::base::{Cancelled, Progress, Pt, Week, units::dli_from_ppfd};

/// A grid of points on the plan: row 0 is the lowest y.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grid {
    /// Middle of the first cell, plan metres.
    pub origin: Pt,
    pub cell_m: f64,
    pub columns: usize,
    pub rows: usize,
    /// Above the ground, m; indoors above the room's floor.
    pub height_m: f64,
}

impl Grid {
    fn plan_point(&self, k: usize) -> Pt {
        let columns = self.columns.max(1);
        Pt(
            self.origin.0 + (k % columns) as f64 * self.cell_m,
            self.origin.1 + (k / columns) as f64 * self.cell_m,
        )
    }
}

/// Where a cell's light is taken.
enum Ground<'s> {
    Open(Vec3),
    Indoors(&'s Enclosure, Vec3),
    /// Inside a solid body.
    Solid,
}

fn ground<'s>(scene: &'s Scene, grid: &Grid, k: usize) -> Ground<'s> {
    let p = scene.turn.point(grid.plan_point(k));
    let room = scene.rooms.iter().find(|r| r.holds(p));
    if let Some(room) = room {
        let z = (room.floor + grid.height_m + 0.005).min(room.ceiling - 0.05);
        return Ground::Indoors(room, p.extend(z).as_vec3());
    }
    let at = p.extend(grid.height_m + 0.005).as_vec3();
    if scene.buried(at) {
        Ground::Solid
    } else {
        Ground::Open(at)
    }
}

/// Share of the sun's beam that reaches each cell, 0 (shade) ..=1, in a month (0..12) with the sun at a true
/// azimuth and elevation. Through windows too: sun patches on a room's floor.
#[must_use]
pub fn sunlight(
    scene: &Scene,
    month0: usize,
    azimuth_rad: f64,
    elevation_rad: f64,
    grid: &Grid,
) -> Vec<f32> {
    let cells = grid.columns * grid.rows;
    if elevation_rad <= 0.0 {
        return vec![0.0; cells];
    }
    let dir = towards(azimuth_rad, elevation_rad);
    let state = scene.state_of_month[month0 % 12].into();
    (0..cells)
        .into_par_iter()
        .with_min_len(256)
        .map(|k| match ground(scene, grid, k) {
            Ground::Solid => 0.0,
            Ground::Open(at) => scene.beam_share(&Ray::new(at, dir), &NO_OWN, state),
            Ground::Indoors(room, at) => {
                sight::beam_indoors(scene, room, at, dir, state).map_or(0.0, |(_, share)| share)
            }
        })
        .collect()
}

/// Mean daily light integral of a week of the typical year at each cell, mol m⁻² d⁻¹; `None` inside solid bodies.
/// Coarser than at spots: beam and sky of the week's hours through fewer rays, without what is thrown back outdoors.
///
/// # Errors
/// [`Cancelled`].
pub fn dli(
    inputs: &LightInputs<'_>,
    week: Week,
    grid: &Grid,
    progress: &Progress,
) -> Result<Vec<Option<f32>>, Cancelled> {
    let year = Year::new(inputs, false);
    progress.check()?;
    let scene = inputs.scene;
    let cells = grid.columns * grid.rows;
    let rooms = rooms_under(&year.works, grid, progress)?;
    let hours: Vec<_> = year
        .sun_hours()
        .iter()
        .filter(|s| week.hours().contains(&s.hour))
        .collect();
    let light = WeekLight::of(&year, week);
    let days = week.days().len() as f32;
    (0..cells)
        .into_par_iter()
        .with_min_len(16)
        .map(|k| {
            progress.check()?;
            let sum = match ground(scene, grid, k) {
                Ground::Solid => return Ok(None),
                Ground::Open(at) => light.open(&year.works, at),
                Ground::Indoors(room, at) => rooms
                    .iter()
                    .find(|r| r.room.index == room.index)
                    .map_or(0.0, |r| {
                        let seen = Seen::indoors(&year, r, at);
                        hours
                            .iter()
                            .map(|sun| {
                                let shine = Shine {
                                    moments: &sun.moments[1..2],
                                    ..typical_shine(&year, sun)
                                };
                                seen.light(&year, &shine).0[0].ppfd()
                            })
                            .sum()
                    }),
            };
            Ok(Some(dli_from_ppfd(f64::from(sum / days), 1.0) as f32))
        })
        .collect()
}

/// The rooms that the grid touches.
fn rooms_under(
    works: &Works<'_>,
    grid: &Grid,
    progress: &Progress,
) -> Result<Vec<RoomLight>, Cancelled> {
    let mut touched: Vec<u16> = (0..grid.columns * grid.rows)
        .filter_map(|k| match ground(works.scene, grid, k) {
            Ground::Indoors(room, _) => Some(room.index),
            _ => None,
        })
        .collect();
    touched.sort_unstable();
    touched.dedup();
    touched
        .into_par_iter()
        .filter_map(|k| works.scene.rooms.get(usize::from(k)))
        .map(|room| {
            progress.check()?;
            Ok(RoomLight::of(works, room))
        })
        .collect()
}

/// A week's light in the open, summed up: the sky by patch, the beam by the hour of the day.
struct WeekLight {
    state: usize,
    /// PPFD hours by patch for a cosine-weighted solid angle of 1.
    sky: Vec<f32>,
    /// Directions of the sun by the hour, and the week's PPFD hours on the open level.
    beams: Vec<(Vec3, f32)>,
}

impl WeekLight {
    fn of(year: &Year<'_>, week: Week) -> Self {
        use crate::base::units::{PPFD_PER_BEAM_W_M2, PPFD_PER_SKY_W_M2};
        let mut light = Self {
            state: year.works.scene.state_of_month[week.month0()].into(),
            sky: vec![0.0; year.works.dome.patches],
            beams: Vec::new(),
        };
        let middle = week.first_day().index() + 3;
        let mut by_hour = [0.0_f32; 24];
        let hours = year.sun_hours();
        let in_week = hours.iter().filter(|s| week.hours().contains(&s.hour));
        for sun in in_week {
            let shine = typical_shine(year, sun);
            for (sum, l) in light.sky.iter_mut().zip(shine.radiance) {
                *sum += l * PPFD_PER_SKY_W_M2 as f32;
            }
            by_hour[sun.hour % 24] += shine.level_beam_w_m2 * PPFD_PER_BEAM_W_M2 as f32;
        }
        for sun in hours.iter().filter(|s| s.hour / 24 == middle) {
            for dir in sun.moments {
                let n = sun.moments.len() as f32;
                light.beams.push((dir, by_hour[sun.hour % 24] / n));
            }
        }
        light
    }

    /// PPFD hours of the week at a place outdoors.
    fn open(&self, works: &Works<'_>, at: Vec3) -> f32 {
        let scene = works.scene;
        let seen = |dir: Vec3| scene.beam_share(&Ray::new(at, dir), &NO_OWN, self.state);
        let sky: f32 = works
            .coarse
            .iter()
            .map(|r| {
                let l = self.sky.get(usize::from(r.patch)).copied().unwrap_or(0.0);
                l * r.dir.z * r.sr * seen(r.dir)
            })
            .sum();
        let beam: f32 = self.beams.iter().map(|(dir, ppfd)| ppfd * seen(*dir)).sum();
        sky + beam
    }
}

impl Enclosure {
    /// Whether a point of the plan lies in the room.
    fn holds(&self, p: DVec2) -> bool {
        p.cmpge(self.low).all() && p.cmple(self.high).all() && outline::contains(&self.corners, p)
    }
}
