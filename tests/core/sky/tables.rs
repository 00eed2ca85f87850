//! Reads the reference tables.

use std::path::Path;

/// Rows of a table under `tests/reference`, by column, without the heading.
pub fn table(path: &str) -> Vec<Vec<String>> {
    let whole = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/reference")
        .join(path);
    let text = std::fs::read_to_string(&whole).unwrap();
    text.lines()
        .skip(1)
        .map(|line| line.split(',').map(str::to_owned).collect())
        .collect()
}

pub fn number(cell: &str) -> f64 {
    cell.parse().unwrap_or_else(|_| panic!("{cell:?}"))
}
