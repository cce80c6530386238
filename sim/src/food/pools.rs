//! Where one class of food is in the tub: in the water, on the bottom, or spoiled; counted in whole items.
//!
//! Landing, washing out and going stale are binomial draws over a leap, exact for any leap length because ageing does
//! not depend on place: first the water column loses items to the bottom and to the outlet, then everything ages.
//! Live food dies in three equal stages (an Erlang life), so that fresh animals do not begin to die at once;
//! particles go stale at a constant rate.

use crate::chance::binomial;
use crate::series::exp_near_zero;

/// Stages of life of an animal (estimate: so few die at once, and half are dead after their half-life).
pub const STAGES: usize = 3;
/// Median of an Erlang life of three stages, in means of one stage (root of the gamma distribution, shape 3).
const ERLANG_3_MEDIAN: f64 = 2.674_060_313_723_558;

/// Rates at which one class moves and ages in one tub.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rates {
    /// Items in the water that come to lie on the bottom for good, per h.
    pub landing_per_h: f64,
    /// The same for spoiled food, per h.
    pub stale_landing_per_h: f64,
    /// Passing one stage of ageing, per h.
    pub ageing_per_h: f64,
    /// Stages before it is stale: [`STAGES`] for animals, 1 for particles.
    pub stages: usize,
    /// Rotting of stale food, per h.
    pub decay_per_h: f64,
}

impl Rates {
    /// Rate of passing a stage, per h, from the tabled life in hours (median of animals, mean of particles).
    #[must_use]
    pub fn ageing(is_alive: bool, life_h: f64) -> (f64, usize) {
        if is_alive { (ERLANG_3_MEDIAN / life_h, STAGES) } else { (1.0 / life_h, 1) }
    }
}

/// One class of food in the tub, and an account of all that came and went.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Pool {
    /// Fresh items in the water by stage.
    pub water: [u64; STAGES],
    /// Fresh items on the bottom by stage.
    pub bottom: [u64; STAGES],
    /// Spoiled food in the water, dry µg.
    pub stale_water_ug: f64,
    /// Spoiled food on the bottom, dry µg.
    pub stale_bottom_ug: f64,
    /// What came and went.
    pub account: Account,
}

/// Everything that came into or left a pool since the start.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Account {
    /// Fresh items put in.
    pub given: u64,
    /// Spoiled mass put in, dry µg.
    pub stale_given_ug: f64,
    /// Items eaten.
    pub eaten: u64,
    /// Fresh items washed out, changed out or siphoned.
    pub washed: u64,
    /// Items gone stale.
    pub spoiled: u64,
    /// Spoiled mass washed out, changed out or siphoned, dry µg.
    pub stale_washed_ug: f64,
    /// Spoiled mass rotted, dry µg.
    pub rotted_ug: f64,
}

impl Pool {
    /// Fresh items in the water.
    #[must_use]
    pub fn in_water(&self) -> u64 {
        self.water.iter().sum()
    }

    /// Fresh items on the bottom.
    #[must_use]
    pub fn on_bottom(&self) -> u64 {
        self.bottom.iter().sum()
    }

