//! What a place gets of each source of light, as factors that hold for every hour: one for each patch of the sky,
//! one for the sun at each place of its yearly path. Surfaces outside throw light on as cells with flows of their
//! own.

use std::{
    collections::BTreeMap,
    f32::consts::PI,
    sync::{Arc, LazyLock, Mutex, PoisonError},
};

use glam::Vec3;

use super::{
    dome::{Dome, DomeRay, Noise},
    scene::{
        Hit, NO_OWN, Own, Ray, Scene, Shares,
        fan::Fan,
        outlook::{Facing, Outlook},
        towards,
    },
};
use crate::{
    base::{
        calendar::{Day, MONTH_STARTS},
        lanes,
    },
    sky::{self, Patch},
    sun::SunTable,
};

/// Places of the sun for reflected light: the middles of 24 half months, 24 hours each.
pub const SUNS: usize = 24 * 24;

/// Factors by source. Irradiance is `Σ sky · radiance + beam · (beam square to the sun)`.
#[derive(Clone, Debug, Default)]
pub struct Flow {
    /// `state * groups + group`, sr.
    pub sky: Vec<f32>,
    /// `half month * 24 + hour`, without unit.
    pub beam: Vec<f32>,
}

impl Flow {
    pub fn none(works: &Works<'_>) -> Self {
        Self {
            sky: vec![0.0; works.scene.states * works.dome.groups],
            beam: vec![0.0; SUNS],
        }
    }

    pub fn add(&mut self, other: &Self, by: f32) {
        add(&mut self.sky, &other.sky, by);
        add(&mut self.beam, &other.beam, by);
    }

    /// Adds with a weight for each state.
    pub fn add_by_state(&mut self, works: &Works<'_>, other: &Self, by: &Shares) {
        let n = works.dome.groups.max(1);
        for ((a, b), by) in self.sky.chunks_mut(n).zip(other.sky.chunks(n)).zip(by) {
            add(a, b, *by);
        }
        let months = self.beam.chunks_mut(48).zip(other.beam.chunks(48));
        for (month, (a, b)) in months.enumerate() {
            add(a, b, by[works.state_of_sun(month * 48)]);
        }
    }

    pub fn state<'a>(&'a self, works: &Works<'_>, state: usize) -> &'a [f32] {
        of_state(&self.sky, works.dome.groups, state)
    }
}

/// The part of a list by state that belongs to one.
pub fn of_state(list: &[f32], n: usize, state: usize) -> &[f32] {
    list.get(state * n..(state + 1) * n).unwrap_or_default()
}

fn add(to: &mut [f32], from: &[f32], by: f32) {
    if by != 0.0 {
        for (a, b) in to.iter_mut().zip(from) {
            *a += b * by;
        }
    }
}

pub fn dot(a: &[f32], b: &[f32]) -> f32 {
    lanes::widest(
        #[inline(always)]
        || lanes::dot(a, b),
    )
}

/// A piece of a surface outside that throws light on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cell {
    Ground {
        level: i8,
        x: i32,
        y: i32,
    },
    Face {
        solid: u32,
        face: u16,
        level: i8,
        u: i32,
        v: i32,
    },
    Cloth {
        soft: u32,
        x: i32,
        y: i32,
    },
}

impl Cell {
    /// The cell of twice the size in which it lies.
    fn coarser(self) -> Self {
        match self {
            Self::Ground { level, x, y } if level < COARSEST => Self::Ground {
                level: level + 1,
                x: x.div_euclid(2),
                y: y.div_euclid(2),
            },
            Self::Face {
                solid,
                face,
                level,
                u,
                v,
            } if level < COARSEST => Self::Face {
                solid,
                face,
                level: level + 1,
                u: u.div_euclid(2),
                v: v.div_euclid(2),
            },
            same => same,
        }
    }
}

/// Level of the largest cells, of 16 m.
const COARSEST: i8 = 4;
/// Cells of cloth, m.
const CLOTH_CELL_M: f32 = 1.0;
/// Sizes of cells of faces and of the ground by their distance. Half as fine as this, light that is thrown back below
/// a veranda's roof is off by a third in single months.
const FACE_CELL: f32 = 0.25;
const GROUND_CELL: f32 = 0.35;
/// How often light is thrown back before it is given up: what is left after that is below 2 % of what is thrown back at
/// usual reflectances.
const BOUNCES: u8 = 3;
/// Rays by which a surface looks for the light that others throw at it.
const GATHERING_RAYS: usize = 32;

