//! Directions sorted so that those which one body can hide lie together.

use std::ops::Range;

use glam::Vec3;

use super::bvh::Box3;

/// Directions that are worked on at once.
pub const LANES: usize = 16;
/// Bands from straight down to straight up, of equal angles, and sectors all round, of nearly equal ones: a body's
/// stretch of a band should fill the lanes.
const COARSE: (usize, usize) = (12, 32);
const FINE: (usize, usize) = (32, 64);
/// Steps of sines by which bands are found.
const STEPS: usize = 64;
/// From so many directions on the division is the fine one.
const MANY: usize = 3_000;

/// Directions, band by band from below, in each from north by east. The lists are filled up to whole [`LANES`].
#[derive(Clone, Debug)]
pub struct Fan {
    pub x: Vec<f32>,
    pub y: Vec<f32>,
    pub z: Vec<f32>,
    /// Which of the directions given stands at each place.
    pub source: Vec<u32>,
    sectors: usize,
    /// Where each sector of each band begins, and the end.
    starts: Vec<u32>,
    /// Sines of the bands' lower ends.
    floors: Vec<f32>,
    /// The lowest band in each of equal steps of sines.
    first_bands: [u8; STEPS],
}

/// The part of a fan in which a body lies.
#[derive(Clone, Copy, Debug)]
pub struct Part {
    pub bands: (usize, usize),
    sectors: (usize, usize),
}

impl Fan {
    pub fn of(directions: &[Vec3]) -> Self {
        let (bands, sectors) = if directions.len() < MANY {
            COARSE
        } else {
            FINE
        };
        let floors: Vec<f32> = (0..bands)
            .map(|k| {
                let angle = (k as f64 / bands as f64 - 0.5) * std::f64::consts::PI;
                angle.sin() as f32
            })
            .collect();
        let bin = |d: &Vec3| {
            let band = floors.partition_point(|f| *f <= d.z).max(1) - 1;
            band * sectors + sector(turn(d.x, d.y), sectors)
        };
        let mut order: Vec<(u32, u32)> = directions
            .iter()
            .enumerate()
            .map(|(i, d)| (bin(d) as u32, i as u32))
            .collect();
        order.sort_unstable();
        let starts = (0..=bands * sectors)
            .map(|k| order.partition_point(|(bin, _)| (*bin as usize) < k) as u32)
            .collect();
        let filled = order.len().next_multiple_of(LANES);
        let along = |of: fn(Vec3) -> f32| {
            let mut list: Vec<f32> = order
                .iter()
                .map(|(_, i)| of(directions[*i as usize]))
                .collect();
            list.resize(filled, 0.0);
            list
        };
        Self {
            x: along(|d| d.x),
            y: along(|d| d.y),
            z: along(|d| d.z),
            source: order.iter().map(|(_, i)| *i).collect(),
            sectors,
            starts,
            first_bands: std::array::from_fn(|k| {
                let sine = k as f32 / STEPS as f32 * 2.0 - 1.0;
                floors.partition_point(|f| *f <= sine).saturating_sub(1) as u8
            }),
            floors,
        }
    }

    pub fn len(&self) -> usize {
        self.source.len()
    }

    /// The lists' length, filled up.
    pub fn filled(&self) -> usize {
        self.x.len()
    }

    pub fn direction(&self, i: usize) -> Vec3 {
        Vec3::new(self.x[i], self.y[i], self.z[i])
    }

    /// The band in which directions of a sine lie.
    #[inline(always)]
    fn band(&self, sine: f32) -> usize {
        let step = ((sine + 1.0) * (STEPS as f32 / 2.0)) as usize;
        let mut band = usize::from(self.first_bands[step.min(STEPS - 1)]);
        while self.floors.get(band + 1).is_some_and(|f| *f <= sine) {
            band += 1;
        }
        band
    }

