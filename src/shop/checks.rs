//! What a shop file may not say, each with what would work.

mod cutters;
mod machine;

use super::Material;
use super::file::ShopFile;
use super::hard_limits::HardLimits;
use crate::diagnostic::Diagnostic;
use crate::units::Shown;

/// All that is wrong with a shop; keys are those of the file.
pub(super) fn check(file: &ShopFile, shown: Shown) -> Vec<Diagnostic> {
    let mut found = machine::check(&file.machine, shown);
    for (i, entry) in file.cutter.iter().enumerate() {
        let key = format!("cutter[{}]", i + 1);
        let cutter = &entry.cutter;
        if file.cutter[..i].iter().any(|e| e.cutter.number == cutter.number) {
            found.push(twice(file, &key, cutter.number));
        }
        found.extend(cutters::check(cutter, &file.machine, &key, shown));
    }
    for (i, clamp) in file.clamp.iter().enumerate() {
        found.extend(clamp.problem(&format!("clamp[{}]", i + 1)));
    }
    // The limits that overrides are held against are right only in a shop that is right.
    if found.is_empty() {
        found = own_figures(file, shown);
    }
    found.extend(species_names(file));
    found
}

fn twice(file: &ShopFile, key: &str, number: u32) -> Diagnostic {
    let free = (1..).find(|n| file.cutter.iter().all(|e| e.cutter.number != *n)).unwrap_or(1);
    Diagnostic::error(format!("there are two cutters of number {number}"))
        .key(format!("{key}.number"))
        .help(format!("give each cutter its own number; {free} is free"))
}

/// Figures that overrule the table's beyond a hard limit: of a cutter beyond its own, of a
/// species beyond those of every cutter.
fn own_figures(file: &ShopFile, shown: Shown) -> Vec<Diagnostic> {
    let under = |key: String, all: Vec<Diagnostic>| {
        all.into_iter().map(move |d| {
            let name = d.key.clone().unwrap_or_default();
            d.key(format!("{key}.{name}"))
        })
    };
    let mut found = Vec::new();
    for (i, entry) in file.cutter.iter().enumerate() {
        let limits = HardLimits::of(&file.machine, &entry.cutter);
        let problems = limits.problems(&entry.feeds, &entry.cutter.title(), shown);
        found.extend(under(format!("cutter[{}].feeds", i + 1), problems));
    }
    let cutters: Vec<_> = file.cutter.iter().map(|entry| entry.cutter.clone()).collect();
    let limits = HardLimits::of_all(&file.machine, &cutters);
    for (name, asked) in &file.species {
        let problems = limits.problems(asked, "any cutter", shown);
        found.extend(under(format!("species.{name}"), problems));
    }
    found
}

/// Species that do not exist, or stand there twice in two spellings.
fn species_names(file: &ShopFile) -> Vec<Diagnostic> {
    let mut seen: Vec<(String, &str)> = Vec::new();
    let mut found = Vec::new();
    for typed in file.species.keys() {
        let key = format!("species.{typed}");
        match Material::find(typed) {
            Err(problem) => found.push(problem.key(key)),
            Ok(material) => {
                if let Some((name, first)) = seen.iter().find(|(name, _)| *name == material.name) {
                    found.push(
                        Diagnostic::error(format!("`{first}` and `{typed}` are both {name}"))
                            .key(key)
                            .help("put its figures together under one name"),
                    );
                }
                seen.push((material.name, typed));
            }
        }
    }
    found
}