/// A direction in which a place outdoors looks.
#[derive(Clone, Copy, Debug)]
pub struct Look {
    /// Patch of the sky; none below the horizon.
    pub patch: Option<u16>,
    pub sr: f32,
    /// Solid angle for which it stands where it meets a surface: of the many rays upwards some do for all.
    pub surface_sr: f32,
}

/// What shines on a surface from one direction.
#[derive(Clone, Copy, Debug)]
enum Source {
    /// Group and solid angle.
    Sky(u16, f32),
    Sun(u16),
}

/// All that is shared between places of one scene: rays, places of the sun, cells already worked out.
pub struct Works<'a> {
    pub scene: &'a Scene,
    rays: Arc<Rays>,
    pub suns: Vec<Option<Vec3>>,
    /// What a surface looks along: the coarse rays and the suns.
    above: Fan,
    above_sources: Vec<Source>,
    cells: Mutex<BTreeMap<(Cell, u8), Arc<Flow>>>,
}

/// What only the patches of the sky decide.
pub struct Rays {
    patches: Vec<Patch>,
    pub dome: Dome,
    /// 16, 4 and 1 rays in each patch.
    pub fine: Vec<DomeRay>,
    pub middling: Vec<DomeRay>,
    pub coarse: Vec<DomeRay>,
    /// Relative radiance of the CIE overcast sky by patch; an open level place gets 1.
    pub overcast: Vec<f32>,
    /// The same by group.
    pub overcast_groups: Vec<f32>,
    /// Middles of the patches.
    pub middles: Vec<Vec3>,
    /// What a place outdoors looks along, and what each direction stands for.
    pub around: Fan,
    pub around_rays: Vec<Look>,
}

/// The usual patches, made once.
static USUAL: LazyLock<Arc<Rays>> = LazyLock::new(|| Arc::new(Rays::new(&sky::reinhart())));

impl Rays {
    fn of(patches: &[Patch]) -> Arc<Self> {
        if USUAL.patches == patches {
            Arc::clone(&USUAL)
        } else {
            Arc::new(Self::new(patches))
        }
    }

    fn new(patches: &[Patch]) -> Self {
        let dome = Dome::of(patches);
        let (fine, coarse) = (dome.rays(4), dome.rays(1));
        let overcast = overcast(patches);
        let mut overcast_groups = vec![0.0; dome.groups];
        dome.blend(&overcast, &mut overcast_groups);
        let (around, around_rays) = around(&fine, &coarse);
        Self {
            patches: patches.to_vec(),
            middling: dome.rays(2),
            fine,
            coarse,
            overcast,
            overcast_groups,
            middles: patches.iter().map(|p| p.direction.as_vec3()).collect(),
            around,
            around_rays,
            dome,
        }
    }
}

impl std::ops::Deref for Works<'_> {
    type Target = Rays;

    fn deref(&self) -> &Rays {
        &self.rays
    }
}

impl<'a> Works<'a> {
    pub fn new(scene: &'a Scene, sun: &SunTable, patches: &[Patch]) -> Self {
        let rays = Rays::of(patches);
        let suns: Vec<Option<Vec3>> = (0..SUNS)
            .map(|k| {
                let (month, second) = (k / 48, k / 24 % 2 == 1);
                let (first, next) = (MONTH_STARTS[month], MONTH_STARTS[month + 1]);
                let day = first + (next - first) * if second { 3 } else { 1 } / 4;
                let hour = day * 24 + k % 24;
                let up = *sun.up_share.get(hour)? > 0.0;
                let (azimuth, elevation) =
                    (*sun.azimuth_rad.get(hour)?, *sun.elevation_rad.get(hour)?);
                (up && elevation > 0.0).then(|| towards(azimuth.into(), elevation.into()))
            })
            .collect();
        let (above, above_sources) = above(&rays.dome, &rays.coarse, &suns);
        Self {
            scene,
            rays,
            above,
            above_sources,
            suns,
            cells: Mutex::default(),
        }
    }

