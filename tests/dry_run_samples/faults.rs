//! Kinds of fault, each made by editing the text of a good program.

use super::program::{Change, Program};
use super::{arcs, careless, inserted};
use Interlock::*;
use ovolo::dry_run::{Interlock, Keepout};

/// A fault made.
pub(crate) struct Edit {
    pub(crate) text: String,
    /// A fault of the workshop rather than the text.
    pub(crate) bench: Option<Change>,
    /// Any of these must find it.
    pub(crate) interlocks: Vec<Interlock>,
    /// First and last line of the edited text where the finding may stand.
    pub(crate) lines: (usize, usize),
}

/// Makes a fault, if it fits the program.
type Make = Box<dyn Fn(&Program) -> Option<Edit>>;

/// A kind of fault; it may not fit a program.
pub(crate) struct Fault {
    pub(crate) kind: &'static str,
    pub(crate) make: Make,
}

pub(crate) fn fault(
    kind: &'static str,
    make: impl Fn(&Program) -> Option<Edit> + 'static,
) -> Fault {
    Fault { kind, make: Box::new(make) }
}

/// The finding stands on the line of this index.
pub(crate) fn at(lines: &[String], index: usize, interlocks: &[Interlock]) -> Option<Edit> {
    between(lines, (index, index), interlocks)
}

/// The finding stands between the lines of these indices.
pub(crate) fn between(
    lines: &[String],
    (first, last): (usize, usize),
    interlocks: &[Interlock],
) -> Option<Edit> {
    Some(Edit {
        text: lines.join("\n") + "\n",
        bench: None,
        interlocks: interlocks.to_vec(),
        lines: (first + 1, last + 1),
    })
}

/// The lines with one word of a line replaced by a text.
pub(crate) fn replaced(p: &Program, i: usize, letter: char, put: &str) -> Option<Vec<String>> {
    let word = p.lettered(i, letter)?;
    let mut lines = p.lines.clone();
    lines[i].replace_range(word.span, put);
    Some(lines)
}

/// The lines with a G, M or other word of a value replaced.
fn swapped(p: &Program, i: usize, word: (char, f64), put: &str) -> Option<Vec<String>> {
    let found = p.word(i, word.0, word.1)?;
    let mut lines = p.lines.clone();
    lines[i].replace_range(found.span, put);
    Some(lines)
}

fn without(p: &Program, i: usize) -> Vec<String> {
    let mut lines = p.lines.clone();
    lines.remove(i);
    lines
}

pub(crate) fn all() -> Vec<Fault> {
    let mut all = inserted::all();
    all.extend(lost());
    all.extend(changed());
    all.extend(depths());
    all.extend(traverses());
    all.extend(ends());
    all.extend(careless::all());
    all.extend(arcs::all());
    all
}

