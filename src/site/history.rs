//! Undo and redo by snapshots that share what did not change.
