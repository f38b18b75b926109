//! A pattern for the hand-held router: a bush runs along it and the bit, through the bush's
//! middle, cuts the part's curved edge.
//!
//! The bit cuts outside the bush's track by (bush - bit) / 2, so the pattern's edge stands inside
//! the part's by as much: an outside curve has a smaller radius on the pattern, an inside curve a
//! larger one. Past both ends the edge goes on straight, so that the bit has left the part before
//! the bush leaves the pattern.

use crate::diagnostic::Diagnostic;
use crate::geometry::{Contour, EPSILON, Piece, Point};
use crate::units::Shown;
use serde::Serialize;

/// Pieces that turn less than this where they meet go on smoothly, radians: no bush feels it.
const SMOOTH: f64 = 1e-3;

/// Wood behind the guiding edge, mm: it carries the router's foot and takes clamps (common
/// practice: as wide as a hand).
const BODY: f64 = 80.0;

/// Curved edges of one part that are worth patterns.
const MOST_EDGES: usize = 4;

/// The least radius of an outside curve on the pattern, mm: below it the bush only pivots.
const LEAST_PIVOT: f64 = 1.0;

/// Guide bush and bit of the router, outer diameters, mm.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Guide {
    /// The bush.
    pub bush: f64,
    /// The bit.
    pub bit: f64,
}

impl Guide {
    /// How far the pattern's edge stands inside the part's.
    #[must_use]
    pub fn offset(&self) -> f64 {
        (self.bush - self.bit) / 2.0
    }

    /// What cannot be of the two; `key` is where the template stands in the job file.
    #[must_use]
    pub fn problem(&self, key: &str, shown: Shown) -> Option<Diagnostic> {
        // A router's bushes; larger ones do not fit its foot (common practice).
        let most = 60.0;
        for (word, size) in [("bush", self.bush), ("bit", self.bit)] {
            if !(size > 0.0 && size <= most) {
                let message = format!("{} is no diameter for a {word}", shown.one(size));
                return Some(
                    Diagnostic::error(message)
                        .key(format!("{key}.{word}"))
                        .help(format!("more than 0, at most {}", shown.both(most))),
                );
            }
        }
        (self.bit >= self.bush).then(|| {
            Diagnostic::error(format!(
                "the bit, {}, does not pass through the bush, {}",
                shown.both(self.bit),
                shown.both(self.bush)
            ))
            .key(format!("{key}.bit"))
            .help(format!("a bit of less than {}, or a larger bush", shown.both(self.bush)))
        })
    }
}

/// A pattern that can be made.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Template {
    /// The pattern, counter-clockwise, its lower left corner at the origin.
    pub contour: Contour,
    /// The part's edge that it guides, in the same frame.
    pub edge: Contour,
    /// Bush and bit.
    pub guide: Guide,
}

/// What is asked of a template, millimetres.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TemplateFigures {
    /// Extent along x.
    pub length: f64,
    /// Extent along y.
    pub width: f64,
    /// The bush's diameter.
    pub bush: f64,
    /// The bit's.
    pub bit: f64,
    /// How far the pattern's edge stands inside the part's.
    pub offset: f64,
    /// Least radius of the part's curved edge.
    pub part_radius: f64,
    /// The pattern's radius there.
    pub pattern_radius: f64,
    /// Where the part's edge begins, from the pattern's lower left corner.
    pub edge_from: Point,
    /// Where it ends.
    pub edge_to: Point,
}

