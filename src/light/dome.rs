//! Rays spread over the sky's patches.

use std::f64::consts::TAU;

use glam::Vec3;

use crate::sky::Patch;

/// Patches by rows of equal elevation, found from their middles and solid angles.
#[derive(Clone, Debug, Default)]
pub struct Dome {
    rows: Vec<Row>,
    pub patches: usize,
    /// Four neighbouring patches make a group, fine enough for light that surfaces throw on.
    pub groups: usize,
    pub group_of: Vec<u16>,
    /// Each group's patches, and the share of its solid angle that each has.
    members: Vec<[(u16, f32); 4]>,
}

#[derive(Clone, Debug)]
struct Row {
    sin_low: f64,
    sin_high: f64,
    /// Azimuth at which the first patch begins, and the width of each.
    first: f64,
    width: f64,
    /// In the order of azimuth.
    patches: Vec<u16>,
    /// Cosine-weighted solid angle that the sky gives each patch.
    level_sr: f64,
}

/// A ray that stands for part of the sky.
#[derive(Clone, Copy, Debug)]
pub struct DomeRay {
    pub dir: Vec3,
    pub patch: u16,
    /// Solid angle it stands for.
    pub sr: f32,
}

impl Dome {
    pub fn of(patches: &[Patch]) -> Self {
        let azimuth = |p: &Patch| p.direction.x.atan2(p.direction.y).rem_euclid(TAU);
        let mut order: Vec<usize> = (0..patches.len()).collect();
        order.sort_by(|a, b| {
            let (p, q) = (&patches[*a], &patches[*b]);
            // Rounded, so that the patches of a row aren't told apart by their last bits.
            let level = |p: &Patch| (p.direction.z * 1e5).round() as i64;
            level(p)
                .cmp(&level(q))
                .then(azimuth(p).total_cmp(&azimuth(q)))
        });
        let mut rows: Vec<Row> = Vec::new();
        let mut low = 0.0;
        let mut rest = order.as_slice();
        while let Some(first) = rest.first() {
            let z = patches[*first].direction.z;
            let n = rest
                .iter()
                .take_while(|i| (patches[**i].direction.z - z).abs() < 2e-5)
                .count();
            let (row, after) = rest.split_at(n);
            let sr: f64 = row.iter().map(|i| patches[*i].solid_angle_sr).sum();
            let high = if after.is_empty() {
                1.0
            } else {
                (low + sr / TAU).min(1.0)
            };
            let width = TAU / n as f64;
            rows.push(Row {
                sin_low: low,
                sin_high: high,
                first: azimuth(&patches[*first]) - width / 2.0,
                width,
                patches: row.iter().map(|i| *i as u16).collect(),
                level_sr: z * patches[*first].solid_angle_sr,
            });
            low = high;
            rest = after;
        }
        let mut dome = Self {
            rows,
            patches: patches.len(),
            ..Self::default()
        };
        dome.group(patches);
        dome
    }

    /// Two by two in rows of equal length; what finds no partner stays alone.
    fn group(&mut self, patches: &[Patch]) {
        let mut group_of = vec![0_u16; patches.len()];
        let mut next = 0_u16;
        let mut rest = self.rows.as_slice();
        while let Some((row, after)) = rest.split_first() {
            let n = row.patches.len();
            let (pair, after) = match after.split_first() {
                Some((upper, after)) if upper.patches.len() == n && n.is_multiple_of(2) => {
                    (vec![row, upper], after)
                }
                _ => (vec![row], after),
            };
            let side = pair.len();
            for row in pair {
                for (i, patch) in row.patches.iter().enumerate() {
                    group_of[usize::from(*patch)] = next + (i / side) as u16;
                }
            }
            next += (n / side) as u16;
            rest = after;
        }
        self.groups = usize::from(next);
        let mut whole = vec![0.0; self.groups];
        for (patch, group) in patches.iter().zip(&group_of) {
            whole[usize::from(*group)] += patch.solid_angle_sr;
        }
        self.members = vec![[(0, 0.0); 4]; self.groups];
        let mut filled = vec![0; self.groups];
        for (i, (patch, group)) in patches.iter().zip(&group_of).enumerate() {
            let g = usize::from(*group);
            self.members[g][filled[g]] = (i as u16, (patch.solid_angle_sr / whole[g]) as f32);
            filled[g] += 1;
        }
        self.group_of = group_of;
    }

    /// Mean radiance of each group. In the dark, where there is no radiance, nothing.
    pub fn blend(&self, radiance: &[f32], out: &mut [f32]) {
        if radiance.len() < self.patches {
            out.fill(0.0);
            return;
        }
        for (out, members) in out.iter_mut().zip(&self.members) {
            *out = members
                .iter()
                .map(|(patch, share)| radiance[usize::from(*patch)] * share)
                .sum();
        }
    }

    /// The patch in which a direction above the horizon lies.
    pub fn patch_of(&self, dir: Vec3) -> Option<usize> {
        let z = f64::from(dir.z);
        let k = self.rows.partition_point(|r| r.sin_high <= z);
        let row = self.rows.get(k.min(self.rows.len().checked_sub(1)?))?;
        let azimuth = f64::from(dir.x).atan2(f64::from(dir.y));
        let i = ((azimuth - row.first).rem_euclid(TAU) / row.width) as usize;
        row.patches
            .get(i.min(row.patches.len() - 1))
            .map(|p| usize::from(*p))
    }

    /// `side`² jittered rays in each patch, patch by patch; the same on every call. With four and more a side their
    /// solid angles are such that an open level place gets exactly what the sky says it gets.
    pub fn rays(&self, side: usize) -> Vec<DomeRay> {
        let mut rays: Vec<DomeRay> = Vec::with_capacity(self.patches * side * side);
        let mut noise = Noise(0x5eed);
        let n = side as f64;
        for row in &self.rows {
            let sr = row.width * (row.sin_high - row.sin_low) / (n * n);
            for (i, patch) in row.patches.iter().enumerate() {
                let begin = rays.len();
                for a in 0..side {
                    for b in 0..side {
                        let along = i as f64 + (a as f64 + noise.next()) / n;
                        let up = (b as f64 + noise.next()) / n;
                        let azimuth = row.first + row.width * along;
                        let sin = row.sin_low + (row.sin_high - row.sin_low) * up;
                        let cos = (1.0 - sin * sin).max(0.0).sqrt();
                        rays.push(DomeRay {
                            dir: Vec3::new(
                                (azimuth.sin() * cos) as f32,
                                (azimuth.cos() * cos) as f32,
                                sin as f32,
                            ),
                            patch: *patch,
                            sr: sr as f32,
                        });
                    }
                }
                let level: f64 = rays[begin..]
                    .iter()
                    .map(|r| f64::from(r.dir.z * r.sr))
                    .sum();
                // Few rays may all lie near the horizon; many hit the patch's mean within a percent.
                if side < 4 {
                    continue;
                }
                let scale = (row.level_sr / level.max(1e-12)) as f32;
                rays[begin..].iter_mut().for_each(|r| r.sr *= scale);
            }
        }
        rays
    }
}

/// Evenly spread numbers in 0..1, the same on every machine (splitmix64).
pub struct Noise(pub u64);

impl Noise {
    pub fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }
}
