//! The drawing as bodies that rays meet.

pub(crate) mod build;
pub(crate) mod bvh;
pub(crate) mod fan;
pub(crate) mod outline;
pub(crate) mod outlook;
pub(crate) mod soft;
pub(crate) mod solid;

use std::{collections::BTreeMap, sync::Arc};

use glam::{DVec2, Vec3};

use super::room::Enclosure;
use crate::{
    base::{Id, Pt},
    site::{Site, edit::ObjectKind},
};
use bvh::Bvh;
pub(crate) use bvh::Ray;
use fan::Fan;
use outline::Turn;
use outlook::Outlook;
use soft::Soft;
use solid::Solid;

/// Throws back as much as short grass where nothing is drawn on the ground.
const LAWN: f32 = 0.22;

/// The drawing as solid, thin and leafy bodies that rays meet, in true directions: x east, y north, z up, metres.
#[derive(Clone, Debug, Default)]
pub struct Scene {
    pub(crate) turn: Turn,
    pub(crate) solids: Vec<Solid>,
    solid_tree: Bvh,
    /// Pieces of each mass.
    masses: Vec<Vec<u32>>,
    pub(crate) softs: Vec<Soft>,
    soft_tree: Bvh,
    /// Whether soft body `s` lets through by its first law in state `k`: bit `k`.
    soft_on: Vec<u16>,
    /// Months in which the same leaves are out and the same cloths are up share a state.
    pub(crate) state_of_month: [u8; 12],
    pub(crate) states: usize,
    grounds: Vec<(Vec<DVec2>, f32)>,
    pub(crate) rooms: Vec<Arc<Enclosure>>,
    pub(crate) room_ids: BTreeMap<Id, usize>,
    /// The drawn objects that bodies were made from.
    pub(crate) origins: Vec<(ObjectKind, Id)>,
    pub(crate) origin_of_mass: Vec<u16>,
}

/// Bodies whose hold on a ray is lifted because it starts inside them: it comes out of their window.
#[derive(Clone, Debug, Default)]
pub(crate) struct Own {
    pub masses: Vec<u16>,
    pub room: Option<u16>,
    /// Through a glazed roof the mass's own roof is lifted too.
    pub with_roof: bool,
}

pub(crate) const NO_OWN: Own = Own {
    masses: Vec::new(),
    room: None,
    with_roof: false,
};

/// Share let through in each state.
pub(crate) type Shares = [f32; 12];

/// A solid's face met by a ray.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Hit {
    pub at: f32,
    pub solid: u32,
    pub face: u16,
}

/// A coloured cloth on a ray's way, and what reached it of the ray's weight.
#[derive(Clone, Copy, Debug)]
pub(crate) struct ClothPass {
    pub soft: u32,
    pub at: f32,
    pub before: Shares,
}

const SLACK: f32 = 1e-3;

impl Scene {
    #[must_use]
    pub fn of(site: &Site) -> Self {
        build::scene(site)
    }

    /// Share of light along a line that comes through in a month (0..12), from a plan point at a height above the
    /// ground (m) towards a true azimuth and an elevation (radians), 0..=1. Outdoors only: windows are not looked
    /// through.
    #[must_use]
    pub fn clear_share(
        &self,
        month0: usize,
        from: Pt,
        height_m: f64,
        azimuth_rad: f64,
        elevation_rad: f64,
    ) -> f64 {
        let from = self.turn.point(from).extend(height_m).as_vec3();
        let ray = Ray::new(from, towards(azimuth_rad, elevation_rad));
        f64::from(self.beam_share(&ray, &NO_OWN, self.state_of_month[month0 % 12].into()))
    }

    /// [`Self::clear_share`] along many lines from one place at once, much faster than one by one.
    #[must_use]
    pub fn clear_shares(
        &self,
        month0: usize,
        from: Pt,
        height_m: f64,
        directions: &Directions,
    ) -> Vec<f32> {
        let from = self.turn.point(from).extend(height_m).as_vec3();
        let fan = &directions.0;
        let states = vec![u16::from(self.state_of_month[month0 % 12]); fan.len()];
        Outlook::default().beams(self, fan, &states, from)
    }

