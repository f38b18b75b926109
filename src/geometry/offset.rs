//! Parallel offsets that keep arcs, each one certified before it is believed.
//!
//! A front moves in from the outline (`wave`); every ring that it leaves is checked by
//! `certificate`, which trusts nothing of how the ring was found. A ring that fails is put
//! together a second way (`second_way`, `slices`) and certified again; if none passes, all begins
//! anew with corners seen as one from another distance, and if none passes then, the answer is an
//! error with the place. Work grows as n log n.
//!
//! Bounds: a ring lies within 0.001 mm of its distance all along (and 0.00005 mm more where
//! corners so near to each other had to be seen as one), and nothing that is farther
//! inside than the distance and 0.001 mm is left out, save loops under 0.0001 mm wide. Source
//! arcs of a radius over a kilometre are taken as chords within 1e-7 mm. Coordinates may be up
//! to a kilometre from zero; outlines far from zero are offset about their middle.

mod certificate;
mod chains;
mod cores;
mod element;
mod front;
mod loops;
mod second_way;
mod slices;
mod span;
mod tree;
mod wave;

use super::{Contour, EPSILON, Point, point};
use certificate::certify;
use cores::in_chunks;
use element::{SHORT, Source};
use loops::Loops;
use tree::Tree;

/// How far an offset may stray from its distance, millimetres: a tenth of what a router
/// table resolves.
const TOLERANCE: f64 = 1e-3;

/// Loops that are on average thinner than this, millimetres, are slivers: a tenth of the
/// tolerance.
const SLIVER: f64 = 1e-4;

/// Why an offset can not be given.
#[derive(Clone, Debug, PartialEq)]
pub enum OffsetError {
    /// The source is not a valid outline; the sentence says why.
    Source(String),
    /// A distance or step that can not be used: no number, below zero, or not growing.
    Distance(f64),
    /// The result failed its certificate at this place.
    NotCertified {
        /// Where the result is wrong.
        at: Point,
        /// How far it is from the source.
        distance: f64,
        /// How far it should be.
        wanted: f64,
    },
}

impl std::fmt::Display for OffsetError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            OffsetError::Source(why) => write!(f, "the outline can not be offset: {why}"),
            OffsetError::Distance(d) => write!(
                f,
                "an outline can not be offset by {d} mm: distances must be numbers from zero up and must grow by at least 0.001 mm"
            ),
            OffsetError::NotCertified { at, distance, wanted } => write!(
                f,
                "the offset of the outline is wrong near ({:.3}, {:.3}): {distance:.4} mm from the outline where {wanted:.4} mm is wanted",
                at.x, at.y
            ),
        }
    }
}

impl std::error::Error for OffsetError {}

impl Contour {
    /// The loops that run parallel to a closed contour, `distance` to the left of its travel
    /// (inward if counter-clockwise); negative to the right. Corners on the far side become
    /// arcs. Empty when nothing is that far inside.
    ///
    /// # Errors
    /// [`OffsetError`] if the contour is not a simple closed outline, or if the result does
    /// not pass its certificate.
    pub fn offset(&self, distance: f64) -> Result<Vec<Contour>, OffsetError> {
        self.validate()?;
        if !distance.is_finite() {
            return Err(OffsetError::Distance(distance));
        }
        let source = if distance < 0.0 { self.reversed() } else { self.clone() };
        let loops = rings(&[source], std::iter::once(distance.abs()))?.pop().unwrap_or_default();
        Ok(match distance < 0.0 {
            true => loops.iter().map(Contour::reversed).collect(),
            false => loops,
        })
    }

