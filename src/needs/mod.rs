//! What each kind of plant wants at each stage of its year, with the source of every figure.
//! The kinds of the library are RON assets compiled in; a site can carry kinds of its own.

pub mod check;
pub mod figure;
pub mod kind;
pub mod library;

pub use figure::{Band, Figure, Source};
pub use kind::{
    Damage, Feed, Group, Kind, Leaf, LightForm, Needs, Poison, PotSense, Repot, Stage, StageName,
    Toxicity, Water, Weights,
};
