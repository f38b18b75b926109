//! A moulding of a header: by elements, by its tracing, or as measured; solid or sprung.

use crate::diagnostic::Diagnostic;
use crate::geometry::profile::{Element, Moulding, Profile};
use crate::layout::Standing;
use crate::tracing::{DrawnProfile, TracingEntry};
use crate::units::{Angle, Length};
use std::path::Path;

/// A stated spring angle may differ so much from the one that height and projection give, radians:
/// half a degree, what a bevel gauge tells (common practice).
const SAME_SPRING: f64 = 0.5 / 180.0 * std::f64::consts::PI;

/// A moulding's size, and its profile where it is known.
pub(super) struct Section {
    pub(super) height: f64,
    pub(super) out: f64,
    pub(super) profile: Option<Profile>,
    /// Between its back and the wall, radians, where it is sprung.
    pub(super) spring: Option<f64>,
    pub(super) warnings: Vec<Diagnostic>,
}

/// A moulding as given.
pub(super) struct Given<'a> {
    pub(super) key: &'a str,
    pub(super) element: &'a [Element],
    pub(super) drawn: Option<&'a TracingEntry>,
    /// The job file's folder.
    pub(super) folder: &'a Path,
    pub(super) back: Option<Length>,
    pub(super) height: Option<Length>,
    pub(super) out: Option<Length>,
    /// The word for how far it stands out.
    pub(super) out_word: &'a str,
    pub(super) spring: Option<Angle>,
    pub(super) sprung: bool,
}

impl Given<'_> {
    pub(super) fn section(&self) -> Result<Section, Vec<Diagnostic>> {
        let (form, verb) = match (self.element.is_empty(), self.drawn) {
            (true, None) => return self.measured().map_err(|one| vec![one]),
            (false, Some(_)) => {
                return Err(vec![
                    self.wrong("profile", "the moulding has both elements and a tracing")
                        .help("leave one of them out"),
                ]);
            }
            (false, None) => ("elements", "say"),
            (true, Some(_)) => ("tracing", "says"),
        };
        let said = [("height", self.height.is_some()), (self.out_word, self.out.is_some())];
        if let Some((word, _)) = said.iter().find(|(_, given)| *given) {
            return Err(vec![
                self.wrong(word, format!("the {form} already {verb} the {word}"))
                    .help(format!("leave `{word}` out, or the {form}")),
            ]);
        }
        let spring = self.leaning().map_err(|one| vec![one])?;
        let drawn = match self.drawn {
            Some(entry) => {
                let own = |word: &str| format!("{}.{word}", self.key);
                let drawn = entry.profile(self.folder, &own("profile"), self.back, &own("back"));
                drawn.map_err(|d| vec![d])?
            }
            None => {
                let back = self.back.unwrap_or_default();
                let moulding = Moulding { element: self.element.to_vec(), back };
                let profile = Profile::build(&moulding, self.key)?;
                DrawnProfile { profile, warnings: Vec::new() }
            }
        };
        // A sprung one is drawn as it lies flat on its back.
        let (height, out) = Standing { profile: &drawn.profile, spring }.size();
        Ok(Section { height, out, profile: Some(drawn.profile), spring, warnings: drawn.warnings })
    }

    fn wrong(&self, word: &str, message: impl Into<String>) -> Diagnostic {
        Diagnostic::error(message).key(format!("{}.{word}", self.key))
    }

    fn measured(&self) -> Result<Section, Diagnostic> {
        let (key, word) = (self.key, self.out_word);
        if self.back.is_some() {
            return Err(self
                .wrong("back", "a back belongs to elements, and there are none")
                .help(format!("give [[{key}.element]] tables, or leave `back` out")));
        }
        let (height, out, spring) = match (self.height, self.out, self.leaning()?) {
            (Some(height), Some(out), spring) => (height.0, out.0, spring),
            // The back is the long side of a triangle of height and projection.
            (Some(height), None, Some(spring)) => (height.0, height.0 * spring.tan(), Some(spring)),
            (None, Some(out), Some(spring)) => (out.0 / spring.tan(), out.0, Some(spring)),
            _ => {
                return Err(Diagnostic::error(format!(
                    "the moulding has neither elements nor both of `height` and `{word}`"
                ))
                .key(key)
                .help(format!(
                    "give [[{key}.element]] tables, a `profile`, or `height` and `{word}` as measured"
                )));
            }
        };
        Ok(Section { height, out, profile: None, spring, warnings: Vec::new() })
    }

    /// The spring angle from the wall: stated, or of its height and projection.
    fn leaning(&self) -> Result<Option<f64>, Diagnostic> {
        let of_sides = self.height.zip(self.out).map(|(h, o)| o.0.atan2(h.0));
        let Some(stated) = self.spring else {
            let why = || {
                let word = self.out_word;
                if !self.element.is_empty() || self.drawn.is_some() {
                    return self
                        .wrong("sprung", "a profile that lies flat does not say its angle")
                        .help("give the angle between its back and the wall as `spring`");
                }
                self.wrong("sprung", format!("no angle without both of `height` and `{word}`"))
                    .help("give them, or the angle as `spring`")
            };
            return if self.sprung { of_sides.ok_or_else(why).map(Some) } else { Ok(None) };
        };
        let degrees = stated.0.to_degrees();
        // Beyond these a moulding no longer spans from one face to the other.
        if !(1.0..=89.0).contains(&degrees) {
            return Err(self
                .wrong("spring", format!("a spring angle of {degrees:.2}° is no spring"))
                .help("1° to 89° from the wall; 38° and 45° are usual"));
        }
        match of_sides {
            Some(sides) if (sides - stated.0).abs() > SAME_SPRING => Err(self
                .wrong(
                    "spring",
                    format!(
                        "{degrees:.2}° does not fit: its height and {} make {:.2}°",
                        self.out_word,
                        sides.to_degrees()
                    ),
                )
                .help(
                    "the angle is from the wall, not the ceiling; or leave one of the three out",
                )),
            // As measured: what both sides say is finer than a bevel gauge.
            Some(sides) => Ok(Some(sides)),
            None => Ok(Some(stated.0)),
        }
    }
}
