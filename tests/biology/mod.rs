//! What the model says of fry, held against what has been published or is common practice.
//!
//! Nothing here is tuned to pass: each file says what it is compared with, how near it must come and why, and what came
//! out when it was first run. Where model and practice disagree, the file says so and tests what honestly holds.

mod equipment;
pub mod failing;
pub mod fouling;
mod hungry;
mod live_food;
mod mouths;
mod oxygen;
mod plenty;
pub mod setbacks;
mod settling;
mod touched;
mod unfed;
mod water_map;
mod zebrafish;
