//! From a part to the cutter's moves.

mod edge_break;
mod grain;
mod groove;
mod hole;
mod lead;
mod levels;
mod outline;
mod pen;
mod plan;
mod pocket;
mod profile;
mod tabs;
mod track;

pub use outline::{OutlinePlan, OutlineSpec};
pub use plan::{PartPlan, Surface, plan};
pub use profile::Profile;
pub use tabs::Tab;
pub use track::Track;
