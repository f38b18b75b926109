//! The shop: machine, cutters, clamps, wood, feeds and speeds.

mod clamp;
mod cutter;
mod cutting_data;
mod machine;
mod overrides;

pub use clamp::Clamp;
pub use cutter::{Cutter, CutterMaterial, CutterShape};
pub use cutting_data::{Band, CuttingData, Governed};
pub use machine::{CutterChange, DialStop, Machine, Rigidity, Spindle};
pub use overrides::Overrides;
