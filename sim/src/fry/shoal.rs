//! The state of all fry of a brood, one array a quantity, and how it changes.
//!
//! Masses are dry µg, times hours since midnight of day 1. The gut moves within minutes
//! and is carried at every leap ([`Shoal::digest`]); mass, vigour, length, gape, clearance, practice and the cost of
//! living move within days and are settled less often ([`Shoal::settle`]).

use rand_xoshiro::Xoshiro256PlusPlus;

use crate::chance::{Source, Streams};
use crate::clock::Moment;
use crate::food::fit::{self, FitTable};
use crate::fry::feeding::GutRates;
use crate::fry::traits::Traits;
use crate::numbers::FishNumbers;
use crate::series::{exp_near_zero, ln_above};

/// How far above its limit a fry is past recovery (estimate).
pub const NO_RETURN: f64 = 0.02;
/// Length at which clearance is given for every fish, mm.
const CLEARANCE_LENGTH_MM: f64 = 4.8;
/// Item mass for which the handling time is given, µg, and the power with which it rises (estimate).
const HANDLING: (f64, f64) = (0.25, 0.55);
/// Mass at which routine metabolism is given, µg.
const ROUTINE_MASS_UG: f64 = 150.0;
/// Temperature at which the fish's numbers are given, °C.
const REFERENCE_C: f64 = 28.0;
/// Rise of gut emptying a degree (He & Wurtsbaugh 1993, Trans. Am. Fish. Soc. 122:717–730).
const GUT_PER_DEGREE: f64 = 0.072;
/// Rise of the growth ceiling a degree, per day (Houde 1989, Fish. Bull. 87:471–495).
const GROWTH_PER_DEGREE: f64 = 0.01;
/// A fry is used to feeding, and burns as one that feeds, while it has caught something within this time, h
/// (estimate).
const FED_WITHIN_H: f64 = 24.0;
/// A fry counts as stalled when its best mass is this old, h (estimate).
const STALLED_AFTER_H: f64 = 48.0;

/// A fish's numbers made ready for one tub temperature.
#[derive(Debug, Clone, PartialEq)]
pub struct Physiology {
    /// The numbers.
    pub fish: FishNumbers<f64>,
    /// How the gut empties.
    pub gut: GutRates,
    clearance_ml_h: f64,
    vigour_slope: f64,
    routine_per_h: f64,
    growth_per_h: f64,
    stalled_per_h: f64,
}

impl Physiology {
    /// The fish at a water temperature.
    #[must_use]
    pub fn new(fish: &FishNumbers<f64>, celsius: f64) -> Self {
        let warmer = celsius - REFERENCE_C;
        let gut = (GUT_PER_DEGREE * warmer).exp();
        Self {
            gut: GutRates { fast: fish.gut_fast_per_h * gut, slow: fish.gut_slow_per_h * gut },
            vigour_slope: 1.0 / (fish.weakening_span - NO_RETURN),
            clearance_ml_h: fish.clearance_ml_h * fish.clearance_q10.powf(warmer / 10.0),
            routine_per_h: fish.routine_per_day / 24.0 * fish.routine_q10.powf(warmer / 10.0),
            growth_per_h: (fish.growth_most_per_day + GROWTH_PER_DEGREE * warmer).max(0.0) / 24.0,
            stalled_per_h: -(-fish.stalled_per_day).ln_1p() / 24.0,
            fish: fish.clone(),
        }
    }

    /// Hours in which a fry of the fish's usual length swallows an item of this mass.
    #[must_use]
    pub fn handling_h(&self, item_ug: f64) -> f64 {
        self.fish.handling_s / 3600.0 * (item_ug / HANDLING.0).powf(HANDLING.1)
    }

    /// Routine metabolism of a fry of this mass, µg/h.
    #[must_use]
    pub fn routine_ug_h(&self, mass_ug: f64) -> f64 {
        self.routine_per_h * ROUTINE_MASS_UG * (mass_ug / ROUTINE_MASS_UG).powf(self.fish.routine_exponent)
    }

