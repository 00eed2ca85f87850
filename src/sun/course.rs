//! The sun's way through a year at one place: exact positions every few days, and what lies between from them.
//!
//! Seen from the middle of the earth the sun moves smoothly; all haste in its course is the earth's turning, which
//! is known. So declination, equation of time and parallax are worked out every fourth day and drawn through six
//! neighbours; the moon's pull and the nutation (periods of 29 and 14 days) leave an error of 0.1" at most.

use std::f64::consts::{PI, TAU};

use chrono::{DateTime, Duration, NaiveDate, NaiveTime, Utc};
use solar_positioning::{Location, SolarPositions};

use super::{
    extraterrestrial,
    position::{Observer, SunPosition, delta_t_s},
    table::REFERENCE_YEAR,
};
use crate::base::calendar::HOURS;

const STEP_D: f64 = 4.0;
/// Instants before the first day of the year; as many lie after the last.
const LEAD: usize = 3;
const INSTANTS: usize = 365 / 4 + 2 + 2 * LEAD;
/// Horizontal parallax at the mean distance, rad (Reda & Andreas 2004, eq. 33).
const PARALLAX_RAD: f64 = 8.794 / 3600.0 * PI / 180.0;

/// The sun as the middle of the earth sees it.
#[derive(Clone, Copy, Debug, Default)]
struct Apparent {
    declination_rad: f64,
    /// Hour angle at Greenwich at 0 h UT of mean time: π and the equation of time.
    equation_rad: f64,
    parallax_rad: f64,
}

/// The sun's course through [`REFERENCE_YEAR`] at a place. Times are hours of local standard time from its first
/// midnight on; a day before and after may be asked for too.
pub(super) struct Course<'o> {
    observer: &'o Observer,
    offset_h: f64,
    instants: Vec<Apparent>,
    sin_latitude: f64,
    cos_latitude: f64,
    longitude_rad: f64,
    /// The place by the middle of the earth, in earth radii: across and along the axis.
    across: f64,
    along: f64,
}

/// Instants at which the sun crosses a height, and whether it rises.
pub(super) type Crossings = Vec<(f64, bool)>;

impl<'o> Course<'o> {
    pub fn of(observer: &'o Observer, offset_h: f64) -> Self {
        let latitude = observer.location.latitude.to_radians();
        let (sin_latitude, cos_latitude) = latitude.sin_cos();
        // Reda & Andreas 2004, eqs. 34 to 36.
        let flattening = 0.996_647_19;
        let (sin_u, cos_u) = (flattening * latitude.tan()).atan().sin_cos();
        let height = observer.elevation_m / 6_378_140.0;
        let midnight = NaiveDate::from_ymd_opt(REFERENCE_YEAR, 1, 1)
            .unwrap_or_default()
            .and_time(NaiveTime::MIN)
            .and_utc();
        Self {
            observer,
            offset_h,
            instants: (0..INSTANTS)
                .map(|k| {
                    let days = k as i64 - LEAD as i64;
                    apparent(midnight + Duration::days(days * STEP_D as i64))
                })
                .collect(),
            sin_latitude,
            cos_latitude,
            longitude_rad: observer.location.longitude.to_radians(),
            across: cos_u + height * cos_latitude,
            along: flattening * sin_u + height * sin_latitude,
        }
    }

    /// Between the instants: Lagrange's polynomial through three before and three after.
    fn apparent(&self, time_h: f64) -> Apparent {
        let steps = (time_h - self.offset_h) / 24.0 / STEP_D;
        let whole = steps.floor();
        let u = steps - whole;
        let first = (whole as i64 + LEAD as i64 - 2).clamp(0, INSTANTS as i64 - 6) as usize;
        let Some(around) = self.instants.get(first..first + 6) else {
            return Apparent::default();
        };
        let (a, b, c, d, e, f) = (u + 2.0, u + 1.0, u, u - 1.0, u - 2.0, u - 3.0);
        let weights = [
            b * c * d * e * f / -120.0,
            a * c * d * e * f / 24.0,
            a * b * d * e * f / -12.0,
            a * b * c * e * f / 12.0,
            a * b * c * d * f / -24.0,
            a * b * c * d * e / 120.0,
        ];
        let mut out = Apparent::default();
        for (w, at) in weights.iter().zip(around) {
            out.declination_rad += w * at.declination_rad;
            out.equation_rad += w * at.equation_rad;
            out.parallax_rad += w * at.parallax_rad;
        }
        out
    }

    fn hour_angle(&self, time_h: f64, equation_rad: f64) -> f64 {
        (time_h - self.offset_h) / 24.0 * TAU + equation_rad + self.longitude_rad
    }

