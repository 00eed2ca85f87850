//! Light over an area: from coarse to fine, and again only where a change shades.
//!
//! Outdoors, the shadow of every body is laid on the cells for each direction in turn: 2,308 of the sky, the sun's at
//! three moments an hour in the middle of each week. What each direction brings is a whole number, so that sums are
//! the same in whatever order they are taken, and what one body's shadow took can be given back exactly. Light thrown
//! back by walls and cloth is added by the face. Held against spots in the same places: in the open 1 to 1.5 % (root
//! mean square) and at worst 5 %, close to walls; in rooms 2 % and at worst 8 %, where there is little light.

mod cast;
pub mod contours;
mod lamps;
mod rooms;
mod shapes;
mod thrown;

use glam::{DVec2, Vec3};
use rayon::prelude::*;

use super::{
    LightInputs, Scene,
    dome::Dome,
    room::Enclosure,
    scene::{outline, towards},
    sight,
};
use crate::{
    base::{Cancelled, Hemisphere, Progress, Pt, Season, Week, calendar::WEEKS},
    site::Site,
};
use cast::{ALL, Caster, Count, Window};
use lamps::{Fineness, Lamps, Supply};
use shapes::{Bodies, Frame};

/// Cells lie this much above what they lie on, so that a floor does not shade itself, m.
const ABOVE_M: f64 = 0.005;
/// Floors closer than this to the storey's belong to it, m.
const ONE_STOREY_M: f64 = 1.2;
/// Directions that one task takes at a time.
const CHUNK: usize = 48;
/// The first picture has cells this many times as wide.
const COARSE: usize = 4;

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
    /// Floor height of the storey whose rooms are meant, m above the ground.
    pub storey_m: f64,
}

impl Grid {
    /// Cells over the rooms and spots of a site, or else its buildings, and `margin_m` round them; `None` where
    /// nothing is drawn. Cells grow so that there are no more than `most`.
    #[must_use]
    pub fn over(site: &Site, margin_m: f64, cell_m: f64, most: usize) -> Option<Self> {
        let rooms = site.rooms.values().flat_map(|r| r.outline.iter());
        let spots = site.spots.values().flat_map(|s| s.outline.iter());
        let mut points: Vec<Pt> = rooms.chain(spots).copied().collect();
        if points.is_empty() {
            let buildings = site.buildings.values();
            points = buildings.flat_map(|b| b.outline.iter().copied()).collect();
        }
        let first = *points.first()?;
        let (low, high) = points.iter().fold((first, first), |(lo, hi), p| {
            (
                Pt(lo.0.min(p.0), lo.1.min(p.1)),
                Pt(hi.0.max(p.0), hi.1.max(p.1)),
            )
        });
        let size = high - low + Pt(2.0 * margin_m, 2.0 * margin_m);
        let cell_m = cell_m.max((size.0 * size.1 / most.max(1) as f64).sqrt());
        let count = |metres: f64| ((metres / cell_m).ceil() as usize).max(1);
        Some(Self {
            origin: low - Pt(margin_m, margin_m) + Pt(cell_m * 0.5, cell_m * 0.5),
            cell_m,
            columns: count(size.0),
            rows: count(size.1),
            height_m: 0.0,
            storey_m: 0.0,
        })
    }

    #[must_use]
    pub fn cells(&self) -> usize {
        self.columns * self.rows
    }

    /// Middle of a cell on the plan.
    #[must_use]
    pub fn plan_point(&self, k: usize) -> Pt {
        let columns = self.columns.max(1);
        Pt(
            self.origin.0 + (k % columns) as f64 * self.cell_m,
            self.origin.1 + (k / columns) as f64 * self.cell_m,
        )
    }

    fn window(&self) -> Window {
        Window {
            low: (0, 0),
            high: (self.columns, self.rows),
        }
    }

    /// The same ground in wider cells.
    fn coarser(&self, by: usize) -> Self {
        let shift = (by as f64 - 1.0) / 2.0 * self.cell_m;
        Self {
            origin: self.origin + Pt(shift, shift),
            cell_m: self.cell_m * by as f64,
            columns: self.columns.div_ceil(by),
            rows: self.rows.div_ceil(by),
            ..*self
        }
    }
}