    /// Share of its searching that a fry does at this share of its best mass.
    #[must_use]
    fn vigour(&self, ratio: f64, limit: f64) -> f64 {
        ((ratio - limit - NO_RETURN) * self.vigour_slope).clamp(0.0, 1.0)
    }

    /// Dry food of full worth that a fry must digest to pay for `burnt_ug`.
    #[must_use]
    pub fn food_to_pay(&self, burnt_ug: f64) -> f64 {
        burnt_ug / (self.fish.absorbed * (1.0 - self.fish.growth_cost))
    }
}

/// A stretch of time that all fry are settled for at once.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    from_h: f64,
    hours: f64,
    /// Hours of routine metabolism, activity counted, of a fry that feeds and of one that has not fed for a day.
    burnt: f64,
    burnt_unfed: f64,
    /// Growth gained in allowance, and the most that it holds, as shares of mass.
    allowance: f64,
    most_allowance: f64,
    /// exp(−days / τ) for the practice gained.
    unpractised: f64,
}

impl Stretch {
    /// The same in water of another temperature, in which fry burn so many times as much.
    #[must_use]
    pub fn burning(self, times: f64) -> Self {
        Self { burnt: self.burnt * times, burnt_unfed: self.burnt_unfed * times, ..self }
    }

    /// A stretch from `from_h` (hours since midnight of day 1) of `hours`, in the light or in the dark.
    #[must_use]
    pub fn new(physiology: &Physiology, from_h: f64, hours: f64, is_lit: bool) -> Self {
        let fish = &physiology.fish;
        let burnt = hours * if is_lit { fish.day_activity } else { fish.night_activity };
        Self {
            from_h,
            hours,
            burnt,
            burnt_unfed: burnt * fish.unfed_activity,
            allowance: physiology.growth_per_h * hours,
            most_allowance: physiology.growth_per_h * 24.0,
            unpractised: (-hours / (24.0 * fish.practice_days)).exp(),
        }
    }
}

/// Where a fry is in its life.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum State {
    /// Not yet swimming; needs nothing.
    Wriggler,
    /// Swimming and feeding.
    Swimming,
    /// In the end of the feed tube; lost, but not yet dead.
    InTube,
    /// Dead.
    Dead,
}

/// What one fry caught and digested in a leap.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Meal {
    /// Caught, µg.
    pub caught: f64,
    /// Caught, in µg of full worth.
    pub worth: f64,
    /// Digested at the fast rate, µg.
    pub fast: f64,
    /// Digested at the slow rate, µg.
    pub slow: f64,
}

/// What the quantities of [`Shoal::refresh`] were last worked out from.
#[derive(Debug, Clone, Copy)]
struct Known {
    peak: f64,
    mass: f64,
    /// exp(−practice / τ), practice being the days in which it was used to feeding.
    unpractised: f64,
    /// Water searched per hour at full vigour, mL/h.
    clearance: f64,
}

impl Known {
    fn new(born: &Traits, clearance: f64) -> Self {
        Self { peak: born.mass_ug, mass: born.mass_ug, unpractised: 1.0, clearance }
    }
}

