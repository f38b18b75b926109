//! Moulding elements against the closed forms of their published constructions.
#![allow(clippy::unwrap_used)]

use ovolo::document::Document;
use ovolo::geometry::profile::{Element, ElementKind, Moulding, Profile};
use ovolo::geometry::{Point, point};
use ovolo::units::Length;
use proptest::prelude::*;
use std::f64::consts::PI;

fn element(kind: ElementKind, height: f64, projection: f64) -> Element {
    Element {
        kind,
        height: Length(height),
        projection: Some(Length(projection)),
        step: Length(0.0),
    }
}

fn single(kind: ElementKind, height: f64, projection: f64) -> Profile {
    // 100 mm of wood behind, so that hollows have something to be cut from.
    let moulding =
        Moulding { element: vec![element(kind, height, projection)], back: Length(100.0) };
    Profile::build(&moulding, "profile.test").unwrap()
}

fn close(a: Point, b: Point) {
    assert!(a.distance(b) < 1e-9, "{a:?} is not {b:?}");
}

fn direction(angle: f64) -> Point {
    Point::polar(1.0, angle)
}

/// Equal forms h = p = 10: centres, ends and turning by Ware's tangent rule and the quarter
/// circles of the Building Trades Pocketbook (Roman mouldings).
#[test]
fn equal_forms_stand_on_their_published_centres() {
    let ovolo = single(ElementKind::Ovolo, 10.0, 10.0);
    let arc = ovolo.face.pieces().next().unwrap();
    close(arc.center().unwrap(), point(0.0, 10.0));
    close(arc.direction(0.0), direction(0.0));
    close(arc.direction(1.0), direction(PI / 2.0));
    assert!((ovolo.area() - 25.0 * PI).abs() < 1e-9);

    let cavetto = single(ElementKind::Cavetto, 10.0, 10.0);
    let arc = cavetto.face.pieces().next().unwrap();
    close(arc.center().unwrap(), point(10.0, 0.0));
    close(arc.direction(0.0), direction(PI / 2.0));
    close(arc.direction(1.0), direction(0.0));
    assert!((cavetto.area() - 100.0 * (1.0 - PI / 4.0)).abs() < 1e-9);

    let recta = single(ElementKind::CymaRecta, 10.0, 10.0);
    let arcs: Vec<_> = recta.face.pieces().collect();
    close(arcs[0].to, point(5.0, 5.0));
    close(arcs[0].center().unwrap(), point(0.0, 5.0));
    close(arcs[1].center().unwrap(), point(10.0, 5.0));
    // Level, upright, level.
    close(arcs[0].direction(0.0), direction(0.0));
    close(arcs[0].direction(1.0), direction(PI / 2.0));
    close(arcs[1].direction(1.0), direction(0.0));
    assert!((recta.area() - 50.0).abs() < 1e-9);

    let reversa = single(ElementKind::CymaReversa, 10.0, 10.0);
    let arcs: Vec<_> = reversa.face.pieces().collect();
    close(arcs[0].center().unwrap(), point(5.0, 0.0));
    close(arcs[1].center().unwrap(), point(5.0, 10.0));
    // Upright, level, upright.
    close(arcs[0].direction(0.0), direction(PI / 2.0));
    close(arcs[0].direction(1.0), direction(0.0));
    close(arcs[1].direction(1.0), direction(PI / 2.0));
    assert!((reversa.area() - 50.0).abs() < 1e-9);
}

#[test]
fn an_unequal_ovolo_has_its_height_for_radius() {
    // Nicholson, Mechanic's Companion: an arc through both ends with the height as radius.
    let ovolo = single(ElementKind::Ovolo, 12.0, 9.0);
    let arc = ovolo.face.pieces().next().unwrap();
    assert!((arc.radius() - 12.0).abs() < 1e-9);
    close(arc.to, point(9.0, 12.0));
    // Chord 15 by the 9-12-15 triangle: half angle asin(7.5 / 12).
    assert!((arc.sweep() - 2.0 * (7.5_f64 / 12.0).asin()).abs() < 1e-12);
    let cavetto = single(ElementKind::Cavetto, 12.0, 9.0);
    // Convex and hollow together fill the rectangle.
    assert!((ovolo.area() + cavetto.area() - 108.0).abs() < 1e-9);
}

