//! Stock removed by a cutter: exact sweeps over a height field.
//!
//! A cutter's section is a convex function of the distance from its axis, so the lower surface
//! of its swept body over a sample has a closed form on lines of any slope and on level arcs,
//! and on helices for all but the corner of a bull-nose, which has a bounded search. No stroke
//! is taken apart into dots, so no ridge is left that the cutter would not leave.
//!
//! | stroke | heights at the samples |
//! | --- | --- |
//! | lines, plunges, level arcs | exact to rounding: [`ROUNDING`] |
//! | helices about a vertical axis | the same; bull-nose within 1e-4 mm |
//! | other arcs | chords within [`CHORD_TOLERANCE`] |
//!
//! A line that begins where the same cutter has just been is looked at from there on only: what
//! lies behind, the stroke before it has cut as low, to rounding.
//!
//! Between samples see [`crate::geometry::height_field::Resolution`]. Each sample keeps the
//! least of all edges that passed over it, whatever the order of the strokes.

mod arc;
mod batch;
mod envelope;
mod form;
mod glance;
mod helix;
mod line;
mod piece;
mod real;
mod removed;
mod section;
mod tile;
mod window;

pub use piece::CHORD_TOLERANCE;
pub(super) use piece::is_sound;
pub use removed::{CONTACT, Removed};
pub use section::Section;

use crate::geometry::{HeightField, Point, Stroke};
use batch::{BATCH, Tiles};

/// What rounding can do to a height, as if the cutter were moved by no more than this,
/// millimetres, in any direction.
pub const ROUNDING: f64 = 1e-4;

/// A stroke with a coordinate that is not a number, beyond ten kilometres, or an arc of more
/// than a turn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Unsound {
    /// Its place among the strokes, from 0.
    pub index: usize,
}

impl std::fmt::Display for Unsound {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "stroke {} has a place that no table could have", self.index)
    }
}

/// A height field that cutters cut.
#[derive(Clone, Debug)]
pub struct Stock {
    field: HeightField,
    tiles: Tiles,
}

impl Stock {
    /// Stock, spoilboard and what else stands in the field.
    #[must_use]
    pub fn new(field: HeightField) -> Stock {
        let tiles = Tiles::of(&field);
        Stock { field, tiles }
    }

    /// What is left.
    #[must_use]
    pub fn field(&self) -> &HeightField {
        &self.field
    }

    /// What is left, without the means to cut it.
    #[must_use]
    pub fn into_field(self) -> HeightField {
        self.field
    }

    /// Raises a rectangle to at least `z`, as [`HeightField::raise`] does.
    pub fn raise(&mut self, low: Point, high: Point, z: f64) {
        self.field.raise(low, high, z);
        self.tiles = Tiles::of(&self.field);
    }

    /// Cuts one stroke; says what it took. For many, [`Stock::remove_all`] is much faster and
    /// gives the same.
    ///
    /// # Errors
    /// [`Unsound`], with nothing cut.
    pub fn remove(&mut self, stroke: &Stroke, section: &Section) -> Result<Removed, Unsound> {
        let mut out = [Removed::default()];
        check(std::slice::from_ref(stroke))?;
        self.tiles.cut(&mut self.field, std::slice::from_ref(stroke), section, None, &mut out);
        Ok(out[0])
    }

    /// Cuts strokes in their order; says what each took from what those before it had left.
    ///
    /// # Errors
    /// [`Unsound`] for the first such stroke, with nothing cut.
    pub fn remove_all(
        &mut self,
        strokes: &[Stroke],
        section: &Section,
    ) -> Result<Vec<Removed>, Unsound> {
        check(strokes)?;
        let mut out = vec![Removed::default(); strokes.len()];
        let mut before = None;
        for (strokes, out) in strokes.chunks(BATCH).zip(out.chunks_mut(BATCH)) {
            self.tiles.cut(&mut self.field, strokes, section, before, out);
            before = strokes.last().map(|stroke| stroke.to);
        }
        Ok(out)
    }

    /// What each stroke would take from the field as it is, which stays so: a traverse, a
    /// holder ([`Section::flat`] at the height of its face), a cutter among clamps.
    ///
    /// # Errors
    /// [`Unsound`] for the first such stroke.
    pub fn probe_all(
        &self,
        strokes: &[Stroke],
        section: &Section,
    ) -> Result<Vec<Removed>, Unsound> {
        check(strokes)?;
        let mut out = vec![Removed::default(); strokes.len()];
        for (strokes, out) in strokes.chunks(BATCH).zip(out.chunks_mut(BATCH)) {
            self.tiles.probe(&self.field, strokes, section, out);
        }
        Ok(out)
    }
}

fn check(strokes: &[Stroke]) -> Result<(), Unsound> {
    match strokes.iter().position(|stroke| !piece::is_sound(stroke)) {
        Some(index) => Err(Unsound { index }),
        None => Ok(()),
    }
}
