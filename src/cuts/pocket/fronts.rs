//! How cleared ground grows so that no pass bites more than the rim bears.
//!
//! Ground is where the cutter's middle may be without meeting wood. It grows by a step in all
//! directions, as far as the room goes (dilation), and is kept as round as a disc of some radius
//! (opening: J. Serra, "Image Analysis and Mathematical Morphology", 1982, from memory); what is
//! new of its edge is the next run of the cutter. In a hollow arc of radius a, a cutter of radius r
//! that bites a step t meets the angle e where (a - t + r)² = a² + r² + 2 a r cos e (closed form:
//! two circles); so each radius has its greatest step. Several radii are tried and their gains joined:
//! wide ones from ring to ring, in the end ever tighter ones too, for corners and narrow places.

use crate::geometry::{
    Contour, Ground, OffsetError, Piece, Point, Region, outset_all, pieces_through,
};
use crate::watch::Watch;
use rayon::prelude::*;
use std::collections::HashMap;

/// The room is less by this, mm: chords of its arcs stay inside.
const WITHIN: f64 = 0.01;

/// Runs leave the polygons by no more, mm.
pub(super) const FIT: f64 = 0.008;

/// What is nearer to the ground before is not new, mm.
const NEW: f64 = 0.03;

/// Share of the bound that steps are laid out for.
const LAID_OUT: f64 = 1.165;

/// From radius to radius.
const LADDER: f64 = 0.6;

/// The tightest radius and the widest, in the cutter's.
const TIGHTEST: f64 = 0.12;
const WIDEST: f64 = 6.0;

/// Ground narrower than this on average, in radii, is not worth a run.
const WORTH: f64 = 0.04;

/// What has room for a disc of this radius, in the cutter's, and was not come to is begun anew.
const SHUT_OFF: f64 = 0.3;

/// Longest step, in radii: where fronts meet and a gap between them closes, nothing of it may be
/// farther than a radius from where the cutter went.
const LONGEST: f64 = 0.95;

/// Half the width of what is opened in whole wood, in radii.
const HALF: f64 = 0.7;

/// A run waits for what is nearer to it than so many stepovers.
const REACH: f64 = 1.6;

/// One run of the cutter.
pub(super) struct Run {
    /// Along it, ground on the left.
    pub pieces: Vec<Piece>,
    /// Whether it ends where it begins.
    pub closed: bool,
    /// Whether it lies in whole wood.
    pub opens: bool,
    /// Numbers of the runs that come before.
    pub after: Vec<usize>,
}

/// The runs that clear a room, for a cutter of some radius, its stepover and the angle of its rim that
/// a straight pass engages; `bare` is where the middle meets no wood from the first.
///
/// # Errors
/// A ring that can not be certified.
pub(super) fn runs(
    room: &[Region],
    bare: &[Region],
    (radius, stepover, nominal): (f64, f64, f64),
    watch: Watch<'_>,
) -> Result<Vec<Run>, OffsetError> {
    let levels = levels(room, stepover)?;
    let mut seeds = seeds(room, radius)?;
    // Nothing need be opened where there is bare ground.
    let lies_in =
        |seed: &Region, one: &Region| seed.outer().vertices.iter().all(|v| one.contains(v.at));
    seeds.retain(|seed| !bare.iter().any(|one| lies_in(seed, one)));
    let room = Ground::new(room).shrunk(WITHIN);
    let whole = room.area().max(f64::MIN_POSITIVE);
    let told = |ground: &Ground| watch.tell("laying out a pocket's rounds", ground.area() / whole);
    let mut spread = Spread::new(radius, stepover);
    for seed in seeds.iter().flat_map(Region::contours) {
        spread.open(seed.pieces().collect());
    }
    spread.ground = Ground::new(&seeds).or(&Ground::new(bare)).and(&room);
    let ladder = ladder(radius, nominal);
    let wide: Vec<(f64, f64)> = ladder.iter().copied().filter(|l| l.0 >= radius).collect();
    for level in levels.iter().rev() {
        // Rings that would bite little wait for the next.
        if let Some(grown) = grow(&spread.ground, level, &mut wide.clone(), 0.3 * stepover) {
            spread.take(grown);
        }
        told(&spread.ground);
    }
    loop {
        spread.fill(&room, &ladder, &told);
        // What is shut off by a place too narrow to pass is begun anew.
        let mut rest = room.without(&spread.ground).shrunk(SHUT_OFF * radius);
        if rest.is_empty() {
            return Ok(spread.runs);
        }
        // Once round it must take all that is within: a core would stay.
        while !rest.shrunk(HALF * radius).is_empty() {
            rest = rest.shrunk(0.5 * HALF * radius);
        }
        for ring in rest.rings() {
            let ring: Vec<Point> = ring.iter().chain(ring.first()).copied().collect();
            spread.open(pieces_through(&ring, FIT));
        }
        spread.ground = spread.ground.or(&rest);
    }
}

