//! The files that verbs share: job, shop, post-processor.

use super::say;
use ovolo::diagnostic::{Diagnostic, Failure};
use ovolo::files::{MAX_DOCUMENT_BYTES, read_text};
use ovolo::job::Job;
use ovolo::post::Dialect;
use ovolo::shop::{CutterChange, Shop};
use ovolo::units::{Unit, parse_length};
use std::path::{Path, PathBuf};

/// Reads a job file.
pub(super) fn job(path: &Path) -> Result<Job, Failure> {
    let text = read_text(path, MAX_DOCUMENT_BYTES)?;
    let job = Job::read(&path.display().to_string(), &text)?;
    for warning in job.warnings() {
        // What a drawing holds and the job does not use is no talk to be left out.
        say::talk(false, &warning.to_string());
    }
    Ok(job)
}

/// The shop: the flag's file, else the job's, else the built-in one.
pub(super) fn shop(flag: Option<&Path>, job: Option<(&Job, &Path)>) -> Result<Shop, Failure> {
    if let Some(path) = flag {
        return read_shop(path);
    }
    match job.and_then(|(job, path)| Some((job.file.shop.as_ref()?, job, path))) {
        Some((name, job, path)) => {
            let file = beside(path, name);
            if !file.exists() {
                let message = format!("there is no shop file {}", file.display());
                let help = "the path is taken from the job file's folder";
                return Err(job.document.at("shop", message).help(help).into());
            }
            read_shop(&file)
        }
        None => Shop::built_in(),
    }
}

fn read_shop(path: &Path) -> Result<Shop, Failure> {
    let text = read_text(path, MAX_DOCUMENT_BYTES)?;
    Shop::read(&path.display().to_string(), &text)
}

/// The dialect: the flag's, else the job's, else the built-in one that suits the shop's way of
/// changing cutters and the job's units.
pub(super) fn dialect(
    flag: Option<&str>,
    job: &Job,
    path: &Path,
    shop: &Shop,
) -> Result<Dialect, Failure> {
    match (flag, &job.file.post) {
        (Some(name), _) => Dialect::find(name),
        (None, Some(name)) => {
            let file = beside(path, name);
            let found = if file.is_file() { file.display().to_string() } else { name.clone() };
            Dialect::find(&found).map_err(|failure| match failure {
                Failure::Input(all) => {
                    Failure::Input(all.into_iter().map(|d| at_key(job, d)).collect())
                }
                other => other,
            })
        }
        (None, None) if !shop.machine.spindle.dial.is_empty() => Dialect::find("hand-dial"),
        (None, None) if shop.machine.cutter_change == CutterChange::OnePerProgram => {
            Dialect::find("per-cutter")
        }
        (None, None) => Dialect::find(match job.file.units {
            Unit::Mm => "millimetres",
            Unit::In => "inches",
        }),
    }
}

/// The dialect with the user's own chord tolerance.
pub(super) fn with_chord_tolerance(
    dialect: Dialect,
    text: &str,
    unit: Unit,
) -> Result<Dialect, Failure> {
    let wrong = |why: String| Failure::from(Diagnostic::error(format!("--chord-tolerance: {why}")));
    dialect.with_chord_tolerance(parse_length(text, unit).map_err(wrong)?)
}

/// A finding without a place stands at the job's `post` key.
fn at_key(job: &Job, d: Diagnostic) -> Diagnostic {
    if d.place.is_some() {
        return d;
    }
    let help = d.help.clone();
    let mut placed = job.document.at("post", d.message);
    placed.help = help;
    placed
}

fn beside(file: &Path, name: &str) -> PathBuf {
    file.parent().unwrap_or(Path::new("")).join(name)
}
