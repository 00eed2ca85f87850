//! The site document: reading, faults, edits, history, saving.
