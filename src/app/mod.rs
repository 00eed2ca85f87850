//! The window. The only place that knows egui; it reads outcomes and pushes edits, and computes no physics.

pub mod canvas;
pub mod desks;
pub mod state;
