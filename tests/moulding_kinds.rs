//! Every kind of path, pose and end of a moulding, from the job file to the text: what the text
//! leaves is worked out here from the text alone and held against drawings made here.
#![allow(clippy::unwrap_used)]

mod moulding_support;

use moulding_support::{Cut, Wanted, cuts, left, passed};
use ovolo::geometry::{Point, point};
use ovolo::make::MadePart;
use std::f64::consts::{FRAC_PI_2, PI};

/// Ridges asked for.
const SCALLOP: f64 = 0.05;

/// The section of most tests: 17 high, 22.5 from back to front, and no cutter that it needs is
/// missing in the built-in shop.
const STEPPED: &str = "back = 10\nelement = [ { kind = \"fillet\", height = 4 },\n\
     { kind = \"ovolo\", height = 9, projection = 9, step = 1.5 },\n\
     { kind = \"fillet\", height = 4, step = 2 } ]";

/// How far out the stepped section stands at a height, from its drawing: the ovolo is a quarter
/// circle about (1.5, 13).
fn stepped_out(y: f64) -> f64 {
    if y < 4.0 {
        0.0
    } else if y < 13.0 {
        1.5 + (81.0 - (13.0 - y).powi(2)).max(0.0).sqrt()
    } else {
        12.5
    }
}

/// The height of the stepped section top down, `u` from a back that is `back` behind.
fn stepped_height(u: f64, back: f64) -> f64 {
    let x = u - back;
    17.0 - if x < 0.0 {
        0.0
    } else if x < 1.5 {
        4.0
    } else if x < 10.5 {
        13.0 - (81.0 - (x - 1.5).powi(2)).max(0.0).sqrt()
    } else {
        13.0
    }
}

fn stepped_top_down() -> Wanted {
    Wanted::new(22.5, |u| stepped_height(u, 10.0))
}

/// A job with one moulding in a board of this size; `more` are keys of the part.
fn job(size: [f64; 3], profile: &str, path: &str, more: &str) -> String {
    let [length, width, thickness] = size;
    format!(
        "title = \"Reading-room niche\"\nspecies = \"yellow-poplar\"\n\
         [stock]\nlength = {length}\nwidth = {width}\nthickness = {thickness}\n\
         [hold]\nbed = \"vacuum\"\n\
         [[part]]\nkind = \"moulding\"\nscallop = {SCALLOP}\n{more}\n\
         [part.profile]\n{profile}\n[part.path]\n{path}\n[part.outline]\ncutter = 2\n"
    )
}

/// What the text of a part leaves.
struct Board {
    cuts: Vec<Cut>,
    low: Point,
    high: Point,
    bottom: f64,
    top: f64,
}

impl Board {
    fn of(part: &MadePart) -> Board {
        let (low, high) = part.plan.outline.bounds().unwrap();
        let stock = part.plan.stock;
        Board { cuts: cuts(part), low, high, bottom: stock.min.z, top: stock.max.z }
    }

    fn cut(text: &str) -> Board {
        let parts = passed(text, "millimetres");
        assert_eq!(parts.len(), 1);
        Board::of(&parts[0])
    }

    /// Height over the table.
    fn at(&self, p: Point) -> f64 {
        left(&self.cuts, self.top, p) - self.bottom
    }

    /// A row across the moulding from a point of its path.
    fn row(&self, wanted: &Wanted, from: Point, out: Point, name: &str) {
        let places = 450;
        for i in 1..places {
            let u = wanted.width * f64::from(i) / f64::from(places);
            wanted.hold(u, self.at(from + out * u), SCALLOP, name);
        }
    }
}

