//! Weather from files, and weather years against records of stations.

mod epw;
mod record;
mod station;
