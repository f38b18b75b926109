//! What the text cuts against what it should, as polygons of a library that the planning does not
//! use.

use crate::shapes::{Case, MARGIN, wall};
use crate::text::Cut;
use geo::algorithm::buffer::{BufferStyle, LineCap, LineJoin};
use geo::{Area, BooleanOps, Buffer, LineString, MultiLineString, MultiPolygon, Polygon};
use ovolo::geometry::{Contour, Point, Region, Stroke};

/// How far chords lie off their arcs, mm.
const FLAT: f64 = 0.002;

/// How far a wall may be cut into: chords, and the program's last digit.
const GOUGE: f64 = 0.005;

/// The share of a pocket that may be left or gouged beyond those margins.
const SHARE: f64 = 1e-6;

/// A cutter this much wider than the case's must find nothing that is left, mm: where room and
/// cutter are equally wide, nothing is wider than the cutter.
const HAIR: f64 = 0.002;

/// Judges one case. What is wrong is said in words.
pub fn judge(case: &Case, cut: &Cut) -> Result<(), String> {
    let depths: Vec<f64> = case.pockets.iter().map(|p| p.1).collect();
    for (region, depth) in &case.pockets {
        let pocket = polygons(region);
        let area = pocket.unsigned_area();
        let on_floor = |s: &Stroke| s.from.z.max(s.to.z) < -depth + 1e-3;
        let at_floor = swept(cut, on_floor);
        let wanted = opened(&pocket, case.radius());
        let left = wanted.difference(&at_floor);
        if left.unsigned_area() > SHARE * area {
            return Err(format!("{} mm2 of {area} left at {}", left.unsigned_area(), place(&left)));
        }
        for exact in &case.exact {
            let left = polygon(exact).difference(&at_floor);
            if left.unsigned_area() > SHARE * area {
                return Err(format!("{} mm2 of a slot just as wide is left", left.unsigned_area()));
            }
        }
        reported(case, cut, region, *depth)?;
        // What is cut deeper than the next less deep pocket must lie in this one or deeper ones.
        let above = depths.iter().filter(|d| *d < depth).fold(0.0, |a: f64, d| a.max(*d));
        let on_the_way = swept(cut, |s| !on_floor(s) && s.from.z.min(s.to.z) < -above - 2e-3);
        let room = case.pockets.iter().filter(|p| p.1 >= *depth).map(|p| polygons(&p.0));
        let room = room.reduce(|a, b| a.union(&b)).unwrap().buffer_with_style(style(GOUGE));
        let gouged = MultiPolygon::new(
            [at_floor, on_the_way].iter().flat_map(|area| area.difference(&room).0).collect(),
        );
        if gouged.unsigned_area() > SHARE * area {
            return Err(format!("{} mm2 gouged at {}", gouged.unsigned_area(), place(&gouged)));
        }
    }
    Ok(())
}

/// Whether the sheet names what stays out of reach, and only if something does.
fn reported(case: &Case, cut: &Cut, region: &Region, depth: f64) -> Result<(), String> {
    // Looked at this closely along the walls; what is left between may be missed.
    const LOOK: f64 = 0.4;
    // Beyond this it must be named; below the lesser it must not.
    const NAMED: [f64; 2] = [0.01, 0.05];
    let strokes: Vec<_> =
        cut.strokes.iter().filter(|(s, _)| s.from.z.max(s.to.z) < -depth + 1e-3).collect();
    let pieces: Vec<_> = strokes.iter().map(|(s, radius)| (flat(s), *radius)).collect();
    let gap = |p: Point| {
        let from_path = |(line, radius): &(Vec<Point>, f64)| {
            line.windows(2).map(|w| distance(p, w[0], w[1])).fold(f64::INFINITY, f64::min) - radius
        };
        pieces.iter().map(from_path).fold(f64::INFINITY, f64::min)
    };
    let mut worst = (0.0, Point::default());
    for piece in region.contours().flat_map(Contour::pieces) {
        let count = (piece.length() / LOOK).ceil().max(1.0) as usize;
        for i in 0..count {
            let p = piece.at(i as f64 / count as f64);
            let found = gap(p);
            if found > worst.0 {
                worst = (found, p);
            }
        }
    }
    let index = case.pockets.iter().position(|p| p.0 == *region).unwrap();
    let key = format!("pocket[{}]", index + 1);
    // What holds of several pockets is said once, with all their names in front.
    let names = |r: &String| r.split_once(": ").is_some_and(|(names, _)| names.contains(&key));
    let said = cut.remarks.iter().any(|r| names(r) && r.contains("out of the cutters"));
    match said {
        false if worst.0 > NAMED[1] => {
            Err(format!("{} mm left at {:?} and nothing is said", worst.0, worst.1))
        }
        true if worst.0 < NAMED[0] => Err("something is said to be left, and nothing is".into()),
        _ => Ok(()),
    }
}

