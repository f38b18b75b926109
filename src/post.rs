//! From neutral moves to G-code text, through a dialect that is data.
//!
//! A dialect file says how a control wants its text: units, decimals, the form of arcs,
//! spindle and cutter words. The writer says the rest, the same for every control: state
//! everything before moving, rise before crossing, and let rounding break no arc.

mod arcs;
mod block;
mod check;
mod dialect;
mod grid;
mod library;
mod lines;
mod remark;
mod writer;

pub use dialect::{
    ArcForm, Comments, CutterChanges, Dialect, DwellUnit, EndWord, LineEnding, LineNumbers,
    NumberForm, Separator, SpindleControl, ValveWord,
};
pub use library::built_in;
pub use remark::{Heading, WIDEST};
pub use writer::{Program, write};
