//! Ground that everything stands on: geometry of the plan, the calendar of 52 weeks, unit conversions,
//! identifiers, seeded randomness. Knows nothing of plants, sites or windows.

pub mod calendar;
pub mod cancel;
pub mod geometry;
pub mod id;
pub mod lanes;
pub mod names;
pub mod robust;
pub mod seed;
pub mod table;
pub mod units;

pub use calendar::{Day, Hemisphere, MonthDay, Months, Season, Week};
pub use cancel::{Cancelled, Progress};
pub use geometry::Pt;
pub use id::Id;
pub use table::Table;
