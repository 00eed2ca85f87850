//! Handles of what is selected: corners, edges, ends, rims, a device's pointer, a turning knob.

use super::shape::{self, Item, Shape};
use crate::{
    base::{Pt, geometry},
    site::{Site, edit::Object},
};

/// What a handle changes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Handle {
    Corner(usize),
    /// Puts a corner in after this one.
    NewCorner(usize),
    /// Pushes an edge of an outline in or out.
    Edge(usize),
    /// End of a window along its wall.
    WindowEnd(usize),
    /// End of a heater.
    HeaterEnd(usize),
    Radius,
    /// Turns a device, or an outline about its middle.
    Turn,
}

impl Handle {
    /// Name of the undo step.
    #[must_use]
    pub fn step(self) -> &'static str {
        match self {
            Self::Corner(_) => "Move corner of",
            Self::NewCorner(_) => "Add corner to",
            Self::Edge(_) => "Push edge of",
            Self::WindowEnd(_) | Self::HeaterEnd(_) | Self::Radius => "Resize",
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
                    let handle = if shape::is_closed(&object) {
                        Handle::Edge(i)
                    } else {
                        Handle::NewCorner(i)
                    };
                    handles.push((handle, a.lerp(*b, 0.5)));
                }
            }
            handles.extend(
                points
                    .iter()
                    .enumerate()
                    .map(|(i, p)| (Handle::Corner(i), *p)),
            );
            handles.extend(knob_foot(points).map(|foot| (Handle::Turn, foot + Pt(0.0, arm_m))));
        }
        return handles;
    }
    match &object {
        Object::Window(window) => shape::opening(site, window).map_or_else(Vec::new, |o| {
            vec![(Handle::WindowEnd(0), o.a), (Handle::WindowEnd(1), o.b)]
        }),
        Object::Tree(_) | Object::Tray(_) => rim(site, item),
        Object::Heater(heater) => {
            let left = Pt::towards(heater.faces_deg.to_radians()).left() * (heater.length_m * 0.5);
            let mut handles = knob(&object, arm_m);
            handles.push((Handle::HeaterEnd(0), heater.at + left));
            handles.push((Handle::HeaterEnd(1), heater.at - left));
            handles
        }
        Object::Fan(_) => {
            let mut handles = knob(&object, arm_m);
            handles.extend(rim(site, item));
            handles
        }
        _ => knob(&object, arm_m),
    }
}

fn rim(site: &Site, item: &Item) -> Vec<(Handle, Pt)> {
    match shape::shape(site, item) {
        Some(Shape::Disc { at, radius_m }) => vec![(Handle::Radius, at + Pt(radius_m, 0.0))],
        _ => Vec::new(),
    }
}

/// Where the arm of an outline's turning knob begins: above its middle, on top.
#[must_use]
pub fn knob_foot(points: &[Pt]) -> Option<Pt> {
    let (low, high) = geometry::bounds(points.iter().copied())?;
    Some(Pt((low.x() + high.x()) * 0.5, high.y()))
}

/// A device's pointer.
fn knob(object: &Object, arm_m: f64) -> Vec<(Handle, Pt)> {
    shape::bearing(object)
        .map(|(at, azimuth_deg)| {
            (
                Handle::Turn,
                at + Pt::towards(azimuth_deg.to_radians()) * arm_m,
            )
        })
        .into_iter()
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{app::canvas::fixture, base::Id, site::edit::ObjectKind};

    #[test]
    fn handles_fit_the_object() {
        let site = fixture::site();
        let count = |kind, id: &str| of(&site, &(kind, Id::new(id)), 0.5).len();
        assert_eq!(count(ObjectKind::Room, "hall"), 9);
        assert_eq!(count(ObjectKind::Window, "south-window"), 2);
        assert_eq!(count(ObjectKind::Spot, "sill"), 4);
        assert_eq!(count(ObjectKind::Heater, "stove"), 3);
        // From far off only corners and the knob are left.
        let far = of(&site, &(ObjectKind::Room, Id::new("hall")), 8.0);
        assert_eq!(far.len(), 5);
        let stove = of(&site, &(ObjectKind::Heater, Id::new("stove")), 0.5);
        assert!(
            matches!(stove.as_slice(), [(Handle::Turn, at), ..] if at.distance(Pt(3.5, 3.4)) < 1e-9)
        );
    }
}
