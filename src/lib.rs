//! From a tape measure reading to a checked router program for classical door headers.
//!
//! Data flows one way. A job file becomes parts, parts become cuts, cuts become a neutral
//! [`toolpath`], and a dialect writes that as G-code text. The text is then read back by
//! [`ngc`] and tried by [`dry_run`], which know nothing of how it was made.
//!
//! Inside the library lengths are millimetres, angles radians, times seconds and feeds
//! millimetres per minute; other units exist only in [`units`] and in what people read.

pub mod cuts;
pub mod diagnostic;
pub mod document;
pub mod drawing;
pub mod dry_run;
pub mod files;
pub mod geometry;
pub mod job;
pub mod layout;
pub mod make;
pub mod ngc;
pub mod ornament;
pub mod part;
pub mod post;
pub mod relief;
pub mod report;
pub mod shop;
pub mod toolpath;
pub mod tracing;
pub mod units;
pub mod watch;
