//! What doses come to: animals, mass and gutfuls, reckoned with the most likely value of every number.
//!
//! Knows studies and the simulator's food classes; writes no sentence.

use frytub_sim::brood::{foods_in_a_millilitre, millilitres};
use frytub_sim::food::fit::place;
use frytub_sim::study::{By, Feed, Plan, Run, Stage, Study};
use frytub_sim::worlds::{self, World};

use crate::programmes::Programmes;

/// A study with the most likely value of every number.
pub(super) struct Reckoning<'s> {
    /// The study.
    pub study: &'s Study,
    /// The most likely world.
    pub world: World,
    /// What timers make of doses.
    pub programmes: Programmes<'s>,
}

/// What enters a tub in one feed, before anything is lost on its way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Given {
    /// Index of the mix.
    pub mix: usize,
    /// Millilitres of it.
    pub volume_ml: f64,
}

/// A fry in the middle of the brood.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Fry {
    /// Length, mm.
    pub length_mm: f64,
    /// Dry mass without yolk, µg.
    pub mass_ug: f64,
}

/// One food in one feed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Portion {
    /// Index of the food.
    pub food: usize,
    /// Animals or particles.
    pub items: f64,
    /// Dry mass, µg.
    pub mass_ug: f64,
}

/// How a food fits a mouth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Fit {
    /// Of the items met, the share that is taken.
    pub taken: f64,
    /// Of the mass, the share that is too wide to be taken at all.
    pub too_wide: f64,
}

impl<'s> Reckoning<'s> {
    pub fn new(study: &'s Study) -> Self {
        Self { study, world: worlds::likely(study), programmes: Programmes::new(study) }
    }

    /// The middle fry when it begins to feed.
    ///
    /// Mass from length as the simulator has it: usual mass × condition × (length / usual length)^exponent.
    pub fn fry_at_start(&self) -> Fry {
        let fish = &self.world.fish;
        let against_usual = fish.length_mm / fish.usual_length_mm;
        let mass_ug = fish.usual_mass_ug * fish.condition * against_usual.powf(fish.mass_exponent);
        Fry { length_mm: fish.length_mm, mass_ug }
    }

    /// The middle fry on a day, had it grown as fast as it can from day 1 on.
    pub fn fry_at_best(&self, day: u32) -> Fry {
        let start = self.fry_at_start();
        let fish = &self.world.fish;
        let growth = fish.growth_most_per_day * f64::from(day.saturating_sub(1));
        let length_mm = start.length_mm * (growth / fish.mass_exponent).exp();
        Fry { length_mm, mass_ug: start.mass_ug * growth.exp() }
    }

    /// Mouth opening of a fry, µm.
    pub fn gape_um(&self, fry: Fry) -> f64 {
        self.world.fish.gape_share * fry.length_mm * 1000.0
    }

    /// Dry mass of a full gut, µg.
    pub fn gut_ug(&self, fry: Fry) -> f64 {
        self.world.fish.gut_share * fry.mass_ug
    }

    /// How a food fits the mouth of a fry.
    pub fn fit(&self, food: usize, fry: Fry) -> Fit {
        let place = place(self.gape_um(fry).ln());
        let classes = || self.world.larder.classes.iter().filter(|class| class.food == food);
        let mass: f64 = classes().map(|class| class.items * class.mass_ug).sum();
        Fit {
            taken: classes().map(|class| class.items * class.fit.accepted(place)).sum(),
            too_wide: classes().map(|class| class.items * class.mass_ug * class.fit.too_big(place)).sum::<f64>() / mass,
        }
    }

    /// The recipe's stage on a day.
    pub fn stage(&self, recipe: usize, day: u32) -> Option<&'s Stage> {
        self.study.recipes[recipe].stages.iter().rev().find(|stage| stage.from_day <= day)
    }

    /// The last day of a recipe's stage that is within the brood's days; `None` if it never comes.
    pub fn last_day(&self, recipe: usize, stage: usize) -> Option<u32> {
        let stages = &self.study.recipes[recipe].stages;
        let end = stages.get(stage + 1).map_or(self.study.days, |next| (next.from_day - 1).min(self.study.days));
        (stages[stage].from_day <= end).then_some(end)
    }

    /// Millilitres that a feed brings in a stage.
    pub fn volume_ml(&self, feed: &Feed, stage: &Stage) -> f64 {
        let foods = foods_in_a_millilitre(self.study, &self.world, stage.mix);
        stage.times * millilitres(&feed.dose, &foods, &self.world.larder.item_mass_ug)
    }

    /// What a number of millilitres of a mix hold.
    pub fn portions(&self, mix: usize, volume_ml: f64) -> Vec<Portion> {
        let foods = foods_in_a_millilitre(self.study, &self.world, mix);
        let portion = |(food, items_per_ml): (usize, f64)| {
            let items = items_per_ml * volume_ml;
            Portion { food, items, mass_ug: items * self.world.larder.item_mass_ug[food] }
        };
        foods.into_iter().map(portion).collect()
    }

    /// The recipe that a feed is made of: a pump may have one of its own in its reservoir.
    pub fn recipe_of(&self, plan: &Plan, feed: &Feed) -> usize {
        let of_pump = plan.line.as_ref().filter(|_| feed.by == By::Pump);
        of_pump.map_or(plan.recipe, |line| line.recipe)
    }

    /// What a plan gives on a day: by a feed line what its timer makes of the doses, at the flow to which the pump is
    /// set; otherwise what is wanted.
    pub fn given_on(&self, plan: &Plan, day: u32) -> Vec<Given> {
        if day < plan.first_feed_day {
            return Vec::new();
        }
        let mut given = Vec::new();
        if let Some(stage) = self.stage(plan.recipe, day) {
            let whole = |feed: &&Feed| feed.by == By::Hand || plan.line.is_none();
            let feeds = plan.week[self.study.weekday(day)].feeds.iter().filter(whole);
            given.extend(feeds.map(|feed| Given { mix: stage.mix, volume_ml: self.volume_ml(feed, stage) }));
        }
        if let Some(line) = &plan.line
            && let Some(stage) = self.stage(line.recipe, day)
            && let Some(runs) = line.programme.get(day as usize - 1)
        {
            let flow = self.study.lines[line.line].numbers.pump_ml_min.likely();
            given.extend(runs.iter().map(|run: &Run| Given { mix: stage.mix, volume_ml: run.minutes * flow }));
        }
        given
    }

    /// Dry mass that a plan brings on a day, µg.
    pub fn mass_of_day_ug(&self, plan: &Plan, day: u32) -> f64 {
        let of = |given: &Given| self.portions(given.mix, given.volume_ml).iter().map(|p| p.mass_ug).sum::<f64>();
        self.given_on(plan, day).iter().map(of).sum()
    }

    /// True if a feed comes while the light is off.
    pub fn in_the_dark(&self, feed: &Feed) -> bool {
        feed.at < self.study.light_on || feed.at >= self.study.light_off
    }
}

/// A plan's first feed by hand and by pump on its busiest kind of day: what one feed of each looks like.
pub(super) fn samples(plan: &Plan) -> Vec<Feed> {
    let first = |by: By| plan.week.iter().flat_map(|day| &day.feeds).find(|feed| feed.by == by).copied();
    [By::Hand, By::Pump].into_iter().filter_map(first).collect()
}
