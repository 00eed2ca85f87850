//! A table of objects by identifier whose clone is one pointer.

use std::{collections::BTreeMap, sync::Arc};

use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::Id;

/// Objects of one kind by identifier, in the order of the identifiers.
///
/// A clone shares everything; an edit copies one table of pointers. So a history of snapshots is cheap, and
/// [`Table::same_as`] tells at once which tables an edit has touched. In a file it is a RON map.
#[derive(Debug)]
pub struct Table<T>(Arc<BTreeMap<Id, Arc<T>>>);

/// What is shared is equal, and is not looked at: states of a large site are compared often.
impl<T: PartialEq> PartialEq for Table<T> {
    fn eq(&self, other: &Self) -> bool {
        self.same_as(other)
            || self.len() == other.len()
                && self
                    .iter()
                    .zip(other.iter())
                    .all(|((i, a), (j, b))| i == j && (Arc::ptr_eq(a, b) || a == b))
    }
}

impl<T> Clone for Table<T> {
    fn clone(&self) -> Self {
        Self(Arc::clone(&self.0))
    }
}

impl<T> Default for Table<T> {
    fn default() -> Self {
        Self(Arc::default())
    }
}

impl<T> Table<T> {
    #[must_use]
    pub fn len(&self) -> usize {
        self.0.len()
    }

    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    #[must_use]
    pub fn get(&self, id: &Id) -> Option<&Arc<T>> {
        self.0.get(id)
    }

    #[must_use]
    pub fn contains(&self, id: &Id) -> bool {
        self.0.contains_key(id)
    }

    /// In the order of the identifiers.
    pub fn iter(&self) -> impl DoubleEndedIterator<Item = (&Id, &Arc<T>)> + ExactSizeIterator {
        self.0.iter()
    }

    pub fn ids(&self) -> impl DoubleEndedIterator<Item = &Id> + ExactSizeIterator {
        self.0.keys()
    }

    pub fn values(&self) -> impl DoubleEndedIterator<Item = &T> + ExactSizeIterator {
        self.0.values().map(|v| &**v)
    }

    /// Whether both are the very same table in memory: then nothing in it differs.
    #[must_use]
    pub fn same_as(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.0, &other.0)
    }

    /// Puts an object in, in place of the one of the same name.
    pub fn put(&mut self, id: Id, value: T) -> Option<Arc<T>> {
        Arc::make_mut(&mut self.0).insert(id, Arc::new(value))
    }

    pub fn remove(&mut self, id: &Id) -> Option<Arc<T>> {
        if self.contains(id) {
            Arc::make_mut(&mut self.0).remove(id)
        } else {
            None
        }
    }
}

impl<T> FromIterator<(Id, T)> for Table<T> {
    fn from_iter<I: IntoIterator<Item = (Id, T)>>(items: I) -> Self {
        Self(Arc::new(
            items.into_iter().map(|(id, v)| (id, Arc::new(v))).collect(),
        ))
    }
}

impl<T: Serialize> Serialize for Table<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter())
    }
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Table<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Entries<T>(std::marker::PhantomData<T>);
        impl<'de, T: Deserialize<'de>> serde::de::Visitor<'de> for Entries<T> {
            type Value = Table<T>;

            fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str("a map of objects by identifier, { \"some-id\": (…), … }")
            }

            fn visit_map<A: serde::de::MapAccess<'de>>(
                self,
                mut map: A,
            ) -> Result<Self::Value, A::Error> {
                let mut table = BTreeMap::new();
                while let Some((id, value)) = map.next_entry::<Id, T>()? {
                    if table.contains_key(&id) {
                        return Err(serde::de::Error::custom(format!(
                            "the identifier {id:?} stands twice in this table; rename one of the two"
                        )));
                    }
                    table.insert(id, Arc::new(value));
                }
                Ok(Table(Arc::new(table)))
            }
        }
        deserializer.deserialize_map(Entries(std::marker::PhantomData))
    }
}
