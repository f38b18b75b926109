//! Telling whoever waits what is being worked on.

use std::fmt;

type Told<'a> = &'a (dyn Fn(&str, f64) + Sync);

/// Who is told what is being worked on, and which share of that is done, from 0 to 1; from any
/// thread, and more often than anyone looks.
#[derive(Clone, Copy, Default)]
pub struct Watch<'a>(Option<Told<'a>>);

impl<'a> Watch<'a> {
    /// Nobody waits.
    pub const NOBODY: Watch<'static> = Watch(None);

    /// Someone does.
    #[must_use]
    pub fn new(told: Told<'a>) -> Watch<'a> {
        Watch(Some(told))
    }

    /// Tells what is being done and how much of it is done.
    pub fn tell(&self, what: &str, share: f64) {
        if let Some(told) = self.0 {
            told(what, share);
        }
    }
}

impl fmt::Debug for Watch<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(if self.0.is_some() { "Watch" } else { "Nobody" })
    }
}
