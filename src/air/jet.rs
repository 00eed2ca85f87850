//! Air that is blown: supply vents, fan heaters, fans, leaks; and air that is drawn away.

use super::plume::Stream;

/// Decay constant of a free round jet (ASHRAE Fundamentals, zone 3: 5 to 6; from memory).
const DECAY: f64 = 5.5;
/// Half-speed radius by distance.
const SPREAD: f64 = 0.1;
/// Excess temperature falls faster than speed (ASHRAE; from memory).
const EXCESS_BY_SPEED: f64 = 0.83;
const GRAVITY: f64 = 9.81;
const ROOM_K: f64 = 293.0;

/// A round jet of air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Jet {
    /// Free area of the opening, m².
    pub area_m2: f64,
    pub speed_m_s: f64,
    /// Of the blown air above that of the room, K.
    pub excess_k: f64,
}

impl Jet {
    /// Speed and excess on the jet's axis `x_m` from the opening: the core as blown, then falling as 1/x.
    #[must_use]
    pub fn on_axis(&self, x_m: f64) -> Stream {
        let share = self.axis_share(x_m);
        let excess_share = if share >= 1.0 {
            1.0
        } else {
            (EXCESS_BY_SPEED * share).min(1.0)
        };
        Stream {
            excess_k: self.excess_k * excess_share,
            speed_m_s: self.speed_m_s * share,
        }
    }

    fn axis_share(&self, x_m: f64) -> f64 {
        let size = self.area_m2.max(1e-5).sqrt();
        (DECAY * size / x_m.max(1e-3)).min(1.0)
    }

    /// Distance at which the axis has slowed to `speed_m_s`, m.
    #[must_use]
    pub fn throw_m(&self, speed_m_s: f64) -> f64 {
        DECAY * self.speed_m_s.max(0.0) * self.area_m2.max(0.0).sqrt() / speed_m_s.max(1e-3)
    }

    /// How far the axis has risen (warm) or sunk (cold, negative) `x_m` from the opening, m: 0.42 (Ar/K) (x/√A)³ in
    /// units of √A, Archimedes number g ΔT √A/(T u²) (after Koestel 1955, by the handbook; from memory). Beyond
    /// its reach the jet rises or falls at 45° at most.
    #[must_use]
    pub fn rise_m(&self, x_m: f64) -> f64 {
        let size = self.area_m2.max(1e-5).sqrt();
        let speed = self.speed_m_s.max(0.05);
        let archimedes = GRAVITY * self.excess_k * size / (ROOM_K * speed * speed);
        let bend = 0.42 * archimedes / DECAY * (x_m.max(0.0) / size).powi(3) * size;
        bend.clamp(-x_m.max(0.0), x_m.max(0.0))
    }

    /// What it brings to a point `x_m` along the blown direction and off it by `aside_m` level and `above_m` upright,
    /// measured from the straight axis. Nothing behind the opening.
    #[must_use]
    pub fn at(&self, x_m: f64, aside_m: f64, above_m: f64) -> Stream {
        if x_m <= 0.0 || self.speed_m_s <= 0.0 || self.area_m2 <= 0.0 {
            return Stream::default();
        }
        let off = above_m - self.rise_m(x_m);
        let radius = (self.area_m2 / std::f64::consts::PI)
            .sqrt()
            .max(SPREAD * x_m);
        let away = (aside_m * aside_m + off * off) / (radius * radius);
        let share = (-std::f64::consts::LN_2 * away).exp();
        let axis = self.on_axis(x_m);
        Stream {
            excess_k: axis.excess_k * share,
            speed_m_s: axis.speed_m_s * share,
        }
    }
}

/// Spread of a jet along a wall: speed by distance in opening widths, half-speed thickness by distance (Rajaratnam 1976,
/// Turbulent Jets, radial wall jets; from memory).
const WALL_DECAY: f64 = 1.03;
const WALL_SPREAD: f64 = 0.087;

impl Jet {
    /// What it brings along a wall that it meets about square, `meets_m` from the opening: to a point `along_m` from where
    /// its axis meets the wall and `off_m` off the wall. It turns there and spreads to all sides as a radial wall jet, 1.03 d/r of
    /// the speed at the opening whatever the way before, no faster than it came; where it turns it is as thick as where it has
    /// reached the speed with which it came. Excess falls with speed as in the free jet. Warmth no longer bends it.
    #[must_use]
    pub fn on_wall(&self, meets_m: f64, along_m: f64, off_m: f64) -> Stream {
        if self.speed_m_s <= 0.0 || self.area_m2 <= 0.0 {
            return Stream::default();
        }
        let comes = self.on_axis(meets_m);
        let width = 2.0 * (self.area_m2 / std::f64::consts::PI).sqrt();
        let turned_m = WALL_DECAY * width * self.speed_m_s / comes.speed_m_s.max(1e-6);
        let out_m = along_m.max(turned_m);
        let off = off_m.max(0.0) / (WALL_SPREAD * out_m);
        let share = turned_m / out_m * (-std::f64::consts::LN_2 * off * off).exp();
        Stream {
            excess_k: comes.excess_k * share,
            speed_m_s: comes.speed_m_s * share,
        }
    }
}