fn distance(p: Point, a: Point, b: Point) -> f64 {
    let d = b - a;
    let along = d.dot(d);
    let share = if along > 0.0 { ((p - a).dot(d) / along).clamp(0.0, 1.0) } else { 0.0 };
    p.distance(a + d * share)
}

fn place(area: &MultiPolygon<f64>) -> String {
    let largest = area.iter().max_by(|a, b| a.unsigned_area().total_cmp(&b.unsigned_area()));
    let at = largest.and_then(|p| p.exterior().coords().next().copied());
    at.map_or(String::new(), |c| format!("({:.4}, {:.4})", c.x, c.y))
}

fn style(radius: f64) -> BufferStyle<f64> {
    let step = 2.0 * (1.0 - FLAT / radius.abs()).acos();
    BufferStyle::new(radius).line_join(LineJoin::Round(step)).line_cap(LineCap::Round(step))
}

fn flat(stroke: &Stroke) -> Vec<Point> {
    stroke.flattened(FLAT).iter().map(|p| p.xy()).collect()
}

fn line(points: impl Iterator<Item = Point>) -> LineString<f64> {
    points.map(|p| (p.x, p.y)).collect()
}

fn polygon(contour: &Contour) -> Polygon<f64> {
    Polygon::new(line(contour.flattened(FLAT).into_iter()), vec![])
}

fn polygons(region: &Region) -> MultiPolygon<f64> {
    let holes = region.islands().iter().map(|c| line(c.flattened(FLAT).into_iter())).collect();
    Polygon::new(line(region.outer().flattened(FLAT).into_iter()), holes).into()
}

/// What a cutter a hair wider clears if its middle goes everywhere, less a margin all round.
fn opened(pocket: &MultiPolygon<f64>, radius: f64) -> MultiPolygon<f64> {
    let mut middle = pocket.buffer_with_style(style(-(radius + HAIR)));
    // The library leaves dust of some 1e-8 mm2 on bisectors, which would grow to whole discs.
    middle.0.retain(|p| p.unsigned_area() > 1e-5);
    middle.buffer_with_style(style(radius + HAIR - MARGIN))
}

/// Whether a cutter a hair wider than the narrowest goes into any of the pockets.
pub fn has_room(case: &Case) -> bool {
    let room = |p: &(Region, f64)| opened(&polygons(&p.0), case.radius()).unsigned_area() > 0.0;
    case.pockets.iter().all(room) || !case.exact.is_empty()
}

/// The area swept by the strokes that are asked for.
fn swept(cut: &Cut, of: impl Fn(&Stroke) -> bool) -> MultiPolygon<f64> {
    let mut all = MultiPolygon::new(vec![]);
    let mut radii: Vec<f64> = cut.strokes.iter().map(|s| s.1).collect();
    radii.sort_by(f64::total_cmp);
    radii.dedup();
    for radius in radii {
        let own = cut.strokes.iter().filter(|s| s.1 == radius && of(&s.0)).map(|s| &s.0);
        let ways = MultiLineString::new(ways(own));
        if !ways.0.is_empty() {
            all = all.union(&ways.buffer_with_style(style(radius)));
        }
    }
    all
}

/// Strokes that follow one another as one line.
fn ways<'a>(strokes: impl Iterator<Item = &'a Stroke>) -> Vec<LineString<f64>> {
    let mut all: Vec<Vec<Point>> = Vec::new();
    for stroke in strokes {
        let points = flat(stroke);
        match all.last_mut() {
            Some(way) if way[way.len() - 1].distance(points[0]) < 1e-9 => way.extend(&points[1..]),
            _ => all.push(points),
        }
    }
    for way in &mut all {
        way.dedup_by(|a, b| a.distance(*b) < 1e-9);
        // A plunge sweeps a disc: a line too short to see.
        if way.len() == 1 {
            way.push(way[0] + ovolo::geometry::point(1e-6, 0.0));
        }
    }
    all.into_iter().map(|way| line(way.into_iter())).collect()
}

/// Every point of the way stays a radius off every wall: measured, without polygons.
pub fn clear_of_walls(case: &Case, cut: &Cut) -> Result<(), String> {
    let deepest = case.pockets.iter().map(|p| p.1).fold(0.0, f64::max);
    for (stroke, radius) in &cut.strokes {
        // In the deepest pocket there is but one wall to keep clear of; with one pocket it is all.
        if case.pockets.len() > 1 && stroke.from.z.min(stroke.to.z) > -deepest + 1e-3 {
            continue;
        }
        let region = case.pockets.iter().find(|p| p.1 == deepest).map(|p| &p.0).unwrap();
        for share in [0.0, 0.3, 0.7, 1.0] {
            let p = stroke.at(share).xy();
            let gap = wall(region, p);
            if gap < radius - GOUGE || !region.contains(p) {
                return Err(format!("{} mm into the wall at {p:?}", radius - gap));
            }
        }
    }
    Ok(())
}
