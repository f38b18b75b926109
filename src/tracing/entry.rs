//! A drawing that a job names.

use super::{DrawnProfile, Options, Outlines, read_outlines, read_profile, read_profile_with_back};
use crate::diagnostic::Diagnostic;
use crate::units::{Length, Unit};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::path::Path;

/// A drawing, as SVG or DXF.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(deny_unknown_fields)]
pub struct TracingEntry {
    /// The file, beside this one.
    pub file: String,
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

impl TracingEntry {
    fn options(&self) -> Options {
        let usual = Options::default();
        Options {
            layer: self.layer.clone(),
            units: self.units,
            tolerance: self.tolerance.map_or(usual.tolerance, |l| l.0),
            join: self.join.map_or(usual.join, |l| l.0),
        }
    }

    /// The closed outlines drawn there. `folder` is the job file's; `key` is where this stands in
    /// it.
    ///
    /// # Errors
    /// As [`read_outlines`], at the key, or with a place in the drawing.
    pub fn outlines(&self, folder: &Path, key: &str) -> Result<Outlines, Diagnostic> {
        read_outlines(&folder.join(&self.file), &self.options())
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
        let (path, options) = (folder.join(&self.file), self.options());
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
