//! The surface that a part's cuts should leave, for the dry run to hold the program against.

use crate::geometry::{Band, Point};
use std::sync::Arc;

type Heights = dyn Fn(Point) -> Option<Band> + Send + Sync;

/// What may stand at each place in plan, work coordinates; `None` where anything may.
#[derive(Clone)]
pub struct Surface(Arc<Heights>);

impl Surface {
    /// From a rule.
    pub fn new(heights: impl Fn(Point) -> Option<Band> + Send + Sync + 'static) -> Surface {
        Surface(Arc::new(heights))
    }

    /// The rule.
    pub fn heights(&self) -> &(dyn Fn(Point) -> Option<Band> + Send + Sync) {
        &*self.0
    }
}

impl std::fmt::Debug for Surface {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Surface")
    }
}
