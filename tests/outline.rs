//! The outline cut as planned: never into the part, always reaching it, entered gently.

use ovolo::cuts::{OutlinePlan, OutlineSpec};
use ovolo::geometry::{Box3, CircularSegment, Contour, Vertex, point, point3};
use ovolo::job::{Bed, Entry, Finish, Hold, Milling, OutlineCut, Side, Tabs};
use ovolo::shop::*;
use ovolo::toolpath::{Move, Purpose};
use ovolo::units::{Feed, Length, Shown, Unit};
use proptest::prelude::*;

fn machine() -> Machine {
    Machine {
        name: "table".into(),
        travel: [Length(1250.0), Length(850.0), Length(120.0)],
        safe_height: Length(10.0),
        rapid: [Feed(8000.0), Feed(8000.0), Feed(3000.0)],
        max_feed: [Feed(5000.0), Feed(5000.0), Feed(1500.0)],
        acceleration: [Length(400.0), Length(400.0), Length(200.0)],
        corner_tolerance: Length(0.05),
        rigidity: Rigidity::Light,
        spindle: Spindle {
            min_rpm: 8000.0,
            max_rpm: 24000.0,
            power: 1500.0,
            spin_up: 3.0,
            dial: vec![],
        },
        cutter_change: CutterChange::Manual,
        into_spoilboard: Length(1.0),
    }
}

fn cutter(centre_cutting: bool, diameter: f64) -> Cutter {
    Cutter {
        number: 1,
        name: String::new(),
        shape: CutterShape::Flat,
        diameter: Length(diameter),
        flutes: 2,
        flute_length: Length(25.0),
        stick_out: Length(32.0),
        holder_diameter: Length(40.0),
        corner_radius: Length(0.0),
        included_angle: ovolo::units::Angle(0.0),
        tip_diameter: Length(0.0),
        centre_cutting,
        max_rpm: 24000.0,
        material: CutterMaterial::Carbide,
    }
}

fn data() -> CuttingData {
    let g = |value| Governed { value, by: "test".into() };
    let band = Band { low: 1.0, high: 2.0 };
    CuttingData {
        cutter: 1,
        material: "yellow-poplar".into(),
        rpm: g(18000.0),
        dial: None,
        chip_load: g(0.08),
        feed: g(2880.0),
        plunge: g(960.0),
        ramp_feed: g(1440.0),
        ramp_angle: g(3f64.to_radians()),
        stepdown: g(4.0),
        stepover: g(2.5),
        surface_speed: 6.0,
        force: band,
        power: band,
        deflection: 0.01,
        notes: vec![],
    }
}

fn cap(chord: f64, end: f64, rise: f64) -> Contour {
    let bulge = CircularSegment::from_chord_and_rise(chord, rise).expect("valid").bulge();
    let v = |x: f64, y: f64, bulge| Vertex { at: point(x + 20.0, y + 20.0), bulge };
    Contour {
        vertices: vec![
            v(0.0, 0.0, 0.0),
            v(chord, 0.0, 0.0),
            v(chord, end, bulge),
            v(0.0, end, 0.0),
        ],
        closed: true,
    }
}

struct Case {
    part: Contour,
    cut: OutlineCut,
    hold: Hold,
    cutter: Cutter,
    data: CuttingData,
    machine: Machine,
}

impl Case {
    fn new(part: Contour) -> Case {
        let tabs = Tabs { count: 5, width: Length(12.0), height: Length(3.0) };
        Case {
            part,
            cut: OutlineCut::default(),
            hold: Hold { tabs: Some(tabs), ..Hold::default() },
            cutter: cutter(true, 6.35),
            data: data(),
            machine: machine(),
        }
    }

    fn plan(&self) -> Result<OutlinePlan, Vec<ovolo::diagnostic::Diagnostic>> {
        OutlineSpec {
            part: &self.part,
            cut: &self.cut,
            hold: &self.hold,
            part_is_fixed: false,
            cutter: &self.cutter,
            cutters: &[],
            data: &self.data,
            machine: &self.machine,
            stock: Box3 { min: point3(0.0, 0.0, -19.0), max: point3(3000.0, 600.0, 0.0) },
            travel_height: 10.0,
            grain: point(1.0, 0.0),
            shown: Shown { unit: Unit::Mm, parts: 32 },
        }
        .plan()
    }

    fn planned(&self) -> OutlinePlan {
        self.plan().unwrap_or_else(|e| panic!("{e:#?}"))
    }
}

/// Distance of a point from the part's outline, negative within the part.
fn outside(part: &Contour, p: ovolo::geometry::Point) -> f64 {
    let (d, _) = part.nearest(p).expect("an outline");
    if part.contains(p) { -d } else { d }
}

/// Least distance of the cutter's rim from the part over all cutting strokes, and the greatest
/// over the finishing strokes.
fn rims(case: &Case, plan: &OutlinePlan) -> (f64, f64) {
    let radius = case.cutter.radius();
    let (mut least, mut most_finish) = (f64::INFINITY, f64::NEG_INFINITY);
    for (stroke, step) in plan.toolpath.strokes() {
        if step.action.feed().is_none() {
            continue;
        }
        for i in 0..=16 {
            let p = stroke.at(f64::from(i) / 16.0);
            let rim = outside(&case.part, p.xy()) - radius;
            least = least.min(rim);
            if step.purpose == Purpose::Finish {
                most_finish = most_finish.max(rim);
            }
        }
    }
    (least, most_finish)
}

