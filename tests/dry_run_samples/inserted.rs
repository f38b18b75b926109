//! Faults on one line in the middle of a cut: words spoilt there, and lines put in before it.

use super::careless::{ASTRAY, without};
use super::faults::{Edit, Fault, at, between, fault};
use super::program::Program;
use Interlock::*;
use ovolo::dry_run::Interlock;
use ovolo::geometry::{Arc, Stroke};
use std::f64::consts::TAU;

/// Spoils a word, given its letter and its number.
type Spoil = fn(char, &str) -> String;

/// A word of the first long cut spoilt: what its text becomes, from letter and number.
const SPOILT: [(&str, Spoil); 22] = [
    ("comma for point", |l, n| format!("{l}{}", with_point(n).replace('.', ","))),
    ("letter O for zero", |l, n| format!("{l}O{n}")),
    ("letter l for one", |l, n| format!("{l}l{n}")),
    ("two signs", |l, n| format!("{l}--{n}")),
    ("two points", |l, n| format!("{l}{}.5", with_point(n))),
    ("letter lost", |_, n| format!(" {n}")),
    ("number lost", |l, _| format!("{l}")),
    ("a typographer's minus", |l, n| format!("{l}\u{2212}{n}")),
    ("bracket not closed", |l, n| format!("{l}[{n}")),
    ("divided by zero", |l, n| format!("{l}[{n}/0]")),
    ("unknown function", |l, n| format!("{l}half[{n}]")),
    ("a stray mark", |l, n| format!("{l}{n}?")),
    ("printed in powers of ten", |l, n| format!("{l}{n}e2")),
    ("printed as no number", |l, _| format!("{l}NaN")),
    ("printed as endless", |l, _| format!("{l}inf")),
    ("printed as nothing", |l, _| format!("{l}None")),
    ("a parameter that nobody set", |l, _| format!("{l}#33")),
    ("a fraction as people write it", |l, n| format!("{l}{n} 5/8")),
    ("a unit behind the number", |l, n| format!("{l}{n}in")),
    ("an apostrophe for thousands", |l, n| format!("{l}1'{n}")),
    ("plus and minus", |l, n| format!("{l}+-{n}")),
    ("a colon behind the letter", |l, n| format!("{l}:{n}")),
];

/// Put behind the first long cut.
const BEHIND: [(&str, &str); 21] = [
    ("comment not closed", " (note"),
    ("comment closed twice", " (note))"),
    ("comment never opened", " note)"),
    ("two motions on a line", " G0 G1"),
    ("unknown G word", " G77"),
    ("unknown M word", " M77"),
    ("unknown letter", " E5"),
    ("a G word with a fraction", " G1.5"),
    ("two units on a line", " G20 G21"),
    ("two distance modes on a line", " G90 G91"),
    ("dwell less than nothing", " G4 P-1"),
    ("speed less than nothing", " S-100"),
    ("feed less than nothing", " F-100"),
    ("half a cutter", " T1.5"),
    ("a call of another program", " M98 P100"),
    ("a line of a program's end twice", " M30 M2"),
    ("a comment behind a semicolon", " ; note"),
    ("a second line number", " N99"),
    ("feed per turn", " G95"),
    ("constant rim speed", " G96"),
    ("an arc's word on a line", " I5"),
];

