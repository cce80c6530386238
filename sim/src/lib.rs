//! The model of a fry-rearing tub: a stochastic discrete-event simulation of food, fry and keeper.
//!
//! Pure: no clock, file, environment or print. A [`study::Study`] goes in, an [`outcome::Comparison`] comes out.

pub mod chance;
pub mod clock;
pub mod events;
pub mod food;
pub mod numbers;
pub mod outcome;
pub mod physics;
pub mod study;
pub mod worlds;
