//! Cold air on sloping ground: on clear still nights it runs down and stands behind what lies across its way, as water
//! would (Geiger, The climate near the ground, on cold air held up by hedges, walls and dams).
//!
//! Its surface is level with the top of the barrier, so that it reaches as far up the slope as the ground lies lower.
//! How cold it gets is our choice within what is printed of such places (1 to 3 K).

use super::shelter::ray_meets;
use crate::{
    base::{Pt, geometry},
    site::{Site, Spot},
};

/// How much colder the air at the bottom of a full pool is on a clear still night, K.
const POOLED_K: f64 = 2.0;
/// Slope from which on cold air runs in full, degrees; at less in step with it.
const RUNS_DEG: f64 = 3.0;
/// Barriers farther down the slope are not looked for, m.
const REACH_M: f64 = 60.0;
/// Air flows round the end of a barrier that is no wider than this, seen from the spot to either side, m.
const ROUND_M: f64 = 3.0;
/// Even a tall barrier holds up no deeper a pool in a garden, m.
const DEEPEST_M: f64 = 3.0;

/// What holds cold air up at a spot.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Pool {
    /// How much colder clear still nights are at the leaves, K, above 0.
    pub colder_k: f64,
    /// What lies across the way.
    pub behind: String,
}

/// The pool at a spot in a month, if there is one.
pub(crate) fn at(site: &Site, spot: &Spot, month0: usize) -> Option<Pool> {
    let leaf_m = site.spot_height_m(spot) + spot.leaf_m;
    at_point(site, spot.middle(), leaf_m, month0)
}

fn at_point(site: &Site, at: Pt, leaf_m: f64, month0: usize) -> Option<Pool> {
    let place = &site.place;
    let slope = place.slope_deg.clamp(0.0, 45.0);
    if slope < 0.25 {
        return None;
    }
    let fall = slope.to_radians().tan();
    let down = Pt::towards(place.falls_towards_deg.to_radians());
    let aside = down.left() * ROUND_M;
    let runs = (slope / RUNS_DEG).min(1.0);
    dams(site, month0)
        .filter_map(|dam| {
            // Across the way from end to end: otherwise the air goes round.
            let x = [at, at + aside, at + aside * -1.0]
                .into_iter()
                .map(|from| dam.distance(from, down))
                .try_fold(0.0, |most: f64, x| Some(most.max(x?)))?;
            if x > REACH_M {
                return None;
            }
            let depth = dam.height_m.min(DEEPEST_M);
            let over_bottom = x * fall + leaf_m.max(0.0);
            let colder_k =
                POOLED_K * runs * dam.tightness * (1.0 - over_bottom / depth).clamp(0.0, 1.0);
            (colder_k > 0.05).then(|| Pool {
                colder_k,
                behind: dam.name.to_owned(),
            })
        })
        .max_by(|a, b| a.colder_k.total_cmp(&b.colder_k))
}

/// Something that stands on the ground across the slope.
struct Dam<'a> {
    name: &'a str,
    line: Vec<(Pt, Pt)>,
    height_m: f64,
    /// 1 for a wall, less for what air seeps through.
    tightness: f64,
}

impl Dam<'_> {
    fn distance(&self, at: Pt, towards: Pt) -> Option<f64> {
        self.line
            .iter()
            .filter_map(|(a, b)| ray_meets(at, towards, *a, *b))
            .min_by(f64::total_cmp)
    }
}

/// Trees do not count: the air runs under their crowns, and hedges are drawn as screens.
fn dams(site: &Site, month0: usize) -> impl Iterator<Item = Dam<'_>> {
    let screens = site
        .screens
        .values()
        .filter(|s| s.base_m < 0.2)
        .map(move |s| {
            let porosity = match s.bare_porosity {
                Some(bare) if !s.leaf_months.has(month0) => bare,
                _ => s.porosity,
            };
            Dam {
                name: &s.name,
                line: s.line.windows(2).map(|w| (w[0], w[1])).collect(),
                height_m: s.top_m,
                // A slow flow seeps through what is half open.
                tightness: (1.0 - 2.0 * porosity).max(0.0),
            }
        });
    let buildings = site
        .buildings
        .values()
        .filter(|b| b.base_m < 0.2)
        .map(|b| Dam {
            name: &b.name,
            line: geometry::edges(&b.outline).collect(),
            height_m: b.wall_top_m,
            tightness: 1.0,
        });
    screens.chain(buildings)
}
