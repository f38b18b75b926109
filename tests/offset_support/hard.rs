//! Hard outlines by number: the same seed gives the same outline for ever.

use ovolo::geometry::{CircularSegment, Contour, Piece, Point, Region, Vertex, point};
use std::cell::Cell;
use std::f64::consts::{PI, TAU};

/// SplitMix64 (G. Steele, D. Lea, C. Flood, "Fast splittable pseudorandom number generators",
/// 2014).
pub struct Dice(Cell<u64>);

impl Dice {
    pub fn new(seed: u64) -> Dice {
        Dice(Cell::new(seed))
    }

    fn next(&self) -> u64 {
        self.0.set(self.0.get().wrapping_add(0x9E37_79B9_7F4A_7C15));
        let mut z = self.0.get();
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    pub fn share(&self) -> f64 {
        (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }

    pub fn between(&self, a: f64, b: f64) -> f64 {
        a + (b - a) * self.share()
    }

    pub fn count(&self, a: usize, b: usize) -> usize {
        a + (self.next() % (b - a) as u64) as usize
    }

    pub fn pick<T: Copy>(&self, of: &[T]) -> T {
        of[self.count(0, of.len())]
    }

    fn one_in(&self, n: usize) -> bool {
        self.count(0, n) == 0
    }
}

/// By how much a slot misses twice the distance, millimetres.
const MISSES: [f64; 7] = [0.0, 1e-3, -1e-3, 1e-6, -1e-6, 1e-9, -1e-9];

pub const FAMILIES: [&str; 10] = [
    "stars",
    "combs",
    "bands",
    "slots",
    "fillets",
    "right angles",
    "regular",
    "plates",
    "bulged",
    "segments",
];

fn closed(vertices: Vec<Vertex>) -> Contour {
    Contour { vertices, closed: true }
}

pub fn mapped(c: &Contour, flip: f64, map: impl Fn(Point) -> Point) -> Contour {
    closed(c.vertices.iter().map(|v| Vertex { at: map(v.at), bulge: v.bulge * flip }).collect())
}

fn star(dice: &Dice) -> Contour {
    let n = dice.count(3, 20);
    let wild = dice.one_in(2);
    let (inner, more) = (dice.between(5.0, 60.0), dice.between(0.0, 60.0));
    let corner = |i: usize| {
        let radius = match (wild, i % 2) {
            (true, _) => dice.between(10.0, 100.0),
            (false, 0) => inner + more,
            _ => inner,
        };
        Point::polar(radius, PI * i as f64 / n as f64)
    };
    Contour::polygon(&(0..2 * n).map(corner).collect::<Vec<_>>())
}

fn comb(dice: &Dice, d: f64) -> Contour {
    let teeth = dice.count(2, 8);
    let base = dice.pick(&[20.0, 2.0 * d, dice.between(1.0, 30.0)]);
    let (mut x, mut top) = (0.0, Vec::new());
    for _ in 0..teeth {
        let wide = dice.between(1.0, 12.0);
        let width = dice.pick(&[2.0 * d + dice.pick(&MISSES), wide.ceil(), wide]).max(0.01);
        let height = base + dice.pick(&[30.0, dice.between(1.0, 60.0)]);
        top.extend([(x, base), (x, height), (x + width, height), (x + width, base)]);
        x += width + dice.pick(&[2.0 * d, wide.floor() + 1.0]);
    }
    let (first, last) = (top[1], top[top.len() - 2]);
    let inner = top[2..top.len() - 2].iter().rev();
    let corners =
        [(0.0, 0.0), (last.0, 0.0), last].into_iter().chain(inner.copied()).chain([first]);
    // The last tooth's own left corners are among the inner ones.
    Contour::polygon(&corners.map(|(x, y)| point(x, y)).collect::<Vec<_>>())
}

/// A band along half circles that grow: all joints tangent, all of one width.
fn band(dice: &Dice, d: f64) -> Contour {
    let halves = dice.count(2, 7);
    let step = dice.between(6.0, 16.0);
    let width = dice.pick(&[2.0 * d + dice.pick(&MISSES), step * dice.between(0.2, 0.9)]);
    let width = width.min(step * 1.9);
    let first = width + dice.between(1.0, 20.0);
    let (mut x, mut out, mut back) = (first, Vec::new(), Vec::new());
    for k in 0..halves {
        let radius = first + k as f64 * step;
        let side = if k % 2 == 0 { 1.0 } else { -1.0 };
        let center = x - side * radius;
        out.push(Vertex { at: point(center + side * (radius + width / 2.0), 0.0), bulge: 1.0 });
        back.push(Vertex { at: point(center - side * (radius - width / 2.0), 0.0), bulge: -1.0 });
        x = center - side * radius;
    }
    let round = if dice.one_in(2) { 1.0 } else { 0.0 };
    let side = if halves % 2 == 1 { 1.0 } else { -1.0 };
    out.push(Vertex { at: point(x - side * width / 2.0, 0.0), bulge: round });
    back.reverse();
    out.extend(back);
    out.push(Vertex { at: point(first - width / 2.0, 0.0), bulge: round });
    closed(out)
}

fn slot(dice: &Dice, d: f64) -> Contour {
    let width = dice.pick(&[2.0 * d, 2.0 * d + dice.pick(&MISSES), dice.between(1.0, 40.0)]);
    let (length, width) = (dice.between(0.01, 100.0), width.max(0.1));
    let v = |x: f64, y: f64, bulge: f64| Vertex { at: point(x, y), bulge };
    closed(vec![v(0.0, 0.0, 0.0), v(length, 0.0, 1.0), v(length, width, 0.0), v(0.0, width, 1.0)])
}

/// Each corner rounded by an arc tangent to its sides, often of just the distance.
pub fn filleted(dice: &Dice, of: &Contour, d: f64) -> Contour {
    let n = of.vertices.len();
    let radius = dice.pick(&[d, d + 1e-6, d - 1e-6, dice.between(0.5, 10.0)]);
    let corner = |i: usize| of.vertices[i % n].at;
    let mut vertices = Vec::new();
    for i in 0..n {
        let (before, at, after) = (corner(i + n - 1), corner(i), corner(i + 1));
        // Steps of one height share a corner; two corners in one place have no fillet.
        let (d1, d2) =
            ((at - before).unit().unwrap_or_default(), (after - at).unit().unwrap_or_default());
        let angle = d1.cross(d2).atan2(d1.dot(d2));
        let tangent = radius * (angle.abs() / 2.0).tan();
        let room = at.distance(before).min(at.distance(after)) * 0.5;
        if tangent < 1e-3 || angle.abs() > 3.0 || tangent > room {
            vertices.push(Vertex { at, bulge: 0.0 });
        } else {
            vertices.push(Vertex { at: at - d1 * tangent, bulge: (angle / 4.0).tan() });
            vertices.push(Vertex { at: at + d2 * tangent, bulge: 0.0 });
        }
    }
    closed(vertices)
}

/// Steps of whole millimetres above and below a line.
fn right_angles(dice: &Dice) -> Contour {
    let (mut x, mut top, mut below) = (0.0, Vec::new(), Vec::new());
    for _ in 0..dice.count(2, 9) {
        let even = |most: usize| dice.count(1, most) as f64 * 2.0;
        let (width, up, down) = (even(9), even(12), -even(12));
        top.extend([point(x, up), point(x + width, up)]);
        below.extend([point(x, down), point(x + width, down)]);
        x += width;
    }
    below.extend(top.into_iter().rev());
    Contour::polygon(&below)
}

fn regular(dice: &Dice) -> Contour {
    let (n, turn) = (dice.count(3, 60), dice.pick(&[0.0, 0.3]));
    let corner = |i: usize| Point::polar(50.0, turn + TAU * i as f64 / n as f64);
    Contour::polygon(&(0..n).map(corner).collect::<Vec<_>>())
}

fn islands(dice: &Dice, d: f64) -> Vec<Contour> {
    let gap = dice.pick(&[2.0 * d, 2.0 * d + dice.pick(&MISSES), dice.between(0.1, 10.0)]);
    let radius = dice.pick(&[5.0, 4.0, dice.between(1.0, 8.0)]);
    let (columns, rows) = (dice.count(1, 6), dice.count(1, 4));
    let square = dice.one_in(3);
    let pitch = 2.0 * radius + gap;
    let places = (0..columns * rows)
        .map(|k| point(30.0 + (k % columns) as f64 * pitch, 20.0 + (k / columns) as f64 * pitch));
    let island = |c: Point| match square {
        true => Contour::rectangle(c - point(radius, radius), c + point(radius, radius)),
        false => Contour::circle(c, radius),
    };
    places.filter(|p| p.x + radius < 199.0 && p.y + radius < 99.0).map(island).collect()
}

fn bulged(dice: &Dice, of: &Contour) -> Contour {
    let most = dice.pick(&[0.05, 0.2, 0.5]);
    let bulge = || dice.pick(&[0.0, most, -most]);
    closed(of.vertices.iter().map(|v| Vertex { at: v.at, bulge: bulge() }).collect())
}

fn segment(dice: &Dice) -> Contour {
    let chord = dice.between(50.0, 2000.0);
    let rise = chord * dice.pick(&[0.5, dice.between(0.002, 0.5)]);
    let bulge = CircularSegment::from_chord_and_rise(chord, rise).unwrap().bulge().min(1.0);
    let start = Vertex { at: point(0.0, 0.0), bulge: 0.0 };
    closed(vec![start, Vertex { at: point(chord, 0.0), bulge }])
}

/// More corners on the same outline, some of them very near to others.
pub fn chopped(dice: &Dice, of: &Contour) -> Contour {
    let mut parts: Vec<Piece> = Vec::new();
    for piece in of.pieces() {
        let mut shares: Vec<f64> = (0..dice.count(1, 4)).map(|_| dice.share()).collect();
        let tiny = dice.pick(&[2e-5, 1e-4, 1e-3]) / piece.length();
        if dice.one_in(2) && tiny < 0.3 {
            shares.extend([tiny, 1.0 - tiny]);
        }
        shares.extend([0.0, 1.0]);
        shares.sort_by(f64::total_cmp);
        let pairs = shares.windows(2).filter(|w| w[1] > w[0]);
        parts.extend(pairs.map(|w| piece.part(w[0], w[1])));
    }
    Contour::from_pieces(&parts, true)
}

/// Outline, islands and distance of a family's case.
pub fn build(family: usize, seed: u64) -> (Contour, Vec<Contour>, f64) {
    let dice = &Dice::new(seed.wrapping_mul(1_000_003).wrapping_add(family as u64));
    let d = dice.pick(&[dice.count(1, 9) as f64, dice.between(0.05, 15.0)]);
    let outline = match family {
        0 => star(dice),
        1 => comb(dice, d),
        2 => band(dice, d),
        3 => slot(dice, d),
        4 => {
            let of = if dice.one_in(2) { right_angles(dice) } else { star(dice) };
            filleted(dice, &of, d)
        }
        5 => right_angles(dice),
        6 => regular(dice),
        7 => Contour::rectangle(point(0.0, 0.0), point(200.0, 100.0)),
        8 => bulged(dice, &regular(dice)),
        _ => segment(dice),
    };
    let mut all = vec![outline];
    if family == 7 {
        all.extend(islands(dice, d));
    }
    let mut written = |wanted: bool, how: &dyn Fn(&Contour) -> Contour| {
        if wanted {
            all = all.iter().map(how).collect();
        }
    };
    written(dice.one_in(3), &|c| chopped(dice, c));
    let by = dice.pick(&[1e-12, 1e-9, 1e-7]);
    let moved = |p: Point| p + point(dice.between(-by, by), dice.between(-by, by));
    written(dice.one_in(6), &|c| mapped(c, 1.0, moved));
    let turn = dice.pick(&[PI / 2.0, PI / 6.0, 0.3]);
    written(dice.one_in(3), &|c| mapped(c, 1.0, |p| p.rotated(turn)));
    let away = dice.pick(&[point(1234.5, -987.25), point(3e5, 7e5), point(0.1, 0.3)]);
    written(dice.one_in(4), &|c| c.moved(away));
    written(dice.one_in(3), &|c| mapped(c, -1.0, |p| point(-p.x, p.y)));
    written(dice.one_in(2), &Contour::reversed);
    let outer = all.remove(0);
    (outer, all, d)
}

/// The offsets' stated tolerance, and a little for rounding.
const TOLERANCE: f64 = 1.05e-3;

fn far_from(region: &Region, p: Point) -> f64 {
    let each = region.contours().filter_map(|c| c.nearest(p)).map(|found| found.0);
    each.fold(f64::INFINITY, f64::min)
}

/// Points all over and beside the ring are inside the result just if they are farther from
/// every piece of the outline than the distance; and the result runs at the distance.
pub fn judge_by_distance(name: &str, region: &Region, inset: &[Region], d: f64, dice: &Dice) {
    let (low, high) = region.outer().bounds().unwrap();
    let pieces: Vec<Piece> = region.contours().flat_map(Contour::pieces).collect();
    for k in 0..40 {
        let p = if k < 10 {
            point(dice.between(low.x, high.x), dice.between(low.y, high.y))
        } else {
            let (piece, share) = (dice.pick(&pieces), dice.share());
            let aside = d + dice.pick(&[0.002, -0.002, d * dice.share()]);
            piece.at(share) + piece.direction(share).left() * aside
        };
        let away = far_from(region, p);
        if (away - d).abs() > TOLERANCE {
            let wanted = away > d && region.contains(p);
            let found = inset.iter().any(|r| r.contains(p));
            assert_eq!(found, wanted, "{name}: ({}, {}), {away} mm away, at {d}", p.x, p.y);
        }
    }
    for piece in inset.iter().flat_map(Region::contours).flat_map(Contour::pieces) {
        for share in [0.0, 0.5] {
            let off = (far_from(region, piece.at(share)) - d).abs();
            assert!(off < TOLERANCE, "{name}: {off} mm off at {d}");
        }
    }
}
