//! What pumps bring: straight from a full jug, as feeds without a feed line do, or through a reservoir and a tube.

use rand::RngExt;

use super::diary::DoseRecord;
use super::{Brood, BroodSetup, Mode};
use crate::chance::Source;
use crate::clock::{Moment, Span};
use crate::feedline::refills;
use crate::feedline::rig::{self, Rig};
use crate::feedline::tube::Arrival;
use crate::food::pools::STAGES;
use crate::study::{By, Feed, Run};

/// Leaps take a pump that runs no longer than this as pouring its dose in at the middle of its running time: they look
/// no closer than that anyway, h.
pub(super) const POUR_H: f64 = 2.0 / 60.0;

/// Food coming in from a pump.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Inflow {
    pub(super) from: Moment,
    pub(super) to: Moment,
    pub(super) ml_per_h: f64,
    pub(super) items: Vec<Coming>,
}

/// Items of one class and stage of ageing that a pump brings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Coming {
    pub(super) class: usize,
    pub(super) stage: usize,
    pub(super) total: u64,
    pub(super) delivered: u64,
}

impl Inflow {
    /// Items due by `now` of so many in all.
    fn due(&self, total: u64, now: Moment) -> u64 {
        let share = (now - self.from).hours() / (self.to - self.from).hours();
        (total as f64 * share.clamp(0.0, 1.0)).round() as u64
    }
}

/// A feed line at work in a brood.
#[derive(Debug, Clone)]
pub(crate) struct Pumped<'a> {
    pub(super) rig: Rig<'a>,
    /// When the keeper sets it up.
    pub(super) set_up: Option<Moment>,
    /// Parts of items that have left the tube and do not make a whole one yet, by class and stage.
    carried: Vec<[f64; STAGES]>,
    /// Spoiled mass that has arrived, dry µg.
    pub(super) arrived_stale_ug: f64,
}

impl<'a> Pumped<'a> {
    pub(super) fn new(setup: &BroodSetup<'a>) -> Option<Self> {
        let rig = Rig::new(setup.study, setup.plan, setup.world)?;
        let set_up = refills::set_up(setup.study, &setup.study.plans[setup.plan], rig.line());
        let carried = vec![[0.0; STAGES]; setup.world.larder.classes.len()];
        Some(Self { rig, set_up, carried, arrived_stale_ug: 0.0 })
    }

    /// Items in the tube at present, and on their way out of it, by class. What a run still has to bring counts as in
    /// the tube: the reservoir gave it when the run began.
    pub(super) fn in_tube(&self, inflows: &[Inflow]) -> Vec<f64> {
        let parts = self.carried.iter().map(|stages| stages.iter().sum::<f64>());
        let mut in_tube: Vec<f64> = self.rig.tube.items().into_iter().zip(parts).map(|(a, b)| a + b).collect();
        for coming in inflows.iter().flat_map(|inflow| &inflow.items) {
            in_tube[coming.class] += (coming.total - coming.delivered) as f64;
        }
        in_tube
    }
}

