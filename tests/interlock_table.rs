//! DEVELOPERS.md lists every interlock as it is documented in the code.
#![allow(clippy::unwrap_used)]

use ovolo::dry_run::Interlock;
use std::fmt::Write;

/// The table as DEVELOPERS.md must have it.
fn table() -> String {
    let mut out = String::from(
        "| | interlock | guards | checked | can not see |\n| --- | --- | --- | --- | --- |\n",
    );
    for page in Interlock::ALL {
        let (code, name) = (page.interlock.code(), page.name);
        let (guards, checked, blind) = (page.guards, page.checked, page.blind);
        writeln!(out, "| {code} | `{name}` | {guards} | {checked} | {blind} |").unwrap();
    }
    out
}

#[test]
fn the_table_of_interlocks_is_current() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/DEVELOPERS.md");
    let text = std::fs::read_to_string(path).unwrap();
    let (begin, end) = ("<!-- interlocks: begin -->\n", "<!-- interlocks: end -->");
    let from = text.find(begin).unwrap() + begin.len();
    let to = text.find(end).unwrap();
    if std::env::var_os("OVOLO_WRITE_TABLE").is_some() {
        let new = format!("{}{}{}", &text[..from], table(), &text[to..]);
        std::fs::write(path, new).unwrap();
        return;
    }
    assert_eq!(&text[from..to], table(), "run this test with OVOLO_WRITE_TABLE=1 to write it anew");
}
