//! The medial axis of a region: the points that have two nearest places on its outline.
//!
//! Built as the Voronoi diagram of the outline's straight pieces (S. Fortune, A sweepline
//! algorithm for Voronoi diagrams, Algorithmica 2, 1987). The diagram is made on whole
//! numbers and is not trusted: the distance of every point of the axis is measured anew to the
//! true outline, arcs included, and a point that is not inside the region is left out.

use super::{Contour, Point, Region, point};
use boostvoronoi::prelude::{Builder, Diagram, Edge, SourceCategory};
use std::collections::BTreeMap;

/// Whole numbers for each millimetre: 10 nm, far below any machine's resolution.
const SCALE: f64 = 1e5;

/// Farthest from its middle that a region may reach, millimetres: the whole numbers must stay
/// within 2^30.
const FARTHEST: f64 = 1e4;

/// Arcs are taken apart into lines within this, millimetres.
const FLATNESS: f64 = 5e-4;

/// Where two pieces of the outline meet in less than this turn, radians (12 degrees), they
/// stand for one smooth line, and the axis has no branch into the joint.
const SMOOTH: f64 = 0.21;

/// Points of the axis are no farther apart than this, millimetres.
const STEP: f64 = 0.25;

/// An axis no wider than this, millimetres, is that of a disc: rounding spread its centre.
const ONE_POINT: f64 = 0.02;

/// A branch of the axis: points with their distances to the outline.
#[derive(Clone, Debug, PartialEq)]
pub struct Branch {
    /// In order; the distance is that to the true outline.
    pub points: Vec<(Point, f64)>,
}

/// Why there is no axis.
#[derive(Clone, Debug, PartialEq)]
pub enum AxisError {
    /// The region reaches farther than can be held.
    TooLarge {
        /// Its greatest width, millimetres.
        width: f64,
    },
    /// The diagram could not be made.
    Diagram(String),
}

impl std::fmt::Display for AxisError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            AxisError::TooLarge { width } => write!(
                f,
                "an outline {width:.0} mm wide is too large for its middle line: at most {:.0} mm",
                2.0 * FARTHEST
            ),
            AxisError::Diagram(why) => write!(f, "no middle line was found: {why}"),
        }
    }
}

impl std::error::Error for AxisError {}

/// The outline as straight pieces between whole numbers.
struct Pieces {
    middle: Point,
    lines: Vec<[i64; 4]>,
    /// The next piece of the same contour.
    next: Vec<usize>,
}

/// The medial axis of a region. Branches into corners are kept, those into the joints of
/// smooth curves are not. A disc has one branch of one point.
///
/// # Errors
/// [`AxisError`].
pub fn medial_axis(region: &Region) -> Result<Vec<Branch>, AxisError> {
    let pieces = Pieces::of(region)?;
    let diagram = diagram(&pieces)?;
    let bad = |e: boostvoronoi::BvError| AxisError::Diagram(e.to_string());
    let (low, high) = region.outer().bounds().unwrap_or_default();
    let grown = 1.0 / SCALE;
    let near = |p: Point| {
        (low.x - grown..=high.x + grown).contains(&p.x)
            && (low.y - grown..=high.y + grown).contains(&p.y)
    };
    let mut arms: Vec<(usize, usize, Vec<Point>)> = Vec::new();
    for edge in diagram.edges() {
        let twin = edge.twin().map_err(bad)?;
        if !edge.is_primary() || edge.id().usize() > twin.usize() {
            continue;
        }
        let (Some(from), Some(to)) =
            (edge.vertex0(), diagram.edge_get_vertex1(edge.id()).map_err(bad)?)
        else {
            continue;
        };
        if pieces.joint(&diagram, edge).map_err(bad)? {
            continue;
        }
        let place = |v| -> Result<Point, AxisError> {
            let vertex = diagram.vertex(v).map_err(bad)?;
            Ok(pieces.place(vertex.x(), vertex.y()))
        };
        let (a, b) = (place(from)?, place(to)?);
        // Outside, two pieces that are all but parallel have their axis meet another anywhere, up
        // to as far as numbers go; inside, no axis leaves the box.
        if !near(a) || !near(b) {
            continue;
        }
        let points = pieces.course(&diagram, edge, a, b).map_err(bad)?;
        let middle = match points.len() {
            2 => (a + b) * 0.5,
            n => points[n / 2],
        };
        if region.contains(middle) {
            arms.push((from.usize(), to.usize(), points));
        }
    }
    let measured = |points: Vec<Point>| Branch {
        points: points.into_iter().map(|p| (p, distance(region, p))).collect(),
    };
    if spread(&arms) < ONE_POINT {
        // A disc: the point farthest inside.
        let centre = diagram
            .vertices()
            .iter()
            .map(|v| pieces.place(v.x(), v.y()))
            .filter(|&p| region.contains(p))
            .map(|p| (p, distance(region, p)))
            .max_by(|a, b| a.1.total_cmp(&b.1));
        return Ok(centre.map(|c| Branch { points: vec![c] }).into_iter().collect());
    }
    Ok(join(arms).into_iter().map(measured).collect())
}

