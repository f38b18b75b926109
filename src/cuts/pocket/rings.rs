//! Rings within rings, and the order in which they are cut.

use super::cleared::Cleared;
use super::fronts::{Run, runs};
use super::join::{Join, reach};
use super::lap::Skipped;
use super::walker::{Act, Walker};
use super::{Before, Mouth, nominal};
use crate::cuts::track::Track;
use crate::geometry::{Contour, OffsetError, Piece, Point, Region};
use crate::toolpath::Purpose;
use crate::watch::Watch;

/// One connected piece of where the cutter's middle may go.
pub(super) struct Nest {
    /// Where the middle may go while roughing.
    room: Vec<Region>,
    /// The stepover.
    step: f64,
}

/// One loop of a ring.
struct Loop {
    track: Track,
    /// How many rings are outside it.
    level: usize,
    /// Numbers of the loops that must be cut before.
    after: Vec<usize>,
}

/// What a nest is cleared with.
#[derive(Clone, Copy, Debug)]
pub(super) struct Manner<'a> {
    /// The cutter's radius.
    pub radius: f64,
    /// The stepover that is asked for.
    pub stepover: f64,
    /// Whether the load on the rim is held.
    pub hold: bool,
    /// Whether the outermost ring is the first.
    pub outside_in: bool,
    /// What is there no more.
    pub before: Before<'a>,
    /// Ways in from the air.
    pub mouths: &'a [Mouth],
    /// Who is told how far the rounds have come.
    pub watch: Watch<'a>,
}

/// What is done on each level, and then on the floor.
pub(super) struct Acts {
    /// On each level.
    pub level: Vec<Act>,
    /// On the floor, after it was cleared.
    pub floor: Vec<Act>,
}

impl Nest {
    /// Rings at most `step` apart, for a cutter of this radius.
    pub(super) fn of(
        centres: &Region,
        allowance: f64,
        step: f64,
        radius: f64,
    ) -> Result<Nest, OffsetError> {
        let step = step.min(closest(centres, radius));
        // A pocket no wider than cutter and allowance has its walls as its only ring.
        let mut room = if allowance > 0.0 { centres.inset(allowance)? } else { Vec::new() };
        if room.is_empty() {
            room.push(centres.clone());
        }
        Ok(Nest { room, step })
    }

    /// Its loops, inner ones before those around them.
    fn loops(&self) -> Result<Vec<Loop>, OffsetError> {
        let mut loops = Vec::new();
        for region in &self.room {
            let rings = region.rings(self.step, self.step, None)?;
            order(region, &rings, 0, &mut loops);
        }
        let track = |(contour, level): &(Contour, usize)| (Track::new(contour), *level);
        Ok(depend(loops.iter().map(track).collect(), self.step))
    }

    /// Clears one level, then goes round the walls of `centres`.
    pub(super) fn acts(&self, centres: &Region, manner: &Manner<'_>) -> Result<Acts, OffsetError> {
        let angle = nominal(manner.stepover, manner.radius);
        let cleared = Cleared::new(manner.radius, manner.before);
        let mut walker = Walker::new(&self.room, (manner.radius, angle), manner.hold, cleared);
        walker.mouths = manner.mouths;
        if manner.hold && !manner.outside_in {
            let bare = manner.before.centres;
            let cutter = (manner.radius, manner.stepover, angle);
            let all = runs(&self.room, bare, cutter, manner.watch)?;
            follow(&mut walker, &all, Join { step: manner.stepover });
            return Ok(finished(walker, centres));
        }
        let mut skipped: Vec<Skipped> = Vec::new();
        let (loops, join) = (self.loops()?, Join { step: self.step });
        let mut done = vec![false; loops.len()];
        while let Some(next) = nearest(&loops, &done, walker.at, manner.outside_in) {
            done[next] = true;
            let Loop { track, level, .. } = &loops[next];
            // What stands lies within a ring that is cut from outside: the other way round, it is
            // on the right again.
            let turned = (manner.outside_in && *level > 0).then(|| track.reversed());
            let track = turned.as_ref().unwrap_or(track);
            let place = join.join(&mut walker, track).or_else(|| enter(&mut walker, track));
            if let Some(place) = place {
                skipped.append(&mut walker.lap(track, place, Purpose::Rough, *level == 0));
            }
        }
        for pieces in &skipped {
            pick_up(&mut walker, pieces);
        }
        Ok(finished(walker, centres))
    }
}

