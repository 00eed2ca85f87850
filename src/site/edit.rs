//! Every change to a site is an [`Edit`]; nothing else has `&mut` to one, in the window, in commands or in tests.

use std::sync::Arc;

use serde::{Deserialize, Serialize};

use super::{
    Building, Canopy, Choices, Climate, Cloth, Drawing, Fan, Forecast, Ground, Heater,
    JournalEntry, Place, Plant, Room, Screen, Site, Spot, Tray, Tree, Vent, Window,
};
use crate::{base::Id, needs::Kind};

/// Declares the tables of the site once: object kinds, objects, and how to reach each table.
macro_rules! tables {
    ($($kind:ident, $field:ident, $one:literal, $many:literal;)+) => {
        /// Which table an object is in.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        pub enum ObjectKind { $($kind),+ }

        /// One object of any table.
        #[expect(clippy::large_enum_variant, reason = "few live at a time, and each but for a moment")]
        #[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
        pub enum Object { $($kind($kind)),+ }

        impl ObjectKind {
            pub const ALL: &'static [Self] = &[$(Self::$kind),+];

            /// One of it, in the grower's words.
            #[must_use]
            pub fn word(self) -> &'static str {
                match self { $(Self::$kind => $one),+ }
            }

            /// Several of it.
            #[must_use]
            pub fn plural(self) -> &'static str {
                match self { $(Self::$kind => $many),+ }
            }

            /// Name of its table in the site file.
            #[must_use]
            pub fn table(self) -> &'static str {
                match self { $(Self::$kind => stringify!($field)),+ }
            }

            /// A new one with every field at its default.
            #[must_use]
            pub fn blank(self) -> Option<Object> {
                match self {
                    // A kind has no default: it is copied from another.
                    Self::Kind => None,
                    $(#[allow(unreachable_patterns)] Self::$kind => blank::$field(),)+
                }
            }
        }

        impl Object {
            #[must_use]
            pub fn kind(&self) -> ObjectKind {
                match self { $(Self::$kind(_) => ObjectKind::$kind),+ }
            }

            #[must_use]
            pub fn name(&self) -> &str {
                match self { $(Self::$kind(o) => &o.name),+ }
            }

            pub fn set_name(&mut self, name: &str) {
                match self { $(Self::$kind(o) => name.clone_into(&mut o.name)),+ }
            }
        }

        impl Site {
            /// A copy of an object.
            #[must_use]
            pub fn object(&self, kind: ObjectKind, id: &Id) -> Option<Object> {
                match kind {
                    $(ObjectKind::$kind => self.$field.get(id).map(|o| Object::$kind($kind::clone(o)))),+
                }
            }

            /// Name of an object, or its identifier where it has no name.
            #[must_use]
            pub fn name_of(&self, kind: ObjectKind, id: &Id) -> String {
                let name = match kind { $(ObjectKind::$kind => self.$field.get(id).map(|o| o.name.clone())),+ };
                name.filter(|n| !n.is_empty()).unwrap_or_else(|| id.to_string())
            }

            /// Identifiers of one table, ascending.
            #[must_use]
            pub fn ids(&self, kind: ObjectKind) -> Vec<Id> {
                match kind { $(ObjectKind::$kind => self.$field.ids().cloned().collect()),+ }
            }

            /// Table entries that are not shared with another state of the site: what keeping both costs.
            pub(super) fn entries_apart(&self, other: &Self) -> usize {
                let journal = if Arc::ptr_eq(&self.journal, &other.journal) {
                    0
                } else {
                    // An entry of the journal is no pointer, and larger.
                    self.journal.len() * 4
                };
                journal $(+ if self.$field.same_as(&other.$field) { 0 } else { self.$field.len() })+
            }

            #[must_use]
            pub fn has(&self, kind: ObjectKind, id: &Id) -> bool {
                match kind { $(ObjectKind::$kind => self.$field.contains(id)),+ }
            }

            pub(super) fn put(&mut self, id: Id, object: Object) {
                match object { $(Object::$kind(o) => { self.$field.put(id, o); }),+ }
            }

            pub(super) fn take(&mut self, kind: ObjectKind, id: &Id) {
                match kind { $(ObjectKind::$kind => { self.$field.remove(id); }),+ }
            }
        }
    };
}

