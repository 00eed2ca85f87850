//! What water and ice do to a night: wetted floors, wetted pots, misted leaves, ice on the mix. Each is a heat balance
//! stepped through the night beside the same thing left dry, so that no figure can pass what the water's own heat, the
//! air that blows past, or the wet bulb allow.
//!
//! Evaporation follows convection by the analogy of heat and mass transfer (Lewis relation; ASHRAE Fundamentals 2017,
//! ch. 6); convection on walls and floors is 4 + 4 v (ISO 6946:2017, annex C). What a cooled floor does to the air above it is
//! spread over the layer of air that has met it, which grows with the fetch as 0.28 z0 (x/z0)^0.8 (Wood 1982, Boundary-Layer
//! Meteorol. 23:29).

use super::{
    leaf::{self, LeafPlace},
    plume::AIR_HEAT_J_M3_K,
    psychrometrics::{dew_point_c, saturation_kpa, vapour_kg_m3, wet_bulb_c},
    sky_heat::{KELVIN, STEFAN_BOLTZMANN},
};
use crate::{needs::Leaf, site::Pot};

/// Heat of vaporisation near 15 °C, and of melting, J/kg; specific heat of water, J/(kg K).
const VAPORISATION: f64 = 2.465e6;
const MELTING: f64 = 334e3;
const WATER_HEAT: f64 = 4187.0;
/// Lewis number of water vapour in air to the power 2/3.
const LEWIS: f64 = 0.90;
const EMISSIVITY: f64 = 0.94;
/// Paving that takes part in a night: 5 cm of 2.0 MJ/(m³ K), coupled to what lies below (our choice).
const SLAB_J_M2_K: f64 = 1.0e5;
const BELOW_W_M2_K: f64 = 5.0;
/// Roughness of paving among pots, m.
const FLOOR_ROUGHNESS_M: f64 = 0.01;
/// Heat of wet mix with its pot, J/(m³ K) (from memory; wet peat and bark 1.5 to 3 MJ).
const MIX_J_M3_K: f64 = 2.0e6;
/// Water that leaves hold after misting, kg/m² of leaf (0.1 to 0.2 mm; from memory).
const FILM_KG_M2: f64 = 0.1;
/// Time in which ice on a pot melts, h.
const MELTS_IN_H: f64 = 3.0;
/// Steps of an hour.
const STEPS: usize = 20;

/// An hour of a night at a spot, before anything is wetted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NightHour {
    pub air_c: f64,
    pub vapour_kpa: f64,
    /// At the leaves, m/s.
    pub speed_m_s: f64,
    pub sky_c: f64,
    pub sky_view: f64,
}

/// How much water is given, and where.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Wetting {
    /// Floor that is wetted about the spot, m².
    pub area_m2: f64,
    /// Water on it, kg/m² (litres per square metre).
    pub litres_m2: f64,
    /// Temperature of the water, °C.
    pub water_c: f64,
    /// Ice laid on the mix of the pot, kg.
    pub ice_kg: f64,
}

impl Default for Wetting {
    fn default() -> Self {
        Self {
            area_m2: 4.0,
            litres_m2: 1.0,
            water_c: 12.0,
            ice_kg: 0.1,
        }
    }
}

/// What is done in the evening.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Measure {
    WetFloor,
    WaterPot,
    MistLeaves,
    Ice,
}

impl Measure {
    pub const ALL: [Self; 4] = [Self::WetFloor, Self::WaterPot, Self::MistLeaves, Self::Ice];

    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::WetFloor => "wet the floor",
            Self::WaterPot => "water and wet the pot",
            Self::MistLeaves => "mist the leaves",
            Self::Ice => "ice on the mix",
        }
    }
}

/// How much colder air, leaves and roots are in each hour of a night, K, 0 or more.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Cooled {
    pub air_k: Vec<f64>,
    pub leaf_k: Vec<f64>,
    pub root_k: Vec<f64>,
    /// Water that evaporated by the end, kg/m² of what was wetted; ice: kg melted.
    pub used_kg: f64,
}

/// A body with one temperature in the night: a floor slab by the square metre, or a pot.
struct Body {
    capacity_j_k: f64,
    area_m2: f64,
    wet_m2: f64,
    /// To what lies behind it, W/K, and its temperature, °C.
    behind_w_k: f64,
    behind_c: f64,
}

