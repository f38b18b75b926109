//! The setup sheet: one printable page per job, from plain words and tables.

mod page;
mod style;
mod touch_off;

pub use touch_off::Touch;

/// What the operator needs at the machine. Every text is escaped when it is written; only
/// `pictures` are taken as they are.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SetupSheet {
    /// What is being made.
    pub title: String,
    /// The order of work of a set: boards, programs and what is done by hand between.
    pub order: Vec<String>,
    /// Pictures of the programs, SVG text from [`super::preview`].
    pub pictures: Vec<String>,
    /// Stock: what and how much, such as `("size", "1120 x 230 x 19 mm")`, `("grain", "along x")`.
    pub stock: Vec<(String, String)>,
    /// How to hold the stock, line by line.
    pub holding: Vec<String>,
    /// Where to touch off, line by line.
    pub zero: Vec<String>,
    /// The same as a diagram.
    pub touch: Option<Touch>,
    /// Cutters in the order of use.
    pub cutters: Vec<CutterRow>,
    /// Time in all, as text.
    pub time: String,
    /// Program files in the order of use.
    pub programs: Vec<ProgramRow>,
    /// Whether the dry run lets the programs run.
    pub passed: bool,
    /// The dry run's verdict in one line, and its findings.
    pub verdict: String,
    /// Findings of the dry run: warnings, or what it refuses.
    pub findings: Vec<String>,
    /// What it rests on, and how the surfaces come out.
    pub judged: Vec<String>,
    /// Sections of mouldings with their passes, SVG text from [`super::section_picture`].
    pub sections: Vec<String>,
    /// Maps of gouge and leftover, SVG.
    pub maps: Vec<String>,
    /// What the dry run can not see, and the operator checks by hand: one box each.
    pub by_hand: Vec<String>,
    /// How it is cut: which stretches climb, over tabs, into the spoilboard.
    pub climb: Vec<String>,
    /// Extents as aligned text, from [`super::extents_table`].
    pub extents: String,
    /// Figures of the parts, to lay out and to check by.
    pub figures: Vec<FigureTable>,
    /// Cautions of this job, beside those that every sheet carries.
    pub cautions: Vec<String>,
}

/// A line of the cutters' table; every figure as people read it, empty if unknown.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CutterRow {
    /// Its number.
    pub number: String,
    /// Name and shape.
    pub name: String,
    /// Diameter.
    pub diameter: String,
    /// Stick-out from the holder.
    pub stick_out: String,
    /// Number of flutes.
    pub flutes: String,
    /// Turns per minute, or the dial's mark.
    pub speed: String,
    /// Feed.
    pub feed: String,
    /// Plunge or ramp feed.
    pub plunge: String,
    /// Depth of a pass.
    pub stepdown: String,
    /// Time.
    pub time: String,
}

/// The figures of a part, and the ordinates of its arc.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FigureTable {
    /// The part's name.
    pub name: String,
    /// What each figure is, and its value.
    pub figures: Vec<(String, String)>,
    /// Along the chord from the left end, from the chord to the arc, from the back to the arc.
    pub ordinates: Vec<[String; 3]>,
}

/// A program file.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ProgramRow {
    /// File name.
    pub file: String,
    /// SHA-256 in hexadecimal; the first twelve figures are shown.
    pub sha256: String,
    /// What it does: cutters, operations.
    pub what: String,
}

impl SetupSheet {
    /// The page as HTML: nothing from outside, no scripts, for A4 and letter paper.
    #[must_use]
    pub fn html(&self) -> String {
        page::html(self)
    }
}
