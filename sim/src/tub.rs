//! The tub: the water with every class of food in it.
//!
//! Knows how food moves; knows no fry beyond how much they take, and no plan.

use rand_chacha::ChaCha8Rng;

use crate::chance::{binomial, whole};
use crate::food::batch::FoodClass;
use crate::food::pools::{Pool, Rates};
use crate::outlet::{OutletState, Passed};
use crate::study::Study;
use crate::water::rotting_at;
use crate::worlds::World;

/// Rates closer than this count as the same, per h.
const NEARLY_SAME: f64 = 1e-6;
/// mm/s to mm/h.
const PER_HOUR: f64 = 3600.0;

/// A tub in use.
#[derive(Debug, Clone)]
pub struct TubState<'a> {
    /// Classes of food, as in the world's larder.
    pub classes: &'a [FoodClass],
    /// Where each class is.
    pub pools: Vec<Pool>,
    /// Share of the water that the drip and running pumps exchange, per h.
    pub wash_per_h: f64,
    /// Water, mL.
    pub volume_ml: f64,
    /// The outlet; without one the level stands still.
    pub outlet: Option<OutletState>,
    rates: Vec<Rates>,
    reach: f64,
    still_ml: f64,
    /// What comes in by drip and pumps at present, mL/h.
    inflow_ml_h: f64,
    drip_ml_h: f64,
    drips: bool,
    /// Dry mass that has left the tub so far, as far as the sponge has been told of it, µg.
    told_ug: f64,
    celsius: f64,
    /// Share of each class's landings that stay while the air runs; all of them stay in still water.
    stays: Vec<f64>,
    has_stone: bool,
    has_air: bool,
    rng: ChaCha8Rng,
}

impl<'a> TubState<'a> {
    /// An empty tub with clean water.
    #[must_use]
    pub fn new(study: &Study, world: &'a World, tub: usize, rng: ChaCha8Rng) -> Self {
        let numbers = &world.tubs[tub];
        let air = study.tubs[tub].air;
        let rates = world.larder.classes.iter().map(|class| {
            let sort = study.foods[class.food].sort;
            let food = &world.foods[class.food];
            let stays = if air { food.stay_share } else { 1.0 };
            let landing = |speed_mm_s: f64| stays * speed_mm_s * PER_HOUR / numbers.depth_mm;
            let (ageing_per_h, stages) = Rates::ageing(sort.is_alive(), food.life_h);
            Rates {
                landing_per_h: landing(class.sinking_mm_s(sort, food, numbers.temperature_c)),
                stale_landing_per_h: landing(class.stale_sinking_mm_s(sort, food, numbers.temperature_c)),
                ageing_per_h,
                stages,
                decay_per_h: food.decay_per_day / 24.0 * rotting_at(numbers.temperature_c),
            }
        });
        Self {
            classes: &world.larder.classes,
            pools: vec![Pool::default(); world.larder.classes.len()],
            rates: rates.collect(),
            wash_per_h: numbers.drip_ml_h / numbers.volume_ml,
            volume_ml: numbers.volume_ml,
            outlet: world.outlets[tub].as_ref().map(|outlet| {
                let area_mm2 = 1000.0 * numbers.volume_ml / numbers.depth_mm;
                OutletState::new(outlet, area_mm2)
            }),
            reach: world.fish.bottom_reach,
            still_ml: numbers.volume_ml,
            inflow_ml_h: numbers.drip_ml_h,
            drip_ml_h: numbers.drip_ml_h,
            drips: true,
            told_ug: 0.0,
            celsius: numbers.temperature_c,
            stays: world.larder.classes.iter().map(|class| world.foods[class.food].stay_share).collect(),
            has_stone: air,
            has_air: air,
            rng,
        }
    }

    /// Tells the tub how much water pumps bring at present, mL/h.
    pub fn set_inflow(&mut self, ml_per_h: f64) {
        let drip_ml_h = if self.drips { self.drip_ml_h } else { 0.0 };
        self.inflow_ml_h = drip_ml_h + ml_per_h;
        self.wash_per_h = drip_ml_h / self.still_ml + ml_per_h / self.volume_ml;
    }

    /// Stops the drip, or lets it run again, while pumps bring so much water (mL/h).
    pub fn set_drip(&mut self, drips: bool, pumps_ml_h: f64) {
        self.drips = drips;
        self.set_inflow(pumps_ml_h);
    }

