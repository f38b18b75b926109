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
    BedMoldEntry, Bend, BendEntry, CoronaEntry, CymatiumEntry, FriezeEntry, Header, HeaderEntry,
    LeastRise, Make, MillEntry, OverhangEntry, PanelEntry, RiseEntry, SawEntry, StickEntry,
    StickOf,
};
pub use kind::{PartKind, Shape};
pub use on_table::OnTable;
pub use outline::{Entry, Finish, Milling, OutlineCut, Side};
pub use placing::{Bed, Hold, Placing, Screw, Stock, Tabs, Zero, ZeroCorner, ZeroHeight};
pub use template::TemplateEntry;

/// A commented job file of a whole door header: what `ovolo new header` writes.
pub const HEADER_STARTER: &str = include_str!("../sample-parts/door-header.toml");
/// A commented job file of an arched cap: also what `ovolo new cap` writes.
pub const CAP_STARTER: &str = include_str!("../sample-parts/arched-cap.toml");
/// A commented job file of a board with pockets and holes: what `ovolo new board` writes.
pub const BOARD_STARTER: &str = include_str!("../sample-parts/frieze-back.toml");
/// A commented job file of a bowed bed mould: what `ovolo new moulding` writes.
pub const MOULDING_STARTER: &str = include_str!("../sample-parts/bed-mold-arc.toml");
/// A commented job file of a carved panel: what `ovolo new panel` writes.
pub const PANEL_STARTER: &str = include_str!("../sample-parts/carved-panel.toml");
