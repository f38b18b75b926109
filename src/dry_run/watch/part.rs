//! The part's outline, which no cutter may enter.

use super::{Watch, say};
use crate::dry_run::interlock::Interlock;
use crate::dry_run::log::{Log, spot};
use crate::dry_run::progress::Progress;
use crate::dry_run::scene::Scene;
use crate::dry_run::setup::PartKeep;
use crate::dry_run::touch::NOISE;
use crate::geometry::{Box3, EPSILON, Piece, Point, Point3, Stroke};
use crate::ngc::Event;

/// Shortest step along a stroke, mm, however small the tolerance.
const SHORTEST: f64 = 0.01;

/// Most steps along one stroke, so that a hostile length can not hold up the check.
const MOST: f64 = 20_000.0;

/// Outline pieces farther from the cutter's rim than this, mm, are not measured.
const MARGIN: f64 = 5.0;

/// The outline in pieces, each with its bounds.
pub(super) struct Part {
    pieces: Vec<(Piece, Box3)>,
}

impl Part {
    pub(super) fn new(scene: &Scene) -> Part {
        let pieces = scene.setup.part.iter().flat_map(|part| part.outline.pieces());
        Part { pieces: pieces.map(|piece| (piece, piece.stroke(0.0, 0.0).bounds())).collect() }
    }
}

impl Watch for Part {
    fn see(&mut self, event: &Event, now: &Progress, log: &mut Log) {
        let Some(part) = &now.scene.setup.part else { return };
        let Some(pass) = now.pass.as_ref().filter(|p| p.placed() && p.feed.is_some()) else {
            return;
        };
        if pass.stroke.bounds().min.z >= now.scene.top - NOISE {
            return;
        }
        if let Some((at, depth)) = self.enters(part, &pass.stroke, now) {
            log.refuse(spot(Interlock::PartUntouched, "inside", event.line, Some(at)), |log| {
                let (depth, allowed) = (log.bound(depth), log.bound(part.clearance));
                say(
                    format!("the cutter comes {depth} inside the part's outline, and {allowed} are allowed"),
                    "check the cutter's diameter, the side of the outline and the work zero",
                )
            });
        }
    }

    fn end(&mut self, now: &Progress, log: &mut Log) {
        let interlock = Interlock::PartUntouched;
        if now.scene.setup.part.is_none() {
            log.not_judged(interlock, "the setup names no outline of the part");
        } else if now.fed && now.cutter.is_none() {
            log.not_judged(interlock, "the cutter is not known: only the axis was judged");
        }
    }
}

impl Part {
    /// Where the cutter first comes inside by more than the tolerance, and by how much. A step is
    /// never longer than the way left to the outline, so that only the shortest step can pass
    /// over a nearer place: what is missed is at most half of it deeper than the tolerance.
    fn enters(&self, part: &PartKeep, stroke: &Stroke, now: &Progress) -> Option<(Point3, f64)> {
        let radius = now.body.radius;
        let far = radius + MARGIN;
        let bounds = stroke.bounds();
        let close: Vec<&Piece> =
            self.pieces.iter().filter(|(_, b)| meet(&bounds, b, far)).map(|(p, _)| p).collect();
        let length = stroke.length();
        let shortest = (part.clearance / 2.0).max(SHORTEST).max(length / MOST);
        let mut inside = part.outline.contains(stroke.from.xy());
        let mut way = 0.0;
        loop {
            let at = if length > 0.0 { stroke.at((way / length).min(1.0)) } else { stroke.to };
            let distance = nearest(&close, at.xy()).min(far);
            let outside = if inside { -distance } else { distance };
            let deep = now.body.width(now.scene.top - at.z) - outside;
            if at.z < now.scene.top - NOISE && deep > part.clearance + EPSILON {
                return Some((at, deep));
            }
            if way >= length || length.is_nan() {
                return None;
            }
            let step = (outside - radius + part.clearance).max(shortest);
            way = (way + step).min(length);
            // Only a step longer than the way to the outline can have crossed it.
            if step >= distance {
                inside = part.outline.contains(stroke.at((way / length).min(1.0)).xy());
            }
        }
    }
}

fn nearest(pieces: &[&Piece], p: Point) -> f64 {
    let to = |piece: &&Piece| piece.at(piece.nearest_share(p)).distance(p);
    pieces.iter().map(to).fold(f64::INFINITY, f64::min)
}

/// Whether boxes come within `reach` of each other in plan.
fn meet(a: &Box3, b: &Box3, reach: f64) -> bool {
    a.min.x < b.max.x + reach
        && a.max.x > b.min.x - reach
        && a.min.y < b.max.y + reach
        && a.max.y > b.min.y - reach
}
