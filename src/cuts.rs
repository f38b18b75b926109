//! From a part to the cutter's moves.

mod axes;
mod edge_break;
mod grain;
mod groove;
mod hole;
pub mod incise;
mod lead;
mod levels;
mod order;
mod outline;
mod pen;
mod plan;
mod pocket;
mod profile;
pub mod relief;
pub mod sweep;
mod tabs;
mod track;

pub use outline::{OutlinePlan, OutlineSpec};
pub use plan::{PartPlan, SectionCut, SectionPasses, Surface, plan, plan_to_judge, plan_watched};
pub use pocket::PocketFigures;
pub use profile::Profile;
pub use tabs::Tab;
pub use track::Track;
