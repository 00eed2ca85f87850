//! Light that walls and cloths throw at cells in the open. Each face throws light that changes evenly from its foot to
//! its top, from what falls on it straight from sky and sun and by way of the ground before it; what faces throw at one
//! another is left out: maps give shape at a glance, spots give figures.

use glam::{DVec3, Vec2, Vec3};
use rayon::prelude::*;

use super::{
    Grid, Ground,
    cast::{Scan, Span, Window, chord, law, sheet_share},
    lamps::{Part, Supply},
    shapes::{Bodies, Form, Frame, Piece, face_corners},
};
use crate::{
    base::{Cancelled, Progress},
    light::{
        LightInputs,
        dome::{Dome, DomeRay},
        scene::{NO_OWN, Ray},
    },
};

/// Of the sky's patches one in so many is looked at.
const SPARSE: usize = 4;
/// Suns that a face's light is taken from, at most about so many.
const SUNS: usize = 60;

/// All that is looked at.
pub struct Around<'a> {
    pub inputs: &'a LightInputs<'a>,
    pub supply: &'a Supply,
    pub dome: &'a Dome,
    pub bodies: &'a Bodies,
    pub frame: &'a Frame,
    pub grid: &'a Grid,
    pub grounds: &'a [Ground],
}

/// PPFD hours thrown at each cell. `direct` gives those that come straight, `open` those of an open place.
pub fn outdoors(
    around: &Around<'_>,
    direct: &(dyn Fn(usize) -> f32 + Sync),
    open: f32,
    progress: &Progress,
) -> Result<Vec<f32>, Cancelled> {
    let (grid, rays) = (around.grid, around.dome.rays(1));
    let mut thrown = vec![0.0_f32; grid.cells()];
    for part in &around.supply.parts {
        progress.check()?;
        let exitances = exitances(around, part, &rays, direct, open);
        let looks: Vec<DomeRay> = rays.iter().step_by(SPARSE).copied().collect();
        let level: f32 = looks.iter().map(|r| r.dir.z * r.sr).sum();
        let rows = grid
            .rows
            .div_ceil(rayon::current_num_threads().max(1))
            .max(1);
        thrown
            .par_chunks_mut((rows * grid.columns).max(1))
            .enumerate()
            .try_for_each(|(band, cells)| {
                let first = band * rows;
                let window = Window {
                    low: (0, first),
                    high: (grid.columns, (first + rows).min(grid.rows)),
                };
                let mut view = View::new(grid.columns, first, cells.len());
                for r in &looks {
                    progress.check()?;
                    let slope = around.frame.slope(r.dir);
                    let weight = r.dir.z * r.sr / level;
                    view.look(around.bodies, part.state, r.dir, slope, window, &exitances);
                    view.add(cells, weight);
                }
                Ok(())
            })?;
    }
    Ok(thrown)
}

/// What each face and each cloth throws on, PPFD hours: faces in the order of the bodies, `NONE` for no face.
struct Exitances {
    /// For each body: index of its first face.
    first: Vec<u32>,
    faces: Vec<Exitance>,
    cloths: Vec<f32>,
}

/// PPFD hours at the level of the cells, and more by the metre above it.
#[derive(Clone, Copy, Debug, Default)]
struct Exitance {
    level: f32,
    by_m: f32,
}

impl Exitance {
    fn at(self, height_m: f32) -> f32 {
        (self.level + self.by_m * height_m).max(0.0)
    }
}

const NONE: u32 = u32::MAX;

fn exitances(
    around: &Around<'_>,
    part: &Part,
    rays: &[DomeRay],
    direct: &(dyn Fn(usize) -> f32 + Sync),
    open: f32,
) -> Exitances {
    let mut first = Vec::new();
    let mut jobs: Vec<(u32, u16)> = Vec::new();
    for body in &around.bodies.list {
        first.push(jobs.len() as u32);
        if let Form::Solid { solid, faces } = &body.form {
            jobs.extend(faces.iter().map(|(face, _)| (*solid, *face)));
        }
    }
    // Each ray brings what the patches about it bring.
    let sky: Vec<(Vec3, f32)> = rays
        .chunks(SPARSE)
        .filter_map(|group| {
            let light: f32 = group
                .iter()
                .map(|r| part.sky.get(usize::from(r.patch)).copied().unwrap_or(0.0) * r.sr)
                .sum();
            Some((group.get(group.len() / 2)?.dir, light))
        })
        .collect();
    let step = part.suns.len().div_ceil(SUNS).max(1);
    let whole: f32 = part.suns.iter().map(|s| s.square).sum();
    let taken: f32 = part.suns.iter().step_by(step).map(|s| s.square).sum();
    let by = if taken > 0.0 { whole / taken } else { 0.0 };
    let suns: Vec<(Vec3, f32)> = part
        .suns
        .iter()
        .step_by(step)
        .map(|s| (s.moments[1], s.square * by))
        .collect();
    let lights: Vec<(Vec3, f32)> = sky.into_iter().chain(suns).collect();
    let share = direct_share(around, direct, open);
    let part_open: f32 = lights.iter().map(|(dir, l)| dir.z * l).sum();
    let faces = jobs
        .par_iter()
        .with_min_len(8)
        .map(|(solid, face)| {
            face_exitance(around, part.state, *solid, *face, &lights, &|p| {
                part_open * share(p)
            })
        })
        .collect();
    let cloths = (0..around.inputs.scene.softs.len())
        .map(|i| {
            let soft = &around.inputs.scene.softs[i];
            let on = around.bodies.laws.get(i).and_then(|l| l.on.get(part.state)) == Some(&true);
            if soft.scatters <= 0.0 || !on {
                return 0.0;
            }
            let middle = (soft.bounds.lo + soft.bounds.hi) / 2.0;
            let at = Vec3::new(middle.x, middle.y, soft.bounds.hi.z + 0.02);
            soft.scatters * received(around, part.state, at, Vec3::Z, &lights)
        })
        .collect();
    Exitances {
        first,
        faces,
        cloths,
    }
}

