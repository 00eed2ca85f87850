//! Small pieces that several desks are made of.

pub mod empty;