/// Weeks that follow one another, round the year's end if need be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Span {
    pub first: Week,
    /// 1..=52.
    pub weeks: usize,
}

impl Span {
    #[must_use]
    pub fn week(week: Week) -> Self {
        Self {
            first: week,
            weeks: 1,
        }
    }

    /// The weeks that have their middle in a season.
    #[must_use]
    pub fn season(season: Season, hemisphere: Hemisphere) -> Self {
        let has = |w: Week| w.season(hemisphere) == season;
        let first = Week::all().find(|w| has(*w) && !has(w.plus(-1)));
        Self {
            first: first.unwrap_or_else(|| Week::new(0)),
            weeks: Week::all().filter(|w| has(*w)).count().max(1),
        }
    }

    pub fn weeks(self) -> impl Iterator<Item = Week> {
        (0..self.weeks.clamp(1, WEEKS)).map(move |k| self.first.plus(k as i64))
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Quantity {
    /// Mean daily light integral of the typical year's days, mol m⁻² d⁻¹.
    Dli,
    /// Mean PPFD of the typical year's hours, µmol m⁻² s⁻¹.
    Ppfd,
    /// Hours of direct sun on a clear day, h; as [`super::SpotLight::clear_sun_h`] counts them.
    SunHours,
}

/// What a map is asked to show.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ask {
    pub quantity: Quantity,
    pub span: Span,
    /// Only this hour of each day, 0..24, local standard time.
    pub hour: Option<usize>,
}

/// A map, or what there is of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    pub grid: Grid,
    /// Row by row; `None` inside solid bodies, and in rooms until the picture is whole.
    pub values: Vec<Option<f32>>,
    /// How many cells share a value along each side: 1 at last.
    pub step: usize,
    /// Nothing more is to come.
    pub whole: bool,
}

/// What one map leaves for the next of the same ask over a scene in which little has changed.
#[derive(Clone, Debug)]
pub struct Kept {
    ask: Ask,
    grid: Grid,
    lamps: Lamps,
    bodies: Bodies,
    lost: Vec<u32>,
}

/// Where a cell's light is taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Ground {
    Open,
    /// Index of the room.
    Room(u16),
    /// Inside a solid body.
    Solid,
}

