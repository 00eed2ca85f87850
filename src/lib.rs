//! Sillward tells a grower of potted plants where each pot should stand, every week of the year, and why.
//!
//! The modules stand in the order of the flow; each may use only those before it, and a test holds them to it.
//! Nothing before [`app`] knows of a window, and [`app`] computes no physics.

// The blank lines keep the order of the flow against the formatter's alphabet.
pub mod base;

pub mod needs;

pub mod places;

pub mod site;

pub mod sun;

pub mod climate;

pub mod stages;

pub mod sky;

pub mod light;

pub mod air;

pub mod scoring;

pub mod planner;

pub mod cloth;

pub mod prospects;

pub mod care;

pub mod trouble;

pub mod pipeline;

pub mod commands;

pub mod app;
