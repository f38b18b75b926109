//! From a part to the cutter's moves.

mod grain;
pub mod incise;
mod lead;
mod levels;
mod outline;
mod plan;
mod profile;
pub mod relief;
mod tabs;
mod track;

pub use outline::{OutlinePlan, OutlineSpec};
pub use plan::{PartPlan, plan};
pub use profile::Profile;
pub use tabs::Tab;
pub use track::Track;