/// Words that are lost, or left to the operator's switch.
fn lost() -> Vec<Fault> {
    let units = |p: &Program| {
        p.line_with('G', 21.0).map(|i| (i, 21.0)).or(p.line_with('G', 20.0).map(|i| (i, 20.0)))
    };
    vec![
        fault("units lost", move |p| {
            let (i, value) = units(p)?;
            at(&swapped(p, i, ('G', value), "")?, p.first_move()?, &[UnitsStated])
        }),
        fault("units left to the switch", move |p| {
            let (i, _) = units(p)?;
            let mut lines = p.lines.clone();
            lines[i].insert(0, '/');
            at(&lines, i, &[UnitsStated])
        }),
        fault("distance mode lost", |p| {
            let i = p.line_with('G', 90.0)?;
            at(&swapped(p, i, ('G', 90.0), "")?, p.first_move()?, &[DistanceModeStated])
        }),
        fault("plane lost", |p| {
            let i = p.line_with('G', 17.0)?;
            at(&swapped(p, i, ('G', 17.0), "")?, p.first_move()?, &[PlaneStated])
        }),
        fault("coordinate system lost", |p| {
            let i = p.line_with('G', 54.0)?;
            let first = p.moves().map(|(i, ..)| i).find(|i| p.word(*i, 'G', 53.0).is_none())?;
            at(&swapped(p, i, ('G', 54.0), "")?, first, &[WorkOffset])
        }),
        fault("coordinate system left to the switch", |p| {
            let i = p.line_with('G', 54.0)?;
            let mut lines = p.lines.clone();
            lines[i].insert(0, '/');
            at(&lines, i, &[WorkOffset])
        }),
        fault("spindle start lost", |p| {
            let i = p.line_with('M', 3.0)?;
            at(&without(p, i), p.first_cut()? - 1, &[SpindleRunning])
        }),
        fault("spindle start left to the switch", |p| {
            let i = p.line_with('M', 3.0)?;
            let mut lines = p.lines.clone();
            lines[i].insert(0, '/');
            at(&lines, p.first_cut()?, &[SpindleRunning])
        }),
        fault("speed word lost", |p| {
            let i = p.line_with('M', 3.0)?;
            let lines = replaced(p, i, 'S', "")?;
            between(&lines, (i, p.first_cut()?), &[SpindleRunning, SpindleSpeed, TextUnderstood])
        }),
        fault("feed word lost", |p| {
            let i = (0..p.lines.len()).find(|i| p.lettered(*i, 'F').is_some())?;
            let first = p.moves().find(|(_, _, feed)| *feed)?.0;
            at(&replaced(p, i, 'F', "")?, first, &[FeedStated])
        }),
        fault("change word lost and another cutter meant", |p| {
            let i = p.line_with('M', 6.0)?;
            let mut lines = swapped(p, i, ('M', 6.0), "")?;
            lines.insert(i + 1, "M6 T7".to_string());
            between(
                &lines,
                (i, p.lines.len()),
                &[
                    CutterKnown,
                    PartUntouched,
                    SurfaceKept,
                    FeedWithinSpecies,
                    Stepdown,
                    SpindleSpeed,
                    LengthOffset,
                    FluteLength,
                ],
            )
        }),
        fault("length offset lost", |p| {
            let i = (0..p.lines.len()).find(|i| p.word(*i, 'G', 43.0).is_some())?;
            let first = p.moves().find(|(_, _, feed)| *feed)?.0;
            at(&without(p, i), first - 1, &[LengthOffset])
        }),
    ]
}

