//! Where a cloth hangs over a spot: the frame that is there, or one made for the comparison.

use std::sync::Arc;

use serde::Serialize;

use crate::{
    base::{Id, Months, Pt, geometry},
    site::{Cloth, ClothColour, Site, Spot, Weave},
};

/// How far a new cloth reaches beyond the pots on each side, m; towards the midday sun so much farther that it keeps
/// the noon sun of the equinox off them, up to [`SUNWARD_M`] (our choice).
const OVERHANG_M: f64 = 1.0;
const SUNWARD_M: f64 = 3.0;
/// Least gap between leaves and a new cloth, m, so that hot air gets away (growers ask for 0.6 to 1 m: common
/// practice, no source).
const OVER_LEAVES_M: f64 = 1.0;
/// A new cloth hangs no lower than this, m: people walk under it.
const HEADROOM_M: f64 = 2.1;
/// Wind in which a cloth must hold or be down, m/s: a near gale.
const GALE_M_S: f64 = 20.0;

/// A cloth without its percentage, colour and months.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Frame {
    pub outline: Vec<Pt>,
    /// Above the ground, m.
    pub height_m: f64,
    pub drop_m: f64,
    pub weave: Weave,
    /// Cloths that hang over the spot now; the compared cloth hangs in their place.
    pub replaces: Vec<Id>,
    /// Other spots that lie under it too.
    pub also_over: Vec<Id>,
}

impl Frame {
    /// The frame of the lowest cloth that hangs over a spot, or a rectangle somewhat larger than the spot.
    #[must_use]
    pub fn over(site: &Site, spot_id: &Id, spot: &Spot) -> Self {
        let middle = spot.middle();
        let leaf_m = site.spot_height_m(spot) + spot.leaf_m;
        let mut there: Vec<(&Id, &Arc<Cloth>)> = site
            .cloths
            .iter()
            .filter(|(_, c)| c.height_m > leaf_m && geometry::contains(&c.outline, middle))
            .collect();
        there.sort_by(|a, b| a.1.height_m.total_cmp(&b.1.height_m).then(a.0.cmp(b.0)));
        let replaces = there.iter().map(|(id, _)| (*id).clone()).collect();
        let mut frame = match there.first() {
            Some((_, cloth)) => Self {
                outline: cloth.outline.clone(),
                height_m: cloth.height_m,
                drop_m: cloth.drop_m,
                weave: cloth.weave,
                replaces,
                also_over: Vec::new(),
            },
            None => {
                let height_m = f64::max(leaf_m + OVER_LEAVES_M, HEADROOM_M);
                Self {
                    outline: rectangle(site, spot, height_m - leaf_m),
                    height_m,
                    drop_m: 0.0,
                    weave: Weave::Knitted,
                    replaces,
                    also_over: Vec::new(),
                }
            }
        };
        frame.also_over = site
            .spots
            .iter()
            .filter(|(id, other)| {
                *id != spot_id
                    && other.room.is_none()
                    && site.spot_height_m(other) + other.leaf_m < frame.height_m
                    && geometry::contains(&frame.outline, other.middle())
            })
            .map(|(id, _)| id.clone())
            .collect();
        frame
    }

    /// The cloth in this frame.
    #[must_use]
    pub fn cloth(&self, shade_pct: f64, colour: ClothColour, months: Months) -> Cloth {
        Cloth {
            name: String::new(),
            outline: self.outline.clone(),
            height_m: self.height_m,
            shade_pct,
            colour,
            weave: self.weave,
            drop_m: self.drop_m,
            months,
        }
    }

    /// The site with this cloth in place of what hangs over the spot now; `None` leaves the spot uncovered.
    pub(super) fn hung(&self, site: &Site, cloth: Option<Cloth>) -> Site {
        let mut hung = site.clone();
        for id in &self.replaces {
            hung.cloths.remove(id);
        }
        if let Some(cloth) = cloth {
            let id = Id::from_name("cloth", |id| hung.cloths.contains(id));
            hung.cloths.put(id, cloth);
        }
        hung
    }

    /// Area, m².
    #[must_use]
    pub fn area_m2(&self) -> f64 {
        geometry::signed_area(&self.outline).abs()
    }

    /// Pull of a wind of 20 m/s square on a cloth of this shade, kN: ½ρv² with 1.226 kg/m³, by the closed share of
    /// the cloth, times 1.2 for its shape (an estimate of the order, not a design).
    #[must_use]
    pub fn gale_kn(&self, shade_pct: f64) -> f64 {
        let pressure_n_m2 = 0.613 * GALE_M_S * GALE_M_S;
        pressure_n_m2 * self.area_m2() * shade_pct / 100.0 * 1.2 / 1000.0
    }
}

/// A rectangle about the spot, along the plan, that does not run into a building.
fn rectangle(site: &Site, spot: &Spot, over_leaves_m: f64) -> Vec<Pt> {
    // At noon of an equinox the sun stands as far from the zenith as the place from the equator.
    let latitude = site.place.latitude_deg.to_radians();
    let reach = (over_leaves_m * latitude.abs().tan()).min(SUNWARD_M - OVERHANG_M);
    let south = std::f64::consts::PI - site.place.plan_north_deg.to_radians();
    let sunward = Pt::towards(south) * (reach * latitude.signum());
    let wanted = [-sunward.x(), -sunward.y(), sunward.x(), sunward.y()]
        .map(|more| OVERHANG_M + more.max(0.0));
    let (low, high) =
        geometry::bounds(spot.outline.iter().copied()).unwrap_or((spot.middle(), spot.middle()));
    let corners = |m: &[f64; 4]| {
        vec![
            Pt(low.x() - m[0], low.y() - m[1]),
            Pt(high.x() + m[2], low.y() - m[1]),
            Pt(high.x() + m[2], high.y() + m[3]),
            Pt(low.x() - m[0], high.y() + m[3]),
        ]
    };
    // Each side reaches as far as it can without meeting a wall; a spot that touches one keeps a little.
    let mut margins = [0.1; 4];
    for (side, wanted) in wanted.into_iter().enumerate() {
        for share in [1.0, 0.8, 0.6, 0.4, 0.2] {
            let mut wider = margins;
            wider[side] = wanted * share;
            if !meets_building(site, &corners(&wider)) {
                margins = wider;
                break;
            }
        }
    }
    corners(&margins)
}

fn meets_building(site: &Site, outline: &[Pt]) -> bool {
    site.buildings.values().any(|b| {
        geometry::edges(&b.outline).any(|(a, c)| {
            geometry::edges(outline).any(|(p, q)| geometry::segments_meet(a, c, p, q))
        }) || outline.iter().any(|p| geometry::contains(&b.outline, *p))
            || b.outline.iter().any(|p| geometry::contains(outline, *p))
    })
}
