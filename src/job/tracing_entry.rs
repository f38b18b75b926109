//! A drawing that a job names.

use crate::diagnostic::Diagnostic;
use crate::geometry::profile::Profile;
use crate::part::Traced;
use crate::tracing::{self, DrawnProfile, Options, Outlines};
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

    /// The part whose outline is drawn there.
    ///
    /// # Errors
    /// As [`TracingEntry::outlines`]; or another number of outlines than one.
    pub(super) fn part(&self, folder: &Path, key: &str) -> Result<Traced, Diagnostic> {
        let Outlines { contours, warnings } = self.outlines(folder, key)?;
        match contours.as_slice() {
            [only] => Ok(Traced::new(only, warnings)),
            many => Err(Diagnostic::error(format!(
                "a part has one outline, and {} are drawn",
                many.len()
            ))
            .key(format!("{key}.file"))
            .help("put the part's outline on a layer of its own, and name that as `layer`")),
        }
    }

    /// The closed outlines drawn there. `folder` is the job file's; `key` is where this stands in
    /// it.
    ///
    /// # Errors
    /// As [`tracing::read_outlines`], at the key, or with a place in the drawing.
    pub fn outlines(&self, folder: &Path, key: &str) -> Result<Outlines, Diagnostic> {
        tracing::read_outlines(&folder.join(&self.file), &self.options())
            .map_err(|d| TracingEntry::at(d, key, &format!("{key}.file")))
    }

    /// The moulding's profile drawn there, with the wood behind it that the job states.
    ///
    /// # Errors
    /// As [`tracing::read_profile`]; or a back that the drawing says already, or that the face
    /// reaches.
    pub(super) fn profile(
        &self,
        folder: &Path,
        back: Option<Length>,
        key: &str,
    ) -> Result<DrawnProfile, Diagnostic> {
        let own = format!("{key}.profile");
        let drawn = tracing::read_profile(&folder.join(&self.file), &self.options())
            .map_err(|d| TracingEntry::at(d, &own, &own))?;
        let Some(back) = back else { return Ok(drawn) };
        let back_key = format!("{key}.back");
        if drawn.profile.back > 0.0 {
            let said = drawn.profile.back;
            return Err(Diagnostic::error(format!("the drawn section has a back of {said:.3} mm"))
                .key(back_key)
                .help("leave `back` out, or draw the face alone"));
        }
        let profile: Profile = drawn.profile.with_back(back.0).map_err(|d| d.key(back_key))?;
        Ok(DrawnProfile { profile, ..drawn })
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
