//! A small shop to try programs in: one machine, five cutters, one board of oak.

use ovolo::dry_run::{
    Finding, Interlock, Keepout, PartKeep, Setup, Severity, TabKeep, Verdict, check,
};
use ovolo::geometry::{Box3, Contour, Point, point, point3};
use ovolo::shop::{Band, Governed};
use ovolo::shop::{
    Cutter, CutterChange, CutterMaterial, CutterShape, CuttingData, Machine, Rigidity, Spindle,
};
use ovolo::units::{Angle, Feed, Length};

/// A light machine with a spindle that starts in three seconds.
pub(crate) fn machine() -> Machine {
    Machine {
        name: "router table".into(),
        travel: [Length(1200.0), Length(800.0), Length(150.0)],
        safe_height: Length(10.0),
        rapid: [Feed(5000.0), Feed(5000.0), Feed(3000.0)],
        max_feed: [Feed(4000.0), Feed(4000.0), Feed(3000.0)],
        acceleration: [Length(500.0), Length(500.0), Length(300.0)],
        corner_tolerance: Length(0.05),
        rigidity: Rigidity::Light,
        spindle: Spindle {
            min_rpm: 8000.0,
            max_rpm: 24_000.0,
            power: 1500.0,
            spin_up: 3.0,
            dial: Vec::new(),
        },
        cutter_change: CutterChange::Manual,
        into_spoilboard: Length(0.5),
    }
}

/// 1: quarter-inch flat. 2: half-inch flat that does not cut at its centre. 3: 4 mm drill.
/// 4: 60 degree V. 5: 6 mm ball.
pub(crate) fn cutters() -> Vec<Cutter> {
    let flat = Cutter {
        number: 1,
        name: String::new(),
        shape: CutterShape::Flat,
        diameter: Length(6.35),
        flutes: 2,
        flute_length: Length(12.0),
        stick_out: Length(15.0),
        holder_diameter: Length(40.0),
        corner_radius: Length(0.0),
        included_angle: Angle(0.0),
        tip_diameter: Length(0.0),
        centre_cutting: true,
        max_rpm: 24_000.0,
        material: CutterMaterial::Carbide,
    };
    let half = Cutter {
        number: 2,
        diameter: Length(12.7),
        flute_length: Length(32.0),
        stick_out: Length(45.0),
        centre_cutting: false,
        max_rpm: 18_000.0,
        ..flat.clone()
    };
    let drill = Cutter {
        number: 3,
        shape: CutterShape::Drill,
        diameter: Length(4.0),
        included_angle: Angle(118.0_f64.to_radians()),
        flute_length: Length(40.0),
        stick_out: Length(50.0),
        ..flat.clone()
    };
    let v = Cutter {
        number: 4,
        shape: CutterShape::V,
        diameter: Length(12.0),
        included_angle: Angle(60.0_f64.to_radians()),
        ..flat.clone()
    };
    let ball =
        Cutter { number: 5, shape: CutterShape::Ball, diameter: Length(6.0), ..flat.clone() };
    vec![flat, half, drill, v, ball]
}

fn governed(value: f64) -> Governed {
    Governed { value, by: "chart".into() }
}

/// Speed, feed, plunge, ramp feed and stepdown of one cutter in oak, invented for these tests.
fn data(cutter: u32, [rpm, feed, plunge, ramp, stepdown]: [f64; 5]) -> CuttingData {
    CuttingData {
        cutter,
        material: "white oak".into(),
        rpm: governed(rpm),
        dial: None,
        chip_load: governed(0.06),
        feed: governed(feed),
        plunge: governed(plunge),
        ramp_feed: governed(ramp),
        ramp_angle: governed(3.0_f64.to_radians()),
        stepdown: governed(stepdown),
        stepover: governed(2.5),
        surface_speed: 6.0,
        force: Band { low: 10.0, high: 40.0 },
        power: Band { low: 50.0, high: 200.0 },
        deflection: 0.02,
        notes: Vec::new(),
    }
}

/// Figures for all five.
pub(crate) fn limits() -> Vec<CuttingData> {
    vec![
        data(1, [18_000.0, 2000.0, 600.0, 1000.0, 3.2]),
        data(2, [16_000.0, 3000.0, 0.0, 1500.0, 6.0]),
        data(3, [9000.0, 400.0, 400.0, 400.0, 4.0]),
        data(4, [18_000.0, 1500.0, 500.0, 800.0, 4.0]),
        data(5, [18_000.0, 1500.0, 500.0, 800.0, 3.0]),
    ]
}

/// The shop with what stands in it.
pub(crate) struct Bench {
    pub(crate) machine: Machine,
    pub(crate) cutters: Vec<Cutter>,
}

