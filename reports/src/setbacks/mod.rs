//! What one setback costs each plan: which were tried with which plans, and what is made of the figures.
//!
//! Words stand in `words.rs`, tables in `tables.rs`, files in `csv_files.rs`, the picture in `charts/setbacks.rs`.

pub mod csv_files;
pub mod tables;
pub mod words;

use frytub_sim::outcome::Cost;
use frytub_sim::setbacks::{Setback, possible};

use crate::facts::Facts;

/// A plan forgives what costs it fewer weaned fry of 100 than this.
pub const FORGIVEN: f64 = 3.0;

/// The most plans that are set side by side; all are in the file.
pub const MOST_PLANS: usize = 8;

/// What is made of a cost.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// The 95 % interval of the mean lies below [`FORGIVEN`].
    Forgives,
    /// It lies above.
    Costs,
    /// It spans that, or there are too few worlds for an interval.
    NotClear,
}

/// What is made of a cost.
#[must_use]
pub fn verdict(cost: &Cost) -> Verdict {
    match cost.mean_95 {
        _ if cost.worlds < 2 => Verdict::NotClear,
        interval if interval.high < FORGIVEN => Verdict::Forgives,
        interval if interval.low > FORGIVEN => Verdict::Costs,
        _ => Verdict::NotClear,
    }
}

/// The setbacks that were tried with any plan, in the order of the study.
#[must_use]
pub fn tried(facts: &Facts<'_>) -> Vec<Setback> {
    let costs = &facts.found.costs;
    possible(facts.study).into_iter().filter(|setback| costs.iter().any(|cost| cost.setback == *setback)).collect()
}

/// The plans that are set side by side, as many as fit.
#[must_use]
pub fn plans(facts: &Facts<'_>) -> Vec<usize> {
    facts.closer(MOST_PLANS).into_iter().filter(|&plan| was_tried(facts, plan)).collect()
}

/// How many plans are left to the file.
#[must_use]
pub fn hidden(facts: &Facts<'_>) -> usize {
    facts.shown.iter().filter(|&&plan| was_tried(facts, plan)).count() - plans(facts).len()
}

/// True where setbacks were tried with a plan: not where it only makes a curve.
fn was_tried(facts: &Facts<'_>, plan: usize) -> bool {
    facts.found.costs.iter().any(|cost| cost.plan == plan)
}

/// What a setback costs a plan; `None` where it cannot strike.
#[must_use]
pub fn cost<'a>(facts: &Facts<'a>, plan: usize, setback: Setback) -> Option<&'a Cost> {
    facts.found.costs.iter().find(|cost| cost.plan == plan && cost.setback == setback)
}

/// The setback that costs a plan most, among those that surely cost it something worth mention.
#[must_use]
pub fn worst<'a>(facts: &Facts<'a>, plan: usize) -> Option<&'a Cost> {
    let costs = tried(facts).into_iter().filter_map(|setback| cost(facts, plan, setback));
    // Of equals the first: `max_by` would take the last.
    costs
        .filter(|cost| verdict(cost) == Verdict::Costs)
        .reduce(|worst, next| if next.lost.mean > worst.lost.mean { next } else { worst })
}

/// A plan among those set side by side that forgives a setback: the leader if it does, else the one that loses least.
#[must_use]
pub fn forgiver(facts: &Facts<'_>, setback: Setback) -> Option<usize> {
    let forgives = |plan: &usize| cost(facts, *plan, setback).is_some_and(|cost| verdict(cost) == Verdict::Forgives);
    let lost = |plan: usize| cost(facts, plan, setback).map_or(f64::INFINITY, |cost| cost.lost.mean);
    let all: Vec<usize> = plans(facts).into_iter().filter(forgives).collect();
    if all.contains(&facts.leader()) {
        return Some(facts.leader());
    }
    all.into_iter().min_by(|&a, &b| lost(a).total_cmp(&lost(b)).then(a.cmp(&b)))
}

#[cfg(test)]
mod tests {
    use frytub_sim::outcome::{Interval, Spread};

    use super::*;

    fn cost(low: f64, high: f64, worlds: u32) -> Cost {
        let mean = (low + high) / 2.0;
        Cost {
            plan: 0,
            setback: Setback::PowerCut,
            day: 2,
            hour: 7.0,
            worlds,
            lost: Spread { mean, low, median: mean, high },
            mean_80: Interval { low, high },
            mean_95: Interval { low, high },
            alive_lost: mean,
            hard: 0.0,
        }
    }

    #[test]
    fn a_cost_is_forgiven_below_three_fry_and_unclear_where_its_interval_spans_them() {
        assert_eq!(verdict(&cost(-1.0, 2.9, 40)), Verdict::Forgives);
        assert_eq!(verdict(&cost(3.1, 9.0, 40)), Verdict::Costs);
        assert_eq!(verdict(&cost(1.0, 9.0, 40)), Verdict::NotClear);
        assert_eq!(verdict(&cost(12.0, 12.0, 1)), Verdict::NotClear, "one world has no interval");
        assert_eq!(verdict(&cost(f64::NAN, f64::NAN, 40)), Verdict::NotClear);
    }
}
