//! Intervals for a proportion, against statsmodels 0.15.0 and the page on which they are printed.
//!
//! Tolerance 1e-12 for Wilson's: the same closed form on both sides; only the normal quantile comes from different
//! libraries. Clopper & Pearson's, which only tests use, is a beta quantile found by search: 1e-7.

use frytub_sim::statistics::wilson;

use super::Table;
use crate::support::shares::clopper_pearson;

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

#[test]
fn exact_intervals_are_those_of_the_statistics_library() {
    let table = Table::read(include_str!("binomial_intervals.csv"));
    let rows = table.columns(["successes", "trials", "exact_low", "exact_high"]);
    assert_eq!(rows.len(), 19);
    for [successes, trials, low, high] in rows {
        let ours = clopper_pearson(successes as u64, trials as u64, 0.95);
        let off = (ours[0] - low).abs().max((ours[1] - high).abs());
        assert!(off < 1e-7, "{successes} of {trials}: {ours:?}, off by {off:e}");
    }
}

#[test]
fn both_intervals_are_as_newcombe_printed_them() {
    // Newcombe 1998, Stat. Med. 17:857–872, Table I, methods 3 (score) and 5 (exact); from memory.
    for (successes, trials, score, exact) in [
        (81_u32, 263_u32, [0.2553, 0.3662], [0.2527, 0.3676]),
        (15, 148, [0.0624, 0.1605], [0.0578, 0.1617]),
        (0, 20, [0.0000, 0.1611], [0.0000, 0.1684]),
        (1, 29, [0.0061, 0.1718], [0.0009, 0.1776]),
    ] {
        let ours = wilson(f64::from(successes), f64::from(trials), 0.95);
        let also = clopper_pearson(u64::from(successes), u64::from(trials), 0.95);
        for (ours, printed) in [ours.low, ours.high].into_iter().zip(score).chain(also.into_iter().zip(exact)) {
            assert!((ours - printed).abs() < 5.1e-5, "{successes} of {trials}: {ours} against {printed}");
        }
    }
}
