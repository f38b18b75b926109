//! Outlines and profiles from drawings: known shapes, round trips, complaints, hostile files.
#![allow(clippy::unwrap_used)]

#[path = "tracing/complaints.rs"]
mod complaints;
#[path = "tracing/hostile.rs"]
mod hostile;
#[path = "tracing/profiles.rs"]
mod profiles;
#[path = "tracing/round_trips.rs"]
mod round_trips;
#[path = "tracing/shapes.rs"]
mod shapes;
#[path = "tracing/write.rs"]
mod write;