/// Cuts runs, of those that may be cut now always the nearest.
fn follow(walker: &mut Walker<'_>, runs: &[Run], join: Join) {
    let track = |run: &Run| Track::new(&Contour::from_pieces(&run.pieces, run.closed));
    let tracks: Vec<Track> = runs.iter().map(track).collect();
    let mut done = vec![false; runs.len()];
    loop {
        let ready = |i: &usize| !done[*i] && runs[*i].after.iter().all(|before| done[*before]);
        let off = |i: &usize| {
            let track = &tracks[*i];
            let place = |at| if runs[*i].closed { track.nearest(at) } else { 0.0 };
            walker.at.map_or(0.0, |at| track.at(place(at)).distance(at))
        };
        let nearest = (0..runs.len()).filter(ready).map(|i| (off(&i), i));
        let Some((_, next)) = nearest.min_by(|a, b| a.0.total_cmp(&b.0)) else { break };
        done[next] = true;
        let (run, track) = (&runs[next], &tracks[next]);
        let pieces: Vec<Piece> = if run.closed {
            let joined = if run.opens { None } else { join.join(walker, track) };
            let joined = joined.or_else(|| join.begin_beside(walker, track));
            let Some(place) = joined.or_else(|| enter(walker, track)) else { continue };
            let lap = track.between(place, place + track.length(), &[]);
            lap.iter().map(|stretch| stretch.piece).collect()
        } else {
            reach(walker, track.start());
            run.pieces.clone()
        };
        let purpose = if run.opens { Purpose::Entry } else { Purpose::Rough };
        for piece in pieces {
            walker.cleared.add_along(&piece, 0.0);
            walker.go(purpose, piece);
        }
    }
}

/// Goes down where a ring is begun that is not beside what is cleared, or from an open side, and
/// gives the place; none if the ring was cut to open it.
pub(super) fn enter(walker: &mut Walker<'_>, track: &Track) -> Option<f64> {
    /// Radii of a helix, shares of the cutter's: wide is gentle, and none leaves a core.
    const HELICES: [f64; 4] = [0.9, 0.7, 0.5, 0.35];
    /// Rings longer than this, in radii, are opened by a ramp.
    const OPENED: f64 = 8.0;
    let mut places: Vec<(f64, f64)> =
        track.pieces().map(|(start, p)| (p.length(), start + p.length() / 2.0)).collect();
    places.sort_by(|a, b| b.0.total_cmp(&a.0));
    /// So many places are tried: the longest pieces have the most room.
    const MOST: usize = 24;
    places.truncate(MOST);
    let starts = track.pieces().map(|(start, _)| start).take(MOST);
    let free = places.iter().map(|p| p.1).chain(starts).find(|s| walker.cleared.bare(track.at(*s)));
    if let Some(place) = free {
        reach(walker, track.at(place));
        return Some(place);
    }
    if let Some(place) = from_air(walker, track) {
        return Some(place);
    }
    // A long ring in whole wood is opened by a ramp along it; round a short one a helix goes down.
    let long = track.length() > OPENED * walker.radius;
    for share in HELICES.into_iter().filter(|_| walker.hold && !long) {
        for (_, place) in &places {
            let (at, along) = (track.at(*place), track.direction(*place));
            let middle = at + along.left() * (share * walker.radius);
            if walker.fits(middle, share * walker.radius) {
                walker.acts.push(Act::Helix { at, middle });
                walker.at = Some(at);
                let across = middle + (middle - at);
                for (from, to) in [(at, across), (across, at)] {
                    walker.cleared.add_along(&Piece { from, to, bulge: 1.0 }, 0.0);
                }
                return Some(*place);
            }
        }
    }
    let place = places.first().map_or(0.0, |p| p.1);
    let pieces = track.between(place, place + track.length(), &[]);
    walker.acts.push(Act::Ramp(pieces.len()));
    for stretch in pieces {
        walker.cleared.add_along(&stretch.piece, 0.0);
        walker.go(Purpose::Entry, stretch.piece);
    }
    None
}

/// Goes in over an open edge, by the shortest slot to the ring; none if there is no way in.
fn from_air(walker: &mut Walker<'_>, track: &Track) -> Option<f64> {
    let ways = walker.mouths.iter().map(|mouth| {
        let place = track.nearest(mouth.inside);
        let on = Piece { from: mouth.inside, to: track.at(place), bulge: 0.0 };
        (mouth, place, on)
    });
    let ways = ways.filter(|(_, _, on)| walker.within(on));
    let length = |mouth: &Mouth, on: &Piece| mouth.air.distance(mouth.inside) + on.length();
    let (mouth, place, on) = ways.min_by(|a, b| length(a.0, &a.2).total_cmp(&length(b.0, &b.2)))?;
    walker.over(mouth.air);
    for piece in [Piece { from: mouth.air, to: mouth.inside, bulge: 0.0 }, on] {
        walker.cleared.add_along(&piece, 0.0);
        walker.go(Purpose::Entry, piece);
    }
    Some(place)
}

/// Cuts what arcs past a corner left out, if anything is left there by now.
fn pick_up(walker: &mut Walker<'_>, pieces: &[Piece]) {
    let places = pieces.iter().flat_map(|piece| {
        super::cleared::shares(piece, walker.radius).map(|share| piece.at(share))
    });
    let places: Vec<Point> = places.collect();
    let (Some(first), false) = (pieces.first(), places.iter().all(|p| walker.cleared.whole(*p)))
    else {
        return;
    };
    reach(walker, first.from);
    pieces.iter().for_each(|piece| walker.along(piece, Purpose::Rough));
}

