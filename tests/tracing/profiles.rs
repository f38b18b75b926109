//! Moulding profiles from tracings.

use crate::write::page;
use insta::assert_snapshot;
use ovolo::geometry::point;
use ovolo::geometry::profile::Profile;
use ovolo::tracing::{Options, profile};
use std::f64::consts::PI;

fn traced(inside: &str) -> Profile {
    profile("bed.svg", page(100.0, 100.0, inside).as_bytes(), &Options::default()).unwrap().profile
}

fn said(inside: &str) -> String {
    let text = page(100.0, 100.0, inside);
    profile("bed.svg", text.as_bytes(), &Options::default()).unwrap_err().to_string()
}

/// An ovolo of 20 mm under a fillet of 5 mm, 2 mm of wood behind its lower inner end. On the page,
/// y down: the section's lower left corner at (10, 90).
const SECTION: &str = "<path d='M10 90H12A20 20 0 0 0 32 70V65H10Z'/>";

#[test]
fn a_closed_section_with_its_back_on_the_left() {
    let profile = traced(SECTION);
    assert!((profile.height() - 25.0).abs() < 1e-9);
    assert!((profile.projection() - 20.0).abs() < 1e-9);
    assert!((profile.back - 2.0).abs() < 1e-9);
    assert!((profile.thickness() - 22.0).abs() < 1e-9);
    // A quarter circle and the fillet before the upright through the lower inner end.
    assert!((profile.area() - (400.0 * PI / 4.0 + 100.0)).abs() < 1e-6);
    assert!((profile.section().area() - (profile.area() + 2.0 * 25.0)).abs() < 1e-6);
    assert_eq!(profile.undercut(), None);
}

#[test]
fn a_section_with_its_back_on_the_right_is_turned() {
    let turned = traced(&format!("<g transform='matrix(-1 0 0 1 100 0)'>{SECTION}</g>"));
    let straight = traced(SECTION);
    assert_eq!(turned.face.vertices.len(), straight.face.vertices.len());
    for (a, b) in turned.face.vertices.iter().zip(&straight.face.vertices) {
        assert!(a.at.distance(b.at) < 1e-9 && (a.bulge - b.bulge).abs() < 1e-9, "{a:?} {b:?}");
    }
}

#[test]
fn a_face_alone_from_either_end() {
    for d in ["M12 90A20 20 0 0 0 32 70V65", "M32 65V70A20 20 0 0 1 12 90"] {
        let profile = traced(&format!("<path d='{d}'/>"));
        assert_eq!(profile.back, 0.0);
        assert_eq!(profile.face.vertices[0].at, point(0.0, 0.0));
        assert!((profile.area() - (400.0 * PI / 4.0 + 100.0)).abs() < 1e-6);
        let backed = profile.with_back(3.0).unwrap();
        assert!((backed.thickness() - 23.0).abs() < 1e-9);
    }
}

#[test]
fn an_undercut_is_allowed_and_known() {
    // A quirk: the face drops back 3 mm before it goes on.
    let profile = traced("<path d='M10 90H12L30 75V78L32 65H10Z'/>");
    let (at, deep) = profile.undercut().unwrap();
    assert!(at.distance(point(18.0, 12.0)) < 1e-9, "{at:?}");
    // At 12 mm the slope from (0, 0) to (18, 15) stands 14.4 mm out (similar triangles).
    assert!((deep - 3.6).abs() < 1e-9, "{deep}");
}

#[test]
fn drawings_that_are_no_profile() {
    assert_snapshot!(said("<path d='M12 90L32 90'/>"), @r#"
    error: bed.svg:1:92: the face does not rise: its ends, (12.000, 10.000) and (32.000, 10.000) mm, are level
      1 | <svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100"><path d='M12 90L32 90'/></svg>
        |                                                                                            ^
      help: draw it upright, the wall on its left; or close it along its back
    "#);
    assert_snapshot!(said("<path d='M32 90L12 70'/>"), @r#"
    error: bed.svg:1:92: the face lies on the wall's side of its lower end
      1 | <svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100"><path d='M32 90L12 70'/></svg>
        |                                                                                            ^
      help: draw it with the wall on its left: mirror it
    "#);
    assert_snapshot!(said("<circle cx='50' cy='50' r='20'/>"), @r#"
    error: bed.svg:1:92: the section has no upright back
      1 | <svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100"><circle cx='50' cy='50' r='20'/></svg>
        |                                                                                            ^
      help: turn it so that its back stands upright on the left; or draw the face alone
    "#);
    assert_snapshot!(said("<path d='M10 90L30 80L25 60L5 70Z'/>"), @r#"
    error: bed.svg:1:92: the section has no upright back
      1 | <svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100"><path d='M10 90L30 80L25 60L5 70Z'/></svg>
        |                                                                                            ^
      help: turn it so that its back stands upright on the left; or draw the face alone
    "#);
    assert_snapshot!(said("<path d='M10 90V80H12V75H10V60H40L38 90Z'/>"), @r#"
    error: bed.svg:1:92: the back is hollowed: the section touches the wall in several places
      1 | <svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100"><path d='M10 90V80H12V75H10V60H40L38 90Z'/></svg>
        |                                                                                            ^
      help: draw the back as one upright line
    "#);
    assert_snapshot!(said("<path d='M12 90L32 70'/>\n<path d='M32 69.5L35 60'/>"), @"
    error: bed.svg:2:1: a profile is one line, and 2 are drawn; their nearest ends are 0.500 mm apart at (32.000, 30.000) mm
      2 | <path d='M32 69.5L35 60'/></svg>
        | ^
      help: leave one, put it on a layer of its own, or close the gaps
    ");
    assert_snapshot!(said("<path d='M12 90L32 70L20 90L10 60'/>"), @r#"
    error: bed.svg:1:92: `back`: the face reaches its own back: there is no wood behind it with a back of 0 mm
      1 | <svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100"><path d='M12 90L32 70L20 90L10 60'/></svg>
        |                                                                                            ^
      help: 3 mm leaves wood behind every element
    "#);
}
