//! The strict reader of RS-274/NGC, held against NISTIR 6556 (Kramer, Proctor, Messina, The NIST
//! RS274NGC Interpreter - Version 3, 17 August 2000). Section numbers stand beside the rules.
#![allow(clippy::unwrap_used)]

#[path = "ngc/arcs.rs"]
mod arcs;
#[path = "ngc/bad_lines.rs"]
mod bad_lines;
#[path = "ngc/common.rs"]
mod common;
#[path = "ngc/cycles.rs"]
mod cycles;
#[path = "ngc/expressions.rs"]
mod expressions;
#[path = "ngc/lines.rs"]
mod lines;
#[path = "ngc/modes.rs"]
mod modes;
#[path = "ngc/offsets.rs"]
mod offsets;
#[path = "ngc/order.rs"]
mod order;
#[path = "ngc/second_opinion.rs"]
mod second_opinion;
#[path = "ngc/streams.rs"]
mod streams;
