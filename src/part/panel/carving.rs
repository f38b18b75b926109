//! What can be carved, as it is written.

use super::build::FILLET;
use super::checks::Checks;
use super::drawing::DrawingShape;
use super::incised::{IncisedShape, sixty};
use crate::ornament::Swag;
use crate::relief::CushionProfile;
use crate::relief::source::UpAxis;
use crate::tracing::DrawingKeys;
use crate::units::{Angle, Length, Unit};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What is carved.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "carve", rename_all = "kebab-case")]
pub enum CarveShape {
    /// A swag between two ties; its origin in the middle between them.
    Festoon(FestoonShape),
    /// Petals about a beaded middle.
    Rosette(RosetteShape),
    /// A drop of husks that hangs from its origin.
    HuskDrop(HuskDropShape),
    /// A leaf that grows up from its origin.
    Acanthus(AcanthusShape),
    /// A band of laurel leaves, tied in the middle.
    Laurel(BandShape),
    /// Beads and reels in a row.
    BeadAndReel(BandShape),
    /// Eggs and darts in a row.
    EggAndDart(BandShape),
    /// Two bands plaited round eyes.
    Guilloche(BandShape),
    /// Upright flutes side by side.
    Fluting(ChannelsShape),
    /// Upright reeds side by side.
    Reeding(ChannelsShape),
    /// Greek hooks on a rail, raised or incised.
    KeyFret(KeyFretShape),
    /// Words, incised with a V cutter.
    Lettering(LetteringShape),
    /// Outlines or lines of a drawing, incised with a V cutter.
    Incised(IncisedShape),
    /// An outline, raised as a cushion.
    Cushion(CushionShape),
    /// Heights from a grey picture.
    Picture(PictureShape),
    /// Heights from a mesh.
    Mesh(MeshShape),
}

/// What a festoon is made of.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum SwagShape {
    /// Husks from both ties to a flower.
    #[default]
    Husks,
    /// Leaves with berries.
    Leaves,
    /// Folds of cloth.
    Cloth,
}

impl From<SwagShape> for Swag {
    fn from(shape: SwagShape) -> Swag {
        match shape {
            SwagShape::Husks => Swag::Husks,
            SwagShape::Leaves => Swag::Leaves,
            SwagShape::Cloth => Swag::Cloth,
        }
    }
}

/// A festoon.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(deny_unknown_fields)]
pub struct FestoonShape {
    /// From tie to tie.
    pub span: Length,
    /// Its lowest point below the ties.
    pub sag: Length,
    /// Its width where it is fullest.
    pub full: Length,
    /// Its highest point over the ground.
    pub depth: Length,
    /// What hangs: husks, leaves or cloth.
    #[serde(default)]
    pub of: SwagShape,
    /// No ribbons at the ties.
    #[serde(default)]
    pub plain_ties: bool,
}

/// A rosette.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(deny_unknown_fields)]
pub struct RosetteShape {
    /// Across its petals.
    pub diameter: Length,
    /// Its highest point over the ground.
    pub depth: Length,
    /// Petals in each whorl.
    #[serde(default = "eight")]
    #[schemars(range(min = 3, max = 24))]
    pub petals: u32,
    /// Whorls.
    #[serde(default = "two")]
    #[schemars(range(min = 1, max = 4))]
    pub whorls: u32,
}

fn eight() -> u32 {
    8
}

fn two() -> u32 {
    2
}

/// A drop of husks.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(deny_unknown_fields)]
pub struct HuskDropShape {
    /// From its hanging point to its end.
    pub length: Length,
    /// Its highest point over the ground.
    pub depth: Length,
    /// How many husks.
    #[serde(default = "five")]
    #[schemars(range(min = 1, max = 60))]
    pub count: u32,
    /// The last husk's length over the first one's; 0.6 without it.
    #[serde(default)]
    pub taper: Option<f64>,
}

fn five() -> u32 {
    5
}

/// An acanthus leaf.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(deny_unknown_fields)]
pub struct AcanthusShape {
    /// From foot to tip.
    pub height: Length,
    /// Across its widest lobes.
    pub width: Length,
    /// Its highest point over the ground.
    pub depth: Length,
    /// Pairs of lobes; 0 for the simple leaf.
    #[serde(default = "three")]
    #[schemars(range(min = 0, max = 6))]
    pub lobes: u32,
}

fn three() -> u32 {
    3
}

/// A band about its origin, along x.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(deny_unknown_fields)]
pub struct BandShape {
    /// Along it.
    pub length: Length,
    /// Across it.
    pub height: Length,
    /// Its highest point over the ground.
    pub depth: Length,
}

/// Flutes or reeds.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(deny_unknown_fields)]
pub struct ChannelsShape {
    /// Across all of them.
    pub width: Length,
    /// Along them.
    pub height: Length,
    /// How deep, or how high; at most a half circle.
    pub depth: Length,
    /// How many.
    #[schemars(range(min = 1, max = 200))]
    pub count: u32,
}