/// What was done on the level, and the walls after it.
fn finished(mut walker: Walker<'_>, centres: &Region) -> Acts {
    let level = std::mem::take(&mut walker.acts);
    let whole = [centres.clone()];
    let mut walker = walker.in_room(&whole);
    walls(&mut walker, centres);
    Acts { level, floor: walker.acts }
}

/// Once round every wall, entered from the cleared side.
fn walls(walker: &mut Walker<'_>, centres: &Region) {
    for contour in centres.contours() {
        let track = Track::new(contour);
        let longest = track.pieces().max_by(|a, b| a.1.length().total_cmp(&b.1.length()));
        let place = longest.map_or(0.0, |(start, piece)| start + piece.length() / 2.0);
        let (on, along) = (track.at(place), track.direction(place));
        // The region lies on the left: from there, unless something else stands there.
        let aside = (1..=8).rev().map(|i| on + along.left() * (walker.radius * f64::from(i) / 8.0));
        let ways = aside.map(|from| Piece { from, to: on, bulge: 0.0 });
        let ways: Vec<Piece> = ways.filter(|way| walker.within(way)).collect();
        let bare = ways.iter().find(|way| walker.cleared.bare(way.from));
        let off = bare.or(ways.first()).map_or(on, |way| way.from);
        reach(walker, off);
        walker.along(&Piece { from: off, to: on, bulge: 0.0 }, Purpose::Lead);
        walker.lap(&track, place, Purpose::Finish, true);
        walker.along(&Piece { from: on, to: off, bulge: 0.0 }, Purpose::Lead);
    }
}

/// Rings farther apart than this leave a spike in the sharpest inside corner: between corners of
/// interior angle t the way along the bisector is s / sin(t / 2), and a disc at each end covers its
/// radius of it. Never below a tenth of the radius, for corners that are almost cusps.
pub(super) fn closest(centres: &Region, radius: f64) -> f64 {
    let mut least = std::f64::consts::PI;
    for contour in centres.contours() {
        let pieces: Vec<Piece> = contour.pieces().collect();
        for (i, piece) in pieces.iter().enumerate() {
            let next = pieces[(i + 1) % pieces.len()];
            let (a, b) = (piece.direction(1.0), next.direction(0.0));
            let turn = a.cross(b).atan2(a.dot(b));
            least = least.min(std::f64::consts::PI - turn.max(0.0));
        }
    }
    // A little less than two radii: the discs overlap.
    (1.8 * radius * (least / 2.0).sin()).max(0.1 * radius)
}

/// Of the loops that may be cut now, the nearest.
fn nearest(loops: &[Loop], done: &[bool], at: Option<Point>, outside_in: bool) -> Option<usize> {
    let inside = |i: usize| loops[i].after.iter().all(|k| done[*k]);
    let around =
        |i: usize| loops.iter().zip(done).all(|(one, done)| *done || !one.after.contains(&i));
    let ready = |i: &usize| !done[*i] && if outside_in { around(*i) } else { inside(*i) };
    let off = |i: &usize| {
        let track = &loops[*i].track;
        at.map_or(0.0, |at| track.at(track.nearest(at)).distance(at))
    };
    (0..loops.len()).filter(ready).min_by(|a, b| off(a).total_cmp(&off(b)))
}

/// The loops of a region after those of the regions within it, each with how many rings are
/// outside it. `rings` are the levels further in.
fn order(region: &Region, rings: &[Vec<Region>], level: usize, loops: &mut Vec<(Contour, usize)>) {
    if let Some(inner) = rings.get(level) {
        let within =
            |r: &&Region| r.outer().vertices.first().is_some_and(|v| region.contains(v.at));
        for child in inner.iter().filter(within) {
            order(child, rings, level + 1, loops);
        }
    }
    loops.extend(region.contours().map(|contour| (contour.clone(), level)));
}

/// Loops with what must be cut before each: the loops of the next ring further in that run beside
/// it.
fn depend(tracks: Vec<(Track, usize)>, step: f64) -> Vec<Loop> {
    let beside = |outer: &Track, inner: &Track| {
        let places = outer.pieces().flat_map(|(_, p)| [p.at(0.0), p.at(0.5)]);
        let others = inner.pieces().flat_map(|(_, p)| [p.at(0.0), p.at(0.5)]);
        let close = |track: &Track, p: Point| track.at(track.nearest(p)).distance(p) < 1.5 * step;
        places.into_iter().any(|p| close(inner, p)) || others.into_iter().any(|p| close(outer, p))
    };
    let after = |i: usize| {
        let (outer, level) = &tracks[i];
        let inner = tracks.iter().enumerate().filter(|(_, (_, l))| *l == level + 1);
        inner.filter(|(_, (track, _))| beside(outer, track)).map(|(k, _)| k).collect()
    };
    let all: Vec<Vec<usize>> = (0..tracks.len()).map(after).collect();
    let loops = tracks.into_iter().zip(all);
    loops.map(|((track, level), after)| Loop { track, level, after }).collect()
}
