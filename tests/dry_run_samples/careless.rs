//! Faults of a careless operator or of whoever wrote a post-processor: words in another's manner,
//! whole texts moved, swapped or rounded, and a bench that is not as the setup says.

use super::faults::{Edit, Fault, at, between, fault, replaced};
use super::inserted::feed;
use super::program::{Bench, Program, words};
use Interlock::*;
use ovolo::dry_run::Interlock;
use ovolo::geometry::{Point, Stroke, point};

/// Anything that notices a path in the wrong place.
pub(crate) const ASTRAY: [Interlock; 11] = [
    Travel,
    Reach,
    PartUntouched,
    SurfaceKept,
    ClampsClear,
    TabsLeft,
    Stepdown,
    Bottom,
    TextUnderstood,
    SafeHeight,
    TraverseClear,
];

pub(crate) fn all() -> Vec<Fault> {
    let mut all = on_the_line();
    all.extend(feeds_and_spindle());
    all.extend(order_of_lines());
    all.extend(whole_texts());
    all.extend(heights());
    all.extend(benches());
    all
}

fn on_the_line() -> Vec<Fault> {
    let mut all = Vec::new();
    all.push(fault("a remark longer than a line may be", |p| {
        let (i, _) = p.long()?;
        let mut lines = p.lines.clone();
        lines[i].push_str(&format!(" ({})", "x".repeat(300)));
        at(&lines, i, &[TextUnderstood])
    }));
    all.push(fault("the other units in the cut", |p| {
        let (i, _) = p.long()?;
        let mut lines = p.lines.clone();
        let other = if p.line_with('G', 20.0).is_some() { "G21" } else { "G20" };
        lines.insert(i, other.to_string());
        between(&lines, (i, lines.len() - 1), &ASTRAY)
    }));
    all
}

/// What notices a feed that rubs.
const SLOW: &[Interlock] = &[FeedWithinSpecies];

fn feeds_and_spindle() -> Vec<Fault> {
    vec![
        fault("feed in inches a minute taken for millimetres", |p| feed(p, 1.0 / 25.4, SLOW)),
        fault("feed a second taken for a minute", |p| feed(p, 1.0 / 60.0, SLOW)),
        fault("feed in metres a minute", |p| feed(p, 1.0 / 1000.0, SLOW)),
        fault("speed and feed changed about", |p| {
            let i = p.line_with('M', 3.0)?;
            let k = (0..p.lines.len()).find(|k| p.lettered(*k, 'F').is_some())?;
            let (s, f) = (p.lettered(i, 'S')?, p.lettered(k, 'F')?);
            let mut lines = p.lines.clone();
            lines[k].replace_range(f.span, &format!("F{}", s.value));
            lines[i].replace_range(s.span, &format!("S{}", f.value));
            let any = [SpindleSpeed, FeedWithinAxes, FeedWithinSpecies, Ramp, Plunge];
            between(&lines, (i.min(k), p.first_cut()?), &any)
        }),
        fault("spindle started a line too late", |p| {
            let (i, cut) = (p.line_with('M', 3.0)?, p.first_cut()?);
            let mut lines = p.lines.clone();
            let start = lines.remove(i);
            lines.insert(cut, start);
            at(&lines, cut - 1, &[SpindleRunning])
        }),
        fault("spindle stopped before the last retract", |p| {
            let (i, m5) = (*p.retracts().last()?, p.last_with('M', 5.0)?);
            let deep = p.moves().find(|(k, ..)| *k == i)?.1.from.z < p.plan.stock.max.z - 0.1;
            (m5 > i && deep).then_some(())?;
            let mut lines = p.lines.clone();
            let stop = lines.remove(m5);
            lines.insert(i, stop);
            at(&lines, i, &[SpindleStop])
        }),
    ]
}

/// Index of a retract out of the wood that a traverse of some length follows, and that traverse.
fn retract_and_traverse(p: &Program) -> Option<(usize, Stroke)> {
    let next = |i: usize| p.moves().find(|(k, _, feed)| *k == i + 1 && !feed);
    p.retracts().into_iter().find_map(|i| {
        let (_, up, _) = p.moves().find(|(k, ..)| *k == i)?;
        let (_, over, _) = next(i)?;
        let far = over.from.xy().distance(over.to.xy()) > 30.0;
        let deep = up.from.z < p.plan.stock.max.z - 3.0;
        (far && deep && up.from.z < up.to.z).then_some((i, *over))
    })
}

