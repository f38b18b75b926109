//! Faults put into good programs by editing their text: every kind must be caught by the right
//! interlock at the right line, and the good programs must not be refused.

use super::bench::{GOOD, tried_as};
use ovolo::dry_run::{Interlock, Verdict};

/// One kind of fault. `find` is replaced once by `put`; the finding must stand on the first line,
/// after the edit, that holds `at`, or on the last line if that is `$`.
struct Fault {
    program: &'static str,
    kind: &'static str,
    find: &'static str,
    put: &'static str,
    interlock: Interlock,
    at: &'static str,
}

/// `program | kind | find -> put | interlock @ at`, as data.
macro_rules! faults {
    ($($program:literal $kind:literal: $find:literal => $put:literal, $interlock:ident @ $at:literal;)*) => {
        &[$(Fault {
            program: $program,
            kind: $kind,
            find: $find,
            put: $put,
            interlock: Interlock::$interlock,
            at: $at,
        },)*]
    };
}

const FAULTS: &[Fault] = faults! {
    "groove" "spindle start lost": "N40 M3 S18000\n" => "", SpindleRunning @ "N90";
    "groove" "speed word lost": " S18000" => "", SpindleRunning @ "N90";
    "groove" "speed zero": "S18000" => "S0", SpindleRunning @ "N90";
    "groove" "dwell lost": "N50 G4 P4\nN60 G0 Z12.\nN70 G0 X50. Y20.\nN80 G1 Z0.5 F600." => "N60 G0 Z12.\nN70 G0 X50. Y20.\nN80 G1 Z0.5 F2900.", SpindleRunning @ "N90";
    "groove" "dwell in milliseconds taken for less": "G4 P4" => "G4 P.004", SpindleRunning @ "N90";
    "groove" "spindle backwards": "M3" => "M4", SpindleDirection @ "N40";
    "groove" "speed above the cutter's mark": "S18000" => "S26000", SpindleSpeed @ "N40";
    "groove" "speed with a digit lost": "S18000" => "S1800", SpindleSpeed @ "N40";
    "groove" "units lost": "G21 " => "", UnitsStated @ "N60";
    "groove" "distance mode lost": " G90" => "", DistanceModeStated @ "N60";
    "groove" "plane lost before an arc": "G17 " => "", PlaneStated @ "N110";
    "groove" "inch for millimetre": "G21" => "G20", Bottom @ "N90";
    "groove" "sign of Z lost": "Z-6.2" => "Z6.2", Reach @ "N200";
    "groove" "point of Z lost": "Z-3.1" => "Z-31", Bottom @ "N90";
    "groove" "first pass too deep": "Z-3.1" => "Z-3.9", Stepdown @ "N90";
    "groove" "pass left out": "N90 G1 X140. Z-3.1" => "N90 G1 X140. Z-6.2", Stepdown @ "N90";
    "groove" "last retract lost": "N280 G0 Z12.\n" => "", Ending @ "M30";
    "groove" "first retract lost": "N60 G0 Z12.\n" => "", SafeHeight @ "N70";
    "groove" "retract too low": "N280 G0 Z12." => "N280 G0 Z-1.", SpindleStop @ "N290";
    "groove" "feed word lost everywhere": "N80 G1 Z0.5 F600." => "N80 G1 Z0.5", FeedStated @ "N80";
    "groove" "feed of zero": "F2000" => "F0", FeedStated @ "N100";
    "groove" "feed with a digit more": "F2000" => "F20000", FeedWithinAxes @ "N100";
    "groove" "feed of another cutter": "F2000" => "F3000", FeedWithinSpecies @ "N100";
    "groove" "feed in inches by mistake": "F2000" => "F80", FeedWithinSpecies @ "N100";
    "groove" "ramp at full feed": "Z-3.1 F1000" => "Z-3.1 F2000", Ramp @ "N90";
    "groove" "cut turned into a traverse": "N120 G1" => "N120 G0", TraverseClear @ "N120";
    "groove" "rapid into the work": "N80 G1 Z0.5 F600." => "N80 G0 Z-3.1", TraverseClear @ "N80";
    "groove" "another cutter": "T1" => "T4", Ramp @ "N90";
    "groove" "unknown cutter": "T1" => "T11", CutterKnown @ "N30";
    "groove" "cutter never put in": "N30 T1 M6" => "N30 T1", CutterKnown @ "N90";
    "groove" "change without selection": "N30 T1 M6" => "N30 M6", CutterKnown @ "N30";
    "groove" "wrong coordinate system": "G54" => "G55", WorkOffset @ "N60";
    "groove" "zero moved by G92": "N70" => "N65 G92 Z10.\nN70", AxisOffset @ "N70";
    "groove" "length offset of another cutter": "N70 G0 X50." => "N70 G43 H2 G0 Z12. X50.", LengthOffset @ "N80";
    "groove" "a digit more in X": "X190. F2000" => "X1900. F2000", Travel @ "N100";
    "groove" "Y into the clamp": "N100 G1 X190. F2000." => "N100 G1 X279. F2000.\nN101 G1 Y45.", ClampsClear @ "N101";
    "groove" "end word lost": "N300 M30\n%" => "", Ending @ "$";
    "groove" "closing percent lost": "M30\n%" => "G4 P0", Ending @ "N300";
    "groove" "spindle left running": "N290 M5\nN300 M30\n" => "", Ending @ "$";
    "groove" "cut off in the middle of a line": "N200 G1 X190. F2000" => "N200 G1 X-\n%", TextUnderstood @ "N200";
    "groove" "comma for point": "X50. Y20." => "X50, Y20.", TextUnderstood @ "N70";
    "groove" "letter O for zero": "Z0.5" => "ZO.5", TextUnderstood @ "N80";
    "groove" "two motions on a line": "N120 G1" => "N120 G1 G2", TextUnderstood @ "N120";
    "groove" "word twice": "N120 G1 Y70." => "N120 G1 Y70. Y71.", TextUnderstood @ "N120";
    "groove" "comment not closed": "centre arcs)" => "centre arcs", TextUnderstood @ "(Reading";
    "groove" "unknown G word": "N20 G54" => "N20 G54 G77", TextUnderstood @ "G77";
    "groove" "centre offset lost": "N110 G3 X200. Y30. I0. J10." => "N110 G3 X200. Y30.", TextUnderstood @ "N110";
    "groove" "centre sign flipped": "J10." => "J-10.", TextUnderstood @ "N110";
    "groove" "radius where the centre is meant": "N110 G3 X200. Y30. I0. J10." => "N110 G3 X200. Y30. R5.", TextUnderstood @ "N110";
    "groove" "incremental by mistake": "N70" => "N65 G91\nN70", TextUnderstood @ "N110";
    "groove" "inverse time without F": "N100" => "N95 G93\nN100", FeedMode @ "N110";
    "groove" "spindle stopped before the cut on its line": "N120 G1 Y70." => "N120 G1 Y70. M5", SpindleStop @ "N120";
    "groove" "spindle stopped in the slot": "N130" => "N125 M5\nN130", SpindleStop @ "N125";
    "groove" "home through the wood": "N280 G0 Z12." => "N280 G28", MachineMoves @ "N280";
    "groove-inch" "millimetre for inch": "g20" => "g21", SafeHeight @ "g0 x.25";
    "groove-inch" "plunge by a cutter that does not cut at its centre": "g1 x4.25 z-.15 f55" => "g1 z-.15 f55", Plunge @ "g1 z-.15";
    "groove-inch" "ramp too steep": "g1 x4.25 z-.15 f55" => "g1 x1.25 z-.15 f55\nx4.25", Ramp @ "g1 x1.25";
    "groove-inch" "spindle never stopped, end lost": "m5\n\nm2\n" => "", Ending @ "$";
    "holes" "drilled into the table": "Z-15" => "Z-25", Bottom @ "G83";
    "holes" "R below the top, through wood": "R2 Q4" => "R-4 Q4", TraverseClear @ "G83";
    "holes" "drill used as a cutter": "G80\nG0 Z15\nX150" => "G80\nG1 Z-1\nG1 X110\nG0 Z15\nX150", Plunge @ "G1 X110";
    "holes" "drilled too fast": "F400" => "F900", Plunge @ "G83";
    "edge" "level left out before the finish": "G0 Z-3\nG1 X260 F2000\nG0 Z12\nG0 X-10\nG0 Z-6" => "G0 Z-6\nG1 X200 F2000\nG0 Z12\nG0 X-10\nG0 Z-6", Stepdown @ "G1 X200";
    "edge" "finish too wide": "G1 Y19.5\n(finish)" => "G1 Y14\n(finish)", Stepdown @ "G1 Y14";
    "edge" "levels too deep for the flutes": "G0 Z-9\nG1 X260" => "G0 Z-9\nG1 X260\nG0 Z12\nG0 X-10\nG0 Z-12.1\nG1 X250", FluteLength @ "G1 X250";
    "edge" "holder into the board": "G0 Z-9\nG1 X260" => "G0 Z-9\nG1 X260\nG0 Z12\nG0 X-10\nG0 Z-12\nG1 X250\nG0 Z12\nG0 X-10\nG0 Z-15.1\nG1 X240", HolderClear @ "G0 Z-15.1";
    "edge" "return without retract": "G1 X260 F2000\nG0 Z12\nG0 X-10" => "G1 X260 F2000\nG0 Y60", TraverseClear @ "G0 Y60";
    "edge" "finish into the part": "G1 Y19.5\n(finish)\nG1 X-10" => "G1 Y19.2\n(finish)\nG1 X-9", PartUntouched @ "G1 X-9";
    "edge" "tab cut through": "G0 Z-9\nG1 X260" => "G0 Z-9\nG1 X260\nG0 Z12\nG0 X-10\nG0 Z-11\nG1 X251", TabsLeft @ "G1 X251";
    "groove" "zero said at an unknown place": "N20 G54" => "N20 G54 G92 X0 Y0 Z0", AxisOffset @ "N20";
    "groove" "coordinate system lost": "N20 G54\n" => "", WorkOffset @ "N60";
    "groove" "spindle start left to the switch": "N40 M3" => "/N40 M3", SpindleRunning @ "N90";
    "groove" "units left to the switch": "N20 G54" => "/G20\nN20 G54", UnitsStated @ "/G20";
    "cut-out" "both tabs lost, and once more round": "G1 Z-18.5 F1500\nG1 Y50\nG1 Y80 Z-20\nG1 X100 F3000\n(second tab)\nG1 Z-18.5 F1500\nG1 X80\nG1 X40 Z-20\nG1 Y20 F3000\nG1 X140" => "G1 Y80\nG1 X40 F3000\nG1 Y20\nG1 X140.\nG1 Y60", NothingLoose @ "X140.";
    "pocket-and-letter" "change with the spindle turning": "N18 M5\n" => "", CutterChange @ "N19";
    "pocket-and-letter" "change below safe height": "N17 G0 Z12" => "N17 G0 Z3", CutterChange @ "N19";
    "pocket-and-letter" "no start after the change": "N21 M3 S18000\n" => "", SpindleRunning @ "N25";
    "pocket-and-letter" "letters cut too deep": "N25 G1 Z-2" => "N25 G1 Z-5", Stepdown @ "N26";
    "pocket-and-letter" "helix too deep a turn": "Z-0.6 I-3" => "Z-6 I-3", Stepdown @ "N8";
    "cove" "arc in the wrong plane": "G19\n" => "", Reach @ "M30";
    "cove" "arc too deep": "R7.25 F800" => "R5.1 F800", Stepdown @ "G3 Y30";
    "groove" "another coordinate system behind the right one": "N20 G54" => "N20 G54\nN25 G55", WorkOffset @ "N60";
    "groove" "end of an arc half a millimetre off": "N110 G3 X200." => "N110 G3 X200.5", TextUnderstood @ "N110";
    "groove" "standing plane left on": "N80" => "N75 G18\nN80", TextUnderstood @ "N110";
    "radius-arcs" "ends too far apart for the radius": "G3 X180 Y60 R10" => "G3 X180 Y60.5 R10", TextUnderstood @ "Y60.5";
    "incremental" "increments never left": "N75 G90 G0 Z12" => "N75 G0 Z12", Ending @ "N85";
    "incremental" "increments never entered": "N40 G91\n" => "", Stepdown @ "N45";
    "groove-inch" "point of an inch lost": "x9.5 f110" => "x95 f110", Travel @ "x95";
    "groove-inch" "point of the first height lost": "g0 z.5" => "g0 z5", Travel @ "g0 z5";
    "two-cutters" "speed left from the cutter before": "N150 S18000 M3" => "N150 M3", FeedWithinSpecies @ "N200";
    "two-cutters" "speed of the next cutter": "N40 S16000" => "N40 S18000", SpindleSpeed @ "N40";
    "two-cutters" "cutters swapped": "N30 T2 M6" => "N30 T1 M6", Stepdown @ "N90";
    "two-cutters" "second change forgotten": "N140 T1 M6" => "N140 T1", SpindleSpeed @ "N150";
    "two-cutters" "change close over the work": "N130 G0 Z20" => "N130 G0 Z2", CutterChange @ "N140";
    "two-cutters" "spindle stopped a line too early": "N130 G0 Z20\nN135 M5" => "N130 M5\nN135 G0 Z20", SpindleStop @ "N130";
    "two-cutters" "spindle stopped on the line of the retract": "N130 G0 Z20\nN135 M5" => "N130 G0 Z20 M5", SpindleStop @ "N130";
    "inverse-time" "inverse time left on": "G94\nG1 X40 F2000\nY30" => "G1 X40 F2000\nY30.", FeedMode @ "Y30.";
    "inverse-time" "minutes for their inverse": "G1 X240 F20" => "G1 X240 F0.05", FeedWithinSpecies @ "F0.05";
    "inverse-time" "inverse time never said": "G93\n" => "", FeedWithinSpecies @ "X240 F20";
    "homing" "to the machine's corner without retract": "G0 Z12\n/ M9\nM5\nG53 G0 Z0\n" => "", TraverseClear @ "G53 G0 X0 Y0";
    "homing" "depth behind the switch": "/ M8" => "/ G1 Z-9", Plunge @ "/ G1 Z-9";
    "offsets-cancelled" "offset set where it was to be cancelled": "G92.1" => "G92 Z3", AxisOffset @ "G92 Z3";
    "offsets-cancelled" "older offset brought back": "G92.1" => "G92.3", AxisOffset @ "G92.3";
    "offsets-cancelled" "zero written over": "G92.1" => "G10 L2 P1 X5 Y0 Z0", WorkOffset @ "G10";
    "peck" "height of return taken for an increment": "R-13" => "R2", Reach @ "G81 X20";
    "expressions" "sign of a setting lost": "#3=-6" => "#3=6", TextUnderstood @ "G81";
    "expressions" "setting never made": "#2=1.5\n" => "", SpindleRunning @ "G81";
    "slow-lifts" "lift lost between feeds": "G1 Z12 F3000\nG1 X120 Y70 F4000" => "G1 X120 Y70 F4000", FeedWithinSpecies @ "X120 Y70 F4000";
    "edge-in-place" "down beside the edge, on the wrong side": "G0 X30 Y-8" => "G0 X30 Y8", TraverseClear @ "G0 Z-3";
    "edge-in-place" "second level at the third's depth": "G0 Z-6\nG1 Y1\n" => "G0 Z-9\nG1 Y1.\n", Stepdown @ "Y1.";
    "words-in-any-order" "ramp turned into a traverse": "Z-3 F1000 X140 G1" => "Z-3 X140 G0", TraverseClear @ "Z-3 X140 G0";
    "standing-arcs" "centre of a standing arc below": "G2 X70 Z0 I5 K5.25" => "G2 X70 Z0 I5 K-5.25", Stepdown @ "G2 X70";
};

