//! Temperature among the roots of a pot: it follows the air with a lag, and a dark pot in the sun goes far above it.

use crate::site::{Pot, PotMaterial};

/// Heat of moist mix with its pot, J/(m³ K) (from memory).
const MIX_J_M3_K: f64 = 2.0e6;
/// Heat radiation of the pot's sides, W/(m² K).
const RADIATION_W_M2_K: f64 = 5.0;
/// Share of the pot's mouth that its own leaves leave in the sun (our choice).
const MOUTH_IN_SUN: f64 = 0.3;
/// Share of the sun that leaves and neighbours let through to the sides of a pot among others (our choice).
const SIDES_AMONG_OTHERS: f64 = 0.3;
/// Steps of an hour.
const STEPS: usize = 4;

/// Share of sunlight that a pot's outside takes up: black plastic 0.9, clay 0.65, glazed 0.6, wood 0.7 (handbook orders of
/// magnitude, from memory).
#[must_use]
pub fn absorptance(material: PotMaterial) -> f64 {
    match material {
        PotMaterial::Plastic => 0.9,
        PotMaterial::Clay => 0.65,
        PotMaterial::Glazed => 0.6,
        PotMaterial::Wood => 0.7,
    }
}

/// How a pot stands to the sun. Its own leaves shade its mouth in either case.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stands {
    /// The sun comes to its sides from morning to evening.
    Alone,
    /// Between its own leaves and its neighbours, as pots of a collection do: what scores take.
    AmongOthers,
}

/// An hour about a pot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PotHour {
    pub air_c: f64,
    /// Global irradiance on the level at the leaves, W/m².
    pub sun_w_m2: f64,
    pub speed_m_s: f64,
}

/// Mean temperature of the mix at the end of each hour, °C: the sun on the side that faces it, exchange with the air all
/// round (4 + 4 v, ISO 6946:2017 annex C, and 5 W/(m² K) of radiation), one heat capacity. The sunny wall of a dark pot is
/// warmer by another 5 to 10 K (from memory). Porous pots are taken as dry.
#[must_use]
pub fn mix_c(hours: &[PotHour], pot: &Pot, stands: Stands) -> Vec<f64> {
    let Some(first) = hours.first() else {
        return Vec::new();
    };
    let (rim_m, height_m) = (pot.rim_cm / 100.0, pot.height_cm / 100.0);
    let mouth_m2 = std::f64::consts::PI * 0.25 * rim_m * rim_m;
    let sides_m2 = std::f64::consts::PI * 0.875 * rim_m * height_m;
    // Seen from the side, where the sun of morning and afternoon comes from.
    let profile_m2 = 0.875 * rim_m * height_m;
    let sides_in_sun = match stands {
        Stands::Alone => 1.0,
        Stands::AmongOthers => SIDES_AMONG_OTHERS,
    };
    let catches_m2 =
        absorptance(pot.material) * (sides_in_sun * profile_m2 + MOUTH_IN_SUN * mouth_m2);
    let capacity = MIX_J_M3_K * pot.volume_l().max(0.05) / 1000.0;
    let dt = 3600.0 / STEPS as f64;
    let mut c = first.air_c;
    hours
        .iter()
        .map(|hour| {
            let exchange =
                (4.0 + 4.0 * hour.speed_m_s.max(0.0) + RADIATION_W_M2_K) * (mouth_m2 + sides_m2);
            // Implicit, so that the smallest pot is stable too.
            for _ in 0..STEPS {
                let heat = catches_m2 * hour.sun_w_m2.max(0.0) + exchange * hour.air_c;
                c = (capacity * c + dt * heat) / (capacity + dt * exchange);
            }
            c
        })
        .collect()
}

/// Time in which a pot has followed 63 % of a change of the air, h.
#[must_use]
pub fn lag_h(pot: &Pot, speed_m_s: f64) -> f64 {
    let (rim_m, height_m) = (pot.rim_cm / 100.0, pot.height_cm / 100.0);
    let area = std::f64::consts::PI * (0.25 * rim_m * rim_m + 0.875 * rim_m * height_m);
    let exchange = (4.0 + 4.0 * speed_m_s.max(0.0) + RADIATION_W_M2_K) * area;
    MIX_J_M3_K * pot.volume_l().max(0.05) / 1000.0 / exchange.max(1e-6) / 3600.0
}