    /// How far a ray that starts inside its own masses is lifted out of them.
    fn skip(&self, ray: &Ray, own: &Own) -> f32 {
        let mut skip = 0.0_f32;
        if own.masses.is_empty() {
            return skip;
        }
        loop {
            let before = skip;
            for piece in own
                .masses
                .iter()
                .filter_map(|m| self.masses.get(usize::from(*m)))
                .flatten()
                .filter_map(|i| self.solids.get(*i as usize))
                .filter(|p| own.with_roof || !p.roof)
            {
                if let Some(span) = piece.span(ray.from, ray.dir)
                    && span.enter <= skip + 2.0 * SLACK
                    && span.leave > skip
                {
                    skip = span.leave;
                }
            }
            if skip <= before + 1e-5 {
                return skip;
            }
        }
    }

    #[inline]
    fn stops(&self, index: usize, ray: &Ray, own: &Own, skip: f32) -> Option<(f32, usize)> {
        let piece = &self.solids[index];
        let span = piece.span(ray.from, ray.dir)?;
        let start = if skip > 0.0 && own.masses.contains(&piece.mass) {
            skip
        } else {
            0.0
        };
        let enter = span.enter.max(start);
        (span.leave > enter + SLACK).then_some((enter, span.face))
    }

    /// Whether a solid stands in the way.
    #[inline]
    pub(crate) fn blocked(&self, ray: &Ray, own: &Own) -> bool {
        let skip = self.skip(ray, own);
        let mut blocked = false;
        self.solid_tree
            .walk(ray, &mut f32::INFINITY.clone(), |i, _| {
                blocked = self.stops(i, ray, own, skip).is_some();
                blocked
            });
        blocked
    }

    /// The nearest solid.
    pub(crate) fn nearest(&self, ray: &Ray, own: &Own) -> Option<Hit> {
        let skip = self.skip(ray, own);
        let mut reach = f32::INFINITY;
        let mut hit: Option<Hit> = None;
        self.solid_tree.walk(ray, &mut reach, |i, reach| {
            if let Some((at, face)) = self.stops(i, ray, own, skip)
                && (at < *reach || (at == *reach && hit.is_none_or(|h| (i as u32) < h.solid)))
            {
                *reach = at;
                hit = Some(Hit {
                    at,
                    solid: i as u32,
                    face: face as u16,
                });
            }
            false
        });
        hit
    }

    /// Share let through by soft bodies nearer than `reach`, in one state.
    #[inline]
    pub(crate) fn soft_share(&self, ray: &Ray, own: &Own, state: usize, reach: f32) -> f32 {
        let mut share = 1.0;
        self.soft_tree.walk(ray, &mut reach.clone(), |i, _| {
            if let Some(m) = self.meets(i, ray, own)
                && m.at < reach
            {
                share *= self
                    .law(i, state)
                    .map_or(1.0, |law| law.share(m.cos, m.chord));
            }
            share <= 0.0
        });
        share
    }

    /// Share of a beam that comes through to the ray's start in one state.
    #[inline]
    pub(crate) fn beam_share(&self, ray: &Ray, own: &Own, state: usize) -> f32 {
        if self.blocked(ray, own) {
            0.0
        } else if self.softs.is_empty() {
            1.0
        } else {
            self.soft_share(ray, own, state, f32::INFINITY)
        }
    }

    /// What stands on a ray's way: the share that comes through in one state, and the object that takes most of it.
    pub(crate) fn seen_along(&self, ray: &Ray, own: &Own, state: usize) -> (f32, Option<u16>) {
        if let Some(hit) = self.nearest(ray, own) {
            let mass = self.solids.get(hit.solid as usize).map(|s| s.mass);
            let origin = mass.and_then(|m| self.origin_of_mass.get(usize::from(m)));
            return (0.0, origin.copied());
        }
        let (mut share, mut least, mut by) = (1.0, 1.0, None);
        for (i, soft) in self.softs.iter().enumerate() {
            if let (Some(m), Some(law)) = (self.meets(i, ray, own), self.law(i, state)) {
                let passes = law.share(m.cos, m.chord);
                share *= passes;
                if passes < least {
                    (least, by) = (passes, Some(soft.origin));
                }
            }
        }
        (share, by)
    }

