//! A carved panel: a board with a border, a field, and what is carved on it.

mod border;
mod build;
mod carving;
mod checks;
mod heights;
mod place;

pub use border::BorderShape;
pub use carving::{
    AcanthusShape, BandShape, CarveShape, ChannelsShape, CushionShape, FestoonShape, HuskDropShape,
    KeyFretShape, LetteringShape, MeshShape, PictureShape, RosetteShape, SwagShape,
};
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
}

/// How a carving is roughed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct RoughShape {
    /// Number of the cutter: flat, bull-nose or a wide ball.
    pub cutter: u32,
    /// Wood left for the finish.
    #[serde(default = "usual_allowance")]
    pub allowance: Length,
}

fn usual_allowance() -> Length {
    // Finishing sweeps leave 0.5 to 1 mm (common practice).
    Length(0.5)
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
    /// Direction of the passes, from the grain.
    #[serde(default)]
    pub angle: Angle,
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
            found.append(&mut checks.found);
            carvings.push((own, carving.clone()));
        }
        let mut checks = Checks::new(key, shown);
        let grid = self.grid.map_or(GRID, |g| g.0);
        // From a hundredth, finer than any cutter shows, to where a husk is a handful of cells.
        checks.within("grid", grid, 0.01, 2.0);
        found.append(&mut checks.found);
        if !found.is_empty() {
            return Err(found);
        }
        let (rough, finish) = (self.rough.clone(), self.finish.clone());
        Ok(Panel { board, border, carvings, grid, rough, finish })
    }
}

impl Panel {
    /// The outline, counter-clockwise from the origin.
    #[must_use]
    pub fn contour(&self) -> Contour {
        self.board.contour()
    }
}