/// The insets of a room, a stepover apart, the outermost first.
fn levels(room: &[Region], stepover: f64) -> Result<Vec<Ground>, OffsetError> {
    let mut levels: Vec<Ground> = Vec::new();
    for region in room {
        for (k, ring) in region.rings(stepover, stepover, None)?.iter().enumerate() {
            let ring = Ground::new(ring).shrunk(WITHIN);
            match levels.get_mut(k) {
                Some(level) => *level = level.or(&ring),
                None => levels.push(ring),
            }
        }
    }
    Ok(levels)
}

/// Ground that grows, and the runs by which it does.
struct Spread {
    radius: f64,
    ground: Ground,
    runs: Vec<Run>,
    near: Near,
}

impl Spread {
    fn new(radius: f64, stepover: f64) -> Spread {
        let near = Near::new(REACH * stepover.max(0.2 * radius), 0.2 * radius);
        Spread { radius, ground: Ground::default(), runs: Vec::new(), near }
    }

    /// A closed run in whole wood.
    fn open(&mut self, pieces: Vec<Piece>) {
        self.near.add(self.runs.len(), &Contour::from_pieces(&pieces, true).flattened(FIT));
        self.runs.push(Run { pieces, closed: true, opens: true, after: Vec::new() });
    }

    /// The ground has grown: its new edges are runs. Says whether there are any.
    fn take(&mut self, grown: Ground) -> bool {
        let first = self.runs.len();
        for (points, closed) in new_edges(&grown, &self.ground, self.radius) {
            let after = self.near.before(&points, first);
            self.near.add(self.runs.len(), &points);
            let pieces = pieces_through(&points, FIT);
            self.runs.push(Run { pieces, closed, opens: false, after });
        }
        self.ground = grown;
        self.runs.len() > first
    }

    /// Grows as far as the room goes.
    fn fill(&mut self, room: &Ground, ladder: &[(f64, f64)], told: &dyn Fn(&Ground)) {
        let mut left = ladder.to_vec();
        loop {
            let all = left.len() == ladder.len();
            told(&self.ground);
            let grown = grow(&self.ground, room, &mut left, WORTH * self.radius);
            if grown.is_some_and(|grown| self.take(grown)) {
                continue;
            }
            if all {
                return;
            }
            // What gained nothing may do so again past a narrow place.
            left = ladder.to_vec();
        }
    }
}

/// Radii with their greatest steps, the widest first.
fn ladder(radius: f64, nominal: f64) -> Vec<(f64, f64)> {
    let cos = (LAID_OUT * nominal).min(std::f64::consts::PI).cos();
    let step = |wide: f64| {
        let reach = wide * wide + radius * radius + 2.0 * wide * radius * cos;
        (wide + radius - reach.max(0.0).sqrt()).min(LONGEST * radius)
    };
    let mut wide = TIGHTEST * radius;
    let mut all = vec![(wide, step(wide))];
    while wide < WIDEST * radius {
        wide /= LADDER;
        all.push((wide, step(wide)));
    }
    all.reverse();
    all
}

/// The ground after one more step; none if there is nothing to gain. Radii that gain nothing are
/// struck from `ladder`.
fn grow(
    ground: &Ground,
    room: &Ground,
    ladder: &mut Vec<(f64, f64)>,
    worth: f64,
) -> Option<Ground> {
    let opened = |&(wide, step): &(f64, f64)| {
        let next = ground.grown(step).and(room).opened(0.998 * wide);
        let worth = |part: &Ground| 2.0 * part.area() > worth * part.perimeter();
        let gained: Ground = next.without(ground).parts().filter(worth).collect();
        gained.grown(0.05).and(&next)
    };
    let all: Vec<Ground> = ladder.par_iter().map(opened).collect();
    let mut gains = all.iter().map(|gained| !gained.is_empty());
    ladder.retain(|_| gains.next().unwrap_or(false));
    let gained = all.iter().fold(Ground::default(), |sum, one| sum.or(one));
    (!gained.is_empty()).then(|| ground.or(&gained))
}

