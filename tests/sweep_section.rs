//! Cutters over faces in the profile plane: exact tips, equal scallops, undercuts.
#![allow(clippy::unwrap_used)]

use approx::assert_relative_eq;
use ovolo::cuts::sweep::{Chooser, Edge, Face, Finisher, Ground, Section, Span, Spread};
use ovolo::geometry::profile::{Element, ElementKind, Moulding, Profile};
use ovolo::geometry::{Piece, Point, point};
use ovolo::part::Pose;
use ovolo::units::Length;
use proptest::prelude::*;

fn element(kind: ElementKind, height: f64, projection: Option<f64>, step: f64) -> Element {
    Element { kind, height: Length(height), projection: projection.map(Length), step: Length(step) }
}

fn profile(elements: Vec<Element>, back: f64) -> Profile {
    Profile::build(&Moulding { element: elements, back: Length(back) }, "profile").unwrap()
}

/// Bead, fillet, ovolo, fillet: a bed mould 25 high that steps out as it rises.
fn bed_mould() -> Profile {
    profile(
        vec![
            element(ElementKind::Fillet, 4.0, None, 0.0),
            element(ElementKind::Ovolo, 13.0, Some(13.0), 2.0),
            element(ElementKind::Fillet, 3.0, None, 2.0),
            element(ElementKind::Cavetto, 5.0, Some(5.0), 0.0),
        ],
        8.0,
    )
}

fn ball(radius: f64) -> Edge {
    Edge { radius, flat: 0.0, corner: radius, side: None }
}

fn square(radius: f64) -> Edge {
    Edge { radius, flat: radius, corner: 0.0, side: None }
}

fn bull(radius: f64, corner: f64) -> Edge {
    Edge { radius, flat: radius - corner, corner, side: None }
}

fn taper(radius: f64, ball: f64, degrees: f64) -> Edge {
    let side = Some(1.0 / (degrees / 2.0).to_radians().tan());
    Edge { radius, flat: 0.0, corner: ball, side }
}

/// What is left over `v` after passes, worked out here from nothing but the outline's form.
fn residual(passes: &[(Edge, Point)], v: f64) -> f64 {
    passes
        .iter()
        .map(|(e, tip)| {
            let d = (v - tip.x).abs();
            if d > e.radius + 1e-9 {
                return f64::INFINITY;
            }
            let out = (d - e.flat).max(0.0);
            let round = |o: f64| e.corner - (e.corner * e.corner - o * o).max(0.0).sqrt();
            let rise = match e.side {
                None => round(out),
                Some(k) => {
                    let end = e.corner * k / (1.0 + k * k).sqrt();
                    if out < end { round(out) } else { round(end) + k * (out - end) }
                }
            };
            tip.y + rise
        })
        .fold(f64::INFINITY, f64::min)
}

#[test]
fn scallops_on_a_flat_are_those_of_the_known_answer() {
    // Closed form: h = r - sqrt(r² - s²/4); r 3, s 0.6: 0.015038; r 3, s 1: 0.041960;
    // r 6.35, s 1.27: 0.031830.
    let face = Face::of(
        &profile(vec![element(ElementKind::Fascia, 60.0, None, 0.0)], 10.0),
        Pose::BackDown,
    );
    for (r, s, h) in [(3.0, 0.6, 0.015_038), (3.0, 1.0, 0.041_960), (6.35, 1.27, 0.031_830)] {
        let section = Section::new(face.clone(), r, 6.0, 12.0);
        let finisher = Finisher::new(ball(r), &section.ground, section.reach);
        let tips = finisher.passes(&section.samples(h), &[]);
        // From the third on no end plays a part, and the last may lie closer.
        for pair in tips[2..tips.len() - 2].windows(2) {
            assert_relative_eq!(pair[1].x - pair[0].x, s, epsilon = 2e-3);
            assert_relative_eq!(pair[0].y, 10.0, epsilon = 1e-9);
        }
        let spacing = (tips[tips.len() - 3].x - tips[2].x) / (tips.len() - 5) as f64;
        assert_relative_eq!(spacing, s, max_relative = 1e-3);
        // The fewest that can be: the face is 60 wide.
        assert!(tips.len() as f64 <= 60.0 / s + 1.0, "{}", tips.len());
    }
}

