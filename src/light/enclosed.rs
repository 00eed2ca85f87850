//! Light thrown about inside a room: how much of what comes through each pane lands where, and how it is passed on
//! from surface to surface (radiosity; Goral et al. 1984). Worked out once for a room, asked once for each spot.

pub mod glow;
mod reveal;

use std::{collections::BTreeMap, f32::consts::FRAC_1_PI, sync::Arc};

use glam::{DVec2, Vec2, Vec3};

use super::{
    cells::Cell,
    flow::{Flow, SUNS},
    room::{Enclosure, Pane},
    scene::{Ray, Shares, outline},
    works::Works,
};
use crate::base::lanes;
pub use reveal::SIDES;

/// Side of a surface patch, m; larger in large rooms, so that there are never many more than `MOST_PATCHES`.
const PATCH_M: f64 = 0.5;
const MOST_PATCHES: f64 = 320.0;
/// Bounces followed; after 24 of them less than 1 % is left at a mean reflectance of 0.8.
const BOUNCES: usize = 24;

#[derive(Clone, Copy, Debug)]
struct Surface {
    middle: Vec3,
    /// Into the room.
    normal: Vec3,
    u: Vec3,
    v: Vec3,
    area: f32,
    reflectance: f32,
}

/// Where light that came through a pane lands: on a surface, or scattered from the opening itself.
const FROM_OPENING: u16 = u16::MAX;
const ALL_STATES: u8 = u8::MAX;

#[derive(Clone, Copy, Debug)]
struct Landing {
    on: u16,
    group: u16,
    state: u8,
    /// Watts per unit of radiance.
    weight: f32,
}

/// Light that comes in along a direction.
struct Passage {
    /// Where it lands, in which shares.
    landing: [(u16, f32); 2],
    /// The ray's start outside, or the outer side of the opening that it comes from.
    out: Result<Vec3, usize>,
    /// Let through by the glass.
    share: f32,
}

/// Light through one pane with nothing drawn over it.
#[derive(Debug)]
struct Inflow {
    from_sky: Vec<Landing>,
    from_cells: BTreeMap<(Cell, u16), Shares>,
    /// (place of the sun, surface, W per W/m² of beam).
    from_sun: Vec<(u16, u16, f32)>,
    /// What the outer sides of the opening throw on, W/m² of their surface.
    outer: Vec<Flow>,
    /// From (outer side, to surface), W per W/m² thrown on.
    from_outer: BTreeMap<(usize, u16), f32>,
    /// All light through the glass, W.
    total: Flow,
    /// Form factor from each surface to the opening.
    seen_from: Vec<f32>,
}

/// What light through a pane does at a place once it is in the room.
pub struct Inside {
    /// Light that came through straight, by way of the room's surfaces.
    pub straight: Flow,
    /// All of it, had it been scattered at the opening.
    pub scattered: Flow,
}

#[derive(Debug)]
pub struct RoomLight {
    pub room: Arc<Enclosure>,
    surfaces: Vec<Surface>,
    map: SurfaceMap,
    /// Form factors, row by row.
    forms: Vec<f32>,
    inflows: Vec<Inflow>,
}

/// The surfaces in lists, for arithmetic on many at once.
#[derive(Default)]
struct Places {
    middle: [Vec<f32>; 3],
    normal: [Vec<f32>; 3],
    area: Vec<f32>,
}

impl Places {
    fn of(surfaces: &[Surface]) -> Self {
        let along = |of: fn(&Surface) -> Vec3| {
            std::array::from_fn(|axis| surfaces.iter().map(|s| of(s)[axis]).collect())
        };
        Self {
            middle: along(|s| s.middle),
            normal: along(|s| s.normal),
            area: surfaces.iter().map(|s| s.area).collect(),
        }
    }

