//! The job file: what is to be made, from which board, held how, zeroed where.

mod file;
mod outline;
mod placing;

pub use file::{Job, JobFile, Part, PartEntry, PartKind, Shape};
pub use outline::{Entry, Finish, Milling, OutlineCut, Side};
pub use placing::{Bed, Hold, Placing, Screw, Stock, Tabs, Zero, ZeroCorner, ZeroHeight};
