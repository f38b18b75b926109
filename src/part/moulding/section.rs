//! The section that a moulding is asked to have: by the trade's elements, or by a tracing.

use crate::diagnostic::Diagnostic;
use crate::geometry::profile::{Element, Moulding, Profile};
use crate::tracing::{DrawnProfile, TracingEntry};
use crate::units::{Length, Unit};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::path::Path;

/// A moulding's section: its elements from the bottom up, or the file that it is drawn in.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields, default)]
pub struct ProfileShape {
    /// Its elements, the lowest first.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(min = 1, max = 100))]
    pub element: Vec<Element>,
    /// Wood behind the lowest inner end of the face; 0 without it. A drawing of the whole section
    /// says it itself.
    pub back: Option<Length>,
    /// Its tracing, instead of elements: an SVG or a DXF, beside this file.
    pub file: Option<String>,
    /// The layer of a DXF, or the group of an SVG by its id or label; everything without it.
    pub layer: Option<String>,
    /// What one unit of the drawing is, whatever it says itself.
    pub units: Option<Unit>,
    /// How closely arcs follow the drawing's curves; 0.005 mm without it.
    pub tolerance: Option<Length>,
    /// Ends of the drawing this near to each other are joined; 0.01 mm without it.
    pub join: Option<Length>,
}

impl From<Moulding> for ProfileShape {
    fn from(moulding: Moulding) -> ProfileShape {
        ProfileShape {
            element: moulding.element,
            back: Some(moulding.back),
            ..ProfileShape::default()
        }
    }
}

impl From<TracingEntry> for ProfileShape {
    fn from(entry: TracingEntry) -> ProfileShape {
        let TracingEntry { file, layer, units, tolerance, join } = entry;
        let file = Some(file);
        ProfileShape { file, layer, units, tolerance, join, ..ProfileShape::default() }
    }
}

impl ProfileShape {
    /// The profile. `key` is where it stands in the job file, which is in `folder`.
    ///
    /// # Errors
    /// Both elements and a drawing, or neither; whatever is wrong with either.
    pub(super) fn build(&self, key: &str, folder: &Path) -> Result<DrawnProfile, Vec<Diagnostic>> {
        let wrong = |word: &str, message: &str, help: &str| {
            let key = if word.is_empty() { key.to_string() } else { format!("{key}.{word}") };
            Err(vec![Diagnostic::error(message).key(key).help(help)])
        };
        let Some(file) = &self.file else {
            if let Some(word) = self.word_of_a_drawing() {
                let message = format!("`{word}` belongs to a drawing, and no `file` is named");
                return wrong(word, &message, "name the drawing as `file`, or leave this out");
            }
            if self.element.is_empty() {
                let message = "the profile has neither elements nor a drawing";
                return wrong("", message, "give `element` tables, or the drawing as `file`");
            }
            let back = self.back.unwrap_or_default();
            let moulding = Moulding { element: self.element.clone(), back };
            let profile = Profile::build(&moulding, key)?;
            return Ok(DrawnProfile { profile, warnings: Vec::new() });
        };
        if !self.element.is_empty() {
            let message = "the profile has both elements and a drawing";
            return wrong("file", message, "leave one of them out");
        }
        let entry = TracingEntry {
            file: file.clone(),
            layer: self.layer.clone(),
            units: self.units,
            tolerance: self.tolerance,
            join: self.join,
        };
        let back_key = format!("{key}.back");
        entry.profile(folder, key, self.back, &back_key).map_err(|one| vec![one])
    }

    /// A key that only a drawing has.
    fn word_of_a_drawing(&self) -> Option<&'static str> {
        let given = [
            ("layer", self.layer.is_some()),
            ("units", self.units.is_some()),
            ("tolerance", self.tolerance.is_some()),
            ("join", self.join.is_some()),
        ];
        given.into_iter().find(|(_, is)| *is).map(|(word, _)| word)
    }
}