    pub fn state_of_sun(&self, k: usize) -> usize {
        self.scene.state_of_month[k / 48 % 12].into()
    }

    /// Which place of the sun stands for an hour of the year.
    pub fn sun_of_hour(hour: usize) -> usize {
        let day = Day::new(hour / 24);
        let month = day.month0();
        let length = MONTH_STARTS[month + 1] - MONTH_STARTS[month];
        let second = (day.index() - MONTH_STARTS[month]) * 2 >= length;
        (month * 2 + usize::from(second)) * 24 + hour % 24
    }

    /// Light thrown on by a cell, W/m² of its surface.
    pub fn exitance(&self, cell: Cell) -> Arc<Flow> {
        self.kept(cell, BOUNCES)
    }

    fn kept(&self, cell: Cell, bounces: u8) -> Arc<Flow> {
        if let Some(flow) = self.locked().get(&(cell, bounces)) {
            return Arc::clone(flow);
        }
        let flow = Arc::new(self.work_out(cell, bounces));
        self.locked().insert((cell, bounces), Arc::clone(&flow));
        flow
    }

    fn locked(&self) -> std::sync::MutexGuard<'_, BTreeMap<(Cell, u8), Arc<Flow>>> {
        self.cells.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn work_out(&self, cell: Cell, bounces: u8) -> Flow {
        let mut flow = Flow::none(self);
        let Some((p, normal, reflectance)) = self.surface(cell) else {
            return flow;
        };
        if bounces <= 1 {
            flow.add(&self.irradiance(p, normal), reflectance);
        } else {
            flow.add(&self.kept(cell, 1), 1.0);
            // What little cloth throws up again is left out.
            if !matches!(cell, Cell::Cloth { .. }) {
                self.gather(&mut flow, p, normal, reflectance, bounces - 1);
            }
        }
        flow
    }

    /// A place that stands for a cell, its normal, and the share that it throws on.
    fn surface(&self, cell: Cell) -> Option<(Vec3, Vec3, f32)> {
        match cell {
            Cell::Ground { level, x, y } => {
                let size = size(level);
                let at = |dx: f32, dy: f32| {
                    Vec3::new((x as f32 + dx) * size, (y as f32 + dy) * size, 0.01)
                };
                let p = open_place(self.scene, at, |_| true);
                Some((p, Vec3::Z, self.scene.ground_reflectance(p)))
            }
            Cell::Face {
                solid,
                face,
                level,
                u,
                v,
            } => {
                let body = self.scene.solids.get(solid as usize)?;
                let face = body.faces.get(usize::from(face))?;
                let size = size(level);
                let (du, dv) = frame(face.normal);
                let at = |a: f32, b: f32| {
                    du * ((u as f32 + a) * size)
                        + dv * ((v as f32 + b) * size)
                        + face.normal * (face.offset + 0.01)
                };
                let p = open_place(self.scene, at, |p| body.holds(p - face.normal * 0.02));
                Some((p, face.normal, body.reflectance))
            }
            Cell::Cloth { soft, x, y } => {
                let body = self.scene.softs.get(soft as usize)?;
                let p = Vec3::new(
                    (x as f32 + 0.5) * CLOTH_CELL_M,
                    (y as f32 + 0.5) * CLOTH_CELL_M,
                    body.bounds.hi.z + 0.01,
                );
                Some((p, Vec3::Z, body.scatters))
            }
        }
    }

    /// Light straight from sky and sun on a surface.
    fn irradiance(&self, p: Vec3, normal: Vec3) -> Flow {
        let mut flow = Flow::none(self);
        let (n, fan) = (self.dome.groups, &self.above);
        let mut outlook = Outlook::default();
        let facing = Facing {
            normal,
            offset: normal.dot(p),
        };
        outlook.look(self.scene, fan, p, Some(facing));
        outlook.soften(self.scene, fan, p, false);
        let share = |state: usize, i: usize| {
            let at = state * fan.filled() + i;
            outlook.shares.get(at).copied().unwrap_or(1.0)
        };
        for (i, source) in self.above_sources.iter().enumerate() {
            let cos = fan.direction(i).dot(normal);
            if outlook.free[i] < 0.0 || cos <= 0.0 {
                continue;
            }
            match source {
                Source::Sky(group, sr) => {
                    for state in 0..self.scene.states {
                        flow.sky[state * n + usize::from(*group)] += share(state, i) * cos * sr;
                    }
                }
                Source::Sun(k) => {
                    let k = usize::from(*k);
                    flow.beam[k] = cos * share(self.state_of_sun(k), i);
                }
            }
        }
        flow
    }