impl Template {
    /// A pattern for each curved edge of a closed outline: a cap has one, a bowed moulding two.
    /// `key` is where the template stands in the job file.
    ///
    /// # Errors
    /// Bush and bit that do not go together; an outline without a curved edge, or with more than
    /// is worth patterns; a curve that bush or bit cannot follow, with the radius that they can;
    /// an edge that turns too far for one pattern.
    pub fn of(
        outline: &Contour,
        guide: Guide,
        key: &str,
        shown: Shown,
    ) -> Result<Vec<Template>, Diagnostic> {
        if let Some(problem) = guide.problem(key, shown) {
            return Err(problem);
        }
        let wrong = |message: String| Diagnostic::error(message).key(key);
        let left = outline.area() > 0.0;
        let outline = if left { outline.clone() } else { outline.reversed() };
        let edges = curved_edges(&outline);
        match edges.len() {
            0 => Err(wrong("the part has no curved edge to guide a router along".into())
                .help("leave the template out: a straight edge is cut along a straightedge")),
            1..=MOST_EDGES => {
                edges.iter().map(|edge| Template::along(edge, guide, key, shown)).collect()
            }
            many => Err(wrong(format!("the part has {many} curved edges"))
                .help(format!("at most {MOST_EDGES} are worth templates; cut it on the table"))),
        }
    }

    /// The pattern for one edge, the wood on its left.
    fn along(
        edge: &[Piece],
        guide: Guide,
        key: &str,
        shown: Shown,
    ) -> Result<Template, Diagnostic> {
        check_radii(edge, &guide, key, shown)?;
        let guiding: Vec<Piece> = edge.iter().map(|p| inside(p, guide.offset())).collect();
        let contour = with_body(&guiding, guide.bush).ok_or_else(|| {
            Diagnostic::error("the edge turns too far for one pattern")
                .key(key)
                .help("cut this part on the table")
        })?;
        let corner = contour.bounds().map_or(Point::default(), |(low, _)| low);
        Ok(Template {
            contour: contour.moved(-corner),
            edge: Contour::from_pieces(edge, false).moved(-corner),
            guide,
        })
    }

    /// All that is asked of it.
    #[must_use]
    pub fn figures(&self) -> TemplateFigures {
        let (low, high) = self.contour.bounds().unwrap_or_default();
        let arcs = self.edge.pieces().filter(Piece::is_arc);
        let tightest = arcs.min_by(|a, b| a.radius().total_cmp(&b.radius()));
        let end = |v: Option<&crate::geometry::Vertex>| v.map_or(Point::default(), |v| v.at);
        TemplateFigures {
            length: high.x - low.x,
            width: high.y - low.y,
            bush: self.guide.bush,
            bit: self.guide.bit,
            offset: self.guide.offset(),
            part_radius: tightest.map_or(f64::INFINITY, |p| p.radius()),
            pattern_radius: tightest
                .map_or(f64::INFINITY, |p| inside(&p, self.guide.offset()).radius()),
            edge_from: end(self.edge.vertices.first()),
            edge_to: end(self.edge.vertices.last()),
        }
    }
}

/// The smooth stretches of a closed outline that hold an arc, from corner to corner.
fn curved_edges(outline: &Contour) -> Vec<Vec<Piece>> {
    let pieces: Vec<Piece> = outline.pieces().collect();
    let n = pieces.len();
    let corner = |i: usize| {
        let (a, b) = (pieces[(i + n - 1) % n].direction(1.0), pieces[i].direction(0.0));
        a.cross(b).atan2(a.dot(b)).abs() > SMOOTH
    };
    let Some(start) = (0..n).find(|&i| corner(i)) else {
        // Smooth all round: one stretch from anywhere, which no pattern has a body for.
        return if n == 0 { Vec::new() } else { vec![pieces] };
    };
    let mut edges: Vec<Vec<Piece>> = Vec::new();
    for i in (0..n).map(|k| (start + k) % n) {
        match edges.last_mut() {
            Some(last) if !corner(i) => last.push(pieces[i]),
            _ => edges.push(vec![pieces[i]]),
        }
    }
    edges.retain(|edge| edge.iter().any(Piece::is_arc));
    edges
}