/// The line with a G0 of its own, in place of a G word that it has.
fn as_traverse(p: &Program, line: usize) -> String {
    let mut text = p.lines[line].clone();
    match p.lettered(line, 'G') {
        Some(word) => text.replace_range(word.span, "G0"),
        None => {
            let behind = p.lettered(line, 'N').map_or(0, |word| word.span.end);
            text.insert_str(behind, " G0 ");
        }
    }
    text
}

fn order_of_lines() -> Vec<Fault> {
    vec![
        fault("retract and traverse in one", |p| {
            let (i, _) = retract_and_traverse(p)?;
            let z = p.lettered(i, 'Z')?.value;
            p.lettered(i + 1, 'Z').is_none().then_some(())?;
            let mut lines = p.lines.clone();
            lines[i + 1] = format!("{} Z{z}", as_traverse(p, i + 1));
            lines.remove(i);
            at(&lines, i, &[TraverseClear, TabsLeft])
        }),
        fault("traverse before its retract", |p| {
            let (i, _) = retract_and_traverse(p)?;
            let mut lines = p.lines.clone();
            lines[i] = as_traverse(p, i + 1);
            lines[i + 1] = as_traverse(p, i);
            at(&lines, i, &[TraverseClear, TabsLeft])
        }),
        fault("retract left to the switch", |p| {
            let (i, _) = retract_and_traverse(p)?;
            let mut lines = p.lines.clone();
            lines[i + 1] = as_traverse(p, i + 1);
            lines[i].insert(0, '/');
            at(&lines, i + 1, &[TraverseClear, TabsLeft])
        }),
        fault("depth on the traverse's line", |p| {
            let cut = p.first_cut()?;
            let before = |(i, s, feed): &(usize, &Stroke, bool)| {
                *i < cut && !feed && s.from.xy().distance(s.to.xy()) > 1.0
            };
            let (i, over, _) = p.moves().filter(before).last()?;
            let (low, high) = (p.plan.stock.min.xy(), p.plan.stock.max.xy());
            let to = over.to.xy();
            let within = to.x > low.x && to.x < high.x && to.y > low.y && to.y < high.y;
            (within && p.lettered(i, 'Z').is_none()).then_some(())?;
            let mut lines = p.lines.clone();
            lines[i].push_str(&format!(" Z{}", p.unit(p.plan.stock.max.z - 3.0)));
            at(&lines, i, &[TraverseClear, ClampsClear])
        }),
        fault("started in the middle", |p| {
            let (i, _) = p.long()?;
            let any = [UnitsStated, DistanceModeStated, SafeHeight, TextUnderstood, FeedStated];
            between(&p.lines[i..], (0, 2), &any)
        }),
        fault("head kept and approach lost", |p| {
            let (first, cut) = (p.first_move()?, p.first_cut()?);
            (cut > first + 1).then_some(())?;
            let mut lines = p.lines.clone();
            lines.drain(first..cut);
            let any = [SafeHeight, TextUnderstood, SpindleRunning, FeedStated, TraverseClear];
            between(&lines, (first, first + 2), &any)
        }),
        fault("a second program behind the end", |p| {
            let i = p.last_with('M', 30.0).or(p.last_with('M', 2.0))?;
            let text = format!("{}{}", p.text, p.text);
            let lines: Vec<String> = text.lines().map(str::to_string).collect();
            between(&lines, (i + 1, i + 8), &[TextUnderstood])
        }),
        fault("two lines run together", |p| {
            let (i, _) = p.long()?;
            let (one, two) = (words(&p.lines[i]), words(&p.lines[i + 1]));
            one.iter().any(|w| two.iter().any(|v| v.letter == w.letter)).then_some(())?;
            let mut lines = p.lines.clone();
            let next = lines.remove(i + 1);
            lines[i].push_str(&next);
            at(&lines, i, &[TextUnderstood])
        }),
        fault("a line torn in two", |p| {
            let (i, _) = p.long()?;
            let word = p.lettered(i, 'X').or(p.lettered(i, 'Y'))?;
            let mut lines = p.lines.clone();
            let rest = lines[i].split_off(word.span.start + 1);
            lines.insert(i + 1, rest);
            between(&lines, (i, i + 1), &[TextUnderstood])
        }),
        fault("a blank within a number", |p| {
            let (i, _) = p.long()?;
            let word = p.lettered(i, 'X').or(p.lettered(i, 'Y'))?;
            (word.span.len() > 3).then_some(())?;
            let mut lines = p.lines.clone();
            lines[i].insert(word.span.start + 2, ' ');
            at(&lines, i, &[TextUnderstood])
        }),
    ]
}

