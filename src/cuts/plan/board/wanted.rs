//! The surface that the cuts of one face should leave.

use super::Side;
use super::edges::sides;
use super::open::{extended, rebate};
use super::pockets::{corners, turned};
use crate::cuts::plan::Surface;
use crate::geometry::{Band, Contour, Piece, Point, Region};
use crate::part::features::{Corners, EdgeForm, Face, Pocket};
use crate::shop::Cutter;

/// Room given to a roundover's ridges, mm.
const RIDGE: f64 = 0.05;

/// A rectangle that is asked before anything finer: most places lie in no opening.
type Extent = (Point, Point);

/// A hole or a groove: cleared all over.
struct Opening {
    extent: Extent,
    outline: Contour,
    floor: f64,
    /// Up to here wood may stand: a drill's point leaves a cone.
    high: f64,
}

/// A pocket: cleared where the cutters reach.
struct Cleared {
    extent: Extent,
    region: Region,
    /// The pocket and what the cutter may cut beyond its open edges.
    extended: Region,
    /// Where the middle of the narrowest cutter goes.
    centres: Vec<Region>,
    radius: f64,
    floor: f64,
}

/// A side whose edge is taken off.
struct Edge {
    sides: Vec<Piece>,
    form: EdgeForm,
    size: f64,
    /// Tangent of a chamfer's angle to the cutter's axis.
    slope: f64,
}

/// What this face should look like; `None` if nothing is cut into it.
pub(super) fn surface(side: &Side<'_>, contour: &Contour) -> Option<Surface> {
    let features = &side.bench.part.features;
    if !features.on(side.face) {
        return None;
    }
    let outline = side.contour(contour);
    let extent = extent(&outline);
    let top = side.bench.stock.max.z;
    let openings = openings(side);
    let pins = pins(side);
    let cleared = cleared(side, contour);
    let edges = edges(side, contour);
    Some(Surface::new(move |p| {
        // They stand in the waste, where anything else may be left.
        let pin = pins.iter().find(|o| within(o.extent, p) && o.outline.contains(p));
        if let Some(pin) = pin {
            return Some(Band { low: pin.floor, high: pin.high });
        }
        if !within(extent, p) || !outline.contains(p) {
            return None;
        }
        let mut band = Band { low: top, high: top };
        let mut down = |low: f64, high: f64| {
            band.low = band.low.min(low);
            band.high = band.high.min(high);
        };
        for one in openings.iter().filter(|o| within(o.extent, p) && o.outline.contains(p)) {
            down(one.floor, one.high);
        }
        for one in cleared.iter().filter(|c| within(c.extent, p) && c.extended.contains(p)) {
            let asked = one.region.contains(p) && one.reaches(p);
            down(one.floor, if asked { one.floor } else { top });
        }
        for edge in &edges {
            if let Some(height) = edge.below(p) {
                down(top - height, top - height + RIDGE);
            }
        }
        Some(band)
    }))
}

fn extent(outline: &Contour) -> Extent {
    outline.bounds().unwrap_or_default()
}

fn within((low, high): Extent, p: Point) -> bool {
    p.x >= low.x && p.x <= high.x && p.y >= low.y && p.y <= high.y
}

impl Opening {
    fn new(outline: Contour, floor: f64) -> Opening {
        Opening { extent: extent(&outline), outline, floor, high: floor }
    }
}

fn openings(side: &Side<'_>) -> Vec<Opening> {
    let features = &side.bench.part.features;
    let (top, under) = (side.bench.stock.max.z, side.bench.stock.min.z);
    let mut all = Vec::new();
    for hole in features.holes.iter().filter(|h| h.face == side.face) {
        // All through: as far as a cutter may go at all.
        let through = under - side.bench.shop.machine.into_spoilboard.0;
        let floor = hole.depth.map_or(through, |depth| top - depth);
        let mouth = hole.counterbore.map(|(diameter, depth, _)| (diameter, top - depth));
        for (diameter, floor) in std::iter::once((hole.diameter, floor)).chain(mouth) {
            let circle = |middle: &Point| Contour::circle(side.at(*middle), diameter / 2.0);
            // A drill's point is at most as high as the hole is wide; through the board it is gone.
            let high = if floor < under { under } else { floor + diameter };
            let one = |middle: &Point| Opening { high, ..Opening::new(circle(middle), floor) };
            all.extend(hole.at.iter().map(one));
        }
    }
    all.extend(
        features
            .grooves
            .iter()
            .filter(|g| g.face == side.face)
            .map(|g| Opening::new(Contour::around(&side.piece(&g.middle), g.width), top - g.depth)),
    );
    let relieved = features.pockets.iter().filter(|p| p.face == side.face);
    for pocket in relieved.filter(|p| p.corners == Corners::Relieved) {
        let Some(radius) = narrowest(side, pocket) else { continue };
        all.extend(corners(side, pocket).into_iter().map(|(corner, into)| {
            Opening::new(Contour::circle(corner + into * radius, radius), top - pocket.depth)
        }));
    }
    all
}