    /// The tub's air stone runs or stands still; of no effect in a tub without one.
    pub fn set_air(&mut self, runs: bool) {
        if !self.has_stone || runs == self.has_air {
            return;
        }
        self.has_air = runs;
        for (rates, stays) in self.rates.iter_mut().zip(&self.stays) {
            let factor = if runs { *stays } else { 1.0 / stays.max(1e-9) };
            rates.landing_per_h *= factor;
            rates.stale_landing_per_h *= factor;
        }
    }

    /// The water has another temperature: what is spoiled rots accordingly. That it sinks a little more slowly in cooler
    /// water is left out.
    pub fn set_temperature(&mut self, celsius: f64) {
        let factor = rotting_at(celsius) / rotting_at(self.celsius);
        for rates in &mut self.rates {
            rates.decay_per_h *= factor;
        }
        self.celsius = celsius;
    }

    /// Lets water run in and out for some time, and asks for how long it stands at or above a height over the still
    /// level. What leaves is told to the food as [`TubState::wash_per_h`]; the food itself moves in [`TubState::leap`].
    pub fn flow(&mut self, hours: f64, height_mm: f64) -> Passed {
        let Some(outlet) = &mut self.outlet else {
            return Passed { above_h: if height_mm <= 0.0 { hours } else { 0.0 }, ..Passed::default() };
        };
        let passed = outlet.pass(self.inflow_ml_h, hours, height_mm);
        self.wash_per_h = passed.ml() / (hours * self.volume_ml);
        self.volume_ml = self.still_ml + outlet.raised_ml();
        passed
    }

    /// Tells the sponge what the water that passed carried with it. Comes after the food has moved.
    pub fn filter(&mut self, passed: &Passed, hours: f64) {
        if self.outlet.is_none() || hours <= 0.0 {
            return;
        }
        let gone_ug = self.untold_ug();
        let through = if passed.ml() > 0.0 { passed.sponge_ml / passed.ml() } else { 0.0 };
        if let Some(outlet) = &mut self.outlet {
            outlet.catches(gone_ug / 1000.0 * through, hours);
        }
    }

    /// Dry mass that has left since this was asked last, µg.
    fn untold_ug(&mut self) -> f64 {
        let left = self.pools.iter().zip(self.classes);
        let gone: f64 = left.map(|(p, c)| p.account.washed as f64 * c.mass_ug + p.account.stale_washed_ug).sum();
        gone - std::mem::replace(&mut self.told_ug, gone)
    }

    /// The keeper rinses the sponge.
    pub fn rinse(&mut self) {
        if let Some(outlet) = &mut self.outlet {
            outlet.rinsed();
        }
    }

    /// Items of a class that could be eaten at all: those on the bottom only by fish that feed there.
    #[must_use]
    pub fn within_grasp(&self, class: usize) -> u64 {
        let pool = &self.pools[class];
        pool.in_water() + if self.reach > 0.0 { pool.on_bottom() } else { 0 }
    }

    /// Items of a class within reach of the fry, bottom counted with its reach.
    #[must_use]
    pub fn within_reach(&self, class: usize) -> f64 {
        let pool = &self.pools[class];
        pool.in_water() as f64 + self.reach * pool.on_bottom() as f64
    }

    /// Share of the items within reach that cannot be, one hour on, for reasons other than being eaten, per h.
    #[must_use]
    pub fn loss_per_h(&self, class: usize) -> f64 {
        let (pool, rates) = (&self.pools[class], &self.rates[class]);
        let (water, bottom) = (pool.in_water() as f64, self.reach * pool.on_bottom() as f64);
        let last = rates.stages - 1;
        let ageing = rates.ageing_per_h * (pool.water[last] as f64 + self.reach * pool.bottom[last] as f64);
        let leaving = water * (rates.landing_per_h * (1.0 - self.reach) + self.wash_per_h);
        (leaving + ageing) / (water + bottom).max(1e-9)
    }