/// The line without the words of these letters.
pub(crate) fn without(line: &str, letters: &[char]) -> String {
    let mut line = line.to_string();
    while let Some(word) = words(&line).into_iter().find(|w| letters.contains(&w.letter)) {
        line.replace_range(word.span, "");
    }
    line
}

/// Every word of these letters put anew by `put`, from letter and number in mm.
fn rewritten(p: &Program, letters: &[char], put: impl Fn(char, f64) -> (char, f64)) -> Vec<String> {
    let unit = p.mm(1.0);
    let one = |line: &String| {
        let mut line = line.clone();
        let found: Vec<_> = words(&line);
        let fixed = found.iter().any(|w| w.letter == 'G' && (w.value - 53.0).abs() < 1e-9);
        for word in found.into_iter().rev().filter(|w| letters.contains(&w.letter) && !fixed) {
            let (letter, mm) = put(word.letter, word.value * unit);
            line.replace_range(word.span, &format!("{letter}{:.4}", mm / unit));
        }
        line
    };
    p.lines.iter().map(one).collect()
}

fn anywhere(lines: &[String], any: &[Interlock]) -> Option<Edit> {
    between(lines, (0, lines.len()), any)
}

fn whole_texts() -> Vec<Fault> {
    let moved = |kind: &'static str, by: fn(f64) -> Point| {
        fault(kind, move |p| {
            // What roughing leaves out by less, and cuts beyond the end, the next cutter mends.
            let widths = if p.is_last() { 0.5 } else { 1.0 };
            let shift = by(widths * p.plan.cutters.first()?.0.diameter.0);
            let lines =
                rewritten(p, &['X', 'Y'], |l, v| (l, v + if l == 'X' { shift.x } else { shift.y }));
            anywhere(&lines, &[PartUntouched, SurfaceKept, ClampsClear, TabsLeft, Stepdown])
        })
    };
    vec![
        moved("moved to the right", |by| point(by, 0.0)),
        moved("moved to the back", |by| point(0.0, by)),
        fault("places rounded to a millimetre", |p| {
            anywhere(&rewritten(p, &['X', 'Y'], |l, v| (l, v.round())), &ASTRAY)
        }),
        fault("X and Y changed about", |p| {
            let swapped = rewritten(p, &['X', 'Y', 'I', 'J'], |l, v| {
                (
                    match l {
                        'X' => 'Y',
                        'Y' => 'X',
                        'I' => 'J',
                        _ => 'I',
                    },
                    v,
                )
            });
            anywhere(&swapped, &ASTRAY)
        }),
        fault("X counted to the left", |p| {
            let mirrored = rewritten(p, &['X', 'I'], |l, v| (l, -v));
            anywhere(&mirrored, &ASTRAY)
        }),
        fault("Z counted upwards into the wood", |p| {
            let top = p.plan.stock.max.z;
            let lines = rewritten(p, &['Z'], |l, v| (l, 2.0 * top - v));
            anywhere(&lines, &[Reach, SafeHeight, TraverseClear, Bottom])
        }),
        fault("Z counted from the other side of the board", |p| {
            let thick = p.plan.stock.max.z - p.plan.stock.min.z;
            let up = if p.plan.stock.max.z.abs() < 1e-6 { thick } else { -thick };
            let lines = rewritten(p, &['Z'], |l, v| (l, v + up));
            anywhere(&lines, &[Reach, SafeHeight, TraverseClear, Bottom, SurfaceKept])
        }),
        fault("Z touched off too low", |p| {
            let lowest = p.plan.stock.min.z - p.bench().machine.into_spoilboard.0;
            // Only where it goes through.
            (p.deepest() < p.plan.stock.min.z).then_some(())?;
            let down = p.deepest() - lowest + 0.3;
            anywhere(&rewritten(p, &['Z'], |l, v| (l, v - down)), &[Bottom])
        }),
        fault("saved with two bytes a character", |p| {
            let wide: String = p.text.chars().flat_map(|c| [c, '\0']).collect();
            let lines: Vec<String> = wide.split('\n').map(str::to_string).collect();
            between(&lines, (0, 3), &[TextUnderstood])
        }),
        fault("line feeds lost", |p| {
            let lines = [p.lines.join("\r")];
            between(&lines, (0, 0), &[TextUnderstood])
        }),
    ]
}

