//! A drawing that a job names.

use super::{DrawnProfile, Options, Outlines, read_outlines, read_profile, read_profile_with_back};
use crate::diagnostic::Diagnostic;
use crate::units::{Length, Unit};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::path::Path;

/// How a drawing is read.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub struct DrawingKeys {
    /// The layer of a DXF, or the group of an SVG by its id or label; everything without it.
    #[serde(default)]
    pub layer: Option<String>,
    /// What one unit of the drawing is, whatever it says itself.
    #[serde(default)]
    pub units: Option<Unit>,
    /// How closely arcs follow its curves; 0.005 mm without it.
    #[serde(default)]
    pub tolerance: Option<Length>,
    /// Ends this near to each other are joined; 0.01 mm without it.
    #[serde(default)]
    pub join: Option<Length>,
}

impl DrawingKeys {
    /// What the reader of drawings takes, mm.
    #[must_use]
    pub fn options(&self) -> Options {
        let usual = Options::default();
        Options {
            layer: self.layer.clone(),
            units: self.units,
            tolerance: self.tolerance.map_or(usual.tolerance, |l| l.0),
            join: self.join.map_or(usual.join, |l| l.0),
        }
    }

    /// The drawing of this file, read so.
    #[must_use]
    pub fn of(&self, file: &str) -> TracingEntry {
        TracingEntry { file: file.to_string(), keys: self.clone() }
    }

    /// For a table at `key` that names no file: nothing may say how one is read.
    ///
    /// # Errors
    /// If something does, at its key.
    pub fn no_file(&self, key: &str) -> Result<(), Diagnostic> {
        let given = [
            ("layer", self.layer.is_some()),
            ("units", self.units.is_some()),
            ("tolerance", self.tolerance.is_some()),
            ("join", self.join.is_some()),
        ];
        match given.iter().find(|(_, is)| *is) {
            None => Ok(()),
            Some((word, _)) => {
                Err(Diagnostic::error(format!("`{word}` is of a drawing, and none is named"))
                    .key(format!("{key}.{word}"))
                    .help("name the drawing as `file`, or leave this out"))
            }
        }
    }
}

/// A drawing, as SVG or DXF.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(deny_unknown_fields)]
pub struct TracingEntry {
    /// The file, beside this one.
    pub file: String,
    /// How the drawing is read.
    #[serde(flatten)]
    pub keys: DrawingKeys,
}

impl TracingEntry {
    /// The closed outlines drawn there. `folder` is the job file's; `key` is where this stands in
    /// it.
    ///
    /// # Errors
    /// As [`read_outlines`], at the key, or with a place in the drawing.
    pub fn outlines(&self, folder: &Path, key: &str) -> Result<Outlines, Diagnostic> {
        read_outlines(&folder.join(&self.file), &self.keys.options())
            .map_err(|d| TracingEntry::at(d, key, &format!("{key}.file")))
    }

    /// The moulding's profile drawn there, with the wood behind it that the job states under
    /// `back_key`. `key` is where this stands in the job.
    ///
    /// # Errors
    /// As [`read_profile`]; or a back that the drawing says already, or that the face reaches.
    pub fn profile(
        &self,
        folder: &Path,
        key: &str,
        back: Option<Length>,
        back_key: &str,
    ) -> Result<DrawnProfile, Diagnostic> {
        let (path, options) = (folder.join(&self.file), self.keys.options());
        let drawn = match back {
            Some(back) => read_profile_with_back(&path, &options, back.0),
            None => read_profile(&path, &options),
        };
        drawn.map_err(|d| match d.key.as_deref() {
            Some("back") => d.key(back_key),
            _ => TracingEntry::at(d, key, key),
        })
    }

    /// A complaint with the key to look at: one of this table, or else `without`.
    fn at(d: Diagnostic, table: &str, without: &str) -> Diagnostic {
        let word = match d.key.as_deref() {
            Some(word @ ("tolerance" | "join" | "layer")) => format!("{table}.{word}"),
            _ => without.to_string(),
        };
        d.key(word)
    }
}
