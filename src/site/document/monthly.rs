//! Twelve monthly figures, in a file a list: `[3.1, 2.9, None, …]`.

use std::fmt;

use serde::{Deserialize, Deserializer, de};

/// Figures by month, January to December, of which some may not be known; at least one is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Monthly([Option<f64>; 12]);

impl Monthly {
    /// `None` where no month is known.
    #[must_use]
    pub fn of(months: [Option<f64>; 12]) -> Option<Self> {
        months.iter().any(Option::is_some).then_some(Self(months))
    }

    #[must_use]
    pub fn months(&self) -> [Option<f64>; 12] {
        self.0
    }

    /// The twelve figures if each is known.
    #[must_use]
    pub fn whole(&self) -> Option<[f64; 12]> {
        let known: Vec<f64> = self.0.iter().copied().collect::<Option<_>>()?;
        known.try_into().ok()
    }

    /// Months (0 to 11) that are known, with their figures.
    pub fn known(&self) -> impl Iterator<Item = (usize, f64)> + '_ {
        self.0
            .iter()
            .enumerate()
            .filter_map(|(m, figure)| Some((m, (*figure)?)))
    }
}

impl From<[f64; 12]> for Monthly {
    fn from(months: [f64; 12]) -> Self {
        Self(months.map(Some))
    }
}

/// Twelve values, counted on reading.
struct Twelve<T>([T; 12]);

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Twelve<T> {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        struct Figures<T>(std::marker::PhantomData<T>);
        impl<'de, T: Deserialize<'de>> de::Visitor<'de> for Figures<T> {
            type Value = Twelve<T>;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a list of twelve figures, January to December, in [ ]")
            }

            fn visit_seq<A: de::SeqAccess<'de>>(self, mut seq: A) -> Result<Twelve<T>, A::Error> {
                let mut figures = Vec::with_capacity(12);
                while let Some(figure) = seq.next_element::<T>()? {
                    figures.push(figure);
                }
                let found = figures.len();
                figures.try_into().map(Twelve).map_err(|_| {
                    de::Error::custom(format!(
                        "twelve figures are needed, January to December, but here are {found}"
                    ))
                })
            }
        }
        // Lists and tuples alike: both brackets come naturally.
        d.deserialize_any(Figures(std::marker::PhantomData))
    }
}

/// A row of twelve figures.
pub(super) mod whole {
    use serde::{Deserialize, Deserializer, Serializer};

    use super::Twelve;

    pub fn serialize<S: Serializer>(figures: &Option<[f64; 12]>, s: S) -> Result<S::Ok, S::Error> {
        match figures {
            Some(figures) => s.serialize_some(figures.as_slice()),
            None => s.serialize_none(),
        }
    }

    pub fn deserialize<'de, D: Deserializer<'de>>(d: D) -> Result<Option<[f64; 12]>, D::Error> {
        Ok(Option::<Twelve<f64>>::deserialize(d)?.map(|t| t.0))
    }
}

/// A row in which `None` stands for a month that is not known; twelve of them are no row.
pub(super) mod known {
    use serde::{Deserialize, Deserializer, Serializer};

    use super::{Monthly, Twelve};

    pub fn serialize<S: Serializer>(figures: &Option<Monthly>, s: S) -> Result<S::Ok, S::Error> {
        match figures {
            Some(figures) => s.serialize_some(figures.0.as_slice()),
            None => s.serialize_none(),
        }
    }

    pub fn deserialize<'de, D: Deserializer<'de>>(d: D) -> Result<Option<Monthly>, D::Error> {
        Ok(Option::<Twelve<Option<f64>>>::deserialize(d)?.and_then(|t| Monthly::of(t.0)))
    }
}