    /// Checks that a contour is closed, finite, free of crossings and of arcs over half a turn.
    ///
    /// # Errors
    /// [`OffsetError::Source`] with the reason.
    pub fn validate(&self) -> Result<(), OffsetError> {
        let bad = |why: String| Err(OffsetError::Source(why));
        if !self.closed || self.vertices.len() < 2 {
            return bad("it is not closed".to_string());
        }
        for v in &self.vertices {
            if !(v.at.x.is_finite() && v.at.y.is_finite() && v.bulge.is_finite()) {
                return bad("it has a corner that is no number".to_string());
            }
            if v.at.x.abs().max(v.at.y.abs()) > FARTHEST {
                return bad(format!(
                    "its corner ({}, {}) is more than {FARTHEST} mm from zero",
                    v.at.x, v.at.y
                ));
            }
            if v.bulge.abs() > 1.0 + 1e-9 {
                return bad(format!(
                    "the arc from ({:.3}, {:.3}) is more than a half circle",
                    v.at.x, v.at.y
                ));
            }
        }
        // Half of what makes a sliver, so that no ring that was kept is refused as a source.
        let least = (SLIVER * self.length() / 4.0).max(EPSILON);
        if self.moved(-self.vertices[0].at).area().abs() < least {
            return bad("it encloses nothing that is wider than 0.0001 mm".to_string());
        }
        check_crossings(&Loops::of_source(std::iter::once(self)))
    }
}

/// Coordinates beyond this, millimetres, leave too few digits for the tolerances here: a
/// kilometre.
const FARTHEST: f64 = 1e6;

fn check_crossings(loops: &Loops) -> Result<(), OffsetError> {
    let crossed = in_chunks(loops.spans.len(), |range| {
        Tree::groups(range).filter_map(|group| loops.crossing(group)).take(1).collect()
    });
    crossed.first().map_or(Ok(()), |at| {
        let why = format!("it crosses or touches itself near ({:.3}, {:.3})", at.x, at.y);
        Err(OffsetError::Source(why))
    })
}

/// Checks that no contour crosses or touches itself or another. Each must be valid by itself.
///
/// # Errors
/// [`OffsetError::Source`] with the place.
pub fn check_disjoint(contours: &[Contour]) -> Result<(), OffsetError> {
    check_crossings(&Loops::of_source(contours.iter()))
}

/// Checks that the first contour, counter-clockwise, holds all others, clockwise, and that these
/// lie apart. Each contour must be valid by itself.
pub(super) fn check_apart(contours: &[Contour]) -> Result<(), OffsetError> {
    if contours.len() < 2 {
        return Ok(());
    }
    let loops = Loops::of_source(contours.iter());
    check_crossings(&loops)?;
    for index in 0..contours.len() {
        let Some(span) = loops.spans.get(loops.loops[index].start) else { continue };
        let wanted = i32::from(index > 0);
        if loops.winding_of_others(index, span.middle()) != wanted {
            let at = span.from;
            return Err(OffsetError::Source(format!(
                "island {} near ({:.3}, {:.3}) is not between the outline and the other islands",
                index.max(1),
                at.x,
                at.y
            )));
        }
    }
    Ok(())
}

/// The rings at growing distances to the left of valid contours, up to and with the first empty
/// one. While one ring is certified the next is sought.
pub(super) fn rings(
    contours: &[Contour],
    distances: impl Iterator<Item = f64> + Clone + Send,
) -> Result<Vec<Vec<Contour>>, OffsetError> {
    let away = far_from_zero(contours);
    let near = |by: Point| contours.iter().map(|c| c.moved(by)).collect::<Vec<_>>();
    let moved = away.map(|by| near(-by));
    let contours = moved.as_deref().unwrap_or(contours);
    let mut found = from_source(contours, SHORT, distances.clone());
    for short in OTHERWISE_SHORT {
        if !matches!(found, Err(OffsetError::NotCertified { .. })) {
            break;
        }
        found = from_source(contours, short, distances.clone()).or(found);
    }
    let Some(by) = away else { return found };
    let back = |loops: Vec<Contour>| loops.iter().map(|c| c.moved(by)).collect();
    match found {
        Ok(rings) => Ok(rings.into_iter().map(back).collect()),
        Err(OffsetError::NotCertified { at, distance, wanted }) => {
            Err(OffsetError::NotCertified { at: at + by, distance, wanted })
        }
        Err(other) => Err(other),
    }
}