/// The holes for the pins, all through, which the first face's programs make.
fn pins(side: &Side<'_>) -> Vec<Opening> {
    let flip = side.bench.part.features.flip.as_ref();
    let Some(flip) = flip.filter(|_| side.face == Face::Bottom) else { return Vec::new() };
    let under = side.bench.stock.min.z;
    let floor = under - side.bench.shop.machine.into_spoilboard.0;
    let hole = |at: Point| {
        let circle = Contour::circle(side.at(at), flip.pin_diameter.0 / 2.0);
        Opening { high: under, ..Opening::new(circle, floor) }
    };
    side.pin_places(flip).into_iter().map(hole).collect()
}

fn narrowest(side: &Side<'_>, pocket: &Pocket) -> Option<f64> {
    let cutters = pocket.cutters.iter().filter_map(|n| side.bench.shop.cutter(*n).ok());
    cutters.map(Cutter::radius).min_by(f64::total_cmp)
}

fn cleared(side: &Side<'_>, contour: &Contour) -> Vec<Cleared> {
    let features = &side.bench.part.features;
    let rebates = features.rebates.iter().filter(|(_, r)| r.face == side.face);
    let rebates = rebates.filter_map(|(key, r)| rebate(side, key, r, contour).ok());
    let own = features.pockets.iter().filter(|p| p.face == side.face).cloned();
    rebates
        .chain(own)
        .filter_map(|pocket| {
            let region = turned(side, &pocket.region).ok()?;
            let radius = narrowest(side, &pocket)?;
            let extended = turned(side, &extended(side, &pocket).ok()?).ok()?;
            let centres = extended.inset(radius).ok()?;
            let extent = extent(extended.outer());
            let floor = side.bench.stock.max.z - pocket.depth;
            Some(Cleared { extent, region, extended, centres, radius, floor })
        })
        .collect()
}

impl Cleared {
    /// Whether some place of the cutter covers the point.
    fn reaches(&self, p: Point) -> bool {
        // What a hundredth of a millimetre less would cover; the rim itself is judged no closer.
        let radius = self.radius - 0.01;
        self.centres.iter().any(|centres| {
            centres.contains(p)
                || centres.contours().any(|c| c.nearest(p).is_some_and(|(gap, _)| gap <= radius))
        })
    }
}

fn edges(side: &Side<'_>, contour: &Contour) -> Vec<Edge> {
    let own = side.bench.part.features.edges.iter().filter(|(_, e)| e.face == side.face);
    own.filter_map(|(_, edge)| {
        let cutter = side.bench.shop.cutter(edge.cutter).ok()?;
        Some(Edge {
            sides: sides(contour, edge.side).iter().map(|piece| side.piece(piece)).collect(),
            form: edge.form,
            size: edge.size.0,
            slope: (cutter.included_angle.0 / 2.0).tan(),
        })
    })
    .collect()
}

impl Edge {
    /// How far below the face the edge is at a point within the outline.
    fn below(&self, p: Point) -> Option<f64> {
        let to = |piece: &Piece| piece.at(piece.nearest_share(p)).distance(p);
        let off = self.sides.iter().map(to).fold(f64::INFINITY, f64::min);
        let inward = self.size - off;
        (inward > 0.0).then(|| match self.form {
            EdgeForm::Chamfer => inward / self.slope,
            EdgeForm::Roundover => {
                self.size - (self.size * self.size - inward * inward).max(0.0).sqrt()
            }
        })
    }
}
