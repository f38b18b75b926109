//! The dry run: every interlock with good and bad programs, a corpus of faults, the verdict.
#![allow(clippy::unwrap_used)]

#[path = "dry_run/bench.rs"]
mod bench;
#[path = "dry_run/corpus.rs"]
mod corpus;
#[path = "dry_run/cutting.rs"]
mod cutting;
#[path = "dry_run/interlocks.rs"]
mod interlocks;
#[path = "dry_run/loose.rs"]
mod loose;
#[path = "dry_run/outlines.rs"]
mod outlines;
#[path = "dry_run/source.rs"]
mod source;
#[path = "dry_run/styles.rs"]
mod styles;
#[path = "dry_run/surface.rs"]
mod surface;
#[path = "dry_run/verdict.rs"]
mod verdict;
