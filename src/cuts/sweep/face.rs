//! What a cutter sees of a moulding from above: the face in its pose, and what it hides.

use super::span::Span;
use crate::geometry::profile::Profile;
use crate::geometry::{Contour, EPSILON, Piece, Point, point};
use crate::part::Pose;
use serde::Serialize;

/// Part of a moulding that no cutter reaches from above.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Undercut {
    /// The element that is hidden, from 0; 0 for all of a traced face.
    pub element: usize,
    /// The element that hides it; none for the back, the top or the bottom.
    pub by: Option<usize>,
    /// How deep it lies behind what hides it, mm.
    pub depth: f64,
    /// From how far up the moulding to how far up it lies, mm.
    pub up: (f64, f64),
    /// How far up the moulding what hides it stands, mm.
    pub under: f64,
}

/// A face as it lies on the table. u runs across the sweep, away from the path: from the back of
/// a moulding that stands or hangs, from the lower edge of one on its back. z runs up from the
/// table. Millimetres.
#[derive(Clone, Debug, PartialEq)]
pub struct Face {
    /// From left to right, walls included, without a gap: what is reached.
    pub spans: Vec<Span>,
    /// What is not.
    pub hidden: Vec<Undercut>,
    /// Least and greatest u.
    pub extent: (f64, f64),
    /// Greatest z: the thickness that it needs.
    pub height: f64,
    /// How it lies.
    pose: Pose,
    /// How high the moulding stands on the wall.
    stands: f64,
}

/// Depths below this are rounding, mm.
const HIDDEN: f64 = 0.01;
/// Places looked at along each piece that may be hidden.
const LOOKS: usize = 64;

impl Face {
    /// The face of a profile in a pose.
    #[must_use]
    pub fn of(profile: &Profile, pose: Pose) -> Face {
        let turned = pieces(profile, pose);
        let all: Vec<Span> =
            turned.iter().flat_map(|(piece, element)| Span::of(piece, *element)).collect();
        let spans = upper(&all);
        let stands = profile.height();
        let low = spans.first().map_or(0.0, |s| s.from.x);
        let high = spans.last().map_or(0.0, |s| s.to.x);
        let height = spans.iter().map(highest).fold(0.0, f64::max);
        let face = Face { spans, hidden: Vec::new(), extent: (low, high), height, pose, stands };
        Face { hidden: face.hidden(&turned), ..face }
    }

    /// The whole section of the profile that it is the face of, in the pose, closed.
    #[must_use]
    pub fn outline(&self, profile: &Profile) -> Contour {
        let turned: Vec<Piece> =
            pieces(profile, self.pose).into_iter().map(|(piece, _)| piece).collect();
        Contour::from_pieces(&turned, true)
    }

    /// How far up the moulding a point of its section lies, as it stands on the wall.
    #[must_use]
    pub fn up(&self, p: Point) -> f64 {
        match self.pose {
            Pose::BackDown => p.x,
            Pose::TopDown => self.stands - p.y,
            Pose::BottomDown => p.y,
        }
    }

    /// Width in u.
    #[must_use]
    pub fn width(&self) -> f64 {
        self.extent.1 - self.extent.0
    }

    /// Its height at `u`; the higher side of a wall.
    #[must_use]
    pub fn z(&self, u: f64) -> f64 {
        self.spans
            .iter()
            .filter(|s| s.from.x - EPSILON <= u && u <= s.to.x + EPSILON)
            .map(|s| s.z(u))
            .fold(f64::NEG_INFINITY, f64::max)
    }

    /// Length along what is reached.
    #[must_use]
    pub fn length(&self) -> f64 {
        self.spans.iter().map(Span::length).sum()
    }
}

impl Face {
    /// Every stretch of an element that lies below something else, and how deep.
    fn hidden(&self, turned: &[(Piece, Option<usize>)]) -> Vec<Undercut> {
        let spans = &self.spans;
        let mut found: Vec<Undercut> = Vec::new();
        let mut open = false;
        for (piece, element) in turned {
            let Some(element) = *element else { continue };
            for i in 0..=LOOKS {
                let at = piece.at(i as f64 / LOOKS as f64);
                let over = above(spans, at);
                // What is cut off along the face's edges is seen from there: from both of a
                // moulding on its back, else from the front.
                let right = self.extent.1 - at.x;
                let left = at.x - self.extent.0;
                let side = if self.pose == Pose::BackDown { right.min(left) } else { right };
                let depth = spans.iter().map(|s| distance(s, at)).fold(side, f64::min);
                let Some(over) = over.filter(|_| depth >= HIDDEN) else {
                    open = false;
                    continue;
                };
                let (up, by) = (self.up(at), over.element);
                match found.last_mut().filter(|u| open && u.element == element && u.by == by) {
                    Some(known) => {
                        known.up = (known.up.0.min(up), known.up.1.max(up));
                        known.depth = known.depth.max(depth);
                    }
                    None => {
                        let under = self.up(point(at.x, over.z(at.x)));
                        found.push(Undercut { element, by, depth, up: (up, up), under });
                    }
                }
                open = true;
            }
        }
        found
    }
}

