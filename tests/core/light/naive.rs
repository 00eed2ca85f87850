//! A plain ray tracer straight from the document, to hold the engine against: triangles, sheets and ellipsoids in one
//! list, every ray against every body, double precision, nothing shared with `sillward::light`. Surfaces throw light
//! back evenly and paths are followed to their end, so that light from walls to walls counts as well.

use std::f64::consts::{PI, TAU};

use glam::{DVec2, DVec3};
use sillward::{
    base::{Months, Pt},
    site::{
        Building, Canopy, Cloth, ClothColour, Leafing, Roof, Screen, ScreenKind, Site, Tree, Weave,
    },
};

const LAWN: f64 = 0.22;
const ROOFING: f64 = 0.2;
const CANOPY: f64 = 0.4;

/// Even numbers in 0..1 from a fixed seed (PCG's constants).
pub struct Dice(pub u64);

impl Dice {
    pub fn unit(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        let mixed = (self.0 ^ (self.0 >> 29)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        (mixed >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub fn roll(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }
}

struct Triangle {
    a: DVec3,
    ab: DVec3,
    ac: DVec3,
    reflectance: f64,
}

impl Triangle {
    /// Möller & Trumbore 1997.
    fn hit(&self, from: DVec3, dir: DVec3) -> Option<f64> {
        let p = dir.cross(self.ac);
        let det = self.ab.dot(p);
        if det.abs() < 1e-12 {
            return None;
        }
        let t = from - self.a;
        let u = t.dot(p) / det;
        if !(0.0..=1.0).contains(&u) {
            return None;
        }
        let q = t.cross(self.ab);
        let v = dir.dot(q) / det;
        let at = self.ac.dot(q) / det;
        (v >= 0.0 && u + v <= 1.0 && at > 1e-6).then_some(at)
    }
}

#[derive(Clone, Copy)]
enum Law {
    Share(f64),
    Deep(f64),
    Leaves(f64),
}

impl Law {
    fn share(self, cos: f64, chord: f64) -> f64 {
        match self {
            Self::Share(t) => t,
            // Deep threads and twigs, to 80°.
            Self::Deep(t) => t.powf(1.0 / cos.max(80.0_f64.to_radians().cos())),
            Self::Leaves(per_m) => (-per_m * chord).exp().max(0.05),
        }
    }
}

enum Form {
    /// Level, at a height.
    Level(Vec<DVec2>, f64),
    /// From a to b, low to high.
    Upright(DVec2, DVec2, f64, f64),
    Ellipsoid(DVec3, DVec3),
}

struct Veil {
    form: Form,
    in_season: Law,
    otherwise: Option<Law>,
    months: Months,
    /// Share thrown down again of what falls on it.
    scatters: f64,
}

impl Veil {
    fn law(&self, month0: usize) -> Option<Law> {
        if self.months.has(month0) {
            Some(self.in_season)
        } else {
            self.otherwise
        }
    }

    /// Distance, cosine and chord.
    fn hit(&self, from: DVec3, dir: DVec3) -> Option<(f64, f64, f64)> {
        match &self.form {
            Form::Level(outline, z) => {
                let at = (z - from.z) / dir.z;
                let p = (from + dir * at).truncate();
                (at.is_finite() && at > 1e-6 && within(outline, p)).then_some((
                    at,
                    dir.z.abs(),
                    0.0,
                ))
            }
            Form::Upright(a, b, low, high) => {
                let along = *b - *a;
                let normal = along.perp().normalize();
                let slope = normal.dot(dir.truncate());
                let at = normal.dot(*a - from.truncate()) / slope;
                let p = from + dir * at;
                let s = (p.truncate() - *a).dot(along) / along.length_squared();
                (at.is_finite()
                    && at > 1e-6
                    && (0.0..=1.0).contains(&s)
                    && (*low..=*high).contains(&p.z))
                .then_some((at, slope.abs(), 0.0))
            }
            Form::Ellipsoid(middle, half) => {
                let (o, d) = ((from - *middle) / *half, dir / *half);
                let (a, b, c) = (d.length_squared(), o.dot(d), o.length_squared() - 1.0);
                let root = b * b - a * c;
                if root <= 0.0 {
                    return None;
                }
                let (near, far) = ((-b - root.sqrt()) / a, (-b + root.sqrt()) / a);
                (far > 0.0).then_some((near.max(0.0), 1.0, far - near.max(0.0)))
            }
        }
    }
}

/// Even-odd rule.
fn within(outline: &[DVec2], p: DVec2) -> bool {
    let n = outline.len();
    (0..n)
        .filter(|i| {
            let (a, b) = (outline[*i], outline[(*i + 1) % n]);
            (a.y > p.y) != (b.y > p.y) && p.x < a.x + (b.x - a.x) * (p.y - a.y) / (b.y - a.y)
        })
        .count()
        % 2
        == 1
}

/// What a month of hours shines with, summed over the month: radiance by patch and beams by moment.
pub struct MonthSky {
    pub month0: usize,
    /// Rows of patches from the horizon up: azimuth of the first one's middle, and their sums, clockwise.
    pub rows: Vec<(f64, Vec<f64>)>,
    pub row_rad: f64,
    /// Direction, and light square to it.
    pub beams: Vec<(DVec3, f64)>,
    /// Sums of the beams up to each, for drawing one at random.
    pub so_far: Vec<f64>,
}

impl MonthSky {
    fn radiance(&self, dir: DVec3) -> f64 {
        // Rows are of one height, half of which lies below the first one's middle; the last one is the cap.
        let row = ((dir.z.asin() / self.row_rad) as usize).min(self.rows.len() - 1);
        let (first, patches) = &self.rows[row];
        let width = TAU / patches.len() as f64;
        let turn = (dir.x.atan2(dir.y) - first + width / 2.0).rem_euclid(TAU);
        patches[((turn / width) as usize).min(patches.len() - 1)]
    }
}

#[derive(Default)]
pub struct Naive {
    triangles: Vec<Triangle>,
    veils: Vec<Veil>,
    grounds: Vec<(Vec<DVec2>, f64)>,
    turn: f64,
}

impl Naive {
    pub fn of(site: &Site) -> Self {
        let mut it = Self {
            turn: site.place.plan_north_deg.to_radians(),
            ..Self::default()
        };
        site.buildings.values().for_each(|b| it.building(b));
        site.canopies.values().for_each(|c| it.canopy(c));
        site.screens.values().for_each(|s| it.screen(s));
        site.trees.values().for_each(|t| it.tree(t));
        site.cloths.values().for_each(|c| it.cloth(c));
        for g in site.grounds.values() {
            let outline = it.outline(&g.outline);
            it.grounds
                .push((outline, g.reflectance.unwrap_or(g.kind.reflectance())));
        }
        it
    }

    /// Plan-up points to this true azimuth, so the plan is turned clockwise by it.
    pub fn point(&self, p: Pt) -> DVec2 {
        DVec2::from_angle(-self.turn).rotate(DVec2::new(p.0, p.1))
    }

    fn outline(&self, outline: &[Pt]) -> Vec<DVec2> {
        outline.iter().map(|p| self.point(*p)).collect()
    }

    fn facet(&mut self, corners: &[DVec3], reflectance: f64) {
        for k in 1..corners.len() - 1 {
            self.triangles.push(Triangle {
                a: corners[0],
                ab: corners[k] - corners[0],
                ac: corners[k + 1] - corners[0],
                reflectance,
            });
        }
    }

    /// Upright sides over an outline, and flat ends over convex ones or an L that is star-shaped about corner 0.
    fn prism(&mut self, outline: &[DVec2], low: f64, high: f64, reflectance: f64) {
        let n = outline.len();
        for i in 0..n {
            let (a, b) = (outline[i], outline[(i + 1) % n]);
            let side = [a.extend(low), b.extend(low), b.extend(high), a.extend(high)];
            self.facet(&side, reflectance);
        }
        for z in [low, high] {
            let flat: Vec<DVec3> = outline.iter().map(|p| p.extend(z)).collect();
            self.facet(&flat, reflectance);
        }
    }

    fn building(&mut self, b: &Building) {
        let plan = self.outline(&b.outline);
        self.prism(&plan, b.base_m, b.wall_top_m, b.reflectance);
        if matches!(b.roof, Roof::Flat) && b.eaves_m <= 0.0 {
            return;
        }
        // Roofs are tried over rectangles only: x along the longer pair of sides.
        let middle = plan.iter().sum::<DVec2>() / plan.len() as f64;
        let (mut x, mut y) = ((plan[1] - plan[0]) / 2.0, (plan[2] - plan[1]) / 2.0);
        if y.length() > x.length() {
            (x, y) = (y, -x);
        }
        x += x.normalize() * b.eaves_m;
        y += y.normalize() * b.eaves_m;
        let top = b.wall_top_m;
        let at = |s: f64, t: f64, z: f64| (middle + x * s + y * t).extend(z);
        let rim = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)];
        let under: Vec<DVec3> = rim.iter().map(|(s, t)| at(*s, *t, top)).collect();
        match b.roof {
            Roof::Flat => {
                let slab: Vec<DVec2> = under.iter().map(|p| p.truncate()).collect();
                self.prism(&slab, top, top + 0.12, ROOFING);
            }
            Roof::Gable { ridge_m } | Roof::Hip { ridge_m } => {
                // Hips have the pitch of the long sides, so they take as much length as half the width.
                let end = match b.roof {
                    Roof::Hip { .. } => 1.0 - y.length() / x.length(),
                    _ => 1.0,
                };
                let ridge = [at(-end, 0.0, ridge_m), at(end, 0.0, ridge_m)];
                self.facet(&under, ROOFING);
                self.facet(&[under[0], under[1], ridge[1], ridge[0]], ROOFING);
                self.facet(&[under[2], under[3], ridge[0], ridge[1]], ROOFING);
                self.facet(&[under[1], under[2], ridge[1]], ROOFING);
                self.facet(&[under[3], under[0], ridge[0]], ROOFING);
            }
            Roof::Lean {
                high_m,
                towards_deg,
            } => {
                let azimuth = towards_deg.to_radians() + self.turn;
                let up = DVec2::new(azimuth.sin(), azimuth.cos());
                let along: Vec<f64> = under.iter().map(|p| p.truncate().dot(up)).collect();
                let low = along.iter().copied().fold(f64::INFINITY, f64::min);
                let high = along.iter().copied().fold(f64::NEG_INFINITY, f64::max);
                let over: Vec<DVec3> = under
                    .iter()
                    .zip(&along)
                    .map(|(p, d)| *p + DVec3::Z * ((high_m - top) * (d - low) / (high - low)))
                    .collect();
                self.facet(&under, ROOFING);
                self.facet(&over, ROOFING);
                for i in 0..4 {
                    let j = (i + 1) % 4;
                    self.facet(&[under[i], under[j], over[j], over[i]], ROOFING);
                }
            }
        }
    }

    fn veil(&mut self, form: Form, law: Law, otherwise: Option<Law>, months: Months) -> &mut Veil {
        self.veils.push(Veil {
            form,
            in_season: law,
            otherwise,
            months,
            scatters: 0.0,
        });
        self.veils.last_mut().unwrap()
    }

    fn canopy(&mut self, c: &Canopy) {
        let plan = self.outline(&c.outline);
        if c.passes <= 0.0 && c.months.is_all() {
            self.prism(&plan, c.height_m, c.height_m + c.thickness_m, CANOPY);
        } else {
            let form = Form::Level(plan, c.height_m);
            self.veil(form, Law::Deep(c.passes), None, c.months);
        }
    }

    fn screen(&mut self, s: &Screen) {
        let line = self.outline(&s.line);
        for w in line.windows(2) {
            if s.porosity <= 0.0 && s.bare_porosity.is_none() {
                let side = (w[1] - w[0]).perp().normalize() * (s.thickness_m / 2.0);
                let plan = [w[0] - side, w[1] - side, w[1] + side, w[0] + side];
                self.prism(&plan, s.base_m, s.top_m, s.reflectance);
                continue;
            }
            let law = |p: f64| match s.kind {
                ScreenKind::Fence => Law::Share(p),
                _ => Law::Deep(p),
            };
            let form = Form::Upright(w[0], w[1], s.base_m, s.top_m);
            let months = if s.bare_porosity.is_some() {
                s.leaf_months
            } else {
                Months::ALL
            };
            self.veil(form, law(s.porosity), s.bare_porosity.map(law), months);
        }
    }

    fn tree(&mut self, t: &Tree) {
        let half = (t.top_m - t.crown_base_m) / 2.0;
        let middle = self.point(t.at).extend(t.crown_base_m + half);
        let form = Form::Ellipsoid(middle, DVec3::new(t.crown_radius_m, t.crown_radius_m, half));
        // Beer's law: half of the leaf area faces a beam, leaves clump to 0.7, the crown is 4/3 of its half height
        // deep in the mean.
        let leaves = Law::Leaves(0.5 * 0.7 * t.leaf_area_index / (4.0 / 3.0 * half));
        match t.leafing {
            Leafing::Evergreen => self.veil(form, leaves, None, Months::ALL),
            Leafing::Deciduous { months } => {
                let twigs = Law::Leaves(0.5 * 0.5 / (4.0 / 3.0 * half));
                self.veil(form, leaves, Some(twigs), months)
            }
        };
    }

    fn cloth(&mut self, c: &Cloth) {
        let plan = self.outline(&c.outline);
        let open = 1.0 - c.shade_pct / 100.0;
        let law = match c.weave {
            Weave::Knitted => Law::Deep(open),
            Weave::Woven => Law::Share(open),
        };
        let threads = match c.colour {
            ClothColour::Black => 0.05,
            ClothColour::Green => 0.15,
            ClothColour::White => 0.45,
            ClothColour::Aluminised => 0.5,
        };
        if c.drop_m > 0.0 {
            for i in 0..plan.len() {
                let (a, b) = (plan[i], plan[(i + 1) % plan.len()]);
                let form = Form::Upright(a, b, (c.height_m - c.drop_m).max(0.0), c.height_m);
                self.veil(form, law, None, c.months);
            }
        }
        self.veil(Form::Level(plan, c.height_m), law, None, c.months)
            .scatters = 0.3 * threads * (1.0 - open);
    }

    /// Nearest solid triangle or the ground.
    fn nearest(&self, from: DVec3, dir: DVec3) -> Option<(f64, DVec3, f64)> {
        let mut best: Option<(f64, DVec3, f64)> = None;
        for t in &self.triangles {
            if let Some(at) = t.hit(from, dir)
                && best.is_none_or(|b| at < b.0)
            {
                let n = t.ab.cross(t.ac).normalize();
                best = Some((at, if n.dot(dir) > 0.0 { -n } else { n }, t.reflectance));
            }
        }
        let down = -from.z / dir.z;
        if dir.z < 0.0 && down > 1e-6 && best.is_none_or(|b| down < b.0) {
            let p = (from + dir * down).truncate();
            let reflectance = self
                .grounds
                .iter()
                .find(|(outline, _)| within(outline, p))
                .map_or(LAWN, |g| g.1);
            best = Some((down, DVec3::Z, reflectance));
        }
        best
    }

    /// Share of light from outside along a line that arrives, in a month.
    pub fn share(&self, month0: usize, from: DVec3, dir: DVec3) -> f64 {
        if self.triangles.iter().any(|t| t.hit(from, dir).is_some()) {
            return 0.0;
        }
        self.veils
            .iter()
            .filter_map(|v| {
                let (_, cos, chord) = v.hit(from, dir)?;
                Some(v.law(month0)?.share(cos, chord))
            })
            .product()
    }

    /// Light thrown back along a line, summed over the month, by one random path; the sky's own only past the first
    /// meeting.
    pub fn thrown(&self, sky: &MonthSky, from: DVec3, dir: DVec3, dice: &mut Dice) -> f64 {
        self.along(sky, from, dir, dice, 0)
    }

    fn along(&self, sky: &MonthSky, from: DVec3, dir: DVec3, dice: &mut Dice, depth: usize) -> f64 {
        let hit = self.nearest(from, dir);
        let reach = hit.map_or(f64::INFINITY, |h| h.0);
        let mut met: Vec<(f64, f64, f64)> = self
            .veils
            .iter()
            .filter_map(|v| {
                let law = v.law(sky.month0)?;
                let (at, cos, chord) = v.hit(from, dir)?;
                (at < reach).then(|| (at, law.share(cos, chord), v.scatters))
            })
            .collect();
        met.sort_by(|a, b| a.0.total_cmp(&b.0));
        let (mut light, mut share) = (0.0, 1.0);
        for (at, passes, scatters) in met {
            if scatters > 0.0 && dir.z > 0.0 && depth < 8 {
                let p = from + dir * at + DVec3::Z * 1e-4;
                light += share * scatters * self.falling_on(sky, p, DVec3::Z, dice, depth + 1);
            }
            share *= passes;
        }
        match hit {
            None if depth > 0 && dir.z > 0.0 => light + share * sky.radiance(dir),
            None => light,
            Some(_) if depth >= 8 => light,
            Some((at, normal, reflectance)) => {
                let p = from + dir * at + normal * 1e-4;
                light + share * reflectance * self.falling_on(sky, p, normal, dice, depth + 1)
            }
        }
    }

    /// Light on a surface over π, by beams and a line drawn at random.
    fn falling_on(
        &self,
        sky: &MonthSky,
        p: DVec3,
        normal: DVec3,
        dice: &mut Dice,
        depth: usize,
    ) -> f64 {
        let mut light = 0.0;
        let all = sky.so_far.last().copied().unwrap_or(0.0);
        // The first meeting counts most: there more beams are drawn.
        let draws = if depth == 1 { 6 } else { 1 };
        for k in 0..draws {
            let drawn = all * (f64::from(k) + dice.unit()) / f64::from(draws);
            let k = sky.so_far.partition_point(|s| *s <= drawn);
            let Some((dir, _)) = sky.beams.get(k) else {
                continue;
            };
            let cos = dir.dot(normal);
            if cos > 0.0 {
                light += all * cos * self.share(sky.month0, p, *dir) / PI / f64::from(draws);
            }
        }
        let (sin2, turn) = (dice.unit(), dice.roll(0.0, TAU));
        let u = normal.any_orthonormal_vector();
        let v = normal.cross(u);
        let dir = (u * turn.cos() + v * turn.sin()) * sin2.sqrt() + normal * (1.0 - sin2).sqrt();
        light + self.along(sky, p, dir, dice, depth)
    }

    /// What a level point sees: rays evenly over the dome, one in each of `rows` × `columns` cells. One in two is
    /// followed on for light thrown back, which is the smaller part.
    pub fn level(
        &self,
        sky: &MonthSky,
        at: DVec3,
        (rows, columns): (usize, usize),
        dice: &mut Dice,
    ) -> Level {
        let n = rows * columns;
        let sr = TAU / n as f64;
        let mut seen = Level::default();
        for k in 0..n {
            let sin = ((k / columns) as f64 + dice.unit()) / rows as f64;
            let turn = ((k % columns) as f64 + dice.unit()) / columns as f64 * TAU;
            let cos = (1.0 - sin * sin).sqrt();
            let dir = DVec3::new(turn.sin() * cos, turn.cos() * cos, sin);
            let share = self.share(sky.month0, at, dir);
            seen.by_angle += share / n as f64;
            seen.by_cosine += 2.0 * sin * share / n as f64;
            seen.sky += sr * sin * share * sky.radiance(dir);
            if (k / columns + k % columns) % 2 == 0 {
                seen.thrown += 2.0 * sr * sin * self.thrown(sky, at, dir, dice);
            }
        }
        seen
    }
}

/// Light of a month on a level place, and shares of the dome.
#[derive(Default)]
pub struct Level {
    pub by_angle: f64,
    pub by_cosine: f64,
    /// Straight from the sky.
    pub sky: f64,
    pub thrown: f64,
}
