//! The model of a fry-rearing tub: a stochastic discrete-event simulation of food, fry and keeper.
//!
//! Pure: no clock, file, environment or print. A [`study::Study`] goes in, an [`outcome::Comparison`] comes out.

pub mod clock;
pub mod numbers;
pub mod outcome;
pub mod study;
