//! Open pockets of a face: how far the cutter runs out over their edges, and where it goes in from
//! the air. A rebate is one of them.

use super::Side;
use super::pockets::{ALLOWANCE, inset};
use crate::cuts::pocket::Mouth;
use crate::diagnostic::Diagnostic;
use crate::geometry::{Box3, Contour, OffsetError, Piece, Point, Region, point};
use crate::part::features::{Clearing, Corners, EdgeSide, Open, Pocket, RebateShape, Start};
use crate::shop::Cutter;

/// How far the cut of a plain rectangle runs out over an open edge, in cutter diameters: by the
/// radius the middle comes to the edge, and by half as much again all corners before it are clean.
const BEYOND: f64 = 0.75;

/// The same where walls slant or stand near an open edge: the middle may have to go a whole radius
/// beyond the edge to take what stands before it, and no farther.
const ROUND_ABOUT: f64 = 1.02;

/// The stock's edge is near enough for going in from the air beyond it if it is within so many
/// cutter diameters of the open edge: farther, a ramp is quicker.
const NEAR: f64 = 2.5;

/// Between the cutter's edge and the stock's while it goes down, mm.
const CLEAR: f64 = 1.0;

/// Places along an open edge where a way in is looked for, shares: the middle first.
const PLACES: [f64; 9] = [0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9, 0.02, 0.98];

/// Steps in which a deeper pocket is looked for beyond an open edge, mm.
const LOOK: f64 = 0.25;

/// What a pocket's cutters go over: the pocket, and what lies beyond its open edges. In the part
/// frame.
pub(super) fn extended(side: &Side<'_>, pocket: &Pocket) -> Result<Region, OffsetError> {
    pocket.open.over(&pocket.region, beyond(side, pocket))
}

/// How far a pocket's cut runs out over its open edges.
fn beyond(side: &Side<'_>, pocket: &Pocket) -> f64 {
    let widest = pocket.cutters.first().and_then(|n| side.bench.shop.cutter(*n).ok());
    widest.map_or(0.0, |cutter| {
        let width = cutter.diameter.0;
        if plain(pocket, width) { BEYOND * width } else { ROUND_ABOUT * width }
    })
}

/// Whether a pocket is a rectangle with nothing nearer to its open edges than a cutter's width.
fn plain(pocket: &Pocket, width: f64) -> bool {
    let pieces: Vec<Piece> = pocket.region.outer().pieces().collect();
    let square = |(i, piece): (usize, &Piece)| {
        let next = pieces[(i + 1) % pieces.len()];
        !piece.is_arc() && piece.direction(1.0).cross(next.direction(0.0)) > 1.0 - 1e-6
    };
    let edges = pocket.open.edges(&pocket.region, 0.0);
    let near =
        |p: Point| edges.iter().any(|(edge, _)| edge.at(edge.nearest_share(p)).distance(p) < width);
    // Chords a hundredth off their arcs.
    let clear = |island: &Contour| {
        island.flattened(0.01).iter().all(|p| !near(*p))
            && !edges.iter().any(|(edge, _)| {
                [0.0, 0.5, 1.0]
                    .iter()
                    .any(|s| island.nearest(edge.at(*s)).is_some_and(|(g, _)| g < width))
            })
    };
    pieces.iter().enumerate().all(square) && pocket.region.islands().iter().all(clear)
}

/// Ways in from the air for a pocket's first cutter, on the table: over edges at the stock's edge,
/// and from deeper pockets beyond an edge that are cut before.
pub(super) fn mouths(side: &Side<'_>, pocket: &Pocket, cutter: &Cutter) -> Vec<Mouth> {
    let by = beyond(side, pocket);
    let deeper = deeper(side, pocket, cutter);
    let mut all = Vec::new();
    for (edge, out) in pocket.open.edges(&pocket.region, by) {
        // The slot is as wide as the cutter, and stays off the ends of the edge.
        let room = |share: f64| {
            let p = edge.at(share);
            p.distance(edge.from).min(p.distance(edge.to)) >= cutter.radius()
        };
        for share in PLACES.into_iter().filter(|share| room(*share)) {
            let outward = -edge.direction(share).left();
            let (at, ahead) = (edge.at(share), edge.at(share) + outward);
            let on_table = (side.at(at), side.at(ahead) - side.at(at));
            // A hair within where roughing goes.
            let aside = cutter.radius() + ALLOWANCE * cutter.diameter.0 + 0.1;
            let inside = side.at(at + outward * (out - aside));
            let air = beyond_stock(side, on_table, cutter)
                .or_else(|| in_deeper(&deeper, (at, outward), cutter).map(|p| side.at(p)));
            let Some(air) = air.filter(|air| free(side, *air, inside, cutter)) else { continue };
            all.push(Mouth { air, inside });
        }
    }
    all
}

/// The place beyond the stock's edge straight out from an open edge, if it is near.
fn beyond_stock(side: &Side<'_>, (at, out): (Point, Point), cutter: &Cutter) -> Option<Point> {
    let Box3 { min, max } = side.bench.stock;
    let aside = cutter.radius() + CLEAR;
    // To where the whole disc is past one side of the stock.
    let ways = [
        (max.x + aside - at.x, out.x),
        (max.y + aside - at.y, out.y),
        (at.x - min.x + aside, -out.x),
        (at.y - min.y + aside, -out.y),
    ];
    let ways = ways.into_iter().filter(|(_, along)| *along > 0.5).map(|(way, along)| way / along);
    let way = ways.fold(f64::INFINITY, f64::min);
    (way <= NEAR * cutter.diameter.0 + aside).then(|| at + out * way)
}