/// Draws a map. `shown` gets each picture as soon as it is there, the last one too. With what the map before left, only
/// what changed bodies shade or shaded is cast again; the picture is the same as without.
///
/// # Errors
/// [`Cancelled`].
pub fn draw(
    inputs: &LightInputs<'_>,
    ask: &Ask,
    grid: &Grid,
    kept: Option<Kept>,
    progress: &Progress,
    shown: &mut dyn FnMut(&Picture),
) -> Result<(Picture, Kept), Cancelled> {
    progress.check()?;
    let scene = inputs.scene;
    let frame = Frame::of(scene, grid);
    let bodies = Bodies::of(scene, &frame);
    let dome = Dome::of(&inputs.sky.patches);
    let supply = Supply::of(inputs, ask);
    let count = match ask.quantity {
        Quantity::Dli | Quantity::Ppfd => Count::Share,
        Quantity::SunHours => Count::SunHours,
    };
    let lamps_of = |fineness| match ask.quantity {
        Quantity::Dli | Quantity::Ppfd => supply.lamps(inputs, &dome, fineness),
        Quantity::SunHours => lamps::sun_lamps(&lamps::clear_moments(inputs, ask), fineness),
    };
    let lamps = lamps_of(Fineness::Fine);
    let grounds = grounds(scene, grid, progress)?;
    let per = ask.per_ppfd_h(&supply);
    let picture = |lost: &[u32], lamps: &Lamps, step: usize| Picture {
        grid: *grid,
        values: outdoors(grid, &grounds, lost, lamps, step, per),
        step,
        whole: false,
    };
    let kept = kept.filter(|k| k.ask == *ask && k.grid == *grid && k.lamps == lamps);
    let lost = match kept {
        Some(kept) => recast(kept, &bodies, &frame, count, progress)?,
        None => {
            let coarse = lamps_of(Fineness::Coarse);
            let wide = grid.coarser(COARSE);
            let wide_frame = Frame::of(scene, &wide);
            let wide_bodies = Bodies::of(scene, &wide_frame);
            let lost = cast_all(&wide_bodies, &wide_frame, &wide, &coarse, count, progress)?;
            shown(&picture(&lost, &coarse, COARSE));
            cast_all(&bodies, &frame, grid, &lamps, count, progress)?
        }
    };
    let mut whole = picture(&lost, &lamps, 1);
    if ask.quantity != Quantity::SunHours {
        let open = lamps.all() as f64 * lamps.unit;
        let direct = |k: usize| {
            let lost = f64::from(lost.get(k).copied().unwrap_or(0)) / f64::from(ALL);
            (open - lost * lamps.unit) as f32
        };
        let around = thrown::Around {
            inputs,
            supply: &supply,
            dome: &dome,
            bodies: &bodies,
            frame: &frame,
            grid,
            grounds: &grounds,
        };
        let thrown = thrown::outdoors(&around, &direct, open as f32, progress)?;
        for (value, (thrown, ground)) in whole.values.iter_mut().zip(thrown.iter().zip(&grounds)) {
            if let (Some(value), Ground::Open) = (value, ground) {
                *value += thrown * per as f32;
            }
        }
    }
    shown(&whole);
    rooms::fill(inputs, ask, &supply, &grounds, &mut whole, progress)?;
    whole.whole = true;
    shown(&whole);
    let kept = Kept {
        ask: *ask,
        grid: *grid,
        lamps,
        bodies,
        lost,
    };
    Ok((whole, kept))
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
    let cells = grid.cells();
    // Nobody cancels a single direction.
    let forever = Progress::new();
    let Ok(grounds) = grounds(scene, grid, &forever) else {
        return vec![0.0; cells];
    };
    if elevation_rad <= 0.0 {
        return vec![0.0; cells];
    }
    let dir = towards(azimuth_rad, elevation_rad);
    let state = usize::from(scene.state_of_month[month0 % 12]);
    let frame = Frame::of(scene, grid);
    let bodies = Bodies::of(scene, &frame);
    let mut caster = Caster::new(grid.columns, grid.rows);
    caster.cast(
        &bodies,
        dir,
        frame.slope(dir),
        &[(state, 1)],
        grid.window(),
        Count::Share,
    );
    caster
        .lost
        .par_iter()
        .enumerate()
        .with_min_len(256)
        .map(|(k, lost)| match grounds.get(k) {
            Some(Ground::Open) => 1.0 - *lost as f32 / f32::from(ALL),
            Some(Ground::Room(room)) => scene.rooms.get(usize::from(*room)).map_or(0.0, |room| {
                let at = place_in(scene, grid, room, k);
                sight::beam_indoors(scene, room, at, dir, state).map_or(0.0, |(_, share)| share)
            }),
            _ => 0.0,
        })
        .collect()
}

/// Mean daily light integral of a week of the typical year at each cell, mol m⁻² d⁻¹; `None` inside solid bodies.
///
/// # Errors
/// [`Cancelled`].
pub fn dli(
    inputs: &LightInputs<'_>,
    week: Week,
    grid: &Grid,
    progress: &Progress,
) -> Result<Vec<Option<f32>>, Cancelled> {
    let ask = Ask {
        quantity: Quantity::Dli,
        span: Span::week(week),
        hour: None,
    };
    draw(inputs, &ask, grid, None, progress, &mut |_| ()).map(|(picture, _)| picture.values)
}

fn grounds(scene: &Scene, grid: &Grid, progress: &Progress) -> Result<Vec<Ground>, Cancelled> {
    progress.check()?;
    Ok((0..grid.cells())
        .into_par_iter()
        .with_min_len(256)
        .map(|k| {
            let p = scene.turn.point(grid.plan_point(k));
            let off = |r: &Enclosure| (r.floor - grid.storey_m).abs();
            let room = scene
                .rooms
                .iter()
                .filter(|r| off(r) < ONE_STOREY_M && r.holds(p))
                .min_by(|a, b| off(a).total_cmp(&off(b)));
            if let Some(room) = room {
                return Ground::Room(room.index);
            }
            if scene.buried(p.extend(grid.height_m + ABOVE_M).as_vec3()) {
                Ground::Solid
            } else {
                Ground::Open
            }
        })
        .collect())
}