#[test]
fn an_unequal_cyma_is_two_sixths_of_a_circle() {
    // From memory of Nicholson: radius = half the line between the ends, here 7.5, which
    // is also what each arc spans: 60 degrees.
    for kind in [ElementKind::CymaRecta, ElementKind::CymaReversa] {
        let profile = single(kind, 12.0, 9.0);
        for arc in profile.face.pieces() {
            assert!((arc.radius() - 7.5).abs() < 1e-9);
            assert!((arc.sweep().abs() - PI / 3.0).abs() < 1e-12);
        }
        let arcs: Vec<_> = profile.face.pieces().collect();
        close(arcs[0].direction(1.0), arcs[1].direction(0.0));
        assert!((profile.area() - 54.0).abs() < 1e-9);
    }
}

#[test]
fn a_scotia_has_two_tangent_arcs_with_centres_on_one_line() {
    // h 20, p 6: radii (20 - 6)/2 = 7 and (20 + 6)/2 = 13; the deepest point 7 behind, 7 up.
    let scotia = single(ElementKind::Scotia, 20.0, 6.0);
    let arcs: Vec<_> = scotia.face.pieces().collect();
    assert!((arcs[0].radius() - 7.0).abs() < 1e-9 && (arcs[1].radius() - 13.0).abs() < 1e-9);
    close(arcs[0].to, point(-7.0, 7.0));
    close(arcs[0].center().unwrap(), point(0.0, 7.0));
    close(arcs[1].center().unwrap(), point(6.0, 7.0));
    close(arcs[0].direction(1.0), arcs[1].direction(0.0));
    close(arcs[1].to, point(6.0, 20.0));
}

#[test]
fn a_torus_is_a_half_round_about_the_middle_of_its_height() {
    // Building Trades Pocketbook: centre at the middle of the height.
    let moulding: Moulding = Moulding {
        element: vec![Element {
            kind: ElementKind::Torus,
            height: Length(8.0),
            projection: None,
            step: Length(0.0),
        }],
        back: Length(2.0),
    };
    let torus = Profile::build(&moulding, "profile.t").unwrap();
    let arc = torus.face.pieces().next().unwrap();
    close(arc.center().unwrap(), point(0.0, 4.0));
    assert!((torus.projection() - 4.0).abs() < 1e-9);
    assert!((torus.area() - 8.0 * PI).abs() < 1e-9);
    assert!((torus.section().area() - (8.0 * PI + 16.0)).abs() < 1e-9);
}

/// Corinthian entablature in hundredths of its height: Cyclopedia of Architecture, Carpentry and
/// Building (American School), art. 92-94. Heights 30, 30, 40; projection of the cornice 40. The
/// book gives the eight projections in order; which member takes which is our reading.
#[test]
fn the_corinthian_entablature_adds_up_exactly() {
    use ElementKind::*;
    let flat = |kind, height: f64, out: f64| element(kind, height, out);
    let half = |height: f64| element(Astragal, height, height / 2.0);
    let architrave = [
        flat(Fascia, 5.5, 0.0),
        half(1.0),
        flat(Fascia, 6.5, 0.0),
        element(CymaReversa, 2.0, 2.0),
        flat(Fascia, 7.5, 0.0),
        half(1.5),
        element(CymaReversa, 3.5, 3.5),
        flat(Fillet, 2.5, 0.0),
    ];
    let frieze = [flat(Fascia, 28.5, 0.0), half(1.5)];
    let cornice = [
        element(CymaReversa, 3.0, 4.0),
        flat(Fascia, 6.5, 4.0),
        half(1.5),
        element(Ovolo, 3.5, 5.0),
        flat(Fascia, 7.0, 0.0),
        element(CymaReversa, 1.5, 1.0),
        flat(Fascia, 7.0, 18.0),
        element(CymaReversa, 1.5, 1.0),
        flat(Fillet, 1.0, 2.0),
        element(CymaRecta, 5.0, 5.0),
        flat(Fillet, 2.5, 0.0),
    ];
    let build = |elements: &[Element]| {
        let moulding = Moulding { element: elements.to_vec(), back: Length(10.0) };
        Profile::build(&moulding, "profile.order").unwrap()
    };
    let parts = [build(&architrave), build(&frieze), build(&cornice)];
    let heights: Vec<f64> = parts.iter().map(Profile::height).collect();
    assert_eq!(heights, [30.0, 30.0, 40.0]);
    assert_eq!(parts[0].elements.last().unwrap().to.x, 5.5);
    assert_eq!(parts[2].elements.last().unwrap().to.x, 40.0);
    assert_eq!(parts[2].projection(), 40.0);
}

