//! What lies under the pointer.

use super::{
    layers::Layers,
    shape::{self, Item, Shape},
};
use crate::{
    base::{Pt, geometry},
    site::{Site, edit::ObjectKind},
};

/// How readily an object is picked where several overlap: small and thin things before wide ones, and a wide
/// surface only where nothing else is.
fn rank(kind: ObjectKind) -> usize {
    match kind {
        ObjectKind::Plant => 0,
        ObjectKind::Vent | ObjectKind::Fan | ObjectKind::Heater | ObjectKind::Tray => 1,
        ObjectKind::Spot => 2,
        ObjectKind::Window => 3,
        ObjectKind::Screen => 4,
        ObjectKind::Tree => 5,
        ObjectKind::Cloth | ObjectKind::Canopy => 6,
        ObjectKind::Room => 7,
        ObjectKind::Building => 8,
        ObjectKind::Ground => 9,
        ObjectKind::Kind => 10,
    }
}

/// Wide things that lie over others are picked by their rim, or inside where nothing else is.
fn is_cover(kind: ObjectKind) -> bool {
    matches!(
        kind,
        ObjectKind::Tree | ObjectKind::Cloth | ObjectKind::Canopy
    )
}

/// Everything within `reach_m` of a point, what is picked first in front.
#[must_use]
pub fn under(site: &Site, layers: &Layers, p: Pt, reach_m: f64) -> Vec<Item> {
    let mut found: Vec<(usize, f64, f64, Item)> = shape::items(site)
        .filter(|(kind, _)| layers.shows(*kind))
        .filter_map(|item| {
            let shape = shape::shape(site, &item)?;
            let distance = shape.distance(p);
            let on_rim = rim_distance(&shape, p) <= reach_m;
            let mut rank = rank(item.0) * 2;
            if is_cover(item.0) {
                // By its rim as a thin thing; by its inside after a room.
                rank = if on_rim { 9 } else { 15 };
            }
            (distance <= reach_m).then(|| (rank, size(&shape), distance, item))
        })
        .collect();
    found.sort_by(|a, b| {
        a.0.cmp(&b.0)
            .then(a.1.total_cmp(&b.1))
            .then(a.2.total_cmp(&b.2))
            .then_with(|| a.3.cmp(&b.3))
    });
    found.into_iter().map(|(.., item)| item).collect()
}

fn rim_distance(shape: &Shape, p: Pt) -> f64 {
    match shape {
        Shape::Area(outline) => geometry::distance_to_rim(outline, p),
        Shape::Line(line) => shape::distance_to_line(line, p),
        Shape::Disc { at, radius_m } => (at.distance(p) - radius_m).abs(),
    }
}

fn size(shape: &Shape) -> f64 {
    match shape {
        Shape::Area(outline) => geometry::signed_area(outline).abs(),
        Shape::Line(_) => 0.0,
        Shape::Disc { radius_m, .. } => std::f64::consts::PI * radius_m * radius_m,
    }
}

/// Everything that lies whole in a box.
#[must_use]
pub fn within(site: &Site, layers: &Layers, a: Pt, b: Pt) -> Vec<Item> {
    let (low, high) = (
        Pt(a.x().min(b.x()), a.y().min(b.y())),
        Pt(a.x().max(b.x()), a.y().max(b.y())),
    );
    shape::items(site)
        .filter(|(kind, _)| layers.shows(*kind))
        .filter(|item| {
            shape::shape(site, item).is_some_and(|s| {
                s.extent().iter().all(|p| {
                    (low.x()..=high.x()).contains(&p.x()) && (low.y()..=high.y()).contains(&p.y())
                })
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::canvas::fixture;

    fn first(p: Pt) -> String {
        under(&fixture::site(), &Layers::default(), p, 0.05)
            .first()
            .map_or_else(|| "nothing".to_owned(), |(_, id)| id.to_string())
    }

    #[test]
    fn the_smaller_thing_is_picked_before_what_it_lies_on() {
        assert_eq!(first(Pt(2.0, 2.5)), "hall");
        assert_eq!(first(Pt(1.5, 0.25)), "sill");
        assert_eq!(first(Pt(3.5, 3.9)), "stove");
        assert_eq!(first(Pt(1.5, -0.1)), "south-window");
        assert_eq!(first(Pt(-3.0, 9.0)), "nothing");
    }

    #[test]
    fn a_cloth_leaves_what_lies_beneath_it_within_reach() {
        assert_eq!(first(Pt(7.0, 1.0)), "bench");
        assert_eq!(first(Pt(6.3, 0.2)), "cloth");
        assert_eq!(first(Pt(6.0, 1.0)), "cloth");
    }

    #[test]
    fn hidden_layers_are_not_picked() {
        let layers = Layers {
            spots: false,
            ..Layers::default()
        };
        let found = under(&fixture::site(), &layers, Pt(7.0, 1.0), 0.05);
        assert!(found.iter().all(|(kind, _)| *kind != ObjectKind::Spot));
    }

    #[test]
    fn a_box_takes_what_lies_whole_in_it() {
        let ids: Vec<String> = within(
            &fixture::site(),
            &Layers::default(),
            Pt(9.0, 3.0),
            Pt(5.5, -0.5),
        )
        .iter()
        .map(|(_, id)| id.to_string())
        .collect();
        assert_eq!(ids, ["bench", "cloth"]);
    }
}
