//! Properties of any header in plan, checked with polygons by an independent path.
#![allow(clippy::unwrap_used)]

use geo::{Area, BooleanOps, Contains, Distance, Euclidean, LineString, MultiPolygon, Polygon};
use ovolo::geometry::{CircularSegment, Contour, Point, point};
use ovolo::layout::*;
use proptest::prelude::*;

/// Fine enough that chords of the widest arc stay within a hundredth of the checks below.
const FLAT: f64 = 1e-4;

/// Polygon operations snap corners to a grid: a strip so wide (mm) along an outline is no overlap.
const SNAP: f64 = 1e-5;

fn polygon(of: &Contour) -> Polygon<f64> {
    let ring: LineString<f64> =
        of.flattened(FLAT).iter().map(|p| (p.x, p.y)).collect::<Vec<_>>().into();
    Polygon::new(ring, vec![])
}

fn geo_point(p: Point) -> geo::Point<f64> {
    geo::Point::new(p.x, p.y)
}

fn any_header() -> impl Strategy<Value = Header> {
    let frieze = (500.0..2500.0_f64, 100.0..400.0_f64, 12.0..40.0_f64, -10.0..20.0_f64);
    let panel = (0.1..0.9_f64, 0.0..1.0_f64, 5.0..50.0_f64, -1.0..1.0_f64);
    let molding = (10.0..80.0_f64, 0.2..0.9_f64, 18.0..50.0_f64, 8.0..90.0_f64);
    let over = (5.0..60.0_f64, 0.0..50.0_f64, 0.0..25.0_f64);
    (frieze, panel, molding, over).prop_map(|(f, p, m, o)| {
        let frieze = Frieze { height: f.1, thickness: f.2, reveal: f.3 };
        let length = f.0 - 2.0 * f.3;
        let width = length * p.0;
        let room = (length - width) / 2.0 - 1.01;
        let bed = f.1 * m.1;
        Header {
            cased_width: f.0,
            frieze,
            panel: Some(Panel {
                width,
                height: bed + (f.1 - bed) * p.1,
                thickness: p.2,
                offset: room * p.3,
            }),
            bed_mold: BedMold { height: bed, projection: m.0 },
            corona: Corona { thickness: m.2 },
            cymatium: Some(Cymatium { thickness: m.3, height: 1.2 * m.2 }),
            overhang: Overhang { ends: o.0, front: o.1, at_break: o.2 },
            front: Front::Least,
        }
    })
}

