//! What one setback costs: the same brood played with it and without it.
//!
//! A setback is forced, not drawn: one late morning, one power cut at the hour that harms most, one water change
//! forgotten. Both broods share all their random streams, so that the difference is the setback's.

use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};

use rayon::prelude::*;

use crate::brood::diary::BroodRecord;
use crate::brood::{self, BroodSetup, Mode};
use crate::chance::Streams;
use crate::clock::{Moment, Span};
use crate::jar_tests::Prior;
use crate::mishaps::{Kind, Mishap};
use crate::monte_carlo::{Watcher, is_curve};
use crate::outcome::Cost;
use crate::statistics::{mean_interval, spread};
use crate::study::{Plan, Study};
use crate::worlds::{self, World};

/// How late the late morning is, h.
pub const LATE_H: f64 = 3.0;
/// How long the power is off, h.
pub const CUT_H: f64 = 4.0;
/// By how many days a culture is late.
pub const CULTURE_LATE_D: u32 = 2;
/// A setback that costs so many weaned fry of 100 is counted as hard.
pub const HARD: f64 = 10.0;

/// At most so many days are tried for the moment of most harm, evenly spread.
const MOST_DAYS_TRIED: usize = 14;
/// Power cuts are tried at every such hour, h.
const CUTS_TRIED_EVERY_H: u32 = 4;
/// Broods played in search of the worst moment of one setback, about, and for one moment at most.
const BROODS_SEARCHED: u32 = 40;
/// See [`BROODS_SEARCHED`].
const MOST_BROODS_A_MOMENT: u32 = 4;
/// What waits for the keeper's next visit strikes so long after one, h: a late keeper has left by then.
const AFTER_VISIT_H: f64 = 2.0;

/// Something that happens once.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Setback {
    /// The day's first visit is [`LATE_H`] late.
    LateMorning,
    /// The day's first visit does not happen.
    MissedMorning,
    /// The water is not changed on a day on which it should be.
    SkippedChange,
    /// The power is off for [`CUT_H`].
    PowerCut,
    /// The air stone stops until the next visit.
    AirStop,
    /// The feed line clogs until the next visit.
    Clog,
    /// The feed tube slips until the next visit.
    Slip,
    /// A culture (index of its food in the study) is ready [`CULTURE_LATE_D`] days after it was to be fed first.
    LateCulture(usize),
}

/// A setback that a brood is put through.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Forced {
    /// What happens.
    pub setback: Setback,
    /// When; of a visit or a water change only the day counts.
    pub at: Moment,
}

impl Forced {
    /// The mishap that it is, if it is one.
    #[must_use]
    pub fn mishap(&self) -> Option<Mishap> {
        let (kind, hours) = match self.setback {
            Setback::PowerCut => (Kind::PowerCut, CUT_H),
            Setback::AirStop => (Kind::AirStop, 0.0),
            Setback::Clog => (Kind::Clog, 0.0),
            Setback::Slip => (Kind::Slip, 0.0),
            _ => return None,
        };
        Some(Mishap { at: self.at, kind, lasts: Span::from_hours(hours), lot: 0.0 })
    }
}

/// The setbacks that can strike some plan of a study, in the order in which reports show them.
///
/// Visits are late and changes forgotten anywhere; a mishap only where the study describes it and does not switch it off.
#[must_use]
pub fn possible(study: &Study) -> Vec<Setback> {
    let mishaps = study.mishaps.as_ref();
    let may = |is_on: fn(&crate::study::Mishaps) -> bool| mishaps.is_some_and(is_on);
    let has_line = study.plans.iter().any(|plan| plan.line.is_some());
    let listed = [
        (Setback::LateMorning, true),
        (Setback::MissedMorning, true),
        (Setback::SkippedChange, study.keeper.changed_share.high() > 0.0),
        (Setback::PowerCut, may(|m| m.power_cut)),
        (Setback::AirStop, may(|m| m.air_stop) && study.tubs.iter().any(|tub| tub.air)),
        (Setback::Clog, may(|m| m.clog) && has_line),
        (Setback::Slip, may(|m| m.slip) && has_line),
    ];
    let listed = listed.into_iter().filter_map(|(setback, can)| can.then_some(setback));
    listed.chain(study.cultures.iter().map(|culture| Setback::LateCulture(culture.food))).collect()
}

