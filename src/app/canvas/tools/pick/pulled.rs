//! Where what the hand moves comes to rest, and what a pulled handle makes of an object.

use super::Manner;
use crate::{
    app::canvas::{
        change,
        handles::Handle,
        reshape,
        shape::{self, Item},
        snap::{self, Guides, On, Rest, Turn},
    },
    base::{Pt, geometry},
    site::{
        Site,
        edit::{Edit, ObjectKind},
    },
};

/// A shift that brings a corner of what is moved to rest on a corner of what is not, else a round one.
pub(super) fn snapped_shift(
    before: &Site,
    items: &[Item],
    by: Pt,
    manner: &Manner<'_>,
) -> (Pt, Option<Rest>) {
    if !manner.snaps {
        return (by, None);
    }
    let guides = Guides {
        site: before,
        layers: manner.layers,
        without: items,
        drawn: &[],
        reach_m: manner.reach_m,
        turn: Turn::Any,
        on: true,
    };
    let own = items
        .iter()
        .filter(|(kind, _)| *kind != ObjectKind::Window)
        .filter_map(|item| shape::shape(before, item))
        .flat_map(|s| match s {
            shape::Shape::Disc { at, .. } => vec![at],
            other => other.extent(),
        });
    let best = own
        .filter_map(|p| {
            let rest = snap::rest(p + by, &guides);
            matches!(rest.on, On::Corner | On::Middle).then(|| (rest, rest.at - p))
        })
        .min_by(|(_, a), (_, b)| a.distance(by).total_cmp(&b.distance(by)));
    match best {
        Some((rest, shift)) => (shift, Some(rest)),
        None => (snap::to_grid(by), None),
    }
}

/// What a handle pulled to a point makes of its object; `None` where that could not be.
pub(super) fn reshaped(
    before: &Site,
    item: &Item,
    handle: Handle,
    at: Pt,
    manner: &Manner<'_>,
) -> (Option<Edit>, Option<Rest>) {
    let without = [item.clone()];
    let corner_count = before
        .object(item.0, &item.1)
        .and_then(|o| shape::corners(&o).map(Vec::len))
        .unwrap_or_default();
    // Other corners of the same outline, so that walls become square to one another again.
    let drawn: Vec<Pt> = before
        .object(item.0, &item.1)
        .and_then(|o| shape::corners(&o).cloned())
        .unwrap_or_default()
        .into_iter()
        .enumerate()
        .filter(|(i, _)| match handle {
            Handle::Corner(k) => *i != k,
            Handle::Edge(k) => *i != k && *i != (k + 1) % corner_count.max(1),
            _ => true,
        })
        .map(|(_, p)| p)
        .collect();
    let rest = snap::rest(
        at,
        &Guides {
            site: before,
            layers: manner.layers,
            without: &without,
            drawn: &drawn,
            reach_m: manner.reach_m,
            turn: Turn::Any,
            on: manner.snaps,
        },
    );
    // A corner may not come to rest on another of its own outline.
    let at_corner = if drawn.iter().any(|p| p.distance(rest.at) < 1e-9) {
        at
    } else {
        rest.at
    };
    let mark = Some(rest);
    match handle {
        Handle::Corner(index) => (change::with_corner(before, item, index, at_corner), mark),
        Handle::NewCorner(after) => (
            change::with_new_corner(before, item, after, at_corner)
                .filter(|edit| leaves_sound(before, item, edit)),
            mark,
        ),
        Handle::WindowEnd(end) => (change::with_window_end(before, &item.1, end, rest.at), mark),
        Handle::Radius => {
            let centre = shape::shape(before, item)
                .map(|s| s.middle())
                .unwrap_or_default();
            let radius = centre.distance(at);
            let radius = if manner.snaps {
                snap::round(radius)
            } else {
                radius
            };
            (reshape::with_radius(before, item, radius), None)
        }
        Handle::Edge(edge) => pushed(before, item, edge, (at, rest), manner),
        Handle::HeaterEnd(end) => (
            reshape::with_heater_end(before, &item.1, end, rest.at),
            mark,
        ),
        Handle::Turn => {
            let outline = before
                .object(item.0, &item.1)
                .and_then(|o| shape::corners(&o).cloned());
            let Some((low, high)) = outline.and_then(geometry::bounds) else {
                return (change::turned(before, item, at), None);
            };
            let middle = low.lerp(high, 0.5);
            let d = at - middle;
            let deg = if manner.snaps {
                change::azimuth_deg(d)
            } else {
                d.x().atan2(d.y()).to_degrees()
            };
            let items = std::slice::from_ref(item);
            let edits = reshape::turned(before, items, middle, deg, manner.together);
            (Some(Edit::All(edits)), None)
        }
    }
}

/// An edge pushed to where the pointer rests, or else by a round distance.
fn pushed(
    before: &Site,
    item: &Item,
    edge: usize,
    (at, rest): (Pt, Rest),
    manner: &Manner<'_>,
) -> (Option<Edit>, Option<Rest>) {
    let ends = before.object(item.0, &item.1).and_then(|o| {
        let points = shape::corners(&o)?;
        let n = points.len().max(1);
        Some((*points.get(edge % n)?, *points.get((edge + 1) % n)?))
    });
    let Some((a, b)) = ends else {
        return (None, None);
    };
    let left = (b - a).unit().left();
    let (by_m, mark) = match rest.on {
        On::Corner | On::Middle | On::Edge | On::Line => ((rest.at - a).dot(left), Some(rest)),
        On::Grid | On::Free if manner.snaps => (snap::round((at - a).dot(left)), None),
        On::Grid | On::Free => ((at - a).dot(left), None),
    };
    (reshape::with_edge(before, item, edge, by_m), mark)
}

fn leaves_sound(before: &Site, item: &Item, edit: &Edit) -> bool {
    let mut after = before.clone();
    after.apply(edit.clone()).is_ok()
        && after
            .object(item.0, &item.1)
            .is_some_and(|o| shape::is_sound(&o))
}