    /// True when nothing fresh is left.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.in_water() == 0 && self.on_bottom() == 0
    }

    /// Puts fresh items into the water, in the stage of ageing that they have come to (0 for new ones).
    pub fn add(&mut self, stage: usize, items: u64) {
        self.water[stage] += items;
        self.account.given += items;
    }

    /// Puts spoiled food into the water.
    pub fn add_stale(&mut self, ug: f64) {
        self.stale_water_ug += ug;
        self.account.stale_given_ug += ug;
    }

    /// Takes eaten items out of water and bottom, by weight 1 and `reach`; never more than there are.
    pub fn take(&mut self, rng: &mut impl rand::Rng, eaten: u64, reach: f64) {
        self.account.eaten += eaten;
        let mut left = eaten;
        let mut weight: f64 = self.in_water() as f64 + reach * self.on_bottom() as f64;
        let cells = self.water.iter_mut().map(|n| (n, 1.0)).chain(self.bottom.iter_mut().map(|n| (n, reach)));
        for (cell, pull) in cells {
            if left == 0 {
                return;
            }
            let own = *cell as f64 * pull;
            let taken = binomial(rng, left, if weight > 0.0 { own / weight } else { 0.0 }).min(*cell);
            weight -= own;
            *cell -= taken;
            left -= taken;
        }
        // A cell drawn beyond what it held passes the rest on to whatever is there.
        for cell in self.water.iter_mut().chain(&mut self.bottom) {
            let taken = left.min(*cell);
            *cell -= taken;
            left -= taken;
        }
        debug_assert_eq!(left, 0, "more eaten than there was");
        self.account.eaten -= left;
    }

    /// Carries the pool forward by `hours`, with `wash_per_h` leaving with the water.
    ///
    /// `eaten_per_h` is the rate at which an item in the water was eaten during the leap: the eaten have been taken
    /// out already, and while they lived they could not land, so the others' chances are conditioned on it.
    pub fn leap(
        &mut self,
        rng: &mut impl rand::Rng,
        rates: &Rates,
        item_ug: f64,
        wash_per_h: f64,
        eaten_per_h: f64,
        hours: f64,
    ) {
        let leaving = rates.landing_per_h + wash_per_h;
        if leaving > 0.0 && self.in_water() > 0 {
            let all = leaving + eaten_per_h;
            let gone_any = -(-all * hours).exp_m1();
            let gone = gone_any * leaving / all;
            let chance = gone / (1.0 - gone_any + gone);
            let landed_share = rates.landing_per_h / leaving;
            for stage in 0..rates.stages {
                let moved = binomial(rng, self.water[stage], chance);
                if moved > 0 {
                    let landed = binomial(rng, moved, landed_share);
                    self.water[stage] -= moved;
                    self.bottom[stage] += landed;
                    self.account.washed += moved - landed;
                }
            }
        }
        let spoiled_water = age(rng, &mut self.water, rates, hours);
        let spoiled_bottom = age(rng, &mut self.bottom, rates, hours);
        self.account.spoiled += spoiled_water + spoiled_bottom;
        self.stale_leap(rates, wash_per_h, hours);
        self.stale_water_ug += spoiled_water as f64 * item_ug;
        self.stale_bottom_ug += spoiled_bottom as f64 * item_ug;
    }

    /// Spoiled food settles, washes out and rots: linear, so solved exactly.
    pub fn stale_leap(&mut self, rates: &Rates, wash_per_h: f64, hours: f64) {
        if self.stale_water_ug > 0.0 {
            let all = rates.stale_landing_per_h + wash_per_h + rates.decay_per_h;
            let gone = self.stale_water_ug * (1.0 - exp_near_zero(-all * hours));
            if gone > 0.0 {
                self.stale_water_ug -= gone;
                self.stale_bottom_ug += gone * rates.stale_landing_per_h / all;
                self.account.stale_washed_ug += gone * wash_per_h / all;
                self.account.rotted_ug += gone * rates.decay_per_h / all;
            }
        }
        if self.stale_bottom_ug > 0.0 {
            let gone = self.stale_bottom_ug * (1.0 - exp_near_zero(-rates.decay_per_h * hours));
            self.stale_bottom_ug -= gone;
            self.account.rotted_ug += gone;
        }
    }

    /// Takes a share of what is in the water out of the tub (a water change).
    pub fn change_water(&mut self, rng: &mut impl rand::Rng, share: f64) {
        for cell in &mut self.water {
            let gone = binomial(rng, *cell, share);
            *cell -= gone;
            self.account.washed += gone;
        }
        self.account.stale_washed_ug += self.stale_water_ug * share;
        self.stale_water_ug *= 1.0 - share;
    }

    /// Takes a share of what lies on the bottom out of the tub.
    pub fn siphon(&mut self, rng: &mut impl rand::Rng, share: f64) {
        for cell in &mut self.bottom {
            let gone = binomial(rng, *cell, share);
            *cell -= gone;
            self.account.washed += gone;
        }
        self.account.stale_washed_ug += self.stale_bottom_ug * share;
        self.stale_bottom_ug *= 1.0 - share;
    }
}

