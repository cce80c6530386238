//! What the equipment does to fry: the end of the feed tube under water, and water over the rim.
//!
//! Each fry bears so much hazard (its patience, a unit exponential that is its own under every plan); when the hazard it
//! has been through since it swims exceeds that, it is gone.

use super::{Brood, BroodSetup};
use crate::fry::traits::Traits;
use crate::outcome::Cause;
use crate::outlet::Passed;

/// The hazards of a brood so far.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Dangers {
    /// Height of the feed tube's end above the still water, mm; beyond any level without a feed line.
    pub(super) tube_end_mm: f64,
    entry_per_h: f64,
    rim_share: f64,
    /// Hazard at the tube and at the rim so far.
    tube: f64,
    rim: f64,
    /// Hazard by ammonia and by lack of oxygen so far.
    ammonia: f64,
    oxygen: f64,
    /// What of each had passed when each fry began to swim, in the order of [`Dangers::so_far`].
    before: Vec<[f64; 4]>,
    /// The hazards when it was last looked who has borne too much.
    looked_at: [f64; 4],
    /// Fry in the tube: they die when the pump next runs.
    in_tube: Vec<usize>,
}

impl Dangers {
    pub(super) fn new(setup: &BroodSetup) -> Self {
        let plan = &setup.study.plans[setup.plan];
        let line = plan.line.as_ref().map(|line| &setup.world.lines[line.line]);
        Self {
            tube_end_mm: line.map_or(f64::INFINITY, |line| line.end_mm),
            entry_per_h: line.map_or(0.0, |line| line.entry_per_h),
            rim_share: setup.world.outlets[plan.tub].as_ref().map_or(0.0, |outlet| outlet.rim_share),
            tube: 0.0,
            rim: 0.0,
            ammonia: 0.0,
            oxygen: 0.0,
            before: vec![[0.0; 4]; setup.study.fry as usize],
            looked_at: [0.0; 4],
            in_tube: Vec::new(),
        }
    }

    /// A share of the tub's water has gone over the rim.
    pub(super) fn spills(&mut self, share: f64) {
        self.rim += self.rim_share * share;
    }

    /// Fouled water has passed.
    pub(super) fn fouled(&mut self, by_ammonia: f64, by_oxygen: f64) {
        self.ammonia += by_ammonia;
        self.oxygen += by_oxygen;
    }

    /// Hazard at rim, by lack of oxygen, by ammonia and at the tube so far: in the order in which a fry that could have
    /// died of several in one step is counted.
    fn so_far(&self) -> [f64; 4] {
        [self.rim, self.oxygen, self.ammonia, self.tube]
    }

    /// A fry begins to swim.
    pub(super) fn swims_up(&mut self, fry: usize) {
        self.before[fry] = self.so_far();
    }

    /// Which of its patiences a fry has come to the end of: the first in the order of [`Dangers::so_far`].
    fn ended(&self, fry: usize, born: &Traits) -> Option<usize> {
        let borne = [born.rim_patience, born.oxygen_patience, born.ammonia_patience, born.tube_patience];
        (0..4).find(|&k| self.so_far()[k] - self.before[fry][k] > borne[k])
    }
}

impl Brood<'_> {
    /// Puts the fry through what the water did in a step that ends now.
    pub(super) fn endanger(&mut self, passed: &Passed) {
        // While the pump runs its stream keeps the fry off.
        if self.inflows.is_empty() {
            self.dangers.tube += self.dangers.entry_per_h * passed.above_h;
        }
        self.dangers.spills(passed.rim_ml / self.tub.volume_ml);
        if self.tub.outlet.is_some() {
            self.diary.level(self.now, passed);
        }
        if self.dangers.so_far() != self.dangers.looked_at {
            self.lose_to_dangers();
        }
    }

    fn lose_to_dangers(&mut self) {
        self.dangers.looked_at = self.dangers.so_far();
        let ended = |&i: &usize| Some((i, self.dangers.ended(i, &self.shoal.traits[i])?));
        let lost: Vec<(usize, usize)> = self.shoal.swimming.iter().filter_map(ended).collect();
        if lost.is_empty() {
            return;
        }
        self.settle();
        for (i, by) in lost {
            let cause = [Cause::OverRim, Cause::NoOxygen, Cause::Ammonia, Cause::FeedTube][by];
            if cause == Cause::FeedTube {
                self.shoal.enters_tube(i);
                self.dangers.in_tube.push(i);
            } else {
                self.bury(i, self.now.hours(), cause);
            }
        }
    }

    /// The pump runs, or the brood ends: fry in the tube are dead.
    pub(super) fn tube_kills(&mut self) {
        for i in std::mem::take(&mut self.dangers.in_tube) {
            self.bury(i, self.now.hours(), Cause::FeedTube);
        }
    }
}
