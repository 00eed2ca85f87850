//! The five desks.
