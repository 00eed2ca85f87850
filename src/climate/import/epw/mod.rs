//! Hourly weather files in the EPW format: eight lines of headings, then a line of 35 fields for each hour.
//!
//! Field numbers, units and codes for what is missing as in the public column specification of the format (EnergyPlus,
//! Auxiliary Programs, "EPW CSV format"). Hours 1 to 24 end at the full hour, in standard time.

mod checks;
mod column;
mod pauses;
mod rows;
mod station;
mod year;

use super::{ImportError, Imported};
use rows::Rows;

/// Reads the text of an EPW file.
///
/// # Errors
/// [`ImportError::Fault`], naming line and field.
pub fn read(text: &str) -> Result<Imported, ImportError> {
    let (site, data_from) = station::headings(text)?;
    let mut rows = Rows::read(text, data_from)?;
    rows.check_whole()?;
    rows.check_ranges()?;
    rows.told();
    rows.check_units(&site)?;
    Ok(rows.imported(site)?)
}

fn short(word: &str) -> String {
    word.chars().take(24).collect()
}
