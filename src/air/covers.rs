//! Frost covers that are laid over pots for the night and hang down to the ground.
//!
//! What they add is what trials and grower's handbooks print for the air among the plants on clear still nights, taken at
//! the cautious end: thin fleece (17 g/m²) 2 to 4 °F, thick fleece (50 to 70 g/m²) 6 to 8 °F, clear film on hoops 2 to 4 °F.
//! It is heat of the ground that is kept in, so a cover over pots on a bench keeps less; and on cloudy or windy nights,
//! when little is lost to the sky, there is less to keep.
//!
//! In a cold greenhouse or porch the same holds: what is lost upwards is what leaves lose to glass and roof, far less than to a
//! clear sky, so a cover there is worth little more than outdoors on a dull night. No trial's figure
//! for covers under glass was found: an estimate.
//!
//! Fleece and film gain the same in the air by what is printed. They differ in the heat radiation they let through: dry
//! polyethylene film three quarters (Hanson 1963, J. Appl. Meteorol. 2:793: it keeps off 26 % of the net loss by night), but
//! next to nothing once dew has formed on its inside (Savage 1980, Agrochemophysica 12:5). Where a trial had both side by
//! side, air at 2.5 cm was 1.8 K warmer than open ground under fleece and 1.4 K under perforated or slit film (Oregon State
//! University, row cover trials of 1983, seven weeks), but on single clear nights film gained nothing.

use super::leaf::LeafPlace;
use crate::site::NightCoverKind;

/// Share of the printed gain that is left on a windy or cloudy night (our choice; growers count on a third or less).
const DULL_SHARE: f64 = 0.3;
/// Height of the pots' foot over the ground by which the gain falls to 1/e, m (our choice).
const GROUND_FADE_M: f64 = 1.0;
/// Air among covered leaves, m/s.
const STILL_M_S: f64 = 0.05;
/// A cover hangs between the temperatures of leaf and sky: this much below the air under it on a clear night, K.
const BELOW_AIR_K: f64 = 1.0;

/// What goes with every advice to cover.
pub const CAUTION: &str = "Hang the cover down to the ground all round and weigh its rim down; keep film off the leaves, which \
freeze where it touches; take covers off in the morning, for in the sun it gets hot below.";

/// Gain of the air among the plants on a clear still night, pots on the ground, K.
#[must_use]
pub fn printed_k(kind: NightCoverKind) -> f64 {
    match kind {
        NightCoverKind::Fleece | NightCoverKind::Film => 1.12,
        NightCoverKind::ThickFleece => 3.34,
    }
}

/// Share of heat radiation that goes through: dry fleece (from memory); film dry in the evening (0.74) and bedewed by morning
/// (0.06), the mean of both.
#[must_use]
pub fn passes(kind: NightCoverKind) -> f64 {
    match kind {
        NightCoverKind::Fleece => 0.5,
        NightCoverKind::Film => 0.4,
        NightCoverKind::ThickFleece => 0.2,
    }
}

/// Gain of the air among the plants, K. `still` is how clear and still the night is and how open the sky, 0..=1; `foot_m` the height of the pots'
/// foot over the ground.
#[must_use]
pub fn gain_k(kind: NightCoverKind, still: f64, foot_m: f64) -> f64 {
    printed_k(kind)
        * (DULL_SHARE + (1.0 - DULL_SHARE) * still.clamp(0.0, 1.0))
        * (-foot_m.max(0.0) / GROUND_FADE_M).exp()
}

/// What a leaf exchanges heat with once it is covered and the air about it is `gain_k` warmer.
#[must_use]
pub fn under(open: &LeafPlace, kind: NightCoverKind, gain_k: f64) -> LeafPlace {
    let hidden = open.sky_view * (1.0 - passes(kind));
    LeafPlace {
        air_c: open.air_c + gain_k,
        around_c: open.around_c + gain_k - BELOW_AIR_K * hidden,
        sky_view: open.sky_view - hidden,
        speed_m_s: open.speed_m_s.min(STILL_M_S),
        ..*open
    }
}