/// All fry of a brood; index `i` is the same fry in every array.
#[derive(Debug, Clone)]
pub struct Shoal {
    /// What each was born with.
    pub traits: Vec<Traits>,
    /// Where each is in its life.
    pub state: Vec<State>,
    /// Numbers of those that swim, in rising order.
    pub swimming: Vec<usize>,
    /// Body mass without yolk and gut content.
    pub mass: Vec<f64>,
    /// Highest body mass so far.
    pub peak: Vec<f64>,
    /// Yolk left.
    pub yolk: Vec<f64>,
    /// Gut content.
    pub gut: Vec<f64>,
    /// Mean worth of the gut content.
    pub gut_quality: Vec<f64>,
    /// Gut content when full.
    pub full: Vec<f64>,
    /// Hours since the last capture; infinite before the first.
    pub since_capture: Vec<f64>,
    /// Absorbed since the last settling, µg of full worth.
    absorbed: Vec<f64>,
    /// Burnt by all together since somebody asked, for life and for growth, µg.
    pub burnt_ug: f64,
    /// Body and yolk lost by all together since somebody asked, µg.
    pub shrunk_ug: f64,
    /// Growth still allowed, as a share of mass.
    pub allowance: Vec<f64>,
    /// Routine metabolism, µg/h.
    pub routine: Vec<f64>,
    /// Total length, mm.
    pub length: Vec<f64>,
    /// Gape as a place in the tables of fit.
    pub place: Vec<f64>,
    /// Water searched per hour at full vigour, times the share of strikes that succeed, mL/h.
    pub clearance: Vec<f64>,
    /// Success with lively prey against other food.
    pub lively: Vec<f64>,
    /// Handling time against a fry of the usual length.
    pub handling: Vec<f64>,
    /// Share of its best mass at which each dies.
    pub limit: Vec<f64>,
    /// When each first swims, h.
    pub swims: Vec<f64>,
    /// Share of its searching that a fry does, from 1 down to 0 at the point of no return; 0 unless swimming.
    pub vigour: Vec<f64>,
    /// Food eaten so far.
    pub eaten: Vec<f64>,
    /// Newly hatched brine shrimp eaten so far.
    pub weaning_items: Vec<u64>,
    /// Time at which its gut was last half full or more; −∞ before.
    pub half_full_at: Vec<f64>,
    /// Time since which it is past recovery; +∞ if it is not.
    pub weak_since: Vec<f64>,
    /// Time of its best mass so far.
    pub peak_at: Vec<f64>,
    stalled_left: Vec<f64>,
    known: Vec<Known>,
    /// Each fry's own stream of captures.
    pub streams: Vec<Xoshiro256PlusPlus>,
}

impl Shoal {
    /// The fry of a brood before the first swims.
    #[must_use]
    pub fn new(physiology: &Physiology, streams: &Streams, fry: u32) -> Self {
        let fish = &physiology.fish;
        let traits: Vec<Traits> = (0..fry).map(|i| Traits::draw(fish, streams, i)).collect();
        let n = traits.len();
        let gape_um = |length: f64| 1000.0 * fish.gape_share * length;
        let clearance = |t: &Traits| physiology.clearance_ml_h * (t.length_mm / CLEARANCE_LENGTH_MM).powi(3) * t.skill;
        Self {
            state: vec![State::Wriggler; n],
            swimming: Vec::with_capacity(n),
            mass: traits.iter().map(|t| t.mass_ug).collect(),
            peak: traits.iter().map(|t| t.mass_ug).collect(),
            yolk: traits.iter().map(|t| t.yolk_ug).collect(),
            gut: vec![0.0; n],
            gut_quality: vec![0.0; n],
            full: traits.iter().map(|t| t.mass_ug * fish.gut_share).collect(),
            since_capture: vec![f64::INFINITY; n],
            absorbed: vec![0.0; n],
            burnt_ug: 0.0,
            shrunk_ug: 0.0,
            allowance: vec![physiology.growth_per_h * 24.0; n],
            routine: traits.iter().map(|t| physiology.routine_ug_h(t.mass_ug)).collect(),
            length: traits.iter().map(|t| t.length_mm).collect(),
            place: traits.iter().map(|t| fit::place(gape_um(t.length_mm).ln())).collect(),
            clearance: traits.iter().map(|t| clearance(t) * fish.first_success).collect(),
            lively: vec![fish.lively_start; n],
            handling: traits.iter().map(|t| fish.usual_length_mm / t.length_mm).collect(),
            known: traits.iter().map(|t| Known::new(t, clearance(t))).collect(),
            limit: traits.iter().map(|t| t.limit).collect(),
            swims: traits.iter().map(|t| t.swims.hours()).collect(),
            vigour: vec![0.0; n],
            eaten: vec![0.0; n],
            weaning_items: vec![0; n],
            half_full_at: vec![f64::NEG_INFINITY; n],
            weak_since: vec![f64::INFINITY; n],
            peak_at: vec![0.0; n],
            stalled_left: traits.iter().map(|t| t.stalled_patience).collect(),
            streams: (0..fry).map(|i| streams.own(Source::Feeding, u64::from(i))).collect(),
            traits,
        }
    }

