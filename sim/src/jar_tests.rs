//! What settling tests in a jar tell: Bayes' rule over worlds.
//!
//! Many candidate worlds are drawn for the numbers that decide how a food settles; each is weighted by how well it
//! foretells the readings (normal error of reading), and the worlds of a comparison take these numbers from candidates
//! chosen by weight. All other numbers keep their own draws. (Importance sampling with resampling: Rubin 1988,
//! "Using the SIR algorithm to simulate posterior distributions", Bayesian Statistics 3; citation from memory.)

use rand::RngExt;
use rand::seq::SliceRandom;

use crate::chance::{Source, Streams};
use crate::feedline::floor::dead_share;
use crate::feedline::vessel::{Habits, LIVES_AT_C, Vessel};
use crate::food::batch::sinking_speeds_mm_s;
use crate::outcome::{JarFinding, JarLearnt, Spread};
use crate::statistics::spread;
use crate::study::{FoodSort, JarKind, JarTest, Study};
use crate::worlds::{self, Block, Drawn, Slot, World};

/// Candidates drawn in a round.
const CANDIDATES: u32 = 3000;
/// More rounds are drawn until so many effective candidates are found: several careful tests leave few of the first.
const ENOUGH: f64 = 100.0;
/// The most rounds.
const MOST_ROUNDS: u32 = 8;
/// Candidates that a finding is told from.
const TOLD: u32 = 1000;
/// Fewer effective candidates than this: hardly any world explains the readings.
const FEW: f64 = 15.0;
/// A best candidate that is off by more than so many errors of any one reading: likewise.
const FAR: f64 = 3.0;
/// Numbers that decide how fast particles sink.
const OF_PARTICLES: [&str; 5] = ["width_um", "width_spread", "largest_um", "wet_kg_m3", "shape_factor"];
/// The number of animals that sink.
const OF_SINKERS: [&str; 1] = ["sink_mm_s"];
/// Number that decides, beside those of the reservoir, how much of a food stays where it lands.
const STICKING: &str = "stick_chance";
/// Numbers that decide where it stays.
const OF_RESERVOIR: [&str; 4] = ["dead_floor", "slide_s", "lift_pa", "stone_mm"];

/// What the jar tests of a study told.
#[derive(Debug, Clone, PartialEq)]
pub struct Learnt {
    /// Places, among all slots, of the numbers that were learnt about.
    touched: Vec<usize>,
    /// Quantiles of each candidate, in the order of `touched`.
    candidates: Vec<Vec<f64>>,
    /// Weights of the candidates, summed up.
    summed: Vec<f64>,
    /// How far each food's tests narrowed what was not known.
    pub findings: Vec<JarFinding>,
}

/// Where the worlds of a study come from: its uncertain numbers, and what its jar tests tell of them.
pub(crate) struct Prior<'a> {
    study: &'a Study,
    seed: u64,
    likely_only: bool,
    /// The uncertain numbers; none where each is held at its most likely value.
    pub(crate) slots: Vec<Slot>,
    /// What the jar tests told.
    pub(crate) learnt: Option<Learnt>,
}

impl<'a> Prior<'a> {
    pub(crate) fn new(study: &'a Study, seed: u64, likely_only: bool) -> Self {
        let slots = if likely_only { Vec::new() } else { worlds::uncertain(study) };
        Self { learnt: learn(study, &slots, seed), study, seed, likely_only, slots }
    }

    /// Draws worlds `first .. first + count` (numbered from 1).
    pub(crate) fn block(&self, first: u32, count: u32) -> Block {
        let mut block = Block::draw(&self.slots, self.seed, first, count);
        if let Some(learnt) = &self.learnt {
            learnt.teach(&mut block, self.seed, first);
        }
        block
    }

    /// The block's world `index` with its values.
    pub(crate) fn world(&self, block: &Block, index: u32) -> World {
        if self.likely_only { worlds::likely(self.study) } else { block.world(self.study, index as usize) }
    }
}

