//! The trade's elements of a moulding, as people write them.

use crate::units::Length;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A moulding as a stack of elements, from the bottom up.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Moulding {
    /// Its elements, the lowest first.
    #[schemars(length(min = 1, max = 100))]
    pub element: Vec<Element>,
    /// Wood behind the lowest inner end of the face; 0 puts the back in line with it.
    #[serde(default)]
    pub back: Length,
}

/// One element of a moulding.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Element {
    /// Its name in the trade.
    pub kind: ElementKind,
    /// Its height.
    pub height: Length,
    /// How far it stands out. Ovolo, cavetto, cyma recta, cyma reversa and scotia: the upper end
    /// beyond the lower end (a scotia may do without). Fillet and fascia: the face beyond the
    /// element below (0 when left out). Bead, astragal and torus: the roundest point beyond the
    /// element below (half the height when left out).
    #[serde(default)]
    pub projection: Option<Length>,
    /// A level shelf below the element, outwards; negative sets the element back.
    #[serde(default)]
    pub step: Length,
}

/// The elements by name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum ElementKind {
    /// A narrow upright face.
    Fillet,
    /// A broad upright face.
    Fascia,
    /// A small half round.
    Bead,
    /// A half round between others.
    Astragal,
    /// A large half round.
    Torus,
    /// A convex quarter.
    Ovolo,
    /// A concave quarter.
    Cavetto,
    /// Convex below, concave above; level at its ends in the equal form.
    CymaRecta,
    /// Concave below, convex above; upright at its ends in the equal form.
    CymaReversa,
    /// A deep hollow of two arcs.
    Scotia,
}

impl ElementKind {
    /// All kinds.
    pub const ALL: [ElementKind; 10] = [
        ElementKind::Fillet,
        ElementKind::Fascia,
        ElementKind::Bead,
        ElementKind::Astragal,
        ElementKind::Torus,
        ElementKind::Ovolo,
        ElementKind::Cavetto,
        ElementKind::CymaRecta,
        ElementKind::CymaReversa,
        ElementKind::Scotia,
    ];

    /// The name as files spell it.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            ElementKind::Fillet => "fillet",
            ElementKind::Fascia => "fascia",
            ElementKind::Bead => "bead",
            ElementKind::Astragal => "astragal",
            ElementKind::Torus => "torus",
            ElementKind::Ovolo => "ovolo",
            ElementKind::Cavetto => "cavetto",
            ElementKind::CymaRecta => "cyma-recta",
            ElementKind::CymaReversa => "cyma-reversa",
            ElementKind::Scotia => "scotia",
        }
    }
}
