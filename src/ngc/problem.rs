//! What is wrong with a text, and which published rule says so.

use std::fmt;

/// Declares the rules once: name, stable id, place in the published text, and the rule itself.
macro_rules! rules {
    ($($name:ident $id:literal $source:literal $text:literal,)*) => {
        /// A rule that a text can break. Those with a section are in NISTIR 6556; those marked
        /// `common practice` are this reader's own, on the side of refusing.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Rule {
            $(#[doc = $text] $name,)*
        }

        impl Rule {
            /// Every rule, in the order of the published text.
            pub const ALL: &'static [Rule] = &[$(Rule::$name,)*];

            /// A stable name, kebab-case.
            #[must_use]
            pub fn id(self) -> &'static str {
                match self { $(Rule::$name => $id,)* }
            }

            /// Where it is published: a section of NISTIR 6556, or `common practice`.
            #[must_use]
            pub fn source(self) -> &'static str {
                match self { $(Rule::$name => $source,)* }
            }

            /// The rule in one sentence.
            #[must_use]
            pub fn text(self) -> &'static str {
                match self { $(Rule::$name => $text,)* }
            }
        }
    };
}

rules! {
    ByteOrderMark "byte-order-mark" "3.3" "A text begins with its first line, not with a byte order mark.",
    NotUtf8 "not-utf8" "common practice" "The bytes of a text are UTF-8.",
    PercentAlone "percent-alone" "3.1" "A percent sign stands alone on its line, and opens or closes a text.",
    PercentOpen "percent-open" "3.1" "A text that opens with a percent sign is closed by one.",
    NoEnd "no-end" "3.1" "A text without percent signs ends with M2 or M30.",
    AfterEnd "after-end" "3.1" "Lines after M2, M30 or the closing percent sign are not run.",
    LineTooLong "line-too-long" "3.3" "A line has at most 256 characters.",
    Character "character" "3.3" "Only the characters of words, settings and comments stand on a line.",
    Letter "letter" "3.3, Table 3" "The letters E, O, U, V and W start no word.",
    Semicolon "semicolon" "3.3.4" "A comment stands in parentheses; a semicolon starts none.",
    Star "star" "3.3.2.3" "A star multiplies inside brackets and means nothing elsewhere.",
    Exponent "exponent" "3.3.2.1" "A number has no exponent.",
    BlockDelete "block-delete" "3.3" "A slash that lets a line be skipped is its first character.",
    LineNumber "line-number" "3.3.1" "A line number is N and one to five digits, before every word.",
    Number "number" "3.3.2.1" "A number is an optional sign and digits with at most one point, one digit at least.",
    NumberSpaced "number-spaced" "3.3" "Blanks inside a number mean nothing, and are easily misread.",
    NumberTooLarge "number-too-large" "common practice" "A word's value is at most 1000000000 either way.",
    WholeNumber "whole-number" "3.3.2.1" "A whole number is meant here, to within 0.0001.",
    Parameter "parameter" "3.3.2.2" "A parameter's number is a whole number from 1 to 5399.",
    ParameterUnset "parameter-unset" "3.3.2.2" "A parameter is set before it is read.",
    ParameterOwned "parameter-owned" "3.2.1" "Parameter 5220 follows the coordinate system and is not set in a text.",
    Setting "setting" "3.3.3" "A setting is a parameter, an equals sign and a value.",
    Expression "expression" "3.3.2.3" "An expression is values and operators between brackets.",
    Function "function" "3.3.2.4" "A function is one of those published, with its argument in brackets.",
    Domain "domain" "3.3.2.3-4" "An operator or function has a value for what it is given.",
    Comment "comment" "3.3.4" "A comment closes on its line and holds no second opening parenthesis.",
    RepeatedWord "repeated-word" "3.3.5" "Every letter but G and M stands once on a line.",
    TooManyM "too-many-m" "3.3.5" "At most four M words stand on a line.",
    ModalGroup "modal-group" "3.4" "Two words of one modal group do not stand on a line.",
    UnknownG "unknown-g" "3.5" "A G word is one of those published.",
    UnknownM "unknown-m" "3.6" "An M word is one of those published.",
    Unsupported "unsupported" "common practice" "What a router table does not do, or what cannot be checked, is refused.",
    RotaryAxis "rotary-axis" "common practice" "The table has three axes: A, B and C are refused.",
    AxisWordsTwice "axis-words-twice" "3.4" "Axis words serve one G word of a line, not two.",
    AxisWordsMissing "axis-words-missing" "3.5.1-3" "A motion has an axis word at least.",
    NoMotionMode "no-motion-mode" "3.3.7" "Axis words need a motion word, on the line or in force.",
    WordWithoutUse "word-without-use" "3.5" "Every word of a line is used by something on it.",
    NoFeed "no-feed" "common practice" "A cutting move has a feed above zero.",
    NegativeFeed "negative-feed" "3.5.19" "A feed is not negative.",
    InverseTimeFeed "inverse-time-feed" "3.5.19" "In inverse time every cutting line has an F word.",
    NegativeSpeed "negative-speed" "3.7.2" "A spindle speed is not negative.",
    CutterNumber "cutter-number" "3.7.3" "A cutter's number is a whole number, not negative, within the slots.",
    CutterNotSelected "cutter-not-selected" "3.6.3" "M6 puts in the cutter that a T word has selected.",
    Dwell "dwell" "3.5.4" "G4 has a P word of seconds, not negative.",
    LengthOffset "length-offset" "3.5.11" "G43 has an H word, a whole number from 0, within the slots.",
    SetOrigin "set-origin" "3.5.5" "G10 has L2 and a P word from 1 to 9.",
    AxisOffset "axis-offset" "3.5.18" "G92 has an axis word.",
    MachineMove "machine-move" "3.5.12" "G53 goes with G0 or G1.",
    ArcWords "arc-words" "3.5.3" "An arc has an end word in its plane, and either a radius or an offset of its plane.",
    ArcStart "arc-start" "common practice" "An arc starts at a known point.",
    ArcRadius "arc-radius" "3.5.3.1" "A radius reaches from the start to the end, and these differ.",
    ArcRadii "arc-radii" "3.5.3.2" "The centre is as far from the start as from the end, within 0.002 mm or 0.0002 in.",
    ArcIllConditioned "arc-ill-conditioned" "3.5.3.1" "Arcs near a half or a whole turn are not well written with a radius.",
    ArcEndsClose "arc-ends-close" "3.5.3.2" "An arc whose ends are the same point is a whole turn.",
    CycleWords "cycle-words" "3.5.16" "A cycle has its depth, its R and what else it needs when it is first used.",
    CycleDepth "cycle-depth" "3.5.16" "R is not below the depth.",
    CycleRepeats "cycle-repeats" "3.5.16" "L is a whole number above zero.",
    CycleMode "cycle-mode" "3.5.16" "A cycle is not used in inverse time.",
    CycleStart "cycle-start" "common practice" "A cycle starts at a known height, so that its return is known.",
    CycleReturn "cycle-return" "3.5.20" "The return height of cycles is stated by G98 or G99.",
    CycleLong "cycle-long" "common practice" "One line gives at most 10000 moves.",
    MoreProblems "more-problems" "common practice" "Only so many problems are listed.",
}

