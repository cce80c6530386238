//! The food leap: the feeding state carried forward, by minutes while a meal is being eaten, by up to an hour while
//! there is nothing to eat.
//!
//! In a leap the concentration of each class is held at its mean over the leap (exponential decline at the rate at
//! which it is being eaten and lost), each fry plays its captures against it, and what more than there is was caught
//! is given back by lot. The length is such that the food declines little
//! while it fills guts (`DECLINE_PLENTY`).

use rand::RngExt;

use crate::brood::Brood;
use crate::chance::binomial;
use crate::clock::{Moment, Span};
use crate::food::batch::FoodClass;
use crate::fry::feeding::{GutLeap, Start};
use crate::fry::shoal::{Meal, Physiology, Shoal};
use crate::study::Study;
use crate::tub::TubState;

/// Largest decline of the food within a leap (in e-folds) while it fills guts: what a fry catches then depends on how
/// full it is, which the mean over the leap does not know.
const DECLINE_PLENTY: f64 = 0.35;
/// The same while food is so scarce that no gut fills: then captures are proportional to the food, and the mean over
/// the leap is exact however much it declines.
const DECLINE_SCARCE: f64 = 1.0;
/// Longest leap with food about, h.
const LONGEST_MEAL_H: f64 = 1.0 / 3.0;
/// What the food will lose in a leap is worked out anew when the leap differs from the one it was guessed for by more
/// than this share.
const HORIZON_SLACK: f64 = 0.1;
/// A hungry fry is not thought to fill within less than this, h.
const SHORTEST_MEAL_H: f64 = 2.0 / 60.0;
/// Longest leap without, h.
const LONGEST_H: f64 = 1.0;
/// Shortest leap, h.
const SHORTEST_H: f64 = 15.0 / 3600.0;
/// While a pump runs, a leap lasts no longer than this share of its running time, or than [`PUMP_H`] if that is more.
const PUMP_SHARE: f64 = 1.0 / 3.0;
/// See [`PUMP_SHARE`], h.
const PUMP_H: f64 = 2.0 / 60.0;
/// Up to so many captures the food of each is drawn by a lot of its own.
const ONE_LOT_EACH: u64 = 12;
/// Fry are settled with after this time, h.
const SETTLE_H: f64 = 0.5;

/// What does not change with a class of food over a brood.
#[derive(Debug, Clone, Copy)]
struct ClassFacts {
    mass_ug: f64,
    worth: f64,
    handling_h: f64,
    is_lively: bool,
    is_weaning: bool,
}

/// A class that is there to be eaten in the present leap.
#[derive(Debug, Clone, Copy)]
struct Offer {
    class: usize,
    /// Items per mL, in reach of the fry.
    per_ml: f64,
    /// Rate at which one item is eaten, per h.
    eaten_per_h: f64,
}

/// How fast the food declines.
#[derive(Debug, Clone, Copy)]
struct Decline {
    /// E-folds per hour.
    per_h: f64,
    /// What hungry fry would eat against what full guts could pass on.
    plenty: f64,
}

impl Decline {
    /// Length of the next leap, h.
    fn leap_h(&self) -> f64 {
        let allowed = (DECLINE_PLENTY / self.plenty.max(1e-9)).clamp(DECLINE_PLENTY, DECLINE_SCARCE);
        (allowed / self.per_h.max(1e-9)).clamp(SHORTEST_H, LONGEST_MEAL_H)
    }
}

/// Working space of the leaps: the search of every fry for every class.
#[derive(Debug, Clone)]
pub(crate) struct Kitchen {
    facts: Vec<ClassFacts>,
    fry: usize,
    /// Class-major: water each fry searches for a class at full vigour, mL/h.
    pulls: Vec<f64>,
    pulls_known: Vec<bool>,
    offers: Vec<Offer>,
    /// Length of the last leap with food about, h: the next is likely to be alike.
    last_h: f64,
    rate: Vec<f64>,
    item: Vec<f64>,
    /// Items each fry would meet per hour if swallowing took no time.
    met: Vec<f64>,
    /// Captures that its gut has room for, a unit of water searched at full vigour and meeting rate.
    effort: Vec<f64>,
    /// Offer-major: items each fry caught in the leap.
    caught: Vec<u32>,
    /// Items caught of each offer.
    totals: Vec<u64>,
    /// Meals of those swimming.
    meals: Vec<Meal>,
}