    /// Adds what other surfaces throw at one after so many bounces, as far as it throws it on.
    fn gather(&self, flow: &mut Flow, p: Vec3, normal: Vec3, reflectance: f32, bounces: u8) {
        let (u, v) = frame(normal);
        let mut noise = Noise(0xb0a7);
        let mut found: BTreeMap<Cell, Shares> = BTreeMap::new();
        for k in 0..GATHERING_RAYS {
            // Spread evenly in the cosine-weighted hemisphere (golden angle).
            let sin2 = (k as f64 + noise.next()) / GATHERING_RAYS as f64;
            let (sin, turn) = (sin2.sqrt() as f32, k as f32 * 2.399_963);
            let dir = u * (turn.cos() * sin)
                + v * (turn.sin() * sin)
                + normal * ((1.0 - sin2) as f32).max(0.0).sqrt();
            self.look(
                &Ray::new(p, dir),
                &NO_OWN,
                |_| (),
                |cell, shares| {
                    let sum = found.entry(cell.coarser()).or_insert([0.0; 12]);
                    for (sum, share) in sum.iter_mut().zip(shares) {
                        *sum += reflectance * share / GATHERING_RAYS as f32;
                    }
                },
            );
        }
        for (cell, weights) in found {
            flow.add_by_state(self, &self.kept(cell, bounces), &weights);
        }
    }

    /// Looks along a ray: calls `sky` with the shares if it ends in the sky, `cell` with each surface that
    /// throws light towards the start and the shares up to it.
    pub fn look(
        &self,
        ray: &Ray,
        own: &Own,
        mut sky: impl FnMut(&Shares),
        mut cell: impl FnMut(Cell, &Shares),
    ) {
        let hit = self.scene.nearest(ray, own);
        let to_ground = if ray.dir.z < -1e-4 && ray.from.z > 0.0 {
            -ray.from.z / ray.dir.z
        } else {
            f32::INFINITY
        };
        let reach = hit.map_or(f32::INFINITY, |h| h.at).min(to_ground);
        let mut shares = [1.0; 12];
        self.scene.soften(ray, own, reach, &mut shares, |pass| {
            // Only what the cloth throws down is counted, hence only from below.
            if ray.dir.z > 0.0 {
                let p = ray.from + ray.dir * pass.at;
                let c = Cell::Cloth {
                    soft: pass.soft,
                    x: (p.x / CLOTH_CELL_M).floor() as i32,
                    y: (p.y / CLOTH_CELL_M).floor() as i32,
                };
                cell(c, &pass.before);
            }
        });
        match hit {
            Some(h) if h.at < to_ground => {
                if let Some(c) = self.face_cell(ray, h) {
                    cell(c, &shares);
                }
            }
            _ if to_ground.is_finite() => {
                cell(
                    ground_cell(ray.from + ray.dir * to_ground, to_ground),
                    &shares,
                );
            }
            _ if ray.dir.z > 0.0 => sky(&shares),
            _ => {}
        }
    }

    /// The cell of a face that a ray meets.
    pub fn face_cell(&self, ray: &Ray, hit: Hit) -> Option<Cell> {
        let face = self
            .scene
            .solids
            .get(hit.solid as usize)?
            .faces
            .get(usize::from(hit.face))?;
        if hit.at <= 0.0 {
            return None;
        }
        let p = ray.from + ray.dir * hit.at;
        let level = level(FACE_CELL * hit.at);
        let (u, v) = frame(face.normal);
        Some(Cell::Face {
            solid: hit.solid,
            face: hit.face,
            level,
            u: (p.dot(u) / size(level)).floor() as i32,
            v: (p.dot(v) / size(level)).floor() as i32,
        })
    }
}

