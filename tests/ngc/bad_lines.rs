//! Bad lines, each with the exact message that it gives, in `bad-lines.txt`: a line of a program,
//! then behind `=>` the column, the rule and the message.

use super::common::refused;

const TABLE: &str = include_str!("bad-lines.txt");

/// How many cases the table had when it was last extended.
const LEAST: usize = 81;

#[test]
fn every_bad_line_gives_its_message() {
    let lines: Vec<_> = TABLE.lines().filter(|l| !l.is_empty() && !l.starts_with("--")).collect();
    let (mut wrong, mut count) = (String::new(), 0);
    for pair in lines.chunks(2) {
        let [line, expected] = pair else { panic!("a case has two lines: {pair:?}") };
        let p = refused(line);
        let shown = format!("  => {}", p.to_string().split_once(':').unwrap().1);
        if shown != *expected {
            wrong.push_str(&format!("{line}\n{shown}\n"));
        }
        assert!(p.help.is_some_and(|help| !help.is_empty()), "{line} has no way out");
        count += 1;
    }
    assert!(wrong.is_empty(), "\n{wrong}");
    assert!(count >= LEAST, "the table has lost cases: {count}");
}
