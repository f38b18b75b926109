//! The mouldings seen from above: where each piece lies and how its ends meet their neighbours.

use super::mitre::{CurvedMitre, mitre_of_turn};
use crate::geometry::{CircularSegment, Contour, Piece, Point, Vertex, point};

/// How closely the arcs of a drawn mitre follow the true curve, mm.
const MITRE_TOLERANCE: f64 = 0.001;

/// Which piece of moulding it is, from the left end of the wall to the right.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Role {
    /// Bed mould from the wall to the frieze's left corner.
    BedLeftEndReturn,
    /// Bed mould along the frieze, left of the panel.
    BedLeftRun,
    /// Bed mould out along the panel's left side.
    BedLeftBreakReturn,
    /// Bed mould over the panel; over the whole frieze without a panel.
    BedFront,
    /// Bed mould back along the panel's right side.
    BedRightBreakReturn,
    /// Bed mould along the frieze, right of the panel.
    BedRightRun,
    /// Bed mould from the frieze's right corner to the wall.
    BedRightEndReturn,
    /// Cap moulding along the cap's left end.
    CapLeftReturn,
    /// Cap moulding round the bowed front.
    CapFront,
    /// Cap moulding along the cap's right end.
    CapRightReturn,
}

impl Role {
    /// As a person calls it among its own kind: `left run`.
    #[must_use]
    pub fn short_name(self) -> &'static str {
        let name = self.name();
        name.split_once(", ").map_or(name, |(_, short)| short)
    }

    /// As a person calls it.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Role::BedLeftEndReturn => "bed mould, left end return",
            Role::BedLeftRun => "bed mould, left run",
            Role::BedLeftBreakReturn => "bed mould, left break return",
            Role::BedFront => "bed mould, front",
            Role::BedRightBreakReturn => "bed mould, right break return",
            Role::BedRightRun => "bed mould, right run",
            Role::BedRightEndReturn => "bed mould, right end return",
            Role::CapLeftReturn => "cap moulding, left return",
            Role::CapFront => "cap moulding, bowed front",
            Role::CapRightReturn => "cap moulding, right return",
        }
    }
}

/// What a piece's end meets.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Joint {
    /// The wall: a square cut.
    Wall,
    /// An outside corner: the face is longer than the back.
    Outside,
    /// An inside corner: the face is shorter than the back.
    Inside,
    /// A return and the bowed front: an outside corner whose true line is a curve.
    Bowed,
}

/// One end of a piece.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct PieceEnd {
    /// What it meets.
    pub joint: Joint,
    /// Saw setting off square, radians; at a bowed joint the direction at the cap's corner.
    pub angle: f64,
}

/// One moulding in plan.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct PlanPiece {
    /// Which.
    pub role: Role,
    /// What it covers seen from above: closed, counter-clockwise.
    pub footprint: Contour,
    /// Length along its back.
    pub back: f64,
    /// Length along its face.
    pub face: f64,
    /// Length of straight stock that holds it, end to end.
    pub overall: f64,
    /// The end nearer the wall's left along the run.
    pub start: PieceEnd,
    /// The other end.
    pub end: PieceEnd,
}

/// A joint's line in plan, from the back's corner to the face's.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct MitreLine {
    /// What kind.
    pub joint: Joint,
    /// The line: straight, or arcs that follow the true curve.
    pub line: Contour,
}

/// The bed mould along `backs`, the corners of the faces that it is fixed to from the left wall
/// to the right, outwards on the left of travel; and its mitres.
pub(super) fn bed_mold(backs: &[Point], p: f64) -> (Vec<PlanPiece>, Vec<MitreLine>) {
    let roles: &[Role] = if backs.len() == 8 {
        &[
            Role::BedLeftEndReturn,
            Role::BedLeftRun,
            Role::BedLeftBreakReturn,
            Role::BedFront,
            Role::BedRightBreakReturn,
            Role::BedRightRun,
            Role::BedRightEndReturn,
        ]
    } else {
        &[Role::BedLeftEndReturn, Role::BedFront, Role::BedRightEndReturn]
    };
    let ways: Vec<Point> =
        backs.windows(2).map(|w| (w[1] - w[0]).unit().unwrap_or_default()).collect();
    let ends: Vec<PieceEnd> = (0..backs.len()).map(|i| end_at(&ways, i)).collect();
    let faces: Vec<Point> =
        (0..backs.len()).map(|i| backs[i] + face_offset(&ways, i) * p).collect();
    let pieces = roles
        .iter()
        .enumerate()
        .map(|(i, &role)| {
            let corners = [backs[i], backs[i + 1], faces[i + 1], faces[i]];
            let along = |c: &Point| (*c - backs[i]).dot(ways[i]);
            let low = corners.iter().map(along).fold(f64::INFINITY, f64::min);
            let high = corners.iter().map(along).fold(f64::NEG_INFINITY, f64::max);
            PlanPiece {
                role,
                footprint: Contour::polygon(&corners),
                back: backs[i].distance(backs[i + 1]),
                face: faces[i].distance(faces[i + 1]),
                overall: high - low,
                start: ends[i],
                end: ends[i + 1],
            }
        })
        .collect();
    let lines = (1..backs.len().saturating_sub(1))
        .map(|i| {
            let line = Piece { from: backs[i], to: faces[i], bulge: 0.0 };
            MitreLine { joint: ends[i].joint, line: Contour::from_pieces(&[line], false) }
        })
        .collect();
    (pieces, lines)
}

