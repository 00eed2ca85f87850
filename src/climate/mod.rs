//! From what is known of the weather to hours and years: a typical year by the hour for light and air, and many
//! weather years by the day for risks. Same input, same numbers, on every machine.

mod clearness;
mod daily;
mod estimates;
mod gaps;
mod generator;
pub mod hourly;
pub mod import;
mod moisture;
pub mod normals;
mod own_hours;
mod radiation;
mod residuals;
pub mod risks;
mod seasonal;
mod temperature;
mod typical;
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
    progress.check()?;
    let place = &sound(place);
    let (normals, mut methods) = normals::fill(place, &climate.normals);
    let means = daily::DailyMeans::of(place, &normals, sun);
    progress.check()?;
    let (years, notes) = generator::generate(&normals, &means, climate);
    methods.extend(notes);
    progress.check()?;
    let mut typical = typical::year(&normals, &means, &years, sun, climate.seed);
    let of_file = climate
        .hours
        .as_ref()
        .and_then(|file| own_hours::put(file, &mut typical, &normals, &means, sun));
    methods.push(of_file.unwrap_or_else(|| {
        "The typical year is put together, month by month, from the weather year whose days come nearest to those of \
         all years; its monthly means are brought to the normals."
            .to_owned()
    }));
    Ok(Weather {
        normals,
        typical,
        years,
        methods,
    })
}

/// The place with its figures drawn to where there is air and sun: half-typed ones must not fail.
fn sound(place: &Place) -> Place {
    let within = |value: f64, low: f64, high: f64| {
        if value.is_finite() {
            value.clamp(low, high)
        } else {
            0.0
        }
    };
    Place {
        latitude_deg: within(place.latitude_deg, -90.0, 90.0),
        longitude_deg: within(place.longitude_deg, -180.0, 180.0),
        elevation_m: within(place.elevation_m, -500.0, 9000.0),
        ..place.clone()
    }
}

/// The days of a month (0 to 11) as indices 0..365.
fn month_days(month0: usize) -> std::ops::Range<usize> {
    use crate::base::calendar::MONTH_STARTS;
    MONTH_STARTS[month0]..MONTH_STARTS[month0 + 1]
}