/// A key fret.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(deny_unknown_fields)]
pub struct KeyFretShape {
    /// Longest it may be; whole hooks are fitted into it.
    pub length: Length,
    /// Highest it may be.
    pub height: Length,
    /// How high it is raised, or how deep the V may go.
    pub depth: Length,
    /// Incised with a V cutter of this included angle; raised without it.
    #[serde(default)]
    pub v_angle: Option<Angle>,
}

/// Lettering.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(deny_unknown_fields)]
pub struct LetteringShape {
    /// The words; one line, its baseline through the origin.
    pub text: String,
    /// Height of its capitals.
    pub height: Length,
    /// How deep the V may go.
    pub depth: Length,
    /// Added between letters.
    #[serde(default)]
    pub spacing: Length,
    /// Included angle of the V cutter.
    #[serde(default = "sixty")]
    pub v_angle: Angle,
    /// A TrueType or OpenType file beside the job; DejaVu Serif without it.
    #[serde(default)]
    pub font: Option<String>,
}

/// A cushion.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(deny_unknown_fields)]
pub struct CushionShape {
    /// Corners of a straight-sided outline, x and y from the origin.
    #[serde(default)]
    pub corners: Vec<[Length; 2]>,
    /// Outlines from an SVG or DXF beside the job, in place of corners; their middle at the
    /// origin.
    #[serde(default)]
    pub file: Option<String>,
    /// How the drawing is read.
    #[serde(flatten)]
    pub keys: DrawingKeys,
    /// Width of the drawing on the panel; its own size without it.
    #[serde(default)]
    pub width: Option<Length>,
    /// How high it rises.
    pub depth: Length,
    /// Over which distance from its edge.
    pub over: Length,
    /// How: round, soft or bevel.
    #[serde(default = "round")]
    pub profile: CushionProfile,
}

impl CushionShape {
    /// The drawing that it follows, if it has one.
    pub(super) fn drawing(&self) -> Option<DrawingShape> {
        let file = self.file.as_ref()?;
        Some(DrawingShape { drawing: self.keys.of(file), width: self.width })
    }
}

fn round() -> CushionProfile {
    CushionProfile::Round
}

/// A grey picture.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(deny_unknown_fields)]
pub struct PictureShape {
    /// A PNG or TIFF of 8 or 16 bits beside the job.
    pub file: String,
    /// Its width on the panel; the height follows.
    pub width: Length,
    /// From its lowest to its highest grey.
    pub depth: Length,
    /// Black is high, not white.
    #[serde(default)]
    pub black_high: bool,
    /// Height goes as the grey value to this power; 1 without it.
    #[serde(default)]
    pub gamma: Option<f64>,
    /// Smoothing against stairs, as a standard deviation in pixels; 1 without it, 0 for none.
    #[serde(default)]
    pub smoothing: Option<f64>,
}

/// A mesh.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(deny_unknown_fields)]
pub struct MeshShape {
    /// An STL or OBJ file beside the job.
    pub file: String,
    /// It is made as large as fits this length and width; its own size without it.
    #[serde(default)]
    pub fit: Option<[Length; 2]>,
    /// The unit of the file's numbers, where its own size counts.
    #[serde(default)]
    pub unit: Unit,
    /// From its lowest place to its highest; in proportion without it.
    #[serde(default)]
    pub depth: Option<Length>,
    /// The axis that points out of the board.
    #[serde(default)]
    pub up: UpAxis,
    /// Cut off at the left, front, right and back, as shares of its extent.
    #[serde(default)]
    pub crop: [f64; 4],
    /// What is lower than this share of its height is left out.
    #[serde(default)]
    pub floor: f64,
}

