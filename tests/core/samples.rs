//! The sample sites, judged as a grower would.
