//! What is written down of a brood while it lives, and what is told of it at the end.

use super::fouling::{Books, Fouling};
use super::pumping::Pumped;
use crate::brood::{BroodSetup, survival_step};
use crate::clock::{MS_PER_HOUR, Moment, Span};
use crate::food::batch::FoodClass;
use crate::food::fit;
use crate::fry::shoal::{Physiology, Shoal, State};
use crate::mishaps::Kind;
use crate::outcome::Cause;
use crate::outlet::Passed;
use crate::statistics::quantile;
use crate::tub::TubState;
use crate::water::{NitrogenAccount, Worst};

/// Least newly hatched brine shrimp that a weaned fry has eaten ("common practice, no source": a full meal of them).
pub const WEANING_ITEMS: u64 = 10;
/// A fry can live on brine shrimp when it takes more than this share of those it meets.
pub const READY_ACCEPTANCE: f64 = 0.5;

/// One death.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Death {
    /// Which fry.
    pub fry: usize,
    /// Hours since midnight of day 1.
    pub hour: f64,
    /// Why.
    pub cause: Cause,
    /// The mishap that had its part in it, if any had.
    pub mishap: Option<Kind>,
}

/// Mouths at the end of a day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DayEnd {
    /// Living fry.
    pub alive: usize,
    /// Gape of the smallest tenth, the middle, the largest tenth, µm; NaN when none lives.
    pub gape_um: [f64; 3],
    /// Length of the same, mm.
    pub length_mm: [f64; 3],
    /// Dry mass of the middle one by mass, µg; NaN when none lives.
    pub mass_ug: f64,
    /// Share of the living, 0 to 1, that could take newly hatched brine shrimp.
    pub ready: f64,
}

/// A look into the tub on the day shown.
#[derive(Debug, Clone, PartialEq)]
pub struct Look {
    /// Hour of the day.
    pub hour: f64,
    /// Items per mL in the water, by food.
    pub in_water: Vec<f64>,
    /// Items on the bottom per mL of the tub, by food.
    pub on_bottom: Vec<f64>,
    /// Mean gut fullness of the worst-fed, middle and best-fed fifth.
    pub gut: [f64; 3],
}

/// Dry mass of all food over the brood, µg.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct FoodMass {
    /// Put in.
    pub given: f64,
    /// Eaten.
    pub eaten: f64,
    /// Washed, changed or siphoned out while fresh.
    pub washed: f64,
    /// Gone stale.
    pub spoiled: f64,
    /// Fresh and still there at the end.
    pub left: f64,
    /// Spoiled before it left the feed tube.
    pub arrived_spoiled: f64,
    /// Never left the reservoir.
    pub kept: f64,
    /// In the feed tube at the end.
    pub in_tube: f64,
}

/// A pump feed of the day shown.
#[derive(Debug, Clone, PartialEq)]
pub struct DoseRecord {
    /// Hour of the day at which it begins.
    pub hour: f64,
    /// What was wanted, mL.
    pub wanted_ml: f64,
    /// Water that arrived, mL.
    pub arrived_ml: f64,
    /// Dry mass that was wanted, by food, µg.
    pub wanted_ug: Vec<f64>,
    /// Fresh dry mass that arrived, by food, µg.
    pub fresh_ug: Vec<f64>,
    /// Spoiled dry mass that arrived, by food, µg.
    pub spoiled_ug: Vec<f64>,
}

