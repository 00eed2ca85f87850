//! Reading, checking and writing site files.
