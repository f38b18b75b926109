//! What a ring must show before it is believed. Nothing here trusts how the ring was found;
//! only the ring before it, which has its own certificate, saves proving the same deaths twice.
//!
//! - Clearance: no piece comes nearer to any part of the source than the distance.
//! - Reach: each piece runs along the offset of one element of the source, on the right side
//!   and the right way, over its whole length.
//! - No crossing: no two pieces cross or touch.
//! - Winding: every loop encloses what its direction says, seen from all others.
//! - Nothing left out: what left the ring since the one before is nearer to something else.
//! - Area: what was lost since the ring before lies between what the living part of the front
//!   swept and what all of it could have swept (Steiner).

use super::cores::in_chunks;
use super::element::{Element, SMOOTH, Source};
use super::loops::Loops;
use super::span::{Span, square, unit};
use super::tree::Tree;
use super::wave::{Section, Wave};
use super::{OffsetError, TOLERANCE};
use crate::geometry::{Contour, Point};
use std::ops::Range;

/// How near clearance is measured where the source itself is asked, millimetres: a tenth of the
/// tolerance, so that many rings can follow by steps.
const FRESH: f64 = 1e-4;
/// Lost stretches shorter than this, millimetres, need no proof: a tenth of the tolerance.
const LOST: f64 = 1e-4;
/// A ray is dead if something is nearer than its own foot by this, millimetres.
const NEARER: f64 = 1e-9;

/// What a step may lose of the clearance that was proved for the ring before, millimetres: a
/// hundredth of the tolerance.
const STEP_LOSS: f64 = 1e-5;

/// A ring that passed.
pub(super) struct Certified {
    pub(super) loops: Vec<Contour>,
    /// Its area, square millimetres.
    pub(super) area: f64,
    /// Nothing of the source is nearer than this to any part of it, millimetres.
    pub(super) clearance: f64,
}

/// Checks the ring `wave`, meant for `distance`, and gives its loops. `before` must have passed,
/// or be the source itself.
pub(super) fn certify(
    source: &Source,
    before: &Wave,
    wave: &Wave,
    distance: f64,
) -> Result<Certified, OffsetError> {
    let drawn = Drawn::new(wave);
    let mut check = Check { source, before, wave, drawn: &drawn, distance, by_step: true };
    // What a straight line from the ring to the source leaves behind at the ring before, and
    // from there on what was proved for that ring; loops there close within the joints' slack.
    let step = wave.distance - before.distance - STEP_LOSS;
    let joints = SMOOTH * before.distance;
    let mut clearance = before.clearance + step - joints;
    if clearance < distance - TOLERANCE || step <= 0.0 {
        check.by_step = false;
        clearance = distance - FRESH;
    }
    if let Err(why) = check.all_pieces() {
        if !check.by_step {
            return Err(why);
        }
        // What is too short to be drawn may use up more than a step may lose; the source knows.
        check.by_step = false;
        clearance = distance - FRESH;
        check.all_pieces()?;
    }
    check.windings()?;
    check.nothing_left_out()?;
    let area = drawn.areas.iter().sum();
    check.area(area)?;
    Ok(Certified { loops: drawn.contours, area, clearance })
}

/// The ring as it will be given out.
struct Drawn {
    contours: Vec<Contour>,
    loops: Loops,
    /// The section of each span.
    sections: Vec<u32>,
    /// The area of each contour.
    areas: Vec<f64>,
}

impl Drawn {
    fn new(wave: &Wave) -> Drawn {
        let (contours, sections): (Vec<Contour>, Vec<Vec<u32>>) =
            wave.contours().into_iter().unzip();
        let loops = Loops::of_corners(contours.iter());
        let areas = (0..contours.len()).map(|i| loops.area(i)).collect();
        Drawn { contours, loops, sections: sections.concat(), areas }
    }
}

struct Check<'a> {
    source: &'a Source,
    before: &'a Wave,
    wave: &'a Wave,
    drawn: &'a Drawn,
    distance: f64,
    /// Whether clearance is measured to the ring before, else to the source.
    by_step: bool,
}