tables! {
    Building, buildings, "building", "buildings";
    Room, rooms, "room", "rooms";
    Window, windows, "window or door", "windows and doors";
    Canopy, canopies, "canopy", "canopies";
    Screen, screens, "wall, fence or hedge", "walls, fences and hedges";
    Tree, trees, "tree", "trees";
    Ground, grounds, "ground surface", "ground surfaces";
    Cloth, cloths, "shade cloth", "shade cloths";
    Heater, heaters, "heater", "heaters";
    Vent, vents, "air vent", "air vents";
    Fan, fans, "fan", "fans";
    Tray, trays, "evaporation tray", "evaporation trays";
    Spot, spots, "spot", "spots";
    Plant, plants, "plant", "plants";
    Kind, kinds, "plant kind", "plant kinds";
}

/// Blank objects by table name, for [`ObjectKind::blank`].
mod blank {
    use super::{
        Building, Canopy, Cloth, Fan, Ground, Heater, Object, Plant, Room, Screen, Spot, Tray,
        Tree, Vent, Window,
    };

    macro_rules! defaults {
        ($($field:ident $kind:ident),+ $(,)?) => {
            $(pub(super) fn $field() -> Option<Object> { Some(Object::$kind($kind::default())) })+
        };
    }
    defaults!(
        buildings Building, rooms Room, windows Window, canopies Canopy, screens Screen, trees Tree, grounds Ground,
        cloths Cloth, heaters Heater, vents Vent, fans Fan, trays Tray, spots Spot, plants Plant,
    );
    pub(super) fn kinds() -> Option<Object> {
        None
    }
}

/// One change to a site.
#[expect(
    clippy::large_enum_variant,
    reason = "few live at a time, and each but for a moment"
)]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Edit {
    /// Puts an object in, or in place of the one with this identifier.
    Put(Id, Object),
    /// Takes an object away, and with it what cannot be without it: a room's windows, devices and spots, pins to a
    /// spot. Plants that stood on a spot taken away are left without a place. The journal keeps its entries.
    Remove(ObjectKind, Id),
    /// Gives an object another identifier, here and wherever it is named.
    Rename {
        kind: ObjectKind,
        from: Id,
        to: Id,
    },
    SetName(String),
    SetNote(String),
    SetPlace(Place),
    SetClimate(Climate),
    SetChoices(Choices),
    /// Keeps a forecast, or lets it go.
    SetForecast(Option<Forecast>),
    SetDrawing(Drawing),
    /// Adds a journal entry. A `Moved` entry also puts the plant on its spot, unless the journal knows of a later move, and
    /// keeps where it stood before.
    Record(JournalEntry),
    /// Takes the journal entry at this index away.
    Unrecord(usize),
    /// All or none.
    All(Vec<Edit>),
}

/// An edit that was refused; the site is as it was.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum EditError {
    #[error("there is no {} called \"{id}\" any more", kind.word())]
    Missing { kind: ObjectKind, id: Id },
    #[error(
        "\"{id}\" cannot name a {}: use lower-case letters, digits and dashes, 48 characters at most",
        kind.word()
    )]
    BadId { kind: ObjectKind, id: Id },
    #[error("{what} \"{id}\" is not in this site; choose another")]
    Unknown { what: &'static str, id: Id },
    #[error("\"{id}\" already names a {}; choose another", kind.word())]
    Taken { kind: ObjectKind, id: Id },
    #[error("still of this kind: {plants}; give them another kind first")]
    InUse { plants: String },
    #[error("the journal has no entry {0}")]
    NoEntry(usize),
}

