//! Random pockets by number: the same family and seed give the same pocket for ever.

use crate::offset_support::hard::{Dice, chopped, filleted, mapped};
use ovolo::geometry::{Contour, Piece, Point, Region, Vertex, point};
use ovolo::part::features::Clearing;
use std::f64::consts::{PI, TAU};

/// Radii of the cutters 1 and 3 of the built-in shop: a quarter and an eighth of an inch wide.
pub const WIDE: f64 = 3.175;
pub const NARROW: f64 = 1.5875;

/// What is cut: pockets with their depths, by these cutters.
#[derive(Clone, Debug)]
pub struct Case {
    pub name: String,
    pub pockets: Vec<(Region, f64)>,
    pub cutters: Vec<u32>,
    /// What the last cutter must have cleared though no cutter a hair wider could, less a margin.
    pub exact: Vec<Contour>,
    /// Whether no cutter of the list goes in at all.
    pub hopeless: bool,
    /// Whether the load on the rim is held, else plain offsets: the former take longer to plan.
    pub clearing: Clearing,
}

impl Case {
    /// Radius of the last cutter, the narrowest.
    pub fn radius(&self) -> f64 {
        radius(self.cutters[self.cutters.len() - 1])
    }
}

pub fn radius(cutter: u32) -> f64 {
    match cutter {
        1 => WIDE,
        3 => NARROW,
        other => panic!("cutter {other} is none of the property's"),
    }
}

pub const FAMILIES: [&str; 11] = [
    "stars",
    "combs",
    "spirals",
    "islands that nearly touch",
    "arcs tangent to lines",
    "slots just as wide as the cutter",
    "slots a micrometre narrower",
    "dumb-bells",
    "pockets within pockets",
    "bulged polygons",
    "bands of arcs",
];

/// By how much a neck or gap misses the cutter's width.
const MISSES: [f64; 7] = [0.0, 1e-3, -1e-3, 0.05, -0.05, 1e-6, -1e-6];

fn closed(vertices: Vec<Vertex>) -> Contour {
    Contour { vertices, closed: true }
}

fn polygon(corners: &[(f64, f64)]) -> Contour {
    Contour::polygon(&corners.iter().map(|&(x, y)| point(x, y)).collect::<Vec<_>>())
}

/// A width near the cutter's, or some wider one.
fn width(dice: &Dice, r: f64) -> f64 {
    dice.pick(&[2.0 * r + dice.pick(&MISSES), r * dice.between(2.0, 6.0)])
}

fn star(dice: &Dice, r: f64) -> Contour {
    let n = dice.count(3, 9);
    let (inner, more) = (r * dice.between(0.6, 3.4), r * dice.between(0.2, 2.8));
    let wild = dice.pick(&[true, false]);
    let corner = |i: usize| {
        let radius = match (wild, i % 2) {
            (true, _) => r * dice.between(1.2, 5.5),
            (false, 0) => inner + more,
            _ => inner,
        };
        Point::polar(radius, PI * i as f64 / n as f64)
    };
    Contour::polygon(&(0..2 * n).map(corner).collect::<Vec<_>>())
}

fn comb(dice: &Dice, r: f64) -> Contour {
    let base = r * dice.between(1.5, 4.0);
    let (mut x, mut top) = (0.0, Vec::new());
    for _ in 0..dice.count(2, 4) {
        let wide = width(dice, r).min(3.5 * r);
        let height = base + r * dice.between(0.5, 5.0);
        top.extend([(x, base), (x, height), (x + wide, height), (x + wide, base)]);
        x += wide + dice.pick(&[0.2, 2.0 * r, dice.between(0.5, 6.0)]);
    }
    let last = top.len() - 1;
    let mut corners = vec![(0.0, 0.0), (top[last].0, 0.0)];
    corners.extend(top[2..last].iter().rev().copied());
    corners.push(top[1]);
    polygon(&corners)
}

/// A band of even width along a spiral.
fn spiral(dice: &Dice, r: f64) -> Contour {
    let wide = width(dice, r).min(2.8 * r);
    let pitch = wide + dice.between(0.3, 3.0);
    let (turns, first) = (dice.between(0.5, 1.2), dice.between(1.0, 4.0));
    let steps = (turns * dice.between(12.0, 30.0)).ceil() as usize;
    let at = |i: usize, aside: f64| {
        let angle = TAU * turns * i as f64 / steps as f64;
        Point::polar(first + pitch * angle / TAU + aside, angle)
    };
    let out = (0..=steps).map(|i| at(i, wide));
    let back = (0..=steps).rev().map(|i| at(i, 0.0));
    Contour::polygon(&out.chain(back).collect::<Vec<_>>())
}

