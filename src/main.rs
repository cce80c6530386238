//! The `frytub` program.

fn main() {}