impl Site {
    /// Carries an edit out.
    ///
    /// # Errors
    /// [`EditError`]; the site is then unchanged.
    pub fn apply(&mut self, edit: Edit) -> Result<(), EditError> {
        let mut next = self.clone();
        next.carry_out(edit)?;
        next.unlock_what_is_gone();
        *self = next;
        Ok(())
    }

    fn carry_out(&mut self, edit: Edit) -> Result<(), EditError> {
        match edit {
            Edit::Put(id, object) => {
                if !id.is_well_formed() {
                    return Err(EditError::BadId {
                        kind: object.kind(),
                        id,
                    });
                }
                self.check_references(&object)?;
                self.put(id, object);
            }
            Edit::Remove(kind, id) => {
                if !self.has(kind, &id) {
                    return Err(EditError::Missing { kind, id });
                }
                self.take(kind, &id);
                if kind == ObjectKind::Kind {
                    self.check_kind_gone(&id)?;
                }
                self.take_dependents(kind, &id);
            }
            Edit::Rename { kind, from, to } => self.rename(kind, from, to)?,
            Edit::SetName(name) => self.name = name,
            Edit::SetNote(note) => self.note = note,
            Edit::SetPlace(place) => self.place = Arc::new(place),
            Edit::SetClimate(climate) => self.climate = Arc::new(climate),
            Edit::SetChoices(choices) => {
                for pin in &choices.pins {
                    self.check_known(ObjectKind::Plant, &pin.plant)?;
                    self.check_known(ObjectKind::Spot, &pin.spot)?;
                }
                self.choices = Arc::new(choices);
            }
            Edit::SetForecast(forecast) => self.forecast = forecast.map(Arc::new),
            Edit::SetDrawing(drawing) => {
                for l in &drawing.locked {
                    self.check_known(l.kind, &l.id)?;
                }
                self.drawing = Arc::new(drawing);
            }
            Edit::Record(mut entry) => {
                if let Some(plant_id) = &entry.plant {
                    let plant = self
                        .plants
                        .get(plant_id)
                        .ok_or_else(|| EditError::Missing {
                            kind: ObjectKind::Plant,
                            id: plant_id.clone(),
                        })?;
                    if let super::Event::Moved(spot) = &entry.event {
                        self.check_known(ObjectKind::Spot, spot)?;
                        let is_last = self
                            .recorded_moves(plant_id)
                            .iter()
                            .all(|(date, ..)| *date <= entry.date);
                        let before = if is_last {
                            plant.stands.as_ref()
                        } else {
                            self.stood_on(plant_id, entry.date)
                        };
                        let from = before
                            .filter(|f| *f != spot && self.spots.contains(f))
                            .cloned();
                        if is_last {
                            let moved = Plant {
                                stands: Some(spot.clone()),
                                ..Plant::clone(plant)
                            };
                            self.plants.put(plant_id.clone(), moved);
                        }
                        entry.from = entry.from.take().or(from);
                    }
                }
                Arc::make_mut(&mut self.journal).push(entry);
            }
            Edit::Unrecord(index) => {
                if index >= self.journal.len() {
                    return Err(EditError::NoEntry(index));
                }
                Arc::make_mut(&mut self.journal).remove(index);
            }
            Edit::All(edits) => {
                for edit in edits {
                    self.carry_out(edit)?;
                }
            }
        }
        Ok(())
    }

    /// What is taken away, alone or with its room, is no longer locked either.
    fn unlock_what_is_gone(&mut self) {
        let gone = |l: &super::Locked| !self.has(l.kind, &l.id);
        if self.drawing.locked.iter().any(gone) {
            let mut drawing = Drawing::clone(&self.drawing);
            drawing.locked.retain(|l| !gone(l));
            self.drawing = Arc::new(drawing);
        }
    }

