//! Whole jobs of the core, one file per part.

mod accuracy;
mod air;
mod climate;
mod cloth;
mod commands;
mod documents;
mod light;
mod map;
mod oddities;
mod plans;
mod samples;
mod sky;
mod stages;
mod verdicts;
