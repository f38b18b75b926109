//! Cutters: known, and changed at rest and high.

use super::{Watch, say};
use crate::dry_run::interlock::Interlock;
use crate::dry_run::log::{Log, spot};
use crate::dry_run::progress::Progress;
use crate::dry_run::touch::NOISE;
use crate::ngc::{Event, What};
use crate::shop::CutterChange;

/// What was told already, and what waits.
#[derive(Default)]
pub(super) struct Cutters {
    assumed: bool,
    /// A cutter that T has named and nothing has put in: its number and T's line.
    waiting: Option<(u32, usize)>,
}

impl Watch for Cutters {
    fn see(&mut self, event: &Event, now: &Progress, log: &mut Log) {
        match event.what {
            What::CutterSelect { cutter } => {
                if self.waiting.is_some_and(|(number, _)| number != cutter) {
                    self.left_waiting(log);
                }
                let other = cutter != 0 && Some(cutter) != now.number;
                self.waiting = other.then_some((cutter, event.line));
            }
            What::CutterChange { cutter } => {
                self.waiting = None;
                named(event, cutter, now, log);
                at_rest(event, now, log);
                machine_can(event, now, log);
            }
            What::Motion(_) => {
                let cuts = now.pass.as_ref().is_some_and(|p| p.feed.is_some() && p.touch.inside);
                if cuts && (!now.number_stated || now.number == Some(0)) {
                    self.assumed(event, now, log);
                }
            }
            What::Stop { .. } => hands(event, now, log),
            What::End { .. } => self.left_waiting(log),
            _ => {}
        }
    }
}

impl Cutters {
    /// It cuts, and no word of the program has named a cutter.
    fn assumed(&mut self, event: &Event, now: &Progress, log: &mut Log) {
        if std::mem::replace(&mut self.assumed, true) {
            return;
        }
        let spot = |kind| spot(Interlock::CutterKnown, kind, event.line, now.place());
        let help = "write T and M6, or name the cutter in the setup";
        match (now.number, now.cutter) {
            (None | Some(0), _) => log.refuse(spot("none"), |_| {
                say("it cuts with no cutter that the program or the setup names", help)
            }),
            (Some(number), None) => log.refuse(spot("default"), |_| {
                say(format!("the setup names cutter {number}, which is not in the table"), help)
            }),
            // The setup names it, and so may T, without an M6.
            (Some(number), Some(_)) => {
                if let Some((other, line)) = self.waiting.take() {
                    log.refuse(spot("other"), |_| {
                        say(
                            format!(
                                "T on line {line} names cutter {other}, no M6 puts it in, and the setup names cutter {number}"
                            ),
                            "write M6 behind T, or name the same cutter in both",
                        )
                    });
                }
            }
        }
    }

    /// A cutter that T named was never put in.
    fn left_waiting(&mut self, log: &mut Log) {
        let Some((number, line)) = self.waiting.take() else { return };
        log.caution(spot(Interlock::CutterKnown, "waiting", line, None), |_| {
            say(
                format!("T{number} names a cutter that is never put in"),
                "write M6 where it is to be put in, or leave T out",
            )
        });
    }
}

/// A stop for the operator, whose hands come near.
fn hands(event: &Event, now: &Progress, log: &mut Log) {
    // On a hand switch no word says whether it turns.
    if now.spindle.is_some_and(|turning| turning.rpm.is_some()) {
        log.caution(spot(Interlock::CutterChange, "hands", event.line, now.place()), |_| {
            say(
                "it waits for the operator while the spindle turns",
                "write M5 before the stop, and M3 and a dwell behind it",
            )
        });
    }
}

fn named(event: &Event, number: u32, now: &Progress, log: &mut Log) {
    if number != 0 && now.scene.cutter(number).is_none() {
        log.refuse(spot(Interlock::CutterKnown, "table", event.line, None), |_| {
            let known: Vec<String> =
                now.scene.setup.cutters.iter().map(|c| c.number.to_string()).collect();
            say(
                format!("cutter {number} is not in the table, which has {}", known.join(", ")),
                "correct T, or add the cutter to the shop file",
            )
        });
    }
}

fn at_rest(event: &Event, now: &Progress, log: &mut Log) {
    let spot = |kind| spot(Interlock::CutterChange, kind, event.line, now.place());
    if now.turning_at_line {
        log.refuse(spot("turning"), |_| {
            say(
                "the cutter is to be changed while the spindle turns",
                "write M5 on a line before M6",
            )
        });
    }
    if !now.moved {
        return;
    }
    if now.known[2] && now.at.z < now.scene.safe - NOISE {
        log.refuse(spot("low"), |log| {
            let (z, safe) = (log.mm(now.at.z), log.mm(now.scene.safe));
            say(
                format!("the cutter is to be changed at z {z}, below safe height ({safe})"),
                "retract to safe height first",
            )
        });
    } else if !now.known[2] && !now.away {
        log.refuse(spot("unknown"), |_| {
            say("the cutter is to be changed at an unknown height", "retract to safe height first")
        });
    }
}

fn machine_can(event: &Event, now: &Progress, log: &mut Log) {
    if now.scene.setup.machine.cutter_change != CutterChange::OnePerProgram {
        return;
    }
    let spot = |kind| spot(Interlock::CutterChange, kind, event.line, now.place());
    let message = "this machine takes one cutter per program, and can not stop for a change";
    match now.fed {
        true => log.refuse(spot("second"), |_| say(message, "write one program per cutter")),
        false => log.caution(spot("first"), |_| say(message, "leave M6 out")),
    }
}
