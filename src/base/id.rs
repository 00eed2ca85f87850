//! Short names by which the parts of a site refer to one another.

use std::{borrow::Borrow, fmt, sync::Arc};

use serde::{Deserialize, Serialize};

/// Identifier of one object in a table of the site file, for example `"porch-bench"`.
///
/// Lower-case ASCII letters, digits and `-`, 1 to 48 characters, starting with a letter or digit. What a file
/// holds is checked by `site::file`; [`Id::from_name`] makes a fitting one from any text.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Id(Arc<str>);

impl Id {
    /// Takes the text as it is.
    #[must_use]
    pub fn new(text: &str) -> Self {
        Self(text.into())
    }

    /// Whether the text has the form described at [`Id`].
    #[must_use]
    pub fn is_well_formed(&self) -> bool {
        let bytes = self.0.as_bytes();
        matches!(bytes.first(), Some(b) if b.is_ascii_lowercase() || b.is_ascii_digit())
            && bytes.len() <= 48
            && bytes
                .iter()
                .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || *b == b'-')
    }

    /// Makes a well-formed identifier from a name, avoiding those for which `taken` answers true:
    /// `"South sill"` gives `south-sill`, then `south-sill-2`, `south-sill-3`, …
    #[must_use]
    pub fn from_name(name: &str, taken: impl Fn(&Id) -> bool) -> Self {
        let mut slug = String::new();
        for c in name.chars().flat_map(char::to_lowercase) {
            if slug.len() >= 40 {
                break;
            }
            if c.is_ascii_alphanumeric() {
                slug.push(c);
            } else if !slug.ends_with('-') && !slug.is_empty() {
                slug.push('-');
            }
        }
        let slug = slug.trim_end_matches('-');
        let slug = if slug.is_empty() { "item" } else { slug };
        let mut id = Self::new(slug);
        let mut n = 1_u32;
        while taken(&id) {
            n += 1;
            id = Self::new(&format!("{slug}-{n}"));
        }
        id
    }

    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl From<&str> for Id {
    fn from(text: &str) -> Self {
        Self::new(text)
    }
}

impl Borrow<str> for Id {
    fn borrow(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Id {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.0)
    }
}

impl fmt::Debug for Id {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:?}", &*self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_becomes_a_well_formed_id() {
        for (name, expected) in [
            ("South sill", "south-sill"),
            ("  Bench (under cloth) ", "bench-under-cloth"),
            ("Küche", "k-che"),
            ("東", "item"),
            ("", "item"),
        ] {
            let id = Id::from_name(name, |_| false);
            assert_eq!(id.as_str(), expected);
            assert!(id.is_well_formed(), "{id}");
        }
        let second = Id::from_name("Sill", |id| id.as_str() == "sill");
        assert_eq!(second.as_str(), "sill-2");
        assert!(Id::from_name(&"x".repeat(200), |id| id.as_str().len() == 40).is_well_formed());
    }
}
