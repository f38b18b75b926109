//! Every sample with every built-in post-processor: no false refusal, and every kind of fault
//! that editing the text can make is caught by the right interlock at the right line.
//!
//! A release build tries every kind on every program. A debug build, which is thirty times slower,
//! takes each sample with one of the post-processors, tries on each the kinds that show early in
//! it, and the others on one program each in turn.
#![allow(clippy::unwrap_used)]

#[path = "dry_run_samples/arcs.rs"]
mod arcs;
#[path = "dry_run_samples/careless.rs"]
mod careless;
#[path = "dry_run_samples/faults.rs"]
mod faults;
#[path = "dry_run_samples/inserted.rs"]
mod inserted;
#[path = "dry_run_samples/program.rs"]
mod program;

use faults::{Edit, Fault};
use ovolo::dry_run::{Finding, Interlock, Severity, Verdict};
use program::{Program, SAMPLES};
use rayon::prelude::*;
use std::collections::BTreeMap;

/// Kinds that the whole corpus has at least, and kinds that fit every program.
const KINDS: usize = 170;
const FIT: usize = 80;

/// Way of feed, mm, that a debug build has the time for, again and again.
const SHORT: f64 = 1500.0;
/// The shortest programs that a kind fits, of which one is tried whole.
const CHEAPEST: usize = 8;

/// Programs of more lines than this are carvings: trying one takes a second in a release build.
const LONG: usize = 5000;

/// Lines behind the last on which the finding may stand that are tried too.
const BEHIND: usize = 3;

/// What follows the lines of the finding can not take it away again, for a program is judged in
/// its order; so it is cut off. Not where the end is looked for, or the fault is in the whole.
fn needed(edit: &Edit) -> String {
    let last = edit.lines.1 + BEHIND;
    let end = [Interlock::Ending, Interlock::Reach, Interlock::NothingLoose];
    match is_whole(edit) || edit.interlocks.iter().any(|i| end.contains(i)) {
        true => edit.text.clone(),
        false => edit.text.lines().take(last).map(|line| format!("{line}\n")).collect(),
    }
}

/// Whether the finding may stand anywhere, as where a board is not the one of the setup.
fn is_whole(edit: &Edit) -> bool {
    edit.lines.0 == 1 && edit.lines.1 >= edit.text.lines().count()
}

/// The programs that a kind is tried on, as `rows` of whether each kind fits each program say:
/// those where it shows early, and of the shortest that it fits, one in turn.
fn is_tried(program: &Program, index: usize, kind: usize, edit: &Edit, rows: &[Fits]) -> bool {
    if !cfg!(debug_assertions) && program.lines.len() <= LONG {
        return true;
    }
    let short = cfg!(debug_assertions) && program.way(needed(edit).lines().count()) < SHORT;
    let mut whole: Vec<usize> = (0..rows.len()).filter(|i| rows[*i][kind]).collect();
    whole.sort_by(|a, b| way(*a).total_cmp(&way(*b)));
    whole.truncate(CHEAPEST);
    short || (!whole.is_empty() && whole[kind % whole.len()] == index)
}

/// Way of feed of all of a program, mm.
fn way(index: usize) -> f64 {
    SAMPLES[index].way(usize::MAX)
}

/// Whether each kind can be made in a program.
type Fits = Vec<bool>;

/// Whether one of the right interlocks stands on one of the right lines.
fn caught(program: &Program, verdict: &Verdict, edit: &Edit) -> bool {
    let right = |f: &&Finding| f.line <= edit.lines.1 && f.last_line >= edit.lines.0;
    tells(program, verdict.findings.iter().filter(right), edit)
}

/// Whether one of the right interlocks is among findings, and not of what the good program is
/// told too. That is never refused, which is another test.
fn tells<'f>(program: &Program, findings: impl Iterator<Item = &'f Finding>, edit: &Edit) -> bool {
    let mut right = findings.filter(|f| edit.interlocks.contains(&f.interlock));
    right.any(|f| f.severity == Severity::Refusal || !program.told().contains(&f.message))
}

