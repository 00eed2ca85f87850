//! Several objects put in line or at even distances. Windows stay in their walls; what is locked stays where it is, and
//! the others are put in line with it.

use super::{
    change,
    shape::{self, Item},
};
use crate::{
    base::{Pt, geometry},
    site::{
        Site,
        edit::{Edit, ObjectKind},
    },
};

/// Which sides, or middles, come to lie in one line; left and right, top and bottom are those of the plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Align {
    Left,
    Centre,
    Right,
    Top,
    Middle,
    Bottom,
}

impl Align {
    /// With its name and what it says on hovering.
    pub const ALL: [(Self, &'static str, &'static str); 6] = [
        (Self::Left, "Left", "Their left sides in one line"),
        (Self::Centre, "Centre", "Their middles above one another"),
        (Self::Right, "Right", "Their right sides in one line"),
        (Self::Top, "Top", "Their upper sides in one line"),
        (Self::Middle, "Middle", "Their middles side by side"),
        (Self::Bottom, "Bottom", "Their lower sides in one line"),
    ];
}

/// Along which way distances are made even.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Spread {
    Across,
    Upwards,
}

struct Box {
    item: Item,
    low: Pt,
    high: Pt,
    locked: bool,
}

fn boxes(site: &Site, items: &[Item]) -> Vec<Box> {
    items
        .iter()
        .filter(|(kind, _)| *kind != ObjectKind::Window)
        .filter_map(|item| {
            let (low, high) = geometry::bounds(shape::shape(site, item)?.extent())?;
            Some(Box {
                item: item.clone(),
                low,
                high,
                locked: site.drawing.is_locked(item.0, &item.1),
            })
        })
        .collect()
}

/// How many of these can be put in line.
#[must_use]
pub fn count(site: &Site, items: &[Item]) -> usize {
    boxes(site, items).len()
}

/// The edit that puts them in line; `None` if nothing moves.
#[must_use]
pub fn aligned(site: &Site, items: &[Item], align: Align, together: bool) -> Option<Edit> {
    let all = boxes(site, items);
    // One that is locked gives the line; otherwise the outermost does.
    let lead: Vec<&Box> = match all.iter().filter(|b| b.locked).collect::<Vec<_>>() {
        locked if !locked.is_empty() => locked,
        _ => all.iter().collect(),
    };
    let (low, high) = geometry::bounds(lead.iter().flat_map(|b| [b.low, b.high]))?;
    let mid = |a: f64, b: f64| (a + b) * 0.5;
    let shift = |b: &Box| match align {
        Align::Left => Pt(low.x() - b.low.x(), 0.0),
        Align::Right => Pt(high.x() - b.high.x(), 0.0),
        Align::Centre => Pt(mid(low.x(), high.x()) - mid(b.low.x(), b.high.x()), 0.0),
        Align::Bottom => Pt(0.0, low.y() - b.low.y()),
        Align::Top => Pt(0.0, high.y() - b.high.y()),
        Align::Middle => Pt(0.0, mid(low.y(), high.y()) - mid(b.low.y(), b.high.y())),
    };
    all_moved(site, all.iter().map(|b| (&b.item, shift(b))), together)
}

/// The edit that makes the gaps between them even; the outermost two stay. `None` for fewer than three.
#[must_use]
pub fn distributed(site: &Site, items: &[Item], spread: Spread, together: bool) -> Option<Edit> {
    let mut all = boxes(site, items);
    if all.len() < 3 {
        return None;
    }
    let along = |p: Pt| match spread {
        Spread::Across => p.x(),
        Spread::Upwards => p.y(),
    };
    all.sort_by(|a, b| {
        let middle = |c: &Box| along(c.low) + along(c.high);
        middle(a)
            .total_cmp(&middle(b))
            .then_with(|| a.item.cmp(&b.item))
    });
    let (first, last) = (along(all.first()?.low), along(all.last()?.high));
    let filled: f64 = all.iter().map(|b| along(b.high) - along(b.low)).sum();
    let gap = (last - first - filled) / (all.len() - 1) as f64;
    let mut at = first;
    let mut shifts = Vec::new();
    for b in &all {
        let by = at - along(b.low);
        shifts.push((
            &b.item,
            match spread {
                Spread::Across => Pt(by, 0.0),
                Spread::Upwards => Pt(0.0, by),
            },
        ));
        at += along(b.high) - along(b.low) + gap;
    }
    all_moved(site, shifts.into_iter(), together)
}

fn all_moved<'a>(
    site: &Site,
    shifts: impl Iterator<Item = (&'a Item, Pt)>,
    together: bool,
) -> Option<Edit> {
    let edits: Vec<Edit> = shifts
        .filter(|(_, by)| by.length() > 1e-9)
        .flat_map(|(item, by)| change::moved(site, std::slice::from_ref(item), by, together))
        .collect();
    (!edits.is_empty()).then_some(Edit::All(edits))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        app::canvas::fixture,
        base::Id,
        site::{Drawing, Tree},
    };

    fn orchard() -> (Site, Vec<Item>) {
        let mut site = fixture::site();
        let mut items = Vec::new();
        for (id, x, y, r) in [
            ("a", 10.0, 0.0, 1.0),
            ("b", 12.5, 1.0, 0.5),
            ("c", 18.0, 3.0, 1.0),
        ] {
            site.trees.put(
                Id::new(id),
                Tree {
                    at: Pt(x, y),
                    crown_radius_m: r,
                    ..Tree::default()
                },
            );
            items.push((ObjectKind::Tree, Id::new(id)));
        }
        (site, items)
    }

    fn places(mut site: Site, edit: Option<Edit>) -> Vec<Pt> {
        site.apply(edit.unwrap()).unwrap();
        site.trees.values().map(|t| t.at).collect()
    }

    #[test]
    fn sides_and_middles_come_into_line() {
        let (site, items) = orchard();
        let aligned = |align| places(site.clone(), aligned(&site, &items, align, true));
        assert_eq!(
            aligned(Align::Left),
            [Pt(10.0, 0.0), Pt(9.5, 1.0), Pt(10.0, 3.0)]
        );
        assert_eq!(
            aligned(Align::Top),
            [Pt(10.0, 3.0), Pt(12.5, 3.5), Pt(18.0, 3.0)]
        );
        assert_eq!(
            aligned(Align::Middle),
            [Pt(10.0, 1.5), Pt(12.5, 1.5), Pt(18.0, 1.5)]
        );
    }

    #[test]
    fn gaps_become_even_and_the_outermost_stay() {
        let (site, items) = orchard();
        let at = places(
            site.clone(),
            distributed(&site, &items, Spread::Across, true),
        );
        // From 9 to 19 with 5 m of crowns: two gaps of 2.5 m.
        assert_eq!(at, [Pt(10.0, 0.0), Pt(14.0, 1.0), Pt(18.0, 3.0)]);
        assert!(distributed(&site, &items[..2], Spread::Across, true).is_none());
    }

    #[test]
    fn what_is_locked_gives_the_line_and_stays() {
        let (mut site, items) = orchard();
        let mut drawing = Drawing::default();
        drawing.lock(&items[1..2], true);
        site.apply(Edit::SetDrawing(drawing)).unwrap();
        let at = places(site.clone(), aligned(&site, &items, Align::Bottom, true));
        assert_eq!(at, [Pt(10.0, 1.5), Pt(12.5, 1.0), Pt(18.0, 1.5)]);
    }
}