/// Words that say something else.
fn changed() -> Vec<Fault> {
    vec![
        fault("inch for millimetre, or the other way", |p| {
            let (i, put) = match p.line_with('G', 21.0) {
                Some(i) => (i, ('G', 21.0, "G20")),
                None => (p.line_with('G', 20.0)?, ('G', 20.0, "G21")),
            };
            let lines = swapped(p, i, (put.0, put.1), put.2)?;
            let any = [Travel, SafeHeight, Bottom, FeedWithinAxes, FeedWithinSpecies];
            between(&lines, (p.first_move()?, p.long()?.0), &any)
        }),
        fault("incremental for absolute", |p| {
            let i = p.line_with('G', 90.0)?;
            let lines = swapped(p, i, ('G', 90.0), "G91")?;
            let any = [SafeHeight, Travel, Reach, TextUnderstood, TraverseClear];
            between(&lines, (p.first_move()?, p.lines.len()), &any)
        }),
        fault("another coordinate system", |p| {
            let i = p.line_with('G', 54.0)?;
            let first = p.moves().map(|(i, ..)| i).find(|i| p.word(*i, 'G', 53.0).is_none())?;
            at(&swapped(p, i, ('G', 54.0), "G55")?, first, &[WorkOffset])
        }),
        fault("speed zero", |p| {
            let i = p.line_with('M', 3.0)?;
            at(&replaced(p, i, 'S', "S0")?, p.first_cut()?, &[SpindleRunning])
        }),
        fault("speed with a digit more", |p| {
            let i = p.line_with('M', 3.0)?;
            let rpm = p.lettered(i, 'S')?.value * 10.0;
            at(&replaced(p, i, 'S', &format!("S{rpm:.0}"))?, i, &[SpindleSpeed])
        }),
        fault("speed with a digit lost", |p| {
            let i = p.line_with('M', 3.0)?;
            let rpm = p.lettered(i, 'S')?.value / 10.0;
            at(&replaced(p, i, 'S', &format!("S{rpm:.0}"))?, i, &[SpindleSpeed])
        }),
        fault("spindle the wrong way", |p| {
            let i = p.line_with('M', 3.0)?;
            at(&swapped(p, i, ('M', 3.0), "M4")?, i, &[SpindleDirection])
        }),
        fault("unknown cutter", |p| {
            let i = p.line_with('M', 6.0)?;
            at(&replaced(p, i, 'T', "T99")?, i, &[CutterKnown])
        }),
        fault("a cutter twice as wide", |p| {
            let narrow = |i: &usize| p.lettered(*i, 'T').is_some_and(|t| t.value == 1.0);
            let i = p.line_with('M', 6.0).filter(narrow)?;
            let lines = replaced(p, i, 'T', "T2")?;
            let any = [PartUntouched, SpindleSpeed, Plunge, Ramp, FeedWithinSpecies];
            between(&lines, (i, p.lines.len()), &any)
        }),
        fault("no cutter at all", |p| {
            let i = p.line_with('M', 6.0).filter(|i| p.lettered(*i, 'T').is_some())?;
            between(&replaced(p, i, 'T', "T0")?, (i, p.first_cut()?), &[CutterKnown])
        }),
        fault("length offset of another cutter", |p| {
            let i = (0..p.lines.len()).find(|i| p.word(*i, 'G', 43.0).is_some())?;
            let first = p.moves().find(|(_, _, feed)| *feed)?.0;
            at(&replaced(p, i, 'H', "H7")?, first, &[LengthOffset])
        }),
        fault("clamp moved onto the path", |p| {
            let (i, stroke) = p.long()?;
            let clamp = p.clamp_at(stroke.at(0.5).xy());
            let first = p.moves().find(|(_, s, _)| {
                let b = s.bounds();
                b.min.z < clamp.max.z
                    && b.min.x < clamp.max.x
                    && b.max.x > clamp.min.x
                    && b.min.y < clamp.max.y
                    && b.max.y > clamp.min.y
            });
            let edit = between(&p.lines, (first?.0, i), &[ClampsClear])?;
            let bench: Change = Box::new(move |bench| {
                bench.clamps.push(Keepout { name: "a moved clamp".into(), space: clamp });
            });
            Some(Edit { text: p.text.clone(), bench: Some(bench), ..edit })
        }),
    ]
}