/// Radiance of a surface that throws light evenly to all sides, by its exitance.
pub const PER_EXITANCE: f32 = 1.0 / PI;

/// The directions of a place outdoors: the fine rays upwards, the coarse ones downwards.
fn around(fine: &[DomeRay], coarse: &[DomeRay]) -> (Fan, Vec<Look>) {
    let side = 4;
    let up = fine.iter().enumerate().map(|(k, r)| {
        // Of the 4 by 4 rays of a patch one in each column and each row.
        let (a, b) = (k / side % side, k % side);
        let look = Look {
            patch: Some(r.patch),
            sr: r.sr,
            surface_sr: if (a + 2 * b + b / 2) % side == 0 {
                r.sr * side as f32
            } else {
                0.0
            },
        };
        (r.dir, look)
    });
    let down = coarse.iter().map(|r| {
        let look = Look {
            patch: None,
            sr: r.sr,
            surface_sr: r.sr,
        };
        (Vec3::new(r.dir.x, r.dir.y, -r.dir.z), look)
    });
    sorted(up.chain(down).collect())
}

/// The directions of a surface.
fn above(dome: &Dome, coarse: &[DomeRay], suns: &[Option<Vec3>]) -> (Fan, Vec<Source>) {
    let sky = coarse.iter().map(|r| {
        let group = dome.group_of[usize::from(r.patch)];
        (r.dir, Source::Sky(group, r.sr))
    });
    let suns = suns
        .iter()
        .enumerate()
        .filter_map(|(k, dir)| Some(((*dir)?, Source::Sun(k as u16))));
    sorted(sky.chain(suns).collect())
}

fn sorted<T: Copy>(directions: Vec<(Vec3, T)>) -> (Fan, Vec<T>) {
    let (dirs, what): (Vec<Vec3>, Vec<T>) = directions.into_iter().unzip();
    let fan = Fan::of(&dirs);
    let what = fan.source.iter().map(|i| what[*i as usize]).collect();
    (fan, what)
}

/// The cell of the ground at a place seen from a distance.
pub fn ground_cell(p: Vec3, distance: f32) -> Cell {
    let level = level(GROUND_CELL * distance);
    Cell::Ground {
        level,
        x: (p.x / size(level)).floor() as i32,
        y: (p.y / size(level)).floor() as i32,
    }
}

/// The level of cells at least as large as wanted, 0.5 to 16 m.
fn level(wanted_m: f32) -> i8 {
    let level = wanted_m.max(0.5).log2().ceil();
    level.clamp(-1.0, f32::from(COARSEST)) as i8
}

fn size(level: i8) -> f32 {
    f32::from(level).exp2()
}

/// Two unit vectors along a face: the first level.
pub fn frame(normal: Vec3) -> (Vec3, Vec3) {
    let u = Vec3::Z.cross(normal).normalize_or(Vec3::X);
    (u, normal.cross(u))
}

/// The middle of a cell, or a place near it that lies open.
fn open_place(scene: &Scene, at: impl Fn(f32, f32) -> Vec3, fits: impl Fn(Vec3) -> bool) -> Vec3 {
    [
        (0.5, 0.5),
        (0.25, 0.25),
        (0.75, 0.75),
        (0.25, 0.75),
        (0.75, 0.25),
        (0.1, 0.5),
        (0.9, 0.5),
        (0.5, 0.1),
        (0.5, 0.9),
    ]
    .into_iter()
    .map(|(a, b)| at(a, b))
    .find(|p| fits(*p) && !scene.buried(*p))
    .unwrap_or_else(|| at(0.5, 0.5))
}

/// Moon & Spencer's overcast sky as in CIE S 011: (1 + 2 sin elevation) / 3 of the zenith.
fn overcast(patches: &[Patch]) -> Vec<f32> {
    let mut l: Vec<f64> = patches.iter().map(|p| 1.0 + 2.0 * p.direction.z).collect();
    let sum: f64 = l
        .iter()
        .zip(patches)
        .map(|(l, p)| l * p.direction.z * p.solid_angle_sr)
        .sum();
    l.iter_mut().for_each(|l| *l /= sum.max(1e-9));
    l.into_iter().map(|l| l as f32).collect()
}