fn edited(fault: &Fault) -> String {
    let text = GOOD.iter().find(|(name, _)| *name == fault.program).unwrap().1;
    assert!(text.contains(fault.find), "{}: {:?} is not in the program", fault.kind, fault.find);
    text.replacen(fault.find, fault.put, 1)
}

/// The line, from 1, of the first that holds `at`; the last line for `$`.
fn line_of(text: &str, at: &str) -> usize {
    match at {
        "$" => text.lines().count(),
        at => 1 + text.lines().position(|line| line.contains(at)).unwrap(),
    }
}

fn caught(verdict: &Verdict, interlock: Interlock, line: usize) -> bool {
    verdict.findings.iter().any(|f| f.interlock == interlock && f.line == line)
}

#[test]
fn every_kind_of_fault_is_caught_at_its_line() {
    let mut missed = Vec::new();
    let mut table = String::new();
    for fault in FAULTS {
        let text = edited(fault);
        let line = line_of(&text, fault.at);
        let verdict = tried_as(fault.program, &text);
        let hit = caught(&verdict, fault.interlock, line);
        let mark = if hit { "caught" } else { "MISSED" };
        let name = fault.interlock.name();
        table.push_str(&format!(
            "{mark} {:<18} line {line:>3} {name:<22} {} ({})\n",
            fault.program,
            fault.kind,
            verdict.outcome.words()
        ));
        if !hit {
            let found: Vec<_> =
                verdict.findings.iter().map(|f| (f.interlock, f.line, &f.message)).collect();
            missed.push(format!("{}: wanted {name} at {line}, found {found:#?}", fault.kind));
        }
    }
    let alarms = GOOD.iter().filter(|(name, text)| tried_as(name, text).refused()).count();
    println!("{table}");
    println!("caught {} of {} kinds", FAULTS.len() - missed.len(), FAULTS.len());
    println!("false alarms {alarms} of {} programs", GOOD.len());
    assert!(missed.is_empty(), "{}", missed.join("\n"));
    assert_eq!(alarms, 0);
    assert!(FAULTS.len() >= 110, "no fewer kinds than before");
}

#[test]
fn kinds_of_fault_are_told_apart() {
    let mut kinds: Vec<_> = FAULTS.iter().map(|f| f.kind).collect();
    kinds.sort_unstable();
    let all = kinds.len();
    kinds.dedup();
    assert_eq!(kinds.len(), all);
}

#[test]
fn every_interlock_catches_some_fault() {
    // What the text alone can not break is tried in the tests of the surface.
    let by_setup = [Interlock::SurfaceKept, Interlock::TabsStrong, Interlock::SpindlePower];
    for page in Interlock::ALL.iter().filter(|page| !by_setup.contains(&page.interlock)) {
        let some = FAULTS.iter().any(|f| f.interlock == page.interlock);
        assert!(some, "no fault is caught by {}", page.name);
    }
}
