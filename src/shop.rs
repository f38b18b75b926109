//! The shop: machine, cutters, clamps, wood, feeds and speeds.

mod checks;
mod clamp;
mod cutter;
mod cutting_data;
mod feeds;
mod feeds_table;
mod file;
mod machine;
mod material;
mod overrides;

pub use clamp::Clamp;
pub use cutter::{Cutter, CutterMaterial, CutterShape};
pub use cutting_data::{Band, CuttingData, Governed};
pub use feeds_table::feeds_table;
pub use file::{STARTER, Shop, ShopFile};
pub use machine::{CutterChange, DialStop, Machine, Rigidity, Spindle};
pub use material::{Material, MaterialClass, all_materials};
pub use overrides::Overrides;
