//! The model of a fry-rearing tub: a stochastic discrete-event simulation of food, fry and keeper.
//!
//! Pure: no clock, file, environment or print. A [`study::Study`] goes in, an [`outcome::Comparison`] comes out.

pub mod brood;
pub mod cases;
pub mod chance;
pub mod clock;
pub mod cultures;
pub mod events;
pub mod feedline;
pub mod food;
pub mod fry;
pub mod jar_tests;
pub mod keeper;
pub mod mishaps;
pub mod monte_carlo;
pub mod numbers;
pub mod outcome;
pub mod outlet;
pub mod physics;
pub mod series;
pub mod setbacks;
pub mod statistics;
pub mod study;
mod tally;
pub mod tub;
pub mod water;
pub mod worlds;