    /// Form factors from a surface to all with nothing between.
    #[inline(always)]
    fn seen_from(&self, a: &Surface, row: &mut [f32]) {
        let ([x, y, z], [u, v, w]) = (&self.middle, &self.normal);
        let places = x.iter().zip(y).zip(z);
        let normals = u.iter().zip(v).zip(w);
        let all = places.zip(normals).zip(&self.area);
        for (f, ((((x, y), z), ((u, v), w)), area)) in row.iter_mut().zip(all) {
            let (dx, dy, dz) = (x - a.middle.x, y - a.middle.y, z - a.middle.z);
            let square = dx * dx + dy * dy + dz * dz;
            let here = dx * a.normal.x + dy * a.normal.y + dz * a.normal.z;
            let there = -(dx * u + dy * v + dz * w);
            let cos = (here * there).max(0.0) / square.max(1e-9);
            // Close patches would blow the point formula up.
            *f = cos * area * FRAC_1_PI / square.max(0.36 * area);
        }
    }
}

#[derive(Debug, Default)]
struct SurfaceMap {
    /// For each wall: first index, columns, rows.
    walls: Vec<(usize, usize, usize)>,
    low: DVec2,
    cell: DVec2,
    columns: usize,
    floor: Vec<Option<u16>>,
    ceiling: Vec<Option<u16>>,
    /// Surfaces of the room itself; behind them the inner sides of each pane's opening.
    own: usize,
    sides: Vec<reveal::Pieces>,
}

impl RoomLight {
    pub fn of(works: &Works<'_>, room: &Arc<Enclosure>) -> Self {
        let (surfaces, map) = surfaces(room);
        let mut light = Self {
            room: Arc::clone(room),
            forms: Vec::new(),
            inflows: Vec::new(),
            surfaces,
            map,
        };
        light.forms = light.form_factors();
        light.inflows = room
            .panes
            .iter()
            .enumerate()
            .map(|(k, p)| light.inflow(works, k, p))
            .collect();
        light
    }

    fn form_factors(&self) -> Vec<f32> {
        let (n, own) = (self.surfaces.len(), self.map.own);
        let mut forms = vec![0.0; n * n];
        let walls = &self.surfaces[..own];
        let all = Places::of(walls);
        for (a, whole) in walls.iter().zip(forms.chunks_mut(n.max(1))) {
            let row = &mut whole[..own];
            lanes::widest(
                #[inline(always)]
                || all.seen_from(a, row),
            );
            if !self.room.convex {
                for (b, f) in walls.iter().zip(row.iter_mut()) {
                    if *f > 0.0 && !self.room.clear_between(a.middle, b.middle) {
                        *f = 0.0;
                    }
                }
            }
            let sum: f32 = row.iter().sum();
            if sum > 0.0 {
                row.iter_mut().for_each(|f| *f /= sum);
            }
        }
        self.add_sides(&mut forms);
        forms
    }

    /// The inner sides of openings light each other and the room. What the room throws at them is in what its glass
    /// throws back.
    fn add_sides(&self, forms: &mut [f32]) {
        let (n, own) = (self.surfaces.len(), self.map.own);
        for (pane, pieces) in self.room.panes.iter().zip(&self.map.sides) {
            for b in pieces.range() {
                let side = self.surfaces[b];
                for (a, from) in self.surfaces[..own].iter().enumerate() {
                    let f = reveal::form(from, &side);
                    if f > 0.0
                        && reveal::seen_through(pane, from.middle, side.middle)
                        && self.room.clear_between(from.middle, side.middle)
                    {
                        forms[a * n + b] = f;
                    }
                }
                for a in pieces.range() {
                    forms[a * n + b] = reveal::form(&self.surfaces[a], &side);
                }
            }
        }
    }

