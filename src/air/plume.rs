//! Warm air that rises from heaters.

/// Density times specific heat of room air, J/(m³ K).
pub(crate) const AIR_HEAT_J_M3_K: f64 = 1206.0;
const GRAVITY: f64 = 9.81;
/// Room air, K.
const ROOM_K: f64 = 293.0;
/// Entrainment coefficient of a turbulent line plume (consensus value of Richardson & Hunt 2022).
const ENTRAINMENT: f64 = 0.11;

/// What a plume or jet brings to a point.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Stream {
    /// Above the room's air, K; negative is colder.
    pub excess_k: f64,
    pub speed_m_s: f64,
}

/// Flux of buoyancy, m³/s³ per metre for W/m, m⁴/s³ for W.
fn buoyancy(convective_w: f64) -> f64 {
    GRAVITY * convective_w.max(0.0) / (AIR_HEAT_J_M3_K * ROOM_K)
}

/// Middle of a line plume `z_m` above its source, free or (`on_wall`) clinging to a wall, which counts as half of a
/// plume of twice the strength.
///
/// Gaussian profile with equal widths for speed and buoyancy and entrainment 0.11: speed (B/α)^(1/3) at every
/// height, excess (T/g) 3.08 B^(2/3)/z. The handbook's constants for line sources (0.067 Φ'^(1/3) m/s and
/// 0.094 Φ'^(2/3)/z K, REHVA guidebook on displacement ventilation, from memory) give 6 and 11 % more.
#[must_use]
pub fn line(convective_w_m: f64, z_m: f64, on_wall: bool) -> Stream {
    let b = buoyancy(convective_w_m) * if on_wall { 2.0 } else { 1.0 };
    let z = z_m.max(0.05);
    // The width 1/e is (2/√π) α z; the flux B = w g' width √(π/2) then gives g'.
    let width = 2.0 / std::f64::consts::PI.sqrt() * ENTRAINMENT;
    let reduced =
        b.powf(2.0 / 3.0) * ENTRAINMENT.cbrt() / (width * (std::f64::consts::PI / 2.0).sqrt() * z);
    Stream {
        excess_k: ROOM_K / GRAVITY * reduced,
        speed_m_s: (b / ENTRAINMENT).cbrt(),
    }
}

/// Half width (1/e) of a line plume, m.
#[must_use]
pub fn line_half_width_m(z_m: f64) -> f64 {
    2.0 / std::f64::consts::PI.sqrt() * ENTRAINMENT * z_m.max(0.05)
}

/// Middle of a round plume `z_m` above a small source: 0.128 Φ^(1/3) z^(-1/3) m/s, 0.329 Φ^(2/3) z^(-5/3) K (REHVA
/// guidebook on displacement ventilation, from memory; Rouse, Yih & Humphreys 1952 give 11 % more speed).
#[must_use]
pub fn round(convective_w: f64, z_m: f64, on_wall: bool) -> Stream {
    let q = convective_w.max(0.0) * if on_wall { 2.0 } else { 1.0 };
    let z = z_m.max(0.05);
    Stream {
        excess_k: 0.329 * q.powf(2.0 / 3.0) * z.powf(-5.0 / 3.0),
        speed_m_s: 0.128 * q.cbrt() / z.cbrt(),
    }
}

/// A heater whose warm air rises from a line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LineHeater {
    pub convective_w: f64,
    pub length_m: f64,
    /// Virtual origin below the top, m.
    pub origin_below_top_m: f64,
    pub on_wall: bool,
}

impl LineHeater {
    /// What it brings to a point `above_top_m` over its top, `across_m` from the plume's middle plane and `along_m`
    /// from the middle of its length. Near the heater a line plume, far above (beyond 5 to 8 lengths) a round one:
    /// whichever is weaker. Nothing below the top.
    #[must_use]
    pub fn at(&self, above_top_m: f64, across_m: f64, along_m: f64) -> Stream {
        if above_top_m <= 0.0 || self.convective_w <= 0.0 {
            return Stream::default();
        }
        let length = self.length_m.max(0.1);
        let z = above_top_m + self.origin_below_top_m;
        let from_line = line(self.convective_w / length, z, self.on_wall);
        let from_point = round(self.convective_w, z, self.on_wall);
        let width = line_half_width_m(z);
        let beyond_end = (along_m.abs() - 0.5 * length).max(0.0);
        let away = (across_m * across_m + beyond_end * beyond_end) / (width * width);
        let share = (-away).exp();
        Stream {
            excess_k: from_line.excess_k.min(from_point.excess_k) * share,
            speed_m_s: from_line.speed_m_s.min(from_point.speed_m_s) * share,
        }
    }
}

/// Heat radiation of a stove on a leaf turned to it, W/m², `distance_m` away: spread over the half sphere in front.
/// Nearer than half a metre the stove is no point; the figure is held there.
#[must_use]
pub fn stove_radiation_w_m2(radiant_w: f64, distance_m: f64) -> f64 {
    radiant_w.max(0.0) / (2.0 * std::f64::consts::PI * distance_m.max(0.5).powi(2))
}
