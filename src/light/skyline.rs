//! The horizon as a spot sees it, for a diagram with the sun's paths.

use std::f64::consts::FRAC_PI_2;

use super::{
    Scene,
    scene::{NO_OWN, Own, Ray, towards},
};
use crate::base::{Id, Pt};

/// What stands between a place and the sky.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Skyline {
    /// For each whole degree of true azimuth: the elevation below which nothing but solid bodies is seen, degrees,
    /// 0..=90. Indoors the wall below the window counts.
    pub solid_deg: Vec<f32>,
    /// Where part of the light comes through or a solid body hangs above open sky.
    pub partial: Vec<Partial>,
}

/// A stretch of sky at one azimuth of which only part is seen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Partial {
    pub azimuth_deg: f32,
    pub from_deg: f32,
    pub to_deg: f32,
    /// Share of light let through, 0 (solid) ..=1.
    pub passes: f32,
}

const STEPS: usize = 180;

/// The horizon in a month (0..12) from a plan point at a height above the ground, m (in a room above its floor).
#[must_use]
pub fn skyline(scene: &Scene, month0: usize, at: Pt, height_m: f64, room: Option<&Id>) -> Skyline {
    let state = usize::from(scene.state_of_month[month0 % 12]);
    let room = scene.room(room);
    let floor = room.map_or(0.0, |r| r.floor);
    let at = scene.turn.point(at).extend(floor + height_m).as_vec3();
    let at = room.map_or(at, |r| r.drawn_in(at));
    let share = |azimuth: f64, elevation: f64| {
        let dir = towards(azimuth, elevation);
        let seen = |from, own: &Own| scene.beam_share(&Ray::new(from, dir), own, state);
        match room {
            None => seen(at, &NO_OWN),
            // The opening is what is looked through: glass counts as clear here.
            Some(room) => room
                .panes
                .iter()
                .find_map(|p| {
                    let way = p.way_out(at, dir)?;
                    room.reaches(at, p, &way).then(|| seen(way.at, &p.own))
                })
                .unwrap_or(0.0),
        }
    };
    let mut line = Skyline::default();
    for azimuth_deg in 0..360_u16 {
        let azimuth = f64::from(azimuth_deg).to_radians();
        let shares: Vec<f32> = (0..STEPS)
            .map(|k| share(azimuth, (k as f64 + 0.5) / STEPS as f64 * FRAC_PI_2))
            .collect();
        let height = |k: usize| (k as f64 / STEPS as f64 * 90.0) as f32;
        let first = shares.iter().position(|s| *s > 0.0).unwrap_or(STEPS);
        line.solid_deg.push(height(first));
        let mut k = first;
        while k < STEPS {
            let begin = k;
            let level = shares[begin];
            // Neighbours within a twentieth make one stretch.
            while k < STEPS && (shares[k] - level).abs() < 0.05 {
                k += 1;
            }
            if level < 0.995 {
                line.partial.push(Partial {
                    azimuth_deg: f32::from(azimuth_deg),
                    from_deg: height(begin),
                    to_deg: height(k),
                    passes: level,
                });
            }
        }
    }
    line
}
