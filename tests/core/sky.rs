//! Sun, sky and weather, held against published values and reference libraries.

mod climate;
