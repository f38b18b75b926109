//! Lengths, angles, feeds and masses of text as people write them, and back.
//!
//! The only place where inches, feet, centimetres or degrees exist. Everything else in the
//! library is millimetres, radians and millimetres per minute.

mod parse;
mod show;

pub use parse::{parse_angle, parse_feed, parse_length};
pub use show::{Shown, area, bound, decimal, feed, fraction};

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Serialize};
use std::borrow::Cow;

/// Millimetres in an inch, exactly (international inch).
pub const INCH: f64 = 25.4;

/// Largest length accepted, in millimetres: no board or table is near it.
pub const MAX_LENGTH: f64 = 100_000.0;

/// The unit of bare numbers in a file, and of what is shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Unit {
    /// Millimetres.
    #[default]
    #[serde(rename = "mm")]
    Mm,
    /// Inches.
    #[serde(rename = "in")]
    In,
}

impl Unit {
    /// Millimetres in one of this unit.
    #[must_use]
    pub fn mm(self) -> f64 {
        match self {
            Unit::Mm => 1.0,
            Unit::In => INCH,
        }
    }

    /// `mm` or `in`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Unit::Mm => "mm",
            Unit::In => "in",
        }
    }
}

/// A quantity read from a file: stored in the library's unit, written by people in theirs.
/// The reader in [`crate::document`] turns text such as `41 5/8` into the number, knowing from
/// the schema's `format` which kind of quantity it is.
macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $format:literal, $unit:literal, $examples:expr) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd, Deserialize)]
        #[serde(transparent)]
        pub struct $name(pub f64);

        /// Written with its unit, so that it means the same in a file of any units.
        impl Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.collect_str(&format_args!("{} {}", self.0, $unit))
            }
        }

        impl JsonSchema for $name {
            fn schema_name() -> Cow<'static, str> {
                stringify!($name).into()
            }
            fn json_schema(_: &mut SchemaGenerator) -> Schema {
                json_schema!({ "type": ["string", "number"], "format": $format, "examples": $examples })
            }
            fn inline_schema() -> bool {
                true
            }
        }
    };
}

quantity!(
    /// A length in millimetres. In files: `"41 5/8"`, `"3' 5 5/8\""`, `"1000 mm"`, `2.5`.
    Length, "length", "mm", ["41 5/8 in", "1000 mm", "2.5"]
);
quantity!(
    /// An angle in radians. In files: degrees, as `30` or `"30 deg"`, or `"0.5 rad"`.
    Angle, "angle", "rad", ["30", "30 deg"]
);
quantity!(
    /// A feed in millimetres per minute. In files: `"100 in/min"`, `"2500 mm/min"`, or a bare
    /// number in the file's units per minute.
    Feed, "feed", "mm/min", ["100 in/min", "2500 mm/min"]
);