fn heights() -> Vec<Fault> {
    vec![
        fault("the last depth on the first pass", |p| {
            let i = p.first_cut()?;
            let z = p.mm(p.lettered(i, 'Z')?.value);
            let (_, stroke, _) = p.moves().find(|(k, ..)| *k == i)?;
            let mills = stroke.arc.is_some() || stroke.from.xy() != stroke.to.xy();
            (mills && p.deepest() < z - 3.0).then_some(())?;
            let lines = replaced(p, i, 'Z', &format!("Z{}", p.unit(p.deepest())))?;
            between(&lines, (i, i + 5), &[Stepdown, Ramp, Plunge, TabsLeft, FeedWithinAxes])
        }),
        fault("a ramp made a plunge", |p| {
            let i = p.first_cut()?;
            let (_, s, _) = p.moves().find(|(k, ..)| *k == i)?;
            let ramps = s.arc.is_none() && s.from.xy().distance(s.to.xy()) > 5.0;
            (ramps && s.to.z < p.plan.stock.max.z - 1.0).then_some(())?;
            let mut lines = p.lines.clone();
            lines[i] = without(&lines[i], &['X', 'Y']);
            between(&lines, (i, i + 1), &[Plunge, Ramp, FeedWithinAxes])
        }),
    ]
}

/// A bench that is not as the setup sheet says.
fn bench(
    kind: &'static str,
    any: &'static [Interlock],
    fits: impl Fn(&Program) -> bool + 'static,
    change: impl Fn(&mut Bench) + Clone + 'static,
) -> Fault {
    fault(kind, move |p| {
        fits(p).then_some(())?;
        let edit = anywhere(&p.lines, any)?;
        Some(Edit { text: p.text.clone(), bench: Some(Box::new(change.clone())), ..edit })
    })
}

fn benches() -> Vec<Fault> {
    let deep = |depth: f64| move |p: &Program| p.deepest() < p.plan.stock.max.z - depth;
    vec![
        bench(
            "a thinner board",
            &[Bottom],
            |p| p.deepest() < p.plan.stock.min.z + 1.0,
            |b| b.stock.min.z += 3.0,
        ),
        bench("a cutter clamped too short", &[HolderClear], deep(9.0), |b| {
            b.cutters.iter_mut().for_each(|c| {
                c.stick_out.0 = 6.0;
                c.flute_length.0 = c.flute_length.0.min(6.0);
            });
        }),
        bench("a cutter with short flutes", &[FluteLength], deep(9.0), |b| {
            b.cutters.iter_mut().for_each(|c| c.flute_length.0 = 5.0);
        }),
        bench(
            "cutters marked for half the speed",
            &[SpindleSpeed],
            |p| p.line_with('M', 3.0).is_some_and(|i| p.lettered(i, 'S').is_some()),
            |b| b.cutters.iter_mut().for_each(|c| c.max_rpm = 4000.0),
        ),
        bench("a smaller table", &[Travel], |_| true, |b| b.machine.travel[0].0 = 100.0),
        bench(
            "a slower machine",
            &[FeedWithinAxes],
            |_| true,
            |b| b.machine.max_feed.iter_mut().for_each(|f| f.0 = 200.0),
        ),
        bench(
            "a weak spindle",
            &[SpindlePower],
            |p| p.long().is_some(),
            |b| b.machine.spindle.power = 2.0,
        ),
        bench(
            "wider cutters under the same numbers",
            &[PartUntouched, SurfaceKept, ClampsClear],
            |_| true,
            |b| b.cutters.iter_mut().for_each(|c| c.diameter.0 *= 1.5),
        ),
    ]
}
