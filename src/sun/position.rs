use chrono::{DateTime, Utc};
use solar_positioning::{
    Location, RefractionCorrection, SolarPositions, delta_t::estimate_from_date_like,
};

use super::clear::pressure_hpa;
use crate::site::Place;

/// Where the sun stands, with standard refraction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SunPosition {
    /// True azimuth, clockwise from north, 0..2π.
    pub azimuth_rad: f64,
    /// Apparent elevation of the sun's middle, -π/2..π/2.
    pub elevation_rad: f64,
}

impl SunPosition {
    /// Unit vector towards the sun in true directions: x east, y north, z up.
    #[must_use]
    pub fn direction(self) -> glam::DVec3 {
        let (sin_a, cos_a) = self.azimuth_rad.sin_cos();
        let (sin_e, cos_e) = self.elevation_rad.sin_cos();
        glam::DVec3::new(cos_e * sin_a, cos_e * cos_a, sin_e)
    }
}

/// Topocentric position of the sun (NREL SPA; Reda & Andreas 2004, error 0.0003° before refraction), refraction
/// for 15 °C and the pressure of the elevation.
#[must_use]
pub fn position(place: &Place, when: DateTime<Utc>) -> SunPosition {
    Observer::of(place).position(when)
}

/// A place as the sun's algorithm wants it. Out-of-range fields of a half-typed place are drawn into range.
pub(super) struct Observer {
    pub location: Location,
    pub elevation_m: f64,
    refraction: RefractionCorrection,
}

/// Air temperature refraction is computed for; 20 K change it by 0.04° at the horizon.
const REFRACTION_C: f64 = 15.0;

/// Below this nothing is refracted any more: the upper limb is under the horizon (Reda & Andreas 2004, 3.14).
const REFRACTION_ENDS_DEG: f64 = -(0.266_67 + 0.5667);

/// Difference of terrestrial and universal time where no estimate exists, s. A minute is 0.0007° of the sun's way.
const DELTA_T_S: f64 = 70.0;

impl Observer {
    pub fn of(place: &Place) -> Self {
        let within = |value: f64, limit: f64| {
            if value.is_finite() {
                value.clamp(-limit, limit)
            } else {
                0.0
            }
        };
        let elevation_m = within(place.elevation_m, 9000.0);
        Self {
            location: Location {
                latitude: within(place.latitude_deg, 90.0),
                longitude: within(place.longitude_deg, 180.0),
            },
            elevation_m,
            refraction: RefractionCorrection::new(pressure_hpa(elevation_m), REFRACTION_C)
                .unwrap_or_else(|_| RefractionCorrection::standard()),
        }
    }

    pub fn position(&self, when: DateTime<Utc>) -> SunPosition {
        SolarPositions::new()
            .at(
                &when,
                self.location,
                self.elevation_m,
                delta_t_s(when),
                Some(self.refraction),
            )
            .map_or(
                // Only for years beyond 6000: no sun rather than a wrong one.
                SunPosition {
                    azimuth_rad: 0.0,
                    elevation_rad: -std::f64::consts::FRAC_PI_2,
                },
                |p| SunPosition {
                    azimuth_rad: p.azimuth().to_radians(),
                    elevation_rad: p.elevation_angle().to_radians(),
                },
            )
    }

    /// By how much refraction lifts the sun's middle at a true elevation, rad: Reda & Andreas 2004, eq. 42.
    pub fn refraction_rad(&self, elevation_rad: f64) -> f64 {
        let elevation_deg = elevation_rad.to_degrees();
        if elevation_deg <= REFRACTION_ENDS_DEG {
            return 0.0;
        }
        let phase_deg = elevation_deg + 10.3 / (elevation_deg + 5.11);
        let lift_deg =
            (self.refraction.pressure() / 1010.0) * (283.0 / (273.0 + REFRACTION_C)) * 1.02
                / (60.0 * phase_deg.to_radians().tan());
        lift_deg.to_radians()
    }

    /// True elevation of the sun's middle when it appears on the horizon, rad: about -0.57° at sea level.
    pub fn horizon_rad(&self) -> f64 {
        let mut elevation_rad = -0.01_f64;
        for _ in 0..20 {
            elevation_rad = -self.refraction_rad(elevation_rad);
        }
        elevation_rad
    }
}

pub(super) fn delta_t_s(when: DateTime<Utc>) -> f64 {
    estimate_from_date_like(&when).unwrap_or(DELTA_T_S)
}
