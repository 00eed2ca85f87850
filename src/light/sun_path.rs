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

/// What is seen of the sun is looked at this often in an hour in any case: every 6 minutes and 40 seconds.
pub const LOOKS: usize = 9;
/// Where it changes by more than this between two looks, the time between is looked at …
const CHANGE: f32 = 0.08;
/// … in halves, down to 1⅔ minutes.
const HALVINGS: u32 = 2;

/// Place of a look on the way through the three moments of an hour, which lie at -1, 0 and 1.
fn place(look: usize) -> f32 {
    ((look as f32 + 0.5) / LOOKS as f32 - 0.5) * MOMENTS as f32
}

/// The sun's directions at the looks of an hour.
pub fn looks(moments: [Vec3; MOMENTS]) -> [Vec3; LOOKS] {
    std::array::from_fn(|k| way(moments, place(k)))
}

/// Shares of the beam at the looks of an hour, and at the last look of the hour before and the first of the next.
/// Shadows of which the looks know nothing, shorter than 7 minutes, are missed.
#[derive(Clone, Copy, Debug, Default)]
pub struct HourShares {
    pub looks: [f32; LOOKS],
    pub before: f32,
    pub after: f32,
}

impl HourShares {
    /// With all of them looked at.
    pub fn of(moments: [Vec3; MOMENTS], share: impl Fn(Vec3) -> f32) -> Self {
        let step = place(1) - place(0);
        Self {
            looks: looks(moments).map(&share),
            before: share(way(moments, place(0) - step)),
            after: share(way(moments, place(LOOKS - 1) + step)),
        }
    }

    /// Whether the looks alone tell all.
    pub fn even(&self) -> bool {
        let first = self.looks[0];
        self.looks
            .iter()
            .chain([&self.before, &self.after])
            .all(|s| (s - first).abs() <= CHANGE)
    }

    /// Follows the sun through the part of an hour with the sun up, whose thirds have their middles at `moments`.
    /// `share` says how much comes from a direction; `add` is told pieces of the hour: where on its way the sun is, the
    /// share and the piece's part of the hour, which add up to 1.
    pub fn follow(
        &self,
        moments: [Vec3; MOMENTS],
        share: impl Fn(Vec3) -> f32,
        mut add: impl FnMut(Way, f32, f32),
    ) {
        let at = |x: f32| way(moments, x);
        let end = |x: f32, inside: f32, outside: f32| {
            if (inside - outside).abs() > CHANGE {
                share(at(x))
            } else {
                f32::midpoint(inside, outside)
            }
        };
        let half = MOMENTS as f32 / 2.0;
        let (first, last) = (self.looks[0], self.looks[LOOKS - 1]);
        let begin = end(-half, first, self.before);
        let close = end(half, last, self.after);
        let mut pieces = vec![
            (-half, place(0), begin, first, HALVINGS - 1),
            (place(LOOKS - 1), half, last, close, HALVINGS - 1),
        ];
        for k in 1..LOOKS {
            let (from, to) = (self.looks[k - 1], self.looks[k]);
            if (from - to).abs() > CHANGE {
                pieces.push((place(k - 1), place(k), from, to, HALVINGS));
            } else {
                let part = 1.0 / LOOKS as f32;
                add(Way::Between(k), f32::midpoint(from, to), part);
            }
        }
        while let Some((from, to, first, last, left)) = pieces.pop() {
            let middle = f32::midpoint(from, to);
            if left > 0 && (first - last).abs() > CHANGE {
                let between = share(at(middle));
                pieces.push((from, middle, first, between, left - 1));
                pieces.push((middle, to, between, last, left - 1));
            } else {
                let part = (to - from) / MOMENTS as f32;
                add(Way::At(at(middle)), f32::midpoint(first, last), part);
            }
        }
    }
}

/// Where on its way through an hour the sun is.
#[derive(Clone, Copy, Debug)]
pub enum Way {
    /// Half way from the look before this to this.
    Between(usize),
    At(Vec3),
}

impl Way {
    pub fn direction(self, moments: [Vec3; MOMENTS]) -> Vec3 {
        match self {
            Self::Between(k) => way(moments, f32::midpoint(place(k.max(1) - 1), place(k))),
            Self::At(dir) => dir,
        }
    }
}

/// The sun's way bent through the three moments of an hour, which lie at -1, 0 and 1; the hour ends at ±1.5.
fn way(moments: [Vec3; MOMENTS], x: f32) -> Vec3 {
    let dir = moments[0] * (x * (x - 1.0) / 2.0)
        + moments[1] * (1.0 - x * x)
        + moments[2] * (x * (x + 1.0) / 2.0);
    Vec3::new(dir.x, dir.y, dir.z.max(1e-4)).normalize_or(Vec3::Z)
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
