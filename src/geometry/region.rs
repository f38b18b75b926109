//! An outline with islands: what a pocket clears and what it leaves standing.

use super::offset::{OffsetError, check_apart, check_disjoint, rings};
use super::{Contour, Point};

/// Rings nearer to each other than this, millimetres, are one ring: the offsets' tolerance.
const LEAST_STEP: f64 = 1e-3;

/// How much nearer the walls than its radius a cutter's middle may go, millimetres: less than
/// half of the micrometre by which a slot can be too narrow for it, more than the 0.0001 mm
/// under which an offset's loops are slivers.
const SNUG: f64 = 2.5e-4;

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

    /// Where the middle of a cutter of this radius may go. As [`Region::inset`], but a quarter of
    /// a micrometre nearer the walls: a slot just as wide as the cutter is then a slot that it
    /// clears, and one a micrometre narrower is still none.
    ///
    /// # Errors
    /// As [`Region::inset`].
    pub fn reach(&self, radius: f64) -> Result<Vec<Region>, OffsetError> {
        self.inset((radius - SNUG).max(0.0))
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

    /// As [`Region::rings`], each region with the one around it in the ring before: what is
    /// needed to walk from ring to ring without leaving what is between them.
    ///
    /// # Errors
    /// As [`Region::rings`].
    pub fn nest(
        &self,
        first: f64,
        step: f64,
        most: Option<usize>,
    ) -> Result<Vec<Vec<Nested>>, OffsetError> {
        let mut levels: Vec<Vec<Nested>> = Vec::new();
        for ring in self.rings(first, step, most)? {
            let before = levels.last().map_or(&[][..], Vec::as_slice);
            let level = ring.into_iter().map(|region| Nested::within(before, region)).collect();
            levels.push(level);
        }
        Ok(levels)
    }

    /// All points not farther than `distance` from the region: one region, as it only grows
    /// together with itself.
    ///
    /// # Errors
    /// As [`Region::inset`].
    pub fn outset(&self, distance: f64) -> Result<Vec<Region>, OffsetError> {
        outset_all(std::slice::from_ref(self), distance)
    }

    /// What a disc of this radius covers when it stays inside the region: the morphological
    /// opening, an inset and its outset (J. Serra, "Image Analysis and Mathematical Morphology",
    /// 1982, from memory). What is missing from it no cutter of that radius can reach.
    ///
    /// # Errors
    /// As [`Region::inset`].
    pub fn opening(&self, radius: f64) -> Result<Vec<Region>, OffsetError> {
        outset_all(&self.inset(radius)?, radius)
    }

    fn all_rings(
        &self,
        distances: impl Iterator<Item = f64> + Clone + Send,
    ) -> Result<Vec<Vec<Region>>, OffsetError> {
        let contours: Vec<Contour> = self.contours().cloned().collect();
        Ok(rings(&contours, distances)?.into_iter().map(sort_out).collect())
    }
}

/// All points not farther than `distance` from any of several regions that lie apart. Those that
/// come together are one.
///
/// # Errors
/// [`OffsetError::Source`] if two of them cross or touch, else as [`Region::inset`].
pub fn outset_all(regions: &[Region], distance: f64) -> Result<Vec<Region>, OffsetError> {
    if regions.is_empty() {
        return Ok(Vec::new());
    }
    // The regions' outside, on the left of each contour travelled the other way, shrinks.
    let outside: Vec<Contour> =
        regions.iter().flat_map(Region::contours).map(Contour::reversed).collect();
    check_disjoint(&outside)?;
    let loops = rings(&outside, std::iter::once(distance))?.pop().unwrap_or_default();
    Ok(sort_out(loops.iter().map(Contour::reversed).collect()))
}

/// A region of a ring and where it lies in the ring before.
#[derive(Clone, Debug, PartialEq)]
pub struct Nested {
    /// What is farther inside than the ring's distance.
    pub region: Region,
    /// Number, in the ring before, of the region around it; `None` in the first ring.
    pub parent: Option<usize>,
}

impl Nested {
    fn within(before: &[Nested], region: Region) -> Nested {
        // A whole step farther in than the ring before: never on its contours.
        let at = region.outer.vertices.first().map_or(Point::default(), |v| v.at);
        let parent = match before {
            [_] => Some(0),
            _ => before.iter().position(|n| n.region.contains(at)),
        };
        Nested { region, parent }
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
