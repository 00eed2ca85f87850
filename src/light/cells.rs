//! Surfaces outside cut into cells, the larger the farther off they are seen, and the places that stand for a cell.

use glam::{DVec3, Vec2, Vec3};

use super::{
    faces,
    scene::{Hit, Ray, Scene, solid::Solid},
};

/// A piece of a surface outside that throws light on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
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

/// Level of the largest cells, of 16 m.
const COARSEST: i8 = 4;
/// Cells of cloth, m.
const CLOTH_CELL_M: f32 = 1.0;
/// Sizes of cells of faces and of the ground by their distance. Half as fine as this, light that is thrown back below
/// a veranda's roof is off by a third in single months.
const FACE_CELL: f32 = 0.25;
const GROUND_CELL: f32 = 0.35;

impl Cell {
    /// The cell of at least a level in which it lies.
    pub fn at_least(self, least: i8) -> Self {
        let up = |level: i8| least.clamp(level, COARSEST.max(level)) - level;
        match self {
            Self::Ground { level, x, y } => {
                let by = up(level);
                Self::Ground {
                    level: level + by,
                    x: x >> by,
                    y: y >> by,
                }
            }
            Self::Face {
                solid,
                face,
                level,
                u,
                v,
            } => {
                let by = up(level);
                Self::Face {
                    solid,
                    face,
                    level: level + by,
                    u: u >> by,
                    v: v >> by,
                }
            }
            Self::Cloth { .. } => self,
        }
    }

    /// At how many places its light is looked at. Cells look about equally large from where they are seen, but for the
    /// smallest, which may be very near.
    pub fn places(self) -> u8 {
        match self {
            Self::Ground { level, .. } | Self::Face { level, .. } if level > 0 => 2,
            Self::Ground { .. } | Self::Face { .. } => MOST as u8,
            Self::Cloth { .. } => 1,
        }
    }

    /// Some levels coarser.
    pub fn coarser(self, by: i8) -> Self {
        match self {
            Self::Ground { level, .. } | Self::Face { level, .. } => self.at_least(level + by),
            Self::Cloth { .. } => self,
        }
    }

    /// The cell of cloth above or below a place.
    pub fn of_cloth(soft: u32, p: Vec3) -> Self {
        Self::Cloth {
            soft,
            x: (p.x / CLOTH_CELL_M).floor() as i32,
            y: (p.y / CLOTH_CELL_M).floor() as i32,
        }
    }

    /// The cell of the ground at a place seen from a distance.
    pub fn of_ground(p: Vec3, distance: f32) -> Self {
        let level = level(GROUND_CELL * distance);
        Self::Ground {
            level,
            x: (p.x / size(level)).floor() as i32,
            y: (p.y / size(level)).floor() as i32,
        }
    }