    /// Number of fry at the start.
    #[must_use]
    pub fn len(&self) -> usize {
        self.traits.len()
    }

    /// True for a brood without fry.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.traits.is_empty()
    }

    /// A fry begins to feed and to need food.
    pub fn swims_up(&mut self, physiology: &Physiology, i: usize, at: Moment) {
        if self.state[i] == State::Wriggler {
            self.state[i] = State::Swimming;
            self.peak_at[i] = at.hours();
            self.swimming.insert(self.swimming.partition_point(|&j| j < i), i);
            self.vigour[i] = physiology.vigour(self.ratio(i), self.limit[i]);
        }
    }

    /// A fry dies.
    pub fn dies(&mut self, i: usize) {
        self.stops_swimming(i, State::Dead);
    }

    /// A fry goes into the end of the feed tube and feeds no more.
    pub fn enters_tube(&mut self, i: usize) {
        self.stops_swimming(i, State::InTube);
    }

    fn stops_swimming(&mut self, i: usize, state: State) {
        if self.state[i] == State::Swimming {
            self.swimming.remove(self.swimming.partition_point(|&j| j < i));
        }
        self.state[i] = state;
        self.vigour[i] = 0.0;
    }

    /// Brings what moves within days up to date.
    ///
    /// Only the change since the last time is worked out, by series that are exact to a part in a million for the few
    /// parts in a hundred that a fry grows or practises in between.
    fn refresh(&mut self, physiology: &Physiology, i: usize, stretch: &Stretch, practised: bool) {
        let fish = &physiology.fish;
        let known = &mut self.known[i];
        if self.peak[i] > known.peak {
            let grown = ln_above(self.peak[i] / known.peak - 1.0) / fish.mass_exponent;
            known.peak = self.peak[i];
            let longer = exp_near_zero(grown);
            self.length[i] *= longer;
            self.handling[i] /= longer;
            self.place[i] += grown * fit::PLACES_PER_E_FOLD;
            known.clearance *= longer * longer * longer;
        }
        if practised {
            known.unpractised *= stretch.unpractised;
        }
        let success = fish.later_success - (fish.later_success - fish.first_success) * known.unpractised;
        self.clearance[i] = known.clearance * success;
        self.lively[i] = 1.0 - (1.0 - fish.lively_start) * known.unpractised;
        // (1 + x)^k to second order: within a stretch a fry gains or loses a part in a hundred.
        let (x, k) = (self.mass[i] / known.mass - 1.0, fish.routine_exponent);
        known.mass = self.mass[i];
        self.routine[i] *= 1.0 + k * x * (1.0 + 0.5 * (k - 1.0) * x);
    }

    /// Share of a class that a fry takes when it meets it, and the water it searches for it, mL/h.
    #[must_use]
    pub fn pull(&self, i: usize, fit: &FitTable, is_lively: bool) -> f64 {
        let lively = if is_lively { self.lively[i] } else { 1.0 };
        self.clearance[i] * lively * fit.accepted(self.place[i])
    }

    /// The same for every fry at once, into `pulls`.
    pub fn pulls(&self, fit: &FitTable, is_lively: bool, pulls: &mut [f64]) {
        let each = pulls.iter_mut().zip(&self.clearance).zip(&self.lively).zip(&self.place);
        for (((pull, clearance), lively), place) in each {
            let lively = if is_lively { *lively } else { 1.0 };
            *pull = clearance * lively * fit.accepted(*place);
        }
    }

    /// Mass left, yolk counted, against the best mass.
    #[must_use]
    pub fn ratio(&self, i: usize) -> f64 {
        (self.mass[i] + self.yolk[i]) / self.peak[i]
    }

    /// Takes a meal into the gut and what was digested out of it.
    pub fn digest(&mut self, physiology: &Physiology, i: usize, meal: &Meal, now_h: f64) {
        let in_gut = self.gut[i] + meal.caught;
        if in_gut <= 0.0 {
            return;
        }
        let fish = &physiology.fish;
        let gone = (meal.fast + meal.slow).min(in_gut);
        if meal.caught > 0.0 {
            self.gut_quality[i] = (self.gut_quality[i] * self.gut[i] + meal.worth) / in_gut;
            self.eaten[i] += meal.caught;
        }
        let left = in_gut - gone;
        self.gut[i] = left;
        self.absorbed[i] += self.gut_quality[i] * (fish.absorbed * gone + fish.absorbed_slow_gain * meal.slow);
        if left >= 0.5 * self.full[i] {
            self.half_full_at[i] = now_h;
        }
    }

    /// Pays for a stretch with what was absorbed in it, and grows or shrinks by the rest;
    /// then brings what follows from that up to date.
    ///
    /// Returns how its life ended within the stretch, if it did.
    pub fn settle(&mut self, physiology: &Physiology, i: usize, stretch: &Stretch) -> Option<End> {
        let fish = &physiology.fish;
        let Stretch { from_h, hours, .. } = *stretch;
        let fed_h = self.since_capture[i];
        let was_fed = fed_h.min(from_h - self.swims[i]) < FED_WITHIN_H;
        let burnt = if was_fed { stretch.burnt } else { stretch.burnt_unfed };
        let net = self.absorbed[i] * (1.0 - fish.growth_cost) - self.routine[i] * burnt;
        self.burnt_ug += self.absorbed[i] * fish.growth_cost + self.routine[i] * burnt;
        self.absorbed[i] = 0.0;

        let (mass_before, yolk_before) = (self.mass[i], self.yolk[i]);
        let allowed = (self.allowance[i] + stretch.allowance).min(stretch.most_allowance);
        self.allowance[i] = allowed;
        if net >= 0.0 {
            let grown = net.min(allowed * self.mass[i]);
            self.allowance[i] -= grown / self.mass[i];
            self.mass[i] += grown;
        } else {
            let from_yolk = (-net).min(self.yolk[i]);
            self.yolk[i] -= from_yolk;
            self.mass[i] -= -net - from_yolk;
            self.shrunk_ug -= net;
        }
        self.full[i] = fish.gut_share * self.mass[i];
        let now = from_h + hours;
        if self.mass[i] > self.peak[i] {
            self.peak[i] = self.mass[i];
            self.peak_at[i] = now;
        }
        self.refresh(physiology, i, stretch, fed_h < FED_WITHIN_H);
        let after = self.ratio(i);
        let limit = self.limit[i];
        self.vigour[i] = physiology.vigour(after, limit);
        if after > limit + NO_RETURN {
            self.weak_since[i] = f64::INFINITY;
        } else if self.weak_since[i].is_infinite() {
            self.weak_since[i] = now;
        }
        if after < limit {
            // Straight on from where it stood: when within the stretch it crossed its limit.
            let before = (mass_before + yolk_before) / self.peak[i];
            let share = if before > after { ((before - limit) / (before - after)).clamp(0.0, 1.0) } else { 1.0 };
            return Some(End::Starved(from_h + share * hours));
        }
        if physiology.stalled_per_h > 0.0 && now - self.peak_at[i] > STALLED_AFTER_H {
            self.stalled_left[i] -= physiology.stalled_per_h * hours;
            if self.stalled_left[i] < 0.0 {
                return Some(End::Stalled(now));
            }
        }
        None
    }
}

/// How a fry's life ended within a stretch, and when (hours since midnight of day 1).
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum End {
    /// It fell below its starvation limit.
    Starved(f64),
    /// It had not grown for too long.
    Stalled(f64),
}
