//! The `ovolo` command.
fn main() {}