    /// Topocentric position with refraction (Reda & Andreas 2004, eqs. 33 to 46, with vectors).
    pub fn position(&self, time_h: f64) -> SunPosition {
        let sun = self.apparent(time_h);
        let (sin_d, cos_d) = sun.declination_rad.sin_cos();
        let (sin_h, cos_h) = self.hour_angle(time_h, sun.equation_rad).sin_cos();
        let across = cos_d * cos_h - sun.parallax_rad * self.across;
        let along = sin_d - sun.parallax_rad * self.along;
        let east = -cos_d * sin_h;
        let north = along * self.cos_latitude - across * self.sin_latitude;
        let up = across * self.cos_latitude + along * self.sin_latitude;
        let elevation_rad = up.atan2(east.hypot(north));
        SunPosition {
            azimuth_rad: east.atan2(north).rem_euclid(TAU),
            elevation_rad: elevation_rad + self.observer.refraction_rad(elevation_rad),
        }
    }

    /// Sine of the height of the sun's middle as the middle of the earth would see it there.
    fn sin_height(&self, time_h: f64) -> f64 {
        let sun = self.apparent(time_h);
        let (sin_d, cos_d) = sun.declination_rad.sin_cos();
        let cos_h = self.hour_angle(time_h, sun.equation_rad).cos();
        self.sin_latitude * sin_d + self.cos_latitude * cos_d * cos_h
    }

    /// When the sun stands due north (even) and south (odd, or the other way round), from before the year's first
    /// day to after its last; true where it is the upper transit.
    pub fn turns(&self) -> Vec<(f64, bool)> {
        let time = |half_turns: f64, equation_rad: f64| {
            self.offset_h + 12.0 * (half_turns - (equation_rad + self.longitude_rad) / PI)
        };
        let first = (-(self.offset_h + 24.0) / 12.0 + 1.0 + self.longitude_rad / PI).floor();
        let mut turns = Vec::with_capacity(2 * 367);
        for k in 0.. {
            let half_turns = first + f64::from(k);
            let mut at = time(half_turns, PI);
            for _ in 0..2 {
                at = time(half_turns, self.apparent(at).equation_rad);
            }
            turns.push((at, half_turns.rem_euclid(2.0) == 0.0));
            if at > HOURS as f64 + 12.0 {
                return turns;
            }
        }
        turns
    }

    /// When the true height of the sun's middle passes `height_rad`, and whether the sun is above it at the first of
    /// `turns`. Between two turns the sun only rises or only sinks (but within 0.1° of the poles, where this misses
    /// crossings that no eye could tell).
    pub fn crossings(&self, turns: &[(f64, bool)], height_rad: f64) -> (bool, Crossings) {
        let wanted = (height_rad + PARALLAX_RAD * height_rad.cos()).sin();
        let heights: Vec<f64> = turns.iter().map(|(at, _)| self.sin_height(*at)).collect();
        let mut crossings = Vec::new();
        for (times, ends) in turns.windows(2).zip(heights.windows(2)) {
            let [(from, _), (to, _)] = times else {
                continue;
            };
            let rises = ends[1] >= wanted;
            if (ends[0] >= wanted) != rises {
                crossings.push((self.crossing(*from, *to, wanted, rises), rises));
            }
        }
        (heights.first().is_some_and(|h| *h >= wanted), crossings)
    }

    fn crossing(&self, from: f64, to: f64, wanted: f64, rises: bool) -> f64 {
        let mut at = f64::midpoint(from, to);
        for _ in 0..4 {
            let sun = self.apparent(at);
            let (sin_d, cos_d) = sun.declination_rad.sin_cos();
            let cos = (wanted - self.sin_latitude * sin_d) / (self.cos_latitude * cos_d);
            if !(-0.9999..=0.9999).contains(&cos) {
                break;
            }
            // Hours by which the sun is off the upper transit.
            let off = cos.acos() / TAU * 24.0;
            let h = self.hour_angle(at, sun.equation_rad);
            let transit = at - (h - (h / TAU).round() * TAU) / TAU * 24.0;
            let next = if rises { transit - off } else { transit + off };
            if !(from..=to).contains(&next) {
                break;
            }
            if (next - at).abs() < 1e-6 {
                return next;
            }
            at = next;
        }
        // Where the sun grazes the height: halving is slow and sure.
        let (mut low, mut high) = (from, to);
        for _ in 0..36 {
            let middle = f64::midpoint(low, high);
            if (self.sin_height(middle) >= wanted) == rises {
                high = middle;
            } else {
                low = middle;
            }
        }
        f64::midpoint(low, high)
    }
}

fn apparent(when: DateTime<Utc>) -> Apparent {
    // At the pole azimuth is hour angle.
    let pole = Location {
        latitude: 90.0,
        longitude: 0.0,
    };
    let exact = SolarPositions::new()
        .for_time(&when, delta_t_s(when))
        .ok()
        .and_then(|sun| Some((sun, sun.at(pole, 0.0, None).ok()?)));
    match exact {
        Some((sun, at)) => Apparent {
            declination_rad: sun.declination().to_radians(),
            equation_rad: (at.azimuth() - 180.0).rem_euclid(360.0).to_radians(),
            parallax_rad: PARALLAX_RAD / sun.earth_radius_vector().unwrap_or(1.0),
        },
        None => {
            let day = chrono::Datelike::ordinal0(&when) as usize;
            Apparent {
                declination_rad: extraterrestrial::declination_rad(day),
                equation_rad: PI,
                parallax_rad: PARALLAX_RAD,
            }
        }
    }
}
