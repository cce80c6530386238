//! The whole of frytub held against things that it did not write itself, and against itself.

mod biology;
mod leaps;
mod properties;
mod reference;
mod support;