/// Lines put in before the first long cut, found there.
const BEFORE: [(&str, &str, &[Interlock]); 35] = [
    ("zero moved by G92", "G92 X0 Y0", &[AxisOffset]),
    ("height moved by G92", "G92 Z1", &[AxisOffset]),
    ("an old G92 brought back", "G92.3", &[AxisOffset]),
    ("zero written by G10", "G10 L2 P1 Z-9", &[WorkOffset]),
    ("spindle stopped in the cut", "M5", &[SpindleStop]),
    ("operator's stop in the cut", "M0", &[CutterChange, SpindleStop]),
    ("optional stop in the cut", "M1", &[CutterChange, SpindleStop]),
    ("spindle turned the other way", "M4", &[SpindleDirection]),
    ("speed above every mark", "S60000", &[SpindleSpeed]),
    ("speed below the spindle's", "S100", &[SpindleSpeed]),
    ("end in the middle", "M30", &[Ending, SpindleStop]),
    ("another end in the middle", "M2", &[Ending, SpindleStop]),
    ("change in the cut", "T1 M6", &[CutterChange]),
    ("unknown cutter in the cut", "T99 M6", &[CutterKnown]),
    ("home through the wood", "G28", &[MachineMoves]),
    ("second home through the wood", "G30", &[MachineMoves]),
    ("machine's zero through the wood", "G53 G0 X0 Y0", &[MachineMoves]),
    ("dwell in milliseconds", "G4 P3000", &[TextUnderstood]),
    ("radius compensation", "G41 D1", &[TextUnderstood]),
    ("a line left to the switch", "/M8", &[TextUnderstood]),
    ("units left to the switch in the cut", "/G20", &[UnitsStated]),
    ("an unknown sub-program", "O100 call", &[TextUnderstood]),
    ("a program's number", "O1000", &[TextUnderstood]),
    ("polar words", "G16", &[TextUnderstood]),
    ("everything twice as large", "G51 P2", &[TextUnderstood]),
    ("everything mirrored", "G51.1 X0", &[TextUnderstood]),
    ("everything turned", "G68 X0 Y0 R90", &[TextUnderstood]),
    ("a jump", "GOTO 10", &[TextUnderstood]),
    ("a return to a caller", "M99", &[TextUnderstood]),
    ("a dwell in X", "G4 X3", &[TextUnderstood]),
    ("a macro", "G65 P9000", &[TextUnderstood]),
    ("a change without a cutter", "M6", &[CutterChange, CutterKnown]),
    ("a percent sign in the middle", "%", &[Ending, TextUnderstood]),
    ("a probe", "G38.2 Z-10 F100", &[TextUnderstood]),
    ("a thread", "G33 Z-5 K1", &[TextUnderstood]),
];

/// Lines put in before the first long cut, found on that cut.
const FOUND_AFTER: [(&str, &str, &[Interlock]); 5] = [
    ("inverse time in the cut", "G93", &[FeedMode]),
    ("another coordinate system in the cut", "G55", &[WorkOffset]),
    ("another length offset in the cut", "G43 H9", &[LengthOffset]),
    ("feed of nothing", "F0", &[FeedStated]),
    ("path mode of another machine", "G61.7", &[TextUnderstood]),
];

fn with_point(number: &str) -> String {
    if number.contains('.') { number.to_string() } else { format!("{number}.") }
}

fn put_before(p: &Program, line: &str, any: &[Interlock]) -> Option<Edit> {
    let (i, _) = p.long()?;
    let mut lines = p.lines.clone();
    lines.insert(i, line.to_string());
    at(&lines, i, any)
}

/// The first long cut without its own feed, behind a line of a feed that is so many times its.
pub(crate) fn feed(p: &Program, times: f64, any: &[Interlock]) -> Option<Edit> {
    let (i, _) = p.long()?;
    let now = (0..=i).rev().find_map(|k| p.lettered(k, 'F'))?.value;
    let mut lines = p.lines.clone();
    lines[i] = without(&lines[i], &['F']);
    lines.insert(i, format!("F{:.4}", now * times));
    // A short cut may meet no wood, nor a way up for chips and down again.
    between(&lines, (i + 1, i + 3), any)
}

/// The rest of an arc's circle, from its start to its end.
fn turned(stroke: &Stroke) -> Option<Stroke> {
    let arc = stroke.arc.filter(|arc| arc.sweep.abs() < 3.0)?;
    let sweep = arc.sweep - TAU.copysign(arc.sweep);
    Some(Stroke { arc: Some(Arc { sweep, ..arc }), ..*stroke })
}

