//! The hand that selects, moves and reshapes. Pointer in, requests out; knows nothing of the screen.

mod pulled;

use crate::{
    app::{
        canvas::{
            change,
            handles::Handle,
            hit,
            layers::Layers,
            shape::{self, Item},
            snap::Rest,
        },
        state::Request,
    },
    base::{Id, Pt, geometry},
    site::{
        Site,
        edit::{Edit, ObjectKind},
    },
};

/// What the hand went down on.
#[derive(Clone, Debug, PartialEq)]
pub enum Target {
    Handle(Item, Handle),
    Item(Item),
    Paper,
}

/// How the hand works.
#[derive(Clone, Copy, Debug)]
pub struct Manner<'a> {
    pub layers: &'a Layers,
    pub snaps: bool,
    /// How near counts as near, m.
    pub reach_m: f64,
    /// Movements shorter than this are clicks, m.
    pub still_m: f64,
    /// What stands in a room comes along with it.
    pub together: bool,
    /// Adds to what is selected.
    pub adds: bool,
}

#[derive(Clone, Debug, Default)]
enum Hold {
    #[default]
    Nothing,
    Items {
        items: Vec<Item>,
        from: Pt,
        before: Site,
        moving: bool,
        /// A click on one of several selected picks this one alone.
        alone: Option<Item>,
    },
    Handle {
        item: Item,
        handle: Handle,
        before: Site,
        from: Pt,
        moving: bool,
    },
    /// A pot on its way to another spot.
    Pot {
        plant: Id,
        from: Pt,
        to: Pt,
        moving: bool,
    },
    Band {
        from: Pt,
        to: Pt,
        /// What a click without a pull picks.
        below: Option<Item>,
    },
}

/// Wide things are moved only once they are selected: a pull that begins on a floor is more often meant for a box.
fn is_wide(kind: ObjectKind) -> bool {
    matches!(
        kind,
        ObjectKind::Building | ObjectKind::Room | ObjectKind::Ground
    )
}

/// The hand.
#[derive(Clone, Debug, Default)]
pub struct Pick {
    hold: Hold,
    /// What the moved point came to rest on, to be marked.
    rest: Option<Rest>,
    refused: bool,
}

impl Pick {
    /// The box being pulled over several objects.
    #[must_use]
    pub fn band(&self) -> Option<(Pt, Pt)> {
        match self.hold {
            Hold::Band { from, to, .. } => Some((from, to)),
            _ => None,
        }
    }

    #[must_use]
    pub fn is_moving(&self) -> bool {
        matches!(
            self.hold,
            Hold::Items { moving: true, .. }
                | Hold::Handle { moving: true, .. }
                | Hold::Pot { moving: true, .. }
        )
    }

    /// The pot that is being carried, and where the hand is.
    #[must_use]
    pub fn pot(&self) -> Option<(&Id, Pt)> {
        match &self.hold {
            Hold::Pot {
                plant,
                to,
                moving: true,
                ..
            } => Some((plant, *to)),
            _ => None,
        }
    }

    /// The one thing that is being moved.
    #[must_use]
    pub fn moved_alone(&self) -> Option<&Item> {
        match &self.hold {
            Hold::Items {
                items,
                moving: true,
                ..
            } => items.first().filter(|_| items.len() == 1),
            Hold::Handle {
                item, moving: true, ..
            } => Some(item),
            _ => None,
        }
    }

    #[must_use]
    pub fn is_idle(&self) -> bool {
        matches!(self.hold, Hold::Nothing)
    }

    #[must_use]
    pub fn rest(&self) -> Option<Rest> {
        self.rest
    }

    /// The last movement would have made a crossing outline and was not carried out.
    #[must_use]
    pub fn was_refused(&self) -> bool {
        self.refused
    }

    /// How far the objects held have been moved from where they were, for the label beside the pointer.
    #[must_use]
    pub fn moved_from(&self) -> Option<Pt> {
        match &self.hold {
            Hold::Items {
                from, moving: true, ..
            }
            | Hold::Handle {
                from, moving: true, ..
            } => Some(*from),
            _ => None,
        }
    }

    /// The hand goes down.
    pub fn down(
        &mut self,
        site: &Site,
        selected: &[Item],
        target: Target,
        at: Pt,
        manner: &Manner<'_>,
    ) -> Vec<Request> {
        self.rest = None;
        self.refused = false;
        match target {
            Target::Handle(item, handle) => {
                self.hold = Hold::Handle {
                    item,
                    handle,
                    before: site.clone(),
                    from: at,
                    moving: false,
                };
                Vec::new()
            }
            Target::Item((ObjectKind::Plant, plant)) if !manner.adds => {
                let item = (ObjectKind::Plant, plant.clone());
                self.hold = Hold::Pot {
                    plant,
                    from: at,
                    to: at,
                    moving: false,
                };
                if selected == [item.clone()] {
                    Vec::new()
                } else {
                    vec![Request::Select(vec![item])]
                }
            }
            Target::Item(item)
                if !manner.adds
                    && (is_wide(item.0) && !selected.contains(&item)
                        || site.drawing.is_locked(item.0, &item.1)) =>
            {
                self.hold = Hold::Band {
                    from: at,
                    to: at,
                    below: Some(item),
                };
                Vec::new()
            }
            Target::Item(item) => {
                let known = selected.contains(&item);
                let (items, requests) = match (manner.adds, known) {
                    (true, true) => {
                        let rest: Vec<Item> =
                            selected.iter().filter(|i| **i != item).cloned().collect();
                        self.hold = Hold::Nothing;
                        return vec![Request::Select(rest)];
                    }
                    (true, false) => {
                        let mut items = selected.to_vec();
                        items.push(item.clone());
                        (items.clone(), vec![Request::Select(items)])
                    }
                    (false, true) => (selected.to_vec(), Vec::new()),
                    (false, false) => (
                        vec![item.clone()],
                        vec![Request::Select(vec![item.clone()])],
                    ),
                };
                let alone = (!manner.adds && items.len() > 1).then_some(item);
                self.hold = Hold::Items {
                    items,
                    from: at,
                    before: site.clone(),
                    moving: false,
                    alone,
                };
                requests
            }
            Target::Paper => {
                self.hold = Hold::Band {
                    from: at,
                    to: at,
                    below: None,
                };
                Vec::new()
            }
        }
    }

