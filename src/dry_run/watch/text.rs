//! What the reader of the text could not take, put under the interlock that it breaks.

use crate::dry_run::interlock::Interlock;
use crate::dry_run::log::{Log, spot};
use crate::ngc::{Problem, Rule};

/// Grave problems refuse, others are cautions.
pub(in crate::dry_run) fn report(problems: &[Problem], log: &mut Log) {
    for problem in problems {
        let spot = spot(guard(problem.rule), problem.rule.id(), problem.line, None);
        let say = |_: &Log| {
            let message = format!("column {}: {}", problem.column, problem.message);
            let help = problem.help.clone();
            (message, help.unwrap_or_else(|| problem.rule.text().to_string()))
        };
        match problem.grave {
            true => log.refuse(spot, say),
            false => log.caution(spot, say),
        }
    }
}

fn guard(rule: Rule) -> Interlock {
    match rule {
        Rule::NoFeed => Interlock::FeedStated,
        Rule::InverseTimeFeed => Interlock::FeedMode,
        Rule::NoEnd | Rule::PercentOpen => Interlock::Ending,
        Rule::CutterNotSelected => Interlock::CutterKnown,
        _ => Interlock::TextUnderstood,
    }
}