    fn inflow(&self, works: &Works<'_>, index: usize, pane: &Pane) -> Inflow {
        let scene = works.scene;
        let n = works.dome.groups;
        let largest = (pane.size.max_element() / 4.0).clamp(0.1, 0.6);
        let pieces = pane.pieces(largest, 3);
        let mut flow = Inflow {
            from_sky: Vec::new(),
            from_cells: BTreeMap::new(),
            from_sun: Vec::new(),
            total: Flow::none(works),
            outer: reveal::outer_sides(works, pane),
            from_outer: BTreeMap::new(),
            seen_from: Vec::new(),
        };
        let mut total_cells: BTreeMap<Cell, Shares> = BTreeMap::new();
        // Each piece takes another quarter of the rays: together they see all the more of the sky.
        let per_patch = 4;
        for (k, (at, area)) in pieces.iter().enumerate() {
            for r in works.middling.iter().skip(k % per_patch).step_by(per_patch) {
                for dir in [r.dir, Vec3::new(r.dir.x, r.dir.y, -r.dir.z)] {
                    let Some(Passage {
                        landing,
                        out,
                        share,
                    }) = self.passage(index, pane, *at, dir)
                    else {
                        continue;
                    };
                    let weight = share * dir.dot(pane.normal) * area * r.sr * per_patch as f32;
                    let start = match out {
                        Ok(start) => start,
                        Err(side) => {
                            let weight = weight * FRAC_1_PI;
                            for (on, part) in landing {
                                *flow.from_outer.entry((side, on)).or_default() += weight * part;
                            }
                            flow.total.add(&flow.outer[side], weight);
                            continue;
                        }
                    };
                    let ray = Ray::new(start, dir);
                    let group = works.dome.group_of[usize::from(r.patch)];
                    let (sky, total) = (&mut flow.from_sky, &mut flow.total.sky);
                    let cells = &mut flow.from_cells;
                    works.look(
                        &ray,
                        &pane.own,
                        |shares| {
                            for state in 0..scene.states {
                                total[state * n + usize::from(group)] += shares[state] * weight;
                            }
                            let even = shares[..scene.states].iter().all(|s| *s == shares[0]);
                            let states = if even { 1 } else { scene.states };
                            for (state, share) in shares.iter().enumerate().take(states) {
                                sky.extend(landing.iter().map(|(on, part)| Landing {
                                    on: *on,
                                    group,
                                    state: if even { ALL_STATES } else { state as u8 },
                                    weight: share * weight * part,
                                }));
                            }
                        },
                        |cell, shares| {
                            let weight = weight * FRAC_1_PI;
                            for (on, part) in landing {
                                add(cells.entry((cell, on)).or_default(), shares, weight * part);
                            }
                            add(total_cells.entry(cell).or_default(), shares, weight);
                        },
                    );
                }
            }
        }
        for (cell, shares) in total_cells {
            flow.total
                .add_by_state(works, &works.exitance(cell), &shares);
        }
        for s in 0..SUNS {
            for (k, (at, area)) in pieces.iter().enumerate() {
                let Some(dir) = works.sun(s, k) else { continue };
                let Some(Passage {
                    landing,
                    out,
                    share,
                }) = self.passage(index, pane, *at, dir)
                else {
                    continue;
                };
                let Ok(start) = out else { continue };
                let ray = Ray::new(start, dir);
                let seen = scene.beam_share(&ray, &pane.own, works.state_of_sun(s));
                let weight = seen * share * dir.dot(pane.normal) * area;
                if weight > 0.0 {
                    flow.total.beam[s] += weight;
                    flow.from_sun.extend(
                        landing
                            .iter()
                            .map(|(on, part)| (s as u16, *on, weight * part)),
                    );
                }
            }
        }
        flow.seen_from = self.surfaces[..self.map.own]
            .iter()
            .map(|s| {
                pieces
                    .iter()
                    .map(|(at, area)| {
                        let d = *at - pane.normal * pane.reveal - s.middle;
                        let r2 = d.length_squared().max(0.36 * area);
                        let cos = (d.dot(s.normal) * d.dot(pane.normal)).max(0.0)
                            / d.length_squared().max(1e-9);
                        if cos > 0.0 && self.room.clear_between(s.middle, *at) {
                            cos * area * FRAC_1_PI / r2
                        } else {
                            0.0
                        }
                    })
                    .sum::<f32>()
                    .min(1.0)
            })
            .collect();
        flow.seen_from.resize(self.surfaces.len(), 0.0);
        flow
    }

