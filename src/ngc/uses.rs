//! What the words of a line serve: every axis word serves one code, and no word serves nothing
//! (NISTIR 6556 sections 3.4 and 3.5).

use super::block::Block;
use super::modal::{Code, NONE, g_name, group};
use super::problem::{Fault, Read, Rule, fault};

/// What a line does with its axis words.
pub(super) struct Job {
    /// The motion to run, from the line or in force.
    pub(super) motion: Option<Code>,
    /// Whether an axis word is there.
    pub(super) axes: bool,
}

const ARC: u32 = letters(b"IJKR");
const CYCLE: u32 = letters(b"RL");
const ALWAYS: u32 = letters(b"FSTXYZ");

const fn letters(list: &[u8]) -> u32 {
    let (mut mask, mut i) = (0, 0);
    while i < list.len() {
        mask |= 1 << (list[i] - b'A');
        i += 1;
    }
    mask
}

/// Finds the motion of a block and checks that every word is used.
///
/// # Errors
/// If axis words serve two codes or none, a motion has none, or a word serves nothing.
pub(super) fn check(block: &Block, in_force: Option<Code>) -> Read<Job> {
    let axes = block.has_any(b"XYZ");
    let motion = motion(block, in_force, axes)?;
    let zero = block.g[group::NOT_MODAL];
    if zero == 920 && !axes {
        let place = block.g_place(group::NOT_MODAL);
        let help = "write the coordinates that the point shall have, as in G92 X0 Y0";
        return Err(fault(place, Rule::AxisOffset, "G92 has no axis word", help));
    }
    if zero == 530 && !matches!(motion, Some(0 | 10)) {
        let place = block.g_place(group::NOT_MODAL);
        let message = "G53 has no straight motion to apply to";
        let help = "write G53 G0 with axis words; only G0 and G1 go with it";
        return Err(fault(place, Rule::MachineMove, message, help));
    }
    if block.present() & !ALWAYS != 0 {
        used(block, motion)?;
    }
    Ok(Job { motion, axes })
}

fn motion(block: &Block, in_force: Option<Code>, axes: bool) -> Read<Option<Code>> {
    let zero = block.g[group::NOT_MODAL];
    // These take the axis words for themselves.
    let taken = matches!(zero, 100 | 280 | 300 | 920);
    match block.g[group::MOTION] {
        NONE if axes && !taken => match in_force {
            Some(800) => Err(without_motion(block, "axis words stand under G80")),
            None => Err(without_motion(block, "axis words stand before any motion word")),
            code => Ok(code),
        },
        NONE => Ok(None),
        800 if axes && !taken => Err(without_motion(block, "axis words stand beside G80")),
        800 => Ok(None),
        code if axes && taken => Err(twice(block, code)),
        code if !axes => {
            let place = block.g_place(group::MOTION);
            let message = format!("{} has no axis word", g_name(code));
            let help = "write where it goes; a full circle too repeats a coordinate of its end";
            Err(fault(place, Rule::AxisWordsMissing, message, help))
        }
        code => Ok(Some(code)),
    }
}

#[cold]
fn without_motion(block: &Block, message: &str) -> Box<Fault> {
    let first = b"XYZ".iter().filter(|&&l| block.has(l)).map(|&l| block.place(l)).min();
    let help = "write G0 or G1 on the line";
    fault(first.unwrap_or(0), Rule::NoMotionMode, message, help)
}

#[cold]
fn twice(block: &Block, code: Code) -> Box<Fault> {
    let (one, two) = (g_name(code), g_name(block.g[group::NOT_MODAL]));
    let message = format!("{one} and {two} both use the axis words of the line");
    let help = "put them on separate lines";
    fault(block.g_place(group::NOT_MODAL), Rule::AxisWordsTwice, message, help)
}

fn used(block: &Block, motion: Option<Code>) -> Read<()> {
    let by_motion = match motion {
        Some(20 | 30) => ARC,
        Some(810 | 850) => CYCLE,
        Some(820 | 890) => CYCLE | letters(b"P"),
        Some(830) => CYCLE | letters(b"Q"),
        _ => 0,
    };
    let by_zero = match block.g[group::NOT_MODAL] {
        40 => letters(b"P"),
        100 => letters(b"LP"),
        _ => 0,
    };
    let by_length = if block.g[group::LENGTH] == 430 { letters(b"H") } else { 0 };
    if by_motion & by_zero & block.present() != 0 {
        let message = "P is the dwell of G4 and of the cycle on one line";
        let help = "put G4 on its own line";
        return Err(fault(block.place(b'P'), Rule::WordWithoutUse, message, help));
    }
    let idle = block.present() & !(ALWAYS | by_motion | by_zero | by_length);
    if idle == 0 {
        return Ok(());
    }
    // The lowest bit is the first letter; there are 26, so the cast is safe.
    let letter = b'A' + idle.trailing_zeros() as u8;
    let message = format!("{} is used by nothing on the line", char::from(letter));
    Err(fault(block.place(letter), Rule::WordWithoutUse, message, help_for(letter)))
}

fn help_for(letter: u8) -> &'static str {
    match letter {
        b'I' | b'J' | b'K' => "centre offsets go with G2 and G3, on the line or in force",
        b'R' => "R goes with G2, G3 and the cycles",
        b'P' => "P goes with G4, G10, G82 and G89",
        b'L' => "L goes with G10 and the cycles",
        b'Q' => "Q goes with G83",
        b'H' => "H goes with G43 on the same line",
        _ => "D goes with radius compensation, which is refused",
    }
}
