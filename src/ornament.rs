//! Carved ornament by rule: each motif is a list of rounded forms laid one over the next.
//!
//! A motif is drawn in its own frame, millimetres, x to the right and y up, about its middle or
//! its hanging point, and gives a height over the ground at every point: smooth along every
//! form, with a steep clean wall where one form lies over the next, as a carver sets it in.
//! Nothing is flattened to facets: forms are closed-form functions along chains of true arcs.

mod bands;
mod blade;
mod boss;
mod festoon;
mod foliage;
mod form;
mod frame;
mod guilloche;
mod husk;
mod key_fret;
mod motif;
mod ribbon;
mod rosette;
mod spine;
mod straight;

pub use bands::{bead_and_reel, egg_and_dart, laurel_band};
pub use blade::{Blade, Girth, OPEN, Section};
pub use boss::{Boss, Ring};
pub use festoon::{Festoon, Swag, festoon};
pub use foliage::{Acanthus, acanthus};
pub use form::{Form, Layer};
pub use frame::Frame;
pub use guilloche::guilloche;
pub use husk::{HuskDrop, husk_drop};
pub use key_fret::{key_fret, key_fret_outline};
pub use motif::{Canvas, Motif};
pub use rosette::{Rosette, rosette};
pub use spine::Spine;
pub use straight::{Channel, fluting, reeding};