/// What is told of a brood.
#[derive(Debug, Clone, PartialEq)]
pub struct BroodRecord {
    /// Fry at the start.
    pub fry: usize,
    /// Deaths in order of time.
    pub deaths: Vec<Death>,
    /// Fry alive on the last day.
    pub alive: usize,
    /// Fry weaned: alive, able to live on newly hatched brine shrimp, and with at least [`WEANING_ITEMS`] eaten.
    pub weaned: usize,
    /// Daily growth of the living (difference of the logarithms of mass), median; NaN when none lives.
    pub growth_living: f64,
    /// The same over all fry, the dead with their last mass, mean.
    pub growth_all: f64,
    /// At the end of each day.
    pub days: Vec<DayEnd>,
    /// Food eaten by living fry on the day shown against their mass: worst-fed to best-fed fifth; NaN when none lives.
    pub intake_fifths: [f64; 5],
    /// Food eaten per starting fry over the whole brood, dry µg.
    pub eaten_ug: f64,
    /// Where the food went.
    pub food: FoodMass,
    /// Looks into the tub on the day shown, in order of time; empty unless asked for.
    pub looks: Vec<Look>,
    /// Pump feeds planned for the day shown, in that order, also those of which nothing came; empty without a feed line, or unless asked for.
    pub doses: Vec<DoseRecord>,
    /// Highest level since the point before, at each point of the survival curve, mm; empty without an outlet.
    pub levels: Vec<f64>,
    /// Hours for which the feed tube's end was under water.
    pub under_water_h: f64,
    /// Hours for which water went over the rim.
    pub over_rim_h: f64,
    /// The water at each point of the survival curve; `None` where it is not reckoned with.
    pub water: Option<WaterRecord>,
    /// Visits that happened.
    pub visits: u32,
    /// Their lateness summed, min.
    pub lateness_min: f64,
}

/// The water through a brood, at the points of the survival curve.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct WaterRecord {
    /// Highest un-ionised ammonia since the point before, mg NH3/L.
    pub ammonia_mg_l: Vec<f64>,
    /// Lowest oxygen since the point before, mg/L.
    pub oxygen_mg_l: Vec<f64>,
    /// Total ammonia nitrogen when last looked, mg/L.
    pub nitrogen_mg_l: Vec<f64>,
    /// pH when last looked.
    pub ph: f64,
    /// Where the nitrogen is that fry have eaten, µg.
    pub books: Books,
    /// Ammonia nitrogen that came into and left the water, mg.
    pub account: NitrogenAccount,
    /// Ammonia nitrogen in the water at the end, and given off but not yet in it, mg.
    pub ammonia_mg: f64,
    /// Ammonia nitrogen that rotting food gave off, mg.
    pub from_food_mg: f64,
}

/// The notes of a brood under way.
#[derive(Debug, Clone)]
pub(crate) struct Diary {
    show_day: Option<u32>,
    foods: usize,
    deaths: Vec<Death>,
    days: Vec<DayEnd>,
    looks: Vec<Look>,
    intake_fifths: [f64; 5],
    eaten_before: Vec<f64>,
    /// Worst-fed, middle and best-fed fifth on the day shown, by what they had eaten when it began.
    fifths: [Vec<usize>; 3],
    is_show_day: bool,
    ready_place: f64,
    pub(super) doses: Vec<DoseRecord>,
    step_h: f64,
    levels: Vec<f64>,
    under_water_h: f64,
    over_rim_h: f64,
    water: Option<WaterRecord>,
    visits: u32,
    lateness_min: f64,
}

impl Diary {
    pub(crate) fn new(setup: &BroodSetup) -> Self {
        Self {
            show_day: setup.show_day.then_some(setup.study.show_day),
            foods: setup.study.foods.len(),
            deaths: Vec::new(),
            days: Vec::with_capacity(setup.study.days as usize),
            looks: Vec::new(),
            intake_fifths: [f64::NAN; 5],
            eaten_before: Vec::new(),
            fifths: Default::default(),
            is_show_day: false,
            ready_place: ready_place(setup),
            doses: Vec::new(),
            step_h: survival_step(setup.study.days) as f64 / MS_PER_HOUR as f64,
            levels: Vec::new(),
            under_water_h: 0.0,
            over_rim_h: 0.0,
            water: None,
            visits: 0,
            lateness_min: 0.0,
        }
    }

    pub(crate) fn died(&mut self, death: Death) {
        self.deaths.push(death);
    }

    /// True if this day's doses are written down.
    pub(super) fn shows(&self, day: u32) -> bool {
        self.show_day == Some(day)
    }

    /// The level in a step that ends now.
    pub(super) fn level(&mut self, now: Moment, passed: &Passed) {
        let point = (now.hours() / self.step_h).ceil() as usize;
        if self.levels.len() <= point {
            self.levels.resize(point + 1, 0.0);
        }
        self.levels[point] = self.levels[point].max(passed.highest_mm);
        self.under_water_h += passed.above_h;
        self.over_rim_h += passed.rim_h;
    }