/// Heights.
fn depths() -> Vec<Fault> {
    let first = |p: &Program| {
        let i = p.first_cut()?;
        p.lettered(i, 'Z').map(|w| (i, w.value)).filter(|(_, z)| *z < 0.0)
    };
    // A first pass so many times as deep, where that is more than the cutter may take at once.
    let deeper = move |p: &Program, times: f64| {
        let (i, z) = first(p)?;
        let (top, mm) = (p.plan.stock.max.z, p.mm(z));
        let (_, stroke, _) = p.moves().find(|(k, ..)| *k == i)?;
        let mills = stroke.arc.is_some() || stroke.from.xy() != stroke.to.xy();
        let too_deep = top - mm * times > p.stepdown(i)? * 1.05;
        (mills && too_deep && top.abs() < 1e-6).then_some(())?;
        // Where every line states its height, the whole pass.
        let pass = p.moves().map(|(k, ..)| k).skip_while(|k| *k < i);
        let lines = pass
            .take_while(|k| p.lettered(*k, 'Z').is_none_or(|word| word.value == z))
            .filter_map(|k| Some((k, p.lettered(k, 'Z')?)))
            .fold(p.lines.clone(), |mut lines, (k, word)| {
                lines[k].replace_range(word.span, &format!("Z{:.4}", z * times));
                lines
            });
        between(&lines, (i, i + 5), &[Stepdown, Ramp, Plunge, FeedWithinAxes])
    };
    vec![
        fault("sign of the first depth lost", move |p| {
            let (i, z) = first(p)?;
            let lines = replaced(p, i, 'Z', &format!("Z{:.4}", -z))?;
            at(&lines, i, &[Reach])
        }),
        fault("point of the first depth lost", move |p| {
            let (i, z) = first(p)?;
            let lowest = p.plan.stock.min.z - p.bench().machine.into_spoilboard.0;
            (p.mm(z * 10.0) < lowest).then_some(())?;
            at(&replaced(p, i, 'Z', &format!("Z{:.4}", z * 10.0))?, i, &[Bottom])
        }),
        fault("first pass twice as deep", move |p| deeper(p, 2.0)),
        fault("first pass one and a half as deep", move |p| deeper(p, 1.5)),
        fault("last pass into the table", |p| {
            let deepest = p.deepest();
            let lowest = p.plan.stock.min.z - p.bench().machine.into_spoilboard.0;
            (deepest - 3.0 < lowest - 0.05).then_some(())?;
            let (i, _, _) = p.moves().find(|(i, s, feed)| {
                *feed && (s.to.z - deepest).abs() < 1e-6 && p.lettered(*i, 'Z').is_some()
            })?;
            let z = p.unit(deepest - 3.0);
            at(&replaced(p, i, 'Z', &format!("Z{z}"))?, i, &[Bottom])
        }),
        fault("last pass too deep in the wood", |p| {
            let deepest = p.deepest();
            let (i, s, _) = p.moves().find(|(i, s, feed)| {
                *feed && (s.to.z - deepest).abs() < 1e-6 && p.lettered(*i, 'Z').is_some()
            })?;
            // Where the part ends, or is all gone, wood does not tell.
            p.stands_at(s.to.xy(), deepest - 3.0).then_some(())?;
            let z = p.unit(deepest - 3.0);
            let any = [SurfaceKept, PartUntouched, Stepdown, FeedWithinAxes, Plunge, Ramp];
            between(&replaced(p, i, 'Z', &format!("Z{z}"))?, (i, i + 2), &any)
        }),
        fault("tab cut through", |p| {
            let (i, _) = p.over_tab()?;
            let z = p.unit(p.deepest());
            between(&replaced(p, i, 'Z', &format!("Z{z}"))?, (i, i + 2), &[TabsLeft])
        }),
        fault("tab too low", |p| {
            let (i, _) = p.over_tab()?;
            let z = p.unit(p.tab_top()? - 1.0);
            between(&replaced(p, i, 'Z', &format!("Z{z}"))?, (i, i + 2), &[TabsLeft])
        }),
        fault("every tab removed", |p| {
            let top = p.tab_top()?;
            let deepest = p.deepest();
            let mut lines = p.lines.clone();
            let mut first = None;
            for (i, s, feed) in p.moves() {
                let lifted = feed && (s.to.z - top).abs() < 0.01 && deepest < top - 0.1;
                if let Some(word) = p.lettered(i, 'Z').filter(|_| lifted) {
                    lines[i].replace_range(word.span, &format!("Z{}", p.unit(deepest)));
                    first.get_or_insert(i);
                }
            }
            between(&lines, (first?, p.lines.len()), &[NothingLoose])
        }),
        fault("last retract into the wood", |p| {
            let i = *p.retracts().last()?;
            let z = p.unit(p.plan.stock.max.z - 2.0);
            let lines = replaced(p, i, 'Z', &format!("Z{z}"))?;
            between(&lines, (i, p.lines.len()), &[SpindleStop, Ending, TraverseClear])
        }),
    ]
}

