//! The section that a moulding is asked to have: by the trade's elements, or by a tracing.

use crate::diagnostic::Diagnostic;
use crate::geometry::profile::{Element, Moulding, Profile};
use crate::tracing::{DrawingKeys, DrawnProfile, TracingEntry};
use crate::units::Length;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::path::Path;

/// A moulding's section: its elements from the bottom up, or the file that it is drawn in.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", default)]
#[schemars(deny_unknown_fields)]
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
    /// How the drawing is read.
    #[serde(flatten)]
    pub keys: DrawingKeys,
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
        let TracingEntry { file, keys } = entry;
        ProfileShape { file: Some(file), keys, ..ProfileShape::default() }
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
            self.keys.no_file(key).map_err(|one| vec![one])?;
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
        let back_key = format!("{key}.back");
        let drawn = self.keys.of(file).profile(folder, key, self.back, &back_key);
        drawn.map_err(|one| vec![one])
    }
}
