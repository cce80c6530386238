//! What fry, food and waste do to the water of a brood, and what the water does to the fry.
//!
//! Of the nitrogen that is digested a part leaves as ammonia, a part as faeces, and the rest becomes body. Body that is
//! burnt gives its nitrogen back. What rots gives off ammonia and uses oxygen.

use super::{Brood, BroodSetup};
use crate::fry::shoal::State;
use crate::fry::tolerance::{Harm, Tolerance};
use crate::water::{AS_AMMONIA, AS_FAECES, Load, OXYGEN_PER_BURNT, WASTE_PER_DAY, WaterState, rotting_at};

/// Nitrogen in the dry body of a fry (from memory: protein about 60 %).
const BODY_NITROGEN: f64 = 0.10;
/// Share of its bacteria that a sponge keeps when it is rinsed (estimate).
pub(super) const RINSE_KEEPS: f64 = 0.7;

/// The water of a brood and its books of nitrogen.
#[derive(Debug, Clone)]
pub(crate) struct Fouling {
    pub(crate) water: WaterState,
    pub(super) tolerance: Tolerance,
    harm: Harm,
    /// Nitrogen in a mg of each class of food.
    nitrogen: Vec<f64>,
    /// Oxygen that a mg of each class uses as it rots, mg.
    rot_oxygen: Vec<f64>,
    decay_nitrogen: f64,
    /// The same for faeces and dead fry.
    decay_oxygen: f64,
    /// Share of the dry food digested that leaves as faeces.
    not_absorbed: f64,
    /// Faeces and dead fry: dry µg, and µg of nitrogen.
    waste_ug: f64,
    /// The books, µg of nitrogen.
    pub(crate) books: Books,
    /// Food in guts and food eaten so far, when last settled with, dry µg.
    gut_ug: f64,
    eaten_ug: f64,
    /// Food that had rotted when last looked, by class, dry µg.
    rotted_ug: Vec<f64>,
    /// Ammonia that has been given off since the water was last carried forward, mg of nitrogen.
    pending_mg: f64,
    /// Oxygen that the fry use, mg/h.
    breathing_mg_h: f64,
}

/// Where the nitrogen that fry have eaten is, µg.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Books {
    /// Eaten so far.
    pub eaten: f64,
    /// In guts.
    pub gut: f64,
    /// In living bodies, against those at the start (burnt body takes from it).
    pub body: f64,
    /// In faeces and dead fry that have not rotted yet, and lost with what was siphoned.
    pub waste: f64,
    /// See `waste`.
    pub siphoned: f64,
    /// Given off as ammonia, by fry and by their waste.
    pub ammonia: f64,
    /// Held back in bacteria as their waste rots.
    pub bound: f64,
}

impl Fouling {
    pub(super) fn new(setup: &BroodSetup) -> Option<Self> {
        let plan = &setup.study.plans[setup.plan];
        let numbers = setup.world.waters[plan.tub].as_ref()?;
        let tub = &setup.world.tubs[plan.tub];
        let classes = &setup.world.larder.classes;
        Some(Self {
            water: WaterState::new(numbers, tub.depth_mm, tub.temperature_c),
            tolerance: Tolerance::new(&setup.world.fish),
            harm: Harm::default(),
            nitrogen: classes.iter().map(|class| setup.world.foods[class.food].nitrogen).collect(),
            rot_oxygen: classes.iter().map(|class| setup.world.foods[class.food].rot_oxygen).collect(),
            not_absorbed: 1.0 - setup.world.fish.absorbed,
            decay_nitrogen: numbers.decay_nitrogen,
            decay_oxygen: numbers.decay_oxygen,
            waste_ug: 0.0,
            books: Books::default(),
            gut_ug: 0.0,
            eaten_ug: 0.0,
            rotted_ug: vec![0.0; classes.len()],
            pending_mg: 0.0,
            breathing_mg_h: 0.0,
        })
    }

    /// Ammonia nitrogen that is given off but has not been carried into the water yet, mg.
    pub(super) fn pending_mg(&self) -> f64 {
        self.pending_mg
    }

    /// Ammonia nitrogen that rotting food has given off so far, mg.
    pub(super) fn rotten_food_mg(&self) -> f64 {
        let rotted = self.rotted_ug.iter().zip(&self.nitrogen);
        rotted.map(|(ug, nitrogen)| ug * nitrogen * self.decay_nitrogen / 1000.0).sum()
    }

    /// A share of the waste is siphoned out.
    pub(super) fn siphoned(&mut self, share: f64) {
        self.waste_ug *= 1.0 - share;
        self.books.siphoned += self.books.waste * share;
        self.books.waste *= 1.0 - share;
    }
}

