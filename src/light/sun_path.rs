//! Where the sun stands between the hours of the table.

use glam::{DQuat, DVec3, Vec3};

use crate::{base::calendar::HOURS, site::Place, sun::SunTable};

/// Hourly means take the sun at this many moments.
pub const MOMENTS: usize = 3;

/// One hour with the sun up.
#[derive(Clone, Copy, Debug)]
pub struct SunHour {
    pub hour: usize,
    pub up_share: f32,
    /// True directions at moments spread over the part of the hour with the sun up.
    pub moments: [Vec3; MOMENTS],
}

/// The daylight hours of a year in order.
pub fn sun_hours(place: &Place, sun: &SunTable) -> Vec<SunHour> {
    let offset = |k: usize| (k as f64 + 0.5) / MOMENTS as f64 - 0.5;
    let whole: [DQuat; MOMENTS] = std::array::from_fn(|k| turned(place, offset(k)));
    (0..HOURS.min(sun.up_share.len()))
        .filter(|hour| sun.up_share[*hour] > 0.0)
        .filter_map(|hour| {
            let up_share = sun.up_share[hour];
            let middle = direction(sun, hour)?;
            Some(SunHour {
                hour,
                up_share,
                moments: std::array::from_fn(|k| {
                    let dir = if up_share == 1.0 {
                        whole[k] * middle
                    } else {
                        turned(place, offset(k) * f64::from(up_share)) * middle
                    };
                    DVec3::new(dir.x, dir.y, dir.z.max(1e-4)).as_vec3()
                }),
            })
        })
        .collect()
}

fn direction(sun: &SunTable, hour: usize) -> Option<DVec3> {
    let (azimuth, elevation) = (
        f64::from(*sun.azimuth_rad.get(hour)?),
        f64::from(*sun.elevation_rad.get(hour)?),
    );
    let (sin, cos) = elevation.sin_cos();
    Some(DVec3::new(azimuth.sin() * cos, azimuth.cos() * cos, sin))
}

/// Takes the sun to where it is `hours` later: a turn about the earth's axis. Its declination changes by less than
/// 0.02° an hour.
fn turned(place: &Place, hours: f64) -> DQuat {
    let (sin, cos) = place.latitude_deg.to_radians().sin_cos();
    let axis = DVec3::new(0.0, cos, sin);
    DQuat::from_axis_angle(axis, -(hours * 15.0).to_radians())
}

/// The sun's direction at a time of a day, local standard time, h.
pub fn direction_at(place: &Place, sun: &SunTable, day: usize, time_h: f64) -> Option<DVec3> {
    let hour = (time_h.floor() as usize).min(23) + day * 24;
    let up = |h: usize| sun.up_share.get(h).copied().map_or(0.0, f64::from);
    let share = up(hour);
    // The table holds the middle of the part of the hour with the sun up.
    let middle = if share <= 0.0 || share >= 1.0 {
        0.5
    } else if up(hour + 1) > 0.0 {
        1.0 - share / 2.0
    } else {
        share / 2.0
    };
    let at = (time_h.floor()).min(23.0) + middle;
    direction(sun, hour).map(|d| turned(place, time_h - at) * d)
}

/// True azimuth (0..2π) and elevation of a direction.
pub fn angles(dir: DVec3) -> (f64, f64) {
    (
        dir.x.atan2(dir.y).rem_euclid(std::f64::consts::TAU),
        dir.z.clamp(-1.0, 1.0).asin(),
    )
}
