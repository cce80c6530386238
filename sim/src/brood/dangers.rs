//! What equipment and water do to fry: water over the rim, too little oxygen, ammonia, the end of the feed tube.
//!
//! Each fry bears so much hazard of each kind (its patience, a unit exponential that is its own under every plan); when the
//! hazard it has been through since it swims exceeds that, it is gone.

use super::{Brood, BroodSetup};
use crate::fry::shoal::State;
use crate::fry::traits::Traits;
use crate::outcome::Cause;
use crate::outlet::Passed;

/// The kinds of hazard, in the order in which a fry is counted that could have died of several in one step.
const KINDS: [Cause; 4] = [Cause::OverRim, Cause::NoOxygen, Cause::Ammonia, Cause::FeedTube];

/// Hazard of each of [`KINDS`].
pub(super) type Hazards = [f64; KINDS.len()];

/// What a fry can bear of each of [`KINDS`].
fn patience(born: &Traits) -> Hazards {
    [born.rim_patience, born.oxygen_patience, born.ammonia_patience, born.tube_patience]
}

/// The hazards of a brood so far.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Dangers {
    /// Height of the feed tube's end above the still water, mm; beyond any level without a feed line.
    pub(super) tube_end_mm: f64,
    entry_per_h: f64,
    rim_share: f64,
    so_far: Hazards,
    /// What of it had passed when each fry began to swim.
    before: Vec<Hazards>,
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
            so_far: [0.0; KINDS.len()],
            before: vec![[0.0; KINDS.len()]; setup.study.fry as usize],
            in_tube: Vec::new(),
        }
    }

    /// A fry begins to swim.
    pub(super) fn swims_up(&mut self, fry: usize) {
        self.before[fry] = self.so_far;
    }

    /// Which of its patiences a fry has come to the end of, if any.
    fn ended(&self, fry: usize, born: &Traits) -> Option<Cause> {
        let borne = self.so_far.iter().zip(&self.before[fry]).zip(patience(born));
        borne.zip(KINDS).find_map(|(((so_far, before), patience), cause)| (so_far - before > patience).then_some(cause))
    }
}

impl Brood<'_> {
    /// A share of the tub's water has gone over the rim at once, as when a dose is poured in.
    pub(super) fn spills(&mut self, share: f64) {
        self.bear([self.dangers.rim_share * share, 0.0, 0.0, 0.0]);
    }

    /// Puts the fry through what the water did in a step that ends now, and through how foul it was.
    pub(super) fn endanger(&mut self, passed: &Passed, by_oxygen: f64, by_ammonia: f64) {
        // While the pump runs its stream keeps the fry off (estimate).
        let open_h = if self.inflows.is_empty() { passed.above_h } else { 0.0 };
        let over = passed.rim_ml / self.tub.volume_ml;
        if self.tub.outlet.is_some() {
            self.diary.level(self.now, passed);
        }
        let Dangers { rim_share, entry_per_h, .. } = self.dangers;
        self.bear([rim_share * over, by_oxygen, by_ammonia, entry_per_h * open_h]);
    }

    /// Puts the fry through so much more of each hazard, and takes out those for whom it was too much.
    fn bear(&mut self, more: Hazards) {
        if more.iter().all(|&hazard| hazard <= 0.0) {
            return;
        }
        for (so_far, more) in self.dangers.so_far.iter_mut().zip(more) {
            *so_far += more;
        }
        let ended = |&i: &usize| Some((i, self.dangers.ended(i, &self.shoal.traits[i])?));
        let lost: Vec<(usize, Cause)> = self.shoal.swimming.iter().filter_map(ended).collect();
        if lost.is_empty() {
            return;
        }
        self.settle();
        for (i, cause) in lost {
            // Settling may have found that it had starved before.
            if self.shoal.state[i] != State::Swimming {
                continue;
            }
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
