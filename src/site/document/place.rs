use serde::{Deserialize, Serialize};

use crate::places::Town;

/// Where on earth the site lies and how its plan is turned.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Place {
    pub name: String,
    /// Degrees, north positive, -90..=90.
    pub latitude_deg: f64,
    /// Degrees, east positive, -180..=180.
    pub longitude_deg: f64,
    /// Metres above the sea, -430..=6000.
    pub elevation_m: f64,
    /// Name in the IANA time zone database: `"Europe/Lisbon"`.
    pub time_zone: String,
    /// True azimuth to which plan-up points, degrees clockwise from north.
    pub plan_north_deg: f64,
    /// Distance to the sea, km; by the coasts on a coarse map where it is not given. It matters only while temperatures
    /// are not known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub coast_km: Option<f64>,
    /// How steeply the garden's ground falls, degrees, 0 (level) ..=45. Cold air runs down a slope and gathers behind what stands
    /// across it.
    pub slope_deg: f64,
    /// Plan azimuth towards which it falls, degrees.
    pub falls_towards_deg: f64,
}

impl Default for Place {
    fn default() -> Self {
        Self {
            name: String::new(),
            latitude_deg: 45.0,
            longitude_deg: 0.0,
            elevation_m: 50.0,
            time_zone: "UTC".to_owned(),
            plan_north_deg: 0.0,
            coast_km: None,
            slope_deg: 0.0,
            falls_towards_deg: 0.0,
        }
    }
}

impl Place {
    /// The same plan in a town: its name, coordinates and time zone, and its height where the list knows it.
    #[must_use]
    pub fn moved_to(&self, town: &Town) -> Self {
        Self {
            name: town.name.to_owned(),
            latitude_deg: town.latitude_deg,
            longitude_deg: town.longitude_deg,
            elevation_m: town.elevation_m.unwrap_or(self.elevation_m),
            time_zone: town.time_zone.to_owned(),
            plan_north_deg: self.plan_north_deg,
            coast_km: None,
            slope_deg: self.slope_deg,
            falls_towards_deg: self.falls_towards_deg,
        }
    }
}