/// Speed of air drawn towards an opening in a wall, m/s: the flow through the half sphere.
#[must_use]
pub fn extract_speed_m_s(area_m2: f64, speed_m_s: f64, distance_m: f64) -> f64 {
    let half_sphere = 2.0 * std::f64::consts::PI * distance_m.max(0.02).powi(2);
    (area_m2 * speed_m_s / half_sphere).clamp(0.0, speed_m_s.max(0.0))
}

/// Air that leaks in through a gap of a window or door, `x_m` away from it. Speed in the gap 0.5 m/s at 4 Pa, which
/// stands for 4 m/s of wind at 10 m, and in step with it; decay of a flat jet 2.4 √(h/x) (from memory). The sheet
/// is thin, so what a plant of 0.15 m feels is that share of it.
#[must_use]
pub fn leak(gap_mm: f64, wind_10m_m_s: f64, outer_excess_k: f64, x_m: f64) -> Stream {
    let x = x_m.max(0.02);
    let decay = (2.4 * (gap_mm.max(0.0) / 1000.0 / x).sqrt()).min(1.0);
    let of_plant = (2.0 * SPREAD * x / 0.15).min(1.0);
    Stream {
        excess_k: outer_excess_k * EXCESS_BY_SPEED * decay * of_plant,
        speed_m_s: 0.5 * wind_10m_m_s.max(0.0) / 4.0 * decay * of_plant,
    }
}

/// How much sooner air from a fan without a duct slows and spreads than a jet from a nozzle: it turns about its axis, so that
/// seven diameters away four times the air moves that the blades do, twice as much as in a jet (measured on table and
/// pedestal fans, University of Moratuwa, institutional repository 14543).
const FAN_SPREADS: f64 = 2.0;

/// Speed of the air before a table fan, m/s, `x_m` along its axis and off it by `aside_m` level and `above_m` upright.
#[must_use]
pub fn table_fan_m_s(
    diameter_m: f64,
    speed_m_s: f64,
    x_m: f64,
    (aside_m, above_m): (f64, f64),
) -> f64 {
    if x_m <= 0.0 {
        return 0.0;
    }
    let diameter = diameter_m.max(0.05);
    let size = 0.5 * std::f64::consts::PI.sqrt() * diameter;
    let axis = (DECAY / FAN_SPREADS * size / x_m).min(1.0);
    let radius = (0.5 * diameter).max(FAN_SPREADS * SPREAD * x_m);
    let away = (aside_m * aside_m + above_m * above_m) / (radius * radius);
    speed_m_s.max(0.0) * axis * (-std::f64::consts::LN_2 * away).exp()
}

/// A ceiling fan that blows down.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CeilingFan {
    pub diameter_m: f64,
    /// Mean of the air that the blades move, m/s.
    pub speed_m_s: f64,
    /// Blades above the floor, m.
    pub height_m: f64,
}

impl CeilingFan {
    /// Speed at a height above the floor and a distance from the fan's axis, m/s. The core goes down as a free jet of the
    /// blades' width; on the floor it turns and spreads to all sides as a wall jet does, slowing in step with the distance
    /// (Rajaratnam 1976: 1.03 d/r of what comes down); elsewhere the air of the room turns over at a tenth of the blades'
    /// speed, fading within a few diameters (our choice).
    #[must_use]
    pub fn at(&self, above_floor_m: f64, aside_m: f64) -> f64 {
        let diameter = self.diameter_m.max(0.1);
        let speed = self.speed_m_s.max(0.0);
        let turnover = 0.1 * speed * (-aside_m / (4.0 * diameter)).exp();
        let below = self.height_m - above_floor_m;
        if below <= 0.0 {
            return turnover;
        }
        let jet = Jet {
            area_m2: std::f64::consts::PI * (0.5 * diameter).powi(2),
            speed_m_s: speed,
            excess_k: 0.0,
        };
        let core = jet.at(below, aside_m, 0.0).speed_m_s;
        core.max(self.on_floor(&jet, above_floor_m, aside_m))
            .max(turnover)
    }

    /// The layer that spreads on the floor: half its speed at a height that grows with the distance (0.087 r, Rajaratnam
    /// 1976) from 0.15 diameters under the fan (our choice).
    fn on_floor(&self, jet: &Jet, above_floor_m: f64, aside_m: f64) -> f64 {
        let diameter = self.diameter_m.max(0.1);
        let comes_down = jet.on_axis(self.height_m.max(0.1)).speed_m_s;
        if aside_m < 0.5 * diameter {
            return 0.0;
        }
        let spread = (1.03 * diameter / aside_m).min(1.0);
        let half_m = 0.15 * diameter + 0.087 * (aside_m - 0.5 * diameter);
        let up = above_floor_m.max(0.0) / half_m;
        comes_down * spread * (-std::f64::consts::LN_2 * up * up).exp()
    }
}

/// Share of people who feel a draught, % (ISO 7730:2005 eq. 6): for the reader's sense of scale, plants have no such
/// standard. Air 20..=26 °C, below 0.5 m/s.
#[must_use]
#[expect(
    clippy::approx_constant,
    reason = "3.14 is the standard's own constant, not π"
)]
pub fn draught_rating_pct(air_c: f64, speed_m_s: f64, turbulence_pct: f64) -> f64 {
    let v = speed_m_s.max(0.05);
    let rating = (34.0 - air_c) * (v - 0.05).powf(0.62) * (0.37 * v * turbulence_pct + 3.14);
    rating.clamp(0.0, 100.0)
}