impl Kitchen {
    pub(crate) fn new(
        study: &Study,
        physiology: &Physiology,
        classes: &[FoodClass],
        worths: &[f64],
        fry: usize,
    ) -> Self {
        let facts = classes.iter().map(|class| ClassFacts {
            mass_ug: class.mass_ug,
            worth: worths[class.food],
            handling_h: physiology.handling_h(class.mass_ug),
            is_lively: study.foods[class.food].lively,
            is_weaning: class.food == study.weaning_food,
        });
        Self {
            facts: facts.collect(),
            fry,
            pulls: vec![0.0; classes.len() * fry],
            pulls_known: vec![false; classes.len()],
            offers: Vec::new(),
            last_h: 0.0,
            rate: vec![0.0; fry],
            item: vec![0.0; fry],
            met: vec![0.0; fry],
            effort: vec![0.0; fry],
            caught: Vec::new(),
            totals: Vec::new(),
            meals: Vec::new(),
        }
    }

    /// The fry have been settled with: what they search must be worked out anew.
    pub(crate) fn forget_pulls(&mut self) {
        self.pulls_known.fill(false);
    }

    /// What each fry searches for a class, mL/h at full vigour.
    pub(crate) fn pulls(&mut self, class: usize, shoal: &Shoal, tub: &TubState) -> &[f64] {
        let row = class * self.fry..(class + 1) * self.fry;
        if !self.pulls_known[class] {
            shoal.pulls(&tub.classes[class].fit, self.facts[class].is_lively, &mut self.pulls[row.clone()]);
            self.pulls_known[class] = true;
        }
        &self.pulls[row]
    }

    /// Lists what is there to be eaten.
    fn look_around(&mut self, shoal: &Shoal, tub: &TubState, is_coming: impl Fn(usize) -> bool) {
        self.offers.clear();
        for class in 0..self.facts.len() {
            let items = tub.within_reach(class);
            if items > 0.0 || is_coming(class) {
                self.pulls(class, shoal, tub);
                self.offers.push(Offer { class, per_ml: items / tub.volume_ml, eaten_per_h: 0.0 });
            }
        }
    }

    /// Captures per hour of every fry at the offered concentrations (Holling's disc), and the mean item mass of them.
    fn search(&mut self, shoal: &Shoal, light: f64) {
        let Self { facts, pulls, offers, rate, item, met: all_met, fry, .. } = self;
        let mut handling = [0.0; 256];
        let n = *fry;
        rate.fill(0.0);
        item.fill(0.0);
        let mut from = 0;
        // Blocks of fry keep the handling sums in a small fixed array.
        while from < n {
            let to = (from + handling.len()).min(n);
            let handling = &mut handling[..to - from];
            handling.fill(0.0);
            for offer in offers.iter() {
                let facts = &facts[offer.class];
                let (mass, held) = (facts.mass_ug, facts.handling_h);
                let row = &pulls[offer.class * n + from..offer.class * n + to];
                let vigour = &shoal.vigour[from..to];
                let sums = rate[from..to].iter_mut().zip(&mut item[from..to]).zip(handling.iter_mut());
                for (((rate, item), handling), (pull, vigour)) in sums.zip(row.iter().zip(vigour)) {
                    let met = pull * vigour * offer.per_ml * light;
                    *rate += met;
                    *item += met * mass;
                    *handling += met * held;
                }
            }
            for (k, i) in (from..to).enumerate() {
                let met = rate[i];
                all_met[i] = met;
                item[i] = if met > 0.0 { item[i] / met } else { 0.0 };
                rate[i] = met / (1.0 + handling[k] * shoal.handling[i]);
            }
            from = to;
        }
    }

    /// Works out at what rate an item of each class is being eaten, and how fast the food as a whole declines (each
    /// class weighted by the mass eaten of it).
    fn decline(&mut self, shoal: &Shoal, tub: &TubState, fast: f64, light: f64, hours: f64) -> Decline {
        let Self { facts, pulls, offers, rate, item, met, effort, fry, .. } = self;
        let per_hour = 1.0 / hours;
        let (mut hungry_intake, mut turnover) = (0.0, 0.0);
        let guts = shoal.full.iter().zip(&shoal.gut).zip(&shoal.vigour);
        for ((((effort, met), rate), item), ((full, gut), vigour)) in
            effort.iter_mut().zip(met.iter()).zip(rate.iter()).zip(item.iter()).zip(guts)
        {
            let intake = rate * item;
            let room = (full - gut).max(0.0) * per_hour + fast * full;
            let possible = if intake > room { room / item } else { *rate };
            let pull = if *met > 0.0 { possible / *met * vigour } else { 0.0 };
            *effort = pull;
            hungry_intake += intake;
            turnover += fast * full * f64::from(u8::from(*vigour > 0.0));
        }
        let (mut weighted, mut weight) = (0.0, 0.0);
        for offer in offers.iter_mut() {
            let row = &pulls[offer.class * *fry..(offer.class + 1) * *fry];
            let searched: f64 = row.iter().zip(effort.iter()).map(|(pull, effort)| pull * effort).sum();
            offer.eaten_per_h = searched * light / tub.volume_ml;
            let eaten_mass = offer.eaten_per_h * offer.per_ml * facts[offer.class].mass_ug;
            weighted += eaten_mass * (offer.eaten_per_h + tub.loss_per_h(offer.class));
            weight += eaten_mass;
        }
        let per_h = if weight > 0.0 { weighted / weight } else { 0.0 };
        Decline { per_h, plenty: if turnover > 0.0 { hungry_intake / turnover } else { 0.0 } }
    }