fn plate_with_islands(dice: &Dice, r: f64) -> (Contour, Vec<Contour>) {
    let gap = dice.pick(&[0.01, 0.2, 2.0 * r + dice.pick(&MISSES), dice.between(0.1, 8.0)]);
    let size = r * dice.between(0.4, 1.6);
    let pitch = 2.0 * size + gap.max(0.001);
    let (columns, rows) = (dice.count(1, 3), dice.count(1, 3));
    let aside = dice.pick(&[0.02, 2.0 * r + dice.pick(&MISSES), dice.between(0.1, 8.0)]);
    let (w, h) = (pitch * columns as f64 + 4.0 * r, pitch * rows as f64 + 3.5 * r);
    let square = dice.pick(&[true, false, false]);
    let island = |k: usize| {
        let (i, j) = ((k % columns) as f64, (k / columns) as f64);
        let c = point(aside + size + i * pitch, aside + size + j * pitch);
        match square {
            true => Contour::rectangle(c - point(size, size), c + point(size, size)),
            false => Contour::circle(c, size),
        }
    };
    (polygon(&[(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)]), (0..columns * rows).map(island).collect())
}

fn steps(dice: &Dice, r: f64) -> Contour {
    let (mut x, mut top, mut below) = (0.0, Vec::new(), Vec::new());
    for _ in 0..dice.count(2, 4) {
        let (wide, up, down) =
            (width(dice, r).min(3.5 * r), r * dice.between(1.0, 4.0), -r * dice.between(1.0, 3.0));
        top.extend([point(x, up), point(x + wide, up)]);
        below.extend([point(x, down), point(x + wide, down)]);
        x += wide;
    }
    below.extend(top.into_iter().rev());
    Contour::polygon(&below)
}

/// A slot with round or square ends, and what of it a cutter of just its width clears, less a
/// margin all round.
fn slot(dice: &Dice, wide: f64, margin: f64) -> (Contour, Contour) {
    let (length, r) = (wide * dice.between(0.1, 4.0), wide / 2.0);
    let round = |half: f64, length: f64| {
        let v = |x: f64, y: f64, bulge: f64| Vertex { at: point(x, y), bulge };
        closed(vec![
            v(0.0, -half, 0.0),
            v(length, -half, 1.0),
            v(length, half, 0.0),
            v(0.0, half, 1.0),
        ])
    };
    let outline = match dice.pick(&[true, false]) {
        true => round(r, length),
        false => Contour::rectangle(point(-r, -r), point(length + r, r)),
    };
    (outline, round(r - margin, length))
}

/// Two rooms joined by a neck, and the neck's length.
fn dumb_bell(dice: &Dice, r: f64) -> Contour {
    let neck = dice.pick(&[2.0 * r + dice.pick(&MISSES), r * dice.between(0.5, 4.0)]);
    let (a, b) = (r * dice.between(1.2, 3.5), r * dice.between(1.2, 3.5));
    let (long, half) = (r * dice.between(0.1, 3.0), (neck / 2.0).min(a.min(b) * 0.95));
    let (x1, x2, x3) = (2.0 * a, 2.0 * a + long, 2.0 * a + long + 2.0 * b);
    polygon(&[
        (0.0, -a),
        (x1, -a),
        (x1, -half),
        (x2, -half),
        (x2, -b),
        (x3, -b),
        (x3, b),
        (x2, b),
        (x2, half),
        (x1, half),
        (x1, a),
        (0.0, a),
    ])
}

fn bulged(dice: &Dice, r: f64) -> Contour {
    let (n, most) = (dice.count(3, 9), dice.pick(&[0.05, 0.2, 0.4]));
    let radius = r * dice.between(1.5, 5.0);
    let vertex = |i: usize| Vertex {
        at: Point::polar(radius, TAU * i as f64 / n as f64),
        bulge: dice.pick(&[0.0, most, -most]),
    };
    closed((0..n).map(vertex).collect())
}

/// A band along half circles that turn one way and the other: all joints tangent, one width.
fn band(dice: &Dice, r: f64) -> Contour {
    let wide = width(dice, r).min(2.5 * r);
    let half = wide / 2.0;
    let (mut x, mut side) = (0.0, 1.0);
    let (mut out, mut back) = (Vec::new(), Vec::new());
    for _ in 0..dice.count(1, 4) {
        let radius = half + r * dice.between(0.2, 1.5);
        // Above the line a half circle to the right turns clockwise.
        let bulge = -side;
        out.push(Vertex { at: point(x - half * side, 0.0), bulge });
        let end = x + 2.0 * radius;
        back.push(Vertex { at: point(end - half * side, 0.0), bulge: -bulge });
        (x, side) = (end, -side);
    }
    out.push(Vertex { at: point(x - half * side, 0.0), bulge: 0.0 });
    back.reverse();
    out.extend(back);
    out.push(Vertex { at: point(half, 0.0), bulge: 0.0 });
    closed(out)
}

