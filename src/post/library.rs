//! The dialects that come with the program, and finding one by name or path.

use super::dialect::Dialect;
use crate::diagnostic::{Diagnostic, Failure};
use crate::document::Document;
use crate::files::{MAX_DOCUMENT_BYTES, read_text};
use std::path::Path;

macro_rules! dialects {
    ($($name:literal),* $(,)?) => {
        &[$(($name, include_str!(concat!("../../post-processors/", $name, ".toml")))),*]
    };
}

const BUILT_IN: &[(&str, &str)] = dialects![
    "chords-only",
    "hand-dial",
    "inches",
    "millimetres",
    "millimetres-numbered",
    "millimetres-terse",
    "per-cutter",
    "radius-arcs",
];

/// Name and text of every built-in dialect, by name.
#[must_use]
pub fn built_in() -> &'static [(&'static str, &'static str)] {
    BUILT_IN
}

impl Dialect {
    /// Reads and checks a dialect's text. `name` stands in messages; without folders and
    /// ending it names the dialect.
    ///
    /// # Errors
    /// [`Failure::Input`] with every mistake found and its place.
    pub fn read(name: &str, text: &str) -> Result<Dialect, Failure> {
        let (mut dialect, document): (Dialect, Document) = Document::read(name, text)?;
        let stem = Path::new(name.trim_matches(['<', '>'])).file_stem();
        dialect.name = stem.map_or_else(String::new, |s| s.to_string_lossy().into_owned());
        let found = dialect.check();
        if found.is_empty() { Ok(dialect) } else { Err(Failure::Input(document.locate(found))) }
    }

    /// The built-in dialect of this name, or else the one in the file at this path. What ends
    /// in `.toml` or holds a `/` is a path.
    ///
    /// # Errors
    /// [`Failure::Input`] if there is none, with the nearest name, or if it is wrong;
    /// [`Failure::System`] if the file cannot be read.
    pub fn find(name_or_path: &str) -> Result<Dialect, Failure> {
        if let Some((name, text)) = BUILT_IN.iter().find(|(name, _)| *name == name_or_path) {
            return Dialect::read(&format!("<{name}.toml>"), text);
        }
        let path = Path::new(name_or_path);
        let is_path = name_or_path.contains(['/', std::path::MAIN_SEPARATOR])
            || path.extension().is_some_and(|e| e.eq_ignore_ascii_case("toml"));
        if !is_path {
            return Err(unknown(name_or_path).into());
        }
        Dialect::read(name_or_path, &read_text(path, MAX_DOCUMENT_BYTES)?)
    }
}

fn unknown(name: &str) -> Diagnostic {
    let names = BUILT_IN.iter().map(|(name, _)| *name);
    let all = names.clone().collect::<Vec<_>>().join(", ");
    // As near as two slips of the finger, or a third of the name.
    let near = names
        .map(|n| (strsim::damerau_levenshtein(&name.to_lowercase(), n), n))
        .min()
        .filter(|(distance, n)| *distance <= 2.max(n.len() / 3));
    let known = format!("known: {all}; or give the path of a dialect file, ending in .toml");
    Diagnostic::error(format!("there is no post-processor `{name}`")).help(match near {
        Some((_, near)) => format!("did you mean `{near}`? {known}"),
        None => known,
    })
}
