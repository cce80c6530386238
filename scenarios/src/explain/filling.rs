//! How much is in a reservoir from one planned refill to the next, reckoned with the most likely values.
//!
//! When and with how much it is filled is the simulator's; here every visit is on time. Knows volumes; writes no
//! sentence and knows no food.

use frytub_sim::clock::{Moment, TimeOfDay};
use frytub_sim::feedline::refills::{fill_ml, planned, runs};
use frytub_sim::study::{Plan, PlanLine, Run};

use super::amounts::Reckoning;

/// From one refill to the next.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Filling {
    /// What is poured in, mL.
    pub poured_ml: f64,
    /// What the pump draws up to the next refill, as far as there is water, mL.
    pub drawn_ml: f64,
    /// Hours from the refill to the begin of the last run.
    pub longest_wait_h: f64,
    /// The first run that is not given whole, if there is one.
    pub dry: Option<Dry>,
}

/// A run in which a reservoir runs dry.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Dry {
    /// Day of the run.
    pub day: u32,
    /// When it begins.
    pub at: TimeOfDay,
    /// Runs up to the next refill that are not given whole, this one among them.
    pub runs: usize,
}

impl Filling {
    /// What is left in the reservoir at the next refill, and thrown away, mL.
    pub fn left_ml(&self) -> f64 {
        self.poured_ml - self.drawn_ml
    }
}

/// The fillings of a brood, first to last.
pub(super) fn fillings(reckoning: &Reckoning<'_>, plan: &Plan, line: &PlanLine) -> Vec<Filling> {
    let begins = planned(reckoning.study, plan);
    let end = Moment::start_of_day(reckoning.study.days + 1);
    let runs: Vec<(Moment, Run)> = runs(line).collect();
    let ends = begins.iter().skip(1).copied().chain([end]);
    begins.iter().zip(ends).map(|(&from, until)| filling(reckoning, line, &runs, from, until)).collect()
}

fn filling(reckoning: &Reckoning<'_>, line: &PlanLine, runs: &[(Moment, Run)], from: Moment, until: Moment) -> Filling {
    let pump = &reckoning.study.lines[line.line].numbers;
    let flow_ml_min = pump.pump_ml_min.likely() * pump.pump_drift.likely();
    let reservoir = &reckoning.study.reservoirs[line.reservoir];
    let out_of_reach = reservoir.shape.volume_ml(reservoir.intake_mm).max(reservoir.numbers.dry_ml.likely());
    let poured_ml = fill_ml(reckoning.study, line, from, until);
    let mut left = (poured_ml - out_of_reach).max(0.0);
    let mut filling = Filling { poured_ml, drawn_ml: 0.0, longest_wait_h: 0.0, dry: None };
    for (at, run) in runs.iter().filter(|(at, _)| (from..until).contains(at)) {
        let wanted = run.minutes * flow_ml_min;
        if wanted > left {
            filling.dry.get_or_insert(Dry { day: at.day(), at: run.at, runs: 0 }).runs += 1;
        }
        let given = wanted.min(left);
        left -= given;
        filling.drawn_ml += given;
        filling.longest_wait_h = (*at - from).hours();
    }
    filling
}
