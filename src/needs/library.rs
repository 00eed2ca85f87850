//! The library of kinds that comes with the program.

use super::Kind;
use crate::base::Table;

/// All kinds of the library by identifier. Parsed once.
#[must_use]
pub fn kinds() -> &'static Table<Kind> {
    static KINDS: std::sync::LazyLock<Table<Kind>> = std::sync::LazyLock::new(Table::default);
    &KINDS
}
