//! A carved panel: a board with a border, a field, and what is carved on it.

mod border;
mod build;
mod carving;
mod checks;
mod drawing;
mod heights;
mod incised;
mod place;

pub use border::BorderShape;
pub use build::Carved;
pub use carving::{
    AcanthusShape, BandShape, CarveShape, ChannelsShape, CushionShape, FestoonShape, HuskDropShape,
    KeyFretShape, LetteringShape, MeshShape, PictureShape, RosetteShape, SwagShape,
};
pub use drawing::DrawingShape;
pub use incised::{InciseShape, IncisedShape, Incision, Strokes};
pub use place::{PlaceShape, RepeatShape};

use super::{Board, BoardShape};
use crate::diagnostic::Diagnostic;
use crate::geometry::Contour;
use crate::relief::Stage;
use crate::units::{Angle, Length, Shown};
use checks::Checks;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Cell of the grid without one in the file, mm.
const GRID: f64 = 0.1;

/// A carved panel, its grain along its length.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(deny_unknown_fields)]
pub struct PanelShape {
    /// Along the grain.
    pub length: Length,
    /// Across the grain.
    pub width: Length,
    /// The border, from the board's edge inwards.
    #[serde(default)]
    pub border: Vec<BorderShape>,
    /// What is carved, the later over the earlier.
    #[serde(default)]
    pub carving: Vec<CarvingShape>,
    /// Distance between the heights that are worked out; 0.1 mm without it.
    #[serde(default)]
    pub grid: Option<Length>,
    /// How the carving is roughed, before it is finished.
    #[serde(default)]
    pub rough: Option<RoughShape>,
    /// How the carving is finished; without it and `rough` the board is only cut out.
    #[serde(default)]
    pub finish: Option<FinishShape>,
    /// A second finish by a finer cutter, only where the first left too much.
    #[serde(default)]
    pub detail: Option<DetailShape>,
    /// With what incised work is cut: one entry for each V cutter.
    #[serde(default)]
    pub incise: Vec<InciseShape>,
}

/// How a carving is roughed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct RoughShape {
    /// Number of the cutter: flat, bull-nose or a wide ball.
    pub cutter: u32,
    /// Wood left for the finish: if nothing is said half a millimetre, or as little as the
    /// finish's cutter takes without going down in steps.
    #[serde(default)]
    pub allowance: Option<Length>,
}

/// How a carving is finished: passes side by side.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct FinishShape {
    /// Number of the cutter: a ball, or one that tapers to a ball.
    pub cutter: u32,
    /// Height of the ridges between passes.
    #[serde(default = "usual_scallop")]
    pub scallop: Length,
    /// Direction of straight passes, from the grain.
    #[serde(default)]
    pub angle: Angle,
    /// What the passes follow: straight lines without it.
    #[serde(default)]
    pub along: CourseShape,
}

/// What the passes of a finish follow.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum CourseShape {
    /// Straight lines at `angle`.
    #[default]
    Lines,
    /// The panel's edge: ring within ring, from the outside in.
    Border,
    /// One spiral about the panel's middle, from the inside out.
    Spiral,
}

/// A second finish.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct DetailShape {
    /// Number of the finer cutter.
    pub cutter: u32,
    /// It cuts only where the finish leaves more than this above what it can reach itself.
    #[serde(default = "usual_over")]
    pub over: Length,
    /// Height of the ridges between passes.
    #[serde(default = "usual_scallop")]
    pub scallop: Length,
    /// Direction of the passes, from the grain.
    #[serde(default)]
    pub angle: Angle,
}

fn usual_over() -> Length {
    // More than fine paper takes off (common practice).
    Length(0.1)
}

fn usual_scallop() -> Length {
    // Gone with fine paper (common practice).
    Length(0.03)
}

/// One carving: what, where and how often.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(deny_unknown_fields)]
pub struct CarvingShape {
    /// Where it stands and how it meets the ground.
    #[serde(flatten)]
    pub place: PlaceShape,
    /// What it is.
    #[serde(flatten)]
    pub what: CarveShape,
}