/// How to try setbacks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SetbackSettings {
    /// Seed of all random numbers.
    pub seed: u64,
    /// Worlds in which every setback is tried: the first of those that a comparison of the same seed draws, if that plays
    /// a whole block of them ([`worlds::BLOCK`]).
    pub worlds: u32,
    /// Hold every number at its most likely value.
    pub likely_only: bool,
}

/// One plan and one setback, with the moment at which it strikes.
#[derive(Debug, Clone, Copy)]
struct Trial {
    plan: usize,
    forced: Forced,
}

/// Weaned and living fry out of 100.
#[derive(Debug, Clone, Copy)]
struct Fared {
    weaned: f64,
    alive: f64,
}

/// What every setback costs every plan that stands on its own, by plan, then in the order of [`possible`].
///
/// First the moment of most harm is looked for with every number at its likely value; then the setback strikes at that
/// moment in so many worlds. An `interrupt` lets the broods under way finish; what was found in whole worlds up to then is
/// given. Runs on the rayon pool it is called in.
#[must_use]
pub fn costs(study: &Study, settings: &SetbackSettings, watcher: &dyn Watcher, interrupt: &AtomicBool) -> Vec<Cost> {
    if settings.worlds == 0 || study.verify().is_err() {
        return Vec::new();
    }
    let plans: Vec<usize> = (0..study.plans.len()).filter(|&p| !is_curve(study, &study.plans[p])).collect();
    let setbacks = possible(study);
    let pairs = plans.iter().flat_map(|&plan| setbacks.iter().map(move |&setback| (plan, setback)));
    let pairs: Vec<(usize, Setback, Vec<Moment>)> =
        pairs.map(|(p, s)| (p, s, moments(study, &study.plans[p], s))).filter(|(.., at)| !at.is_empty()).collect();
    let searched: usize = pairs.iter().map(|(.., at)| at.len() * broods_searched(at.len()) as usize).sum();
    let total = (searched + settings.worlds as usize * (pairs.len() + plans.len())) as u64;
    let done = AtomicU64::new(0);
    watcher.progress(0, total);

    let likely = worlds::likely(study);
    // Nothing, once interrupted.
    let play = |plan: usize, world: &World, streams: Streams, forced: Option<Forced>| -> Option<BroodRecord> {
        if interrupt.load(Ordering::Relaxed) {
            return None;
        }
        let record =
            brood::run(&BroodSetup { study, plan, world, streams, mode: Mode::Leaps, show_day: false, forced });
        watcher.progress(done.fetch_add(1, Ordering::Relaxed) + 1, total);
        Some(record)
    };
    let worst = |&(plan, setback, ref moments): &(usize, Setback, Vec<Moment>)| -> Option<Trial> {
        let strike = |&at: &Moment| {
            let forced = Forced { setback, at };
            let mut sum = (0.0, 0.0);
            for brood in 1..=broods_searched(moments.len()) {
                let of_one = harm(&play(plan, &likely, Streams::new(settings.seed, 0, brood), Some(forced))?);
                sum = (sum.0 + of_one.0, sum.1 + of_one.1);
            }
            Some((sum, Trial { plan, forced }))
        };
        let tried = moments.iter().map(strike).collect::<Option<Vec<_>>>()?;
        // Of equals the first: `max_by` would take the last.
        tried.into_iter().rev().max_by(|a, b| a.0.partial_cmp(&b.0).unwrap_or(std::cmp::Ordering::Equal)).map(|t| t.1)
    };
    let Some(trials) = pairs.par_iter().map(worst).collect::<Option<Vec<Trial>>>() else { return Vec::new() };

    let prior = Prior::new(study, settings.seed, settings.likely_only);
    let mut lost: Vec<Vec<Fared>> = vec![Vec::new(); trials.len()];
    for first in (0..settings.worlds).step_by(worlds::BLOCK as usize) {
        let block = prior.block(first + 1, worlds::BLOCK);
        let in_world = |index: u32| -> Option<Vec<Fared>> {
            let number = first + index + 1;
            let world = prior.world(&block, index);
            let fare = |plan: usize, forced: Option<Forced>| {
                play(plan, &world, Streams::new(settings.seed, number, 1), forced).as_ref().map(fared)
            };
            let without = plans.iter().map(|&plan| fare(plan, None)).collect::<Option<Vec<Fared>>>()?;
            let each = trials.iter().map(|trial| {
                let place = plans.iter().position(|&plan| plan == trial.plan)?;
                let (with, without) = (fare(trial.plan, Some(trial.forced))?, without[place]);
                Some(Fared { weaned: without.weaned - with.weaned, alive: without.alive - with.alive })
            });
            each.collect()
        };
        let count = worlds::BLOCK.min(settings.worlds - first);
        let found: Vec<Option<Vec<Fared>>> = (0..count).into_par_iter().map(in_world).collect();
        for world in found.into_iter().flatten() {
            lost.iter_mut().zip(world).for_each(|(all, one)| all.push(one));
        }
    }
    let told = trials.iter().zip(&lost).filter(|(_, lost)| !lost.is_empty());
    told.map(|(trial, lost)| cost(trial, lost)).collect()
}

