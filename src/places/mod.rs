//! Towns with latitude, longitude, height and time zone, searched without a network.
//!
//! 50,000 towns from 5,000 people on, from GeoNames (CC BY 4.0); `assets/places/README.md` tells how the list was made.

mod coast;
mod fold;
mod list;
mod search;

pub use coast::coast_km;
pub use list::{Town, towns};
pub use search::{find, nearest};