#[test]
fn the_bed_mould_hangs_free_top_down_and_hides_bottom_down() {
    let profile = bed_mould();
    let free = Face::of(&profile, Pose::TopDown);
    assert!(free.hidden.is_empty(), "{:?}", free.hidden);
    assert_relative_eq!(free.height, 25.0);
    assert_relative_eq!(free.width(), 8.0 + 2.0 + 13.0 + 2.0 + 5.0, epsilon = 1e-6);
    let hides = Face::of(&profile, Pose::BottomDown);
    // All of the face lies under the top. The lowest fillet is the farthest in: 22 mm.
    let deepest = hides.hidden.iter().find(|u| u.element == 0).unwrap();
    assert_relative_eq!(deepest.depth, 22.0, epsilon = 0.2);
}

#[test]
fn a_bead_hides_half_its_height_of_what_lies_behind_it() {
    // A bead 8 high over a set-back fillet: top down, its upper half and the inner end of the
    // shelf lie behind its roundest point, 4 mm out.
    let bead = profile(
        vec![
            element(ElementKind::Bead, 8.0, None, 0.0),
            element(ElementKind::Fillet, 3.0, None, 6.0),
        ],
        6.0,
    );
    let face = Face::of(&bead, Pose::TopDown);
    let own = face.hidden.iter().find(|u| u.element == 0).unwrap();
    assert_eq!(own.by, Some(0));
    assert_relative_eq!(own.depth, 4.0, epsilon = 0.05);
    assert!(Face::of(&bead, Pose::BackDown).hidden.is_empty());
}

#[test]
fn every_pose_shows_the_whole_outline_or_says_what_it_hides() {
    let profile = bed_mould();
    for pose in Pose::ALL {
        let face = Face::of(&profile, pose);
        for pair in face.spans.windows(2) {
            assert!(pair[0].to.distance(pair[1].from) < 1e-6, "{pose:?} {pair:?}");
        }
    }
}

/// What stays over a face after the chosen passes, against the face: never below it, above it by
/// no more than the scallop and what the cutters cannot reach.
fn hold(profile: &Profile, pose: Pose, edges: &[Edge], scallop: f64) -> Vec<usize> {
    let face = Face::of(profile, pose);
    let top = face.height;
    let section = Section::new(face.clone(), 3.2, 6.35, top);
    let chooser = Chooser::new(&section, edges, scallop);
    let choice = chooser.lay(&chooser.fewest(), Spread::Even);
    let passes: Vec<(Edge, Point)> =
        choice.passes.iter().flat_map(|p| p.tips.iter().map(|t| (edges[p.cutter], *t))).collect();
    let mut all = passes.clone();
    let used: Vec<Edge> = choice.passes.iter().map(|p| edges[p.cutter]).collect();
    // Every place that the cutters could stand at: what they can reach.
    let reachable: Vec<(Edge, Point)> = used
        .iter()
        .flat_map(|e| {
            section.ground.locus(e, section.reach.0, section.reach.1).into_iter().map(|t| (*e, t))
        })
        .collect();
    // Places across the face: its own height, what can be reached, what is there.
    let places = 4000;
    let evenly =
        (1..places).map(|i| face.extent.0 + face.width() * f64::from(i) / f64::from(places));
    let mut all_v: Vec<f64> = evenly.chain(face.spans.iter().skip(1).map(|s| s.from.x)).collect();
    all_v.sort_by(f64::total_cmp);
    let rows: Vec<(f64, f64, f64, f64)> = all_v
        .into_iter()
        .map(|v| {
            let least = |passes: &[(Edge, Point)]| residual(passes, v).min(top);
            // A rim that fits a wall to the last bit takes its edge away at that very place.
            (v, face.z(v), least(&reachable).max(face.z(v)), least(&all))
        })
        .collect();
    // Where the face runs up into the stock's top the top goes on from there.
    let mut rows = rows;
    let (low, high) = face.extent;
    if face.z(high) > top - 1e-6 {
        rows.push((high, top, top, top));
    }
    if face.z(low) > top - 1e-6 {
        rows.insert(0, (low, top, top, top));
    }
    for (k, &(v, wanted, _, is)) in rows.iter().enumerate() {
        // Beside a wall the height jumps: its lower side counts.
        let floor = [-2e-3, 2e-3].map(|d| face.z(v + d)).into_iter().fold(wanted, f64::min);
        assert!(is > floor - 1e-6, "{pose:?} at {v}: {is} below {floor}");
        // A scallop is measured to the nearest of what can be reached, walls included.
        let window = &rows[k.saturating_sub(60)..(k + 60).min(rows.len())];
        let thick = window
            .windows(2)
            .map(|w| {
                let piece =
                    Piece { from: point(w[0].0, w[0].2), to: point(w[1].0, w[1].2), bulge: 0.0 };
                let p = point(v, is);
                piece.at(piece.nearest_share(p)).distance(p)
            })
            .fold(f64::INFINITY, f64::min);
        assert!(thick < scallop + 0.005, "{pose:?} at {v}: {thick} of {is}");
    }
    all.clear();
    choice.passes.iter().map(|p| p.tips.len()).collect()
}