    /// What an object names must be there.
    fn check_references(&self, object: &Object) -> Result<(), EditError> {
        let room = match object {
            Object::Window(o) => Some(&o.room),
            Object::Heater(o) => Some(&o.room),
            Object::Vent(o) => Some(&o.room),
            Object::Fan(o) => o.room.as_ref(),
            Object::Tray(o) => o.room.as_ref(),
            Object::Spot(o) => o.room.as_ref(),
            _ => None,
        };
        if let Some(id) = room {
            self.check_known(ObjectKind::Room, id)?;
        }
        if let Object::Plant(plant) = object {
            if let Some(id) = &plant.stands {
                self.check_known(ObjectKind::Spot, id)?;
            }
            if self.kind(&plant.kind).is_none() {
                return Err(EditError::Unknown {
                    what: "plant kind",
                    id: plant.kind.clone(),
                });
            }
        }
        Ok(())
    }

    fn check_known(&self, kind: ObjectKind, id: &Id) -> Result<(), EditError> {
        if self.has(kind, id) {
            Ok(())
        } else {
            Err(EditError::Unknown {
                what: kind.word(),
                id: id.clone(),
            })
        }
    }

    /// Plants of an own kind that is taken away fall back on the library's kind of the same name; without one the
    /// kind cannot go.
    fn check_kind_gone(&self, id: &Id) -> Result<(), EditError> {
        if self.kind(id).is_some() {
            return Ok(());
        }
        let plants: Vec<String> = self
            .plants
            .iter()
            .filter(|(_, p)| p.kind == *id)
            .map(|(i, _)| self.name_of(ObjectKind::Plant, i))
            .collect();
        if plants.is_empty() {
            Ok(())
        } else {
            Err(EditError::InUse {
                plants: plants.join(", "),
            })
        }
    }

    fn take_dependents(&mut self, kind: ObjectKind, id: &Id) {
        fn holding<T>(
            table: &crate::base::Table<T>,
            room_of: impl Fn(&T) -> Option<&Id>,
            room: &Id,
        ) -> Vec<Id> {
            table
                .iter()
                .filter(|(_, o)| room_of(o) == Some(room))
                .map(|(i, _)| i.clone())
                .collect()
        }
        match kind {
            ObjectKind::Room => {
                for i in holding(&self.windows, |o| Some(&o.room), id) {
                    self.windows.remove(&i);
                }
                for i in holding(&self.heaters, |o| Some(&o.room), id) {
                    self.heaters.remove(&i);
                }
                for i in holding(&self.vents, |o| Some(&o.room), id) {
                    self.vents.remove(&i);
                }
                for i in holding(&self.fans, |o| o.room.as_ref(), id) {
                    self.fans.remove(&i);
                }
                for i in holding(&self.trays, |o| o.room.as_ref(), id) {
                    self.trays.remove(&i);
                }
                for i in holding(&self.spots, |o| o.room.as_ref(), id) {
                    self.spots.remove(&i);
                    self.take_dependents(ObjectKind::Spot, &i);
                }
            }
            ObjectKind::Spot => {
                let left: Vec<Id> = self
                    .plants
                    .iter()
                    .filter(|(_, p)| p.stands.as_ref() == Some(id))
                    .map(|(i, _)| i.clone())
                    .collect();
                for plant_id in left {
                    if let Some(plant) = self.plants.get(&plant_id) {
                        let placeless = Plant {
                            stands: None,
                            ..Plant::clone(plant)
                        };
                        self.plants.put(plant_id, placeless);
                    }
                }
                if self.choices.pins.iter().any(|p| p.spot == *id) {
                    Arc::make_mut(&mut self.choices)
                        .pins
                        .retain(|p| p.spot != *id);
                }
            }
            ObjectKind::Plant if self.choices.pins.iter().any(|p| p.plant == *id) => {
                Arc::make_mut(&mut self.choices)
                    .pins
                    .retain(|p| p.plant != *id);
            }
            _ => {}
        }
    }
}