/// The longer side of the box round all arms.
fn spread(arms: &[(usize, usize, Vec<Point>)]) -> f64 {
    let mut all = arms.iter().flat_map(|arm| &arm.2);
    let Some(&first) = all.next() else { return 0.0 };
    let (low, high) = all.fold((first, first), |(low, high), p| {
        (point(low.x.min(p.x), low.y.min(p.y)), point(high.x.max(p.x), high.y.max(p.y)))
    });
    (high.x - low.x).max(high.y - low.y)
}

/// Distance to the nearest place of the outline and the islands.
fn distance(region: &Region, p: Point) -> f64 {
    region
        .contours()
        .filter_map(|c| c.nearest(p))
        .map(|n| n.1.distance(p))
        .fold(f64::INFINITY, f64::min)
}

fn diagram(pieces: &Pieces) -> Result<Diagram, AxisError> {
    let bad = |e: boostvoronoi::BvError| AxisError::Diagram(e.to_string());
    Builder::<i64>::default().with_segments(pieces.lines.iter()).map_err(bad)?.build().map_err(bad)
}

impl Pieces {
    fn of(region: &Region) -> Result<Pieces, AxisError> {
        let (low, high) = region.outer().bounds().unwrap_or_default();
        let width = (high.x - low.x).max(high.y - low.y);
        if width > 2.0 * FARTHEST {
            return Err(AxisError::TooLarge { width });
        }
        let middle = (low + high) * 0.5;
        let mut pieces = Pieces { middle, lines: Vec::new(), next: Vec::new() };
        for contour in region.contours() {
            pieces.add(contour);
        }
        Ok(pieces)
    }

    fn add(&mut self, contour: &Contour) {
        let whole = |p: Point| {
            let q = (p - self.middle) * SCALE;
            (q.x.round() as i64, q.y.round() as i64)
        };
        let mut corners: Vec<(i64, i64)> =
            contour.flattened(FLATNESS).into_iter().map(whole).collect();
        corners.dedup();
        if corners.len() > 1 && corners.first() == corners.last() {
            corners.pop();
        }
        let (first, count) = (self.lines.len(), corners.len());
        for (k, a) in corners.iter().enumerate() {
            let b = corners[(k + 1) % count];
            self.lines.push([a.0, a.1, b.0, b.1]);
            self.next.push(first + (k + 1) % count);
        }
    }

    fn place(&self, x: f64, y: f64) -> Point {
        self.middle + point(x, y) * (1.0 / SCALE)
    }

    fn ends(&self, line: usize) -> (Point, Point) {
        let [a, b, c, d] = self.lines[line];
        (self.place(a as f64, b as f64), self.place(c as f64, d as f64))
    }

    /// The piece that made a cell, and whether it was one of its ends: the end.
    fn source(
        &self,
        diagram: &Diagram,
        edge: &Edge,
    ) -> Result<(usize, Option<Point>), boostvoronoi::BvError> {
        let cell = diagram.cell(edge.cell()?)?;
        let line = cell.source_index().usize();
        let (a, b) = self.ends(line);
        Ok(match cell.source_category() {
            SourceCategory::SegmentStart => (line, Some(a)),
            SourceCategory::SegmentEnd => (line, Some(b)),
            _ => (line, None),
        })
    }

