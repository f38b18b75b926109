//! Reading RS-274/NGC text by the published rules of NISTIR 6556 (Kramer, Proctor, Messina,
//! The NIST RS274NGC Interpreter - Version 3, 2000). Knows nothing of who wrote the text.

mod event;

pub use event::{CoordinateSystem, Event, Frame, Motion, State, What};