#[test]
fn a_line_in_each_pose_is_its_profile() {
    let line = "kind = \"line\"\nlength = 90";
    let across = point(0.0, 1.0);
    let board = Board::cut(&job([140.0, 70.0, 17.0], STEPPED, line, "pose = \"top-down\""));
    for x in [0.02, 41.3, 89.98] {
        board.row(&stepped_top_down(), board.low + point(x, 0.0), across, "top down");
    }
    let board = Board::cut(&job([140.0, 70.0, 24.0], STEPPED, line, "pose = \"back-down\""));
    let wanted = Wanted::new(17.0, |u| 10.0 + stepped_out(u.clamp(0.0, 17.0)));
    for x in [0.02, 41.3, 89.98] {
        board.row(&wanted, board.low + point(x, 0.0), across, "back down");
    }
    // Upright: steps in as it rises; the bead is a half circle about (-10, 14), whose lower half
    // no cutter reaches.
    let inward = "back = 20\nelement = [ { kind = \"fillet\", height = 6 },\n\
         { kind = \"fascia\", height = 5, step = -4 },\n\
         { kind = \"bead\", height = 6, step = -6 } ]";
    let board = Board::cut(&job([140.0, 70.0, 18.0], inward, line, "pose = \"bottom-down\""));
    let wanted = Wanted::new(20.0, |u| {
        let x = u - 20.0;
        if x < -10.0 {
            17.0
        } else if x < -7.0 {
            14.0 + (9.0 - (x + 10.0).powi(2)).max(0.0).sqrt()
        } else if x < -4.0 {
            11.0
        } else {
            6.0
        }
    });
    for x in [0.02, 41.3, 89.98] {
        board.row(&wanted, board.low + point(x, 0.0), across, "bottom down");
    }
}

#[test]
fn an_ellipse_carries_the_profile_square_to_itself() {
    let (a, b) = (130.0, 70.0);
    let path = format!("kind = \"ellipse\"\nspan = {}\nrise = {b}", 2.0 * a);
    let more = "pose = \"top-down\"\nsegments = 1";
    let board = Board::cut(&job([380.0, 160.0, 17.0], STEPPED, &path, more));
    let middle = point((board.low.x + board.high.x) / 2.0, board.high.y - 22.5 - b);
    for t in [0.03, 0.4, 1.1, FRAC_PI_2, 2.2, 3.0_f64] {
        let on = point(a * t.cos(), b * t.sin());
        let out = point(b * t.cos(), a * t.sin()).unit().unwrap();
        // Arcs follow the ellipse within 0.01 mm, which a wall at their side shows.
        let wanted = stepped_top_down();
        let places = 450;
        for i in 1..places {
            let u = wanted.width * f64::from(i) / f64::from(places);
            if [10.0, 11.5, 20.5].iter().all(|wall| f64::abs(u - wall) > 0.02) {
                let z = board.at(middle + on + out * u);
                wanted.hold(u, z, SCALLOP + 0.01, &format!("ellipse at {t}"));
            }
        }
    }
}

#[test]
fn a_three_centred_arch_is_followed_on_its_hollow_side() {
    // Half span 150, rise 100: lesser radius (100 - (2 - sqrt 3) 150) / (sqrt 3 - 1), greater 300
    // less that (closed form); 60 degrees each. Inward: the crown lies lowest on the board.
    let small = (100.0 - (2.0 - 3.0_f64.sqrt()) * 150.0) / (3.0_f64.sqrt() - 1.0);
    let great = 300.0 - small;
    let path = "kind = \"three-centred\"\nspan = 300\nrise = 100\ngrows = \"inward\"";
    let more = "pose = \"top-down\"\nsegments = 1";
    let board = Board::cut(&job([380.0, 150.0, 17.0], STEPPED, path, more));
    let springing = board.high.y;
    let middle = (board.low.x + board.high.x) / 2.0;
    let crown = point(middle, springing - 100.0 + great);
    for degrees in [-29.0, 0.0, 12.0_f64] {
        let inward = Point::polar(1.0, (90.0 + degrees).to_radians());
        board.row(&stepped_top_down(), crown - inward * great, inward, "the crown");
    }
    let side = point(middle + 150.0 - small, springing);
    for degrees in [1.0, 25.0, 59.0_f64] {
        let out = Point::polar(1.0, -degrees.to_radians());
        board.row(&stepped_top_down(), side + out * small, -out, "the haunch");
    }
}

/// The greater of the distances from two backs: at an outside corner the mitre leaves of each
/// side's face what lies within the other's.
fn mitred(board: &Board, wanted: &Wanted, corner: Point, size: f64, name: &str) {
    let places = 90;
    for i in 1..places {
        for j in 1..places {
            let p = point(size * f64::from(i), size * f64::from(j)) * (1.0 / f64::from(places));
            let u = p.x.max(p.y);
            wanted.hold(u, board.at(corner + p), SCALLOP, name);
        }
    }
}

