//! Headless commands.
