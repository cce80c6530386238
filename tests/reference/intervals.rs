//! Wilson's interval for a proportion, against statsmodels 0.15.0.
//!
//! Tolerance 1e-12: the same closed form on both sides; only the normal quantile comes from different libraries.

use frytub_sim::statistics::wilson;

use super::Table;

#[test]
fn wilson_intervals_are_those_of_the_statistics_library() {
    let rows = Table::read(include_str!("binomial_intervals.csv")).columns(["successes", "trials", "low", "high"]);
    assert_eq!(rows.len(), 19);
    for [successes, trials, low, high] in rows {
        let ours = wilson(successes, trials, 0.95);
        let off = (ours.low - low).abs().max((ours.high - high).abs());
        assert!(off < 1e-12, "{successes} of {trials}: {ours:?}, off by {off:e}");
    }
}
