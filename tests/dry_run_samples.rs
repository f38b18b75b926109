//! Every sample with every built-in post-processor: no false refusal, and every kind of fault
//! that editing the text can make is caught by the right interlock at the right line.
#![allow(clippy::unwrap_used)]

#[path = "dry_run_samples/faults.rs"]
mod faults;
#[path = "dry_run_samples/inserted.rs"]
mod inserted;
#[path = "dry_run_samples/program.rs"]
mod program;

use faults::Fault;
use ovolo::dry_run::Severity;
use program::samples;
use std::collections::BTreeMap;

/// Kinds that the whole corpus has at least.
const KINDS: usize = 80;

/// Programs of more lines than this are carvings: trying one takes a second.
const LONG: usize = 5000;

/// Without optimisation the whole corpus takes minutes: then every kind is tried with one of the
/// post-processors in turn, and with all of them in a release build; on a carving with one always.
fn tried(kind: usize, post: usize, posts: usize, lines: usize) -> bool {
    !cfg!(debug_assertions) && lines <= LONG || post == kind % posts
}

#[test]
fn no_sample_is_refused_with_any_post_processor() {
    let all = samples();
    assert!(all.len() >= 8);
    for program in &all {
        let verdict = program.judged(&program.text, None);
        let refusals: Vec<_> =
            verdict.findings.iter().filter(|f| f.severity == Severity::Refusal).collect();
        assert!(refusals.is_empty(), "{}: {refusals:#?}", program.name);
    }
}

#[test]
fn every_kind_of_fault_is_caught_in_every_sample() {
    let all = samples();
    let kinds: Vec<Fault> = faults::all();
    // Kind: caught, tried.
    let mut table: BTreeMap<&str, (usize, usize)> = BTreeMap::new();
    let mut missed = Vec::new();
    let posts = ovolo::post::built_in().len();
    for (index, program) in all.iter().enumerate() {
        let mut fits = 0;
        for (kind, fault) in kinds.iter().enumerate() {
            let Some(edit) = (fault.make)(program) else { continue };
            fits += 1;
            if !tried(kind, index % posts, posts, program.lines.len()) {
                continue;
            }
            assert!(edit.text != program.text || edit.clamp.is_some(), "{}", fault.kind);
            let verdict = program.judged(&edit.text, edit.clamp);
            let hit = verdict.findings.iter().any(|f| {
                edit.interlocks.contains(&f.interlock)
                    && f.line <= edit.lines.1
                    && f.last_line >= edit.lines.0
            });
            let entry = table.entry(fault.kind).or_default();
            entry.1 += 1;
            entry.0 += usize::from(hit);
            if !hit {
                let found: Vec<_> =
                    verdict.findings.iter().map(|f| (f.interlock, f.line, &f.message)).collect();
                missed.push(format!(
                    "{}, {}: wanted {:?} at {:?}, found {found:?}",
                    program.name, fault.kind, edit.interlocks, edit.lines
                ));
            }
        }
        assert!(fits >= KINDS, "{}: only {fits} kinds fit", program.name);
    }
    for (kind, (caught, tried)) in &table {
        println!("{kind:<44} caught {caught:>3} of {tried:>3}");
    }
    println!("{} kinds, {} programs", table.len(), all.len());
    assert!(missed.is_empty(), "{} missed:\n{}", missed.len(), missed.join("\n"));
    assert!(table.len() >= KINDS);
}

#[test]
fn kinds_are_told_apart() {
    let mut kinds: Vec<_> = faults::all().iter().map(|f| f.kind).collect();
    let count = kinds.len();
    kinds.sort_unstable();
    kinds.dedup();
    assert_eq!(kinds.len(), count);
}
