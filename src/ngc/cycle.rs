//! Canned cycles (NISTIR 6556 section 3.5.16).

use super::event::What;
use super::expression::whole;
use super::interpreter::Interpreter;
use super::machine::{Sticky, length};
use super::modal::{Code, g_name};
use super::motion::{LETTERS, Manner, TRAVERSE, axes};
use super::problem::{Fault, Read, Rule, fault};

/// How far above the bottom a peck's traverse stops: 0.01 inch (from memory of the published
/// interpreter).
const BACK_OFF: f64 = 0.254;
/// Moves that one line may give; a repeated or pecked hole has some dozens.
const MOST_MOVES: f64 = 10_000.0;

/// One line of a cycle, all in mm, heights along the plane's axis.
struct Plan {
    code: Code,
    /// First, second, and the axis drilled along.
    axes: [usize; 3],
    /// The R height.
    clear: f64,
    /// Where each hole ends: R, or the height before if that is higher.
    back: f64,
    depth: f64,
    repeats: i64,
    peck: f64,
    dwell: f64,
}

const TRAVERSE_CYCLE: Manner = Manner { cycle: true, ..TRAVERSE };
const CUT_CYCLE: Manner = Manner { cutting: true, ..TRAVERSE_CYCLE };

impl Interpreter<'_> {
    /// Runs the cycle of a line.
    pub(super) fn cycle(&mut self, code: Code) -> Read<()> {
        if self.now.state.inverse_time {
            let message = format!("{} stands under G93", g_name(code));
            return Err(self.cycle_fault(Rule::CycleMode, message, "return to G94 before it"));
        }
        self.require_feed()?;
        let plan = self.plan(code)?;
        let [first, second, along] = plan.axes;
        if self.now.at[along] < plan.clear {
            self.cycle_to(along, plan.clear, TRAVERSE_CYCLE);
        }
        for _ in 0..plan.repeats {
            let (mut to, mut known) = self.end_point();
            to[along] = self.now.at[along];
            known[along] = self.now.known[along];
            if to[first] != self.now.at[first]
                || to[second] != self.now.at[second]
                || known != self.now.known
            {
                self.stroke(to, known, TRAVERSE_CYCLE);
            }
            self.cycle_to(along, plan.clear, TRAVERSE_CYCLE);
            self.hole(&plan);
        }
        Ok(())
    }

    fn plan(&mut self, code: Code) -> Read<Plan> {
        let plane = self.now.plane();
        let axes = axes(plane);
        let along = axes[2];
        let kept = if self.now.motion == Some(code) { self.now.sticky } else { Sticky::default() };
        let scale = self.now.scale();
        let words = Sticky {
            depth: self.axis_word(along).or(kept.depth),
            clear: self.block.get(b'R').map(|r| r * scale).or(kept.clear),
            peck: self.block.get(b'Q').map(|q| q * scale).or(kept.peck),
            dwell: self.block.get(b'P').or(kept.dwell),
        };
        self.now.sticky = words;
        let name = char::from(LETTERS[along]);
        let depth = self.needed(words.depth, code, name)?;
        let clear = self.needed(words.clear, code, 'R')?;
        let dwell = if matches!(code, 820 | 890) { self.dwell_of(&words, code)? } else { 0.0 };
        let peck = if code == 830 { self.peck_of(&words)? } else { 0.0 };
        self.known_height(along)?;
        let start = self.now.at[along];
        let (clear, depth) = if self.now.incremental() {
            (start + clear, start + clear + depth)
        } else {
            (clear, depth)
        };
        if clear < depth {
            let (r, bottom) = (length(clear, scale), length(depth, scale));
            let message = format!("R at {r} is below the depth at {bottom}");
            let help = "R is the height above the work where the feed begins";
            return Err(self.cycle_fault(Rule::CycleDepth, message, help));
        }
        let back = if self.return_to_r() { clear } else { clear.max(start) };
        let plan = Plan { code, axes, clear, back, depth, repeats: self.repeats()?, peck, dwell };
        self.bounded(&plan)?;
        Ok(plan)
    }

    fn needed(&self, word: Option<f64>, code: Code, letter: char) -> Read<f64> {
        word.ok_or_else(|| {
            let message = format!("{} has no {letter} word", g_name(code));
            let help = "the first line of a cycle has its depth, R and what else it needs";
            self.cycle_fault(Rule::CycleWords, message, help)
        })
    }

    fn dwell_of(&self, words: &Sticky, code: Code) -> Read<f64> {
        let seconds = self.needed(words.dwell, code, 'P')?;
        if seconds < 0.0 {
            let message = format!("a dwell of {seconds} seconds is negative");
            return Err(self.cycle_fault(Rule::CycleWords, message, "write P in seconds"));
        }
        Ok(seconds)
    }

    fn peck_of(&self, words: &Sticky) -> Read<f64> {
        let peck = self.needed(words.peck, 830, 'Q')?;
        if peck <= 0.0 {
            let peck = length(peck, self.now.scale());
            let message = format!("a peck of {peck} is not above zero");
            return Err(self.cycle_fault(Rule::CycleWords, message, "write Q above zero"));
        }
        Ok(peck)
    }

    fn known_height(&self, along: usize) -> Read<()> {
        if self.now.known[along] {
            return Ok(());
        }
        let letter = char::from(LETTERS[along]).to_ascii_lowercase();
        let message = format!("the cycle starts at an unknown {letter}");
        let help = "traverse to a safe height before it";
        Err(self.cycle_fault(Rule::CycleStart, message, help))
    }

    /// G98 or G99; without either the higher return is taken, and that is told.
    fn return_to_r(&mut self) -> bool {
        self.now.return_to_r.unwrap_or_else(|| {
            self.warnings.push(Fault {
                at: self.motion_place(),
                rule: Rule::CycleReturn,
                message: "neither G98 nor G99 was stated; G98 is taken".into(),
                help: "state G98 or G99 before the cycle",
            });
            false
        })
    }

    fn repeats(&self) -> Read<i64> {
        let Some(l) = self.block.get(b'L') else { return Ok(1) };
        match whole(l) {
            Some(n) if n > 0 => Ok(n),
            _ => {
                let message = format!("L{l} is not a whole number above zero");
                Err(self.cycle_fault(Rule::CycleRepeats, message, "leave L out for one hole"))
            }
        }
    }

    /// A line must not give more moves than a reader can hold.
    fn bounded(&self, plan: &Plan) -> Read<()> {
        let pecks = if plan.peck > 0.0 { (plan.clear - plan.depth) / plan.peck } else { 1.0 };
        // Three moves to a peck and four to a hole.
        let moves = (pecks * 3.0 + 4.0) * plan.repeats as f64;
        if moves <= MOST_MOVES {
            return Ok(());
        }
        let message = format!("the line gives some {moves:.0} moves, more than {MOST_MOVES}");
        let help = "use fewer repeats or deeper pecks";
        Err(self.cycle_fault(Rule::CycleLong, message, help))
    }

    fn hole(&mut self, plan: &Plan) {
        let along = plan.axes[2];
        if plan.peck > 0.0 {
            self.pecks(plan, along);
        }
        self.cycle_to(along, plan.depth, CUT_CYCLE);
        if matches!(plan.code, 820 | 890) {
            self.emit(What::Dwell { seconds: plan.dwell });
        }
        let up = if matches!(plan.code, 850 | 890) { CUT_CYCLE } else { TRAVERSE_CYCLE };
        self.cycle_to(along, plan.back, up);
    }

    /// Every peck but the last.
    fn pecks(&mut self, plan: &Plan, along: usize) {
        let mut count = 1.0;
        loop {
            let bottom = plan.clear - count * plan.peck;
            if bottom <= plan.depth {
                return;
            }
            self.cycle_to(along, bottom, CUT_CYCLE);
            self.cycle_to(along, plan.back, TRAVERSE_CYCLE);
            self.cycle_to(along, (bottom + BACK_OFF).min(plan.back), TRAVERSE_CYCLE);
            count += 1.0;
        }
    }

    /// Moves along the cycle's axis, if there is a way to go.
    fn cycle_to(&mut self, along: usize, height: f64, manner: Manner) {
        if self.now.at[along] == height && self.now.known[along] {
            return;
        }
        let (mut to, mut known) = (self.now.at, self.now.known);
        to[along] = height;
        known[along] = true;
        self.stroke(to, known, manner);
    }

    fn cycle_fault(
        &self,
        rule: Rule,
        message: impl Into<String>,
        help: &'static str,
    ) -> Box<Fault> {
        fault(self.motion_place(), rule, message, help)
    }
}
