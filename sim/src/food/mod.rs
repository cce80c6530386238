//! Food: what a batch is made of, what fits a mouth, and where it goes in the tub.
//!
//! Knows the numbers of a food and of a mouth; knows no fry, no plan and no clock.

pub mod batch;
pub mod fit;
pub mod pools;
