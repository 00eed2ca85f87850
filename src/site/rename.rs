//! Another identifier for an object, carried through everything that names it.

use std::sync::Arc;

use super::{
    Event, JournalEntry, Site,
    edit::{EditError, ObjectKind},
};
use crate::base::{Id, Table};

impl Site {
    /// # Errors
    /// [`EditError`], perhaps with part of the work done: the caller works on a copy.
    pub(super) fn rename(&mut self, kind: ObjectKind, from: Id, to: Id) -> Result<(), EditError> {
        if from == to {
            return Ok(());
        }
        if !to.is_well_formed() {
            return Err(EditError::BadId { kind, id: to });
        }
        if self.has(kind, &to) {
            return Err(EditError::Taken { kind, id: to });
        }
        let Some(object) = self.object(kind, &from) else {
            return Err(EditError::Missing { kind, id: from });
        };
        self.take(kind, &from);
        self.put(to.clone(), object);
        if self.drawing.is_locked(kind, &from) {
            let drawing = Arc::make_mut(&mut self.drawing);
            drawing.lock(&[(kind, from.clone())], false);
            drawing.lock(&[(kind, to.clone())], true);
        }
        match kind {
            ObjectKind::Room => self.rename_room(&from, &to),
            ObjectKind::Spot => self.rename_spot(&from, &to),
            ObjectKind::Plant => self.rename_plant(&from, &to),
            ObjectKind::Kind => replace(&mut self.plants, |p| Some(&mut p.kind), &from, &to),
            _ => {}
        }
        Ok(())
    }

    fn rename_room(&mut self, from: &Id, to: &Id) {
        replace(&mut self.windows, |o| Some(&mut o.room), from, to);
        replace(&mut self.heaters, |o| Some(&mut o.room), from, to);
        replace(&mut self.vents, |o| Some(&mut o.room), from, to);
        replace(&mut self.fans, |o| o.room.as_mut(), from, to);
        replace(&mut self.trays, |o| o.room.as_mut(), from, to);
        replace(&mut self.spots, |o| o.room.as_mut(), from, to);
    }

    fn rename_spot(&mut self, from: &Id, to: &Id) {
        replace(&mut self.plants, |p| p.stands.as_mut(), from, to);
        if self.choices.pins.iter().any(|p| p.spot == *from) {
            for pin in &mut Arc::make_mut(&mut self.choices).pins {
                swap(&mut pin.spot, from, to);
            }
        }
        let named = |entry: &JournalEntry| {
            matches!(&entry.event, Event::Moved(spot) if *spot == *from)
                || entry.from.as_ref() == Some(from)
        };
        if self.journal.iter().any(named) {
            for entry in Arc::make_mut(&mut self.journal) {
                if let Some(before) = &mut entry.from {
                    swap(before, from, to);
                }
                if let Event::Moved(spot) = &mut entry.event {
                    swap(spot, from, to);
                }
            }
        }
    }

    fn rename_plant(&mut self, from: &Id, to: &Id) {
        if self.choices.pins.iter().any(|p| p.plant == *from) {
            for pin in &mut Arc::make_mut(&mut self.choices).pins {
                swap(&mut pin.plant, from, to);
            }
        }
        if self.journal.iter().any(|e| e.plant.as_ref() == Some(from)) {
            for plant in Arc::make_mut(&mut self.journal)
                .iter_mut()
                .filter_map(|e| e.plant.as_mut())
            {
                swap(plant, from, to);
            }
        }
    }
}

fn swap(id: &mut Id, from: &Id, to: &Id) {
    if id == from {
        id.clone_from(to);
    }
}

/// Replaces an identifier in the objects that hold it; the others stay shared with earlier states.
fn replace<T: Clone>(
    table: &mut Table<T>,
    field: impl Fn(&mut T) -> Option<&mut Id>,
    from: &Id,
    to: &Id,
) {
    let changed: Vec<(Id, T)> = table
        .iter()
        .filter_map(|(id, object)| {
            let mut object = T::clone(object);
            let named = field(&mut object).filter(|named| *named == from)?;
            named.clone_from(to);
            Some((id.clone(), object))
        })
        .collect();
    for (id, object) in changed {
        table.put(id, object);
    }
}
