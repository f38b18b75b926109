//! An outline with islands: what a pocket clears and what it leaves standing.

use super::offset::{OffsetError, check_apart, rings};
use super::{Contour, Point};

/// Rings nearer to each other than this, millimetres, are one ring: the offsets' tolerance.
const LEAST_STEP: f64 = 1e-3;

/// An outline and the islands inside it; what lies between them is the region.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Region {
    outer: Contour,
    islands: Vec<Contour>,
}

impl Region {
    /// A region from its outline and islands, travelled either way. Afterwards the outline runs
    /// counter-clockwise and the islands clockwise: the region is on the left of them all.
    ///
    /// # Errors
    /// [`OffsetError::Source`] if a contour is no simple closed outline, if two cross or touch,
    /// if an island is not inside the outline, or if it is inside another island.
    pub fn new(outer: Contour, islands: Vec<Contour>) -> Result<Region, OffsetError> {
        let turned =
            |c: Contour, left: bool| if (c.area() > 0.0) == left { c } else { c.reversed() };
        let all: Vec<Contour> = std::iter::once((outer, true))
            .chain(islands.into_iter().map(|c| (c, false)))
            .map(|(c, left)| c.validate().map(|()| turned(c, left)))
            .collect::<Result<_, _>>()?;
        check_apart(&all)?;
        let mut all = all.into_iter();
        let outer = all.next().unwrap_or_default();
        Ok(Region { outer, islands: all.collect() })
    }

    /// The outline, counter-clockwise.
    #[must_use]
    pub fn outer(&self) -> &Contour {
        &self.outer
    }

    /// The islands, clockwise.
    #[must_use]
    pub fn islands(&self) -> &[Contour] {
        &self.islands
    }

    /// Outline and islands.
    pub fn contours(&self) -> impl Iterator<Item = &Contour> {
        std::iter::once(&self.outer).chain(&self.islands)
    }

    /// Area of the outline less that of the islands, square millimetres.
    #[must_use]
    pub fn area(&self) -> f64 {
        self.contours().map(Contour::area).sum()
    }

    /// Whether `p` is inside the outline and in no island (on a contour: either).
    #[must_use]
    pub fn contains(&self, p: Point) -> bool {
        self.outer.contains(p) && !self.islands.iter().any(|i| i.contains(p))
    }

    /// What is farther than `distance` from the outline and from every island, in as many
    /// regions as it falls into; none if nothing is that far inside.
    ///
    /// # Errors
    /// [`OffsetError`] if the distance is negative or no number, or if the result can not be
    /// certified.
    pub fn inset(&self, distance: f64) -> Result<Vec<Region>, OffsetError> {
        Ok(self.insets(&[distance])?.pop().unwrap_or_default())
    }

    /// The insets at growing distances, together: each costs only what still lives there.
    ///
    /// # Errors
    /// As [`Region::inset`], and if the distances do not grow.
    pub fn insets(&self, distances: &[f64]) -> Result<Vec<Vec<Region>>, OffsetError> {
        let mut all = self.all_rings(distances.iter().copied())?;
        // Rings end at the first empty one, and so are all after it.
        all.resize(distances.len(), Vec::new());
        Ok(all)
    }

    /// Nested rings: insets at `first`, `first + step`, and so on while something is left,
    /// at most `most` of them.
    ///
    /// # Errors
    /// As [`Region::inset`], and if the step is under a thousandth of a millimetre.
    pub fn rings(
        &self,
        first: f64,
        step: f64,
        most: Option<usize>,
    ) -> Result<Vec<Vec<Region>>, OffsetError> {
        if !(step.is_finite() && step >= LEAST_STEP) {
            return Err(OffsetError::Distance(step));
        }
        let count = most.unwrap_or(usize::MAX);
        let mut all = self.all_rings((0..count).map(|i| first + step * i as f64))?;
        all.retain(|ring| !ring.is_empty());
        Ok(all)
    }

    fn all_rings(
        &self,
        distances: impl Iterator<Item = f64> + Send,
    ) -> Result<Vec<Vec<Region>>, OffsetError> {
        let contours: Vec<Contour> = self.contours().cloned().collect();
        Ok(rings(&contours, distances)?.into_iter().map(sort_out).collect())
    }
}

/// Puts each clockwise loop into the smallest counter-clockwise one around it.
fn sort_out(loops: Vec<Contour>) -> Vec<Region> {
    let (outer, islands): (Vec<Contour>, Vec<Contour>) =
        loops.into_iter().partition(|c| c.area() > 0.0);
    let mut regions: Vec<Region> =
        outer.into_iter().map(|outer| Region { outer, islands: Vec::new() }).collect();
    if let [only] = regions.as_mut_slice() {
        only.islands = islands;
        return regions;
    }
    let areas: Vec<f64> = regions.iter().map(|r| r.outer.area()).collect();
    let boxes: Vec<_> = regions.iter().map(|r| r.outer.bounds()).collect();
    for island in islands {
        let at = island.vertices[0].at;
        let around = (0..regions.len())
            .filter(|&i| {
                boxes[i].is_some_and(|(low, high)| {
                    low.x <= at.x && at.x <= high.x && low.y <= at.y && at.y <= high.y
                })
            })
            .filter(|&i| regions[i].outer.contains(at))
            .min_by(|&a, &b| areas[a].total_cmp(&areas[b]));
        if let Some(index) = around {
            regions[index].islands.push(island);
        }
    }
    regions
}
