//! Many worlds, a few broods in each, every plan in all of them.
//!
//! All plans of a study face the same worlds, fry, late mornings and missed visits (see [`crate::chance`]), so that a
//! difference between two plans is a difference of the plans. Results are added up in the order of the worlds, never
//! in that of arrival: the same study, seed and build give the same numbers on any number of threads.

use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};

use rayon::prelude::*;

use crate::brood::diary::BroodRecord;
use crate::brood::{self, BroodSetup, Mode};
use crate::chance::{Source, Streams};
use crate::jar_tests::Prior;
use crate::outcome::{Comparison, FoodBand, Interval, Pair, Pull, Stopped};
use crate::statistics::{correlation, mean_interval, ranks, shuffle_threshold, spread, wilson};
use crate::study::{Plan, Study, StudyError};
use crate::tally::Tally;
use crate::worlds::{self, Block, World};

/// The most worlds drawn; further broods are further histories of the same worlds, so that memory stays bounded.
pub const MOST_WORLDS: u32 = 1000;
/// From this number of broods on, each world has two histories instead of one. Below, a brood's worth of work
/// tells more when spent on another world: what is unknown moves survival more than chance does.
const BROODS_FOR_TWO: u32 = 400;
/// No early stop before this many worlds: fewer would not tell what matters most.
const LEAST_WORLDS: u32 = 120;
/// Where plans stand on their own, the members of families only make curves: they are run in this share of the worlds,
/// but in no fewer than one block.
const CURVE_SHARE: u32 = 4;
/// Worlds handed out to the threads at once.
const WORLDS_AT_ONCE: u32 = 20;
/// Shuffles behind the threshold of what could be chance.
const SHUFFLES: usize = 200;

/// How to run a comparison.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settings {
    /// Seed of all random numbers.
    pub seed: u64,
    /// Broods for each plan, at most; rounded up to whole worlds.
    pub broods: u32,
    /// Stop early once the 95 % interval of the leading difference is this narrow to either side, in weaned fry out
    /// of 100.
    pub precision: Option<f64>,
    /// Hold every number at its most likely value: only chance within the brood is left.
    pub likely_only: bool,
}

impl Settings {
    /// Worlds to draw and broods in each.
    fn layout(&self) -> (u32, u32) {
        let broods = self.broods.max(1);
        let a_world = if self.likely_only || broods < BROODS_FOR_TWO { 1 } else { 2 };
        let worlds = broods.div_ceil(a_world).min(MOST_WORLDS);
        (worlds, broods.div_ceil(worlds))
    }
}

/// Why there is no comparison.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum CompareError {
    /// The study does not hold together.
    #[error(transparent)]
    Study(#[from] StudyError),
    /// It was interrupted before the first world was done.
    #[error("interrupted before the first world was done")]
    NothingDone,
}

/// A brood that has just been played.
#[derive(Debug, Clone, Copy)]
pub struct Played<'a> {
    /// Number of its world, counting from 1.
    pub number: u32,
    /// Number of the brood in that world, counting from 0.
    pub brood: u32,
    /// Index of its plan.
    pub plan: usize,
    /// The numbers of its world.
    pub world: &'a World,
    /// What became of it.
    pub record: &'a BroodRecord,
}

/// What to tell while it runs.
pub trait Watcher: Sync {
    /// So many of at most so many broods (over all plans) are done.
    fn progress(&self, done: u64, of: u64);

    /// A brood was played. Broods come as threads finish them, in no promised order.
    fn played(&self, _played: &Played<'_>) {}
}

impl Watcher for () {
    fn progress(&self, _done: u64, _of: u64) {}
}

/// Runs a study.
///
/// `interrupt`, once true, lets the broods under way finish and returns what is there, marked as interrupted. Runs on
/// the rayon pool it is called in.
///
/// # Errors
/// If the study does not hold together ([`Study::verify`]), or it was interrupted before the first world was done.
pub fn compare(
    study: &Study,
    settings: &Settings,
    watcher: &dyn Watcher,
    interrupt: &AtomicBool,
) -> Result<Comparison, CompareError> {
    study.verify()?;
    let (worlds, broods_a_world) = settings.layout();
    let prior = Prior::new(study, settings.seed, settings.likely_only);
    let curve_worlds = (worlds / CURVE_SHARE).max(worlds::BLOCK).min(worlds);
    let mut run = Run {
        study,
        prior: &prior,
        last_world: study.plans.iter().map(|plan| if is_curve(study, plan) { curve_worlds } else { worlds }).collect(),
        settings,
        broods_a_world,
        tallies: study.plans.iter().map(|plan| Tally::new(study, plan)).collect(),
        quantiles: vec![Vec::new(); prior.slots.len()],
        watcher,
        interrupt,
        total: 0,
        played: AtomicU64::new(0),
    };
    run.total = u64::from(broods_a_world) * run.last_world.iter().map(|&last| u64::from(last)).sum::<u64>();
    let mut stopped = Stopped::Broods;
    watcher.progress(0, run.total);
    'blocks: for first in (0..worlds).step_by(worlds::BLOCK as usize) {
        let count = worlds::BLOCK.min(worlds - first);
        let block = prior.block(first + 1, count);
        for from in (0..count).step_by(WORLDS_AT_ONCE as usize) {
            let batch = from..(from + WORLDS_AT_ONCE).min(count);
            let done: Vec<_> = batch.clone().into_par_iter().map(|w| run.world(&block, first, w)).collect();
            for (w, outcome) in batch.zip(done) {
                match outcome {
                    Some(records) => run.add(first + w + 1, block.quantiles(w as usize), &records),
                    None => stopped = Stopped::Interrupted,
                }
            }
            if stopped == Stopped::Interrupted {
                break 'blocks;
            }
        }
        let worlds_done = first + count;
        if worlds_done < worlds && worlds_done >= LEAST_WORLDS && run.is_known_well_enough() {
            stopped = Stopped::Precision;
            break;
        }
    }
    if run.tallies.iter().all(|tally| tally.rows.is_empty()) {
        return Err(CompareError::NothingDone);
    }
    let findings = prior.learnt.as_ref().map_or_else(Vec::new, |learnt| learnt.findings.clone());
    Ok(Comparison { jar_tests: findings, ..run.conclude(stopped) })
}