#[derive(serde::Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
struct File {
    #[allow(dead_code)]
    units: Option<ovolo::units::Unit>,
    profile: std::collections::BTreeMap<String, Moulding>,
}

#[test]
fn a_file_holds_profiles_by_name() {
    let text = "units = 'in'\n[profile.bed-mold]\nback = '1/4'\n\
                [[profile.bed-mold.element]]\nkind = 'cyma-reversa'\nheight = '1 1/2'\nprojection = '1'\n\
                [[profile.bed-mold.element]]\nkind = 'fillet'\nheight = '1/4'\nprojection = '1/8'\n";
    let (file, _) = Document::read::<File>("job.toml", text).unwrap();
    let profile = Profile::build(&file.profile["bed-mold"], "profile.bed-mold").unwrap();
    assert!((profile.height() - 1.75 * 25.4).abs() < 1e-9);
    assert!((profile.projection() - 1.125 * 25.4).abs() < 1e-9);
    assert!((profile.thickness() - 1.375 * 25.4).abs() < 1e-9);

    let text = text.replace("'fillet'", "'filet'").replace("projection = '1/8'", "reach = '1/8'");
    let failure = Document::read::<File>("job.toml", &text).err().unwrap();
    let said = failure.to_string();
    assert!(said.contains("did you mean `fillet`?"), "{said}");
}

#[test]
fn what_cannot_be_made_is_refused_with_what_can() {
    let refuse = |elements: Vec<Element>, back: f64| {
        let moulding = Moulding { element: elements, back: Length(back) };
        Profile::build(&moulding, "profile.p").unwrap_err()
    };
    let scotia = refuse(vec![element(ElementKind::Scotia, 10.0, 12.0)], 50.0);
    assert_eq!(scotia[0].key.as_deref(), Some("profile.p.element[1].projection"));
    assert!(scotia[0].help.as_ref().unwrap().contains("less than 10 mm"));

    // Two mistakes, both told.
    let two = refuse(
        vec![element(ElementKind::Ovolo, 0.0, 1.0), element(ElementKind::Cavetto, 5.0, -1.0)],
        1.0,
    );
    assert_eq!(two.len(), 2);

    // A fillet in line with its back has no wood; the help's number works.
    let flush = refuse(vec![element(ElementKind::Fillet, 5.0, 0.0)], 0.0);
    assert_eq!(flush[0].key.as_deref(), Some("profile.p.back"));
    assert!(flush[0].help.as_ref().unwrap().starts_with("1 mm"));
    assert!(
        Profile::build(
            &Moulding { element: vec![element(ElementKind::Fillet, 5.0, 0.0)], back: Length(1.0) },
            "profile.p"
        )
        .is_ok()
    );

    // A broad flat ovolo dips below its lower edge, here into the torus under it.
    let crossing = refuse(
        vec![element(ElementKind::Torus, 60.0, 30.0), element(ElementKind::Ovolo, 2.0, 60.0)],
        10.0,
    );
    assert!(crossing[0].message.contains("crosses itself"), "{crossing:?}");
    // A broad flat cavetto rises above its own upper edge: nothing may end there.
    let above = refuse(vec![element(ElementKind::Cavetto, 5.0, 20.0)], 10.0);
    assert!(above[0].message.contains("crosses itself"), "{above:?}");
    assert!(!refuse(vec![element(ElementKind::Ovolo, f64::NAN, 1.0)], 1.0).is_empty());
}

