//! The interlocks: numbered, named, and documented once, here.

use schemars::JsonSchema;
use serde::Serialize;

/// What is written about one interlock; README, setup sheet and help are made from it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Page {
    /// Which one.
    pub interlock: Interlock,
    /// Its stable name.
    pub name: &'static str,
    /// What it guards.
    pub guards: &'static str,
    /// How it is checked.
    pub checked: &'static str,
    /// What it cannot see.
    pub blind: &'static str,
}

/// Declares an interlock once: variant, name and the three texts.
macro_rules! interlocks {
    ($($variant:ident $name:literal $guards:literal $checked:literal $blind:literal;)*) => {
        /// One thing that must hold. The order is the number; new ones go to the end.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
        #[serde(rename_all = "kebab-case")]
        pub enum Interlock {
            $(#[doc = $guards] $variant,)*
        }

        impl Interlock {
            /// Every interlock, by number.
            pub const ALL: &'static [Page] = &[$(Page {
                interlock: Interlock::$variant,
                name: $name,
                guards: $guards,
                checked: $checked,
                blind: $blind,
            },)*];
        }
    };
}

interlocks! {
    TextUnderstood "text-understood"
        "Nothing in the text is guessed or skipped."
        "Every line is read by the published rules (NISTIR 6556); what breaks one is refused at its line, what is merely easy to misread is a caution."
        "A controller that reads the same words in another way.";
    UnitsStated "units-stated"
        "The program does not depend on the units that the last one left."
        "G20 or G21 stands before the first motion; a change of units is a caution."
        "Whether the stated units are those that were meant; wrong ones show as size, depth or feed.";
    DistanceModeStated "distance-mode-stated"
        "The program does not depend on the distance mode that the last one left."
        "G90 or G91 stands before the first motion."
        "Whether the stated mode is the one that was meant.";
    PlaneStated "plane-stated"
        "Arcs and cycles run in the plane that was meant."
        "G17, G18 or G19 stands before the first arc or cycle; a program of straight moves without it gets a caution."
        "Whether the stated plane is the one that was meant.";
    FeedMode "feed-mode"
        "A number after F is a feed and not a time."
        "In inverse time (G93) every cut must state its own F; a program that uses it gets a caution."
        "A controller that ignores G93.";
    WorkOffset "work-offset"
        "The program runs from the zero that the setup sheet names."
        "G54 to G59.3 stands before the first motion, the coordinate system in force at every motion is the setup's, and neither G10 nor a parameter writes a zero."
        "Whether that offset was touched off, and where.";
    LengthOffset "length-offset"
        "The tip is where the program believes it to be."
        "G43 with the index of the cutter in use, if the setup works with a length table; another index is refused, and so is a cut without one. If the setup works without, any G43 is flagged."
        "The lengths in the machine's table.";
    AxisOffset "axis-offset"
        "Nothing moves the work zero while the program runs."
        "No G92 with axis words and no G92.3, which brings back an older one; no motion runs under a G92 offset."
        "An offset left in the machine before the program starts.";
    Travel "travel"
        "No axis runs into its stop."
        "With the work zero known in machine coordinates, every point is within travel; else the size of what is travelled must fit, and if it does not together with the work zero that is a caution."
        "Soft limits set tighter than the travel, length differences between cutters, and where the operator really touches off.";
    MachineMoves "machine-moves"
        "Moves to points of the machine (G53, G28, G30) do not drag the cutter through the work."
        "If the point is not known in work coordinates, the move must start above the stock, or go straight up from it in Z alone."
        "Where the machine's own points lie, unless the setup says.";
    SafeHeight "safe-height"
        "Travel over the stock is high enough."
        "Height is known and above the stock's top before the first motion in X or Y; a feed below the top waits for a known X and Y; traverses across the stock below the machine's safe height are cautions (hops inside canned cycles excepted)."
        "Warped stock, screws and clamps that the setup does not name.";
    TraverseClear "traverse-clear"
        "No traverse runs into wood."
        "The cutter of a traverse below the stock's top, 0.02 mm narrower, is swept through the wood as it then stands and must meet none; crossing cut-away wood, or going down into it, is a caution (canned cycles excepted)."
        "Wood thinner than a cell of the stock's heights, and chips or offcuts in the way.";
    SpindleRunning "spindle-running"
        "The cutter turns at full speed before it touches."
        "M3 with a speed above zero, and the spin-up time passed in dwells, stops or motion (at its fastest) before the first stroke into the stock. On a hand-dialled router a stop for the operator counts as the start."
        "A spindle that is slow, stalled, or switched off by hand.";
    SpindleDirection "spindle-direction"
        "Router cutters are ground to turn clockwise."
        "M4 is a caution, and a refusal once the cutter touches."
        "A motor wired in reverse.";
    SpindleSpeed "spindle-speed"
        "No cutter turns faster than its mark, no spindle outside its range."
        "Every speed against the cutter's mark, the spindle's range and, where known, the speed found for the species (1 % for rounding)."
        "What stands on the dial, a worn mark, balance.";
    FeedStated "feed-stated"
        "No cut runs at a leftover feed."
        "Every cutting motion has an F above zero in force."
        "The operator's feed override.";
    FeedWithinAxes "feed-within-axes"
        "No axis is asked for more than it can feed."
        "The feed along each axis, at every direction that the stroke takes, against the machine's limits (1 % for rounding)."
        "Acceleration. A program states feeds and leaves to the controller how they are reached: no text asks for too much of it. A stroke too short for its feed runs slower, which the stated time counts; a controller set to accelerate harder than the machine bears is not seen.";
    FeedWithinSpecies "feed-within-species"
        "Chips are no thicker than cutter and wood bear."
        "Strokes inside the stock against the feed found for cutter and species, lowered where the spindle turns slower (1 % for rounding). A cutter that cuts without figures, where others have them, is a caution. Less than a fifth of it, or of a drill's plunge feed, is a caution: it burns."
        "Knots, grain, dull edges, and the real width of cut.";
    Bottom "bottom"
        "The table is not cut deeper than allowed."
        "The tip stays above the stock's underside less the permitted depth into the spoilboard. Nothing of cutter, shank or holder hangs lower than the tip."
        "Stock thinner than stated, a spoilboard that is worn or not level.";
    Stepdown "stepdown"
        "No pass is deeper than cutter and wood bear."
        "The wood really taken per way, a section in mm2, against that of a pass as wide as the cutter and one stepdown deep (which species, cutter, bending and spindle power set), over more than a cutter radius (3 mm at least) of way; a cut of the cutter's full width is judged by its exact depth. A wide shallow cut passes, and so does a narrow deep one, such as a skin of 1 mm left for finishing. What a ramp takes by sinking is judged as a ramp."
        "Bites shorter than that, knots and grain.";
    Plunge "plunge"
        "Only a cutter that can goes straight down into wood, and no faster than it can."
        "Feeds straight down or steeper than the ramp limit that take wood at the cutter's middle need a centre-cutting cutter and at most the plunge feed downward; a drill never moves sideways in the stock."
        "A cutter that is not what the table says.";
    Ramp "ramp"
        "Ramps into the wood are gentle enough."
        "Downward strokes that take wood at the cutter's middle: slope within the limit for cutters that are not centre-cutting, feed within the ramp feed when steeper than 1 degree."
        "Slopes that take less than 1 mm of height, such as finishing a carved surface.";
    FluteLength "flute-length"
        "The shank does not rub in the cut."
        "The shank, as a solid that starts where the flutes end and is a cell and a half wider, is swept through the wood as it then stands and must meet none; nor may the flutes take wood higher than they are long."
        "A shank thinner than the cutter, which would not rub.";
    HolderClear "holder-clear"
        "The holder stays out of the wood."
        "The holder, as a solid of its own that starts at the stick-out, is swept through the wood as it then stands and must meet none, in feeds and traverses."
        "A cutter clamped with less stick-out than the table says.";
    ClampsClear "clamps-clear"
        "Neither cutter nor holder meets a clamp."
        "Cutter and holder, as the solids that they are, along every stroke: neither may pass lower over a clamp, a screw or what else is named than its top."
        "A clamp that stands elsewhere than the setup sheet says.";
    CutterKnown "cutter-known"
        "What turns in the spindle is in the shop's table."
        "Every change names a cutter of the table; a program without a change cuts only with the cutter that the setup names, and T names no other; a T that no change follows is a caution."
        "Whether the operator put in that cutter.";
    CutterChange "cutter-change"
        "Hands reach the cutter only when it stands still and high."
        "Before M6 the spindle is stopped by its own word and the tip is at or above safe height; on a machine of one cutter per program a second cutter is refused. A stop for the operator while the spindle turns is a caution."
        "The time a spindle takes to come to rest.";
    Ending "ending"
        "The program leaves the machine at rest and high."
        "M2 or M30 ends it, above the stock, with the spindle stopped; the closing % alone, a height below safe and a spindle that only M2 or M30 stops are cautions."
        "What a controller does after the end.";
    SpindleStop "spindle-stop"
        "The spindle does not stop with the cutter in the wood."
        "No M5, change or end while the tip is inside the stock; a stop for the operator there, or a dwell of more than 3 s, is a caution."
        "Power failures.";
    Reach "reach"
        "The program cuts the stock it was set up with."
        "Something must be cut, inside the stock (without a stock: a caution); feeds that climb from its top, long ones above it, and holes of cycles that end there, are cautions, for a lost sign on Z looks like that; so are feeds that run more than 40 mm and two cutter widths out of it in plan, and a program of whose feed below its top more than a third, and 50 mm, runs beside it."
        "Whether what is cut is the part that was wanted.";
    PartUntouched "part-untouched"
        "The cutter stays out of the part."
        "Below the stock's top no cutting stroke brings the cutter, as wide as it is at the top, inside the part's outline by more than the tolerance; strokes are stepped by at most half the tolerance where they are near, 0.01 mm at least, and 20 000 steps at most."
        "Cuts on the face of the part: not for parts that are carved.";
    TabsLeft "tabs-left"
        "The tabs hold the part until hands take it off."
        "No cutting stroke passes lower than a tab's top less 0.05 mm over its middle, from the part's edge to one and a half cutter radii out into the slot."
        "Tabs too weak to hold, and what is cut away beside their middle.";
    NothingLoose "nothing-loose"
        "No piece comes free while a cutter can touch it."
        "After every pass that goes through, what hangs together in plan is found, in blocks a quarter of the smallest cutter wide; a piece of 25 mm2 or more that no wood of 0.05 mm or more joins to what a clamp or screw touches (to the greatest piece, if none is named) is free. If a cutter passes by it afterwards for more than its own width it is refused; else it is named as a drop-out."
        "A clamp that does not hold, wood that splits, pieces held by tape or vacuum.";
    SurfaceKept "surface-kept"
        "What is left is the surface that was wanted."
        "Every cell of the stock's heights against the wanted surface, if the setup gives one: a gouge deeper than the tolerance is refused at the line that makes it; what is left over is told, and is a caution above what the setup allows. Beside walls the tolerance counts in plan too."
        "Sanding, tear-out, and what lies between the cells.";
    TabsStrong "tabs-strong"
        "Tabs stand what the cutter does to the part."
        "The greatest force below the tops of the tabs, as the share of a full-width pass that is really taken, against the weakest tab: its section by a tenth of the wood's modulus of rupture. Less is a caution."
        "Knots and short grain in a tab, a dull cutter.";
    SpindlePower "spindle-power"
        "The spindle is not asked for more than it has."
        "The wood really taken per time, over every stretch of way of a cutter's radius and at least 3 mm, times the power that the figures give for a full pass, against the spindle's. Cutting wood is known within a factor of two each way: if even the least of it is too much the program is refused, if only the most of it is, that is a caution."
        "Torque that a spindle lacks when it turns slowly, dull edges, a long extension cable.";
}

impl Interlock {
    /// Its number, from 1.
    #[must_use]
    pub fn number(self) -> usize {
        self as usize + 1
    }

    /// `I01`.
    #[must_use]
    pub fn code(self) -> String {
        format!("I{:02}", self.number())
    }

    /// What is written about it.
    #[must_use]
    pub fn page(self) -> &'static Page {
        &Interlock::ALL[self as usize]
    }

    /// Its stable name.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.page().name
    }
}
