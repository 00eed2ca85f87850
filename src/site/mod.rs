//! The site document: all that a grower owns, drawn, measured and decided. It holds no result of any computation.

pub mod document;
pub mod edit;
pub mod file;
pub mod history;
pub(crate) mod outside;
pub mod records;
mod rename;
pub mod samples;

pub use document::*;