#[test]
fn the_cap_is_cut_round_without_touching_it() {
    let case = Case::new(cap(1057.275, 120.0, 60.0));
    let plan = case.planned();
    let (least, finish) = rims(&case, &plan);
    assert!(least > -1e-6, "cut into the part by {}", -least);
    assert!(finish.abs() < 1e-6, "the finishing pass stays {finish} off the part");
    assert_eq!(plan.tabs.len(), 5);
    let arcs = plan.toolpath.steps.iter().filter(|s| matches!(s.action, Move::Arc { .. })).count();
    assert!(arcs >= 8, "{arcs} arcs");
}

#[test]
fn no_step_is_deeper_than_the_stepdown_and_the_last_reaches_the_overcut() {
    let case = Case::new(cap(600.0, 100.0, 50.0));
    let plan = case.planned();
    let mut levels: Vec<f64> = plan
        .toolpath
        .strokes()
        .filter(|(s, step)| step.purpose == Purpose::Rough && (s.from.z - s.to.z).abs() < 1e-9)
        .map(|(s, _)| s.to.z)
        .collect();
    levels.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
    assert!((levels[0] + 3.86).abs() < 1e-9, "{levels:?}");
    for pair in levels.windows(2) {
        assert!(pair[0] - pair[1] < 4.0 + 1e-9);
    }
    assert!((levels.last().expect("levels") + 19.3).abs() < 1e-9);
}

#[test]
fn the_arch_is_finished_downhill_on_both_halves() {
    for milling in [Milling::Climb, Milling::Conventional] {
        let mut case = Case::new(cap(1000.0, 120.0, 100.0));
        case.cut.milling = milling;
        let plan = case.planned();
        let mut halves = [0.0, 0.0];
        for (stroke, step) in plan.toolpath.strokes() {
            let on_arch = stroke
                .arc
                .is_some_and(|a| a.plane.split(stroke.from).0.distance(a.center) > 1000.0);
            if matches!(step.purpose, Purpose::Finish) && on_arch {
                // Only the overlap at the crown may climb, and it climbs less than a micrometre.
                assert!(stroke.to.y <= stroke.from.y + 1e-3, "uphill {stroke:?}");
                halves[usize::from(stroke.to.x > stroke.from.x)] += stroke.length();
            }
        }
        assert!(halves[0] > 400.0 && halves[1] > 400.0, "{halves:?}");
        assert!(plan.remarks.iter().any(|r| r.contains("downhill")), "{:?}", plan.remarks);
        let climbs = if milling == Milling::Climb {
            "right half is climb"
        } else {
            "left half is conventional"
        };
        assert!(plan.remarks[0].contains(climbs), "{}", plan.remarks[0]);
    }
}

#[test]
fn tabs_stand_on_wide_stretches_away_from_corners_and_leads() {
    let case = Case::new(cap(1057.275, 120.0, 60.0));
    let plan = case.planned();
    for tab in &plan.tabs {
        for v in &case.part.vertices {
            assert!(tab.at.distance(v.at) > 6.0 + 3.175, "tab at a corner: {tab:?}");
        }
        for (stroke, step) in plan.toolpath.strokes() {
            if step.purpose == Purpose::Lead {
                assert!(stroke.at(0.5).xy().distance(tab.at) > 6.0 + 3.175, "tab at a lead");
            }
            // Nothing cuts below a tab's top within its width.
            let near = stroke.at(0.5).xy().distance(tab.at) < 3.175 + 4.0;
            if step.action.feed().is_some() && near {
                assert!(stroke.to.z >= -16.0 - 1e-9, "{step:?} cuts the tab at {tab:?}");
            }
        }
    }
}

#[test]
fn a_cutter_that_is_not_centre_cutting_never_goes_steeply_into_wood() {
    let mut case = Case::new(cap(800.0, 120.0, 60.0));
    case.cutter.centre_cutting = false;
    case.data.plunge.value = 0.0;
    for entry in [Entry::Ramp, Entry::Helix] {
        case.cut.entry = entry;
        let plan = case.planned();
        for (stroke, step) in plan.toolpath.strokes() {
            let down = stroke.from.z - stroke.to.z;
            let straight = stroke.from.xy().distance(stroke.to.xy()) < 1e-9;
            if step.action.feed().is_some() && down > 1e-9 && !straight {
                let angle = (down / stroke.length()).asin();
                assert!(angle <= 3f64.to_radians() * 1.001, "{} deg", angle.to_degrees());
            }
            assert!(step.action.feed().is_none_or(|f| f > 0.0));
        }
    }
    case.cut.entry = Entry::Plunge;
    let refused = case.plan().expect_err("not centre-cutting");
    assert!(refused[0].to_string().contains("not centre-cutting"), "{}", refused[0]);
}

