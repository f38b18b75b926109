//! A moulding along a path, milled from the solid: a bed mould round a bowed cap, an arched band.

mod arcs;
mod path;
mod segments;

pub use path::{Grows, LegShape, PathShape, StraightShape};

use crate::diagnostic::Diagnostic;
use crate::geometry::profile::{self, Profile};
use crate::geometry::{Contour, Path, Piece, Point};
use crate::units::{Angle, Length, Shown};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How a moulding lies on the table.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Pose {
    /// On its back, the face up.
    BackDown,
    /// On its top, upside down: the usual way for a moulding that steps out as it rises.
    TopDown,
    /// On its bottom, upright.
    BottomDown,
}

impl Pose {
    /// All of them.
    pub const ALL: [Pose; 3] = [Pose::BackDown, Pose::TopDown, Pose::BottomDown];

    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Pose::BackDown => "back down",
            Pose::TopDown => "top down",
            Pose::BottomDown => "bottom down",
        }
    }
}

/// In which order and direction finishing passes run.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum PassOrder {
    /// To and fro, each pass joined to the next.
    #[default]
    BothWays,
    /// Each half from the middle down to its end, with the fibres; the cutter lifts between.
    Downhill,
}

/// A moulding along a path.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(deny_unknown_fields)]
pub struct MouldingShape {
    /// Its section: elements from the bottom up, and the wood behind them.
    pub profile: profile::Moulding,
    /// What it follows.
    pub path: PathShape,
    /// How it lies on the table; a bed mould top down, any other back down without it.
    #[serde(default)]
    pub pose: Option<Pose>,
    /// Height of the ridges that finishing may leave between its passes.
    #[serde(default = "default_scallop")]
    pub scallop: Length,
    /// Wood that roughing leaves on the face for finishing.
    #[serde(default = "default_allowance")]
    pub allowance: Length,
    /// Number of the cutter that roughs; chosen from the shop's without it.
    #[serde(default)]
    pub rough: Option<u32>,
    /// Numbers of the cutters that finish, in their order; chosen from the shop's without it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub finish: Vec<u32>,
    /// Which way finishing passes run.
    #[serde(default)]
    pub passes: PassOrder,
    /// How far its left end leans from square, in the plane of the table: positive where the
    /// moulding grows longer away from the path.
    #[serde(default)]
    pub mitre_left: Angle,
    /// The same of its right end.
    #[serde(default)]
    pub mitre_right: Angle,
    /// How many segments, butted square, make it up; as few as board and grain allow without it.
    #[serde(default)]
    #[schemars(range(min = 1, max = 24))]
    pub segments: Option<u32>,
    /// Greatest angle at which a segment may run off the grain.
    #[serde(default = "default_run_out")]
    pub run_out: Angle,
}

fn default_scallop() -> Length {
    // Sands away with one grit (common practice).
    Length(0.03)
}

fn default_allowance() -> Length {
    // Finishing sweeps leave 0.5 to 1 mm (common practice).
    Length(0.8)
}

fn default_run_out() -> Angle {
    // A half circle of three segments runs 30 degrees off the grain at most (common practice).
    Angle(30.5_f64.to_radians())
}

/// A moulding that can be made.
#[derive(Clone, Debug, PartialEq)]
pub struct Moulding {
    /// Its section.
    pub profile: Profile,
    /// How it lies.
    pub pose: Pose,
    /// What it follows, whole.
    pub path: Vec<Piece>,
    /// Each segment's path, its chord along x from the origin.
    pub segments: Vec<Path>,
    /// Least and greatest distance from the path.
    pub extent: (f64, f64),
    /// Length along the path.
    pub length: f64,
    /// Greatest angle off the grain, radians.
    pub run_out: f64,
    /// As written: scallop, allowance, cutters, order.
    pub shape: MouldingShape,
}

/// What is asked of a moulding, millimetres and radians.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MouldingFigures {
    /// Height of the section.
    pub height: f64,
    /// From the back to its outermost point.
    pub thickness: f64,
    /// Area of the section, mm².
    pub area: f64,
    /// Length along the path.
    pub length: f64,
    /// Least radius of the path; none of a straight one.
    pub least_radius: Option<f64>,
    /// Segments.
    pub segments: usize,
    /// Greatest angle off the grain.
    pub run_out: f64,
}

/// Scallops that are asked for lie between these, mm: below, a program without end; above, a
/// washboard.
const SCALLOPS: (f64, f64) = (0.002, 1.0);

/// Least and greatest allowance, mm.
const ALLOWANCES: (f64, f64) = (0.2, 3.0);

