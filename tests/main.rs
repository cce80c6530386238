//! The whole of frytub held against things that it did not write itself, and against itself.

// Figures are shown by `cargo test --test main -- --nocapture`.
#![allow(clippy::print_stderr)]

mod biology;
mod cases;
mod examples;
mod feedline;
mod leaps;
mod model_page;
mod properties;
mod reference;
mod support;