    /// The cell of a face that a ray meets.
    pub fn of_face(scene: &Scene, ray: &Ray, hit: Hit) -> Option<Self> {
        let body = scene.solids.get(hit.solid as usize)?;
        let face = body.faces.get(usize::from(hit.face))?;
        if hit.at <= 0.0 {
            return None;
        }
        let p = ray.from + ray.dir * hit.at;
        let level = level(FACE_CELL * hit.at);
        let (u, v) = frame(face.normal);
        Some(Self::Face {
            solid: hit.solid,
            face: hit.face,
            level,
            u: (p.dot(u) / size(level)).floor() as i32,
            v: (p.dot(v) / size(level)).floor() as i32,
        })
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

/// Places that stand for a cell: each for an equal part of it.
#[derive(Clone, Copy, Debug)]
pub struct Sample {
    places: [Vec3; MOST],
    count: usize,
    pub normal: Vec3,
    /// Neighbouring cells have different ones.
    pub turn: usize,
    /// Share of light thrown on, at each place.
    reflectances: [f32; MOST],
}

/// Most places of one cell.
pub const MOST: usize = 4;
/// Places lie this far before their surface, m.
const BEFORE_M: f32 = 0.01;

impl Sample {
    pub fn places(&self) -> &[Vec3] {
        &self.places[..self.count]
    }

    pub fn reflectances(&self) -> &[f32] {
        &self.reflectances[..self.count]
    }

    /// Mean share thrown on.
    pub fn reflectance(&self) -> f32 {
        self.reflectances().iter().sum::<f32>() / self.count.max(1) as f32
    }

    /// Of the rectangle from `low` to `high` so many places, as far as they lie open; one at least.
    fn of(
        normal: Vec3,
        (low, high): (Vec2, Vec2),
        places: usize,
        at: impl Fn(Vec2) -> Vec3,
        fits: impl Fn(Vec3) -> bool,
    ) -> Self {
        let mut sample = Self {
            places: [Vec3::ZERO; MOST],
            count: 0,
            normal,
            turn: 0,
            reflectances: [0.0; MOST],
        };
        let quarters = [(0.25, 0.25), (0.75, 0.75), (0.25, 0.75), (0.75, 0.25)];
        let middle = [(0.5, 0.5)];
        let edges = [(0.1, 0.5), (0.9, 0.5), (0.5, 0.1), (0.5, 0.9)];
        let place = |(a, b): (f32, f32)| at(low + (high - low) * Vec2::new(a, b));
        let tries: &[(f32, f32)] = match places {
            1 => &middle,
            2 => &quarters[..2],
            _ => &quarters,
        };
        for p in tries.iter().map(|ab| place(*ab)).filter(|p| fits(*p)) {
            sample.places[sample.count] = p;
            sample.count += 1;
        }
        if sample.count == 0 {
            let others = middle.iter().chain(&quarters).chain(&edges);
            let open = others.map(|ab| place(*ab)).find(|p| fits(*p));
            sample.places[0] = open.unwrap_or_else(|| place((0.5, 0.5)));
            sample.count = 1;
        }
        sample
    }
}

/// What the places of cells are found by.
pub struct Surfaces {
    /// For each solid the stretch of each of its faces along the face's frame.
    spans: Vec<Vec<(Vec2, Vec2)>>,
}

impl Surfaces {
    pub fn of(scene: &Scene) -> Self {
        Self {
            spans: scene.solids.iter().map(spans).collect(),
        }
    }

    /// Share of light that a cell throws on, in its middle.
    pub fn reflectance(&self, scene: &Scene, cell: Cell) -> f32 {
        match cell {
            Cell::Ground { level, x, y } => {
                let middle = (Vec2::new(x as f32, y as f32) + 0.5) * size(level);
                scene.ground_reflectance(middle.extend(0.0))
            }
            Cell::Face { solid, .. } => {
                let body = scene.solids.get(solid as usize);
                body.map_or(0.0, |b| b.reflectance)
            }
            Cell::Cloth { soft, .. } => {
                let body = scene.softs.get(soft as usize);
                body.map_or(0.0, |b| b.scatters)
            }
        }
    }

    /// The places that stand for a cell, so many of them.
    pub fn sample(&self, scene: &Scene, cell: Cell, places: usize) -> Option<Sample> {
        Some(match cell {
            Cell::Ground { level, x, y } => {
                let low = Vec2::new(x as f32, y as f32) * size(level);
                let at = |p: Vec2| p.extend(BEFORE_M);
                let whole = (low, low + size(level));
                let mut sample = Sample::of(Vec3::Z, whole, places, at, |p| !scene.buried(p));
                sample.turn = turn(x, y);
                for k in 0..sample.count {
                    sample.reflectances[k] = scene.ground_reflectance(sample.places[k]);
                }
                sample
            }
            Cell::Face {
                solid,
                face,
                level,
                u,
                v,
            } => {
                let body = scene.solids.get(solid as usize)?;
                let plane = body.faces.get(usize::from(face))?;
                let span = self.spans.get(solid as usize)?.get(usize::from(face))?;
                let (du, dv) = frame(plane.normal);
                let at = |p: Vec2| du * p.x + dv * p.y + plane.normal * (plane.offset + BEFORE_M);
                let low = Vec2::new(u as f32, v as f32) * size(level);
                let part = (low.max(span.0), (low + size(level)).min(span.1));
                let whole = if part.0.cmplt(part.1).all() {
                    part
                } else {
                    (low, low + size(level))
                };
                let fits =
                    |p: Vec3| body.holds(p - plane.normal * (2.0 * BEFORE_M)) && !scene.buried(p);
                let mut sample = Sample::of(plane.normal, whole, places, at, fits);
                sample.turn = turn(u, v);
                sample.reflectances = [body.reflectance; MOST];
                sample
            }
            Cell::Cloth { soft, x, y } => {
                let body = scene.softs.get(soft as usize)?;
                let low = Vec2::new(x as f32, y as f32) * CLOTH_CELL_M;
                let at = |p: Vec2| p.extend(body.bounds.hi.z + BEFORE_M);
                let whole = (low, low + CLOTH_CELL_M);
                let mut sample = Sample::of(Vec3::Z, whole, 1, at, |_| true);
                sample.turn = turn(x, y);
                sample.reflectances = [body.scatters; MOST];
                sample
            }
        })
    }
}

fn turn(x: i32, y: i32) -> usize {
    x.wrapping_add(y.wrapping_mul(2))
        .rem_euclid(6)
        .cast_unsigned() as usize
}

fn spans(solid: &Solid) -> Vec<(Vec2, Vec2)> {
    (0..solid.faces.len())
        .map(|k| {
            let (u, v) = frame(solid.faces[k].normal);
            let along = |c: &DVec3| Vec2::new(c.as_vec3().dot(u), c.as_vec3().dot(v));
            faces::polygon(solid, k)
                .iter()
                .map(along)
                .fold((Vec2::INFINITY, Vec2::NEG_INFINITY), |(low, high), p| {
                    (low.min(p), high.max(p))
                })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        base::{Id, Pt},
        site::{Building, Roof, Site},
    };

    fn scene() -> Scene {
        let house = Building {
            outline: vec![Pt(0.0, 0.0), Pt(5.0, 0.0), Pt(5.0, 4.0), Pt(0.0, 4.0)],
            roof: Roof::Flat,
            eaves_m: 0.0,
            ..Building::default()
        };
        Scene::of(&Site {
            buildings: [(Id::new("house"), house)].into_iter().collect(),
            ..Site::default()
        })
    }

    #[test]
    fn a_coarser_cell_holds_the_finer_one_on_both_sides_of_nought() {
        for (x, y) in [(7.3, 2.1), (-0.2, -0.3), (-6.9, 3.4)] {
            let p = Vec3::new(x, y, 0.0);
            let fine = Cell::of_ground(p, 0.1);
            // At 10 m cells are of 4 m.
            assert_eq!(fine.at_least(2), Cell::of_ground(p, 10.0));
            assert_eq!(fine.coarser(3), Cell::of_ground(p, 10.0));
            let coarsest = Cell::of_ground(p, 1e3);
            assert_eq!(fine.coarser(9), coarsest);
            assert_eq!(coarsest.at_least(0), coarsest);
        }
    }

    #[test]
    fn places_stand_before_their_wall_and_out_of_the_house() {
        let scene = scene();
        let surfaces = Surfaces::of(&scene);
        let ray = Ray::new(Vec3::new(2.5, -9.0, 1.5), Vec3::Y);
        let hit = scene.nearest(&ray, &super::super::scene::NO_OWN).unwrap();
        let wall = Cell::of_face(&scene, &ray, hit).unwrap();
        let sample = surfaces.sample(&scene, wall, MOST).unwrap();
        assert_eq!((sample.places().len(), sample.normal), (MOST, Vec3::NEG_Y));
        for p in sample.places() {
            assert!((p.y + BEFORE_M).abs() < 1e-5 && !scene.buried(*p), "{p}");
            // The wall is 5 by 3 m, less than its cell reaches.
            assert!(
                (0.0..=5.0).contains(&p.x) && (0.0..=3.0).contains(&p.z),
                "{p}"
            );
        }
        // A quarter of the ground at the corner of the house lies under it.
        let corner = Cell::Ground {
            level: 3,
            x: 0,
            y: 0,
        };
        let sample = surfaces.sample(&scene, corner, MOST).unwrap();
        assert_eq!(sample.places().len(), MOST - 1);
    }
}
