//! Carved panels: motifs, the board that they stand on, heights from files, the job file.
#![allow(clippy::unwrap_used)]

#[path = "relief_support/ball.rs"]
mod ball;
#[path = "carved_panel/board.rs"]
mod board;
#[path = "carved_panel/job.rs"]
mod job;
#[path = "carved_panel/motifs.rs"]
mod motifs;
#[path = "carved_panel/sources.rs"]
mod sources;
