//! What a plan and a site promise: how likely each plant is to flower, and which kinds would do well here.

mod flowering;
mod suits;

pub use flowering::{Brake, Chance, FloweringOdds, flowering, odds};
pub use suits::{KindFit, SpotYear, Stretch, SuitInputs, suits};