/// Where the light of a cell in a room is taken.
fn place_in(scene: &Scene, grid: &Grid, room: &Enclosure, k: usize) -> Vec3 {
    let z = (room.floor + grid.height_m + ABOVE_M).min(room.ceiling - 0.05);
    scene.turn.point(grid.plan_point(k)).extend(z).as_vec3()
}

fn cast_all(
    bodies: &Bodies,
    frame: &Frame,
    grid: &Grid,
    lamps: &Lamps,
    count: Count,
    progress: &Progress,
) -> Result<Vec<u32>, Cancelled> {
    let fresh = || Caster::new(grid.columns, grid.rows);
    let caster = lamps
        .list
        .par_chunks(CHUNK)
        .try_fold(fresh, |mut caster, lamps| {
            progress.check()?;
            for lamp in lamps {
                let slope = frame.slope(lamp.dir);
                caster.cast(bodies, lamp.dir, slope, &lamp.parts, grid.window(), count);
            }
            Ok(caster)
        })
        .try_reduce(fresh, |mut a, b| {
            a.lost.iter_mut().zip(&b.lost).for_each(|(a, b)| *a += b);
            Ok(a)
        })?;
    Ok(caster.lost)
}

/// Takes back what the shadows of changed bodies took and lays them anew.
fn recast(
    kept: Kept,
    bodies: &Bodies,
    frame: &Frame,
    count: Count,
    progress: &Progress,
) -> Result<Vec<u32>, Cancelled> {
    let changed = kept.bodies.differing(bodies);
    if changed.is_empty() {
        return Ok(kept.lost);
    }
    let grid = &kept.grid;
    let fresh = || {
        (
            Caster::new(grid.columns, grid.rows),
            Caster::new(grid.columns, grid.rows),
        )
    };
    let (before, after) = kept
        .lamps
        .list
        .par_chunks(CHUNK)
        .try_fold(fresh, |(mut before, mut after), lamps| {
            progress.check()?;
            for lamp in lamps {
                let slope = frame.slope(lamp.dir);
                let window = grid.window().reached(changed.iter().copied(), slope);
                before.cast(&kept.bodies, lamp.dir, slope, &lamp.parts, window, count);
                after.cast(bodies, lamp.dir, slope, &lamp.parts, window, count);
            }
            Ok((before, after))
        })
        .try_reduce(fresh, |mut a, b| {
            for (a, b) in [(&mut a.0, &b.0), (&mut a.1, &b.1)] {
                a.lost.iter_mut().zip(&b.lost).for_each(|(a, b)| *a += b);
            }
            Ok(a)
        })?;
    Ok(kept
        .lost
        .iter()
        .zip(before.lost.iter().zip(&after.lost))
        .map(|(lost, (before, after))| lost - before + after)
        .collect())
}

/// Values outdoors from what was lost on a grid `step` times as wide.
fn outdoors(
    grid: &Grid,
    grounds: &[Ground],
    lost: &[u32],
    lamps: &Lamps,
    step: usize,
    per: f64,
) -> Vec<Option<f32>> {
    let all = lamps.all() as f64;
    let columns = grid.columns.div_ceil(step);
    grounds
        .iter()
        .enumerate()
        .map(|(k, ground)| {
            let (column, row) = (k % grid.columns, k / grid.columns);
            let lost = *lost.get(row / step * columns + column / step)?;
            let left = all - f64::from(lost) / f64::from(ALL);
            (*ground == Ground::Open).then_some((left * lamps.unit * per) as f32)
        })
        .collect()
}

impl Enclosure {
    /// Whether a point of the plan lies in the room.
    fn holds(&self, p: DVec2) -> bool {
        p.cmpge(self.low).all() && p.cmple(self.high).all() && outline::contains(&self.corners, p)
    }
}