/// Share of the open light that a place on the ground gets, by the nearest cell.
fn direct_share<'a>(
    around: &'a Around<'_>,
    direct: &'a (dyn Fn(usize) -> f32 + Sync),
    open: f32,
) -> impl Fn(Vec3) -> f32 + Sync + 'a {
    move |p| {
        let d = p.as_dvec3() - around.frame.base;
        let cell = around.frame.x.length_squared();
        let (column, row) = (
            (d.truncate().dot(around.frame.x) / cell).round(),
            (d.truncate().dot(around.frame.y) / cell).round(),
        );
        let grid = around.grid;
        if column < 0.0 || row < 0.0 || column as usize >= grid.columns || row as usize >= grid.rows
        {
            return 1.0;
        }
        let k = row as usize * grid.columns + column as usize;
        match around.grounds.get(k) {
            Some(Ground::Open) => direct(k) / open.max(1e-9),
            _ => 0.5,
        }
    }
}

/// Light from all directions on a small plane.
fn received(
    around: &Around<'_>,
    state: usize,
    at: Vec3,
    normal: Vec3,
    lights: &[(Vec3, f32)],
) -> f32 {
    lights
        .iter()
        .map(|(dir, light)| {
            let cos = dir.dot(normal);
            if cos <= 0.0 || *light <= 0.0 {
                return 0.0;
            }
            cos * light
                * around
                    .inputs
                    .scene
                    .beam_share(&Ray::new(at, *dir), &NO_OWN, state)
        })
        .sum()
}

fn face_exitance(
    around: &Around<'_>,
    state: usize,
    solid: u32,
    face: u16,
    lights: &[(Vec3, f32)],
    ground: &dyn Fn(Vec3) -> f32,
) -> Exitance {
    let none = Exitance::default();
    let scene = around.inputs.scene;
    let Some(body) = scene.solids.get(solid as usize) else {
        return none;
    };
    let corners = face_corners(body, usize::from(face));
    let Some(normal) = body.faces.get(usize::from(face)).map(|f| f.normal) else {
        return none;
    };
    // Cells look up: what lies flat on top is never seen.
    if corners.is_empty() || normal.z > 0.999 {
        return none;
    }
    let middle = corners.iter().sum::<DVec3>() / corners.len() as f64;
    let inner = |c: &DVec3| middle.lerp(*c, 0.7);
    // Light and height, below the face's middle and above it.
    let mut halves = [(0.0_f32, 0.0_f32, 0.0_f32); 2];
    for place in corners.iter().map(inner).chain([middle]) {
        let at = place.as_vec3() + normal * 0.01;
        if scene.buried(at) {
            continue;
        }
        let mut light = received(around, state, at, normal, lights);
        // The ground before it, near and farther off.
        let level = (1.0 - normal.z) / 2.0;
        let out = Vec3::new(normal.x, normal.y, 0.0).normalize_or_zero();
        for (distance, share) in [(0.2, 0.25), (0.7, 0.35), (2.0, 0.4)] {
            let p = Vec3::new(at.x, at.y, 0.01) + out * (distance * at.z.max(0.5));
            light += level * share * scene.ground_reflectance(p) * ground(p);
        }
        let height = at.z - around.frame.base.z as f32;
        let upper = place.z - middle.z;
        for (half, counts) in halves.iter_mut().zip([upper < 1e-3, upper > -1e-3]) {
            if counts {
                *half = (half.0 + light, half.1 + height, half.2 + 1.0);
            }
        }
    }
    let mean = |(light, height, n): (f32, f32, f32)| (n > 0.0).then(|| (light / n, height / n));
    let line = match halves.map(mean) {
        [Some((low, a)), Some((high, b))] if b - a > 0.05 => {
            let by_m = (high - low) / (b - a);
            (low - by_m * a, by_m)
        }
        [Some((light, _)), _] | [_, Some((light, _))] => (light, 0.0),
        _ => return none,
    };
    Exitance {
        level: body.reflectance * line.0,
        by_m: body.reflectance * line.1,
    }
}