    /// The water in a step that ends now.
    pub(super) fn water(&mut self, now: Moment, worst: &Worst, nitrogen_mg_l: f64, ph: f64) {
        let point = (now.hours() / self.step_h).ceil() as usize;
        let water = self.water.get_or_insert_default();
        if water.oxygen_mg_l.len() <= point {
            water.ammonia_mg_l.resize(point + 1, 0.0);
            water.oxygen_mg_l.resize(point + 1, worst.oxygen_mg_l);
            water.nitrogen_mg_l.resize(point + 1, 0.0);
        }
        water.ammonia_mg_l[point] = water.ammonia_mg_l[point].max(worst.ammonia_mg_l);
        water.oxygen_mg_l[point] = water.oxygen_mg_l[point].min(worst.oxygen_mg_l);
        water.nitrogen_mg_l[point] = nitrogen_mg_l;
        water.ph = ph;
    }

    /// The books of nitrogen at the end.
    pub(super) fn nitrogen(&mut self, fouling: &Fouling) {
        if let Some(water) = &mut self.water {
            water.books = fouling.books;
            water.account = fouling.water.account;
            water.ammonia_mg = fouling.water.ammonia_mg + fouling.pending_mg();
            water.from_food_mg = fouling.rotten_food_mg();
        }
    }

    pub(crate) fn visited(&mut self, late: Span) {
        self.visits += 1;
        self.lateness_min += late.hours() * 60.0;
    }

    pub(crate) fn day_begins(&mut self, day: u32, shoal: &Shoal) {
        self.is_show_day = self.show_day == Some(day);
        if !self.is_show_day {
            return;
        }
        self.eaten_before.clone_from(&shoal.eaten);
        let mut living: Vec<usize> = (0..shoal.len()).filter(|&i| shoal.state[i] != State::Dead).collect();
        // Before the first meal, skill foretells who will be fed best.
        living.sort_by(|&a, &b| {
            let (a, b) = ((shoal.eaten[a], shoal.traits[a].skill), (shoal.eaten[b], shoal.traits[b].skill));
            a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
        });
        let fifth = |k: usize| living[k * living.len() / 5..(k + 1) * living.len() / 5].to_vec();
        self.fifths = [fifth(0), fifth(2), fifth(4)];
    }

    /// Looks into the tub, if this is the day to be shown.
    pub(crate) fn look(&mut self, now: Moment, shoal: &Shoal, tub: &TubState) {
        if !self.is_show_day {
            return;
        }
        let mut in_water = vec![0.0; self.foods];
        let mut on_bottom = vec![0.0; self.foods];
        for (class, pool) in tub.classes.iter().zip(&tub.pools) {
            in_water[class.food] += pool.in_water() as f64 / tub.volume_ml;
            on_bottom[class.food] += pool.on_bottom() as f64 / tub.volume_ml;
        }
        let fullness = |group: &Vec<usize>| {
            let living = group.iter().filter(|&&i| shoal.state[i] == State::Swimming);
            let (sum, count) = living.fold((0.0, 0), |(sum, n), &i| (sum + shoal.gut[i] / shoal.full[i], n + 1));
            if count == 0 { f64::NAN } else { sum / f64::from(count) }
        };
        let hour = (now - Moment::start_of_day(self.show_day.unwrap_or(1))).hours();
        let [worst, middle, best] = &self.fifths;
        self.looks.push(Look { hour, in_water, on_bottom, gut: [fullness(worst), fullness(middle), fullness(best)] });
    }

    pub(crate) fn day_ends(&mut self, day: u32, setup: &BroodSetup, shoal: &Shoal, physiology: &Physiology) {
        let living: Vec<usize> = (0..shoal.len()).filter(|&i| shoal.state[i] != State::Dead).collect();
        let mut lengths: Vec<f64> = living.iter().map(|&i| shoal.length[i]).collect();
        lengths.sort_by(f64::total_cmp);
        let at = |share: f64| quantile(&lengths, share);
        let length_mm = [at(0.1), at(0.5), at(0.9)];
        let mut masses: Vec<f64> = living.iter().map(|&i| shoal.mass[i]).collect();
        masses.sort_by(f64::total_cmp);
        let ready = living.iter().filter(|&&i| shoal.place[i] >= self.ready_place).count();
        self.days.push(DayEnd {
            alive: living.len(),
            gape_um: length_mm.map(|length| 1000.0 * physiology.fish.gape_share * length),
            length_mm,
            mass_ug: quantile(&masses, 0.5),
            ready: if living.is_empty() { 0.0 } else { ready as f64 / living.len() as f64 },
        });
        if setup.study.show_day == day && self.show_day.is_some() {
            let mut shares: Vec<f64> =
                living.iter().map(|&i| (shoal.eaten[i] - self.eaten_before[i]) / shoal.mass[i]).collect();
            shares.sort_by(f64::total_cmp);
            if !shares.is_empty() {
                self.intake_fifths = std::array::from_fn(|k| {
                    let fifth = &shares[k * shares.len() / 5..((k + 1) * shares.len()).div_ceil(5)];
                    fifth.iter().sum::<f64>() / fifth.len() as f64
                });
            }
        }
    }