    /// Gives back by lot what was caught of an offer beyond the items that were there; returns what remains caught.
    fn give_back(&mut self, at: usize, available: u64, swimming: &[usize], rng: &mut impl rand::Rng) -> u64 {
        let total = self.totals[at];
        if total <= available {
            return total;
        }
        let facts = self.facts[self.offers[at].class];
        let row = &mut self.caught[at * self.fry..(at + 1) * self.fry];
        let (mut keep, mut left) = (available, total);
        for (&i, meal) in swimming.iter().zip(&mut self.meals) {
            if row[i] == 0 {
                continue;
            }
            let own = u64::from(row[i]);
            let least = keep.saturating_sub(left - own);
            let kept = binomial(rng, keep.min(own), keep as f64 / left as f64).max(least);
            left -= own;
            keep -= kept;
            row[i] = kept as u32;
            let lost = (own - kept) as f64 * facts.mass_ug;
            meal.caught = (meal.caught - lost).max(0.0);
            meal.worth = (meal.worth - lost * facts.worth).max(0.0);
        }
        available - keep
    }
}

impl Brood<'_> {
    /// Carries the brood forward to a moment by leaps.
    pub(crate) fn leap_to(&mut self, to: Moment) {
        while self.now < to {
            let can_feed = self.light > 0.0 && !self.shoal.swimming.is_empty();
            let settle_h = if can_feed { SETTLE_H } else { LONGEST_H };
            if (self.now - self.settled).hours() >= settle_h {
                self.settle();
            }
            let inflows = &self.inflows;
            if can_feed {
                self.kitchen.look_around(&self.shoal, &self.tub, |class| {
                    inflows.iter().any(|inflow| inflow.items.iter().any(|item| item.0 == class))
                });
            } else {
                self.kitchen.offers.clear();
            }
            let mut hours = LONGEST_H;
            if !self.kitchen.offers.is_empty() {
                self.kitchen.search(&self.shoal, self.light);
                let fast = self.physiology.gut.fast;
                self.kitchen.last_h = self.kitchen.last_h.clamp(SHORTEST_MEAL_H, LONGEST_MEAL_H);
                let horizon = self.kitchen.last_h;
                hours = self.kitchen.decline(&self.shoal, &self.tub, fast, self.light, horizon).leap_h();
            }
            for inflow in &self.inflows {
                hours = hours.min(((inflow.to - inflow.from).hours() * PUMP_SHARE).max(PUMP_H));
            }
            let until = (self.now + Span::from_hours(hours).max(Span(1))).min(to);
            self.leap(until);
            self.now = until;
            self.exposure.pass_to(self.now.hours());
            self.diary.look(self.now, &self.shoal, &self.tub);
        }
    }

    fn leap(&mut self, until: Moment) {
        let hours = (until - self.now).hours();
        let coming = self.coming(until);
        // What enters during the leap is exposed to it for half of its length on average.
        for &(class, items) in &coming {
            self.tub.add(class, items / 2);
        }
        if self.kitchen.offers.is_empty() {
            self.fast(until.hours(), hours);
        } else {
            if (hours / self.kitchen.last_h - 1.0).abs() > HORIZON_SLACK {
                self.kitchen.decline(&self.shoal, &self.tub, self.physiology.gut.fast, self.light, hours);
            }
            self.kitchen.last_h = hours;
            for offer in &mut self.kitchen.offers {
                let falling = (offer.eaten_per_h + self.tub.loss_per_h(offer.class)) * hours;
                let mean_share = if falling > 1e-9 { -(-falling).exp_m1() / falling } else { 1.0 };
                let entering: u64 = coming.iter().filter(|c| c.0 == offer.class).map(|c| c.1).sum();
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
        for &(class, items) in &coming {
            self.tub.add(class, items - items / 2);
        }
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
            let pool = &self.tub.pools[class];
            let available = pool.in_water() + pool.on_bottom();
            let eaten = self.kitchen.give_back(at, available, &self.shoal.swimming, self.tub.rng());
            self.tub.take(class, eaten);
        }
        let Self { kitchen, shoal, physiology, .. } = self;
        for (at, meal) in kitchen.meals.iter().enumerate() {
            shoal.digest(physiology, shoal.swimming[at], meal, now_h);
        }
        for (row, offer) in kitchen.offers.iter().enumerate().filter(|(_, o)| kitchen.facts[o.class].is_weaning) {
            debug_assert!(offer.per_ml >= 0.0);
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
