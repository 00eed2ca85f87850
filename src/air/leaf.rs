//! Energy balance of a leaf.

use super::{
    psychrometrics::{pressure_kpa, saturation_kpa, saturation_slope_kpa_k, vapour_kpa},
    sky_heat::{KELVIN, STEFAN_BOLTZMANN},
};
use crate::needs::Leaf;

/// Emissivity of leaves for heat radiation.
const EMISSIVITY: f64 = 0.95;
/// Molar heat of air, J/(mol K).
const MOLAR_HEAT: f64 = 29.3;
/// Molar heat of vaporisation near 15 °C, J/mol.
const MOLAR_VAPORISATION: f64 = 44_300.0;
/// Conductance with closed stomata through the leaf's skin, mol m⁻² s⁻¹ (order of magnitude, from memory).
const SKIN_CONDUCTANCE: f64 = 0.003;
/// Air is never quite still.
const LEAST_SPEED_M_S: f64 = 0.03;

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

/// Leaf temperature, °C, by energy balance (Campbell & Norman 1998, ch. 14): absorbed sun and heat of sky and
/// surroundings against own radiation from both sides, convection (forced, table 7.6, with their factor 1.4 for
/// gusty air, but never below free convection) and vapour. Stomata on the underside only. A leaf below the dew
/// point gains the heat of the dew on both sides. Within about 1 K where the inputs are true; never fails.
#[must_use]
pub fn temperature_c(leaf: &Leaf, place: &LeafPlace) -> f64 {
    solve(leaf, place, true)
}

/// [`temperature_c`] of a leaf on which no dew settles.
#[must_use]
pub fn dry_temperature_c(leaf: &Leaf, place: &LeafPlace) -> f64 {
    solve(leaf, place, false)
}

fn solve(leaf: &Leaf, place: &LeafPlace, dew: bool) -> f64 {
    if !place.air_c.is_finite() {
        return place.air_c;
    }
    let balance = Balance::new(leaf, place, dew);
    // The gain falls steadily with the leaf's temperature, so the root is single and stays bracketed.
    let (mut low, mut high) = (place.air_c - 40.0, place.air_c + 60.0);
    let mut leaf_c = place.air_c;
    for _ in 0..40 {
        let (gain, slope) = balance.gain_w_m2(leaf_c);
        if gain > 0.0 {
            low = leaf_c;
        } else {
            high = leaf_c;
        }
        let mut next = leaf_c - gain / slope;
        if !(next > low && next < high) {
            next = 0.5 * (low + high);
        }
        let step = (next - leaf_c).abs();
        leaf_c = next;
        if step < 0.003 {
            break;
        }
    }
    leaf_c
}

struct Balance {
    air_c: f64,
    vapour_kpa: f64,
    per_pressure: f64,
    absorbed_w_m2: f64,
    /// Forced convection of one side, mol m⁻² s⁻¹.
    forced_mol: f64,
    /// Conductance for vapour through stomata or skin and the layer of air, mol m⁻² s⁻¹.
    vapour_mol: f64,
    /// The same for dew, both sides; `None` when dew is left out.
    dew_mol: Option<f64>,
    size_m: f64,
}

impl Balance {
    fn new(leaf: &Leaf, place: &LeafPlace, dew: bool) -> Self {
        let size_m = 0.72 * leaf.width_m.clamp(0.001, 2.0);
        let gust = 1.4 * (place.speed_m_s.clamp(LEAST_SPEED_M_S, 30.0) / size_m).sqrt();
        let layer_mol = 0.147 * gust;
        let pores = if place.day {
            leaf.conductance_mol_m2_s.max(SKIN_CONDUCTANCE)
        } else {
            SKIN_CONDUCTANCE
        };
        let view = place.sky_view.clamp(0.0, 1.0);
        let black = |c: f64| STEFAN_BOLTZMANN * (c + KELVIN).powi(4);
        let around = black(place.around_c);
        let heat = EMISSIVITY * (view * black(place.sky_c) + (2.0 - view) * around);
        Self {
            air_c: place.air_c,
            vapour_kpa: vapour_kpa(place.air_c, place.rh_pct),
            per_pressure: MOLAR_VAPORISATION / pressure_kpa(place.elevation_m),
            absorbed_w_m2: place.absorbed_w_m2.max(0.0) + heat,
            forced_mol: 0.135 * gust,
            vapour_mol: layer_mol * pores / (layer_mol + pores),
            dew_mol: dew.then_some(2.0 * layer_mol),
            size_m,
        }
    }

    /// Heat gained at a leaf temperature, W/m², and its slope, W/(m² K), which is negative.
    fn gain_w_m2(&self, leaf_c: f64) -> (f64, f64) {
        let difference = leaf_c - self.air_c;
        let free = 0.05 * (difference.abs() / self.size_m).sqrt().sqrt();
        let convection = 2.0 * MOLAR_HEAT * self.forced_mol.max(free);
        let kelvin = leaf_c + KELVIN;
        let radiated = 2.0 * EMISSIVITY * STEFAN_BOLTZMANN * kelvin.powi(4);
        let deficit = saturation_kpa(leaf_c) - self.vapour_kpa;
        let conductance = match self.dew_mol {
            Some(both_sides) if deficit < 0.0 => both_sides,
            None if deficit < 0.0 => 0.0,
            _ => self.vapour_mol,
        };
        let latent = conductance * self.per_pressure;
        let gain = self.absorbed_w_m2 - radiated - convection * difference - latent * deficit;
        let slope = -4.0 * radiated / kelvin
            - convection * if free > self.forced_mol { 1.25 } else { 1.0 }
            - latent * saturation_slope_kpa_k(leaf_c);
        (gain, slope)
    }
}