/// Pocket after pocket, each in the one before or on its island.
fn nested(dice: &Dice, r: f64) -> Vec<(Contour, Vec<Contour>, f64)> {
    let rounded = |low: Point, high: Point| {
        let most = (high.x - low.x).min(high.y - low.y) / 2.0;
        Contour::rounded_rectangle(low, high, most * dice.pick(&[0.0, 0.3, dice.share()]))
    };
    let (w, h) = (r * dice.between(7.6, 10.0), r * dice.between(7.0, 8.0));
    let wall = width(dice, r).clamp(0.5, 2.2 * r);
    let (low, high) = (point(wall, wall), point(w - wall, h - wall));
    let inside = point(dice.between(0.1, 0.3), dice.between(0.1, 0.3)) * r;
    let outer = rounded(point(0.0, 0.0), point(w, h));
    match dice.pick(&[true, false]) {
        // A pocket in the island.
        true => vec![
            (outer, vec![Contour::rectangle(low, high)], 2.0),
            (rounded(low + inside, high - inside), vec![], 3.0),
        ],
        // A deeper pocket in the floor.
        false => vec![(outer, vec![], 1.5), (rounded(low, high), vec![], 3.0)],
    }
}

/// One pocket written another way: turned, mirrored, backwards, with more corners.
struct Written {
    turn: f64,
    mirror: bool,
    chopped: bool,
    reversed: bool,
    shift: Point,
}

impl Written {
    fn of(dice: &Dice) -> Written {
        Written {
            turn: dice.pick(&[0.0, 0.0, PI / 2.0, PI / 6.0, 0.3]),
            mirror: dice.pick(&[true, false]),
            chopped: dice.pick(&[true, false, false]),
            reversed: dice.pick(&[true, false]),
            shift: Point::default(),
        }
    }

    fn apply(&self, dice: &Dice, contour: &Contour) -> Contour {
        let mut c = mapped(contour, 1.0, |p| p.rotated(self.turn));
        if self.mirror {
            c = mapped(&c, -1.0, |p| point(-p.x, p.y));
        }
        if self.chopped {
            c = chopped(dice, &c);
        }
        if self.reversed { c.reversed() } else { c }.moved(self.shift)
    }
}

/// One case in so many holds the load: these take longer to plan.
const HELD: u64 = 5;

/// Where the pockets begin on the board.
const CORNER: f64 = 8.0;

/// A family's case; `None` if its outline happens to cross itself.
pub fn build(family: usize, seed: u64) -> Option<Case> {
    let dice = &Dice::new(seed.wrapping_mul(7_368_787).wrapping_add(family as u64));
    let cutters = dice.pick(&[&[1][..], &[1], &[3], &[1, 3]]).to_vec();
    let mut case = Case {
        name: format!("{} {seed}", FAMILIES[family]),
        pockets: Vec::new(),
        cutters,
        exact: Vec::new(),
        hopeless: family == 6,
        clearing: if seed.is_multiple_of(HELD) { Clearing::HeldLoad } else { Clearing::Offset },
    };
    let r = case.radius();
    let depth = dice.pick(&[1.0, 1.0, 1.5, 1.5, 1.5, 4.0]);
    let mut islands = Vec::new();
    let mut pockets = Vec::new();
    let outline = match family {
        0 => star(dice, r),
        1 => comb(dice, r),
        2 => spiral(dice, r),
        3 => {
            let (outline, some) = plate_with_islands(dice, r);
            islands = some;
            outline
        }
        4 => {
            let of = if dice.pick(&[true, false]) { steps(dice, r) } else { star(dice, r) };
            filleted(dice, &of, r)
        }
        5 => {
            let (outline, exact) = slot(dice, 2.0 * r, MARGIN);
            case.exact.push(exact);
            outline
        }
        6 => slot(dice, 2.0 * r - 1e-3, MARGIN).0,
        7 => dumb_bell(dice, r),
        8 => {
            pockets = nested(dice, r);
            Contour::default()
        }
        9 => bulged(dice, r),
        _ => band(dice, r),
    };
    if pockets.is_empty() {
        pockets.push((outline, islands, depth));
    }
    let mut written = Written::of(dice);
    let bounds = pockets[0].0.moved(Point::default());
    let (low, _) = written.apply(dice, &bounds).bounds()?;
    written.shift = point(CORNER, CORNER) - low;
    for (outline, islands, depth) in pockets {
        let outer = written.apply(dice, &outline);
        let islands = islands.iter().map(|c| written.apply(dice, c)).collect();
        case.pockets.push((Region::new(outer, islands).ok()?, depth));
    }
    written.chopped = false;
    case.exact = case.exact.iter().map(|c| written.apply(dice, c)).collect();
    Some(case)
}

/// Less than this need not be cleared.
pub const MARGIN: f64 = 0.008;

/// Distance to the nearest wall of a region.
pub fn wall(region: &Region, p: Point) -> f64 {
    let gap = |piece: Piece| piece.at(piece.nearest_share(p)).distance(p);
    region.contours().flat_map(Contour::pieces).map(gap).fold(f64::INFINITY, f64::min)
}
