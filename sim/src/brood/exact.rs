//! The exact mode: every capture, and every move of every item, is its own event.
//!
//! Gillespie's direct method (Gillespie 1977, J. Phys. Chem. 81:2340–2361) over captures, landings, wash-out and
//! ageing, with the state worked out anew after each. What changes smoothly (gut, mass, vigour) is carried between
//! them; no stretch is longer than `STRETCH_H`, or passes the moment at which a full fry has room again or a pump
//! brings the next item. Slow, for small broods: it is what the leaps are held against.

use rand::RngExt;
use rand_distr::{Distribution, Exp1};

use crate::brood::Brood;
use crate::clock::{Moment, Span};
use crate::food::pools::Pool;
use crate::fry::feeding::MEAL_H;
use crate::fry::shoal::Meal;

/// Longest stretch without looking again, h.
const STRETCH_H: f64 = 0.5 / 60.0;

/// What can happen to food.
#[derive(Debug, Clone, Copy)]
enum Turn {
    Caught { fry: usize, class: usize },
    Landed { class: usize, stage: usize },
    Washed { class: usize, stage: usize },
    Aged { class: usize, stage: usize, on_bottom: bool },
}

impl Brood<'_> {
    /// Carries the brood forward to a moment, event by event.
    pub(crate) fn play_to(&mut self, to: Moment) {
        while self.now < to {
            let turns = self.turns();
            let total: f64 = turns.iter().map(|(rate, _)| rate).sum();
            let most = STRETCH_H.min((to - self.now).hours()).min(self.until_room()).min(self.until_item());
            let wait: f64 = if total > 0.0 {
                let unit: f64 = Exp1.sample(self.tub.rng());
                unit / total
            } else {
                f64::INFINITY
            };
            let until = (self.now + Span::from_hours(wait.min(most)).max(Span(1))).min(to);
            let hours = (until - self.now).hours();
            self.pass(hours, until);
            if wait <= most {
                let mut lot = self.tub.rng().random::<f64>() * total;
                let turn = turns.iter().find(|(rate, _)| {
                    lot -= rate;
                    lot < 0.0
                });
                if let Some((_, turn)) = turn {
                    self.take_turn(*turn);
                }
            }
        }
    }

    /// Everything that can happen now, with its rate per hour.
    fn turns(&self) -> Vec<(f64, Turn)> {
        let mut turns = Vec::new();
        let (shoal, tub) = (&self.shoal, &self.tub);
        for &i in &shoal.swimming {
            if shoal.gut[i] > shoal.full[i] || self.light <= 0.0 {
                continue;
            }
            let met: Vec<f64> = (0..tub.classes.len())
                .map(|c| {
                    let is_lively = self.setup.study.foods[tub.classes[c].food].lively;
                    let search = shoal.pull(i, &tub.classes[c].fit, is_lively) * shoal.vigour[i] * self.light;
                    search * tub.within_reach(c) / tub.volume_ml
                })
                .collect();
            let handling = met.iter().zip(tub.classes).map(|(m, class)| m * self.physiology.handling_h(class.mass_ug));
            let disc = 1.0 + handling.sum::<f64>() * shoal.handling[i];
            let captures = met.iter().enumerate().filter(|(_, met)| **met > 0.0);
            turns.extend(captures.map(|(class, met)| (met / disc, Turn::Caught { fry: i, class })));
        }
        for (class, pool) in tub.pools.iter().enumerate() {
            let rates = tub.rates(class);
            for stage in 0..rates.stages {
                let (water, bottom) = (pool.water[stage] as f64, pool.bottom[stage] as f64);
                turns.push((water * rates.landing_per_h, Turn::Landed { class, stage }));
                turns.push((water * tub.wash_per_h, Turn::Washed { class, stage }));
                turns.push((water * rates.ageing_per_h, Turn::Aged { class, stage, on_bottom: false }));
                turns.push((bottom * rates.ageing_per_h, Turn::Aged { class, stage, on_bottom: true }));
            }
        }
        turns.retain(|(rate, _)| *rate > 0.0);
        turns
    }

    /// Hours until the next full fry has room again.
    fn until_room(&self) -> f64 {
        let shoal = &self.shoal;
        let gut = self.physiology.gut;
        let full = shoal.swimming.iter().filter(|&&i| shoal.gut[i] > shoal.full[i]);
        full.map(|&i| {
            let rate = if shoal.since_capture[i] < MEAL_H { gut.fast } else { gut.slow };
            (shoal.gut[i] / shoal.full[i]).ln() / rate + 1e-6
        })
        .fold(f64::INFINITY, f64::min)
    }

    /// Hours until a running pump brings the next item.
    fn until_item(&self) -> f64 {
        let next = |inflow: &super::Inflow| {
            let most = inflow.items.iter().map(|coming| coming.total).max().unwrap_or(0).max(1);
            (inflow.to - inflow.from).hours() / most as f64
        };
        self.inflows.iter().map(next).fold(f64::INFINITY, f64::min)
    }

    /// Carries what changes smoothly over a stretch in which nothing happens.
    fn pass(&mut self, hours: f64, until: Moment) {
        let gut = self.physiology.gut;
        for at in 0..self.shoal.swimming.len() {
            let i = self.shoal.swimming[at];
            let (_, fast, slow) = gut.empty(self.shoal.gut[i], self.shoal.since_capture[i], hours);
            self.shoal.since_capture[i] += hours;
            self.shoal.digest(&self.physiology, i, &Meal { fast, slow, ..Meal::default() }, until.hours());
        }
        for class in 0..self.tub.classes.len() {
            let ug_per_ml = self.tub.within_reach(class) / self.tub.volume_ml * self.tub.classes[class].mass_ug;
            self.exposure.add(class, ug_per_ml * self.light, hours);
        }
        let passed = self.tub.flow(hours, self.dangers.tube_end_mm);
        self.tub.spoiled_leap(hours);
        self.tub.filter(&passed, hours);
        self.now = until;
        let (by_oxygen, by_ammonia) = self.foul(hours);
        self.endanger(&passed, by_oxygen, by_ammonia);
        self.watch_float(&passed);
        self.exposure.pass_to(self.now.hours());
        for (class, stage, items) in self.coming(until) {
            self.tub.add(class, stage, items);
        }
        self.diary.look(self.now, &self.shoal, &self.tub);
        self.settle();
    }

    fn take_turn(&mut self, turn: Turn) {
        match turn {
            Turn::Caught { fry, class } => {
                self.tub.take(class, 1);
                let food = self.tub.classes[class].food;
                let mass = self.tub.classes[class].mass_ug;
                let meal = Meal { caught: mass, worth: mass * self.foods[food].worth, ..Meal::default() };
                self.shoal.digest(&self.physiology, fry, &meal, self.now.hours());
                self.shoal.since_capture[fry] = 0.0;
                self.shoal.weaning_items[fry] += u64::from(food == self.setup.study.weaning_food);
            }
            Turn::Landed { class, stage } => {
                let pool = &mut self.tub.pools[class];
                pool.water[stage] -= 1;
                pool.bottom[stage] += 1;
            }
            Turn::Washed { class, stage } => {
                let pool = &mut self.tub.pools[class];
                pool.water[stage] -= 1;
                pool.account.washed += 1;
            }
            Turn::Aged { class, stage, on_bottom } => self.age_one(class, stage, on_bottom),
        }
    }

    fn age_one(&mut self, class: usize, stage: usize, on_bottom: bool) {
        let stages = self.tub.rates(class).stages;
        let mass = self.tub.classes[class].mass_ug;
        let pool: &mut Pool = &mut self.tub.pools[class];
        let cells = if on_bottom { &mut pool.bottom } else { &mut pool.water };
        cells[stage] -= 1;
        if stage + 1 < stages {
            cells[stage + 1] += 1;
        } else {
            pool.account.spoiled += 1;
            let stale = if on_bottom { &mut pool.stale_bottom_ug } else { &mut pool.stale_water_ug };
            *stale += mass;
        }
    }
}
