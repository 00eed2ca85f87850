//! Rays that only the patches of the sky and the places of the sun decide, made once for all places.

use std::sync::{Arc, LazyLock};

use glam::Vec3;

use super::{
    dome::{Dome, DomeRay},
    scene::fan::Fan,
};
use crate::sky::{self, Patch};

/// A direction in which a place outdoors looks.
#[derive(Clone, Copy, Debug)]
pub struct Look {
    /// Patch of the sky; none below the horizon.
    pub patch: Option<u16>,
    pub sr: f32,
    /// Solid angle for which it stands where it meets a surface: of the many rays upwards some do for all.
    pub surface_sr: f32,
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
    pub fn of(patches: &[Patch]) -> Arc<Self> {
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

pub fn sorted<T: Copy>(directions: Vec<(Vec3, T)>) -> (Fan, Vec<T>) {
    let (dirs, what): (Vec<Vec3>, Vec<T>) = directions.into_iter().unzip();
    let fan = Fan::of(&dirs);
    let what = fan.source.iter().map(|i| what[*i as usize]).collect();
    (fan, what)
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