impl CarveShape {
    /// The key of what it is made from.
    pub(super) fn source(&self) -> &'static str {
        match self {
            CarveShape::Lettering(_) => "text",
            CarveShape::KeyFret(_) => "length",
            _ => "file",
        }
    }

    /// Whether a V cutter cuts it into the ground.
    #[must_use]
    pub fn is_incised(&self) -> bool {
        match self {
            CarveShape::Lettering(_) | CarveShape::Incised(_) => true,
            CarveShape::KeyFret(s) => s.v_angle.is_some(),
            _ => false,
        }
    }

    /// Every size that can not be.
    pub(super) fn check(&self, c: &mut Checks<'_>) {
        match self {
            CarveShape::Festoon(s) => {
                lengths(
                    c,
                    &[("span", s.span), ("sag", s.sag), ("full", s.full), ("depth", s.depth)],
                );
                if s.full.0 >= s.span.0 {
                    c.push(
                        "full",
                        "the swag is fuller than it is long".to_string(),
                        "less than its span",
                    );
                }
                // A chain that hangs three times its span is two drops side by side.
                if s.sag.0 > 3.0 * s.span.0 {
                    c.push(
                        "sag",
                        "the swag hangs deeper than three spans".to_string(),
                        "hang drops instead",
                    );
                }
            }
            CarveShape::Rosette(s) => {
                lengths(c, &[("diameter", s.diameter), ("depth", s.depth)]);
                c.number("petals", f64::from(s.petals), 3.0, 24.0);
                c.number("whorls", f64::from(s.whorls), 1.0, 4.0);
            }
            CarveShape::HuskDrop(s) => {
                lengths(c, &[("length", s.length), ("depth", s.depth)]);
                c.number("count", f64::from(s.count), 1.0, 60.0);
                c.number("taper", s.taper.unwrap_or(1.0), 0.2, 1.0);
            }
            CarveShape::Acanthus(s) => {
                lengths(c, &[("height", s.height), ("width", s.width), ("depth", s.depth)]);
                c.number("lobes", f64::from(s.lobes), 0.0, 6.0);
            }
            CarveShape::Laurel(s)
            | CarveShape::BeadAndReel(s)
            | CarveShape::EggAndDart(s)
            | CarveShape::Guilloche(s) => {
                lengths(c, &[("length", s.length), ("height", s.height), ("depth", s.depth)]);
                if s.length.0 < s.height.0 || s.length.0 > 500.0 * s.height.0 {
                    c.push(
                        "length",
                        "no band has that proportion".to_string(),
                        "from 1 to 500 heights",
                    );
                }
            }
            CarveShape::Fluting(s) | CarveShape::Reeding(s) => {
                lengths(c, &[("width", s.width), ("height", s.height), ("depth", s.depth)]);
                c.number("count", f64::from(s.count), 1.0, 200.0);
                let count = f64::from(s.count.max(1));
                let (name, across) = match self {
                    CarveShape::Fluting(_) => ("flute", count * (1.0 + FILLET) + FILLET),
                    _ => ("reed", count),
                };
                let half = s.width.0 / across / 2.0;
                if s.depth.0 > half {
                    let message = format!("a {name} is a half circle at most, {{}} here, not {{}}");
                    c.lengths("depth", &message, [half, s.depth.0], "less, or fewer of them");
                }
            }
            CarveShape::KeyFret(s) => {
                lengths(c, &[("length", s.length), ("height", s.height), ("depth", s.depth)]);
                // A hook on each side and the upright between them are 13 squares of a fifth.
                if s.length.0 < 0.5 * s.height.0 || s.length.0 > 500.0 * s.height.0 {
                    c.push(
                        "length",
                        "no fret has that proportion".to_string(),
                        "from 1/2 to 500 heights",
                    );
                }
                if let Some(angle) = s.v_angle {
                    v_angle(c, angle);
                }
            }
            CarveShape::Lettering(s) => {
                lengths(c, &[("height", s.height), ("depth", s.depth)]);
                v_angle(c, s.v_angle);
                if s.text.trim().is_empty() {
                    c.push("text", "there is nothing to letter".to_string(), "give the words");
                }
            }
            CarveShape::Cushion(s) => {
                lengths(c, &[("depth", s.depth)]);
                if !(s.over.0 > 0.0 && s.over.0.is_finite()) {
                    c.push("over", "it must rise over some distance".to_string(), "more than zero");
                }
                if let Some(drawing) = s.drawing() {
                    drawing.check(c);
                    if !s.corners.is_empty() {
                        let both = "an outline has corners or is drawn, not both".to_string();
                        c.push("corners", both, "leave `corners` or `file` out");
                    }
                } else {
                    c.no_file(&s.keys);
                }
                if s.file.is_none() && s.corners.len() < 3 {
                    let few = "too few corners for an outline".to_string();
                    c.push("corners", few, "at least 3, or a `file` with outlines");
                }
            }
            CarveShape::Incised(s) => s.check(c),
            CarveShape::Picture(s) => {
                lengths(c, &[("width", s.width), ("depth", s.depth)]);
                c.number("gamma", s.gamma.unwrap_or(1.0), 0.1, 10.0);
                c.number("smoothing", s.smoothing.unwrap_or(0.0), 0.0, 50.0);
            }
            CarveShape::Mesh(s) => {
                for length in s.fit.iter().flatten() {
                    c.positive("fit", length.0);
                }
                if let Some(depth) = s.depth {
                    c.positive("depth", depth.0);
                }
                for share in s.crop {
                    c.number("crop", share, 0.0, 0.99);
                }
                c.number("floor", s.floor, 0.0, 0.99);
            }
        }
    }
}

fn lengths(c: &mut Checks<'_>, all: &[(&str, Length)]) {
    for (name, length) in all {
        c.positive(name, length.0);
    }
}

/// V cutters from needles to chamfers (common practice).
pub(super) fn v_angle(c: &mut Checks<'_>, angle: Angle) {
    let degrees = angle.0.to_degrees();
    if !(15.0..=150.0).contains(&degrees) {
        c.push(
            "v-angle",
            format!("no V cutter has {degrees:.1} degrees"),
            "from 15 to 150 degrees",
        );
    }
}