/// Where the middle of a cutter may go that meets only what deeper pockets cleared, each with that
/// pocket's key. In the part frame.
fn deeper(side: &Side<'_>, pocket: &Pocket, cutter: &Cutter) -> Vec<Region> {
    let pockets = before(side, pocket);
    let insets = pockets.filter_map(|other| {
        let widest = other.cutters.iter().filter_map(|n| side.bench.shop.cutter(*n).ok());
        let radius = widest.map(Cutter::radius).fold(cutter.radius(), f64::max);
        other.region.inset(radius).ok()
    });
    insets.flatten().collect()
}

/// Pockets of the same face, named before this one, that are at least as deep: an open edge
/// beside one of them is an edge in the air.
pub(super) fn before<'s>(
    side: &'s Side<'_>,
    pocket: &'s Pocket,
) -> impl Iterator<Item = &'s Pocket> + 's {
    let all = side.pockets.iter().copied();
    all.take_while(|other| other.key != pocket.key)
        .filter(|other| other.depth >= pocket.depth - 1e-6)
        .filter(|other| beside(side, pocket, other))
}

/// Whether another pocket lies where this one's cutter runs out, so far as boxes tell.
fn beside(side: &Side<'_>, pocket: &Pocket, other: &Pocket) -> bool {
    let by = beyond(side, pocket);
    let Some((low, high)) = other.region.outer().bounds() else { return false };
    pocket.open.edges(&pocket.region, by).iter().any(|(edge, _)| {
        let line = Contour::from_pieces(&[*edge], false);
        line.bounds().is_some_and(|(from, to)| {
            from.x - by < high.x && to.x + by > low.x && from.y - by < high.y && to.y + by > low.y
        })
    })
}

fn in_deeper(deeper: &[Region], (at, out): (Point, Point), cutter: &Cutter) -> Option<Point> {
    // A count of steps: a few cutter diameters.
    let count = (NEAR * cutter.diameter.0 / LOOK).ceil() as usize;
    let mut places = (0..=count).map(|i| at + out * (i as f64 * LOOK));
    places.find(|p| deeper.iter().any(|region| region.contains(*p)))
}

/// Whether nothing that holds the board stands where the cutter or its holder goes in.
fn free(side: &Side<'_>, air: Point, inside: Point, cutter: &Cutter) -> bool {
    let way = Piece { from: air, to: inside, bulge: 0.0 };
    let reach = cutter.radius().max(cutter.holder_diameter.0 / 2.0) + CLEAR;
    // A count of millimetres: a few cutter diameters.
    let count = way.length().ceil().max(1.0) as usize;
    let off = |p: Point, b: &Box3| {
        point(p.x - p.x.clamp(b.min.x, b.max.x), p.y - p.y.clamp(b.min.y, b.max.y)).length()
    };
    let mut places = (0..=count).map(|i| way.at(i as f64 / count as f64));
    places.all(|p| side.bench.keepouts.iter().all(|(_, b)| off(p, b) >= reach))
}

/// A rebate: a pocket along a side that is open there and at its ends.
pub(super) fn rebate(
    side: &Side<'_>,
    key: &str,
    rebate: &RebateShape,
    contour: &Contour,
) -> Result<Pocket, Diagnostic> {
    let bench = side.bench;
    let (cutter, _) = bench.cutter(rebate.cutter, &format!("{key}.cutter"))?;
    let (low, high) = contour.bounds().unwrap_or_default();
    let width = rebate.width.0;
    let (from, to, sides) = match rebate.side {
        EdgeSide::Left => {
            (low, point(low.x + width, high.y), [EdgeSide::Left, EdgeSide::Near, EdgeSide::Far])
        }
        EdgeSide::Right => {
            (point(high.x - width, low.y), high, [EdgeSide::Right, EdgeSide::Near, EdgeSide::Far])
        }
        EdgeSide::Near | EdgeSide::All => {
            (low, point(high.x, low.y + width), [EdgeSide::Near, EdgeSide::Left, EdgeSide::Right])
        }
        EdgeSide::Far => {
            (point(low.x, high.y - width), high, [EdgeSide::Far, EdgeSide::Left, EdgeSide::Right])
        }
    };
    if width + BEYOND * cutter.diameter.0 <= cutter.diameter.0 {
        return Err(Diagnostic::error("the rebate is too narrow for this cutter")
            .key(format!("{}.{key}.cutter", bench.part.key))
            .help(format!("use one of at most {}", bench.job.shown.both(width / (1.0 - BEYOND)))));
    }
    let region = Region::new(Contour::rectangle(from, to), Vec::new())
        .map_err(|why| inset(side, key, &why))?;
    Ok(Pocket {
        key: key.to_string(),
        open: Open::sides(region.outer(), &sides),
        region,
        depth: rebate.depth.0,
        cutters: vec![rebate.cutter],
        corners: Corners::AsCut,
        // Cut in from the edge, rank by rank: nothing to peel.
        clearing: Clearing::Offset,
        start: Start::default(),
        face: rebate.face,
    })
}
