//! The window. The only place that knows egui; it reads outcomes and pushes edits, and computes no physics.

pub mod actions;
pub mod canvas;
pub mod desks;
mod dial;
mod files;
pub mod inspector;
pub mod parts;
mod ribbon;
mod says;
mod settings;
mod sheets;
pub mod state;
pub mod theme;
mod window;
mod worker;

pub use window::{App, Start, run};