/// Learns from the jar tests of a study; `None` if it has none, or nothing uncertain that they tell of.
#[must_use]
pub fn learn(study: &Study, slots: &[Slot], seed: u64) -> Option<Learnt> {
    let touched: Vec<usize> = (0..slots.len()).filter(|&at| is_touched(study, &slots[at].name)).collect();
    if study.jar_tests.is_empty() || touched.is_empty() {
        return None;
    }
    let some: Vec<Slot> = touched.iter().map(|&at| slots[at].clone()).collect();
    // Of each candidate, the sum of the squares by which it is off, in errors of reading, and the worst of them.
    let misfit = |drawn: &Drawn| -> (f64, f64) {
        let off = |test: &JarTest| (foretell(study, drawn, test) - test.in_suspension) / test.reading_error.max(1e-3);
        study.jar_tests.iter().map(off).fold((0.0, 0.0), |(sum, worst), off| (sum + off * off, off.abs().max(worst)))
    };
    let told = told_of(study);
    let mut candidates = Vec::new();
    let mut misfits: Vec<(f64, f64)> = Vec::new();
    let mut values = vec![Vec::new(); told.len()];
    let (mut weights, mut worst, mut effective) = (Vec::new(), 0.0, 0.0);
    for round in 0..MOST_ROUNDS {
        // Numbered as no world of a comparison is.
        let block = Block::draw_some(&some, seed, 0_u32.wrapping_sub(round), CANDIDATES);
        for index in 0..CANDIDATES as usize {
            let drawn = block.drawn(study, index);
            misfits.push(misfit(&drawn));
            for (values, &(food, what)) in values.iter_mut().zip(&told) {
                values.push(of_interest(study, &drawn, food, what));
            }
        }
        candidates.extend(block.quantiles);
        let best = misfits.iter().copied().fold((f64::INFINITY, 0.0), |a, b| if b.0 < a.0 { b } else { a });
        worst = best.1;
        weights = misfits.iter().map(|(misfit, _)| (-0.5 * (misfit - best.0)).exp()).collect();
        effective = effective_count(&weights);
        if effective >= ENOUGH {
            break;
        }
    }
    let is_surprise = effective < FEW || worst > FAR;
    let summed = weights.iter().scan(0.0, |sum, weight| {
        *sum += weight;
        Some(*sum)
    });
    let mut learnt = Learnt { touched, candidates, summed: summed.collect(), findings: Vec::new() };
    let chosen = learnt.choose(seed, 0, TOLD);
    for ((food, what), values) in told.into_iter().zip(values) {
        let after: Spread = spread(chosen.iter().map(|&index| values[index]));
        learnt.findings.push(JarFinding { food, what, before: spread(values), after, is_surprise });
    }
    Some(learnt)
}

/// Candidates of equal weight that would tell as much (Kish 1965, Survey Sampling; from memory).
fn effective_count(weights: &[f64]) -> f64 {
    let sum: f64 = weights.iter().sum();
    sum * sum / weights.iter().map(|weight| weight * weight).sum::<f64>()
}

impl Learnt {
    /// Gives the worlds `first .. first + count` (numbered from 1) of a block the numbers of candidates chosen by weight.
    pub fn teach(&self, block: &mut Block, seed: u64, first: u32) {
        let chosen = self.choose(seed, first, block.quantiles.len() as u32);
        for (world, index) in block.quantiles.iter_mut().zip(chosen) {
            for (&at, quantile) in self.touched.iter().zip(&self.candidates[index]) {
                world[at] = *quantile;
            }
        }
    }

    /// Chooses candidates by weight, evenly (systematic resampling), in random order.
    fn choose(&self, seed: u64, first: u32, count: u32) -> Vec<usize> {
        let mut rng = Streams::new(seed, first, 0).shared(Source::JarTests);
        let all = self.summed.last().copied().unwrap_or(0.0);
        let offset: f64 = rng.random();
        let pick = |k: u32| {
            let at = (f64::from(k) + offset) / f64::from(count) * all;
            self.summed.partition_point(|&sum| sum <= at).min(self.summed.len() - 1)
        };
        let mut chosen: Vec<usize> = (0..count).map(pick).collect();
        chosen.shuffle(&mut rng);
        chosen
    }
}