struct Run<'a> {
    study: &'a Study,
    prior: &'a Prior<'a>,
    settings: &'a Settings,
    broods_a_world: u32,
    /// For each plan the last world, counting from 1, in which it is run.
    last_world: Vec<u32>,
    tallies: Vec<Tally>,
    /// For each slot the quantile of each world.
    quantiles: Vec<Vec<f64>>,
    watcher: &'a dyn Watcher,
    interrupt: &'a AtomicBool,
    /// Broods to be played, and those played so far.
    total: u64,
    played: AtomicU64,
}

impl Run<'_> {
    /// All plans that are run in one world, by plan; `None` when interrupted before all were done.
    fn world(&self, block: &Block, first: u32, index: u32) -> Option<Vec<Vec<BroodRecord>>> {
        let world = self.prior.world(block, index);
        let number = first + index + 1;
        let one = |plan: usize, brood: u32| -> Option<BroodRecord> {
            if self.interrupt.load(Ordering::Relaxed) {
                return None;
            }
            let record = brood::run(&BroodSetup {
                study: self.study,
                plan,
                world: &world,
                streams: Streams::new(self.settings.seed, number, brood + 1),
                mode: Mode::Leaps,
                show_day: self.study.plans[plan].family.is_none(),
                forced: None,
            });
            self.watcher.played(&Played { number, brood, plan, world: &world, record: &record });
            self.watcher.progress(self.played.fetch_add(1, Ordering::Relaxed) + 1, self.total);
            Some(record)
        };
        let broods = |plan: usize| {
            let count = if number <= self.last_world[plan] { self.broods_a_world } else { 0 };
            (0..count).map(|brood| one(plan, brood)).collect()
        };
        (0..self.study.plans.len()).map(broods).collect()
    }

    fn add(&mut self, world: u32, quantiles: &[f64], records: &[Vec<BroodRecord>]) {
        let plans = self.tallies.iter_mut().zip(records).enumerate();
        for (plan, (tally, records)) in plans.filter(|(_, (_, records))| !records.is_empty()) {
            tally.add_world(world, plan, records);
        }
        for (column, quantile) in self.quantiles.iter_mut().zip(quantiles) {
            column.push(*quantile);
        }
    }

    /// The plan with most weaned fry, and the one the answer is told against. Where plans stand on their own, the
    /// members of families only make curves.
    fn leader_and_rival(&self) -> (usize, usize) {
        let plans = &self.study.plans;
        let mut order: Vec<usize> = (0..plans.len()).filter(|&p| !is_curve(self.study, &plans[p])).collect();
        order.sort_by(|&a, &b| {
            let (a, b) = (self.tallies[a].rank_key(), self.tallies[b].rank_key());
            b.0.total_cmp(&a.0).then(b.1.total_cmp(&a.1))
        });
        let leader = order[0];
        let next = order.get(1).copied().unwrap_or(leader);
        (leader, if leader == self.study.baseline { next } else { self.study.baseline })
    }

    /// Leader less other in every world in which both were run: those are the first ones.
    fn differences(&self, leader: usize, other: usize) -> Vec<f64> {
        let pairs = self.tallies[leader].weaned().into_iter().zip(self.tallies[other].weaned());
        pairs.map(|(a, b)| a - b).collect()
    }

    fn is_known_well_enough(&self) -> bool {
        let (leader, rival) = self.leader_and_rival();
        self.settings.precision.is_some_and(|precision| {
            let interval = mean_interval(&self.differences(leader, rival), 0.95);
            interval.high - interval.low <= 2.0 * precision
        })
    }

    fn conclude(self, stopped: Stopped) -> Comparison {
        let (leader, rival) = self.leader_and_rival();
        let worlds = self.tallies[leader].rows.len() as u32;
        let others = (0..self.study.plans.len()).filter(|&plan| plan != leader);
        let pairs = others.map(|plan| pair(plan, &self.differences(leader, plan))).collect();
        let (pulls, pull_threshold) = self.pulls(leader, rival);
        Comparison {
            seed: self.settings.seed,
            worlds,
            broods: worlds * self.broods_a_world,
            stopped,
            likely_only: self.settings.likely_only,
            plans: self.tallies.iter().map(Tally::result).collect(),
            bands: bands(self.study),
            leader,
            rival,
            pairs,
            pulls,
            pull_threshold,
            world_rows: rows_by_world(&self.tallies),
            jar_tests: Vec::new(),
            costs: Vec::new(),
        }
    }

    fn pulls(&self, leader: usize, rival: usize) -> (Vec<Pull>, f64) {
        let on_difference = ranks(&self.differences(leader, rival));
        let on_leader = ranks(&self.tallies[leader].weaned());
        debug_assert!(self.quantiles.iter().all(|column| column.len() == on_difference.len()));
        let columns: Vec<Vec<f64>> = self.quantiles.iter().map(|column| ranks(column)).collect();
        let mut rng = Streams::new(self.settings.seed, 0, 0).shared(Source::Shuffles);
        let threshold = shuffle_threshold(&columns, &on_difference, SHUFFLES, &mut rng);
        let mut pulls: Vec<Pull> = self
            .prior
            .slots
            .iter()
            .zip(&columns)
            .zip(&self.quantiles)
            .map(|((slot, column), quantiles)| Pull {
                name: slot.name.clone(),
                label: slot.label.clone(),
                unit: slot.unit.clone(),
                values: [slot.range.low(), slot.range.likely(), slot.range.high()],
                on_difference: correlation(column, &on_difference),
                on_leader: correlation(column, &on_leader),
                by_world: quantiles.iter().map(|&at| worlds::value_at(&slot.range, slot.scale, at)).collect(),
            })
            .collect();
        pulls.sort_by(|a, b| b.on_difference.abs().total_cmp(&a.on_difference.abs()));
        (pulls, if threshold.is_nan() { 1.0 } else { threshold })
    }
}