/// Broods in which each of so many moments is tried: the fewer, the better each can be known.
fn broods_searched(moments: usize) -> u32 {
    if moments <= 1 { 1 } else { (BROODS_SEARCHED / moments as u32).clamp(1, MOST_BROODS_A_MOMENT) }
}

/// The moments at which a setback might strike a plan; none if it cannot.
fn moments(study: &Study, plan: &Plan, setback: Setback) -> Vec<Moment> {
    let visits = |day: u32| plan.week[study.weekday(day)].visits.iter().map(move |&at| Moment::on_day(day, at));
    let all: Vec<u32> = (1..=study.days).collect();
    let visited: Vec<u32> = all.iter().copied().filter(|&day| visits(day).next().is_some()).collect();
    match setback {
        Setback::LateMorning | Setback::MissedMorning | Setback::SkippedChange => {
            some_of(&visited).filter_map(|day| visits(day).next()).collect()
        }
        Setback::PowerCut => {
            let hours = (0..24).step_by(CUTS_TRIED_EVERY_H as usize);
            some_of(&all)
                .flat_map(|day| hours.clone().map(move |h| Moment::start_of_day(day) + Span::from_hours(f64::from(h))))
                .collect()
        }
        Setback::AirStop if !study.tubs[plan.tub].air => Vec::new(),
        Setback::Clog | Setback::Slip if plan.line.is_none() => Vec::new(),
        // Nobody comes to put it right: one hour of a day is much like another.
        Setback::AirStop | Setback::Clog | Setback::Slip if visited.is_empty() => {
            some_of(&all).map(Moment::start_of_day).collect()
        }
        // What waits for the keeper does most harm soon after a visit; the next one may be long in coming.
        Setback::AirStop | Setback::Clog | Setback::Slip => some_of(&visited)
            .flat_map(|day| visits(day).map(|at| at + Span::from_hours(AFTER_VISIT_H)).collect::<Vec<_>>())
            .collect(),
        Setback::LateCulture(food) => {
            study.days_offered(plan, food).first().map(|&(day, _)| Moment::start_of_day(day)).into_iter().collect()
        }
    }
}

/// At most [`MOST_DAYS_TRIED`] of some days, evenly spread.
fn some_of(days: &[u32]) -> impl Iterator<Item = u32> + '_ {
    days.iter().copied().step_by(days.len().div_ceil(MOST_DAYS_TRIED).max(1))
}

/// How badly a brood fared, most weighty first: weaned and living fry lost, then how far the oxygen fell.
fn harm(record: &BroodRecord) -> (f64, f64) {
    let Fared { weaned, alive } = fared(record);
    let water = record.water.iter().flat_map(|water| &water.oxygen_mg_l);
    (-weaned - alive, -water.copied().fold(f64::INFINITY, f64::min))
}

fn fared(record: &BroodRecord) -> Fared {
    let of_100 = |count: usize| 100.0 * count as f64 / record.fry as f64;
    Fared { weaned: of_100(record.weaned), alive: of_100(record.alive) }
}

fn cost(trial: &Trial, lost: &[Fared]) -> Cost {
    let weaned: Vec<f64> = lost.iter().map(|lost| lost.weaned).collect();
    let hard = weaned.iter().filter(|&&lost| lost >= HARD).count();
    let at = trial.forced.at;
    Cost {
        plan: trial.plan,
        setback: trial.forced.setback,
        day: at.day(),
        hour: (at - Moment::start_of_day(at.day())).hours(),
        worlds: lost.len() as u32,
        lost: spread(weaned.iter().copied()),
        mean_80: mean_interval(&weaned, 0.80),
        mean_95: mean_interval(&weaned, 0.95),
        alive_lost: lost.iter().map(|lost| lost.alive).sum::<f64>() / lost.len() as f64,
        hard: 100.0 * hard as f64 / lost.len() as f64,
    }
}