impl fmt::Display for Rule {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.id())
    }
}

/// One thing wrong with a text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// The rule it breaks.
    pub rule: Rule,
    /// What is wrong, with the value and what is allowed.
    pub message: String,
    /// A way out; this reader always knows one.
    pub help: Option<String>,
    /// Whether the line was refused. A warning is not grave: the line was run.
    pub grave: bool,
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let kind = if self.grave { "error" } else { "warning" };
        write!(f, "{}:{}: {kind}[{}]: {}", self.line, self.column, self.rule, self.message)?;
        match &self.help {
            Some(help) => write!(f, "; {help}"),
            None => Ok(()),
        }
    }
}

/// What is wrong at a byte of a line: a [`Problem`] that does not know its line yet.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Fault {
    /// Byte of the line, from 0.
    pub(super) at: usize,
    /// The rule it breaks.
    pub(super) rule: Rule,
    /// What is wrong.
    pub(super) message: String,
    /// A way out.
    pub(super) help: &'static str,
}

/// A result on a line. The fault is boxed, for good lines are the many.
pub(super) type Read<T> = Result<T, Box<Fault>>;

/// A fault with a way out.
pub(super) fn fault(
    at: usize,
    rule: Rule,
    message: impl Into<String>,
    help: &'static str,
) -> Box<Fault> {
    Box::new(Fault { at, rule, message: message.into(), help })
}