/// Where rings can not be certified, corners are seen as one from other distances, millimetres:
/// making two corners one turns an edge beside them that is as short, so that it may look the wrong
/// way. The last is a twentieth of the tolerance.
const OTHERWISE_SHORT: [f64; 2] = [1e-6, 5e-5];

fn from_source(
    contours: &[Contour],
    short: f64,
    distances: impl Iterator<Item = f64> + Send,
) -> Result<Vec<Vec<Contour>>, OffsetError> {
    let source = Source::new(contours, short);
    if shared(&source) {
        // Inside the pool, so that waking the other core costs little.
        rayon::scope(|_| run(&source, contours, distances))
    } else {
        run(&source, contours, distances)
    }
}

/// Whether two cores find the rings sooner than one: not where waking the other takes as long
/// as a ring, and longer while it has other work.
fn shared(source: &Source) -> bool {
    /// Elements from which a ring costs a good deal more than waking a core.
    const WORTH_SHARING: usize = 256;
    source.elements.len() >= WORTH_SHARING
}

/// Outlines whose middle is farther from zero than this many times their size lose digits
/// that they need not lose.
const FAR: f64 = 4.0;

/// Whole millimetres to the middle of outlines that lie far from zero for their size, so that
/// moving them there loses no digit.
fn far_from_zero(contours: &[Contour]) -> Option<Point> {
    let corners = contours.iter().flat_map(|c| &c.vertices).map(|v| v.at);
    let (low, high) = corners.map(|p| (p, p)).reduce(|(low, high), (p, _)| {
        (point(low.x.min(p.x), low.y.min(p.y)), point(high.x.max(p.x), high.y.max(p.y)))
    })?;
    let middle = (low + high) * 0.5;
    (middle.length() > FAR * low.distance(high)).then(|| point(middle.x.round(), middle.y.round()))
}

fn run(
    source: &Source,
    contours: &[Contour],
    distances: impl Iterator<Item = f64>,
) -> Result<Vec<Vec<Contour>>, OffsetError> {
    let mut rings = Vec::new();
    let mut distances = Growing { distances, last: None }.peekable();
    while matches!(distances.peek(), Some(Ok(d)) if *d < 10.0 * EPSILON) {
        distances.next();
        rings.push(contours.to_vec());
    }
    let mut before = source.outline.clone();
    let Some(mut distance) = distances.next().transpose()? else { return Ok(rings) };
    let mut wave = before.step(source, distance);
    loop {
        let next = distances.next().transpose()?;
        let sought = wave.as_ref().ok();
        let certify = || sought.map(|wave| certify(source, &before, wave, distance));
        let step = || Some(sought?.step(source, next?));
        let (certified, ahead) =
            if shared(source) { rayon::join(certify, step) } else { (certify(), step()) };
        let (found, loops, ahead) = match (certified, wave) {
            (Some(Ok(passed)), Ok(wave)) => {
                let (wave, loops) = wave.passed(passed);
                (wave, loops, ahead)
            }
            _ => {
                let (wave, loops) = second_way::seek(source, &before, distance)?;
                let ahead = next.map(|next| wave.step(source, next));
                (wave, loops, ahead)
            }
        };
        let empty = loops.is_empty();
        rings.push(loops);
        let (Some(next), Some(ahead), false) = (next, ahead, empty) else { return Ok(rings) };
        (before, wave, distance) = (found, ahead, next);
    }
}

/// Distances, refused where they do not grow.
struct Growing<I> {
    distances: I,
    last: Option<f64>,
}

impl<I: Iterator<Item = f64>> Iterator for Growing<I> {
    type Item = Result<f64, OffsetError>;

    fn next(&mut self) -> Option<Self::Item> {
        let next = self.distances.next()?;
        let grows = self.last.is_none_or(|last| next >= last + TOLERANCE * (1.0 - EPSILON));
        let good = next.is_finite() && next >= 0.0 && grows;
        self.last = Some(next);
        Some(if good { Ok(next) } else { Err(OffsetError::Distance(next)) })
    }
}
