//! The files people write, read once into strict values: every mistake with its place.
//!
//! A file's type says what it may hold through its JSON Schema (the one `ovolo schema`
//! prints), and the reader walks the TOML beside that schema: unknown keys, wrong types, words
//! outside a choice and numbers out of range are all found in one pass, and quantities such as
//! `41 5/8 in` become numbers in the library's units. What is left is plain data.

mod schema;
mod walk;

pub(crate) use walk::nearest;

use crate::diagnostic::{Diagnostic, Failure, Place};
use crate::units::Unit;
use schemars::JsonSchema;
use serde::de::DeserializeOwned;
use std::collections::BTreeMap;
use std::ops::Range;

/// A text of TOML and where each of its keys stands, for messages that come later.
#[derive(Clone, Debug)]
pub struct Document {
    /// The file as the user named it, or a name in angle brackets for built-in text.
    pub name: String,
    /// The text.
    pub text: String,
    /// The unit of bare numbers, from the file's `units` key; millimetres without one.
    pub unit: Unit,
    places: BTreeMap<String, Range<usize>>,
}

impl Document {
    /// Reads `text` as a `T`. `name` stands in messages.
    ///
    /// # Errors
    /// [`Failure::Input`] with all mistakes found, each with its place.
    pub fn read<T: DeserializeOwned + JsonSchema>(
        name: &str,
        text: &str,
    ) -> Result<(T, Document), Failure> {
        let schema = schema::of::<T>();
        let mut document = Document {
            name: name.to_string(),
            text: text.to_string(),
            unit: Unit::Mm,
            places: BTreeMap::new(),
        };
        let (table, errors) = toml::de::DeTable::parse_recoverable(text);
        if !errors.is_empty() {
            return Err(Failure::Input(errors.iter().map(|e| document.syntax(e)).collect()));
        }
        let walked = walk::walk(&schema, &table, &mut document);
        let value = walked.map_err(|all| Failure::Input(document.locate(all)))?;
        let typed = serde_json::from_value(value).map_err(|e| {
            // The walk should have found everything; this is the net below it.
            Failure::Input(vec![document.at("", format!("cannot be read: {e}"))])
        })?;
        Ok((typed, document))
    }

    /// An error at `key`, located.
    #[must_use]
    pub fn at(&self, key: &str, message: impl Into<String>) -> Diagnostic {
        let mut diagnostic = Diagnostic::error(message).key(key);
        self.locate_one(&mut diagnostic);
        diagnostic
    }

    /// Gives each diagnostic that has a key but no place the place of that key, or of the
    /// nearest table above it that stands in the file; in the order of the file.
    #[must_use]
    pub fn locate(&self, mut diagnostics: Vec<Diagnostic>) -> Vec<Diagnostic> {
        for diagnostic in &mut diagnostics {
            self.locate_one(diagnostic);
        }
        let order = |d: &Diagnostic| d.place.as_ref().map(|p| (p.line, p.column));
        diagnostics.sort_by_key(order);
        diagnostics
    }

    /// The folder from which paths in the file are taken: the file's own.
    #[must_use]
    pub fn folder(&self) -> &std::path::Path {
        std::path::Path::new(&self.name).parent().unwrap_or(std::path::Path::new(""))
    }

    /// Whether the file itself holds `key`.
    #[must_use]
    pub fn holds(&self, key: &str) -> bool {
        self.places.contains_key(key)
    }

    fn locate_one(&self, diagnostic: &mut Diagnostic) {
        if diagnostic.place.is_some() {
            return;
        }
        let mut key = diagnostic.key.as_deref().unwrap_or("");
        let start = loop {
            if let Some(range) = self.places.get(key) {
                break range.start;
            }
            match key.rfind(['.', '[']) {
                Some(cut) => key = &key[..cut],
                None if key.is_empty() => break 0,
                None => key = "",
            }
        };
        diagnostic.place = Some(Place::of_offset(&self.name, &self.text, start));
        if diagnostic.key.as_deref() == Some("") {
            diagnostic.key = None;
        }
    }

    fn syntax(&self, error: &toml::de::Error) -> Diagnostic {
        let at = error.span().map_or(0, |s| s.start);
        Diagnostic::error(format!("not TOML: {}", error.message().replace('\n', ", ")))
            .place(Place::of_offset(&self.name, &self.text, at))
            .help("keys are `name = value`; text with units stands in quotes, as in rise = \"4 1/2 in\"")
    }
}

/// The JSON Schema of a file type, as `ovolo schema` prints it.
#[must_use]
pub fn schema_of<T: JsonSchema>() -> serde_json::Value {
    schema::of::<T>()
}
