//! The charts of a comparison, one file each.

mod by_plan;
mod days;
pub mod dose_bars;
pub mod doses;
pub mod level;
mod losses;
mod matters;
mod mouths;
mod pairs;
mod setbacks;
mod tub_day;
mod visits;
mod water;
pub mod water_curve;
pub mod water_words;

use crate::chart::Chart;
use crate::facts::Facts;

/// Every chart, in the order of the report; those from the water on only where there is something to show.
#[must_use]
pub fn all(facts: &Facts<'_>) -> Vec<Chart> {
    let always = [
        visits::chart(facts),
        days::chart(facts),
        losses::chart(facts),
        tub_day::chart(facts),
        mouths::chart(facts),
        pairs::chart(facts),
        matters::chart(facts),
    ];
    let sometimes = [water::chart(facts), level::chart(facts), doses::chart(facts), setbacks::chart(facts)];
    always.into_iter().chain(sometimes.into_iter().flatten()).collect()
}
