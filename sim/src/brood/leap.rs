//! The food leap: the feeding state carried forward, by minutes while a meal is being eaten, by up to an hour while
//! there is nothing to eat.
//!
//! In a leap the concentration of each class is held at its mean over the leap (it declines as it is eaten and lost, and
//! what lands stays within the reach of the bottom), each fry plays its captures against it, and what more than there is
//! was caught is given back by lot. The length is such that the food declines little while it fills guts.

use rand::RngExt;

use crate::brood::Brood;
use crate::brood::kitchen::{Kitchen, Offer};
use crate::chance::binomial;
use crate::clock::{Moment, Span};
use crate::fry::feeding::{GutLeap, Start};
use crate::fry::shoal::Meal;
use crate::outlet::Passed;

/// For choosing the length of a leap, a hungry fry is taken to fill up within this time, h.
const FILLING_H: f64 = 1.0 / 6.0;
/// Longest leap without, h.
const LONGEST_H: f64 = 1.0;
/// While a pump runs, a leap lasts no longer than this share of its running time, or than [`PUMP_H`] if that is more.
const PUMP_SHARE: f64 = 1.0 / 3.0;
/// See [`PUMP_SHARE`], h.
const PUMP_H: f64 = 2.0 / 60.0;
/// Up to so many captures the food of each is drawn by a lot of its own.
const ONE_LOT_EACH: u64 = 12;
/// Fry are settled with after this time, h.
const SETTLE_H: f64 = 1.0;

