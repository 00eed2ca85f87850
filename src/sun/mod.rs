//! Where the sun stands. Times are UTC or local standard time; local clock time with daylight saving is converted
//! at the edges by [`clock`]. Azimuths are true, clockwise from north, radians.

pub mod clear;
pub mod clock;
mod course;
pub mod extraterrestrial;
pub mod position;
pub mod table;

pub use position::{SunPosition, position};
pub use table::{REFERENCE_YEAR, SunDay, SunTable};