impl Body {
    /// Mean temperature of each hour, °C, from a start, with water on its wet part, kg, and a sink of heat, W, for some
    /// hours; and the water that is left. Dew settles on dry bodies as well.
    fn night(
        &self,
        hours: &[NightHour],
        start_c: f64,
        water_kg: f64,
        sink: (f64, f64),
    ) -> (Vec<f64>, f64) {
        let (mut c, mut water) = (start_c, water_kg);
        let dt = 3600.0 / STEPS as f64;
        let means = hours
            .iter()
            .enumerate()
            .map(|(h, hour)| {
                let convection = convection_w_m2_k(hour.speed_m_s);
                let sky = (hour.sky_c + KELVIN).powi(4);
                let around = (hour.air_c + KELVIN).powi(4);
                let seen = hour.sky_view * sky + (1.0 - hour.sky_view) * around;
                let mut sum = 0.0;
                for step in 0..STEPS {
                    let heat_w = EMISSIVITY
                        * STEFAN_BOLTZMANN
                        * self.area_m2
                        * (seen - (c + KELVIN).powi(4))
                        + convection * self.area_m2 * (hour.air_c - c)
                        + self.behind_w_k * (self.behind_c - c);
                    let rate = evaporation_kg_m2_s(c, hour, convection);
                    let gone = if rate < 0.0 {
                        rate * self.area_m2 * dt
                    } else {
                        (rate * self.wet_m2 * dt).min(water)
                    };
                    water = (water - gone).max(0.0);
                    let elapsed = h as f64 + step as f64 / STEPS as f64;
                    let sunk = if elapsed < sink.1 { sink.0 } else { 0.0 };
                    c += (heat_w * dt - VAPORISATION * gone - sunk * dt) / self.capacity_j_k;
                    sum += c;
                }
                sum / STEPS as f64
            })
            .collect();
        (means, water)
    }
}

/// ISO 6946:2017, annex C.
fn convection_w_m2_k(speed_m_s: f64) -> f64 {
    4.0 + 4.0 * speed_m_s.max(0.0)
}

/// Water that leaves a wet surface, kg/(m² s); negative where dew settles.
#[must_use]
fn evaporation_kg_m2_s(surface_c: f64, hour: &NightHour, convection: f64) -> f64 {
    let at_surface = vapour_kg_m3(surface_c, saturation_kpa(surface_c));
    let in_air = vapour_kg_m3(hour.air_c, hour.vapour_kpa);
    convection / (AIR_HEAT_J_M3_K * LEWIS) * (at_surface - in_air)
}

/// A floor that is wetted, and the air at a height above it, m. `room_w_k` is what holds a room's air to its temperature,
/// W/K; outdoors `None`: there the air that blows past is renewed.
#[must_use]
pub fn wet_floor(
    hours: &[NightHour],
    wetting: &Wetting,
    height_m: f64,
    room_w_k: Option<f64>,
) -> Cooled {
    let Some(first) = hours.first() else {
        return Cooled::default();
    };
    let slab = Body {
        capacity_j_k: SLAB_J_M2_K,
        area_m2: 1.0,
        wet_m2: 1.0,
        behind_w_k: BELOW_W_M2_K,
        behind_c: mean_air(hours),
    };
    let given = wetting.litres_m2.max(0.0);
    let (dry, _) = slab.night(hours, first.air_c, 0.0, (0.0, 0.0));
    let start = mixed(SLAB_J_M2_K, first.air_c, given, wetting.water_c);
    let (wet, left) = slab.night(hours, start, given, (0.0, 0.0));
    let fetch_m = wetting.area_m2.max(0.0).sqrt();
    let air_k: Vec<f64> = hours
        .iter()
        .zip(dry.iter().zip(&wet))
        .map(|(hour, (dry, wet))| {
            let colder = (dry - wet).max(0.0);
            let taken_w_m2 = convection_w_m2_k(hour.speed_m_s) * colder;
            let fall = match room_w_k {
                Some(w_k) => taken_w_m2 * wetting.area_m2 / w_k.max(1.0),
                None => {
                    let layer = layer_m(fetch_m);
                    let past = AIR_HEAT_J_M3_K * hour.speed_m_s.max(0.1) * layer;
                    taken_w_m2 * fetch_m / past * (-height_m.max(0.0) / layer).exp()
                }
            };
            // Air is never colder than what cools it, nor than its wet bulb.
            fall.min(colder).min(depth_k(hour))
        })
        .collect();
    Cooled {
        leaf_k: air_k.clone(),
        root_k: vec![0.0; hours.len()],
        air_k,
        used_kg: given - left,
    }
}

/// Depth of the air that has met a floor of that fetch, m (Wood 1982).
#[must_use]
pub fn layer_m(fetch_m: f64) -> f64 {
    0.28 * FLOOR_ROUGHNESS_M * (fetch_m.max(0.1) / FLOOR_ROUGHNESS_M).powf(0.8)
}

/// A pot that is watered in the evening; clay and wood are wet outside as well.
#[must_use]
pub fn watered_pot(hours: &[NightHour], pot: &Pot, water_c: f64) -> Cooled {
    let porous = matches!(
        pot.material,
        crate::site::PotMaterial::Clay | crate::site::PotMaterial::Wood
    );
    let body = pot_body(pot, porous);
    let Some(first) = hours.first() else {
        return Cooled::default();
    };
    // A watering is some fifth of the pot's volume; half of it stays.
    let poured_kg = 0.2 * pot.volume_l();
    let start_c = mixed(body.capacity_j_k, first.air_c, poured_kg, water_c);
    let (dry, _) = body.night(hours, first.air_c, 0.0, (0.0, 0.0));
    let (wet, left) = body.night(hours, start_c, 0.5 * poured_kg, (0.0, 0.0));
    roots_only(&dry, &wet, 0.5 * poured_kg - left)
}