/// What is seen along one direction from the cells of some rows.
struct View {
    columns: usize,
    first: usize,
    scan: Scan,
    near: Vec<f32>,
    face: Vec<u32>,
    share: Vec<f32>,
    /// Thrown down by cloths.
    cloth: Vec<f32>,
    seen: Vec<f32>,
}

impl View {
    fn new(columns: usize, first: usize, cells: usize) -> Self {
        Self {
            columns,
            first,
            scan: Scan::default(),
            near: vec![f32::INFINITY; cells],
            face: vec![NONE; cells],
            share: vec![1.0; cells],
            cloth: vec![0.0; cells],
            seen: vec![0.0; cells],
        }
    }

    fn look(
        &mut self,
        bodies: &Bodies,
        state: usize,
        dir: Vec3,
        slope: Vec2,
        window: Window,
        exitances: &Exitances,
    ) {
        self.near.fill(f32::INFINITY);
        self.face.fill(NONE);
        self.share.fill(1.0);
        self.cloth.fill(0.0);
        let (columns, first) = (self.columns, self.first);
        let at = |row: usize, column: usize| (row - first) * columns + column;
        for (body, begin) in bodies.list.iter().zip(&exitances.first) {
            let Form::Solid { faces, .. } = &body.form else {
                continue;
            };
            if window.reached(std::iter::once(body), slope).is_empty() {
                continue;
            }
            for (k, (_, piece)) in faces.iter().enumerate() {
                if piece.normal.dot(dir) >= 0.0 {
                    continue;
                }
                let height = height_of(piece, dir);
                let (near, face) = (&mut self.near, &mut self.face);
                self.scan.piece(piece, slope, window, |row, span| {
                    for column in span {
                        let (k_cell, z) = (at(row, column), height(column, row));
                        if z < near[k_cell] {
                            near[k_cell] = z;
                            face[k_cell] = begin + k as u32;
                        }
                    }
                });
            }
        }
        for body in &bodies.list {
            if matches!(body.form, Form::Solid { .. })
                || window.reached(std::iter::once(body), slope).is_empty()
            {
                continue;
            }
            let (near, share, cloth) = (&self.near, &mut self.share, &mut self.cloth);
            match &body.form {
                Form::Solid { .. } => {}
                Form::Sheet { soft, parts } => {
                    let thrown = exitances.cloths.get(*soft as usize).copied().unwrap_or(0.0);
                    for piece in parts {
                        let Some(q) =
                            sheet_share(bodies.laws.get(*soft as usize), state, piece, dir)
                        else {
                            continue;
                        };
                        let q = f32::from(q) / 255.0;
                        let height = height_of(piece, dir);
                        self.scan.piece(piece, slope, window, |row, span: Span| {
                            for column in span {
                                let k = at(row, column);
                                if height(column, row) < near[k] {
                                    cloth[k] += thrown * share[k];
                                    share[k] *= q;
                                }
                            }
                        });
                    }
                }
                Form::Crown {
                    soft,
                    middle,
                    radius,
                    half_height,
                } => {
                    let Some(passes) = law(bodies.laws.get(*soft as usize), state) else {
                        continue;
                    };
                    let (middle, radius, half) = (*middle, *radius, *half_height);
                    Scan::crown(middle, radius, half, slope, window, |row, span| {
                        for column in span {
                            let k = at(row, column);
                            let cell = Vec2::new(column as f32, row as f32);
                            if let Some((enter, leave)) = chord(cell, middle, radius, half, slope)
                                && enter < near[k]
                            {
                                share[k] *= passes.share(1.0, (leave - enter) / dir.z);
                            }
                        }
                    });
                }
            }
        }
        for (k, seen) in self.seen.iter_mut().enumerate() {
            let face = exitances.faces.get(self.face[k] as usize);
            *seen = face.map_or(0.0, |b| b.at(self.near[k]) * self.share[k]) + self.cloth[k];
        }
    }

    fn add(&self, cells: &mut [f32], weight: f32) {
        for (cell, seen) in cells.iter_mut().zip(&self.seen) {
            *cell += weight * seen;
        }
    }
}

/// Height above the level at which a line from a cell meets a piece's plane, m.
fn height_of(piece: &Piece, dir: Vec3) -> impl Fn(usize, usize) -> f32 + use<> {
    let p = piece.plane * (dir.z / piece.normal.dot(dir));
    move |column, row| p.x - p.y * column as f32 - p.z * row as f32
}