fn end_at(ways: &[Point], corner: usize) -> PieceEnd {
    if corner == 0 || corner >= ways.len() {
        return PieceEnd { joint: Joint::Wall, angle: 0.0 };
    }
    let (before, after) = (ways[corner - 1], ways[corner]);
    let turn = before.cross(after).atan2(before.dot(after));
    // The face lies on the left: a turn to the right goes round an outside corner.
    let joint = if turn < 0.0 { Joint::Outside } else { Joint::Inside };
    PieceEnd { joint, angle: mitre_of_turn(turn) }
}

/// From a corner of the back to that of a face one unit out: along the line that halves the corner.
fn face_offset(ways: &[Point], corner: usize) -> Point {
    let before = if corner == 0 { None } else { ways.get(corner - 1) };
    match (before, ways.get(corner)) {
        (Some(a), Some(b)) => {
            let (a, b) = (a.left(), b.left());
            (a + b) * (1.0 / (1.0 + a.dot(b)))
        }
        (Some(only), None) | (None, Some(only)) => only.left(),
        (None, None) => Point::default(),
    }
}

/// The mouldings round a cap: left return, bowed front, right return; and their two mitres.
pub(super) fn cap_moldings(
    front: &CircularSegment,
    end_depth: f64,
    p: f64,
) -> (Vec<PlanPiece>, Vec<MitreLine>) {
    let mitre = CurvedMitre::new(*front, p);
    let report = mitre.report();
    let h = front.chord / 2.0;
    let left = mitre.contour(MITRE_TOLERANCE).moved(point(0.0, end_depth));
    let right = mirrored(&left);
    let bowed = PieceEnd { joint: Joint::Bowed, angle: report.each };
    let wall = PieceEnd { joint: Joint::Wall, angle: 0.0 };

    let line = |from: Point, to: Point, bulge: f64| Piece { from, to, bulge };
    let (corner, outer) = (point(-h, end_depth), point(-h - p, end_depth + report.depth));
    let mut pieces =
        vec![line(point(-h - p, 0.0), point(-h, 0.0), 0.0), line(point(-h, 0.0), corner, 0.0)];
    pieces.extend(left.pieces());
    pieces.push(line(outer, point(-h - p, 0.0), 0.0));
    let left_return = Contour::from_pieces(&pieces, true);
    let right_return = mirrored(&left_return).reversed();

    // Half the angle of the outer edge, whose ends lie on the same centre's circle of R + p.
    let outer_half = (h + p).atan2(front.radius - front.rise + report.depth);
    let mirror = |q: Point| point(-q.x, q.y);
    let mut pieces = vec![line(corner, mirror(corner), -front.bulge())];
    pieces.extend(right.pieces());
    pieces.push(line(mirror(outer), outer, (outer_half / 2.0).tan()));
    pieces.extend(left.reversed().pieces());
    let bow = Contour::from_pieces(&pieces, true);

    let straight = |role: Role, footprint: Contour, start: PieceEnd, end: PieceEnd| PlanPiece {
        role,
        footprint,
        back: end_depth,
        face: end_depth + report.depth,
        overall: end_depth + report.depth,
        start,
        end,
    };
    let all = vec![
        straight(Role::CapLeftReturn, left_return, wall, bowed),
        PlanPiece {
            role: Role::CapFront,
            footprint: bow,
            back: front.arc_length(),
            face: 2.0 * (front.radius + p) * outer_half,
            overall: 2.0 * (h + p),
            start: bowed,
            end: bowed,
        },
        straight(Role::CapRightReturn, right_return, bowed, wall),
    ];
    let lines = [left, right].map(|line| MitreLine { joint: Joint::Bowed, line }).to_vec();
    (all, lines)
}

/// The mirror image about the centre line.
fn mirrored(of: &Contour) -> Contour {
    let vertices = of
        .vertices
        .iter()
        .map(|v| Vertex { at: point(-v.at.x, v.at.y), bulge: -v.bulge })
        .collect();
    Contour { vertices, closed: of.closed }
}
