//! Handles of what is selected: corners, middles of edges, ends, a crown's rim, a device's pointer.

use super::shape::{self, Item};
use crate::{
    base::Pt,
    site::{Site, edit::Object},
};

/// What a handle changes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Handle {
    Corner(usize),
    /// Puts a corner in after this one.
    NewCorner(usize),
    /// End of a window along its wall.
    WindowEnd(usize),
    Radius,
    Turn,
}

impl Handle {
    /// Name of the undo step.
    #[must_use]
    pub fn step(self) -> &'static str {
        match self {
            Self::Corner(_) => "Move corner of",
            Self::NewCorner(_) => "Add corner to",
            Self::WindowEnd(_) | Self::Radius => "Resize",
            Self::Turn => "Turn",
        }
    }
}

/// Handles of an object and where they are; `arm_m` is how far a pointer's handle stands off, and with it the scale
/// at which the plan is seen.
#[must_use]
pub fn of(site: &Site, item: &Item, arm_m: f64) -> Vec<(Handle, Pt)> {
    let Some(object) = site.object(item.0, &item.1) else {
        return Vec::new();
    };
    if let Some(points) = shape::corners(&object) {
        let mut handles: Vec<_> = Vec::new();
        let n = points.len();
        let edges = if shape::is_closed(&object) {
            n
        } else {
            n.saturating_sub(1)
        };
        if n >= 2 {
            for i in 0..edges {
                if let (Some(a), Some(b)) = (points.get(i), points.get((i + 1) % n))
                    // On a short edge it would lie on the corners.
                    && a.distance(*b) >= arm_m * 0.7
                {
                    handles.push((Handle::NewCorner(i), a.lerp(*b, 0.5)));
                }
            }
            handles.extend(
                points
                    .iter()
                    .enumerate()
                    .map(|(i, p)| (Handle::Corner(i), *p)),
            );
        }
        return handles;
    }
    match &object {
        Object::Window(window) => shape::opening(site, window).map_or_else(Vec::new, |o| {
            vec![(Handle::WindowEnd(0), o.a), (Handle::WindowEnd(1), o.b)]
        }),
        Object::Tree(tree) => vec![(Handle::Radius, tree.at + Pt(tree.crown_radius_m, 0.0))],
        _ => shape::bearing(&object).map_or_else(Vec::new, |(at, azimuth_deg)| {
            vec![(
                Handle::Turn,
                at + Pt::towards(azimuth_deg.to_radians()) * arm_m,
            )]
        }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{app::canvas::fixture, base::Id, site::edit::ObjectKind};

    #[test]
    fn handles_fit_the_object() {
        let site = fixture::site();
        let count = |kind, id: &str| of(&site, &(kind, Id::new(id)), 0.5).len();
        assert_eq!(count(ObjectKind::Room, "hall"), 8);
        assert_eq!(count(ObjectKind::Window, "south-window"), 2);
        assert_eq!(count(ObjectKind::Spot, "sill"), 3);
        // From far off only corners are left.
        let far = of(&site, &(ObjectKind::Room, Id::new("hall")), 8.0);
        assert_eq!(far.len(), 4);
        let stove = of(&site, &(ObjectKind::Heater, Id::new("stove")), 0.5);
        assert!(
            matches!(stove.as_slice(), [(Handle::Turn, at)] if at.distance(Pt(3.5, 3.4)) < 1e-9)
        );
    }
}
