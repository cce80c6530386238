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
    /// Food lies down or ages in the tube: a faster pump, a shorter or narrower tube would help.
    Tube,
    /// More than one of them.
    Several,
    /// None takes much.
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
        let mut weights: Vec<f64> = trial.foods.iter().map(|food| food.wanted_mg).collect();
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

    /// Parts of 100 that would come without any trouble which each trouble costs by itself.
    #[must_use]
    pub fn losses(&self) -> Losses {
        let each = |loss: &dyn Fn(&Losses) -> f64| self.over_foods(|food| loss(&Losses::of(food)));
        Losses {
            settling: each(&|losses| losses.settling),
            ageing: each(&|losses| losses.ageing),
            tube: each(&|losses| losses.tube),
        }
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

/// What each trouble costs if it is the only one, in parts of 100 that would come without any.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Losses {
    /// Settling in the reservoir.
    pub settling: f64,
    /// Ageing in the reservoir.
    pub ageing: f64,
    /// Settling and ageing in the tube.
    pub tube: f64,
}

impl Losses {
    /// Those of one food, middle world: what would come without any trouble, less what comes with the one.
    ///
    /// Out of what would come, not out of what was wanted: a timer that gives thirty times the dose would make losses of
    /// thousands in a hundred, and a filling too small for its feeds would hide them.
    #[must_use]
    pub fn of(food: &FoodTrial) -> Self {
        let whole = food.by_none.median;
        let lost = |alone: &Spread| if whole > 0.0 { ((whole - alone.median) / whole * 100.0).max(0.0) } else { 0.0 };
        Self {
            settling: lost(&food.by_settling_alone),
            ageing: lost(&food.by_ageing_alone),
            tube: lost(&food.by_tube_alone),
        }
    }

    /// Those that are more than little, by name.
    #[must_use]
    pub fn named(self) -> Vec<String> {
        let all = [(self.settling, "settling"), (self.ageing, "ageing"), (self.tube, "the tube")];
        all.into_iter().filter(|(loss, _)| *loss >= LITTLE).map(|(_, name)| name.to_owned()).collect()
    }

    /// Which of them is the trouble.
    #[must_use]
    pub fn trouble(self) -> Trouble {
        let Self { settling, ageing, tube } = self;
        let outweighs = |one: f64, a: f64, b: f64| one > a.max(b) * OUTWEIGHS;
        if settling.max(ageing).max(tube) < LITTLE {
            Trouble::Little
        } else if outweighs(settling, ageing, tube) {
            Trouble::Shape
        } else if outweighs(ageing, settling, tube) {
            Trouble::Freshness
        } else if outweighs(tube, settling, ageing) {
            Trouble::Tube
        } else {
            Trouble::Several
        }
    }
}

#[cfg(test)]
mod tests {
    use frytub_sim::outcome::FillBalance;

    use super::*;

    #[test]
    fn the_larger_loss_is_the_trouble_and_a_small_one_is_none() {
        let trouble = |settling, ageing, tube| Losses { settling, ageing, tube }.trouble();
        assert_eq!(trouble(92.0, 30.0, 0.0), Trouble::Shape);
        assert_eq!(trouble(4.0, 80.0, 9.0), Trouble::Freshness);
        assert_eq!(trouble(4.0, 20.0, 90.0), Trouble::Tube);
        assert_eq!(trouble(40.0, 50.0, 0.0), Trouble::Several);
        assert_eq!(trouble(9.0, 1.0, 2.0), Trouble::Little);
        assert_eq!(Losses { settling: 0.0, ageing: 28.0, tube: 32.0 }.named(), ["ageing", "the tube"]);
    }

    #[test]
    fn losses_are_never_more_than_all_that_would_come() {
        let spread = |median: f64| Spread { mean: median, low: median, median, high: median };
        let food = |none: f64, settling: f64| FoodTrial {
            food: 0,
            delivered_fresh: spread(settling),
            delivered_spoiled: spread(0.0),
            balance: FillBalance { drawn_fresh: 0.0, drawn_spoiled: 0.0, in_suspension: 0.0, resting: 0.0, stuck: 0.0 },
            by_settling_alone: spread(settling),
            by_ageing_alone: spread(none),
            by_tube_alone: spread(none),
            by_none: spread(none),
            wanted_mg: 1.0,
        };
        // A timer that gives nine times the dose: a tenth of it arrives, nine tenths are lost.
        assert!((Losses::of(&food(900.0, 90.0)).settling - 90.0).abs() < 1e-9);
        // A filling for two feeds in five: a quarter of what could come is lost, not a tenth.
        assert!((Losses::of(&food(40.0, 30.0)).settling - 25.0).abs() < 1e-9);
        assert_eq!(Losses::of(&food(0.0, 0.0)).settling, 0.0);
    }
}
