//! What a plan and a site promise: how likely each plant is to flower, which kinds would do well here, and how a kind
//! stands to the climate of the open.

mod flowering;
mod open;
mod suits;

pub use flowering::{Brake, Chance, FloweringOdds, flowering, odds};
pub use open::{AgainstClimate, Lies, Open, OpenFactor, against_climate};
pub use suits::{KindFit, SpotYear, Stretch, SuitInputs, suits};
