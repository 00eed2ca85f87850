//! The site document: reading, faults, edits, history, saving.

mod edits;
mod faults;
mod format;
mod saving;
mod syntax;