/// Ice laid on the mix: it melts in three hours and warms up with the pot.
#[must_use]
pub fn iced_pot(hours: &[NightHour], pot: &Pot, ice_kg: f64) -> Cooled {
    let Some(first) = hours.first() else {
        return Cooled::default();
    };
    let body = pot_body(pot, false);
    let heat_j = ice_heat_j(ice_kg, first.air_c);
    let (dry, _) = body.night(hours, first.air_c, 0.0, (0.0, 0.0));
    let (iced, _) = body.night(
        hours,
        first.air_c,
        0.0,
        (heat_j / (3600.0 * MELTS_IN_H), MELTS_IN_H),
    );
    roots_only(&dry, &iced, ice_kg)
}

/// Heat that ice takes up until it is water of the pot's temperature, J.
#[must_use]
pub fn ice_heat_j(ice_kg: f64, pot_c: f64) -> f64 {
    ice_kg.max(0.0) * (MELTING + WATER_HEAT * pot_c.max(0.0))
}

/// Leaves that are misted: wet until the film is gone, at most at the wet-leaf temperature of the hour.
#[must_use]
pub fn misted_leaves(hours: &[NightHour], leaf: &Leaf, elevation_m: f64) -> Cooled {
    let soaked = Leaf {
        conductance_mol_m2_s: 50.0,
        ..*leaf
    };
    let mut film = FILM_KG_M2;
    let leaf_k: Vec<f64> = hours
        .iter()
        .map(|hour| {
            let place = LeafPlace {
                air_c: hour.air_c,
                rh_pct: super::psychrometrics::rh_pct(hour.air_c, hour.vapour_kpa),
                speed_m_s: hour.speed_m_s,
                absorbed_w_m2: 0.0,
                sky_c: hour.sky_c,
                around_c: hour.air_c,
                sky_view: hour.sky_view,
                elevation_m,
                day: true,
            };
            let dry = leaf::temperature_c(
                leaf,
                &LeafPlace {
                    day: false,
                    ..place
                },
            );
            let wet = leaf::temperature_c(&soaked, &place);
            let colder = (dry - wet).max(0.0);
            // The heat that keeps a wet leaf colder than a dry one comes from air and surroundings, both sides.
            let w_m2 = colder * 2.0 * (convection_w_m2_k(hour.speed_m_s) + 5.0);
            let an_hour = w_m2 * 3600.0 / VAPORISATION;
            let share = if an_hour > 0.0 {
                (film / an_hour).min(1.0)
            } else {
                0.0
            };
            film = (film - an_hour).max(0.0);
            colder * share
        })
        .collect();
    Cooled {
        air_k: vec![0.0; hours.len()],
        root_k: vec![0.0; hours.len()],
        leaf_k,
        used_kg: FILM_KG_M2 - film,
    }
}

/// How far the wet bulb lies below the air, K: no water can cool further.
#[must_use]
pub fn depth_k(hour: &NightHour) -> f64 {
    let rh = super::psychrometrics::rh_pct(hour.air_c, hour.vapour_kpa);
    if dew_point_c(hour.vapour_kpa) >= hour.air_c {
        return 0.0;
    }
    (hour.air_c - wet_bulb_c(hour.air_c, rh, 0.0)).max(0.0)
}

fn roots_only(dry: &[f64], wet: &[f64], used_kg: f64) -> Cooled {
    Cooled {
        air_k: vec![0.0; dry.len()],
        leaf_k: vec![0.0; dry.len()],
        root_k: dry.iter().zip(wet).map(|(d, w)| (d - w).max(0.0)).collect(),
        used_kg,
    }
}

fn pot_body(pot: &Pot, wet_sides: bool) -> Body {
    let (rim_m, height_m) = (pot.rim_cm / 100.0, pot.height_cm / 100.0);
    let mouth = std::f64::consts::PI * 0.25 * rim_m * rim_m;
    // A cone frustum whose foot is three quarters of the rim.
    let sides = std::f64::consts::PI * 0.875 * rim_m * height_m;
    Body {
        capacity_j_k: MIX_J_M3_K * pot.volume_l().max(0.05) / 1000.0,
        area_m2: mouth + sides,
        wet_m2: if wet_sides { mouth + sides } else { mouth },
        behind_w_k: 0.0,
        behind_c: 0.0,
    }
}

fn mixed(capacity_j_k: f64, body_c: f64, water_kg: f64, water_c: f64) -> f64 {
    let water = WATER_HEAT * water_kg.max(0.0);
    (capacity_j_k * body_c + water * water_c.min(body_c)) / (capacity_j_k + water)
}

fn mean_air(hours: &[NightHour]) -> f64 {
    hours.iter().map(|h| h.air_c).sum::<f64>() / hours.len().max(1) as f64
}
