//! The plan to scale: pan, zoom, snap, tools, hit testing, drawing.

pub mod air_map;
pub mod arrange;
pub mod carry;
pub mod change;
pub mod chest;
pub mod clip;
pub mod delete;
pub mod elevation;
pub mod finder;
#[cfg(test)]
mod fixture;
pub mod handles;
pub mod hit;
pub mod latest;
pub mod layers;
pub mod light_map;
pub mod measure;
pub mod paint;
pub mod plan;
pub mod pots;
pub mod reshape;
pub mod shade;
pub mod shape;
pub mod snap;
pub mod storeys;
pub mod tools;
pub mod underlay;
pub mod view;
