//! The solids that turn: the cutting end, its shank, its holder.

use super::removal::Section;
use crate::geometry::HeightField;
use crate::shop::Cutter;

/// A skin, mm, that a pass may take in full depth at its side (common practice: 0.5 to 1 mm are
/// left for finishing).
pub(super) const SKIN: f64 = 1.0;

/// How far around the flutes wood counts as beside them, in cells: the wall of a slot lies within.
const BESIDE: f64 = 1.5;

/// A cell and its diagonal: a thinner axis could pass between the samples.
const AXIS: f64 = 0.75;

/// A cutter as bodies of revolution, mm, with its tip at the origin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Body {
    /// Its end; `None` for a cutter that nobody named, of which only the axis is known.
    section: Option<Section>,
    /// Over the flutes; zero for an unknown cutter.
    pub(super) radius: f64,
    pub(super) flute_length: f64,
    /// From the tip up to the holder's face.
    pub(super) stick_out: f64,
    pub(super) holder_radius: f64,
}

impl Body {
    /// The bodies of a cutter of the table. Measures that make no such end make a square one.
    pub(super) fn of(cutter: &Cutter) -> Body {
        let radius = cutter.radius();
        let square = || Section::flat(radius).ok();
        Body {
            section: Section::of(cutter).ok().or_else(square),
            radius,
            flute_length: cutter.flute_length.0,
            stick_out: cutter.stick_out.0,
            holder_radius: cutter.holder_diameter.0 / 2.0,
        }
    }

    /// A body for a cutter that nobody named: its axis only.
    pub(super) fn axis_only() -> Body {
        Body {
            section: None,
            radius: 0.0,
            flute_length: f64::INFINITY,
            stick_out: f64::INFINITY,
            holder_radius: 0.0,
        }
    }

    /// Height of the end's surface above the tip, at this distance from the axis; beyond the
    /// radius that at the radius.
    pub(super) fn rise(&self, distance: f64) -> f64 {
        let height = |section: Section| section.height(distance.min(section.radius()));
        self.section.and_then(height).unwrap_or(0.0)
    }

    /// How far from its axis the end reaches at this height above its tip.
    pub(super) fn width(&self, height: f64) -> f64 {
        if self.rise(self.radius) <= height {
            return self.radius;
        }
        let (mut low, mut high) = (0.0, self.radius);
        // Halving 40 times: below a nanometre.
        for _ in 0..40 {
            let middle = (low + high) / 2.0;
            match self.rise(middle) <= height {
                true => low = middle,
                false => high = middle,
            }
        }
        low
    }

    /// Section, mm2, of the groove that the end cuts so deep in whole wood.
    pub(super) fn groove(&self, depth: f64) -> f64 {
        const SLICES: u32 = 32;
        let slice = depth / f64::from(SLICES);
        let at = |k: u32| 2.0 * self.width(slice * (f64::from(k) + 0.5));
        (0..SLICES).map(at).sum::<f64>() * slice
    }

    /// The end that cuts; of an unknown cutter the axis, as wide as a cell.
    pub(super) fn end(&self, field: &HeightField) -> Option<Section> {
        self.section.or_else(|| Section::flat(AXIS * field.cell()).ok())
    }

    /// The end a little narrower: what it meets, it meets for certain.
    pub(super) fn core(&self, field: &HeightField, less: f64) -> Option<Section> {
        match self.section {
            Some(section) => section.narrower(less).or_else(|| self.end(field)),
            None => self.end(field),
        }
    }

    /// The shank, wide enough to feel the wall of its own slot.
    pub(super) fn shank(&self, field: &HeightField) -> Option<Section> {
        Section::flat(self.radius + BESIDE * field.cell()).ok().filter(|_| self.section.is_some())
    }

    /// The holder or collet, seen from below.
    pub(super) fn holder(&self) -> Option<Section> {
        Section::flat(self.holder_radius).ok().filter(|_| self.section.is_some())
    }
}
