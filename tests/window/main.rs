//! The window through accessible names, pointer and keys: as a whole, and desk by desk.

mod air_views;
mod climate;
mod cloth;
mod escape;
mod files;
mod fit;
mod leading;
mod light_views;
mod looks;
mod low;
mod names;
mod samples;
mod site;
mod site_desk;
mod stages;
mod units;
mod week_desk;
mod whole;
mod whole_job;