/// What a kind of fault came to in a program; `None` if it was not tried.
fn tried(
    program: &Program,
    index: usize,
    (kind, fault): (usize, &Fault),
    fits: &[Fits],
) -> Option<Result<(), String>> {
    let edit = (fault.make)(program)?;
    if !is_tried(program, index, kind, &edit, fits) {
        return None;
    }
    let text = needed(&edit);
    assert!(edit.text != program.text || edit.bench.is_some(), "{}", fault.kind);
    let verdict = program.judged(&text, edit.bench.as_ref(), is_whole(&edit));
    if caught(program, &verdict, &edit) {
        return Some(Ok(()));
    }
    // A hole in the wrong place shows where the next cutter, or the pin, does not find it.
    let then = match is_whole(&edit) {
        true => program.judged_then(&text, edit.bench.as_ref()),
        false => Vec::new(),
    };
    if tells(program, then.iter().flat_map(|v| &v.findings), &edit) {
        return Some(Ok(()));
    }
    let found: Vec<_> =
        verdict.findings.iter().map(|f| (f.interlock, f.line, &f.message)).collect();
    Some(Err(format!(
        "{}, {}: wanted {:?} at {:?}, found {found:?}",
        program.name, fault.kind, edit.interlocks, edit.lines
    )))
}

/// A kind, and whether it was caught or what was found instead.
type Tried = (usize, Result<(), String>);

#[test]
fn no_sample_is_refused_with_any_post_processor() {
    assert!(SAMPLES.len() >= 8);
    let whole = |p: &&Program| !cfg!(debug_assertions) || p.way(usize::MAX) < 10.0 * SHORT;
    let alarms: Vec<String> = SAMPLES
        .par_iter()
        .filter(whole)
        .filter_map(|program| {
            let verdict = program.judged(&program.text, None, true);
            let refusals: Vec<_> =
                verdict.findings.iter().filter(|f| f.severity == Severity::Refusal).collect();
            (!refusals.is_empty()).then(|| format!("{}: {refusals:#?}", program.name))
        })
        .collect();
    println!("false alarms {} of {} programs", alarms.len(), SAMPLES.iter().filter(whole).count());
    assert!(alarms.is_empty(), "{}", alarms.join("\n"));
}

#[test]
fn every_kind_of_fault_is_caught_in_every_sample() {
    let kinds = faults::all().len();
    // Faults are made of closures, which do not go from one thread to another.
    let can = |program: &Program| -> Fits {
        faults::all().iter().map(|fault| (fault.make)(program).is_some()).collect()
    };
    let fits: Vec<Fits> = SAMPLES.par_iter().map(can).collect();
    let rows: Vec<Vec<Tried>> = SAMPLES
        .par_iter()
        .enumerate()
        .map(|(index, program)| {
            let all = faults::all();
            let one = |(kind, fault)| Some((kind, tried(program, index, (kind, fault), &fits)?));
            all.iter().enumerate().filter_map(one).collect()
        })
        .collect();
    // Kind: caught, tried.
    let mut table: BTreeMap<usize, (usize, usize)> = BTreeMap::new();
    let mut missed = Vec::new();
    for (kind, result) in rows.iter().flatten() {
        let entry = table.entry(*kind).or_default();
        entry.1 += 1;
        match result {
            Ok(()) => entry.0 += 1,
            Err(words) => missed.push(words.as_str()),
        }
    }
    for (fault, (caught, tried)) in
        faults::all().iter().enumerate().filter_map(|(i, f)| Some((f, table.get(&i)?)))
    {
        println!("{:<48} caught {caught:>3} of {tried:>3}", fault.kind);
    }
    let all: usize = table.values().map(|(_, tried)| tried).sum();
    println!(
        "caught {} of {all} faults of {} kinds in {} programs",
        all - missed.len(),
        table.len(),
        rows.len()
    );
    assert!(missed.is_empty(), "{} missed:\n{}", missed.len(), missed.join("\n"));
    let untried: Vec<&str> = faults::all()
        .iter()
        .enumerate()
        .filter(|(i, _)| !table.contains_key(i))
        .map(|(_, f)| f.kind)
        .collect();
    assert!(untried.is_empty(), "no program has what these spoil: {untried:?}");
    assert!(kinds >= KINDS);
    for (program, fits) in SAMPLES.iter().zip(&fits) {
        let fits = fits.iter().filter(|fits| **fits).count();
        assert!(fits >= FIT, "{}: only {fits} kinds fit", program.name);
    }
}

#[test]
fn kinds_are_told_apart() {
    let mut kinds: Vec<_> = faults::all().iter().map(|f| f.kind).collect();
    let count = kinds.len();
    kinds.sort_unstable();
    kinds.dedup();
    assert_eq!(kinds.len(), count);
}