#[test]
fn what_can_not_be_is_refused_with_the_number_that_works() {
    let base = || Case::new(cap(600.0, 100.0, 50.0));
    let refused = |case: Case, key: &str, words: &str| {
        let found = case.plan().expect_err(words);
        let text = found.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n");
        assert!(found.iter().any(|d| d.key.as_deref() == Some(key)), "{key}: {text}");
        assert!(text.contains(words), "{words}: {text}");
    };
    let mut case = base();
    case.hold = Hold::default();
    refused(case, "hold", "nothing holds the part");
    let mut case = base();
    case.cut.overcut = Length(3.0);
    refused(case, "outline.overcut", "0 to 1 mm");
    let mut case = base();
    case.cutter.flute_length = Length(12.0);
    refused(case, "outline.cutter", "flutes of at least 19.3 mm");
    let mut case = base();
    case.cutter.stick_out = Length(20.0);
    refused(case, "outline.cutter", "stand out at least 21.3 mm");
    let mut case = base();
    case.cut.allowance = Length(0.0);
    refused(case, "outline.allowance", "0.1 mm");
    let mut case = base();
    case.cut.depth = Some(Length(30.0));
    refused(case, "outline.depth", "at most 19 mm");
    let mut case = base();
    case.hold.tabs = Some(Tabs { count: 60, width: Length(12.0), height: Length(3.0) });
    refused(case, "hold.tabs.count", "ask for");
    let mut case = base();
    case.cutter.shape = CutterShape::Ball;
    refused(case, "outline.cutter", "no straight side");
    // An opening with a hollow end of radius 3.9 does not admit a cutter of 6.35.
    let slot = Contour {
        vertices: vec![
            Vertex { at: point(100.0, 100.0), bulge: 0.0 },
            Vertex { at: point(200.0, 100.0), bulge: 1.0 },
            Vertex { at: point(200.0, 107.8), bulge: 0.0 },
            Vertex { at: point(100.0, 107.8), bulge: 1.0 },
        ],
        closed: true,
    };
    let mut case = Case::new(slot);
    case.cut.side = Side::Inside;
    case.hold = Hold { bed: Some(Bed::Tape), ..Hold::default() };
    refused(case, "outline.cutter", "at most 6.2 mm");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]
    #[test]
    fn no_cap_is_ever_gouged(
        chord in 120.0..2400.0f64,
        end in 25.0..200.0f64,
        share in 0.01..0.45f64,
        diameter in 3.0..12.7f64,
        side in 0..3usize,
        climb in any::<bool>(),
        downhill in any::<bool>(),
        entry in 0..3usize,
        skin in any::<bool>(),
    ) {
        let mut case = Case::new(cap(chord, end, (chord * share).min(350.0)));
        case.cutter = cutter(true, diameter);
        case.cut.side = [Side::Outside, Side::Inside, Side::On][side];
        case.cut.milling = if climb { Milling::Climb } else { Milling::Conventional };
        case.cut.finish = if downhill { Finish::Downhill } else { Finish::Around };
        case.cut.entry = [Entry::Ramp, Entry::Helix, Entry::Plunge][entry];
        case.hold = if skin {
            Hold { skin: Some(Length(0.5)), ..Hold::default() }
        } else {
            Hold { tabs: Some(Tabs { count: 3, width: Length(8.0), height: Length(2.0) }), ..Hold::default() }
        };
        // Small parts may have no room for tabs; that is refused, not cut.
        if let Ok(plan) = case.plan() {
            let radius = case.cutter.radius();
            for (stroke, step) in plan.toolpath.strokes() {
                if step.action.feed().is_none() { continue; }
                for i in 0..=8 {
                    let p = stroke.at(f64::from(i) / 8.0).xy();
                    let d = outside(&case.part, p);
                    let rim = match case.cut.side { Side::Outside => d - radius, Side::Inside => -d - radius, Side::On => -d.abs() };
                    prop_assert!(rim > -2e-3, "{rim} at {p:?} {:?}", step.purpose);
                }
            }
            // Every point of the outline is reached by the finishing pass, corners of an
            // opening and tabs apart.
            if case.cut.side == Side::Outside && skin {
                for piece in case.part.pieces() {
                    for i in 0..=20 {
                        let p = piece.at(f64::from(i) / 20.0);
                        let reached = plan.toolpath.strokes()
                            .filter(|(_, s)| s.purpose == Purpose::Finish)
                            .map(|(s, _)| distance(&s, p))
                            .fold(f64::INFINITY, f64::min);
                        prop_assert!((reached - radius).abs() < 2e-3, "{p:?}: {reached}");
                    }
                }
            }
        } else {
            prop_assert!(!skin || case.cut.side == Side::Inside, "{:?}", case.plan());
        }
    }
}

fn distance(stroke: &ovolo::geometry::Stroke, p: ovolo::geometry::Point) -> f64 {
    let bulge = stroke.arc.map_or(0.0, |a| (a.sweep / 4.0).tan());
    let piece = ovolo::geometry::Piece { from: stroke.from.xy(), to: stroke.to.xy(), bulge };
    piece.at(piece.nearest_share(p)).distance(p)
}
