//! What a job makes of a drawing that it names: a part, or a moulding's profile.

use crate::diagnostic::Diagnostic;
use crate::geometry::profile::Profile;
use crate::part::Traced;
use crate::tracing::{self, DrawnProfile, Outlines, TracingEntry};
use crate::units::Length;
use std::path::Path;

impl TracingEntry {
    /// The part whose outline is drawn there.
    ///
    /// # Errors
    /// As [`TracingEntry::outlines`]; or another number of outlines than one.
    pub(super) fn part(&self, folder: &Path, key: &str) -> Result<Traced, Diagnostic> {
        let Outlines { contours, warnings } = self.outlines(folder, key)?;
        match contours.as_slice() {
            [only] => Ok(Traced::new(only, &self.file, warnings)),
            many => Err(Diagnostic::error(format!(
                "a part has one outline, and {} are drawn",
                many.len()
            ))
            .key(format!("{key}.file"))
            .help("put the part's outline on a layer of its own, and name that as `layer`")),
        }
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
}
