//! What all parts of the report on reservoirs share: each vessel with its plan, its ink, and the sums over its foods.
//!
//! Shares of food are parts of dry mass out of 100 that the feeds of a filling were to bring.

use frytub_sim::outcome::{FeedTrial, FoodTrial, RemedyKind, ReservoirTrial, Spread};
use frytub_sim::study::Reservoir;

use crate::charts::doses::Brought;
use crate::facts::Facts;
use crate::look::Style;

/// A loss smaller than this many parts of 100 is no trouble.
const LITTLE: f64 = 10.0;
/// A trouble outweighs another when it is so many times as large.
const OUTWEIGHS: f64 = 2.0;

/// What costs a reservoir its food.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Trouble {
    /// Food settles and stays: another shape, more air or another place for the stone would help.
    Shape,
    /// Food spoils or dies while it waits: cold, or shorter waiting, would help.
    Freshness,
    /// Both.
    Both,
    /// Neither takes much.
    Little,
}

/// One reservoir with what its filling brought.
#[derive(Debug, Clone)]
pub struct Vessel<'a> {
    /// What the filling brought.
    pub trial: &'a ReservoirTrial,
    /// The reservoir itself.
    pub reservoir: &'a Reservoir,
    /// The plan that is run with it, if there is one in the comparison.
    pub plan: Option<usize>,
    /// How it is drawn in every chart.
    pub style: Style,
    /// What its pump feeds of the day shown brought to the tub, mean over broods; none when that was not kept.
    pub day: Option<Brought>,
    /// Share of each food of the filling in the dry mass wanted, in the order of `trial.foods`; sum 1.
    weights: Vec<f64>,
}

/// All reservoirs of a report.
#[derive(Debug)]
pub struct Trials<'a> {
    /// The comparison of the same plan run with each.
    pub facts: &'a Facts<'a>,
    /// The reservoirs, in the order of the trials.
    pub vessels: Vec<Vessel<'a>>,
}

impl<'a> Trials<'a> {
    /// Puts trials and comparison together. A trial of a reservoir that the study does not hold is left out.
    #[must_use]
    pub fn new(facts: &'a Facts<'a>, trials: &'a [ReservoirTrial]) -> Self {
        let vessels = trials.iter().enumerate().filter_map(|(n, trial)| Vessel::new(facts, n, trial)).collect();
        Self { facts, vessels }
    }

    /// Name of a food.
    #[must_use]
    pub fn food(&self, food: usize) -> &'a str {
        self.facts.study.foods.get(food).map_or("food", |food| food.name.as_str())
    }

    /// Every food that is in any filling, in the order of the study.
    #[must_use]
    pub fn foods(&self) -> Vec<usize> {
        let mut foods: Vec<usize> =
            self.vessels.iter().flat_map(|vessel| &vessel.trial.foods).map(|food| food.food).collect();
        foods.sort_unstable();
        foods.dedup();
        foods
    }

    /// The vessel that delivers most fresh food; none when there is no vessel.
    #[must_use]
    pub fn best(&self) -> Option<&Vessel<'a>> {
        let most = |a: &&Vessel<'a>, b: &&Vessel<'a>| a.fresh().median.total_cmp(&b.fresh().median);
        // Of equals the first: `max_by` would take the last.
        self.vessels.iter().rev().max_by(most)
    }

    /// The vessel that the best is told against: the keeper's own where that is another, else the next best.
    #[must_use]
    pub fn other(&self) -> Option<&Vessel<'a>> {
        let best = self.best()?.trial.reservoir;
        let others = || self.vessels.iter().filter(|vessel| vessel.trial.reservoir != best);
        let own = others().find(|vessel| vessel.plan == Some(self.facts.study.baseline));
        own.or_else(|| others().rev().max_by(|a, b| a.fresh().median.total_cmp(&b.fresh().median)))
    }
}