/// Ages the items of one place; returns how many went stale.
///
/// Within the leap an item passes a Poisson number of stages; each stage's items are dealt out over where they end.
fn age(rng: &mut impl rand::Rng, cells: &mut [u64; STAGES], rates: &Rates, hours: f64) -> u64 {
    if cells.iter().all(|&n| n == 0) {
        return 0;
    }
    let mean = rates.ageing_per_h * hours;
    let stay = (-mean).exp();
    let mut spoiled = 0;
    for stage in (0..rates.stages).rev() {
        let mut left = cells[stage];
        if left == 0 {
            continue;
        }
        cells[stage] = 0;
        // Chance of passing exactly k stages, and of not having been dealt out before.
        let mut exactly = stay;
        let mut rest = 1.0;
        for (passed, cell) in cells[stage..rates.stages].iter_mut().enumerate() {
            let here = binomial(rng, left, (exactly / rest).min(1.0));
            *cell += here;
            left -= here;
            rest -= exactly;
            exactly *= mean / (passed + 1) as f64;
            if rest <= 0.0 {
                break;
            }
        }
        spoiled += left;
    }
    spoiled
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chance::{Source, Streams};

    fn still(landing: f64) -> Rates {
        Rates { landing_per_h: landing, stale_landing_per_h: 0.0, ageing_per_h: 0.0, stages: 1, decay_per_h: 0.0 }
    }

    #[test]
    fn stirred_settling_is_exponential_whatever_the_leap() {
        // C = C0 exp(−w t / H): the limit of perfect mixing with a floor that keeps everything.
        let rates = still(1.7);
        for leaps in [1, 40] {
            let mut rng = Streams::new(1, 0, 0).shared(Source::Tub);
            let mut pool = Pool::default();
            pool.add(0, 4_000_000);
            for _ in 0..leaps {
                pool.leap(&mut rng, &rates, 1.0, 0.0, 0.0, 1.0 / f64::from(leaps));
            }
            let left = pool.in_water() as f64 / 4e6;
            assert!((left / (-1.7_f64).exp() - 1.0).abs() < 0.005, "{leaps} leaps: {left}");
            assert_eq!(pool.in_water() + pool.on_bottom(), 4_000_000);
        }
    }

    #[test]
    fn half_of_the_animals_live_their_tabled_life() {
        let (ageing_per_h, stages) = Rates::ageing(true, 14.0);
        let rates = Rates { ageing_per_h, stages, ..still(0.0) };
        for leaps in [1, 14] {
            let mut rng = Streams::new(2, 0, 0).shared(Source::Tub);
            let mut pool = Pool::default();
            pool.add(0, 1_000_000);
            for _ in 0..leaps {
                pool.leap(&mut rng, &rates, 1.0, 0.0, 0.0, 14.0 / f64::from(leaps));
            }
            let alive = pool.in_water() as f64 / 1e6;
            assert!((alive - 0.5).abs() < 0.003, "{leaps} leaps: {alive}");
        }
    }

    #[test]
    fn eaten_items_balance_exactly_and_prefer_the_pool_in_reach() {
        let mut rng = Streams::new(3, 0, 0).shared(Source::Tub);
        let mut pool = Pool { water: [1000, 0, 0], bottom: [1000, 0, 0], ..Pool::default() };
        pool.take(&mut rng, 600, 0.2);
        assert_eq!(pool.in_water() + pool.on_bottom(), 1400);
        assert!((pool.in_water() as f64 - 500.0).abs() < 60.0, "{}", pool.in_water());
        pool.take(&mut rng, 1400, 0.2);
        assert!(pool.is_empty());
        assert_eq!(pool.account.eaten, 2000);
    }

    #[test]
    fn spoiled_mass_is_accounted_for() {
        let rates =
            Rates { landing_per_h: 0.5, stale_landing_per_h: 2.0, ageing_per_h: 0.8, stages: 1, decay_per_h: 0.1 };
        let mut rng = Streams::new(4, 0, 0).shared(Source::Tub);
        let mut pool = Pool::default();
        pool.add(0, 5000);
        for _ in 0..50 {
            pool.leap(&mut rng, &rates, 0.3, 0.2, 0.0, 0.4);
        }
        pool.siphon(&mut rng, 0.7);
        pool.change_water(&mut rng, 0.2);
        let a = pool.account;
        assert_eq!(a.given, a.washed + a.spoiled + pool.in_water() + pool.on_bottom());
        let stale = pool.stale_water_ug + pool.stale_bottom_ug + a.stale_washed_ug + a.rotted_ug;
        assert!((stale - a.spoiled as f64 * 0.3).abs() < 1e-9 * stale);
    }
}
