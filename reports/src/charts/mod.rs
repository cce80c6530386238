//! The charts of a comparison, one file each.

mod days;
mod losses;
mod matters;
mod mouths;
mod pairs;
mod tub_day;
mod visits;

use crate::chart::Chart;
use crate::facts::Facts;

/// Every chart, in the order of the report.
#[must_use]
pub fn all(facts: &Facts<'_>) -> Vec<Chart> {
    vec![
        visits::chart(facts),
        days::chart(facts),
        losses::chart(facts),
        tub_day::chart(facts),
        mouths::chart(facts),
        pairs::chart(facts),
        matters::chart(facts),
    ]
}
