//! What the equipment does to fry: the end of the feed tube under water, and water over the rim.
//!
//! Each fry bears so much hazard (its patience, a unit exponential that is its own under every plan); when the hazard it
//! has been through since it swims exceeds that, it is gone.

use super::{Brood, BroodSetup};
use crate::fry::shoal::State;
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
    /// What of it had passed when each fry began to swim.
    before: Vec<(f64, f64)>,
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
            before: vec![(0.0, 0.0); setup.study.fry as usize],
            in_tube: Vec::new(),
        }
    }

    /// A fry begins to swim.
    pub(super) fn swims_up(&mut self, fry: usize) {
        self.before[fry] = (self.tube, self.rim);
    }
}

impl Brood<'_> {
    /// A share of the tub's water has gone over the rim at once, as when a dose is poured in.
    pub(super) fn spills(&mut self, share: f64) {
        self.bear(0.0, self.dangers.rim_share * share);
    }

    /// Puts the fry through what the water did in a step that ends now.
    pub(super) fn endanger(&mut self, passed: &Passed) {
        // While the pump runs its stream keeps the fry off.
        let open_h = if self.inflows.is_empty() { passed.above_h } else { 0.0 };
        let over = passed.rim_ml / self.tub.volume_ml;
        if self.tub.outlet.is_some() {
            self.diary.level(self.now, passed);
        }
        self.bear(self.dangers.entry_per_h * open_h, self.dangers.rim_share * over);
    }

    /// Puts the fry through so much hazard at the tube and at the rim, and takes out those for whom it was too much.
    fn bear(&mut self, at_tube: f64, at_rim: f64) {
        if at_tube <= 0.0 && at_rim <= 0.0 {
            return;
        }
        self.dangers.tube += at_tube;
        self.dangers.rim += at_rim;
        let Dangers { tube, rim, before, .. } = &self.dangers;
        let lost = |&&i: &&usize| {
            let born = &self.shoal.traits[i];
            (tube - before[i].0 > born.tube_patience, rim - before[i].1 > born.rim_patience) != (false, false)
        };
        let lost: Vec<usize> = self.shoal.swimming.iter().filter(lost).copied().collect();
        if lost.is_empty() {
            return;
        }
        self.settle();
        // Settling may have found that some had starved before.
        let swims = |i: &usize| self.shoal.state[*i] == State::Swimming;
        let lost: Vec<usize> = lost.into_iter().filter(swims).collect();
        for i in lost {
            if self.dangers.rim - self.dangers.before[i].1 > self.shoal.traits[i].rim_patience {
                self.bury(i, self.now.hours(), Cause::OverRim);
            } else {
                self.shoal.enters_tube(i);
                self.dangers.in_tube.push(i);
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