#[test]
fn a_break_is_mitred_in_the_solid() {
    let path = "kind = \"chain\"\nleg = [ { length = 40 }, { turn = \"90 deg\", length = 50 },\n\
         { turn = \"-90 deg\", length = 90 }, { turn = \"-90 deg\", length = 50 },\n\
         { turn = \"90 deg\", length = 40 } ]";
    let more = "pose = \"top-down\"";
    let text = job([240.0, 140.0, 17.0], STEPPED, path, more);
    let parts = passed(&text, "millimetres");
    let board = Board::of(&parts[0]);
    let wanted = stepped_top_down();
    // The right outside corner of the break: the back's corner is 40 from the right end, 50 up.
    mitred(&board, &wanted, board.low + point(130.0, 50.0), 22.5, "the break's corner");
    let (left_end, front) = (board.low + point(0.5, 0.0), board.low + point(85.0, 50.0));
    board.row(&wanted, left_end, point(0.0, 1.0), "left of the break");
    board.row(&wanted, front, point(0.0, 1.0), "before the break");
    // In the hollow corner what stays is told, and nothing is cut below the face.
    let hollow = parts[0].plan.cautions.iter().any(|c| c.contains("2 hollow mitres"));
    assert!(hollow, "{:?}", parts[0].plan.cautions);
    let corner = board.low + point(170.0 - 40.0, 0.0);
    for i in 1..40 {
        for j in 1..40 {
            let (u, v) = (f64::from(i) * 0.8, f64::from(j) * 0.8);
            let near = u.min(v);
            if near > 22.4 {
                continue;
            }
            let z = board.at(corner + point(u, v));
            let floor = stepped_height(near + 0.005, 10.0);
            assert!(z > floor - 0.01, "{u} {v}: {z} below {floor}");
        }
    }
}

#[test]
fn ends_return_in_the_solid_on_the_edge_and_on_the_back() {
    let line = "kind = \"line\"\nlength = 80";
    let ends = "return-left = \"90 deg\"\nreturn-right = \"90 deg\"";
    let more = format!("pose = \"top-down\"\n{ends}");
    let board = Board::cut(&job([190.0, 90.0, 17.0], STEPPED, line, &more));
    // The ends stand as far beyond the back's ends as the front beyond the back.
    assert!((board.high.x - board.low.x - 125.0).abs() < 1e-3);
    let right = point(board.low.x + 22.5 + 80.0, board.low.y);
    mitred(&board, &stepped_top_down(), right, 22.5, "the returned end");
    // Down to the wall: the return's face is whole beside the back.
    board.row(&stepped_top_down(), right + point(0.0, 0.02), point(1.0, 0.0), "beside the back");
    let left_corner = point(board.low.x + 22.5, board.low.y + 0.02);
    board.row(&stepped_top_down(), left_corner, point(-1.0, 0.0), "beside the back, left");

    // On its back the end is parted along the face itself, but for the cutter's roundness.
    let more = format!("pose = \"back-down\"\n{ends}");
    let parts = passed(&job([190.0, 90.0, 24.0], STEPPED, line, &more), "millimetres");
    let board = Board::of(&parts[0]);
    let told = parts[0].plan.cautions.iter().any(|c| c.contains("Hollows of the returned end"));
    assert!(told, "{:?}", parts[0].plan.cautions);
    // The back of the return stands at the path's end, its face 10 and more beyond.
    let end = board.low.x + 22.5 + 80.0 + 10.0;
    for i in 0..=100 {
        let y = 13.2 + f64::from(i) * 0.037;
        // The upper fillet's edge is the outermost: parted there, and whole behind it.
        let x = end + 12.5;
        let outside = board.at(point(x + 0.02, board.low.y + y));
        assert!(outside < 0.0, "{y}: {outside} stays before the end");
    }
    for i in 1..200 {
        let y = 17.0 * f64::from(i) / 200.0;
        let x = end + stepped_out(y) - 0.02;
        let inside = board.at(point(x, board.low.y + y));
        let floor = 10.0 + stepped_out((y - 0.005).max(0.0)).min(stepped_out(y + 0.005));
        assert!(inside > floor - 0.01, "{y}: {inside} is below {floor}");
    }
}