    /// Mean number of items within reach over the next hours, against the number now, while each item in the water is
    /// eaten at a rate of `eaten_per_h`.
    ///
    /// What lands is not gone but lies within the reach of the bottom. With W in the water and B on the bottom, reach κ:
    /// `dW/dt = −α·W`, `dB/dt = l·W − β·B`, where α is landing l, wash-out, ageing and being eaten, and β is ageing and κ
    /// times being eaten; the mean of W + κ·B follows in closed form.
    #[must_use]
    pub fn mean_share_within_reach(&self, class: usize, eaten_per_h: f64, hours: f64) -> f64 {
        let (pool, rates) = (&self.pools[class], &self.rates[class]);
        let (water, bottom) = (pool.in_water() as f64, pool.on_bottom() as f64);
        let now = water + self.reach * bottom;
        if now <= 0.0 || hours <= 0.0 {
            return 1.0;
        }
        let last = rates.stages - 1;
        let ageing = |dying: u64, all: f64| if all > 0.0 { rates.ageing_per_h * dying as f64 / all } else { 0.0 };
        let from_water = rates.landing_per_h + self.wash_per_h + ageing(pool.water[last], water) + eaten_per_h;
        let from_bottom = ageing(pool.bottom[last], bottom) + self.reach * eaten_per_h;
        let mean = |rate: f64| {
            let falling = rate * hours;
            if falling > 1e-9 { -(-falling).exp_m1() / falling } else { 1.0 }
        };
        let (in_water, on_bottom) = (mean(from_water), mean(from_bottom));
        let apart = from_water - from_bottom;
        // Where both leave at the same rate, a hair's difference stands for the limit.
        let apart = if apart.abs() < NEARLY_SAME { NEARLY_SAME } else { apart };
        let landed = rates.landing_per_h * (mean(from_water - apart) - in_water) / apart;
        (water * (in_water + self.reach * landed) + self.reach * bottom * on_bottom) / now
    }

    /// Deals `items` of a food (a mean; rounded by chance) out over its classes.
    pub fn deal(&mut self, food: usize, items: f64) -> Vec<(usize, u64)> {
        let mut left = whole(&mut self.rng, items);
        let mut share_left = 1.0;
        let mut dealt = Vec::new();
        for (index, class) in self.classes.iter().enumerate().filter(|(_, class)| class.food == food) {
            let here = binomial(&mut self.rng, left, (class.items / share_left).min(1.0));
            share_left -= class.items;
            left -= here;
            dealt.push((index, here));
        }
        // What rounding of the shares leaves over belongs to the last class.
        if let Some((_, last)) = dealt.last_mut() {
            *last += left;
        }
        dealt
    }

    /// Fresh food enters the water, in its stage of ageing.
    pub fn add(&mut self, class: usize, stage: usize, items: u64) {
        self.pools[class].add(stage, items);
    }

    /// Spoiled food enters the water, dry µg.
    pub fn add_stale(&mut self, class: usize, ug: f64) {
        self.pools[class].add_stale(ug);
    }

    /// Fry have eaten so many items of a class, no more than there are.
    pub fn take(&mut self, class: usize, items: u64) {
        self.pools[class].take(&mut self.rng, items, self.reach);
    }

    /// Carries one class forward; `eaten_per_h` as in [`Pool::leap`].
    pub fn leap(&mut self, class: usize, eaten_per_h: f64, hours: f64) {
        let item_ug = self.classes[class].mass_ug;
        self.pools[class].leap(&mut self.rng, &self.rates[class], item_ug, self.wash_per_h, eaten_per_h, hours);
    }

    /// Carries only what is spoiled forward, for the mode that plays each item's move on its own.
    pub fn spoiled_leap(&mut self, hours: f64) {
        for (pool, rates) in self.pools.iter_mut().zip(&self.rates) {
            pool.stale_leap(rates, self.wash_per_h, hours);
        }
    }

    /// Water is poured in. Without an outlet as much leaves at once; with one the level rises. Gives what ran over the
    /// rim, as a share of the tub's water.
    pub fn pour(&mut self, ml: f64) -> f64 {
        let Some(outlet) = &mut self.outlet else {
            self.exchange(ml / (ml + self.volume_ml));
            return 0.0;
        };
        let over = outlet.pour(ml) / (ml + self.volume_ml);
        self.volume_ml = self.still_ml + outlet.raised_ml();
        if over > 0.0 {
            self.exchange(over);
        }
        over
    }

    /// The keeper takes out a share of the water and fills up to the still level again.
    pub fn change_water(&mut self, share: f64) {
        let mut share = share;
        if let Some(outlet) = &mut self.outlet {
            outlet.levelled();
            share = 1.0 - (1.0 - share) * self.still_ml / self.volume_ml;
            self.volume_ml = self.still_ml;
        }
        self.exchange(share);
    }

    /// A share of what floats leaves, past the sponge.
    fn exchange(&mut self, share: f64) {
        for pool in &mut self.pools {
            pool.change_water(&mut self.rng, share);
        }
        self.untold_ug();
    }

    /// The bottom is siphoned.
    pub fn siphon(&mut self, share: f64) {
        for pool in &mut self.pools {
            pool.siphon(&mut self.rng, share);
        }
        self.untold_ug();
    }

    /// The tub's own stream.
    pub fn rng(&mut self) -> &mut ChaCha8Rng {
        &mut self.rng
    }

    /// The rates of a class, for the mode that plays each item's move on its own.
    #[must_use]
    pub fn rates(&self, class: usize) -> &Rates {
        &self.rates[class]
    }
}