impl Check<'_> {
    fn fail(&self, at: Point) -> OffsetError {
        let (source, tree) = (self.source.spans(), self.source.tree());
        let distance = tree.nearest(source, at).map_or(f64::INFINITY, |(_, d)| d);
        OffsetError::NotCertified { at, distance, wanted: self.distance }
    }

    fn all_pieces(&self) -> Result<(), OffsetError> {
        let found = in_chunks(self.drawn.loops.spans.len(), |range| {
            Tree::groups(range).filter_map(|group| self.pieces(group).err()).take(1).collect()
        });
        found.into_iter().next().map_or(Ok(()), Err)
    }

    /// Reach, clearance and crossings of a few pieces that follow one another.
    fn pieces(&self, group: Range<usize>) -> Result<(), OffsetError> {
        let spans = &self.drawn.loops.spans;
        for i in group.clone() {
            let section = &self.wave.sections[self.drawn.sections[i] as usize];
            let element = &self.source.elements[section.element as usize];
            let whole = &self.source.spans()[section.element as usize];
            if !follows(&spans[i], element, whole, self.distance) {
                return Err(self.fail(spans[i].middle()));
            }
        }
        if let Some(i) = self.too_near(group.clone()) {
            let (source, tree) = (self.source.spans(), self.source.tree());
            let points = [spans[i].from, spans[i].middle(), spans[i].to];
            let off = |p: &Point| tree.nearest(source, *p).map_or(0.0, |(_, d)| d);
            let worst = points.into_iter().min_by(|a, b| off(a).total_cmp(&off(b)));
            return Err(self.fail(worst.unwrap_or(spans[i].from)));
        }
        self.drawn.loops.crossing(group).map_or(Ok(()), |at| Err(self.fail(at)))
    }

    fn too_near(&self, group: Range<usize>) -> Option<usize> {
        let (other, reach) = if self.by_step {
            (self.before, self.wave.distance - self.before.distance - STEP_LOSS)
        } else {
            (&self.source.outline, self.distance - FRESH)
        };
        if reach <= 0.0 {
            return None;
        }
        let drawn = &self.drawn.loops;
        other.tree.any_gap_within(&other.spans, (&drawn.tree, &drawn.spans), group, reach)
    }

    /// Each loop lies as its direction says, and on the right side of the source.
    fn windings(&self) -> Result<(), OffsetError> {
        let source = self.source;
        let loops = &self.drawn.loops;
        for (index, &area) in self.drawn.areas.iter().enumerate() {
            let at = loops.spans[loops.loops[index].start].middle();
            let outside = [source.outline.winding(at), self.before.winding(at)]
                .into_iter()
                .any(|winding| winding != source.winding);
            let others = loops.winding_of_others(index, at);
            let wanted = source.winding - i32::from(area > 0.0);
            if outside || others != wanted {
                return Err(self.fail(at));
            }
        }
        Ok(())
    }

    /// The middle of each stretch that left the ring is nearer to something else.
    fn nothing_left_out(&self) -> Result<(), OffsetError> {
        let mut kept: Vec<&Section> = self.wave.sections.iter().collect();
        let place = |s: &Section| {
            let parent = &self.before.sections[s.parent as usize];
            self.source.elements[s.element as usize].key(parent.a, s.a)
        };
        kept.sort_by(|a, b| a.parent.cmp(&b.parent).then(place(a).total_cmp(&place(b))));
        let found = in_chunks(self.before.sections.len(), |range| {
            let mut hint = usize::MAX;
            let mut at = kept.partition_point(|s| (s.parent as usize) < range.start);
            for i in range {
                let from = at;
                while at < kept.len() && kept[at].parent as usize == i {
                    at += 1;
                }
                if let Some(p) = self.left_out(i, &kept[from..at], &mut hint) {
                    return vec![self.fail(p)];
                }
            }
            Vec::new()
        });
        found.into_iter().next().map_or(Ok(()), Err)
    }

    fn left_out(&self, parent: usize, kept: &[&Section], hint: &mut usize) -> Option<Point> {
        let section = &self.before.sections[parent];
        let element = &self.source.elements[section.element as usize];
        // The ring may be farther in by the tolerance, so the ray is asked that much later.
        let distance = self.distance + TOLERANCE;
        let mut from = section.a;
        for k in 0..=kept.len() {
            let to = kept.get(k).map_or(section.b, |s| s.a);
            // An inner arc that is used up has no rays left.
            let used_up = element.turn > 0.0 && element.radius_at(distance) <= 0.0;
            if element.key(from, to) > 0.0 && !used_up {
                let found = self.living(section.element as usize, from, to, distance, hint);
                if found.is_some() {
                    return found;
                }
            }
            from = kept.get(k).map_or(from, |s| s.b);
        }
        None
    }

    /// A place on the stretch of an element from one place to another, at a distance, to which
    /// nothing else is nearer and by which the ring does not pass.
    ///
    /// Distance to a line is convex along a line, so one line that is nearer to both ends of a
    /// straight stretch kills all of it; and distance changes no faster than one goes, so that
    /// a stretch is dead if its middle is so by half its length. Else it is halved.
    fn living(
        &self,
        index: usize,
        from: Point,
        to: Point,
        distance: f64,
        hint: &mut usize,
    ) -> Option<Point> {
        let element = &self.source.elements[index];
        let half = element.length(from, to, distance) / 2.0;
        if half < LOST / 2.0 {
            return None;
        }
        let middle = element.between(from, to);
        let at = element.aside(middle, distance);
        let Some(by) = self.dead_by(index, at, distance, hint) else {
            let passes = |p: Point| self.on_ring(element.aside(p, self.distance));
            if !passes(middle) {
                return Some(at);
            }
            if half > TOLERANCE {
                return self.living_in_halves(index, [from, middle, to], distance, hint);
            }
            return (!(passes(from) && passes(to))).then_some(at);
        };
        if by >= half || half <= TOLERANCE {
            return None;
        }
        let killer = &self.source.spans()[*hint];
        let nearer = |place: Point| {
            let reach = distance - NEARER;
            killer.distance2(element.aside(place, distance)) < reach * reach
        };
        if element.is_line()
            && (killer.is_line() || killer.size == 0.0)
            && nearer(from)
            && nearer(to)
        {
            return None;
        }
        self.living_in_halves(index, [from, middle, to], distance, hint)
    }

    fn living_in_halves(
        &self,
        index: usize,
        [from, middle, to]: [Point; 3],
        distance: f64,
        hint: &mut usize,
    ) -> Option<Point> {
        self.living(index, from, middle, distance, hint)
            .or_else(|| self.living(index, middle, to, distance, hint))
    }

    /// Whether the ring passes by here: what left it is there all the same, by a neighbour that
    /// runs alike.
    fn on_ring(&self, at: Point) -> bool {
        let drawn = &self.drawn.loops;
        drawn.tree.any_within(&drawn.spans, at, TOLERANCE, &mut usize::MAX.clone())
    }

    /// By how much something of the source is nearer to `at` than `distance`, if it is; most often
    /// it is `hint`, or a neighbour of the element that the ray came from. `hint` becomes that.
    fn dead_by(&self, element: usize, at: Point, distance: f64, hint: &mut usize) -> Option<f64> {
        let (source, tree) = (self.source.spans(), self.source.tree());
        let reach2 = (distance - NEARER) * (distance - NEARER);
        let mut best = reach2;
        let near = element.saturating_sub(2)..(element + 3).min(source.len());
        for index in near.chain((*hint < source.len()).then_some(*hint)) {
            let d2 = source[index].distance2(at);
            if d2 < best {
                (best, *hint) = (d2, index);
            }
        }
        if best == reach2 {
            if !tree.any_within(source, at, distance - NEARER, hint) {
                return None;
            }
            best = source[*hint].distance2(at);
        }
        Some(distance - best.sqrt())
    }

    /// Area lost since the ring before, against what the front swept.
    fn area(&self, area: f64) -> Result<(), OffsetError> {
        let swept = |wave: &Wave| -> f64 {
            let sections = wave.sections.iter();
            sections
                .map(|s| {
                    let element = &self.source.elements[s.element as usize];
                    element.swept(s.a, s.b, self.before.distance, self.distance)
                })
                .sum()
        };
        let length = |wave: &Wave| {
            wave.spans.iter().map(|s| square(s.middle() - s.from).sqrt() * 4.0).sum::<f64>()
        };
        let lost = self.before.area - area;
        let slack = TOLERANCE * (length(self.before) + length(self.wave) + self.distance);
        let (least, most) = (swept(self.wave), swept(self.before));
        if lost > least - slack && lost < most + slack {
            return Ok(());
        }
        let at = self.drawn.loops.spans.first().or(self.before.spans.first());
        Err(self.fail(at.map_or(Point::default(), Span::middle)))
    }
}