impl<'a> Vessel<'a> {
    fn new(facts: &Facts<'a>, n: usize, trial: &'a ReservoirTrial) -> Option<Self> {
        let study = facts.study;
        let reservoir = study.reservoirs.get(trial.reservoir)?;
        let feeds_from = |line: &frytub_sim::study::PlanLine| line.reservoir == trial.reservoir;
        let plan = study.plans.iter().position(|plan| plan.line.as_ref().is_some_and(feeds_from));
        let doses = plan.map(|plan| facts.result(plan).doses.as_slice()).unwrap_or_default();
        let wanted = |food: &FoodTrial| -> f64 {
            doses.iter().filter_map(|dose| dose.wanted_ug.get(food.food)).filter(|ug| ug.is_finite()).sum()
        };
        let mut weights: Vec<f64> = trial.foods.iter().map(wanted).collect();
        let whole: f64 = weights.iter().sum();
        for weight in &mut weights {
            // Without knowing how much of each was wanted, each counts alike.
            *weight = if whole > 0.0 { *weight / whole } else { 1.0 / trial.foods.len() as f64 };
        }
        let style = plan.map_or_else(|| Style::of_plan(n), |plan| facts.style(plan));
        let day = (!doses.is_empty()).then(|| Brought::of_day(doses));
        Some(Self { trial, reservoir, plan, style, day, weights })
    }

    /// Its name.
    #[must_use]
    pub fn name(&self) -> &'a str {
        &self.reservoir.name
    }

    fn over_foods(&self, value: impl Fn(&FoodTrial) -> f64) -> f64 {
        self.trial.foods.iter().zip(&self.weights).map(|(food, weight)| value(food) * weight).sum()
    }

    /// Fresh food of all kinds delivered, out of 100 wanted.
    #[must_use]
    pub fn fresh(&self) -> Spread {
        let as_it_is = self.trial.remedies.iter().find(|remedy| remedy.what == RemedyKind::AsItIs);
        as_it_is.map_or_else(
            || Spread {
                mean: self.over_foods(|food| food.delivered_fresh.mean),
                low: self.over_foods(|food| food.delivered_fresh.low),
                median: self.over_foods(|food| food.delivered_fresh.median),
                high: self.over_foods(|food| food.delivered_fresh.high),
            },
            |remedy| remedy.delivered_fresh,
        )
    }

    /// Parts of 100 that are lost if settling is the only trouble.
    #[must_use]
    pub fn lost_to_settling(&self) -> f64 {
        (100.0 - self.over_foods(|food| food.by_settling_alone.median)).max(0.0)
    }

    /// Parts of 100 that are lost if ageing is the only trouble.
    #[must_use]
    pub fn lost_to_ageing(&self) -> f64 {
        (100.0 - self.over_foods(|food| food.by_ageing_alone.median)).max(0.0)
    }

    /// What costs it its food.
    #[must_use]
    pub fn trouble(&self) -> Trouble {
        trouble(self.lost_to_settling(), self.lost_to_ageing())
    }

    /// Fresh food of one feed out of 100 wanted of it, middle world; none without that feed.
    #[must_use]
    pub fn of_feed(&self, feed: Option<&FeedTrial>) -> Option<f64> {
        feed.map(|feed| feed.fresh.iter().zip(&self.weights).map(|(fresh, weight)| fresh.median * weight).sum())
    }

    /// Fresh food of its first feed and of its last.
    #[must_use]
    pub fn first_and_last(&self) -> [Option<f64>; 2] {
        [self.of_feed(self.trial.feeds.first()), self.of_feed(self.trial.feeds.last())]
    }
}

/// Which of two losses, in parts of 100, is the trouble.
#[must_use]
pub fn trouble(settling: f64, ageing: f64) -> Trouble {
    if settling.max(ageing) < LITTLE {
        Trouble::Little
    } else if settling > ageing * OUTWEIGHS {
        Trouble::Shape
    } else if ageing > settling * OUTWEIGHS {
        Trouble::Freshness
    } else {
        Trouble::Both
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_larger_loss_is_the_trouble_and_a_small_one_is_none() {
        assert_eq!(trouble(92.0, 30.0), Trouble::Shape);
        assert_eq!(trouble(4.0, 80.0), Trouble::Freshness);
        assert_eq!(trouble(40.0, 50.0), Trouble::Both);
        assert_eq!(trouble(9.0, 1.0), Trouble::Little);
    }
}