impl Brood<'_> {
    /// True if a run of the pump is taken as pouring.
    pub(super) fn pours(&self, span: Span) -> bool {
        self.setup.mode == Mode::Leaps && span.hours() <= POUR_H
    }

    /// A pump without a feed line starts.
    pub(super) fn pump_starts(&mut self, feed: &Feed) {
        let (ml, items) = self.measure(&feed.dose, self.now.day());
        self.flows_in(pump_span(feed), ml, items);
    }

    /// Water and food come in evenly over a time from now on.
    fn flows_in(&mut self, span: Span, ml: f64, items: Vec<Coming>) {
        self.inflows.push(Inflow { from: self.now, to: self.now + span, ml_per_h: ml / span.hours(), items });
        self.tub.set_inflow(self.inflow_ml_h());
    }

    /// What running pumps bring at present, mL/h.
    pub(super) fn inflow_ml_h(&self) -> f64 {
        self.inflows.iter().map(|inflow| inflow.ml_per_h).sum()
    }

    /// Water with food is poured in.
    ///
    /// What comes in pushes as much water out: before it has mixed when poured by hand; while half of it, on average, is in
    /// already when a pump brings it.
    pub(super) fn pours_in(&mut self, ml: f64, items: &[Coming], by: By) {
        let before = |coming: &Coming| if by == By::Pump { coming.total / 2 } else { 0 };
        for coming in items {
            self.tub.add(coming.class, coming.stage, before(coming));
        }
        let fresh = ml / (ml + self.tub.volume_ml);
        let over = self.tub.pour(ml);
        self.spills(over);
        // With an outlet the level rises, and what is dissolved leaves as it falls again.
        let gone = if self.tub.outlet.is_some() { over } else { fresh };
        self.renew(gone, fresh);
        for coming in items {
            self.tub.add(coming.class, coming.stage, coming.total - before(coming));
        }
    }

    /// The keeper sets the feed line up and fills the reservoir for the first time.
    pub(super) fn set_up_line(&mut self) {
        let now = self.now;
        if let Some(pumped) = self.pumped.as_mut() {
            pumped.rig.refill(now, now, &self.cultures);
        }
    }

    /// The keeper throws away what is left in the reservoir and fills it afresh, at a visit `planned` for that moment. At
    /// the visit at which it is set up, and before, there is nothing to refill.
    pub(super) fn refill(&mut self, planned: Moment) {
        let now = self.now;
        if let Some(pumped) = self.pumped.as_mut().filter(|pumped| pumped.set_up.is_some_and(|at| planned > at)) {
            pumped.rig.refill(now, planned, &self.cultures);
        }
    }

    /// The pump of the feed line runs.
    ///
    /// `behind` is how late the timer's clock is. Gives when it stops, if it runs long enough for that to matter.
    pub(super) fn line_runs(&mut self, day: u32, run: &Run, behind: Span) -> Option<Moment> {
        if !self.pump_works() {
            self.runs_dry(day, run);
            return None;
        }
        self.tube_kills();
        let start = Moment::on_day(day, run.at) + behind;
        let pumped = self.pumped.as_mut()?;
        let individual = u64::from(day) * 1440 + u64::from(run.at.minutes());
        let lot: f64 = self.setup.streams.own(Source::Pump, individual).random();
        let ml = pumped.rig.run_ml(run, lot);
        let arrival = pumped.rig.run(start, run, ml);
        let (mix, there) = (pumped.rig.mix, pumped.rig.share_there);
        self.feeds_from_cultures(mix, arrival.water_ml, there);
        let (fresh, stale) = self.count(&arrival);
        self.note_dose(run, day, &arrival, &fresh, &stale);
        for &(class, ug) in &stale {
            self.tub.add_stale(class, ug);
        }
        let span = refills::span(run);
        if self.pours(span) {
            self.pours_in(arrival.water_ml, &fresh, By::Pump);
            None
        } else {
            self.flows_in(span, arrival.water_ml, fresh);
            Some(self.now + span)
        }
    }

    /// Nothing comes of a run.
    pub(super) fn runs_dry(&mut self, day: u32, run: &Run) {
        let nothing = Arrival { water_ml: 0.0, food: Vec::new() };
        self.note_dose(run, day, &nothing, &[], &[]);
    }

    /// Whole fresh items by class and stage, and spoiled mass by class. Parts of items are carried over to the next dose.
    fn count(&mut self, arrival: &Arrival) -> (Vec<Coming>, Vec<(usize, f64)>) {
        let Some(pumped) = self.pumped.as_mut() else { return Default::default() };
        let mut seen = Vec::new();
        let mut stale = Vec::new();
        for &(class, portion) in &arrival.food {
            let by_stage = portion.by_stage(self.tub.rates(class).stages);
            for (carried, items) in pumped.carried[class].iter_mut().zip(by_stage) {
                *carried += items;
            }
            if !seen.contains(&class) {
                seen.push(class);
            }
            if portion.stale > 0.0 {
                let ug = portion.stale * self.tub.classes[class].mass_ug;
                pumped.arrived_stale_ug += ug;
                stale.push((class, ug));
            }
        }
        let mut fresh = Vec::new();
        for class in seen {
            for (stage, carried) in pumped.carried[class].iter_mut().enumerate() {
                let whole = carried.floor();
                if whole > 0.0 {
                    *carried -= whole;
                    fresh.push(Coming { class, stage, total: whole as u64, delivered: 0 });
                }
            }
        }
        (fresh, stale)
    }

    /// Writes a dose of the day shown down.
    fn note_dose(&mut self, run: &Run, day: u32, arrival: &Arrival, fresh: &[Coming], stale: &[(usize, f64)]) {
        let Some(pumped) = self.pumped.as_ref().filter(|_| self.diary.shows(day)) else { return };
        let (study, world) = (self.setup.study, self.setup.world);
        let wanted_ug = rig::wanted_ug(study, world, pumped.rig.line(), day, run);
        let mut dose = DoseRecord {
            hour: run.at.hours(),
            wanted_ml: run.wanted_ml,
            arrived_ml: arrival.water_ml,
            fresh_ug: vec![0.0; wanted_ug.len()],
            spoiled_ug: vec![0.0; wanted_ug.len()],
            wanted_ug,
        };
        for coming in fresh {
            let class = &self.tub.classes[coming.class];
            dose.fresh_ug[class.food] += coming.total as f64 * class.mass_ug;
        }
        for &(class, ug) in stale {
            dose.spoiled_ug[self.tub.classes[class].food] += ug;
        }
        self.diary.doses.push(dose);
    }

    /// Items that pumps bring until a moment (class, stage, items), noted as delivered.
    pub(super) fn coming(&mut self, until: Moment) -> Vec<(usize, usize, u64)> {
        let mut coming = Vec::new();
        for inflow in &mut self.inflows {
            for at in 0..inflow.items.len() {
                let Coming { class, stage, total, delivered } = inflow.items[at];
                let due = inflow.due(total, until);
                coming.push((class, stage, due - delivered));
                inflow.items[at].delivered = due;
            }
        }
        coming
    }
}

/// How long the pump runs for a feed; a feed "at once" runs for a second.
pub(super) fn pump_span(feed: &Feed) -> Span {
    Span::from_minutes(feed.over_min.max(1.0 / 60.0))
}
