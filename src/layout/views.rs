//! What of a header is seen from the front, and what a cut on its centre line shows.

use super::solve::Layout;
use super::standing::Standing;
use crate::geometry::{Contour, EPSILON, Piece, Point, point};

/// Which part an outline belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Member {
    /// The frieze's board.
    Frieze,
    /// The panel.
    Panel,
    /// The bed mould.
    BedMold,
    /// The cap's board.
    Cap,
    /// The moulding round the cap.
    CapMolding,
}

/// How an outline shows in a view.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Seen {
    /// Nothing stands before it.
    Plain,
    /// Something does.
    Hidden,
    /// It is the edge of wood that the cut goes through; the contour is closed.
    Cut,
}

/// One line of a view.
#[derive(Clone, Debug, PartialEq)]
pub struct Outline {
    /// Whose.
    pub of: Member,
    /// How it shows.
    pub seen: Seen,
    /// Its shape: x along the wall (elevation) or out from it (section), y up. Millimetres.
    pub line: Contour,
}

/// A moulding's section as a view needs it: its back on the upright through the origin, its
/// lower edge on the level one.
struct Molding {
    of: Member,
    section: Contour,
    /// The outer side, from the bottom up.
    face: Contour,
    /// Where edges run along the moulding.
    edges: Vec<Point>,
}

impl Molding {
    fn new(of: Member, standing: Option<Standing<'_>>, height: f64, out: f64) -> Molding {
        match standing {
            Some(standing) => Molding {
                of,
                section: standing.section(),
                face: standing.seen(),
                edges: standing.edges(),
            },
            None => {
                let (low, high) = (point(out, 0.0), point(out, height));
                Molding {
                    of,
                    section: Contour::rectangle(point(0.0, 0.0), high),
                    face: open(&[low, high]),
                    edges: vec![low, high],
                }
            }
        }
    }
}

impl Layout {
    fn moldings(
        &self,
        bed: Option<Standing<'_>>,
        cap: Option<Standing<'_>>,
    ) -> (Molding, Option<Molding>) {
        let h = &self.header;
        let bed = Molding::new(Member::BedMold, bed, h.bed_mold.height, h.bed_mold.projection);
        let cap = h.cymatium.map(|c| Molding::new(Member::CapMolding, cap, c.height, c.thickness));
        (bed, cap)
    }

    /// Seen from the front. Profiles draw the mouldings' own lines; without one a moulding shows
    /// as a flat band.
    #[must_use]
    pub fn elevation(&self, bed: Option<Standing<'_>>, cap: Option<Standing<'_>>) -> Vec<Outline> {
        let (bed, cap_molding) = self.moldings(bed, cap);
        let mut view = Elevation { ceiling: self.lowest_over_all(), lines: Vec::new() };
        let (half, levels) = (self.header.frieze_length() / 2.0, &self.levels);
        let (bottom, top) = (levels.bed_bottom, levels.cap_bottom);
        let corners =
            [point(-half, bottom), point(-half, 0.0), point(half, 0.0), point(half, bottom)];
        view.chain(Member::Frieze, &corners);
        let mut ends = vec![(-half, -1.0), (half, 1.0)];
        if let (Some(panel), Some(low)) = (&self.header.panel, levels.panel_bottom) {
            let (l, r) = (panel.offset - panel.width / 2.0, panel.offset + panel.width / 2.0);
            view.chain(
                Member::Panel,
                &[point(l, bottom), point(l, low), point(r, low), point(r, bottom)],
            );
            ends.extend([(l, -1.0), (r, 1.0)]);
        }
        view.molding(&bed, (-half, half), &ends, bottom);

        let h = self.cap.chord / 2.0;
        let under = levels.cymatium_bottom.unwrap_or(levels.top);
        let seen_to = under.clamp(top, levels.top);
        view.ceiling = f64::INFINITY;
        view.chain(
            Member::Cap,
            &[point(-h, seen_to), point(-h, top), point(h, top), point(h, seen_to)],
        );
        match &cap_molding {
            None => view.chain(Member::Cap, &[point(-h, levels.top), point(h, levels.top)]),
            Some(molding) => {
                view.molding(molding, (-h, h), &[(-h, -1.0), (h, 1.0)], under);
                view.ceiling = f64::NEG_INFINITY;
                for x in [-h, h] {
                    view.chain(Member::Cap, &[point(x, seen_to), point(x, levels.top)]);
                }
            }
        }
        view.lines
    }

    /// The height from which the cap or its moulding stands before what is under it.
    fn lowest_over_all(&self) -> f64 {
        self.levels.cymatium_bottom.unwrap_or(f64::INFINITY).min(self.levels.cap_bottom)
    }

