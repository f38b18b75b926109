//! Heights from files; files that are wrong.

use crate::ball::whole_ball;
use image::{ExtendedColorType, ImageEncoder, codecs::png::PngEncoder};
use ovolo::geometry::{Point3, point, point3};
use ovolo::relief::source::{
    MeshUse, PictureUse, UpAxis, lettering, mesh_field, picture_field, read_mesh,
};
use proptest::prelude::*;
use std::f64::consts::{FRAC_PI_2, TAU};

fn png(bytes: &[u8], width: u32, height: u32, colour: ExtendedColorType) -> Vec<u8> {
    let mut out = Vec::new();
    PngEncoder::new(&mut out).write_image(bytes, width, height, colour).unwrap();
    out
}

fn how() -> PictureUse {
    PictureUse { width: 50.0, depth: 5.0, white_high: true, gamma: 1.0, smoothing: 0.0 }
}

/// A ramp of 16 bits from 0 at the left to 65,000 at the right, 101 pixels wide.
fn ramp() -> Vec<u8> {
    // Samples of the machine's own byte order, as the encoder takes them.
    let row: Vec<u8> = (0..101u16).flat_map(|i| (i * 650).to_ne_bytes()).collect();
    png(&row.repeat(5), 101, 5, ExtendedColorType::L16)
}

/// A mesh as it lies, in millimetres, whole.
fn as_it_is() -> MeshUse {
    MeshUse {
        up: UpAxis::Z,
        fit: None,
        unit: 1.0,
        depth: None,
        crop: [0.0; 4],
        floor: 0.0,
        cell: 0.5,
    }
}

#[test]
fn a_grey_ramp_is_a_slope() {
    let grid = picture_field("ramp.png", &ramp(), &how()).unwrap();
    for x in [-20.0, -3.3, 0.0, 12.34] {
        let pixel = (x + 25.0) / 50.0 * 101.0 - 0.5;
        let wanted = 5.0 * pixel * 650.0 / 65535.0;
        let z = grid.height(point(x, 0.1)).unwrap();
        assert!((z - wanted).abs() < 1e-5, "{x}: {z}, not {wanted}");
        let black =
            picture_field("r", &ramp(), &PictureUse { white_high: false, ..how() }).unwrap();
        assert!((black.height(point(x, 0.1)).unwrap() - (5.0 - wanted)).abs() < 1e-5);
    }
    // A power acts on the grey value before the depth.
    let squared = picture_field("r", &ramp(), &PictureUse { gamma: 2.0, ..how() }).unwrap();
    let middle = squared.height(point(0.0, 0.0)).unwrap();
    assert!((middle - 5.0 * (50.0_f64 * 650.0 / 65535.0).powi(2)).abs() < 1e-5, "{middle}");
    assert_eq!(grid.height(point(26.0, 0.0)), None);
}

#[test]
fn smoothing_takes_the_stairs_from_eight_bits() {
    // Grey rises by one every four pixels.
    let row: Vec<u8> = (0..200u32).map(|i| (i / 4) as u8).collect();
    let bytes = png(&row.repeat(9), 200, 9, ExtendedColorType::L8);
    let worst = |smoothing: f64| {
        let how = PictureUse { width: 200.0, depth: 255.0, smoothing, ..how() };
        let grid = picture_field("steps.png", &bytes, &how).unwrap();
        let z = |i: i32| grid.height(point(f64::from(i), 0.0)).unwrap();
        (-70..70).map(|i| (z(i + 1) - 2.0 * z(i) + z(i - 1)).abs()).fold(0.0, f64::max)
    };
    let (rough, smooth) = (worst(0.0), worst(3.0));
    assert!(rough > 0.4 && smooth < rough / 10.0, "{rough} and {smooth}");
}

#[test]
fn a_picture_in_colour_or_cut_short_is_refused() {
    let colour = png(&[10; 12], 2, 2, ExtendedColorType::Rgb8);
    let wrong = picture_field("c.png", &colour, &how()).unwrap_err();
    assert!(wrong.message.contains("colour"), "{}", wrong.message);
    let bytes = ramp();
    let wrong = picture_field("r.png", &bytes[..bytes.len() / 2], &how()).unwrap_err();
    assert!(wrong.message.starts_with("r.png: is damaged or cut short"), "{}", wrong.message);
    let wrong = picture_field("t.png", b"a text", &how()).unwrap_err();
    assert_eq!(wrong.message, "t.png: is neither a PNG nor a TIFF");
}

#[test]
fn a_mesh_that_is_cut_short_or_misspelt_is_told_in_plain_words() {
    let mut short = vec![0; 84];
    short[80] = 10;
    let wrong = read_mesh("s.stl", &short).unwrap_err();
    assert_eq!(wrong.message, "s.stl: is cut short, or is no STL");
    let text = ball(10.0, 4, 6).0.replacen("vertex", "vertex 1,5", 1);
    let wrong = read_mesh("b.stl", text.as_bytes()).unwrap_err();
    let line = text.lines().position(|l| l.contains("1,5")).unwrap() + 1;
    assert_eq!(wrong.message, format!("b.stl: line {line}: `1,5` is no place for a corner"));
}

