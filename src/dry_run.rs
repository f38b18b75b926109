//! Reads a program back and says what it would have done.

pub mod removal;
