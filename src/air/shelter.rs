//! Wind at plant height: the profile of the garden and the shelter of what stands upwind.

use crate::{
    base::{Pt, geometry},
    site::{Leafing, Site, Spot},
};

/// Directions that are looked into.
pub const DIRECTIONS: usize = 16;

/// Roughness of open garden ground, m ("roughly open" in Davenport's classes, Wieringa 1992; from memory): what stands
/// higher is drawn and counts as shelter.
const ROUGHNESS_M: f64 = 0.1;

/// Wind at a height by that at 10 m: logarithmic profile, held below 1.5 times the roughness.
#[must_use]
pub fn profile(height_m: f64) -> f64 {
    (height_m.max(1.5 * ROUGHNESS_M) / ROUGHNESS_M).ln() / (10.0 / ROUGHNESS_M).ln()
}

/// Share of the wind that is left `heights` of a barrier's own height behind it, by its porosity.
///
/// A curve through what is printed for tree belts (10 % open: 40 % left at 3 heights, 70 % at 9, little gained at 15)
/// and taken for solid walls (a quarter left close behind, half the reach because the wind falls back in gusts).
/// Our choice; ±0.15.
#[must_use]
pub fn behind(heights: f64, porosity: f64) -> f64 {
    let p = porosity.clamp(0.0, 1.0);
    let most = 0.75 * (1.0 - p).powf(0.47);
    let reach = (5.0 + 36.6 * p).min(8.66);
    1.0 - most * (-(heights - 1.5).max(0.0) / reach).exp()
}

/// Share of the wind that is left in front of a barrier: slowed a little within a few heights.
#[must_use]
pub fn in_front(heights: f64, porosity: f64) -> f64 {
    1.0 - 0.3 * (1.0 - porosity.clamp(0.0, 1.0)) * (-heights.max(0.0) / 2.0).exp()
}

/// Share of the open garden's wind at a spot for wind from each of [`DIRECTIONS`] plan azimuths (0 is plan-up,
/// clockwise) in a month.
#[must_use]
pub fn by_direction(site: &Site, spot: &Spot, month0: usize) -> [f64; DIRECTIONS] {
    let at = spot.middle();
    let leaf_m = site.spot_height_m(spot) + spot.leaf_m;
    let barriers = barriers(site, at, leaf_m, month0);
    std::array::from_fn(|i| {
        let from = Pt::towards(i as f64 * std::f64::consts::TAU / DIRECTIONS as f64);
        let mut left = 1.0;
        for barrier in &barriers {
            if let Some(x) = barrier.distance(at, from) {
                left *= behind(x / barrier.height_m, barrier.porosity);
            } else if let Some(x) = barrier.distance(at, from * -1.0) {
                left *= in_front(x / barrier.height_m, barrier.porosity);
            }
        }
        f64::max(left, 0.1)
    })
}

struct Barrier {
    shape: Shape,
    height_m: f64,
    porosity: f64,
}

enum Shape {
    Line(Vec<(Pt, Pt)>),
    Circle(Pt, f64),
}

impl Barrier {
    /// Distance to the nearest meeting of a level ray with it, m.
    fn distance(&self, at: Pt, towards: Pt) -> Option<f64> {
        match &self.shape {
            Shape::Line(segments) => segments
                .iter()
                .filter_map(|(a, b)| ray_meets(at, towards, *a, *b))
                .min_by(f64::total_cmp),
            Shape::Circle(middle, radius) => {
                let to = *middle - at;
                let along = to.dot(towards);
                let aside = to.cross(towards).abs();
                (aside < *radius && along > 0.0).then(|| (along - *radius).max(0.1))
            }
        }
    }
}

pub(crate) fn ray_meets(at: Pt, towards: Pt, a: Pt, b: Pt) -> Option<f64> {
    let edge = b - a;
    let across = towards.cross(edge);
    if across.abs() < 1e-12 {
        return None;
    }
    let to = a - at;
    let along = to.cross(edge) / across;
    let place = to.cross(towards) / across;
    (along > 0.0 && (0.0..=1.0).contains(&place)).then_some(along)
}

fn barriers(site: &Site, at: Pt, leaf_m: f64, month0: usize) -> Vec<Barrier> {
    let mut all = Vec::new();
    for screen in site.screens.values() {
        let porosity = match screen.bare_porosity {
            Some(bare) if !screen.leaf_months.has(month0) => bare,
            _ => screen.porosity,
        };
        // A screen that ends well below the leaves, or hangs above them, shelters nothing.
        if screen.top_m > leaf_m && screen.base_m < leaf_m {
            all.push(Barrier {
                shape: Shape::Line(screen.line.windows(2).map(|w| (w[0], w[1])).collect()),
                height_m: (screen.top_m - screen.base_m).max(0.2),
                porosity,
            });
        }
    }
    for building in site.buildings.values() {
        let within = geometry::contains(&building.outline, at);
        if building.wall_top_m > leaf_m && building.base_m < leaf_m && !within {
            all.push(Barrier {
                shape: Shape::Line(geometry::edges(&building.outline).collect()),
                height_m: (building.wall_top_m - building.base_m).max(0.5),
                porosity: 0.0,
            });
        }
    }
    for tree in site.trees.values() {
        let in_leaf = match tree.leafing {
            Leafing::Evergreen => true,
            Leafing::Deciduous { months } => months.has(month0),
        };
        let leaves = if in_leaf { tree.leaf_area_index } else { 0.5 };
        if tree.top_m > leaf_m && tree.crown_base_m < leaf_m {
            all.push(Barrier {
                shape: Shape::Circle(tree.at, tree.crown_radius_m),
                height_m: (tree.top_m - tree.crown_base_m).max(0.5),
                porosity: (-0.5 * leaves).exp().clamp(0.1, 1.0),
            });
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn verify_shelter_curve_runs_through_printed_points() {
        // 10 % open: 40 % left at 3 H and 70 % at 9 H (a Moravian study of tree belts, lengths recast).
        assert!((behind(3.0, 0.1) - 0.4).abs() < 0.05);
        assert!((behind(9.0, 0.1) - 0.7).abs() < 0.05);
        assert!(behind(15.0, 0.1) > 0.8);
        // Solid wall within a few heights: about a quarter is left.
        assert!((behind(1.5, 0.0) - 0.25).abs() < 0.02);
        assert!((behind(0.5, 1.0) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn verify_profile_is_one_at_ten_metres() {
        assert!((profile(10.0) - 1.0).abs() < 1e-12);
        // ln 15 / ln 100 and ln 1.5 / ln 100 by hand.
        assert!((profile(1.5) - 0.588).abs() < 0.001);
        assert!((profile(0.0) - 0.088).abs() < 0.001);
    }
}