/// Solved with the least rise; where a straight front does, with a rise of its own; `None` where
/// no arc covers, which is then checked to be so.
fn solved(header: &Header) -> Option<Layout> {
    match header.layout() {
        Ok(layout) => Some(layout),
        Err(why) if why[0].message.contains("no least rise") => {
            let rise = header.seat().half_chord / 5.0;
            Some(Header { front: Front::Rise(rise), ..*header }.layout().unwrap())
        }
        Err(why) => {
            assert_eq!(why[0].key.as_deref(), Some("header.overhang.break"), "{why:?}");
            let seat = header.seat();
            let half = CircularSegment::from_chord_and_rise(2.0 * seat.half_chord, seat.half_chord);
            assert!(seat.cover(&half.unwrap()) < seat.overhang);
            None
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    /// No two bodies overlap, and no gap is left: the pieces of a run add up to one whole region.
    #[test]
    fn mouldings_tile_their_region(header in any_header()) {
        let Some(layout) = solved(&header) else { return Ok(()) };
        for run in [&layout.bed_mold, &layout.cap_moldings] {
            let bodies: Vec<Polygon<f64>> = run.iter().map(|p| polygon(&p.footprint)).collect();
            for (i, a) in bodies.iter().enumerate() {
                prop_assert!(run[i].footprint.area() > 0.0);
                prop_assert!((run[i].footprint.area() - a.unsigned_area()).abs() < FLAT * run[i].footprint.length());
                for b in &bodies[i + 1..] {
                    prop_assert!(a.intersection(b).unsigned_area() < SNAP * run[i].footprint.length());
                }
            }
            let whole = bodies.iter().fold(MultiPolygon::new(vec![]), |all, b| {
                all.union(&MultiPolygon::new(vec![b.clone()]))
            });
            let sum: f64 = bodies.iter().map(Area::unsigned_area).sum();
            let outlines: f64 = run.iter().map(|p| p.footprint.length()).sum();
            prop_assert!((whole.unsigned_area() - sum).abs() < SNAP * outlines);
        }
        // Bed mould: what the boards grow by when they are made wider all round by its projection.
        let p = header.bed_mold.projection;
        let panel = header.panel.unwrap();
        let half = header.frieze_length() / 2.0;
        let block = |x0: f64, x1: f64, y: f64| {
            polygon(&Contour::rectangle(point(x0, 0.0), point(x1, y)))
        };
        let t = header.frieze.thickness;
        let (x0, x1) = (panel.offset - panel.width / 2.0, panel.offset + panel.width / 2.0);
        let boards = block(-half, half, t).union(&block(x0, x1, t + panel.thickness));
        let grown = block(-half - p, half + p, t + p).union(&block(x0 - p, x1 + p, t + panel.thickness + p));
        let molding = grown.difference(&boards);
        for piece in &layout.bed_mold {
            let body = MultiPolygon::new(vec![polygon(&piece.footprint)]);
            prop_assert!(body.difference(&molding).unsigned_area() < SNAP * piece.footprint.length());
        }
        let sum: f64 = layout.bed_mold.iter().map(|p| p.footprint.area()).sum();
        prop_assert!((sum - molding.unsigned_area()).abs() < 1e-6 * sum);
        // Cap moulding: nothing of it in the cap.
        let cap = polygon(&layout.cap.outline);
        for piece in &layout.cap_moldings {
            prop_assert!(polygon(&piece.footprint).intersection(&cap).unsigned_area() < SNAP * piece.footprint.length());
        }
    }

    /// Each mitre lies on the outlines of both pieces that it joins.
    #[test]
    fn mitred_faces_coincide(header in any_header()) {
        let Some(layout) = solved(&header) else { return Ok(()) };
        let pairs = layout.bed_mold.windows(2).chain(layout.cap_moldings.windows(2));
        for (pair, mitre) in pairs.zip(&layout.mitres) {
            for at in mitre.line.flattened(0.01) {
                for piece in pair {
                    prop_assert!(piece.footprint.nearest(at).unwrap().0 < 1e-6);
                }
            }
            prop_assert_eq!(pair[0].end.joint, mitre.joint);
            prop_assert_eq!(pair[1].start.joint, mitre.joint);
        }
    }

    /// All that lies below stays under the cap by the overhangs, by distances to flat lines.
    #[test]
    fn the_cap_covers_all_by_the_overhang(header in any_header()) {
        let Some(layout) = solved(&header) else { return Ok(()) };
        let cap = polygon(&layout.cap.outline);
        // The cap's edge without the one on the wall, which starts the outline.
        let edge: LineString<f64> = LineString::new(
            cap.exterior().0[1..].to_vec());
        let over = header.overhang;
        let least = over.ends.min(over.front).min(over.at_break);
        for piece in &layout.bed_mold {
            for part in piece.footprint.pieces() {
                for i in 0..=8 {
                    let at = geo_point(part.at(f64::from(i) / 8.0));
                    let gap = Euclidean.distance(&at, &edge);
                    prop_assert!(gap >= least - 2.0 * FLAT, "{:?} {gap}", piece.role);
                    prop_assert!(least < 1e-3 || at.y() < 1e-9 || cap.contains(&at));
                }
            }
        }
        // The overhang at the break is asked of the front alone: a panel may end nearer to an end.
        let front: LineString<f64> = LineString::new(
            edge.0.iter().copied().filter(|c| c.y >= layout.cap.end_depth - 1e-6).collect());
        let mut worst = f64::INFINITY;
        for corner in header.seat().corners {
            worst = worst.min(Euclidean.distance(&geo_point(corner), &front));
        }
        prop_assert!(worst >= over.at_break - 2.0 * FLAT);
        if let Some(cover) = layout.cover_at_break && layout.least_rise > 0.0 {
            // The least rise is tight: not a hair more than was asked.
            prop_assert!((cover - over.at_break).abs() < 1e-6, "{cover}");
        }
    }

    /// Headers with and without panel and cymatium, bowed as little as must be or more: bodies at
    /// one height never overlap, joined pieces leave no gap, and whatever is below is covered.
    #[test]
    fn every_kind_of_header_is_whole_and_covered(
        header in any_header(), with in any::<(bool, bool)>(), more in 0.0..1.0_f64,
    ) {
        let header = Header {
            panel: header.panel.filter(|_| with.0),
            cymatium: header.cymatium.filter(|_| with.1),
            ..header
        };
        let half = header.seat().half_chord;
        let least = match header.layout() {
            Ok(layout) => layout.least_rise,
            // What no arc covers is refused, and held so by the tests above.
            Err(why) => {
                prop_assume!(why[0].message.contains("no least rise"));
                0.0
            }
        };
        let rise = (least + more * (half - least)).max(1.0).min(half);
        prop_assume!(rise >= least);
        let layout = Header { front: Front::Rise(rise), ..header }.layout().unwrap();
        let bodies: Vec<(&PlanPiece, Polygon<f64>)> = layout
            .bed_mold
            .iter()
            .chain(&layout.cap_moldings)
            .map(|piece| (piece, polygon(&piece.footprint)))
            .collect();
        for (i, (piece, a)) in bodies.iter().enumerate() {
            for (_, b) in &bodies[i + 1..] {
                // The cymatium may hang below the bed mould's top: no height excuses an overlap.
                let common = a.intersection(b).unsigned_area();
                prop_assert!(common < SNAP * piece.footprint.length(), "{:?} {common}", piece.role);
            }
        }
        for run in [&layout.bed_mold, &layout.cap_moldings] {
            for pair in run.windows(2) {
                let both = polygon(&pair[0].footprint).union(&polygon(&pair[1].footprint));
                // One body without a hole: the mitred faces lie on one another all along.
                prop_assert_eq!(both.0.len(), 1);
                let holes = both.0[0].interiors().iter();
                let gap: f64 = holes.map(|h| Polygon::new(h.clone(), vec![]).unsigned_area()).sum();
                prop_assert!(gap < SNAP * pair[0].footprint.length(), "a gap of {gap} mm²");
            }
        }
        let cap = polygon(&layout.cap.outline);
        let below = bodies[..layout.bed_mold.len()].iter().map(|(_, body)| body);
        let panel = header.panel.map(|p| {
            let x = p.offset - p.width / 2.0;
            let depth = header.frieze.thickness + p.thickness;
            polygon(&Contour::rectangle(point(x, 0.0), point(x + p.width, depth)))
        });
        let end = header.frieze_length() / 2.0;
        let frieze = polygon(&Contour::rectangle(
            point(-end, 0.0), point(end, header.frieze.thickness)));
        let below = MultiPolygon::new(below.cloned().chain(panel).chain([frieze]).collect());
        let uncovered: f64 = below.0.iter().map(|b| b.difference(&cap).unsigned_area()).sum();
        prop_assert!(uncovered < SNAP * layout.cap.chord * 4.0, "{uncovered}");
        let ends_and_front = LineString::new(cap.exterior().0[1..].to_vec());
        let over = header.overhang;
        let least_over = over.ends.min(over.front).min(over.at_break);
        for body in &below {
            // To the cap's edge from anywhere on the body, not from its corners alone.
            let gap = Euclidean.distance(&ends_and_front, body);
            prop_assert!(least_over < 1e-3 || gap >= least_over - 2.0 * FLAT, "{gap} {least_over}");
        }
    }

    /// A hair less than the least rise is refused, and the number in the refusal works.
    #[test]
    fn less_than_the_least_is_refused_with_one_that_works(header in any_header()) {
        let Ok(layout) = header.layout() else { return Ok(()) };
        let less = layout.least_rise - 0.001 * layout.least_rise.max(0.01);
        let refused = Header { front: Front::Rise(less), ..header }.layout().unwrap_err();
        prop_assert_eq!(refused[0].key.as_deref(), Some("header.rise"));
        let help = refused[0].help.clone().unwrap();
        let rise: f64 = help.split(' ').find_map(|w| w.parse().ok()).unwrap();
        prop_assume!(rise <= header.seat().half_chord);
        prop_assert!(Header { front: Front::Rise(rise), ..header }.layout().is_ok(), "{}", help);
        let radius = layout.cap.radius * 1.01 + 1.0;
        let refused = Header { front: Front::Radius(radius), ..header }.layout().unwrap_err();
        let help = refused[0].help.clone().unwrap();
        let radius: f64 = help.split(' ').find_map(|w| w.parse().ok()).unwrap();
        prop_assume!(radius >= header.seat().half_chord);
        prop_assert!(Header { front: Front::Radius(radius), ..header }.layout().is_ok(), "{}", help);
    }

    /// The closed form against bisection on distances to the arc itself.
    #[test]
    fn the_least_rise_is_what_bisection_finds(
        h in 100.0..1500.0_f64, x in -0.95..0.95_f64, q in -60.0..60.0_f64, o in 0.0..40.0_f64,
    ) {
        let depth = 100.0;
        let corner = point(h * x, depth + q);
        let seat = CapSeat { half_chord: h, end_depth: depth, corners: vec![corner], overhang: o };
        let gap = |rise: f64| {
            let front = CircularSegment::from_chord_and_rise(2.0 * h, rise).unwrap();
            let arc = ovolo::geometry::Piece {
                from: point(h, depth), to: point(-h, depth), bulge: front.bulge(),
            };
            let away = arc.at(arc.nearest_share(corner)).distance(corner);
            if q > front.ordinate(corner.x) { -away } else { away }
        };
        match seat.least_rise() {
            Err(none) => {
                prop_assert!(gap(h) < o);
                prop_assert!((gap(h) - none.most_overhang).abs() < 1e-6);
                let wider = CapSeat { half_chord: none.half_chord_needed + 1e-6, ..seat };
                prop_assert!(wider.least_rise().is_ok());
            }
            Ok(0.0) => prop_assert!(gap(1e-3) >= o - 1e-6),
            Ok(least) => {
                let (mut low, mut high) = (1e-9, h);
                for _ in 0..200 {
                    let middle = (low + high) / 2.0;
                    if gap(middle) >= o { high = middle } else { low = middle }
                }
                prop_assert!((high - least).abs() < 1e-5 * h.max(1.0), "{high} {least}");
            }
        }
    }
}