/// Whether a span lies on the offset of an element, over its whole length, running its way.
fn follows(span: &Span, element: &Element, whole: &Span, distance: f64) -> bool {
    let middle = span.middle();
    if element.is_line() {
        let aside = |p: Point| (element.direction.cross(p - element.at) - distance).abs();
        let along = |p: Point| (p - element.at).dot(element.direction);
        let within = |p: Point| along(p) > -TOLERANCE && along(p) < whole.size + TOLERANCE;
        return [span.from, middle, span.to].iter().all(|&p| aside(p) < TOLERANCE && within(p))
            && span.is_line()
            && along(span.to) > along(span.from);
    }
    let radius = element.radius_at(distance);
    let off = |p: Point| (square(p - element.at).sqrt() - radius).abs();
    // Distance to the element's centre is extreme at the ends and where the span faces it.
    let extreme = if span.is_line() {
        let along = (element.at - span.from).dot(span.a).clamp(0.0, span.size);
        [span.from + span.a * along, span.to]
    } else {
        let u = unit(element.at - span.center);
        let facing = |v: Point| {
            if span.spans(v) { span.center + v * span.size } else { span.from }
        };
        [facing(u), facing(-u)]
    };
    let on = [span.from, middle, span.to].into_iter().chain(extreme).all(|p| off(p) < TOLERANCE);
    // Inside the element's sector, give or take the tolerance at its edges.
    let inside = |p: Point| {
        let v = p - element.at;
        whole.a.cross(v) * element.turn > -TOLERANCE && v.cross(whole.b) * element.turn > -TOLERANCE
    };
    on && [span.from, middle, span.to].into_iter().all(inside)
        && (span.from - element.at).cross(span.to - element.at) * element.turn > -TOLERANCE * radius
}