/// True for a plan that only adds a point to a curve: a member of a family, where plans stand on their own.
pub(crate) fn is_curve(study: &Study, plan: &Plan) -> bool {
    // The plan that the answer is told against is never only a point of a curve.
    let is_baseline = study.plans.get(study.baseline).is_some_and(|baseline| std::ptr::eq(baseline, plan));
    plan.family.is_some() && !is_baseline && study.plans.iter().filter(|plan| plan.family.is_none()).count() >= 2
}

/// One plan against the leader.
fn pair(plan: usize, differences: &[f64]) -> Pair {
    let n = differences.len() as f64;
    let won = differences.iter().filter(|d| **d > 0.0).count() as f64;
    let lost = differences.iter().filter(|d| **d < 0.0).count() as f64;
    let of_100 = |worlds: f64| if n > 0.0 { 100.0 * worlds / n } else { 0.0 };
    let better_95 = wilson(won, n, 0.95);
    Pair {
        plan,
        difference: spread(differences.iter().copied()),
        mean_80: mean_interval(differences, 0.80),
        mean_95: mean_interval(differences, 0.95),
        better: of_100(won),
        same: of_100(n - won - lost),
        better_95: Interval { low: 100.0 * better_95.low, high: 100.0 * better_95.high },
    }
}

fn rows_by_world(tallies: &[Tally]) -> Vec<crate::outcome::WorldRow> {
    let worlds = tallies.iter().map(|tally| tally.rows.len()).max().unwrap_or(0);
    (0..worlds).flat_map(|w| tallies.iter().filter_map(move |tally| tally.rows.get(w).copied())).collect()
}

/// For each plan the foods it offers, with their widths and days, at likely values.
fn bands(study: &Study) -> Vec<Vec<FoodBand>> {
    study.plans.iter().map(|plan| bands_of(study, plan)).collect()
}

fn bands_of(study: &Study, plan: &Plan) -> Vec<FoodBand> {
    let tenth = 1.281_551_565_5; // Standard normal score of the 90 % point.
    let mut bands = Vec::new();
    for (index, food) in study.foods.iter().enumerate() {
        let offered = study.days_offered(plan, index);
        if !offered.is_empty() {
            let n = &food.numbers;
            let limbs = n.limb_factor.likely();
            let at = |score: f64| {
                (n.width_um.likely() * (n.width_spread.likely() * score).exp()).min(n.largest_um.likely()) * limbs
            };
            bands.push(FoodBand { name: food.name.clone(), width_um: [at(-tenth), at(0.0), at(tenth)], offered });
        }
    }
    bands
}