/// Half a ball as text STL: vertices half the facets' sagitta outside, so that the facets lie as
/// far inside as their corners outside.
fn ball(radius: f64, rings: u32, sectors: u32) -> (String, f64) {
    let at = |i: u32, k: u32, r: f64| {
        let up = FRAC_PI_2 * f64::from(i) / f64::from(rings);
        let round = TAU * f64::from(k) / f64::from(sectors);
        point3(r * up.cos() * round.cos(), r * up.cos() * round.sin(), r * up.sin())
    };
    let facets = |r: f64| {
        let mut all = Vec::new();
        for i in 0..rings {
            for k in 0..sectors {
                let (a, b) = (at(i, k, r), at(i, k + 1, r));
                let (c, d) = (at(i + 1, k + 1, r), at(i + 1, k, r));
                all.push([a, b, c]);
                if i + 1 < rings {
                    all.push([a, c, d]);
                }
            }
        }
        all
    };
    // The plane of a facet comes no nearer to the middle than this.
    let height = |t: &[Point3; 3]| {
        let (u, v) = (t[1] - t[0], t[2] - t[0]);
        let n = point3(u.y * v.z - u.z * v.y, u.z * v.x - u.x * v.z, u.x * v.y - u.y * v.x);
        (n.x * t[0].x + n.y * t[0].y + n.z * t[0].z).abs() / n.length()
    };
    let chord = facets(radius).iter().map(|t| radius - height(t)).fold(0.0, f64::max);
    let mut text = String::from("solid ball\n");
    for t in facets(radius + chord / 2.0) {
        text.push_str("facet normal 0 0 1\nouter loop\n");
        for p in t {
            text.push_str(&format!("vertex {} {} {}\n", p.x, p.y, p.z));
        }
        text.push_str("endloop\nendfacet\n");
    }
    text.push_str("endsolid ball\n");
    (text, chord)
}

#[test]
fn a_ball_as_a_mesh_lands_within_half_its_chord_error() {
    let (text, chord) = ball(20.0, 16, 64);
    let mesh = read_mesh("ball.stl", text.as_bytes()).unwrap();
    assert!(!mesh.watertight, "half a ball is open below");
    let how = as_it_is();
    let grid = mesh_field("ball.stl", &mesh, &how).unwrap();
    let field = grid.field();
    let mut checked = 0;
    for j in 0..field.rows() {
        for i in 0..field.columns() {
            let p = field.middle(i, j);
            let z = f64::from(field.height(i, j).unwrap());
            if p.length() < 19.0 {
                let off = point3(p.x, p.y, z).distance(Point3::default()) - 20.0;
                assert!(off.abs() <= chord / 2.0 + 1e-4, "{p:?}: {off}, chord {chord}");
                checked += 1;
            }
        }
    }
    assert!(checked > 4000, "{checked} cells");
}

#[test]
fn a_closed_mesh_is_known_fitted_and_turned() {
    // A box of 2 by 3 by 4, faces outwards.
    let mut obj = String::new();
    for z in [0, 4] {
        for (x, y) in [(0, 0), (2, 0), (2, 3), (0, 3)] {
            obj.push_str(&format!("v {x} {y} {z}\n"));
        }
    }
    for face in ["4 3 2 1", "5 6 7 8", "1 2 6 5", "2 3 7 6", "3 4 8 7", "4 1 5 8"] {
        obj.push_str(&format!("f {face}\n"));
    }
    let mesh = read_mesh("box.obj", obj.as_bytes()).unwrap();
    assert_eq!(mesh.all.len(), 12);
    assert!(mesh.watertight);
    let how = MeshUse {
        up: UpAxis::Y,
        fit: Some([40.0, 40.0]),
        unit: 1.0,
        depth: Some(5.0),
        crop: [0.0; 4],
        floor: 0.0,
        cell: 0.5,
    };
    let grid = mesh_field("box.obj", &mesh, &how).unwrap();
    // x by z is 2 by 4: the longer side fills the room.
    let (low, high) = grid.bounds();
    assert!((high.y - low.y - 39.5).abs() < 1e-9 && (high.x - low.x - 19.5).abs() < 1e-9);
    assert_eq!(grid.height(point(3.0, -12.0)), Some(5.0));
    let open: String =
        obj.lines().filter(|l| *l != "f 4 1 5 8").map(|l| format!("{l}\n")).collect();
    assert!(!read_mesh("box.obj", open.as_bytes()).unwrap().watertight);
}

/// Where a whole ball of 10 mm radius is undercut, from its axis, and how high, above the share
/// `floor` of its height.
fn ball_undercut(floor: f64) -> Option<(f64, f64)> {
    let mesh = read_mesh("ball.stl", whole_ball(10.0).as_bytes()).unwrap();
    assert!(mesh.watertight);
    let how = MeshUse {
        up: UpAxis::Z,
        fit: None,
        unit: 1.0,
        depth: None,
        crop: [0.0; 4],
        floor,
        cell: 0.1,
    };
    let grid = mesh_field("ball.stl", &mesh, &how).unwrap();
    grid.undercut().map(|u| (u.at.length(), u.high))
}