    /// Where a box lies as seen from a place.
    #[inline(always)]
    pub fn part(&self, bounds: &Box3, from: Vec3) -> Part {
        let (lo, hi) = (bounds.lo - from, bounds.hi - from);
        let (nx, ny) = (lo.x.max(-hi.x).max(0.0), lo.y.max(-hi.y).max(0.0));
        let near = (nx * nx + ny * ny).sqrt();
        let (fx, fy) = (hi.x.max(-lo.x), hi.y.max(-lo.y));
        let far = (fx * fx + fy * fy).sqrt();
        let sine = |z: f32, flat: f32| z / (z * z + flat * flat).sqrt().max(1e-9);
        let low = sine(lo.z, if lo.z > 0.0 { far } else { near });
        let high = sine(hi.z, if hi.z > 0.0 { near } else { far });
        let band = |s: f32| self.band(s);
        let sectors = if near <= 0.0 {
            (0, self.sectors - 1)
        } else {
            // The corners by the turn from the middle, which is less than half a turn away from any.
            let middle = turn(lo.x + hi.x, lo.y + hi.y);
            let (mut left, mut right) = (0.0_f32, 0.0_f32);
            for (x, y) in [(lo.x, lo.y), (lo.x, hi.y), (hi.x, lo.y), (hi.x, hi.y)] {
                let mut off = turn(x, y) - middle;
                off += if off < -2.0 { 4.0 } else { 0.0 };
                off -= if off > 2.0 { 4.0 } else { 0.0 };
                left = left.min(off);
                right = right.max(off);
            }
            let wrap = |t: f32| {
                if t < 0.0 {
                    t + 4.0
                } else if t >= 4.0 {
                    t - 4.0
                } else {
                    t
                }
            };
            (
                sector(wrap(middle + left), self.sectors),
                sector(wrap(middle + right), self.sectors),
            )
        };
        Part {
            bands: (band(low - 1e-5), band(high + 1e-5)),
            sectors,
        }
    }

    /// The stretches of the lists that make up a part's share of a band; no place comes twice.
    #[inline(always)]
    pub fn stretches(&self, part: Part, band: usize) -> [Range<usize>; 2] {
        let (first, last) = part.sectors;
        let at = |sector: usize| {
            let at = self.starts.get(band * self.sectors + sector);
            at.copied().unwrap_or_default() as usize
        };
        if first > last {
            [at(0)..at(last + 1), at(first)..at(self.sectors)]
        } else {
            [at(first)..at(last + 1), 0..0]
        }
    }
}

/// The direction on the plan, 0..4 from north by east: grows with the azimuth, if not evenly, and needs no arc
/// tangent. Opposite directions differ by 2.
#[inline(always)]
fn turn(x: f32, y: f32) -> f32 {
    let t = x / (x.abs() + y.abs()).max(1e-20);
    if y >= 0.0 {
        if t < 0.0 { t + 4.0 } else { t }
    } else {
        2.0 - t
    }
}

#[inline(always)]
fn sector(turn: f32, sectors: usize) -> usize {
    ((turn * (sectors as f32 / 4.0)) as usize).min(sectors - 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn directions() -> Vec<Vec3> {
        (0..4000)
            .map(|k| {
                let z = (k as f32 + 0.5) / 2000.0 - 1.0;
                let flat = (1.0 - z * z).sqrt();
                let (sin, cos) = (k as f32 * 2.399_963).sin_cos();
                Vec3::new(sin * flat, cos * flat, z)
            })
            .collect()
    }

    #[test]
    fn every_direction_towards_a_box_lies_in_its_part() {
        let fan = Fan::of(&directions());
        let mut seen = 0;
        for k in 0..200 {
            let f = |n: usize| ((k * 7 + n * 131) % 97) as f32 / 97.0;
            let lo = Vec3::new(f(1) * 20.0 - 10.0, f(2) * 20.0 - 10.0, f(3) * 6.0 - 3.0);
            let bounds = Box3 {
                lo,
                hi: lo + Vec3::new(f(4), f(5), f(6)) * 5.0 + 0.01,
            };
            let from = Vec3::new(f(7), f(8), f(9));
            let mut inside = vec![false; fan.len()];
            let part = fan.part(&bounds, from);
            for band in part.bands.0..=part.bands.1 {
                for i in fan.stretches(part, band).into_iter().flatten() {
                    assert!(!inside[i], "twice");
                    inside[i] = true;
                }
            }
            for (i, inside) in inside.iter().enumerate() {
                let d = fan.direction(i);
                let (a, b) = ((bounds.lo - from) / d, (bounds.hi - from) / d);
                let (enter, leave) = (a.min(b).max_element(), a.max(b).min_element());
                if enter.max(0.0) < leave {
                    seen += 1;
                    assert!(inside, "{k}: {d}");
                }
            }
        }
        assert!(seen > 1_000, "{seen}");
    }

    #[test]
    fn turns_grow_with_the_azimuth() {
        let mut last = -1.0;
        for k in 0..720 {
            let (sin, cos) = (k as f32 / 720.0 * std::f32::consts::TAU).sin_cos();
            let t = turn(sin, cos);
            assert!(t > last && t < 4.0, "{k}: {t}");
            last = t;
        }
    }
}