    /// For a direction out of a place on the glass: where light that comes in along it lands and with which share,
    /// the start outside (or the outer side it comes from), and the share that the glass lets through.
    fn passage(&self, k: usize, pane: &Pane, at: Vec3, dir: Vec3) -> Option<Passage> {
        let cos = dir.dot(pane.normal);
        if cos <= 1e-4 {
            return None;
        }
        let out = match pane.way_out(at - pane.normal * 1e-4, dir) {
            Some(way) => Ok(way.at),
            None => Err(reveal::outer_side(pane, at, dir)?),
        };
        let (straight, scattered) = pane.glass_shares(cos);
        let all = straight + scattered;
        let scattered = scattered / all.max(1e-9);
        let on = match pane.clears_reveal(at, dir) {
            Some(inner) => self.hit(inner - dir * 1e-3, -dir)?,
            None => reveal::struck(pane, at, -dir, pane.reveal)
                .and_then(|struck| self.map.sides.get(k)?.surface_at(struck))
                .unwrap_or(FROM_OPENING),
        };
        Some(Passage {
            landing: [(on, 1.0 - scattered), (FROM_OPENING, scattered)],
            out,
            share: all,
        })
    }

    /// The surface that a ray inside the room meets.
    fn hit(&self, from: Vec3, dir: Vec3) -> Option<u16> {
        let room = &*self.room;
        let (o, d) = (
            DVec2::new(from.x.into(), from.y.into()),
            DVec2::new(dir.x.into(), dir.y.into()),
        );
        let z = |t: f64| f64::from(from.z) + f64::from(dir.z) * t;
        let level = if dir.z > 0.0 {
            room.ceiling
        } else {
            room.floor
        };
        let mut best = if dir.z.abs() > 1e-6 {
            (level - f64::from(from.z)) / f64::from(dir.z)
        } else {
            f64::INFINITY
        };
        let mut wall = None;
        for (k, (a, b)) in outline::edges(&room.corners).enumerate() {
            let e = b - a;
            let cross = d.perp_dot(e);
            // Only from inside: the outline runs anticlockwise.
            if cross <= 1e-12 {
                continue;
            }
            let (t, s) = ((a - o).perp_dot(e) / cross, (a - o).perp_dot(d) / cross);
            if t > 0.0 && t < best && (-1e-6..=1.0 + 1e-6).contains(&s) {
                best = t;
                wall = Some((k, s));
            }
        }
        if !best.is_finite() {
            return None;
        }
        if let Some((k, s)) = wall {
            let (first, nu, nv) = *self.map.walls.get(k)?;
            let up = (z(best) - room.floor) / (room.ceiling - room.floor);
            let iu = ((s * nu as f64) as usize).min(nu - 1);
            let iv = ((up.max(0.0) * nv as f64) as usize).min(nv - 1);
            return Some((first + iv * nu + iu) as u16);
        }
        let p = (o + d * best - self.map.low) / self.map.cell;
        let i = (p.x.max(0.0) as usize).min(self.map.columns.saturating_sub(1))
            + (p.y.max(0.0) as usize) * self.map.columns;
        let cells = if dir.z > 0.0 {
            &self.map.ceiling
        } else {
            &self.map.floor
        };
        cells.get(i).copied().flatten()
    }

