//! What every fry meets in the tub, worked out for all fry and all classes of food at once.
//!
//! Arrays, class by class, so that the sums run over them without a branch. Knows no time and no events.

use rand_distr::{Distribution, Hypergeometric};

use crate::food::batch::FoodClass;
use crate::fry::shoal::{Meal, Physiology, Shoal};
use crate::fry::starving::FoodFacts;
use crate::study::Study;
use crate::tub::TubState;

/// Largest decline of the food within a leap (in e-folds) while it fills guts: what a fry catches then depends on how
/// full it is, which the mean over the leap does not know.
const DECLINE_PLENTY: f64 = 0.8;
/// The same while food is so scarce that no gut fills: then captures are proportional to the food, and the mean over
/// the leap is exact however much it declines.
const DECLINE_SCARCE: f64 = 1.5;
/// Longest leap with food about, h.
const LONGEST_MEAL_H: f64 = 0.5;
/// Shortest leap, h.
const SHORTEST_H: f64 = 15.0 / 3600.0;

/// What does not change with a class of food over a brood.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ClassFacts {
    pub(crate) mass_ug: f64,
    pub(crate) worth: f64,
    pub(crate) handling_h: f64,
    pub(crate) is_lively: bool,
    pub(crate) is_weaning: bool,
}

/// A class that is there to be eaten in the present leap.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Offer {
    pub(crate) class: usize,
    /// Items per mL, in reach of the fry.
    pub(crate) per_ml: f64,
    /// Rate at which one item is eaten, per h.
    pub(crate) eaten_per_h: f64,
}

/// How fast the food declines.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Decline {
    /// E-folds per hour.
    pub(crate) per_h: f64,
    /// What hungry fry would eat against what full guts could pass on.
    pub(crate) plenty: f64,
}

impl Decline {
    /// Length of the next leap, h.
    pub(crate) fn leap_h(&self) -> f64 {
        let allowed = (DECLINE_PLENTY / self.plenty.max(1e-9)).clamp(DECLINE_PLENTY, DECLINE_SCARCE);
        (allowed / self.per_h.max(1e-9)).clamp(SHORTEST_H, LONGEST_MEAL_H)
    }
}

/// Working space of the leaps: the search of every fry for every class.
#[derive(Debug, Clone)]
pub(crate) struct Kitchen {
    pub(crate) facts: Vec<ClassFacts>,
    pub(crate) fry: usize,
    /// Class-major: water each fry searches for a class at full vigour, mL/h.
    pub(crate) pulls: Vec<f64>,
    pub(crate) pulls_known: Vec<bool>,
    pub(crate) offers: Vec<Offer>,
    /// Captures of each fry per hour while it is hungry, and their mean mass.
    pub(crate) rate: Vec<f64>,
    pub(crate) item: Vec<f64>,
    /// Time each fry of the usual length would spend swallowing, in hours per hour.
    pub(crate) held: Vec<f64>,
    /// Items each fry would meet per hour if swallowing took no time.
    pub(crate) met: Vec<f64>,
    /// Captures that its gut has room for, a unit of water searched at full vigour and meeting rate.
    pub(crate) effort: Vec<f64>,
    /// Offer-major: items each fry caught in the leap.
    pub(crate) caught: Vec<u32>,
    /// Items caught of each offer.
    pub(crate) totals: Vec<u64>,
    /// Meals of those swimming.
    pub(crate) meals: Vec<Meal>,
}

impl Kitchen {
    pub(crate) fn new(
        study: &Study,
        physiology: &Physiology,
        classes: &[FoodClass],
        foods: &[FoodFacts],
        fry: usize,
    ) -> Self {
        let facts = classes.iter().map(|class| ClassFacts {
            mass_ug: class.mass_ug,
            worth: foods[class.food].worth,
            handling_h: physiology.handling_h(class.mass_ug),
            is_lively: foods[class.food].is_lively,
            is_weaning: class.food == study.weaning_food,
        });
        Self {
            facts: facts.collect(),
            fry,
            pulls: vec![0.0; classes.len() * fry],
            pulls_known: vec![false; classes.len()],
            offers: Vec::new(),
            rate: vec![0.0; fry],
            item: vec![0.0; fry],
            held: vec![0.0; fry],
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

    /// Makes sure that it is known what each fry searches for a class.
    fn know_pulls(&mut self, class: usize, shoal: &Shoal, tub: &TubState) {
        if !self.pulls_known[class] {
            let row = &mut self.pulls[class * self.fry..(class + 1) * self.fry];
            shoal.pulls(&tub.classes[class].fit, self.facts[class].is_lively, row);
            self.pulls_known[class] = true;
        }
    }

    /// Lists what is there to be eaten.
    pub(crate) fn look_around(&mut self, shoal: &Shoal, tub: &TubState, is_coming: impl Fn(usize) -> bool) {
        self.offers.clear();
        for class in 0..self.facts.len() {
            let items = tub.within_reach(class);
            if items > 0.0 || is_coming(class) {
                self.know_pulls(class, shoal, tub);
                self.offers.push(Offer { class, per_ml: items / tub.volume_ml, eaten_per_h: 0.0 });
            }
        }
    }

    /// Captures per hour of every fry at the offered concentrations (Holling's disc), and the mean item mass of them.
    pub(crate) fn search(&mut self, shoal: &Shoal, light: f64) {
        let Self { facts, pulls, offers, rate, item, met, held, fry, .. } = self;
        met.fill(0.0);
        item.fill(0.0);
        held.fill(0.0);
        for offer in offers.iter() {
            let ClassFacts { mass_ug, handling_h, .. } = facts[offer.class];
            let row = &pulls[offer.class * *fry..(offer.class + 1) * *fry];
            let sums = met.iter_mut().zip(item.iter_mut()).zip(held.iter_mut());
            for (((met, item), held), (pull, vigour)) in sums.zip(row.iter().zip(&shoal.vigour)) {
                let here = pull * vigour * offer.per_ml * light;
                *met += here;
                *item += here * mass_ug;
                *held += here * handling_h;
            }
        }
        let each = rate.iter_mut().zip(item.iter_mut()).zip(met.iter()).zip(held.iter().zip(&shoal.handling));
        for (((rate, item), met), (held, slowness)) in each {
            *item = if *met > 0.0 { *item / met } else { 0.0 };
            *rate = met / (1.0 + held * slowness);
        }
    }

    /// Works out at what rate an item of each class is being eaten, and how fast the food as a whole declines (each
    /// class weighted by the mass eaten of it).
    pub(crate) fn decline(&mut self, shoal: &Shoal, tub: &TubState, fast: f64, light: f64, hours: f64) -> Decline {
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
    pub(crate) fn give_back(&mut self, at: usize, available: u64, swimming: &[usize], rng: &mut impl rand::Rng) -> u64 {
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
            let kept = Hypergeometric::new(left, keep, own).map_or(0, |lot| lot.sample(rng));
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
