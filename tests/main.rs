//! The whole of frytub held against things that it did not write itself, and against itself.

mod leaps;