/// Whether bush and bit can follow every arc.
fn check_radii(edge: &[Piece], guide: &Guide, key: &str, shown: Shown) -> Result<(), Diagnostic> {
    for arc in edge.iter().filter(|p| p.is_arc()) {
        let (radius, at) = (arc.radius(), arc.at(0.5));
        let turn = if arc.bulge > 0.0 { "outside" } else { "inside" };
        // Inside, bush and bit roll about one centre: the bit's own radius is what must fit.
        let (least, word) = if arc.bulge > 0.0 {
            (guide.offset() + LEAST_PIVOT, "bush")
        } else {
            (guide.bit / 2.0, "bit")
        };
        if radius < least - EPSILON {
            return Err(Diagnostic::error(format!(
                "an {turn} curve of radius {} at ({:.1}, {:.1}) mm is too tight: the least that this \
                 bush and bit follow is {}",
                shown.both(radius),
                at.x,
                at.y,
                shown.both(least)
            ))
            .key(format!("{key}.{word}"))
            .help(if word == "bit" { "a smaller bit" } else { "a smaller bush, or a larger bit" }));
        }
    }
    Ok(())
}

/// The piece `by` to the left of its travel, about the same centre.
fn inside(piece: &Piece, by: f64) -> Piece {
    let shifted = |share: f64| piece.at(share) + piece.direction(share).left() * by;
    Piece { from: shifted(0.0), to: shifted(1.0), bulge: piece.bulge }
}

