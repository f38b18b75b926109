//! What a dialect file may say.

use crate::units::{Angle, Length, Unit};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How a control wants its text. Read with [`Dialect::read`] or [`Dialect::find`], which check it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Dialect {
    /// The file's name without its ending; not a key of the file.
    #[serde(skip)]
    pub name: String,
    /// What it is for, in one line.
    pub description: String,
    /// Units of everything the program says: `mm` writes G21, `in` writes G20. Bare lengths
    /// in this file are in them too.
    pub units: Unit,
    /// Decimals of coordinates: millimetres 3 to 6 (2 to 6 without arcs), inches 4 to 6.
    #[schemars(range(min = 1, max = 6))]
    pub decimals: u32,
    /// Decimals of feeds, 0 to 4. Feeds are rounded down, never to zero.
    #[serde(default = "default_decimals_feed")]
    #[schemars(range(min = 0, max = 4))]
    pub decimals_feed: u32,
    /// How coordinates that need fewer decimals are written.
    #[serde(default)]
    pub numbers: NumberForm,
    /// How arcs are written.
    pub arcs: ArcForm,
    /// How far a chord may leave an arc that is written in chords. At least two steps of the
    /// last decimal, at most 1 mm.
    #[serde(default = "default_chord_tolerance")]
    pub chord_tolerance: Length,
    /// Whether an arc may rise or fall as it turns; if not, helices are written in chords.
    #[serde(default = "yes")]
    pub helix: bool,
    /// Largest turn of one arc, degrees: longer ones are split evenly. At most 180 in centre
    /// form; at most 165 in radius form, whose centre is ill defined near 180 (NISTIR 6556
    /// section 3.5.3.1). Full circles are therefore always written in parts.
    #[serde(default)]
    pub max_sweep: Option<Angle>,
    /// Whether arcs are split where they cross an axis direction of their circle, for controls
    /// that turn within one quarter only.
    #[serde(default)]
    pub split_at_quadrants: bool,
    /// How remarks and messages are written. A dialect that stops for the operator needs them.
    #[serde(default)]
    pub comments: Comments,
    /// N words; none without this table.
    #[serde(default)]
    pub line_numbers: Option<LineNumbers>,
    /// Whether the text starts and ends with a line of `%`.
    #[serde(default)]
    pub percent_signs: bool,
    /// Who starts the spindle.
    #[serde(default)]
    pub spindle: SpindleControl,
    /// Least seconds of waiting after the spindle is started or its speed is changed.
    #[serde(default = "default_spindle_dwell")]
    #[schemars(range(min = 0.0, max = 120.0))]
    pub spindle_dwell: f64,
    /// What G4 counts in its P word.
    #[serde(default)]
    pub dwell_unit: DwellUnit,
    /// How the cutter is changed.
    pub cutter_change: CutterChanges,
    /// Whether `stop` and `separate-programs` write a T word. It changes nothing by itself
    /// (NISTIR 6556 section 3.7.3) and lets whoever reads the program know the cutter.
    #[serde(default = "yes")]
    pub cutter_word: bool,
    /// Whether each cutter's length offset is called (G43 H with the cutter's number). G49 then
    /// ends the program, for M2 and M30 leave the offset in force.
    #[serde(default)]
    pub length_offset: bool,
    /// The word that opens the dust valve or air when the spindle starts; M9 closes it.
    #[serde(default)]
    pub dust_valve: Option<ValveWord>,
    /// Lines after the program has stated units, plane and modes, before it moves. Words may be
    /// G0 with G53, G4, G28, G30, G53, G61, G61.1, G64, M0, M1, M7, M8, M9, M48, M49 and remarks in
    /// parentheses, in which `{cutter}` and `{title}` are filled in.
    #[serde(default)]
    #[schemars(length(max = 50))]
    pub start: Vec<String>,
    /// Lines after the last move and the spindle stop, before the end word. As `start`.
    #[serde(default)]
    #[schemars(length(max = 50))]
    pub end: Vec<String>,
    /// The word that ends a program.
    #[serde(default)]
    pub end_word: EndWord,
    /// Whether words that have not changed are left out. If false, every move carries its G
    /// word and all of X, Y and Z. F ends the first line cut with a feed, in either case.
    #[serde(default = "yes")]
    pub modal: bool,
    /// What stands between the words of a line.
    #[serde(default)]
    pub separator: Separator,
    /// How lines end.
    #[serde(default)]
    pub line_ending: LineEnding,
    /// Ending of the program's file name, without its dot: letters and digits.
    #[serde(default = "default_extension")]
    pub extension: String,
}

fn yes() -> bool {
    true
}

fn default_decimals_feed() -> u32 {
    1
}

fn default_chord_tolerance() -> Length {
    // A hundredth of a millimetre: below what sanding takes off (common practice).
    Length(0.01)
}

fn default_spindle_dwell() -> f64 {
    // Seconds for a small router motor to come up to speed (common practice).
    3.0
}

fn default_extension() -> String {
    "nc".to_string()
}

/// How coordinates are written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum NumberForm {
    /// `X10`, `X10.5`: no zeros at the end.
    #[default]
    Trimmed,
    /// `X10.`, `X10.5`: always with a point, for controls that take a bare number as steps.
    Pointed,
    /// `X10.0000`: all decimals.
    Fixed,
}

/// How arcs are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum ArcForm {
    /// G2 and G3 with the centre as I, J, K from the start.
    Centre,
    /// G2 and G3 with R.
    Radius,
    /// No arcs: chords within `chord-tolerance`.
    None,
}

/// How remarks are written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Comments {
    /// In parentheses, messages as `(MSG, ...)`.
    #[default]
    Parentheses,
    /// Not at all.
    None,
}

/// N words.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct LineNumbers {
    /// The first number. After 99999, the largest that NISTIR 6556 section 3.3.1 allows,
    /// numbering starts again here; repeated numbers are legal there.
    #[schemars(range(min = 0, max = 99999))]
    pub start: u32,
    /// From one line to the next.
    #[schemars(range(min = 1, max = 1000))]
    pub step: u32,
}

/// Who starts the spindle.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum SpindleControl {
    /// The program does, by M3, M4, M5 and S.
    #[default]
    Words,
    /// The operator does: the program stops (M0) with a message to set the dial and start the
    /// router, or to switch it off. M3, S and M5 are still written after the stop: a control
    /// without a spindle relay ignores them, and a reader learns when the spindle turns and
    /// how fast.
    ByHand,
}

/// What G4 counts in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum DwellUnit {
    /// Seconds, as published.
    #[default]
    #[serde(rename = "s")]
    Seconds,
    /// Milliseconds, as some controls do.
    #[serde(rename = "ms")]
    Milliseconds,
}

/// How the cutter is changed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum CutterChanges {
    /// T and M6: the machine changes it, or its control waits while the operator does.
    M6,
    /// The program stops (M0) with a message while the operator changes it; no M6.
    Stop,
    /// Each cutter has its own program and none changes it.
    SeparatePrograms,
}

/// The word that opens a valve.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum ValveWord {
    /// M7.
    M7,
    /// M8.
    M8,
}

/// The word that ends a program.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum EndWord {
    /// M30.
    #[default]
    M30,
    /// M2.
    M2,
}

/// What stands between words.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Separator {
    /// A blank.
    #[default]
    Blank,
    /// Nothing.
    None,
}

/// How lines end.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum LineEnding {
    /// Line feed.
    #[default]
    Lf,
    /// Carriage return and line feed.
    Crlf,
}
