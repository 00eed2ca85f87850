//! What each kind of plant wants at each stage of its year, with the source of every figure.
//! The kinds of the library are RON assets compiled in; a site can carry kinds of its own.
//!
//! A band is held against a weekly mean, not against single hours. Its source is that of the ideal corners; where
//! the source names no harm, the outer corners are our estimate. An outer corner that nothing can reach (115 %
//! humidity) says that there is no harm on that side. The light wanted at rest is that of a rest as cool as the
//! stage's ideal: a shrub that sleeps at 4 °C uses next to none. Single frosts and hot hours are the business of
//! [`kind::Damage`].

pub mod check;
pub mod figure;
pub mod kind;
pub mod library;

pub use figure::{Band, Figure, Source};
pub use kind::{
    Damage, Feed, Group, Kind, Leaf, LightForm, Needs, Poison, PotSense, Repot, Stage, StageName,
    Toxicity, Water, Weights,
};