impl MouldingShape {
    /// As usual in everything but profile and path.
    #[must_use]
    pub fn new(profile: profile::Moulding, path: PathShape) -> MouldingShape {
        MouldingShape {
            profile,
            path,
            pose: None,
            scallop: default_scallop(),
            allowance: default_allowance(),
            rough: None,
            finish: Vec::new(),
            passes: PassOrder::default(),
            mitre_left: Angle(0.0),
            mitre_right: Angle(0.0),
            segments: None,
            run_out: default_run_out(),
        }
    }

    /// The moulding, or why there is none. `key` is where it stands in the job file, `usual` the
    /// pose of its kind, `board` the length of the stock, if it is known.
    ///
    /// # Errors
    /// Every figure that can not be, each with what can.
    pub fn resolve(
        &self,
        key: &str,
        usual: Pose,
        shown: Shown,
    ) -> Result<Moulding, Vec<Diagnostic>> {
        let profile = Profile::build(&self.profile, &format!("{key}.profile"));
        self.with_profile(profile, key, usual, shown)
    }

    /// As [`MouldingShape::resolve`], with a profile that was drawn elsewhere in the job.
    ///
    /// # Errors
    /// As [`MouldingShape::resolve`].
    pub fn with_profile(
        &self,
        profile: Result<Profile, Vec<Diagnostic>>,
        key: &str,
        usual: Pose,
        shown: Shown,
    ) -> Result<Moulding, Vec<Diagnostic>> {
        let mut found = self.out_of_range(key, shown);
        let pieces = self.path.pieces(&format!("{key}.path"), shown);
        match (profile, pieces) {
            (Ok(profile), Ok(pieces)) if found.is_empty() => {
                self.settle(key, usual, profile, &pieces, shown).map_err(|one| vec![one])
            }
            (profile, pieces) => {
                found.extend(profile.err().into_iter().flatten());
                found.extend(pieces.err());
                Err(found)
            }
        }
    }

    fn out_of_range(&self, key: &str, shown: Shown) -> Vec<Diagnostic> {
        let mut found = Vec::new();
        let ranges =
            [("scallop", self.scallop.0, SCALLOPS), ("allowance", self.allowance.0, ALLOWANCES)];
        for (what, value, (low, high)) in ranges {
            if !(low..=high).contains(&value) {
                let message =
                    format!("{} of {} does not work", with_article(what), shown.both(value));
                found.push(Diagnostic::error(message).key(format!("{key}.{what}")).help(format!(
                    "{} to {}",
                    shown.both(low),
                    shown.both(high)
                )));
            }
        }
        for (what, angle) in [("mitre-left", self.mitre_left), ("mitre-right", self.mitre_right)] {
            let key = format!("{key}.{what}");
            found.extend(path::check_mitre(angle, &key).err());
            if angle.0 != 0.0 && matches!(self.path, PathShape::Pieces { .. }) {
                found.push(
                    Diagnostic::error("each piece has mitres of its own")
                        .key(key)
                        .help("give it in the piece's own table, and leave it out here"),
                );
            }
        }
        if !(0.05..=1.6).contains(&self.run_out.0) {
            found.push(
                Diagnostic::error("no moulding could keep to that run-out")
                    .key(format!("{key}.run-out"))
                    .help("3 to 90 degrees; 30 is usual (common practice)"),
            );
        }
        found
    }

    fn settle(
        &self,
        key: &str,
        usual: Pose,
        profile: Profile,
        pieces: &[Piece],
        shown: Shown,
    ) -> Result<Moulding, Diagnostic> {
        let pose = self.pose.unwrap_or(usual);
        let (low, high) = profile.face.bounds().unwrap_or_default();
        let extent = match pose {
            Pose::BackDown => (low.y, high.y),
            // Wood behind the lower inner end belongs to the section from its back on.
            Pose::TopDown | Pose::BottomDown => (0.0, profile.thickness()),
        };
        let lean = [self.mitre_left.0, self.mitre_right.0];
        let count = self.count(key, pieces)?;
        let segments = match &self.path {
            PathShape::Pieces { piece } => piece.iter().map(StraightShape::path).collect(),
            _ => segments::divide(pieces, count, lean),
        };
        for path in &segments {
            for u in [extent.0, extent.1] {
                path.lane(u, 0.0).map_err(|tight| {
                    Diagnostic::error(format!(
                        "the moulding is {} wide on the hollow side of an arc of radius {}",
                        shown.both(tight.aside),
                        shown.both(tight.radius)
                    ))
                    .key(format!("{key}.path"))
                    .help("let it grow outward, or give the arc a greater radius")
                })?;
            }
        }
        self.ends_apart(&segments, extent, key, shown)?;
        let run_out = segments.iter().map(segments::run_out).fold(0.0, f64::max);
        let length = pieces.iter().map(Piece::length).sum();
        let path = pieces.to_vec();
        Ok(Moulding { profile, pose, path, segments, extent, length, run_out, shape: self.clone() })
    }