/// True for a number that at least one test tells something of.
fn is_touched(study: &Study, name: &str) -> bool {
    let Some((group, key)) = name.split_once(": ") else { return false };
    study.jar_tests.iter().any(|test| {
        let food = &study.foods[test.food];
        let of_speed: &[&str] = match food.sort {
            FoodSort::Swimmer => return false,
            FoodSort::Sinker => &OF_SINKERS,
            FoodSort::Particle => &OF_PARTICLES,
        };
        let is_stirred = matches!(test.how, JarKind::Stirred { .. });
        let tells_of_food = of_speed.contains(&key) || (is_stirred && key == STICKING);
        (group == food.name && tells_of_food) || (group == "reservoir" && is_stirred && OF_RESERVOIR.contains(&key))
    })
}

/// What the tests tell of: the sinking speed of each food tested, and where it stays in each reservoir that it was
/// tested in.
fn told_of(study: &Study) -> Vec<(usize, JarLearnt)> {
    let mut told = Vec::new();
    for test in &study.jar_tests {
        let mut note = |what: JarLearnt| {
            if !told.contains(&(test.food, what)) {
                told.push((test.food, what));
            }
        };
        note(JarLearnt::SinkingSpeed);
        if let JarKind::Stirred { reservoir, .. } = test.how {
            note(JarLearnt::StayingShare(reservoir));
        }
    }
    told
}

fn of_interest(study: &Study, drawn: &Drawn, food: usize, what: JarLearnt) -> f64 {
    let numbers = &drawn.foods[food];
    match what {
        JarLearnt::SinkingSpeed => {
            let classes = sinking_speeds_mm_s(study.foods[food].sort, numbers, LIVES_AT_C);
            let mean = |speeds: &Vec<f64>| speeds.iter().sum::<f64>() / speeds.len() as f64;
            classes.iter().map(mean).sum::<f64>() / classes.len() as f64
        }
        JarLearnt::StayingShare(place) => {
            let of_test = |test: &&JarTest| {
                test.food == food && matches!(test.how, JarKind::Stirred { reservoir, .. } if reservoir == place)
            };
            let volume = study.jar_tests.iter().find(of_test).map_or(0.0, |test| match test.how {
                JarKind::Stirred { volume_ml, .. } => volume_ml,
                JarKind::Still { .. } => 0.0,
            });
            let reservoir = &study.reservoirs[place];
            let dead = dead_share(reservoir, &drawn.reservoirs[place], reservoir.shape.height_mm(volume));
            dead + (1.0 - dead) * numbers.stick_chance
        }
    }
}

/// Share of a food still in suspension that a world foretells for a test, 0 to 1.
pub(crate) fn foretell(study: &Study, drawn: &Drawn, test: &JarTest) -> f64 {
    let sort = study.foods[test.food].sort;
    let numbers = &drawn.foods[test.food];
    match test.how {
        JarKind::Still { height_mm, celsius } => {
            let left = |speed: f64| (1.0 - speed * 60.0 * test.after_min / height_mm).max(0.0);
            let classes = sinking_speeds_mm_s(sort, numbers, celsius);
            let of_class = |speeds: &Vec<f64>| speeds.iter().map(|&w| left(w)).sum::<f64>() / speeds.len() as f64;
            classes.iter().map(of_class).sum::<f64>() / classes.len() as f64
        }
        JarKind::Stirred { reservoir, volume_ml } => {
            let place = &drawn.reservoirs[reservoir];
            let classes = sinking_speeds_mm_s(sort, numbers, place.temperature_c);
            let habits = |speeds: &Vec<f64>| {
                let speed = speeds.iter().sum::<f64>() / speeds.len() as f64;
                let stick = numbers.stick_chance;
                Habits { fresh_mm_s: speed, stale_mm_s: speed, stick, ageing_per_h: 0.0, stages: 1 }
            };
            let count = classes.len() as f64;
            let mut vessel = Vessel::new(&study.reservoirs[reservoir], place, classes.iter().map(habits).collect());
            vessel.refill(volume_ml, (0..classes.len()).map(|class| (class, 1.0)));
            vessel.wait(test.after_min / 60.0);
            vessel.stocks.iter().map(|stock| stock.fresh.suspended).sum::<f64>() / count
        }
    }
}
