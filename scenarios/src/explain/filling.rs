//! How much is in a reservoir from one planned refill to the next, reckoned with the most likely values.
//!
//! The reservoir is taken to stand filled when the brood begins, and every visit to be on time. Knows volumes; writes
//! no sentence and knows no food.

use frytub_sim::clock::TimeOfDay;
use frytub_sim::study::{Fill, Plan, PlanLine, Run, SPARE, Visits};

use super::amounts::Reckoning;

/// Minutes in a day.
const DAY_MIN: u32 = 24 * 60;

/// From one refill to the next.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Filling {
    /// Minutes from midnight of day 1 to the refill.
    pub begins_min: u32,
    /// What is poured in, mL.
    pub poured_ml: f64,
    /// What the pump draws up to the next refill, as far as there is water, mL.
    pub drawn_ml: f64,
    /// Minutes from the refill to the begin of the last run.
    pub longest_wait_min: u32,
    /// The first run that is not given whole, with its day, and how many are cut short or left out from then on.
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

/// Water that the pump cannot reach, mL: below its intake, or too little to draw from.
pub(super) fn out_of_reach_ml(reckoning: &Reckoning<'_>, line: &PlanLine) -> f64 {
    let reservoir = &reckoning.study.reservoirs[line.reservoir];
    reservoir.shape.volume_ml(reservoir.intake_mm).max(reservoir.numbers.dry_ml.likely())
}

/// The fillings of a brood, first to last.
pub(super) fn fillings(reckoning: &Reckoning<'_>, plan: &Plan, line: &PlanLine) -> Vec<Filling> {
    let mut begins = refills(reckoning, plan, line);
    let last = reckoning.study.days * DAY_MIN;
    let runs = runs(line);
    // What is to run before the first refill has been filled in before the brood begins.
    let first_refill = begins.first().copied().unwrap_or(last);
    if runs.first().is_some_and(|(at, _)| *at < first_refill) {
        begins.insert(0, 0);
    }
    let ends = begins.iter().skip(1).copied().chain([last]);
    begins.iter().zip(ends).map(|(&from, to)| filling(reckoning, line, &runs, from, to)).collect()
}

/// Planned refills, in minutes from midnight of day 1.
fn refills(reckoning: &Reckoning<'_>, plan: &Plan, line: &PlanLine) -> Vec<u32> {
    let study = reckoning.study;
    let of_day = |day: u32| -> Vec<u32> {
        let visits = &plan.week[study.weekday(day)].visits;
        let kept = match line.refills {
            Visits::None => 0,
            Visits::First => 1,
            Visits::FirstEvery(days) => usize::from((day - 1).is_multiple_of(days)),
            Visits::Every => visits.len(),
        };
        visits.iter().take(kept).map(|at| (day - 1) * DAY_MIN + u32::from(at.minutes())).collect()
    };
    (1..=study.days).flat_map(of_day).collect()
}

/// Every run with the minute at which it begins.
fn runs(line: &PlanLine) -> Vec<(u32, Run)> {
    let of_day = |(day, runs): (u32, &Vec<Run>)| -> Vec<(u32, Run)> {
        runs.iter().map(|run| (day * DAY_MIN + u32::from(run.at.minutes()), *run)).collect()
    };
    (0..).zip(&line.programme).flat_map(of_day).collect()
}

fn filling(reckoning: &Reckoning<'_>, line: &PlanLine, runs: &[(u32, Run)], from: u32, to: u32) -> Filling {
    let pump = &reckoning.study.lines[line.line].numbers;
    let set_ml_min = pump.pump_ml_min.likely();
    let runs: Vec<&(u32, Run)> = runs.iter().filter(|(at, _)| (from..to).contains(at)).collect();
    let holds_ml = reckoning.study.reservoirs[line.reservoir].numbers.volume_ml.likely();
    let out_of_reach = out_of_reach_ml(reckoning, line);
    let needed: f64 = runs.iter().map(|(_, run)| run.minutes * set_ml_min).sum();
    let poured_ml = match line.fill {
        Fill::Needed if needed > 0.0 => (needed * (1.0 + SPARE) + out_of_reach).min(holds_ml),
        Fill::Needed => 0.0,
        Fill::Millilitres(ml) => ml.min(holds_ml),
    };
    let mut left = (poured_ml - out_of_reach).max(0.0);
    let (mut drawn_ml, mut dry) = (0.0, None::<Dry>);
    for (at, run) in &runs {
        let wanted = run.minutes * set_ml_min * pump.pump_drift.likely();
        if wanted > left {
            let first = Dry { day: at / DAY_MIN + 1, at: run.at, runs: 0 };
            dry.get_or_insert(first).runs += 1;
        }
        let given = wanted.min(left);
        left -= given;
        drawn_ml += given;
    }
    let longest_wait_min = runs.last().map_or(0, |(at, _)| at - from);
    Filling { begins_min: from, poured_ml, drawn_ml, longest_wait_min, dry }
}