    /// Cut on the opening's centre line, seen from the left-hand end: x out from the wall. A panel
    /// that stands wholly to the right of the centre line shows behind the cut.
    #[must_use]
    pub fn section(&self, bed: Option<Standing<'_>>, cap: Option<Standing<'_>>) -> Vec<Outline> {
        let (bed, cap_molding) = self.moldings(bed, cap);
        let (levels, out) = (&self.levels, &self.projections);
        let mut lines = Vec::new();
        let mut add = |of, seen, line: Contour| lines.push(Outline { of, seen, line });
        let top = levels.cap_bottom;
        let frieze = Contour::rectangle(point(0.0, 0.0), point(out.frieze, top));
        add(Member::Frieze, Seen::Cut, frieze);
        let at_bed = |x: f64| point(x, levels.bed_bottom);
        let mut bed_stands_on = out.frieze;
        if let (Some(panel), Some(low)) = (&self.header.panel, levels.panel_bottom) {
            let board = Contour::rectangle(point(out.frieze, low), point(out.panel, top));
            if panel.offset.abs() < panel.width / 2.0 {
                add(Member::Panel, Seen::Cut, board);
                bed_stands_on = out.panel;
            } else if panel.offset > 0.0 {
                add(Member::Panel, Seen::Plain, board);
                add(bed.of, Seen::Plain, bed.face.moved(at_bed(out.panel)));
            }
        }
        add(bed.of, Seen::Cut, bed.section.moved(at_bed(bed_stands_on)));
        let cap = Contour::rectangle(point(0.0, top), point(out.cap_centre, levels.top));
        add(Member::Cap, Seen::Cut, cap);
        if let (Some(molding), Some(low)) = (cap_molding, levels.cymatium_bottom) {
            add(molding.of, Seen::Cut, molding.section.moved(point(out.cap_centre, low)));
        }
        lines
    }

    /// The left corner of the cap in plan, x along the wall, y out from it: the return's and the
    /// bowed moulding's edges as far as `reach` from the corner, without the joint between them.
    /// Empty without a cymatium.
    #[must_use]
    pub fn corner_edges(&self, reach: f64) -> Vec<Piece> {
        let (Some(cymatium), Some(corner)) = (self.header.cymatium, &self.corner) else {
            return Vec::new();
        };
        let (h, p, y) = (self.cap.chord / 2.0, cymatium.thickness, self.cap.end_depth);
        let (inner, outer) = (point(-h, y), point(-h - p, y + corner.depth));
        let from = (y - reach).max(0.0);
        let mut edges: Vec<Piece> = [inner, outer]
            .map(|end| Piece { from: point(end.x, from), to: end, bulge: 0.0 })
            .to_vec();
        let outer_half = (h + p).atan2(self.cap.radius - self.cap.rise + corner.depth);
        for (start, half) in [(inner, self.cap.front().half_angle()), (outer, outer_half)] {
            let arc =
                Piece { from: start, to: point(-start.x, start.y), bulge: -(half / 2.0).tan() };
            edges.push(arc.part(0.0, (reach / arc.length().max(EPSILON)).min(0.5)));
        }
        edges
    }
}

struct Elevation {
    /// What lies above is hidden.
    ceiling: f64,
    lines: Vec<Outline>,
}

impl Elevation {
    fn chain(&mut self, of: Member, corners: &[Point]) {
        self.contour(of, &open(corners));
    }

    /// An open line, each stretch seen or hidden; straight uprights are parted at the ceiling.
    fn contour(&mut self, of: Member, line: &Contour) {
        let mut runs: Vec<(Seen, Vec<Piece>)> = Vec::new();
        for piece in line.pieces().flat_map(|p| parted(p, self.ceiling)) {
            let top = piece.at(0.5).y.max(piece.from.y.min(piece.to.y));
            let seen = if top > self.ceiling - EPSILON { Seen::Hidden } else { Seen::Plain };
            match runs.last_mut() {
                Some((known, pieces)) if *known == seen => pieces.push(piece),
                _ => runs.push((seen, vec![piece])),
            }
        }
        let lines = runs.into_iter().map(|(seen, pieces)| Outline {
            of,
            seen,
            line: Contour::from_pieces(&pieces, false),
        });
        self.lines.extend(lines);
    }

    /// The long edges between the outermost returns, and the face at every return.
    fn molding(&mut self, molding: &Molding, span: (f64, f64), returns: &[(f64, f64)], z: f64) {
        for edge in &molding.edges {
            let (y, x) = (edge.y + z, edge.x);
            self.chain(molding.of, &[point(span.0 - x, y), point(span.1 + x, y)]);
        }
        for &(base, side) in returns {
            let face = if side < 0.0 {
                molding.face.mirrored(&|p| point(-p.x, p.y)).reversed()
            } else {
                molding.face.clone()
            };
            self.contour(molding.of, &face.moved(point(base, z)));
        }
    }
}

fn parted(piece: Piece, level: f64) -> Vec<Piece> {
    let (a, b) = (piece.from.y - level, piece.to.y - level);
    if piece.is_arc() || !level.is_finite() || a * b >= 0.0 {
        return vec![piece];
    }
    let share = a / (a - b);
    vec![piece.part(0.0, share), piece.part(share, 1.0)]
}

/// An open line through corners; repeats are left out.
fn open(corners: &[Point]) -> Contour {
    let pieces: Vec<Piece> = corners
        .windows(2)
        .filter(|w| w[0].distance(w[1]) > EPSILON)
        .map(|w| Piece { from: w[0], to: w[1], bulge: 0.0 })
        .collect();
    Contour::from_pieces(&pieces, false)
}