impl Brood<'_> {
    /// Carries the brood forward to a moment by leaps.
    pub(crate) fn leap_to(&mut self, to: Moment) {
        while self.now < to {
            let can_feed = self.light > 0.0 && !self.shoal.swimming.is_empty();
            if (self.now - self.settled).hours() >= SETTLE_H {
                self.settle();
            }
            let inflows = &self.inflows;
            if can_feed {
                self.kitchen.look_around(&self.shoal, &self.tub, |class| {
                    inflows.iter().any(|inflow| inflow.items.iter().any(|coming| coming.class == class))
                });
            } else {
                self.kitchen.offers.clear();
            }
            let mut hours = LONGEST_H;
            if !self.kitchen.offers.is_empty() {
                self.kitchen.search(&self.shoal, self.light);
                let fast = self.physiology.gut.fast;
                hours = self.kitchen.decline(&self.shoal, &self.tub, fast, self.light, FILLING_H).leap_h();
            }
            for inflow in &self.inflows {
                hours = hours.min(((inflow.to - inflow.from).hours() * PUMP_SHARE).max(PUMP_H));
            }
            let until = (self.now + Span::from_hours(hours).max(Span(1))).min(to);
            let from = self.now;
            let passed = self.leap(until);
            self.now = until;
            let (by_oxygen, by_ammonia) = self.foul((until - from).hours());
            self.endanger(&passed, by_oxygen, by_ammonia);
            self.watch_float(&passed);
            self.exposure.pass_to(self.now.hours());
            self.diary.look(self.now, &self.shoal, &self.tub);
        }
    }

    fn leap(&mut self, until: Moment) -> Passed {
        let hours = (until - self.now).hours();
        let passed = self.tub.flow(hours, self.dangers.tube_end_mm);
        let coming = self.coming(until);
        // What enters during the leap is exposed to it for half of its length on average.
        for &(class, stage, items) in &coming {
            self.tub.add(class, stage, items / 2);
        }
        if self.kitchen.offers.is_empty() {
            self.fast(until.hours(), hours);
        } else {
            self.kitchen.decline(&self.shoal, &self.tub, self.physiology.gut.fast, self.light, hours);
            for offer in &mut self.kitchen.offers {
                let mean_share = self.tub.mean_share_within_reach(offer.class, offer.eaten_per_h, hours);
                let entering: u64 = coming.iter().filter(|c| c.0 == offer.class).map(|c| c.2).sum();
                offer.per_ml = offer.per_ml * mean_share + 0.5 * entering as f64 / self.tub.volume_ml;
            }
            self.kitchen.search(&self.shoal, self.light);
            self.feed(until.hours(), hours);
        }
        let mut offers = self.kitchen.offers.iter().peekable();
        for class in 0..self.tub.pools.len() {
            let offer = offers.next_if(|offer| offer.class == class);
            self.tub.leap(class, offer.map_or(0.0, |offer| offer.eaten_per_h), hours);
            if let Some(offer) = offer {
                let ug_per_ml = offer.per_ml * self.kitchen.facts[class].mass_ug;
                self.exposure.add(class, ug_per_ml * self.light, hours);
            }
        }
        for &(class, stage, items) in &coming {
            self.tub.add(class, stage, items - items / 2);
        }
        self.tub.filter(&passed, hours);
        passed
    }

    /// A leap in which nothing is caught.
    fn fast(&mut self, now_h: f64, hours: f64) {
        let gut = GutLeap::new(self.physiology.gut, hours);
        let Self { shoal, physiology, .. } = self;
        for at in 0..shoal.swimming.len() {
            let i = shoal.swimming[at];
            let digested = gut.fasting(shoal.gut[i], shoal.since_capture[i]);
            shoal.since_capture[i] = digested.since_capture;
            shoal.digest(physiology, i, &Meal { fast: digested.fast, slow: digested.slow, ..Meal::default() }, now_h);
        }
    }

    /// A leap in which there is something to catch.
    fn feed(&mut self, now_h: f64, hours: f64) {
        self.catch(hours);
        for at in 0..self.kitchen.offers.len() {
            let class = self.kitchen.offers[at].class;
            let available = self.tub.within_grasp(class);
            let eaten = self.kitchen.give_back(at, available, &self.shoal.swimming, self.tub.rng());
            self.tub.take(class, eaten);
        }
        let Self { kitchen, shoal, physiology, .. } = self;
        for (at, meal) in kitchen.meals.iter().enumerate() {
            shoal.digest(physiology, shoal.swimming[at], meal, now_h);
        }
        let offers = kitchen.offers.iter().enumerate();
        for (row, _) in offers.filter(|(_, offer)| kitchen.facts[offer.class].is_weaning) {
            let row = &kitchen.caught[row * kitchen.fry..(row + 1) * kitchen.fry];
            for (sum, &count) in shoal.weaning_items.iter_mut().zip(row) {
                *sum += u64::from(count);
            }
        }
    }

    /// Every swimming fry plays its captures; the kitchen holds their meals, in the order of those swimming.
    fn catch(&mut self, hours: f64) {
        let Self { kitchen, shoal, physiology, .. } = self;
        let n = kitchen.fry;
        let Kitchen { facts, pulls, offers, rate, item, met, caught, totals, meals, .. } = kitchen;
        caught.clear();
        caught.resize(offers.len() * n, 0);
        totals.clear();
        totals.resize(offers.len(), 0);
        meals.clear();
        let heaviest = offers.iter().map(|offer| facts[offer.class].mass_ug).fold(0.0, f64::max);
        let gut = GutLeap::new(physiology.gut, hours);
        for &i in &shoal.swimming {
            let start = Start {
                gut: shoal.gut[i],
                full: shoal.full[i],
                since_capture: shoal.since_capture[i],
                rate: rate[i],
                item: item[i],
                heaviest,
            };
            let weight = |offer: &Offer| pulls[offer.class * n + i] * offer.per_ml;
            // What the fry meets, at full vigour and in full light.
            let all = met[i] / (shoal.vigour[i] * self.light).max(1e-12);
            let mut meal = Meal::default();
            let digested = gut.play(&mut shoal.streams[i], &start, |rng, count| {
                let before = meal.caught;
                share_out(rng, offers, all, &weight, count, |at, count| {
                    let facts = &facts[offers[at].class];
                    let mass = count as f64 * facts.mass_ug;
                    caught[at * n + i] += count as u32;
                    totals[at] += count;
                    meal.caught += mass;
                    meal.worth += mass * facts.worth;
                });
                meal.caught - before
            });
            shoal.since_capture[i] = digested.since_capture;
            meals.push(Meal { fast: digested.fast, slow: digested.slow, ..meal });
        }
    }
}

/// Deals captures out over what is offered, by weight: which food comes first is random.
fn share_out<R: rand::Rng>(
    rng: &mut R,
    offers: &[Offer],
    all: f64,
    weight: &impl Fn(&Offer) -> f64,
    count: u64,
    mut deal: impl FnMut(usize, u64),
) {
    if offers.len() == 1 {
        deal(0, count);
        return;
    }
    if count <= ONE_LOT_EACH {
        for _ in 0..count {
            let mut lot = rng.random::<f64>() * all;
            let taken = offers.iter().position(|offer| {
                lot -= weight(offer);
                lot < 0.0
            });
            deal(taken.unwrap_or(offers.len() - 1), 1);
        }
        return;
    }
    let (mut left, mut weight_left) = (count, all);
    for (at, offer) in offers.iter().enumerate() {
        let own = weight(offer);
        let is_last = at + 1 == offers.len();
        let here = if is_last { left } else { binomial(rng, left, own / weight_left) };
        if here > 0 {
            deal(at, here);
        }
        left -= here;
        weight_left -= own;
        if left == 0 {
            return;
        }
    }
}