    pub(crate) fn finish(
        mut self,
        setup: &BroodSetup,
        shoal: &Shoal,
        tub: &TubState,
        pumped: Option<(&Pumped, Vec<f64>)>,
    ) -> BroodRecord {
        // Deaths within a leap are written down at its end, each with its own time.
        self.deaths.sort_by(|a, b| a.hour.total_cmp(&b.hour));
        // A run that a slow clock put off may have come after a later one that was on time.
        self.doses.sort_by(|a, b| a.hour.total_cmp(&b.hour));
        let living: Vec<usize> = (0..shoal.len()).filter(|&i| shoal.state[i] != State::Dead).collect();
        let weaned = living
            .iter()
            .filter(|&&i| shoal.place[i] >= self.ready_place && shoal.weaning_items[i] >= WEANING_ITEMS)
            .count();
        let days = f64::from(setup.study.days);
        let growth = |i: usize| (shoal.mass[i] / shoal.traits[i].mass_ug).ln() / days;
        let mut of_living: Vec<f64> = living.iter().map(|&i| growth(i)).collect();
        of_living.sort_by(f64::total_cmp);
        let mut food = FoodMass::default();
        for (class, pool) in tub.classes.iter().zip(&tub.pools) {
            food.given += pool.account.given as f64 * class.mass_ug;
            food.eaten += pool.account.eaten as f64 * class.mass_ug;
            food.washed += pool.account.washed as f64 * class.mass_ug;
            food.spoiled += pool.account.spoiled as f64 * class.mass_ug;
            food.left += (pool.in_water() + pool.on_bottom()) as f64 * class.mass_ug;
        }
        if let Some((pumped, in_tube)) = pumped {
            let rig = &pumped.rig;
            let of_class = tub.classes.iter().zip(&rig.poured).zip(&rig.drawn).zip(in_tube);
            for (((class, poured), drawn), in_tube) in of_class {
                food.kept += (poured - drawn.items()) * class.mass_ug;
                food.in_tube += in_tube * class.mass_ug;
            }
            food.arrived_spoiled = pumped.arrived_stale_ug;
            food.given += food.kept + food.in_tube + food.arrived_spoiled;
        }
        BroodRecord {
            fry: shoal.len(),
            alive: living.len(),
            weaned,
            growth_living: quantile(&of_living, 0.5),
            growth_all: (0..shoal.len()).map(growth).sum::<f64>() / shoal.len() as f64,
            days: self.days,
            intake_fifths: self.intake_fifths,
            eaten_ug: shoal.eaten.iter().sum::<f64>() / shoal.len() as f64,
            food,
            looks: self.looks,
            doses: self.doses,
            levels: self.levels,
            under_water_h: self.under_water_h,
            over_rim_h: self.over_rim_h,
            water: self.water,
            visits: self.visits,
            lateness_min: self.lateness_min,
            deaths: self.deaths,
        }
    }
}

/// The place from which on a mouth takes more than [`READY_ACCEPTANCE`] of the newly hatched brine shrimp it meets.
///
/// Looked for from small mouths upwards: a fry that has grown past them counts as ready too.
fn ready_place(setup: &BroodSetup) -> f64 {
    let larder = &setup.world.larder;
    let classes: Vec<&FoodClass> = larder.classes.iter().filter(|c| c.food == setup.study.weaning_food).collect();
    let accepted = |place: f64| classes.iter().map(|c| c.items * c.fit.accepted(place)).sum::<f64>();
    fit::places().find(|&place| accepted(place) > READY_ACCEPTANCE).unwrap_or(f64::INFINITY)
}