#[test]
fn a_broad_flat_cavetto_hangs_over_its_own_hollow() {
    // 3 high and 8 out, of radius 8: its centre stands 6.764 from the middle of the chord, at
    // (6.375, -4.833). At its end, (8, 3), the way up lies as far on the centre's other side.
    let elements =
        vec![element(ElementKind::Cavetto, 3.0, 8.0), element(ElementKind::Fillet, 4.0, 0.0)];
    let profile =
        Profile::build(&Moulding { element: elements, back: Length(5.0) }, "profile.p").unwrap();
    let (at, deep) = profile.undercut().unwrap();
    let away = (64.0 - 73.0 / 4.0_f64).sqrt();
    let centre = 4.0 + away * 3.0 / 73.0_f64.sqrt();
    assert!(at.distance(point(8.0, 3.0)) < 1e-9, "{at:?}");
    // Arcs are followed within 0.005 mm, square to them: there they rise one in four.
    assert!((deep - 2.0 * (8.0 - centre)).abs() < 0.03, "{deep}");
    // As high as it is wide it is a quarter circle, and only rises.
    assert_eq!(single(ElementKind::Cavetto, 8.0, 8.0).undercut(), None);
    assert_eq!(single(ElementKind::Scotia, 8.0, 2.0).undercut(), None);
}

fn any_element() -> impl Strategy<Value = Element> {
    (0..ElementKind::ALL.len(), 1.0..40.0_f64, 0.3..1.7_f64).prop_map(|(kind, height, ratio)| {
        let kind = ElementKind::ALL[kind];
        let projection = match kind {
            ElementKind::Scotia => height * (ratio - 1.0),
            ElementKind::Fillet | ElementKind::Fascia => 5.0 * (ratio - 0.8),
            ElementKind::Bead | ElementKind::Astragal | ElementKind::Torus => height / 2.0,
            _ => height * ratio,
        };
        element(kind, height, projection)
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    /// Areas and tangents by rule agree with the arcs that were drawn, for any stack.
    #[test]
    fn drawn_arcs_keep_the_closed_forms(elements in prop::collection::vec(any_element(), 1..8)) {
        let moulding = Moulding { element: elements.clone(), back: Length(500.0) };
        // A dip into the element below is refused; nothing else may be.
        let profile = match Profile::build(&moulding, "profile.any") {
            Ok(profile) => profile,
            Err(refused) => {
                prop_assert!(refused.iter().all(|d| d.message.contains("crosses itself")));
                return Ok(());
            }
        };
        let height: f64 = elements.iter().map(|e| e.height.0).sum();
        prop_assert!((profile.height() - height).abs() < 1e-9);
        let section = profile.section();
        prop_assert!((section.area() - profile.area() - 500.0 * height).abs() < 1e-6 * section.area());
        for placed in &profile.elements {
            let first = profile.face.pieces().find(|p| p.from.distance(placed.from) < 1e-9
                && p.to.y > p.from.y).unwrap();
            let last = profile.face.pieces().find(|p| p.to.distance(placed.to) < 1e-9).unwrap();
            prop_assert!(first.direction(0.0).distance(direction(placed.lower_tangent)) < 1e-9);
            prop_assert!(last.direction(1.0).distance(direction(placed.upper_tangent)) < 1e-9);
        }
        // Sampling is the independent path to the area.
        let points = profile.face.flattened(1e-4);
        let sampled: f64 = points.windows(2)
            .map(|w| (w[0].x + w[1].x) / 2.0 * (w[1].y - w[0].y)).sum();
        prop_assert!((sampled - profile.area()).abs() < 1e-3 * height.max(1.0));
    }
}