    /// Multiplies `shares` by what soft bodies nearer than `reach` let through in each state; tells of coloured
    /// cloths on the way. Answers whether anything was met.
    pub(crate) fn soften(
        &self,
        ray: &Ray,
        own: &Own,
        reach: f32,
        shares: &mut Shares,
        mut cloth: impl FnMut(ClothPass),
    ) -> bool {
        if self.softs.is_empty() {
            return false;
        }
        let mut met: Vec<(f32, usize, soft::Meeting)> = Vec::new();
        self.soft_tree.walk(ray, &mut reach.clone(), |i, _| {
            if let Some(m) = self.meets(i, ray, own)
                && m.at < reach
            {
                met.push((m.at, i, m));
            }
            false
        });
        if met.is_empty() {
            return false;
        }
        met.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        for (at, i, m) in met {
            if self.softs[i].scatters > 0.0 {
                let mut before = *shares;
                for (state, share) in before.iter_mut().enumerate().take(self.states) {
                    if self.soft_on[i] >> state & 1 == 0 {
                        *share = 0.0;
                    }
                }
                cloth(ClothPass {
                    soft: i as u32,
                    at,
                    before,
                });
            }
            for (state, share) in shares.iter_mut().enumerate().take(self.states) {
                if let Some(law) = self.law(i, state) {
                    *share *= law.share(m.cos, m.chord);
                }
            }
        }
        true
    }

    #[inline]
    fn meets(&self, index: usize, ray: &Ray, own: &Own) -> Option<soft::Meeting> {
        let soft = &self.softs[index];
        if soft.room.is_some() && soft.room == own.room {
            return None;
        }
        soft.shape.meet(ray.from, ray.dir)
    }

    /// Whether a soft body's first law holds in a state: its leaves are out, the cloth is up.
    #[inline]
    pub(crate) fn is_on(&self, index: usize, state: usize) -> bool {
        self.soft_on[index] >> state & 1 == 1
    }

    #[inline]
    pub(crate) fn law(&self, index: usize, state: usize) -> Option<soft::Passes> {
        if self.is_on(index, state) {
            Some(self.softs[index].passes)
        } else {
            self.softs[index].or
        }
    }

    /// Whether a point lies inside a solid.
    pub(crate) fn buried(&self, p: Vec3) -> bool {
        self.solids
            .iter()
            .any(|s| s.bounds.lo.cmple(p).all() && s.bounds.hi.cmpge(p).all() && s.holds(p))
    }

    /// Masses in which a point lies, ascending.
    pub(crate) fn masses_at(&self, p: Vec3) -> Vec<u16> {
        let mut found: Vec<u16> = self
            .solids
            .iter()
            .filter(|s| !s.roof && s.holds(p))
            .map(|s| s.mass)
            .collect();
        found.sort_unstable();
        found.dedup();
        found
    }

    /// How far inside these masses a ray runs from its start, m.
    pub(crate) fn depth(&self, ray: &Ray, masses: &[u16]) -> f32 {
        self.skip(
            ray,
            &Own {
                masses: masses.to_vec(),
                ..Own::default()
            },
        )
    }

    pub(crate) fn ground_reflectance(&self, p: Vec3) -> f32 {
        let p = DVec2::new(p.x.into(), p.y.into());
        self.grounds
            .iter()
            .find(|(corners, _)| outline::contains(corners, p))
            .map_or(LAWN, |(_, r)| *r)
    }

    /// The room that a spot or point names, if it is drawn.
    pub(crate) fn room(&self, id: Option<&Id>) -> Option<&Arc<Enclosure>> {
        self.room_ids.get(id?).and_then(|i| self.rooms.get(*i))
    }
}

/// Directions made ready for [`Scene::clear_shares`]; they serve for any place.
#[derive(Clone, Debug)]
pub struct Directions(Fan);

impl Directions {
    /// From true azimuths and elevations, radians.
    #[must_use]
    pub fn of(angles_rad: &[(f64, f64)]) -> Self {
        let directions: Vec<Vec3> = angles_rad
            .iter()
            .map(|(azimuth, elevation)| towards(*azimuth, *elevation))
            .collect();
        Self(Fan::of(&directions))
    }
}

/// Unit vector towards a true azimuth and an elevation.
pub(crate) fn towards(azimuth_rad: f64, elevation_rad: f64) -> Vec3 {
    let (sin, cos) = elevation_rad.sin_cos();
    Vec3::new(
        (azimuth_rad.sin() * cos) as f32,
        (azimuth_rad.cos() * cos) as f32,
        sin as f32,
    )
}