/// Retracts and traverses.
fn traverses() -> Vec<Fault> {
    vec![
        fault("first retract lost", |p| {
            // G53 G0 Z0 would have raised it already.
            p.line_with('G', 53.0).is_none().then_some(())?;
            let i = p
                .moves()
                .find(|(i, s, _)| s.from.xy() == s.to.xy() && p.word(*i, 'G', 53.0).is_none())?
                .0;
            // With its G0 gone, the next line may have no motion to make.
            between(&without(p, i), (i, i + 1), &[SafeHeight, TextUnderstood])
        }),
        fault("first retract to below the top", |p| {
            let i = p
                .moves()
                .find(|(i, s, _)| s.from.xy() == s.to.xy() && p.word(*i, 'G', 53.0).is_none())?
                .0;
            let z = p.unit(p.plan.stock.max.z - 1.0);
            let lines = replaced(p, i, 'Z', &format!("Z{z}"))?;
            between(&lines, (i, i + 1), &[SafeHeight, TraverseClear])
        }),
        fault("first retract just above the top", |p| {
            let i = p
                .moves()
                .find(|(i, s, _)| s.from.xy() == s.to.xy() && p.word(*i, 'G', 53.0).is_none())?
                .0;
            let z = p.unit(p.plan.stock.max.z + 1.0);
            let lines = replaced(p, i, 'Z', &format!("Z{z}"))?;
            between(&lines, (i, i + 1), &[SafeHeight])
        }),
        fault("retract between cuts lost", |p| {
            let retracts = p.retracts();
            let i = *retracts.get(1).filter(|_| retracts.len() > 2)?;
            // Only where the next line traverses in plan.
            let mut lines = without(p, i);
            if p.lettered(i + 1, 'G').is_none() {
                lines[i].insert_str(0, "G0 ");
            }
            between(&lines, (i, i + 1), &[TraverseClear, TabsLeft])
        }),
        fault("retract between cuts too low", |p| {
            let retracts = p.retracts();
            let i = *retracts.get(1).filter(|_| retracts.len() > 2)?;
            let z = p.unit(p.plan.stock.max.z + 1.0);
            between(&replaced(p, i, 'Z', &format!("Z{z}"))?, (i, i + 1), &[SafeHeight])
        }),
        fault("cut turned into a traverse", |p| {
            let (i, _) = p.long()?;
            let mut lines = p.lines.clone();
            match p.lettered(i, 'G') {
                Some(word) => lines[i].replace_range(word.span, "G0"),
                None => lines[i].insert_str(0, "G0 "),
            }
            // In a hole it is the way down again that meets wood.
            between(&lines, (i, i + 2), &[TraverseClear, TextUnderstood])
        }),
        fault("ramp turned into a traverse", |p| {
            let i = p.first_cut()?;
            let mut lines = p.lines.clone();
            match p.lettered(i, 'G') {
                Some(word) => lines[i].replace_range(word.span, "G0"),
                None => lines[i].insert_str(0, "G0 "),
            }
            at(&lines, i, &[TraverseClear, TextUnderstood])
        }),
        fault("a digit more in X", |p| {
            let (i, _) = p.long()?;
            let x = p.lettered(i, 'X')?.value;
            let lines = replaced(p, i, 'X', &format!("X{:.4}", x * 100.0))?;
            at(&lines, i, &[Travel, TextUnderstood])
        }),
    ]
}

/// How it ends.
fn ends() -> Vec<Fault> {
    let end = |p: &Program| p.last_with('M', 30.0).or(p.last_with('M', 2.0));
    vec![
        fault("end word lost", move |p| {
            let i = end(p)?;
            between(&without(p, i), (i - 1, p.lines.len()), &[Ending])
        }),
        fault("spindle stop and end lost", move |p| {
            let i = end(p)?;
            let mut lines = without(p, i);
            lines.remove(p.last_with('M', 5.0)?);
            between(&lines, (i - 2, p.lines.len()), &[Ending])
        }),
        fault("spindle stopped by the end only", move |p| {
            let i = end(p)?;
            at(&without(p, p.last_with('M', 5.0)?), i - 1, &[Ending])
        }),
        fault("cut off after a line", |p| {
            let i = p.long()?.0;
            between(&p.lines[..=i], (i, i + 1), &[Ending, SpindleStop])
        }),
        fault("cut off in the middle of a line", |p| {
            let i = p.long()?.0;
            let mut lines = p.lines[..=i].to_vec();
            let half = lines[i].rfind(|c: char| c.is_ascii_alphabetic())? + 1;
            lines[i].truncate(half);
            between(&lines, (i, i + 1), &[TextUnderstood])
        }),
        fault("cut off before the first cut", |p| {
            let i = p.first_cut()?;
            between(&p.lines[..i], (i - 1, i), &[Ending, Reach])
        }),
    ]
}
