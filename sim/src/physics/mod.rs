//! Water and what sinks in it. Knows no food and no fish.

pub mod chemistry;
pub mod plume;
pub mod sinking;
pub mod tubes;
pub mod water;