/// Whether a stroke cuts what must stand, or leads out of the board.
fn harms(p: &Program, stroke: &Stroke) -> bool {
    let (low, high) = (p.plan.stock.min, p.plan.stock.max);
    (1..20).map(|i| stroke.at(f64::from(i) / 20.0)).any(|at| {
        let out = (low.x - at.x).max(at.x - high.x).max(low.y - at.y).max(at.y - high.y);
        out > 50.0 || (at.z < high.z - 1.0 && p.stands_at(at.xy(), at.z))
    })
}

pub(crate) fn all() -> Vec<Fault> {
    let mut all = Vec::new();
    for (kind, spoil) in SPOILT {
        all.push(fault(kind, move |p| {
            let (i, _) = p.long()?;
            let word = p.lettered(i, 'X').or(p.lettered(i, 'Y')).or(p.lettered(i, 'Z'))?;
            let mut lines = p.lines.clone();
            let number = lines[i][word.span.start + 1..word.span.end].to_string();
            lines[i].replace_range(word.span, &spoil(word.letter, &number));
            at(&lines, i, &[TextUnderstood])
        }));
    }
    for (kind, behind) in BEHIND {
        all.push(fault(kind, move |p| {
            let (i, _) = p.long()?;
            let mut lines = p.lines.clone();
            if behind.starts_with(" F") {
                // In place of the line's own feed: two on a line are another fault.
                lines[i] = without(&lines[i], &['F']);
            }
            lines[i].push_str(behind);
            at(&lines, i, &[TextUnderstood])
        }));
    }
    for (kind, line, any) in BEFORE {
        all.push(fault(kind, move |p| put_before(p, line, any)));
    }
    for (kind, line, any) in FOUND_AFTER {
        all.push(fault(kind, move |p| {
            let (i, _) = p.long()?;
            let mut lines = p.lines.clone();
            lines.insert(i, line.to_string());
            if line.starts_with('F') {
                // Or the cut's own feed would mend it.
                lines[i + 1] = without(&lines[i + 1], &['F']);
            }
            between(&lines, (i, i + 2), any)
        }));
    }
    all.extend(vec![
        fault("incremental in the cut", |p| {
            // Distances of the size of places soon lead out of the board.
            let (i, _) = p.long()?;
            Some(Edit { lines: (i + 1, i + 21), ..put_before(p, "G91", &ASTRAY)? })
        }),
        fault("feed with a digit more", |p| {
            feed(p, 10.0, &[FeedWithinAxes, FeedWithinSpecies, Plunge])
        }),
        fault("feed half as much again as is allowed", |p| {
            let (i, _) = p.long()?;
            let now = (0..=i).rev().find_map(|k| p.lettered(k, 'F'))?.value;
            let times = 1.5 * p.limits(i)?.feed.value / p.mm(now);
            feed(p, times, &[FeedWithinAxes, FeedWithinSpecies, Plunge])
        }),
        fault("feed with a digit lost", |p| feed(p, 0.1, &[FeedWithinSpecies])),
        fault("detour into the part", |p| {
            let (to, (_, s)) = (p.inside()?, p.long()?);
            p.stands_at(to.xy(), s.from.z).then_some(())?;
            put_before(
                p,
                &format!("G1 X{} Y{}", p.unit(to.x), p.unit(to.y)),
                &[PartUntouched, SurfaceKept],
            )
        }),
        fault("detour into a clamp or screw", |p| {
            let space = p.plan.keepouts.first()?.1;
            let middle = (space.min + space.max) * 0.5;
            let line = format!("G1 X{} Y{}", p.unit(middle.x), p.unit(middle.y));
            put_before(p, &line, &[ClampsClear])
        }),
        fault("detour beyond the table", |p| {
            put_before(p, &format!("G1 X{}", p.unit(9000.0)), &[Travel])
        }),
        fault("a plunge into the table", |p| {
            let z = p.unit(p.plan.stock.min.z - 20.0);
            put_before(p, &format!("G1 Z{z}"), &[Bottom])
        }),
        fault("a drilled hole into the table", |p| {
            let (_, s) = p.long()?;
            let (x, y) = (p.unit(s.from.x), p.unit(s.from.y));
            let (z, r) = (p.unit(p.plan.stock.min.z - 20.0), p.unit(p.plan.stock.max.z + 2.0));
            put_before(p, &format!("G81 X{x} Y{y} Z{z} R{r}"), &[Bottom])
        }),
        fault("a traverse sideways", |p| {
            let (_, s) = p.long()?;
            let inside = p.inside()?;
            let y = p.unit((s.from.y + inside.y) / 2.0);
            put_before(p, &format!("G0 Y{y}"), &[TraverseClear])
        }),
        fault("a rapid plunge", |p| {
            let (_, s) = p.long()?;
            let z = p.unit((s.from.z + p.plan.stock.min.z) / 2.0);
            put_before(p, &format!("G0 Z{z}"), &[TraverseClear])
        }),
        fault("a cut lifted out of the wood", |p| {
            let (i, s) = p.long()?;
            let z = p.unit(p.plan.stock.max.z + 3.0);
            // The line may say its own height, and an arc is none behind a line.
            // Nor is a short one told from an approach.
            let long = s.arc.is_none() && s.length() > 20.0;
            (p.lettered(i, 'Z').is_none() && long).then_some(())?;
            let edit = put_before(p, &format!("G1 Z{z}"), &[Reach])?;
            Some(Edit { lines: (i + 2, i + 2), ..edit })
        }),
        fault("a cut much deeper", |p| {
            let (i, s) = p.long()?;
            p.lettered(i, 'Z').is_none().then_some(())?;
            let z = p.unit(s.from.z - 5.0);
            let edit = put_before(p, &format!("G1 Z{z}"), &[Plunge, Stepdown])?;
            Some(Edit { lines: (i + 1, i + 2), ..edit })
        }),
        fault("an arc without its centre", |p| {
            let (_, s) = p.long()?;
            let (x, y) = (p.unit(s.from.x + 4.0), p.unit(s.from.y + 4.0));
            put_before(p, &format!("G2 X{x} Y{y}"), &[TextUnderstood])
        }),
        fault("an arc whose ends lie on two radii", |p| {
            let (_, s) = p.long()?;
            let (x, y) = (p.unit(s.from.x + 9.0), p.unit(s.from.y));
            put_before(p, &format!("G2 X{x} Y{y} I{}", p.unit(1.0)), &[TextUnderstood])
        }),
        fault("an arc of too small a radius", |p| {
            let (_, s) = p.long()?;
            let (x, y) = (p.unit(s.from.x + 9.0), p.unit(s.from.y));
            put_before(p, &format!("G2 X{x} Y{y} R{}", p.unit(1.0)), &[TextUnderstood])
        }),
        fault("an arc the other way round", |p| {
            let (i, ..) = p.moves().find(|(i, s, feed)| {
                *feed && p.lettered(*i, 'I').is_some() && turned(s).is_some_and(|s| harms(p, &s))
            })?;
            let word = p.lettered(i, 'G').filter(|w| w.value == 2.0 || w.value == 3.0)?;
            let mut lines = p.lines.clone();
            lines[i].replace_range(word.span, if word.value == 2.0 { "G3" } else { "G2" });
            at(&lines, i, &[PartUntouched, SurfaceKept, Reach])
        }),
        fault("an arc in another plane", |p| {
            // A flat one stays within what roughing leaves.
            let bowed = |s: &Stroke| s.at(0.5).distance((s.from + s.to) * 0.5) > 2.0;
            let (i, ..) = p.moves().find(|(_, s, _)| s.arc.is_some() && bowed(s))?;
            let mut lines = p.lines.clone();
            lines.insert(i, "G18".to_string());
            between(&lines, (i + 1, i + 5), &[TextUnderstood, PartUntouched, Bottom, SurfaceKept])
        }),
    ]);
    all
}