#[test]
fn a_ball_that_stands_free_is_undercut_at_its_widest() {
    // Radius 10 mm: at 9.9 mm from its axis, the last cells inside, the underside stands
    // 10 - sqrt(100 - 98.01) = 8.6 mm over the ground, at the rim 10 mm (closed form).
    let (out, high) = ball_undercut(0.0).unwrap();
    assert!((9.9..10.0).contains(&out) && (8.6..10.0).contains(&high), "{out}, {high}");
    // Sunk by a quarter of its height the widest place is 5 mm over the ground.
    let (out, high) = ball_undercut(0.25).unwrap();
    assert!((9.9..10.0).contains(&out) && (3.6..5.0).contains(&high), "{out}, {high}");
    // Sunk to the middle it has no underside.
    assert_eq!(ball_undercut(0.5), None);
}

#[test]
fn a_hollow_is_measured_down_to_what_lies_under_it() {
    // A bridge as three boxes: a base 2 mm thick, a post, and a slab from 7 to 9 mm over both.
    let mut obj = String::new();
    let boxes = [([0, 0, 0], [40, 20, 2]), ([0, 0, 2], [10, 20, 7]), ([0, 0, 7], [30, 20, 9])];
    for (n, (low, high)) in boxes.iter().enumerate() {
        for z in [low[2], high[2]] {
            for (x, y) in
                [(low[0], low[1]), (high[0], low[1]), (high[0], high[1]), (low[0], high[1])]
            {
                obj.push_str(&format!("v {x} {y} {z}\n"));
            }
        }
        for face in
            [[4, 3, 2, 1], [5, 6, 7, 8], [1, 2, 6, 5], [2, 3, 7, 6], [3, 4, 8, 7], [4, 1, 5, 8]]
        {
            let [a, b, c, d] = face.map(|k| k + 8 * n);
            obj.push_str(&format!("f {a} {b} {c} {d}\n"));
        }
    }
    let mesh = read_mesh("bridge.obj", obj.as_bytes()).unwrap();
    let how = as_it_is();
    let undercut = mesh_field("bridge.obj", &mesh, &how).unwrap().undercut().unwrap();
    // The slab's underside at 7 mm, the base's upper side at 2 mm; x from -20.
    assert!((undercut.high - 5.0).abs() < 1e-6, "{undercut:?}");
    assert!((-10.0..10.0).contains(&undercut.at.x), "{undercut:?}");
}

#[test]
fn letters_have_the_height_asked_for() {
    let words = lettering("HE", 25.0, 0.0, None).unwrap();
    let bounds = words.outlines.iter().filter_map(|c| c.bounds());
    let (low, high) = bounds
        .reduce(|(a, b), (c, d)| {
            (point(a.x.min(c.x), a.y.min(c.y)), point(b.x.max(d.x), b.y.max(d.y)))
        })
        .unwrap();
    assert!(low.y.abs() < 1e-6 && (high.y - 25.0).abs() < 0.05, "{low:?} {high:?}");
    assert!((low.x + high.x).abs() < 1e-6 && (high.x - low.x - words.width).abs() < 1e-6);
    // A round letter: its outer edge and the hole in it.
    assert_eq!(lettering("O", 25.0, 0.0, None).unwrap().outlines.len(), 2);
    let wrong = lettering("A\u{10fffd}", 25.0, 0.0, None).unwrap_err();
    assert!(wrong.message.contains("no letter"), "{}", wrong.message);
    assert!(lettering("A", 25.0, 0.0, Some(("x.ttf", b"no font"))).is_err());
}

proptest! {
    /// Hostile files are refused or read; they never panic.
    #[test]
    fn any_bytes_are_answered(bytes in proptest::collection::vec(any::<u8>(), 0..400), at in 0usize..400) {
        let _ = read_mesh("a.stl", &bytes);
        let _ = read_mesh("a.obj", &bytes);
        let _ = picture_field("a.png", &bytes, &how());
        let _ = lettering("A", 20.0, 0.0, Some(("a.ttf", &bytes)));
        // A good file with some bytes changed goes deeper.
        let mut picture = ramp();
        let start = at % picture.len();
        for (old, new) in picture[start..].iter_mut().zip(&bytes) {
            *old = *new;
        }
        let _ = picture_field("a.png", &picture, &how());
        prop_assert!(read_mesh("a.stl", b"").is_err());
    }

    #[test]
    fn any_obj_text_is_answered(text in "(v|f|vn|vt|o|g|usemtl|mtllib)( -?[0-9]{1,12}(/[0-9]{0,3}){0,2}){0,4}\n(v 1 2 3\n){0,3}(f( -?[0-9]){1,5}\n){0,3}") {
        let _ = read_mesh("a.obj", text.as_bytes());
    }
}