    /// How much of each surface's own light a receptor gets, directly and by all bounces. `weigh` gives the
    /// receptor's weight for a direction, 1 square on.
    pub fn adjoint(&self, at: Vec3, weigh: impl Fn(Vec3) -> f32) -> Vec<f32> {
        let n = self.surfaces.len();
        let seen = self.seen_from(at, weigh);
        let mut all = seen.clone();
        let mut step = seen;
        for _ in 0..BOUNCES {
            let mut next = vec![0.0; n];
            lanes::widest(
                #[inline(always)]
                || {
                    let rows = self.forms.chunks(n.max(1));
                    for ((s, x), row) in self.surfaces.iter().zip(&step).zip(rows) {
                        let x = x * s.reflectance;
                        for (y, f) in next.iter_mut().zip(row) {
                            *y += x * f;
                        }
                    }
                },
            );
            for (a, y) in all.iter_mut().zip(&next) {
                *a += y;
            }
            step = next;
        }
        for (a, s) in all.iter_mut().zip(&self.surfaces) {
            *a *= s.reflectance;
        }
        all
    }

    /// The outer side of the opening of pane `k` that is met along a direction from a place on its glass.
    pub fn outer_side(&self, k: usize, glass: Vec3, dir: Vec3) -> Option<usize> {
        reveal::outer_side(self.room.panes.get(k)?, glass, dir)
    }

    /// What an outer side of the opening of pane `k` throws on, W/m² of it.
    pub fn outer_of(&self, k: usize, side: usize) -> Option<&Flow> {
        self.inflows.get(k)?.outer.get(side)
    }

    /// Light through pane `k` at a receptor of which `adjoint` is known, and which sees the opening with the form
    /// factor `opening`.
    pub fn inside(&self, works: &Works<'_>, k: usize, adjoint: &[f32], opening: f32) -> Inside {
        let mut out = Inside {
            straight: Flow::none(works),
            scattered: Flow::none(works),
        };
        let (Some(flow), Some(pane)) = (self.inflows.get(k), self.room.panes.get(k)) else {
            return out;
        };
        let n = works.dome.groups;
        let by_room: f32 = adjoint
            .iter()
            .zip(&flow.seen_from)
            .map(|(a, f)| a * f)
            .sum();
        let from_opening = (opening + by_room) / pane.area();
        let felt = |on: u16| match adjoint.get(usize::from(on)) {
            Some(a) => a / self.surfaces[usize::from(on)].area,
            None => from_opening,
        };
        for l in &flow.from_sky {
            let w = l.weight * felt(l.on);
            if l.state == ALL_STATES {
                for state in 0..works.scene.states {
                    out.straight.sky[state * n + usize::from(l.group)] += w;
                }
            } else {
                out.straight.sky[usize::from(l.state) * n + usize::from(l.group)] += w;
            }
        }
        for (s, on, w) in &flow.from_sun {
            out.straight.beam[usize::from(*s)] += w * felt(*on);
        }
        let mut by_cell: BTreeMap<Cell, Shares> = BTreeMap::new();
        for ((cell, on), shares) in &flow.from_cells {
            add(by_cell.entry(*cell).or_default(), shares, felt(*on));
        }
        for (cell, shares) in by_cell {
            out.straight
                .add_by_state(works, &works.exitance(cell), &shares);
        }
        let mut by_side = vec![0.0; flow.outer.len()];
        for ((side, on), weight) in &flow.from_outer {
            by_side[*side] += weight * felt(*on);
        }
        for (thrown, by) in flow.outer.iter().zip(by_side) {
            out.straight.add(thrown, by);
        }
        out.scattered.add(&flow.total, from_opening);
        out
    }
}

pub fn add(to: &mut Shares, shares: &Shares, by: f32) {
    for (a, b) in to.iter_mut().zip(shares) {
        *a += b * by;
    }
}

