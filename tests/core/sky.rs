//! Sun, sky and weather, held against published values and reference libraries.

mod climate;
mod radiance;
mod stations;
mod sun;
pub mod tables;
