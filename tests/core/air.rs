//! Air at a spot, held against published relations and library values.

mod evenings;
mod fixture;
mod forecasts;
mod leaves;
mod moist_air;
mod pictures;
mod readings;
mod records;
mod risks;
mod rooms;
mod roots;
mod spots;
mod streams;
mod water;