/// Highest point of a span.
pub(super) fn highest(span: &Span) -> f64 {
    let ends = span.from.y.max(span.to.y);
    match span.run {
        super::span::Run::Hill { center, radius }
            if span.from.x <= center.x && center.x <= span.to.x =>
        {
            center.y + radius
        }
        _ => ends,
    }
}

/// The section's outline in the pose, each piece with its element.
fn pieces(profile: &Profile, pose: Pose) -> Vec<(Piece, Option<usize>)> {
    let (height, back) = (profile.height(), profile.back);
    let turn = |p: Point| match pose {
        Pose::BackDown => point(p.y, p.x + back),
        Pose::TopDown => point(p.x + back, height - p.y),
        Pose::BottomDown => point(p.x + back, p.y),
    };
    // The first two poses mirror the section.
    let hand = if pose == Pose::BottomDown { 1.0 } else { -1.0 };
    let faces = profile.face.pieces().count();
    let mut element = 0;
    profile
        .section()
        .pieces()
        .enumerate()
        .map(|(i, piece)| {
            let own = (i < faces).then_some(element);
            let ends =
                profile.elements.get(element).is_some_and(|e| e.to.distance(piece.to) < 1e-6);
            if ends {
                element += 1;
            }
            let turned =
                Piece { from: turn(piece.from), to: turn(piece.to), bulge: piece.bulge * hand };
            (turned, own)
        })
        .collect()
}

/// The highest span at every u, with walls where it jumps.
fn upper(all: &[Span]) -> Vec<Span> {
    let mut places: Vec<f64> = all.iter().flat_map(|s| [s.from.x, s.to.x]).collect();
    places.sort_by(f64::total_cmp);
    places.dedup_by(|b, a| *b - *a < EPSILON);
    let mut out: Vec<Span> = Vec::new();
    for pair in places.windows(2) {
        let middle = (pair[0] + pair[1]) / 2.0;
        let over = all
            .iter()
            .filter(|s| !s.is_wall() && s.from.x <= middle && middle <= s.to.x)
            .max_by(|a, b| a.z(middle).total_cmp(&b.z(middle)));
        let Some(top) = over else { continue };
        let part = top.part(pair[0], pair[1]);
        match out.last_mut() {
            Some(last) if last.run == part.run && joins(last, &part) => last.to = part.to,
            last => {
                let before = last.map(|s| s.to);
                if let Some(before) = before
                    && (before.y - part.from.y).abs() > EPSILON
                {
                    out.push(Span::line(before, part.from, part.element));
                }
                out.push(part);
            }
        }
    }
    out
}

/// Whether two spans with one run are one span.
fn joins(last: &Span, next: &Span) -> bool {
    let straight = match last.run {
        super::span::Run::Line => {
            !last.is_wall() && (last.slope(0.0) - next.slope(0.0)).abs() < 1e-9
        }
        _ => true,
    };
    straight && last.element == next.element && last.to.distance(next.from) < EPSILON
}

/// The span over a point that lies below the face.
fn above(spans: &[Span], at: Point) -> Option<&Span> {
    spans
        .iter()
        .filter(|s| !s.is_wall() && s.from.x <= at.x + EPSILON && at.x <= s.to.x + EPSILON)
        .filter(|s| s.z(at.x) > at.y + HIDDEN)
        .max_by_key(|s| s.element)
}

/// Least distance from a point to a span.
fn distance(span: &Span, p: Point) -> f64 {
    use super::span::Run;
    let ends = span.from.distance(p).min(span.to.distance(p));
    match span.run {
        Run::Line => {
            let piece = Piece { from: span.from, to: span.to, bulge: 0.0 };
            piece.at(piece.nearest_share(p)).distance(p)
        }
        Run::Hill { center, radius } | Run::Hollow { center, radius } => {
            let out = (p - center).unit().unwrap_or_default();
            let foot = center + out * radius;
            let within = foot.x >= span.from.x && foot.x <= span.to.x;
            let half = matches!(span.run, Run::Hill { .. }) == (foot.y >= center.y);
            if within && half { foot.distance(p) } else { ends }
        }
    }
}