impl Brood<'_> {
    /// Carries the water forward over a leap that ends now; gives its hazards, by lack of oxygen and by ammonia.
    pub(super) fn foul(&mut self, hours: f64) -> (f64, f64) {
        let celsius = self.celsius;
        let Some(fouling) = self.fouling.as_mut().filter(|_| hours > 0.0) else { return (0.0, 0.0) };
        let mut load = Load { ammonia_mg: std::mem::take(&mut fouling.pending_mg), oxygen_mg: 0.0 };
        let kinds = fouling.nitrogen.iter().zip(&fouling.rot_oxygen);
        for ((pool, (nitrogen, rot_oxygen)), before) in self.tub.pools.iter().zip(kinds).zip(&mut fouling.rotted_ug) {
            let rotted_mg = (pool.account.rotted_ug - std::mem::replace(before, pool.account.rotted_ug)) / 1000.0;
            load.ammonia_mg += rotted_mg * nitrogen * fouling.decay_nitrogen;
            load.oxygen_mg += rotted_mg * rot_oxygen;
        }
        let decay = WASTE_PER_DAY / 24.0 * rotting_at(celsius);
        let rotting = -(-decay * hours).exp_m1();
        let (waste_mg, nitrogen) = (fouling.waste_ug * rotting / 1000.0, fouling.books.waste * rotting);
        fouling.waste_ug -= 1000.0 * waste_mg;
        fouling.books.waste -= nitrogen;
        fouling.books.ammonia += nitrogen * fouling.decay_nitrogen;
        fouling.books.bound += nitrogen * (1.0 - fouling.decay_nitrogen);
        load.ammonia_mg += nitrogen * fouling.decay_nitrogen / 1000.0;
        load.oxygen_mg += waste_mg * fouling.decay_oxygen + fouling.breathing_mg_h * hours;
        let worst = fouling.water.pass(&load, self.tub.volume_ml, self.tub.wash_per_h, celsius, hours);
        let exposure = worst.ammonia_mg_l / fouling.tolerance.lc50_mg_l(celsius, fouling.water.ph(self.tub.volume_ml));
        let by_ammonia = fouling.harm.pass(&fouling.tolerance, exposure, hours);
        // The mean over the leap lies between its worst and its last.
        let oxygen = 0.5 * (worst.oxygen_mg_l + fouling.water.oxygen_mg_l);
        let by_oxygen = fouling.tolerance.oxygen_hazard_per_h(oxygen) * hours;
        self.appetite = fouling.tolerance.appetite(fouling.water.oxygen_mg_l, exposure);
        let total = fouling.water.ammonia_mg / (self.tub.volume_ml / 1000.0);
        self.diary.water(self.now, &worst, total, fouling.water.ph(self.tub.volume_ml));
        self.relight();
        (by_oxygen, by_ammonia)
    }

    /// Books what the fry have digested and burnt since they were last settled with.
    pub(super) fn excrete(&mut self, hours: f64) {
        let Some(fouling) = self.fouling.as_mut() else { return };
        let shoal = &mut self.shoal;
        let eaten_n: f64 = self
            .tub
            .pools
            .iter()
            .zip(self.tub.classes)
            .zip(&fouling.nitrogen)
            .map(|((pool, class), nitrogen)| pool.account.eaten as f64 * class.mass_ug * nitrogen)
            .sum();
        let eaten_ug: f64 = shoal.eaten.iter().sum();
        let living = (0..shoal.len()).filter(|&i| shoal.state[i] != State::Dead);
        let gut_ug: f64 = living.map(|i| shoal.gut[i]).sum();
        let books = &mut fouling.books;
        books.gut += eaten_n - books.eaten;
        books.eaten = eaten_n;
        let passed = fouling.gut_ug + eaten_ug - fouling.eaten_ug;
        let digested_n = if passed > 0.0 { books.gut * (1.0 - gut_ug / passed).clamp(0.0, 1.0) } else { 0.0 };
        books.gut -= digested_n;
        let faeces_n = AS_FAECES * digested_n;
        let burnt_n = BODY_NITROGEN * std::mem::take(&mut shoal.shrunk_ug);
        let ammonia_n = AS_AMMONIA * digested_n + burnt_n;
        books.body += digested_n - faeces_n - AS_AMMONIA * digested_n - burnt_n;
        books.waste += faeces_n;
        books.ammonia += ammonia_n;
        // Faeces hold what was not absorbed; of the nitrogen that is less than of the mass.
        let digested_ug = (passed - gut_ug).max(0.0);
        fouling.waste_ug += fouling.not_absorbed * digested_ug;
        fouling.pending_mg += ammonia_n / 1000.0;
        fouling.breathing_mg_h = OXYGEN_PER_BURNT * std::mem::take(&mut shoal.burnt_ug) / 1000.0 / hours;
        (fouling.gut_ug, fouling.eaten_ug) = (gut_ug, eaten_ug);
    }

    /// A fry has died: its body and gut lie on the bottom.
    pub(super) fn rots(&mut self, i: usize) {
        let Some(fouling) = self.fouling.as_mut() else { return };
        let shoal = &self.shoal;
        let (body, gut) = (shoal.mass[i] + shoal.yolk[i], shoal.gut[i]);
        let gut_share = if fouling.gut_ug > 0.0 { (gut / fouling.gut_ug).min(1.0) } else { 0.0 };
        let gut_n = fouling.books.gut * gut_share;
        fouling.gut_ug = (fouling.gut_ug - gut).max(0.0);
        fouling.waste_ug += body + gut;
        fouling.books.gut -= gut_n;
        fouling.books.body -= BODY_NITROGEN * body;
        fouling.books.waste += gut_n + BODY_NITROGEN * body;
    }

    /// So many millilitres of a mix are fed, with the culture liquid in them.
    pub(super) fn brings_liquid(&mut self, mix: usize, ml: f64) {
        let liquid = self.setup.world.liquids[mix].as_ref();
        if let Some((fouling, liquid)) = self.fouling.as_mut().zip(liquid) {
            fouling.water.add_liquid(liquid, ml * liquid.share);
        }
    }

    /// Share of its searching that a fry does at present: by light, warmth and water.
    pub(super) fn relight(&mut self) {
        let base = if self.is_lit { 1.0 } else { self.setup.world.fish.dark_share };
        self.light = base * self.warmth * self.appetite;
    }
}