    /// The hand moves while it is down.
    pub fn moved(&mut self, at: Pt, manner: &Manner<'_>) -> Vec<Request> {
        self.rest = None;
        self.refused = false;
        match &mut self.hold {
            Hold::Nothing => Vec::new(),
            Hold::Band { to, .. } => {
                *to = at;
                Vec::new()
            }
            Hold::Pot {
                from, to, moving, ..
            } => {
                *to = at;
                *moving |= from.distance(at) >= manner.still_m;
                Vec::new()
            }
            Hold::Items {
                items,
                from,
                before,
                moving,
                ..
            } => {
                let mut requests = Vec::new();
                if !*moving {
                    if from.distance(at) < manner.still_m {
                        return requests;
                    }
                    *moving = true;
                    requests.push(Request::Begin(format!("Move {}", describe(before, items))));
                }
                let (by, rest) = pulled::snapped_shift(before, items, at - *from, manner);
                self.rest = rest;
                requests.push(Request::Apply(Edit::All(change::moved(
                    before,
                    items,
                    by,
                    manner.together,
                ))));
                requests
            }
            Hold::Handle {
                item,
                handle,
                before,
                from,
                moving,
            } => {
                let mut requests = Vec::new();
                if !*moving {
                    if from.distance(at) < manner.still_m {
                        return requests;
                    }
                    *moving = true;
                    let name = before.name_of(item.0, &item.1);
                    requests.push(Request::Begin(format!("{} {name}", handle.step())));
                }
                let (edit, rest) = pulled::reshaped(before, item, *handle, at, manner);
                self.rest = rest;
                match edit {
                    Some(edit) => requests.push(Request::Apply(edit)),
                    None => self.refused = true,
                }
                requests
            }
        }
    }

    /// The hand is lifted.
    pub fn up(&mut self, site: &Site, selected: &[Item], manner: &Manner<'_>) -> Vec<Request> {
        self.rest = None;
        self.refused = false;
        match std::mem::take(&mut self.hold) {
            Hold::Nothing => Vec::new(),
            Hold::Items { moving: true, .. } | Hold::Handle { moving: true, .. } => {
                vec![Request::End]
            }
            Hold::Items {
                alone: Some(item), ..
            } => vec![Request::Select(vec![item])],
            // What becomes of a pot is for those to say who know the plan.
            Hold::Items { .. } | Hold::Handle { .. } | Hold::Pot { .. } => Vec::new(),
            Hold::Band { from, to, below } => {
                let mut found = if from.distance(to) < manner.still_m {
                    below.into_iter().collect()
                } else {
                    hit::within(site, manner.layers, from, to)
                };
                if manner.adds {
                    found.extend(selected.iter().cloned());
                    found.sort();
                    found.dedup();
                }
                if found == selected {
                    Vec::new()
                } else {
                    vec![Request::Select(found)]
                }
            }
        }
    }

    /// Esc: what was begun is taken back.
    pub fn leave(&mut self) -> Vec<Request> {
        self.rest = None;
        self.refused = false;
        match std::mem::take(&mut self.hold) {
            Hold::Items { moving: true, .. } | Hold::Handle { moving: true, .. } => {
                vec![Request::Abandon]
            }
            _ => Vec::new(),
        }
    }
}

/// `South sill`, or `3 objects`.
#[must_use]
pub fn describe(site: &Site, items: &[Item]) -> String {
    match items {
        [(kind, id)] => site.name_of(*kind, id),
        _ => format!("{} objects", items.len()),
    }
}

/// The point of a closed outline's edge nearest to a place, with the corner before it.
#[must_use]
pub fn nearest_edge(site: &Site, item: &Item, p: Pt) -> Option<(usize, Pt)> {
    let object = site.object(item.0, &item.1)?;
    let points = shape::corners(&object)?;
    let n = points.len();
    let edges = if shape::is_closed(&object) {
        n
    } else {
        n.checked_sub(1)?
    };
    (0..edges)
        .filter_map(|i| {
            let (a, b) = (points.get(i)?, points.get((i + 1) % n)?);
            let (at, _) = geometry::nearest_on_segment(*a, *b, p);
            Some((i, at))
        })
        .min_by(|(_, a), (_, b)| a.distance(p).total_cmp(&b.distance(p)))
}

#[cfg(test)]
mod tests;