    /// Whether an edge runs into the joint of two pieces that stand for one smooth line.
    fn joint(&self, diagram: &Diagram, edge: &Edge) -> Result<bool, boostvoronoi::BvError> {
        let one = self.source(diagram, edge)?;
        let other = self.source(diagram, diagram.edge(edge.twin()?)?)?;
        if one.1.is_some() || other.1.is_some() {
            return Ok(false);
        }
        let (one, other) = (one.0, other.0);
        if self.next[one] != other && self.next[other] != one {
            return Ok(false);
        }
        let way = |line: usize| {
            let (a, b) = self.ends(line);
            b - a
        };
        let (a, b) = (way(one), way(other));
        Ok(a.cross(b).atan2(a.dot(b)).abs() < SMOOTH)
    }

    /// Points along an edge from `a` to `b`: a line, or a parabola about an end of a piece.
    fn course(
        &self,
        diagram: &Diagram,
        edge: &Edge,
        a: Point,
        b: Point,
    ) -> Result<Vec<Point>, boostvoronoi::BvError> {
        let count = (a.distance(b) / STEP).ceil().max(1.0);
        let share = |k: usize| k as f64 / count;
        let straight = (0..=count as usize).map(|k| a + (b - a) * share(k));
        if !edge.is_curved() {
            return Ok(straight.collect());
        }
        let one = self.source(diagram, edge)?;
        let other = self.source(diagram, diagram.edge(edge.twin()?)?)?;
        let (focus, line) = match (one.1, other.1) {
            (Some(focus), None) => (focus, other.0),
            (None, Some(focus)) => (focus, one.0),
            _ => return Ok(straight.collect()),
        };
        let (start, end) = self.ends(line);
        let Some(along) = (end - start).unit() else { return Ok(straight.collect()) };
        let up = along.left();
        // In the frame of the line: the parabola is y = ((x - fx)² + fy²) / (2 fy).
        let frame = |p: Point| point((p - start).dot(along), (p - start).dot(up));
        let (f, from, to) = (frame(focus), frame(a).x, frame(b).x);
        // Close to its line the focus is the joint itself.
        if f.y.abs() < 1e-6 {
            return Ok(straight.collect());
        }
        let on = |x: f64| start + along * x + up * (((x - f.x).powi(2) + f.y * f.y) / (2.0 * f.y));
        // Twice as many as a line of that length would have: the parabola bends.
        let count = 2.0 * count;
        let mut points: Vec<Point> =
            (0..=count as usize).map(|k| on(from + (to - from) * k as f64 / count)).collect();
        points[0] = a;
        if let Some(last) = points.last_mut() {
            *last = b;
        }
        Ok(points)
    }
}

/// Arms that meet two at a place become one branch.
fn join(arms: Vec<(usize, usize, Vec<Point>)>) -> Vec<Vec<Point>> {
    let mut at: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (k, (from, to, _)) in arms.iter().enumerate() {
        at.entry(*from).or_default().push(k);
        at.entry(*to).or_default().push(k);
    }
    let through = |v: usize| at.get(&v).map_or(0, Vec::len) == 2;
    let mut used = vec![false; arms.len()];
    let mut out = Vec::new();
    // First from ends and forks, then what is left: rings.
    for rings in [false, true] {
        for k in 0..arms.len() {
            for start in [arms[k].0, arms[k].1] {
                if used[k] || (!rings && through(start)) {
                    continue;
                }
                let mut points: Vec<Point> = Vec::new();
                let (mut arm, mut from) = (k, start);
                loop {
                    used[arm] = true;
                    let (a, b, course) = &arms[arm];
                    let forward = *a == from;
                    let skip = usize::from(!points.is_empty());
                    match forward {
                        true => points.extend(course.iter().skip(skip)),
                        false => points.extend(course.iter().rev().skip(skip)),
                    }
                    from = if forward { *b } else { *a };
                    let next = at[&from].iter().copied().find(|&n| !used[n]);
                    match next.filter(|_| through(from)) {
                        Some(n) => arm = n,
                        None => break,
                    }
                }
                out.push(points);
            }
        }
    }
    out
}