    /// Refuses a straight piece whose inside mitres meet before its face.
    fn ends_apart(
        &self,
        segments: &[Path],
        extent: (f64, f64),
        key: &str,
        shown: Shown,
    ) -> Result<(), Diagnostic> {
        let PathShape::Pieces { piece } = &self.path else { return Ok(()) };
        for (i, (path, one)) in segments.iter().zip(piece).enumerate() {
            let lane = path.lane(extent.1, 0.0).unwrap_or_default();
            if lane.iter().all(|p| p.to.x > p.from.x) {
                continue;
            }
            let lean = one.mitre_left.0.tan() + one.mitre_right.0.tan();
            return Err(Diagnostic::error(format!(
                "mitres that lean inward meet before the face of a piece {} long",
                shown.both(one.length.0)
            ))
            .key(format!("{key}.path.piece[{}].length", i + 1))
            .help(format!("more than {}", shown.both(-lean * extent.1))));
        }
        Ok(())
    }

    /// As many segments as were asked for, or as few as the grain allows. A chain with breaks is
    /// returned in the solid: it stays in one piece.
    fn count(&self, key: &str, pieces: &[Piece]) -> Result<usize, Diagnostic> {
        let breaks = matches!(self.path, PathShape::Chain { .. });
        if let PathShape::Pieces { piece } = &self.path {
            return Ok(piece.len());
        }
        if let Some(asked) = self.segments {
            return Ok(asked as usize);
        }
        if breaks {
            return Ok(1);
        }
        let off = |count: usize| {
            let paths = segments::divide(pieces, count, [0.0; 2]);
            paths.iter().map(segments::run_out).fold(0.0, f64::max)
        };
        (1..=segments::MOST).find(|n| off(*n) <= self.run_out.0 + 1e-9).ok_or_else(|| {
            Diagnostic::error(format!(
                "even {} segments run off the grain by {:.1} degrees",
                segments::MOST,
                off(segments::MOST).to_degrees()
            ))
            .key(format!("{key}.run-out"))
            .help("allow more run-out")
        })
    }
}

fn with_article(what: &str) -> String {
    format!("{} {what}", if what.starts_with('a') { "an" } else { "a" })
}

impl Moulding {
    /// The same in as many segments as boards of this length ask for, where the file does not
    /// say how many.
    #[must_use]
    pub fn fitted(self, board: f64) -> Moulding {
        let whole = matches!(self.shape.path, PathShape::Chain { .. } | PathShape::Pieces { .. });
        if whole || self.shape.segments.is_some() || self.size()[0] <= board {
            return self;
        }
        let lean = [self.shape.mitre_left.0, self.shape.mitre_right.0];
        let more = (self.segments.len() + 1..=segments::MOST).map(|count| {
            let segments = segments::divide(&self.path, count, lean);
            let run_out = segments.iter().map(segments::run_out).fold(0.0, f64::max);
            Moulding { segments, run_out, ..self.clone() }
        });
        more.into_iter().find(|m| m.size()[0] <= board).unwrap_or(self)
    }

    /// A segment's outline in plan, counter-clockwise, in the frame of its path.
    #[must_use]
    pub fn outline(&self, segment: usize) -> Contour {
        let path = self.segments.get(segment);
        // Its lanes were tried when it was resolved.
        path.and_then(|p| p.outline(self.extent.0, self.extent.1).ok()).unwrap_or_default()
    }

    /// Where the lower left corner of the first segment's outline lies in the frame of its path.
    #[must_use]
    pub fn corner(&self, segment: usize) -> Point {
        self.outline(segment).bounds().map_or(Point::default(), |(low, _)| low)
    }

    /// The first segment's outline, its lower left corner at the origin.
    #[must_use]
    pub fn contour(&self) -> Contour {
        self.outline(0).moved(-self.corner(0))
    }

    /// Extents of the largest segment, along and across the grain.
    #[must_use]
    pub fn size(&self) -> [f64; 2] {
        let bounds = (0..self.segments.len()).filter_map(|i| self.outline(i).bounds());
        bounds.fold([0.0; 2], |most: [f64; 2], (low, high)| {
            [most[0].max(high.x - low.x), most[1].max(high.y - low.y)]
        })
    }

    /// What is asked of it.
    #[must_use]
    pub fn figures(&self) -> MouldingFigures {
        let pieces = self.segments.iter().flat_map(Path::pieces);
        let least = pieces.map(Piece::radius).fold(f64::INFINITY, f64::min);
        MouldingFigures {
            height: self.profile.height(),
            thickness: self.profile.thickness(),
            area: self.profile.section().area().abs(),
            length: self.length,
            least_radius: least.is_finite().then_some(least),
            segments: self.segments.len(),
            run_out: self.run_out,
        }
    }
}