impl Bench {
    pub(crate) fn new() -> Bench {
        Bench { machine: machine(), cutters: cutters() }
    }

    /// A board of 300 x 100 x 20, zero at its front left top, one clamp at its right end.
    pub(crate) fn setup(&self) -> Setup<'_> {
        Setup {
            stock: Some(Box3 { min: point3(0.0, 0.0, -20.0), max: point3(300.0, 100.0, 0.0) }),
            clamps: vec![Keepout {
                name: "the right clamp".into(),
                space: Box3 { min: point3(280.0, 40.0, -20.0), max: point3(320.0, 60.0, 15.0) },
            }],
            limits: limits(),
            // Its z counts down from zero at the top.
            machine_zero: Some(point3(200.0, 100.0, -90.0)),
            travel_least: point3(0.0, 0.0, -150.0),
            ..Setup::new(&self.machine, &self.cutters)
        }
    }
}

/// Refusals as (interlock, line).
pub(crate) fn refusals(verdict: &Verdict) -> Vec<(Interlock, usize)> {
    of(verdict, Severity::Refusal)
}

/// Cautions as (interlock, line).
pub(crate) fn cautions(verdict: &Verdict) -> Vec<(Interlock, usize)> {
    of(verdict, Severity::Caution)
}

fn of(verdict: &Verdict, severity: Severity) -> Vec<(Interlock, usize)> {
    let wanted = |f: &&Finding| f.severity == severity;
    verdict.findings.iter().filter(wanted).map(|f| (f.interlock, f.line)).collect()
}

/// Tries a program on the bench.
pub(crate) fn tried(text: &str) -> Verdict {
    check(text, &Bench::new().setup())
}

/// A program around `body`, which starts on line 7 at z 12 with cutter 1 turning.
pub(crate) fn around(body: &str) -> String {
    format!(
        "G21 G90 G17 G94\nG54\nT1 M6\nM3 S18000\nG4 P3\nG0 Z12\n{}\nG0 Z12\nM5\nM30\n",
        body.trim()
    )
}

/// The good programs, by name.
pub(crate) const GOOD: [(&str, &str); 28] = [
    ("groove", include_str!("good/groove.nc")),
    ("groove-inch", include_str!("good/groove-inch.nc")),
    ("holes", include_str!("good/holes.nc")),
    ("edge", include_str!("good/edge.nc")),
    ("pocket-and-letter", include_str!("good/pocket-and-letter.nc")),
    ("cove", include_str!("good/cove.nc")),
    ("cut-out", include_str!("good/cut-out.nc")),
    ("terse", include_str!("good/terse.nc")),
    ("incremental", include_str!("good/incremental.nc")),
    ("parameters", include_str!("good/parameters.nc")),
    ("cycles", include_str!("good/cycles.nc")),
    ("blanks-within-words", include_str!("good/blanks-within-words.nc")),
    ("edge-in-place", include_str!("good/edge-in-place.nc")),
    ("expressions", include_str!("good/expressions.nc")),
    ("helix", include_str!("good/helix.nc")),
    ("homing", include_str!("good/homing.nc")),
    ("inch-increments", include_str!("good/inch-increments.nc")),
    ("inverse-time", include_str!("good/inverse-time.nc")),
    ("long-words", include_str!("good/long-words.nc")),
    ("no-percent-lower", include_str!("good/no-percent-lower.nc")),
    ("peck", include_str!("good/peck.nc")),
    ("radius-arcs", include_str!("good/radius-arcs.nc")),
    ("remarks", include_str!("good/remarks.nc")),
    ("slow-lifts", include_str!("good/slow-lifts.nc")),
    ("standing-arcs", include_str!("good/standing-arcs.nc")),
    ("offsets-cancelled", include_str!("good/offsets-cancelled.nc")),
    ("two-cutters", include_str!("good/two-cutters.nc")),
    ("words-in-any-order", include_str!("good/words-in-any-order.nc")),
];

/// Tries one of the good programs, or an edited one, under the setup that it was written for.
pub(crate) fn tried_as(name: &str, text: &str) -> Verdict {
    let mut bench = Bench::new();
    if name == "edge" {
        bench.machine.cutter_change = CutterChange::OnePerProgram;
    }
    let mut setup = bench.setup();
    if name == "edge" {
        setup.default_cutter = Some(1);
        // The finish at y 19.5 leaves wood up to y 16.325.
        let outline = Contour::rectangle(point(5.0, 1.0), point(245.0, 16.3));
        setup.part = Some(PartKeep { outline, clearance: 0.05 });
        setup.tabs = vec![TabKeep {
            at: point(100.0, 20.0),
            out: Point::default(),
            top: -10.0,
            half_width: 4.0,
        }];
    }
    check(text, &setup)
}