/// What is new of an edge: chains of points, and whether they are closed.
fn new_edges(grown: &Ground, before: &Ground, radius: f64) -> Vec<(Vec<Point>, bool)> {
    let apart = 0.08 * radius;
    let edges = Edges::new(before, apart.max(0.5));
    let mut all = Vec::new();
    for ring in grown.rings() {
        let points = dense(&ring, apart);
        let new: Vec<bool> = points.iter().map(|p| !edges.touched(*p)).collect();
        let n = points.len();
        let Some(old) = new.iter().position(|new| !new) else {
            let mut points = points;
            points.push(points[0]);
            all.push((points, true));
            continue;
        };
        let mut chain: Vec<Point> = Vec::new();
        for k in 1..=n {
            let (i, last) = ((old + k) % n, (old + k - 1) % n);
            if new[i] {
                if chain.is_empty() {
                    chain.push(points[last]);
                }
                chain.push(points[i]);
            } else if !chain.is_empty() {
                chain.push(points[i]);
                all.push((std::mem::take(&mut chain), false));
            }
        }
    }
    all
}

/// Points along a ring, at most so far apart.
fn dense(ring: &[Point], apart: f64) -> Vec<Point> {
    let mut all = Vec::new();
    for (i, a) in ring.iter().enumerate() {
        let b = ring[(i + 1) % ring.len()];
        let count = (a.distance(b) / apart).ceil().max(1.0) as usize;
        all.extend((0..count).map(|k| *a + (b - *a) * (k as f64 / count as f64)));
    }
    all
}

/// Edges sorted into squares.
struct Edges {
    side: f64,
    squares: HashMap<(i64, i64), Vec<(Point, Point)>>,
}

fn square(p: Point, side: f64) -> (i64, i64) {
    // Boards are metres, squares tenths of millimetres: far within an i64.
    ((p.x / side).floor() as i64, (p.y / side).floor() as i64)
}

impl Edges {
    fn new(ground: &Ground, side: f64) -> Edges {
        let mut squares: HashMap<(i64, i64), Vec<(Point, Point)>> = HashMap::new();
        for ring in ground.rings() {
            let points = dense(&ring, side);
            for (i, a) in points.iter().enumerate() {
                let b = points[(i + 1) % points.len()];
                squares.entry(square((*a + b) * 0.5, side)).or_default().push((*a, b));
            }
        }
        Edges { side, squares }
    }

    fn touched(&self, p: Point) -> bool {
        let (i, j) = square(p, self.side);
        (-1..=1).any(|a| {
            (-1..=1).any(|b| {
                self.squares.get(&(i + a, j + b)).is_some_and(|all| {
                    all.iter().any(|(from, to)| {
                        let piece = Piece { from: *from, to: *to, bulge: 0.0 };
                        piece.at(piece.nearest_share(p)).distance(p) < NEW
                    })
                })
            })
        })
    }
}

/// Which runs pass by.
struct Near {
    /// How near is near, and the side of the squares.
    gap: f64,
    /// Points are kept at most so far apart.
    apart: f64,
    squares: HashMap<(i64, i64), Vec<(Point, usize)>>,
}

impl Near {
    fn new(gap: f64, apart: f64) -> Near {
        Near { gap, apart, squares: HashMap::new() }
    }

    fn add(&mut self, run: usize, points: &[Point]) {
        for w in points.windows(2) {
            // A count of steps along one line.
            let count = (w[0].distance(w[1]) / self.apart).ceil().max(1.0) as usize;
            for k in 0..=count {
                let p = w[0] + (w[1] - w[0]) * (k as f64 / count as f64);
                self.squares.entry(square(p, self.gap)).or_default().push((p, run));
            }
        }
    }

    /// Runs with numbers below `first` that are near.
    fn before(&self, points: &[Point], first: usize) -> Vec<usize> {
        let mut all = Vec::new();
        for p in points {
            let (i, j) = square(*p, self.gap);
            for square in (-1..=1).flat_map(|a| (-1..=1).map(move |b| (i + a, j + b))) {
                for (q, run) in self.squares.get(&square).into_iter().flatten() {
                    if *run < first && !all.contains(run) && q.distance(*p) < self.gap {
                        all.push(*run);
                    }
                }
            }
        }
        all
    }
}

