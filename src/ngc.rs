//! Reading RS-274/NGC text by the published rules of NISTIR 6556 (Kramer, Proctor, Messina,
//! The NIST RS274NGC Interpreter - Version 3, 2000). Knows nothing of who wrote the text.

mod arc;
mod block;
mod cursor;
mod cycle;
mod event;
mod expression;
mod interpreter;
mod machine;
mod modal;
mod motion;
mod options;
mod parameters;
mod problem;
mod source;
mod text;
mod uses;

pub use event::{CoordinateSystem, Event, Frame, Motion, State, Statement, What};
pub use options::Options;
pub use problem::{Problem, Rule};
pub use source::{Source, each_line};
pub use text::{interpret, interpret_all, interpret_source, interpret_stream};
