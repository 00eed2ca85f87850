//! The window through accessible names, pointer and keys: as a whole, and desk by desk.

mod air_views;
mod climate;
mod cloth;
mod files;
mod fit;
mod light_views;
mod looks;
mod samples;
mod site;
mod site_desk;
mod stages;
mod week_desk;
mod whole;