/// The guiding edge, straight on at both ends for the bush's diameter, closed behind; `None`
/// where that closes on itself.
fn with_body(guiding: &[Piece], bush: f64) -> Option<Contour> {
    let (first, last) = (guiding.first()?, guiding.last()?);
    let from = first.from - first.direction(0.0) * bush;
    let to = last.to + last.direction(1.0) * bush;
    let along = (to - from).unit()?;
    let behind = along.left();
    let mut pieces = vec![Piece { from, to: first.from, bulge: 0.0 }];
    pieces.extend_from_slice(guiding);
    pieces.push(Piece { from: last.to, to, bulge: 0.0 });
    // As deep behind the point of the edge that lies furthest back.
    let open = Contour::from_pieces(&pieces, false);
    // Arcs followed to a hundredth: the body's depth is no fine measure.
    let furthest = open.flattened(0.01).iter().map(|&p| (p - from).dot(behind)).fold(0.0, f64::max);
    let depth = behind * (furthest + BODY);
    let corners = [to, to + depth, from + depth, from];
    pieces.extend(corners.windows(2).map(|w| Piece { from: w[0], to: w[1], bulge: 0.0 }));
    let contour = Contour::from_pieces(&pieces, true);
    contour.validate().is_ok().then_some(contour)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;
    use crate::geometry::{CircularSegment, Vertex, point};
    use crate::part::Cap;
    use crate::units::Unit;

    const SHOWN: Shown = Shown { unit: Unit::Mm, parts: 32 };
    const GUIDE: Guide = Guide { bush: 15.875, bit: 6.35 };

    fn cap(chord: f64, rise: f64) -> Contour {
        let front = CircularSegment::from_chord_and_rise(chord, rise).unwrap();
        Cap { front, end_depth: 76.2, stations: 8 }.contour()
    }

    fn made(outline: &Contour, guide: Guide) -> Result<Template, Diagnostic> {
        let mut all = Template::of(outline, guide, "part[1].template", SHOWN)?;
        assert_eq!(all.len(), 1);
        Ok(all.remove(0))
    }

    #[test]
    fn a_bowed_moulding_has_a_pattern_for_each_side() {
        // Between two circles about one centre, the ends along the radius; material between.
        let (inner, outer, half) = (800.0, 830.0, 0.3f64);
        let at = |r: f64, a: f64| point(r * a.sin(), r * a.cos());
        let bulge = (half / 2.0).tan();
        let ring = Contour {
            vertices: vec![
                Vertex { at: at(outer, half), bulge },
                Vertex { at: at(outer, -half), bulge: 0.0 },
                Vertex { at: at(inner, -half), bulge: -bulge },
                Vertex { at: at(inner, half), bulge: 0.0 },
            ],
            closed: true,
        };
        let both = Template::of(&ring, GUIDE, "part[1].template", SHOWN).unwrap();
        let mut radii: Vec<f64> = both.iter().map(|t| t.figures().pattern_radius).collect();
        radii.sort_by(f64::total_cmp);
        assert!((radii[0] - (inner + GUIDE.offset())).abs() < 1e-9);
        assert!((radii[1] - (outer - GUIDE.offset())).abs() < 1e-9);
    }

    #[test]
    fn a_cap_s_front_is_parallel_to_the_pattern() {
        // Bush 5/8, bit 1/4: the edge 3/16 inside; the radius by as much smaller.
        let template = made(&cap(1000.0, 60.0), GUIDE).unwrap();
        let figures = template.figures();
        assert!((figures.offset - 4.7625).abs() < 1e-12);
        let radius = (500.0f64.powi(2) + 60.0f64.powi(2)) / 120.0;
        assert!((figures.part_radius - radius).abs() < 1e-9);
        assert!((figures.pattern_radius - (radius - 4.7625)).abs() < 1e-9);
        // What the bit leaves, seen without the formula: each point of the edge is as far from the
        // pattern as the bit's rim is from the bush's.
        let edge = template.edge.pieces().next().unwrap();
        for i in 0..=100 {
            let (distance, _) = template.contour.nearest(edge.at(f64::from(i) / 100.0)).unwrap();
            assert!((distance - 4.7625).abs() < 1e-9, "{distance}");
        }
        // The edge's chord is the cap's, and lies to the right of the run-on.
        assert!((figures.edge_from.distance(figures.edge_to) - 1000.0).abs() < 1e-9);
        assert!(figures.edge_to.x > 0.9 * GUIDE.bush);
    }

    #[test]
    fn the_bit_has_left_the_part_where_the_bush_leaves_the_pattern() {
        let template = made(&cap(400.0, 150.0), GUIDE).unwrap();
        let pieces: Vec<Piece> = template.contour.pieces().collect();
        // The guiding edge and the lines before and after it come first.
        let out = [pieces[0].from, pieces[2].to];
        for (end, corner) in out.iter().zip([template.edge.vertices[0], template.edge.vertices[1]])
        {
            let center = *end;
            assert!(center.distance(corner.at) > GUIDE.bit / 2.0 + GUIDE.offset());
        }
    }

    #[test]
    fn an_inside_curve_needs_a_bit_that_fits() {
        // A board with a hollow of radius 10 in its front.
        let v = |x: f64, y: f64, bulge: f64| Vertex { at: point(x, y), bulge };
        let hollow = Contour {
            vertices: vec![
                v(0.0, 0.0, 0.0),
                v(200.0, 0.0, 0.0),
                v(200.0, 100.0, 0.0),
                v(110.0, 100.0, -1.0),
                v(90.0, 100.0, 0.0),
                v(0.0, 100.0, 0.0),
            ],
            closed: true,
        };
        assert!(made(&hollow, Guide { bush: 40.0, bit: 19.0 }).is_err_and(|d| {
            // A half circle turns too far to close a body behind it.
            d.message.contains("turns too far")
        }));
        let wrong = made(&hollow, Guide { bush: 30.0, bit: 20.5 }).unwrap_err();
        assert_eq!(wrong.key.as_deref(), Some("part[1].template.bit"));
        assert!(
            wrong.message.contains("the least that this bush and bit follow is 10.25 mm"),
            "{wrong}"
        );
    }

    #[test]
    fn bush_and_bit_must_go_together() {
        let outline = cap(1000.0, 60.0);
        for (bush, bit, key) in
            [(6.0, 6.0, "bit"), (6.0, 8.0, "bit"), (0.0, 6.0, "bush"), (f64::NAN, 6.0, "bush")]
        {
            let wrong = made(&outline, Guide { bush, bit }).unwrap_err();
            assert_eq!(wrong.key, Some(format!("part[1].template.{key}")));
            assert!(wrong.help.is_some());
        }
    }

    #[test]
    fn straight_parts_and_round_ones_have_none() {
        let board = Contour::rectangle(point(0.0, 0.0), point(200.0, 50.0));
        assert!(made(&board, GUIDE).unwrap_err().message.contains("no curved edge"));
        let round = Contour::circle(point(0.0, 0.0), 100.0);
        assert!(made(&round, GUIDE).unwrap_err().message.contains("turns too far"));
    }
}
