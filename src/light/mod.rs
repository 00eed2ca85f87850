//! Light at a spot through the year. Input: the drawing, the sun, the sky. Output: PPFD by the hour, and how it
//! came there. Knows nothing of plants: what is enough light is said in `scoring`.
//!
//! # On which surface light is counted
//! A plant is no level meter, but published ranges of daily light and the readings of growers are those of level
//! meters. So the level plane is what is shown everywhere, and what kinds with spreading leaves are scored on. Thin
//! upright leaves (`needs::LightForm::Upright`) are scored on half the level plane and half an upright cylinder: the
//! mean over upright faces to all sides, which a level meter under low sun or beside a window does not see. Closed
//! forms, which the tests hold: under an even sky the cylinder gets 1/2 of the level plane, under the CIE overcast sky
//! 0.396, of a beam at elevation e cos e / (π sin e), and of ground of reflectance r, lit by E, r E / 2. A sphere is not
//! used: it would count winter sun in a window at twice to four times what any published range means by it.
//!
//! Sums say nothing of sides: [`LightFactors::one_sided`] and [`from_one_side`] do, and tell when to turn the pot.

mod all_hours;
mod cells;
mod dome;
mod enclosed;
pub mod faces;
mod flow;
mod glass;
pub mod horizon;
mod hours;
pub mod map;
mod product;
mod rays;
mod readings;
mod room;
pub mod scene;
mod sides;
mod sight;
mod sun_path;
mod thrown;
mod works;
mod year;

use crate::{climate::TypicalYear, site::Place, sky::SkyYear, sun::SunTable};
pub use scene::{Directions, Scene};

/// Light at a spot, typical year, on a horizontal plane at leaf height unless said otherwise.
/// Already corrected by the spot's readings where there are any.
#[derive(Clone, Debug, Default)]
pub struct SpotLight {
    /// PPFD of the direct beam, µmol m⁻² s⁻¹, mean of each of 8,760 hours.
    pub beam_ppfd: Vec<f32>,
    /// PPFD from the sky.
    pub sky_ppfd: Vec<f32>,
    /// PPFD thrown back by ground, walls and, indoors, the room.
    pub reflected_ppfd: Vec<f32>,
    /// Share of the hour in which the sun's middle is seen from the spot through nothing worse than leaves, cloth
    /// or glass, weighted by what they let pass, 0..=1.
    pub sunlit: Vec<f32>,
    /// The same light as a plant with upright leaves counts it (half level, half upright cylinder): daily light
    /// integral, mol m⁻² d⁻¹, 365 days.
    pub upright_dli: Vec<f32>,
    /// Daily light integral on the level, mol m⁻² d⁻¹, 365 days.
    pub dli: Vec<f32>,
    /// Highest 10-minute PPFD of a clear day in the middle of each of 52 weeks.
    pub clear_peak_ppfd: Vec<f32>,
    /// Hours of direct sun on a clear day in the middle of each of 52 weeks. Sun through leaves, cloth or glass
    /// counts in full where at least half of it comes through, else in proportion.
    pub clear_sun_h: Vec<f32>,
    /// Factors of the geometry for each month (leaves, cloth and coverings change).
    pub factors: Vec<LightFactors>,
    pub correction: LightCorrection,
    /// What each reading says against the model, in the order of the spot's readings.
    pub readings: Vec<ReviewedLight>,
}

/// What the geometry alone does to light, month by month.
#[derive(Clone, Copy, Debug, Default, PartialEq, serde::Serialize)]
pub struct LightFactors {
    /// Share of the sky dome that is seen, by solid angle, weighted with what stands between, 0..=1.
    pub sky_view_plain: f64,
    /// The same with the cosine of the level plane: what an even sky gives.
    pub sky_view_cosine: f64,
    /// Daylight factor under the CIE overcast sky, part straight from the sky, %.
    pub daylight_sky_pct: f64,
    /// Part by reflection outside, %.
    pub daylight_outside_pct: f64,
    /// Part by reflection inside the room, %.
    pub daylight_inside_pct: f64,
    /// How one-sided the light is: light on the brightest upright face less that on the face behind it, over
    /// their sum, overcast sky, 0..=1.
    pub one_sided: f64,
    /// True azimuth that the brightest upright face looks to, degrees clockwise from north, in steps of 22.5.
    pub bright_side_deg: f64,
}

/// What light readings did to the model at a spot.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct LightCorrection {
    /// A typical year's light is multiplied by about this.
    pub factor: f64,
    /// Direct sun is multiplied by this …
    pub direct_factor: f64,
    /// … and light of the sky and of surfaces by this.
    pub sky_factor: f64,
    /// Standard deviation of the logarithm of the remaining error.
    pub log_sd: f64,
    pub readings: usize,
    /// Hours of loggers' records that counted.
    pub hours_logged: usize,
    /// Readings set aside because they cannot be true or disagree wildly with the others.
    pub set_aside: usize,
    /// Root mean square of the model's log error over the readings before the correction; `None` without readings.
    pub log_error_before: Option<f64>,
    /// The same after it.
    pub log_error_after: Option<f64>,
    /// The correction learnt from a part of the readings and tried on the rest.
    pub held_back: Option<LightHeldBack>,
}

impl Default for LightCorrection {
    fn default() -> Self {
        Self {
            factor: 1.0,
            direct_factor: 1.0,
            sky_factor: 1.0,
            log_sd: 0.2,
            readings: 0,
            hours_logged: 0,
            set_aside: 0,
            log_error_before: None,
            log_error_after: None,
            held_back: None,
        }
    }
}

/// Sky under which single days are looked at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SkyChoice {
    /// Cloudless, with this Linke turbidity, or the month's usual one.
    Clear { turbidity_linke: Option<f64> },
    /// CIE standard overcast sky.
    Overcast,
    /// The typical year's.
    Typical,
}

/// Light at a spot in one hour, for tables and curves.
#[derive(Clone, Copy, Debug, Default, PartialEq, serde::Serialize)]
pub struct LightHour {
    /// Hour of the year, local standard time.
    pub hour: usize,
    pub sun_azimuth_deg: f64,
    pub sun_elevation_deg: f64,
    pub beam_ppfd_umol_m2_s: f64,
    pub sky_ppfd_umol_m2_s: f64,
    pub reflected_ppfd_umol_m2_s: f64,
    pub sunlit_fraction: f64,
    /// In the open, level, no obstruction.
    pub open_ppfd_umol_m2_s: f64,
}

/// Everything light needs besides the spot itself; made once per site.
pub struct LightInputs<'a> {
    pub place: &'a Place,
    pub sun: &'a SunTable,
    pub typical: &'a TypicalYear,
    pub sky: &'a SkyYear,
    pub scene: &'a Scene,
    pub turbidity_linke: [f64; 12],
}

pub use hours::spot_hours;
pub use readings::{LightDoubt, LightHeldBack, ReviewedLight};
pub use sides::{FromOneSide, from_one_side};
pub use year::spots_year;