/// Where the ground begins: about the middles of the room, as wide as the cutter.
fn seeds(room: &[Region], radius: f64) -> Result<Vec<Region>, OffsetError> {
    /// From ring to ring, in radii.
    const FINE: f64 = 0.25;
    /// Middles that stand out by less, in radii, are no places to begin at.
    const OUT: f64 = 1.5;
    let mut seeds = Vec::new();
    for region in room {
        let fine = FINE * radius;
        let nest = region.nest(fine, fine, None)?;
        if nest.is_empty() {
            seeds.push(region.clone());
            continue;
        }
        // The deepest ring that each region leads to, from the innermost outward.
        let mut deepest: Vec<Vec<(usize, usize)>> = vec![Vec::new(); nest.len()];
        let mut kept: Vec<(usize, usize)> = Vec::new();
        for level in (0..nest.len()).rev() {
            for i in 0..nest[level].len() {
                let mut leaves: Vec<(usize, usize)> = match nest.get(level + 1) {
                    Some(inner) => (0..inner.len())
                        .filter(|k| inner[*k].parent == Some(i))
                        .map(|k| deepest[level + 1][k])
                        .collect(),
                    None => Vec::new(),
                };
                leaves.sort_unstable_by(|a, b| b.cmp(a));
                let main = leaves.first().copied().unwrap_or((level, i));
                for leaf in leaves.into_iter().skip(1) {
                    if (leaf.0 - level) as f64 * FINE >= OUT {
                        kept.push(leaf);
                    }
                }
                deepest[level].push(main);
            }
        }
        kept.extend(deepest[0].iter().copied());
        let shallowest = kept.iter().map(|k| k.0 + 1).min().unwrap_or(1) as f64 * fine;
        let leaves: Vec<Region> = kept.iter().map(|(l, i)| nest[*l][*i].region.clone()).collect();
        seeds.extend(outset_all(&leaves, (HALF * radius).min(0.99 * shallowest))?);
    }
    Ok(seeds)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::point;

    const RADIUS: f64 = 3.0;

    /// Whether all of a room is within the radius of the runs, or of its walls, which are gone round last.
    fn swept(room: &Region, runs: &[Run]) -> bool {
        let near = |p: Point| {
            let gap = |piece: &Piece| piece.at(piece.nearest_share(p)).distance(p);
            let mut walls = room.contours().filter_map(|c| c.nearest(p));
            walls.any(|(gap, _)| gap <= RADIUS)
                || runs.iter().flat_map(|run| &run.pieces).any(|piece| gap(piece) <= RADIUS)
        };
        let grid = (0..200).flat_map(|i| (0..120).map(move |j| (i, j)));
        let places = grid.map(|(i, j)| point(f64::from(i) * 0.5 + 0.1, f64::from(j) * 0.5 + 0.1));
        places.filter(|p| room.contains(*p)).all(near)
    }

    /// Where fronts meet, what lies between them is within a step of each, and no edge is left there to
    /// run along: a longer step would leave a post.
    #[test]
    fn no_step_is_longer_than_the_cutter_reaches() {
        for nominal in [0.3_f64, 0.8, 1.2, 1.47, 1.57, 2.0] {
            let ladder = ladder(RADIUS, nominal);
            assert!(ladder.len() > 5 && ladder.iter().all(|(_, step)| *step < RADIUS - 0.1));
            // Wide ground bears the wider steps.
            assert!(ladder.windows(2).all(|w| w[0].1 >= w[1].1), "{ladder:?}");
        }
    }

    /// A chamber too small for an own beginning, behind a neck too narrow to pass.
    #[test]
    fn a_chamber_behind_a_narrow_neck_keeps_no_core() {
        let (neck, half) = (0.08 * RADIUS, 1.72 * RADIUS);
        let corners = [
            (0.0, 0.0),
            (50.0, 0.0),
            (50.0, 25.0 - neck),
            (60.0, 25.0 - neck),
            (60.0, 25.0 - half),
            (60.0 + 2.0 * half, 25.0 - half),
            (60.0 + 2.0 * half, 25.0 + half),
            (60.0, 25.0 + half),
            (60.0, 25.0 + neck),
            (50.0, 25.0 + neck),
            (50.0, 50.0),
            (0.0, 50.0),
        ];
        let outer = Contour::polygon(&corners.map(|(x, y)| point(x, y)));
        let room = Region::new(outer, Vec::new()).expect("a room");
        for stepover in [0.4 * RADIUS, 0.9 * RADIUS] {
            let nominal = (1.0 - stepover / RADIUS).acos();
            let runs =
                runs(std::slice::from_ref(&room), &[], (RADIUS, stepover, nominal), Watch::NOBODY);
            let runs = runs.expect("runs");
            assert!(runs.iter().filter(|run| run.opens).count() > 1, "one beginning");
            assert!(swept(&room, &runs), "{stepover}");
        }
    }
}