#[test]
fn what_stays_on_a_bed_mould_is_the_scallop() {
    let edges = [square(3.175), square(6.35), ball(3.175), taper(3.175, 0.79, 10.0)];
    let counts = hold(&bed_mould(), Pose::TopDown, &edges, 0.02);
    assert!(counts.len() <= 2 && counts.iter().sum::<usize>() < 90, "{counts:?}");
    hold(&bed_mould(), Pose::BackDown, &edges, 0.05);
}

#[test]
fn every_element_is_cut_within_its_scallop() {
    let edges = [square(3.175), ball(3.175), bull(6.35, 1.6)];
    for kind in ElementKind::ALL {
        let projection = match kind {
            ElementKind::Scotia => Some(4.0),
            ElementKind::Fillet | ElementKind::Fascia => Some(2.0),
            ElementKind::Bead | ElementKind::Astragal | ElementKind::Torus => None,
            _ => Some(15.0),
        };
        let one = profile(
            vec![
                element(ElementKind::Fillet, 4.0, None, 0.0),
                element(kind, 15.0, projection, 1.0),
                element(ElementKind::Fillet, 4.0, None, 0.0),
            ],
            12.0,
        );
        let counts = hold(&one, Pose::BackDown, &edges, 0.03);
        assert!(counts.iter().sum::<usize>() > 0, "{kind:?}");
    }
}

fn any_edge() -> impl Strategy<Value = Edge> {
    prop_oneof![
        (0.5..6.0_f64).prop_map(ball),
        (0.5..6.0_f64).prop_map(square),
        (2.0..6.0_f64, 0.2..1.9_f64).prop_map(|(r, c)| bull(r, c)),
        (2.0..6.0_f64, 0.2..1.9_f64, 5.0..60.0_f64).prop_map(|(r, b, a)| taper(r, b, a)),
    ]
}

proptest! {
    #[test]
    fn the_tip_is_the_lowest_that_keeps_off_the_face(
        edge in any_edge(),
        ends in prop::array::uniform4(-8.0..8.0_f64),
        bulge in -1.0..1.0_f64,
        u in -9.0..9.0_f64,
    ) {
        let (from, to) = (point(ends[0], ends[1]), point(ends[2], ends[3]));
        prop_assume!(from.distance(to) > 0.5);
        let piece = Piece { from, to, bulge };
        let spans = Span::of(&piece, None);
        let ground = Ground::new(spans.clone());
        let tip = ground.tip(&edge, u);
        // The same by trying every place of the spans, but for the rim's last nanometre: a groove
        // just as wide as the cutter takes it.
        const RIM: f64 = 1.1e-6;
        let mut least = f64::NEG_INFINITY;
        for span in &spans {
            for i in 0..=4000 {
                let (p, _) = span.at(f64::from(i) / 4000.0);
                let d = (p.x - u).abs();
                if d <= edge.radius - RIM {
                    least = least.max(p.y - edge.rise(d));
                }
            }
        }
        if least.is_finite() {
            // Never lower than any place asks; higher only by what lies between the places, which
            // is most where the outline stands upright.
            prop_assert!(tip >= least - 1e-9, "{tip} {least}");
            prop_assert!(tip <= least + 0.35, "{tip} {least}");
        }
    }
}
