//! The job file: what is to be made, from which board, held how, zeroed where.

mod file;
mod header;
mod kind;
mod on_table;
mod outline;
mod placing;
mod template;

pub use crate::tracing::TracingEntry;
pub use file::{Job, JobFile, Part, PartEntry};
pub use header::{
    BedMoldEntry, BendEntry, CoronaEntry, CymatiumEntry, FriezeEntry, Header, HeaderEntry,
    OverhangEntry, PanelEntry, SawEntry, StickEntry, StickOf,
};
pub use kind::{PartKind, Shape};
pub use on_table::OnTable;
pub use outline::{Entry, Finish, Milling, OutlineCut, Side};
pub use placing::{Bed, Hold, Placing, Screw, Stock, Tabs, Zero, ZeroCorner, ZeroHeight};
pub use template::TemplateEntry;

/// A commented job file of an arched cap: also what `ovolo new cap` writes.
pub const CAP_STARTER: &str = include_str!("../sample-parts/arched-cap.toml");