fn surfaces(room: &Enclosure) -> (Vec<Surface>, SurfaceMap) {
    let mut list = Vec::new();
    let mut map = SurfaceMap::default();
    if room.corners.is_empty() {
        return (list, map);
    }
    let height = room.ceiling - room.floor;
    let floor_area = outline::area(&room.corners);
    let round: f64 = outline::edges(&room.corners)
        .map(|(a, b)| a.distance(b))
        .sum();
    let patch = PATCH_M.max(((2.0 * floor_area + round * height) / MOST_PATCHES).sqrt());
    for (a, b) in outline::edges(&room.corners) {
        let (length, along) = (a.distance(b), (b - a).normalize_or_zero());
        let count = |l: f64| ((l / patch).round() as usize).max(1);
        let (nu, nv) = (count(length), count(height));
        map.walls.push((list.len(), nu, nv));
        let (du, dv) = (length / nu as f64, height / nv as f64);
        for k in 0..nu * nv {
            let s = (k % nu) as f64 + 0.5;
            let up = (k / nu) as f64 + 0.5;
            let middle = (a + along * (s * du))
                .extend(room.floor + up * dv)
                .as_vec3();
            let normal = along.perp().extend(0.0).as_vec3();
            let mut surface = Surface {
                middle,
                normal,
                u: (along * du / 2.0).extend(0.0).as_vec3(),
                v: Vec3::Z * (dv / 2.0) as f32,
                area: (du * dv) as f32,
                reflectance: room.wall_reflectance,
            };
            surface.reflectance = with_glass(room, &surface);
            list.push(surface);
        }
    }
    let (mut lo, mut hi) = (DVec2::INFINITY, DVec2::NEG_INFINITY);
    for c in &room.corners {
        lo = lo.min(*c);
        hi = hi.max(*c);
    }
    let count = |l: f64| ((l / patch).round() as usize).max(1);
    let (nx, ny) = (count(hi.x - lo.x), count(hi.y - lo.y));
    map.low = lo;
    map.cell = (hi - lo) / DVec2::new(nx as f64, ny as f64);
    map.columns = nx;
    for up in [false, true] {
        for k in 0..nx * ny {
            let low = lo + map.cell * DVec2::new((k % nx) as f64, (k / nx) as f64);
            let inside: Vec<DVec2> = (0..16)
                .map(|q| DVec2::new(f64::from(q % 4) + 0.5, f64::from(q / 4) + 0.5) / 4.0)
                .map(|part| low + map.cell * part)
                .filter(|p| outline::contains(&room.corners, *p))
                .collect();
            let cells = if up { &mut map.ceiling } else { &mut map.floor };
            if inside.is_empty() {
                cells.push(None);
                continue;
            }
            cells.push(Some(list.len() as u16));
            let middle = inside.iter().copied().sum::<DVec2>() / inside.len() as f64;
            let mut surface = Surface {
                middle: middle
                    .extend(if up { room.ceiling } else { room.floor })
                    .as_vec3(),
                normal: if up { Vec3::NEG_Z } else { Vec3::Z },
                u: Vec3::X * (map.cell.x / 2.0) as f32,
                v: Vec3::Y * (map.cell.y / 2.0) as f32,
                area: (map.cell.x * map.cell.y) as f32 * inside.len() as f32 / 16.0,
                reflectance: if up {
                    room.ceiling_reflectance
                } else {
                    room.floor_reflectance
                },
            };
            if up {
                surface.reflectance = with_glass(room, &surface);
            }
            list.push(surface);
        }
    }
    map.own = list.len();
    map.sides = room
        .panes
        .iter()
        .map(|pane| reveal::inner_sides(pane, &mut list))
        .collect();
    (list, map)
}

/// Mean reflectance of a surface of which part is glass.
fn with_glass(room: &Enclosure, s: &Surface) -> f32 {
    let part = |k: i32| (k as f32 + 0.5) / 2.0 - 1.0;
    let at = |q: i32| s.middle + s.u * part(q % 4) + s.v * part(q / 4);
    let reflectance = |p: Vec3| {
        let pane = room.panes.iter().find(|pane| {
            let d = p - pane.corner;
            d.dot(pane.normal).abs() < 0.02
                && pane.normal.dot(s.normal) < -0.99
                && pane.glass_at(Vec2::new(d.dot(pane.u), d.dot(pane.v)))
        });
        pane.map_or(s.reflectance, |pane| {
            reveal::thrown_back(pane, pane.throws_back())
        })
    };
    (0..16).map(|q| reflectance(at(q))).sum::<f32>() / 16.0
}