/// A panel whose sizes can be; files named in it have not been read yet.
#[derive(Clone, Debug, PartialEq)]
pub struct Panel {
    /// Its board.
    pub board: Board,
    /// The border.
    pub border: Vec<Stage>,
    /// What is carved, with its key in the job file.
    pub carvings: Vec<(String, CarvingShape)>,
    /// Cell of the grid, mm.
    pub grid: f64,
    /// How the carving is roughed.
    pub rough: Option<RoughShape>,
    /// How it is finished.
    pub finish: Option<FinishShape>,
    /// How it is finished a second time.
    pub detail: Option<DetailShape>,
    /// With what incised work is cut.
    pub incise: Vec<InciseShape>,
}

impl PanelShape {
    /// The panel, or why there is none. `key` is where the shape stands in the job file.
    ///
    /// # Errors
    /// Every size that can not be, and a border that leaves no field.
    pub fn resolve(&self, key: &str, shown: Shown) -> Result<Panel, Vec<Diagnostic>> {
        let board = BoardShape { length: self.length, width: self.width }.resolve(key, shown)?;
        let mut found = Vec::new();
        let mut border = Vec::new();
        for (i, stage) in self.border.iter().enumerate() {
            match stage.resolve(&format!("{key}.border[{}]", i + 1), shown) {
                Ok(stage) => border.push(stage),
                Err(mut some) => found.append(&mut some),
            }
        }
        let wide: f64 = border.iter().map(Stage::width).sum();
        let room = board.length.min(board.width) / 2.0;
        if wide >= room {
            found.push(
                Diagnostic::error(format!(
                    "the border is {} wide all told: nothing is left of the field",
                    shown.both(wide)
                ))
                .key(format!("{key}.border"))
                .help(format!("less than half the panel's width works: {}", shown.both(room))),
            );
        }
        let mut carvings = Vec::new();
        for (i, carving) in self.carving.iter().enumerate() {
            let own = format!("{key}.carving[{}]", i + 1);
            let mut checks = Checks::new(&own, shown);
            carving.place.check(&mut checks);
            carving.what.check(&mut checks);
            if carving.what.is_incised() && (carving.place.set_in.or(carving.place.blend)).is_some()
            {
                let name = if carving.place.set_in.is_some() { "set-in" } else { "blend" };
                let message = "incised work is neither set in nor blended".to_string();
                checks.push(name, message, "leave it out");
            }
            found.append(&mut checks.found);
            carvings.push((own, carving.clone()));
        }
        let mut checks = Checks::new(key, shown);
        let grid = self.grid.map_or(GRID, |g| g.0);
        // From a hundredth, finer than any cutter shows, to where a husk is a handful of cells.
        checks.within("grid", grid, 0.01, 2.0);
        if self.rough.is_some() && self.finish.is_none() {
            let message = "roughing leaves terraces that no finish takes away".to_string();
            checks.push("rough", message, "give `finish = { cutter = 4 }` as well");
        }
        if let Some(detail) = &self.detail {
            // Less is the finish's own scallop, more is a missing finish.
            checks.within("detail.over", detail.over.0, 0.01, 5.0);
            if self.finish.is_none() {
                let message = "a second finish has no first one".to_string();
                checks.push("detail", message, "give `finish = { cutter = 4 }` as well");
            }
        }
        found.append(&mut checks.found);
        if !found.is_empty() {
            return Err(found);
        }
        Ok(Panel {
            board,
            border,
            carvings,
            grid,
            rough: self.rough.clone(),
            finish: self.finish.clone(),
            detail: self.detail.clone(),
            incise: self.incise.clone(),
        })
    }
}

impl Panel {
    /// The outline, counter-clockwise from the origin.
    #[must_use]
    pub fn contour(&self) -> Contour {
        self.board.contour()
    }
}
