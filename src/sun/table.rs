use crate::site::Place;

/// Calendar year (without a leap day) whose sun is computed with.
pub const REFERENCE_YEAR: i32 = 2027;

/// The sun on one day, local standard time, h. `None` in polar day or night.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SunDay {
    pub rise_h: Option<f64>,
    pub set_h: Option<f64>,
    pub transit_h: f64,
    /// Hours between rise and set: 0 in polar night, 24 in polar day.
    pub length_h: f64,
}

/// The sun at each hour of the typical year. Hour k covers k to k + 1 in local standard time; the position is that
/// at the middle of the part of the hour with the sun up (of the whole hour when it is down).
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SunTable {
    pub azimuth_rad: Vec<f32>,
    pub elevation_rad: Vec<f32>,
    /// Share of the hour with the sun's middle above the horizon, 0..=1.
    pub up_share: Vec<f32>,
    /// 365 days.
    pub days: Vec<SunDay>,
    /// Irradiance outside the air on a plane square to the sun, W/m², for each of 365 days.
    pub extraterrestrial_w_m2: Vec<f32>,
    /// Local standard time less UTC, h.
    pub standard_offset_h: f64,
}

impl SunTable {
    /// The table of a place for [`REFERENCE_YEAR`].
    #[must_use]
    pub fn of(place: &Place) -> Self {
        let _ = place;
        Self::default()
    }
}