#[test]
fn mitred_ends_are_parted_on_one_line_and_whole_behind_it() {
    let line = "kind = \"line\"\nlength = 90";
    let more = "pose = \"top-down\"\nmitre-left = \"45 deg\"\nmitre-right = \"-22.5 deg\"";
    let board = Board::cut(&job([190.0, 90.0, 17.0], STEPPED, line, more));
    // The left end grows longer away from the back, the right one shorter.
    let back = point(board.low.x + 22.5, board.low.y);
    let lean = (PI / 8.0).tan();
    let wanted = stepped_top_down();
    for i in 1..200 {
        let u = 22.5 * f64::from(i) / 200.0;
        let (start, end) = (back.x - u, back.x + 90.0 - u * lean);
        for (x, dir) in [(start, -1.0), (end, 1.0)] {
            let outside = board.at(point(x + dir * 0.03, back.y + u));
            assert!(outside < 0.0, "{u}: {outside} stays beyond the end");
            let inside = board.at(point(x - dir * 0.03, back.y + u));
            wanted.hold(u, inside, SCALLOP, "behind the mitre");
        }
    }
}

#[test]
fn keyed_segments_carry_the_profile_on_their_tongues() {
    // Two segments of a straight 160: tongue 16 wide, 18 long, corners of 7.2.
    let line = "kind = \"line\"\nlength = 160";
    let more = "pose = \"top-down\"\nsegments = 2\n\
         joint = { kind = \"keyed\", width = 14.4, length = 18 }";
    // Wider than the stepped section: a key needs shoulders.
    let wide = STEPPED.replace("back = 10", "back = 18");
    let parts = passed(&job([200.0, 140.0, 17.0], &wide, line, more), "millimetres");
    let board = Board::of(&parts[0]);
    // Both on one board; the outline told is the first's: 80 and the tongue of 18.
    assert!((board.high.x - board.low.x - 98.0).abs() < 1e-3, "{:?}", board.high - board.low);
    let wanted = Wanted::new(30.5, |u| stepped_height(u, 18.0));
    board.row(&wanted, board.low + point(70.0, 0.0), point(0.0, 1.0), "before the tongue");
    let tongue = (30.5 / 2.0 - 7.2, 30.5 / 2.0 + 7.2);
    for i in 1..300 {
        let u = 30.5 * f64::from(i) / 300.0;
        let z = board.at(board.low + point(89.0, u));
        if u > tongue.0 + 0.02 && u < tongue.1 - 0.02 {
            wanted.hold(u, z, SCALLOP, "on the tongue");
        } else if u < tongue.0 - 0.02 || u > tongue.1 + 0.02 {
            assert!(z < 0.0, "{u}: {z} stays beside the tongue");
        }
    }
}

#[test]
fn a_traced_section_is_cut_as_the_drawn_elements_are() {
    let folder = tempfile::tempdir().unwrap();
    // The stepped face, y down as SVG has it, in millimetres.
    let svg = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"40mm\" height=\"40mm\" \
         viewBox=\"0 0 40 40\"><path fill=\"none\" stroke=\"black\" d=\"M20 30 V26 H21.5 \
         A9 9 0 0 0 30.5 17 H32.5 V13\"/></svg>";
    std::fs::write(folder.path().join("face.svg"), svg).unwrap();
    let line = "kind = \"line\"\nlength = 60";
    let profile = "file = \"face.svg\"\nback = 10";
    let text = job([110.0, 70.0, 17.0], profile, line, "pose = \"top-down\"");
    let name = folder.path().join("job.toml");
    let shop = ovolo::shop::Shop::built_in().unwrap();
    let job = ovolo::job::Job::read(name.to_str().unwrap(), &text).unwrap();
    let dialect = ovolo::post::Dialect::find("millimetres").unwrap();
    let parts = ovolo::make::make(&job, &shop, &dialect).unwrap();
    assert!(!parts[0].refused());
    let board = Board::of(&parts[0]);
    board.row(&stepped_top_down(), board.low + point(30.0, 0.0), point(0.0, 1.0), "traced");
}
