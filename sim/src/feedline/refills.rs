//! When a reservoir is filled, and with how much.

use crate::clock::{Moment, Span};
use crate::study::{Fill, Plan, PlanLine, Run, SPARE, Study, Visits};

impl Visits {
    /// True if it is done at a visit on `day`, which is the first that day or not.
    #[must_use]
    pub fn includes(self, day: u32, is_first: bool) -> bool {
        match self {
            Self::None => false,
            Self::First => is_first,
            Self::FirstEvery(days) => is_first && (day - 1).is_multiple_of(days.max(1)),
            Self::Every => true,
        }
    }
}

/// When the reservoir is filled for the first time: by the keeper who sets it up, in time for the first visit or the
/// first run, whichever is earlier. `None` if the pump never runs.
#[must_use]
pub fn set_up(study: &Study, plan: &Plan, line: &PlanLine) -> Option<Moment> {
    let first_run = runs(line).map(|(at, _)| at).next()?;
    let day = first_run.day();
    let visit = plan.week[study.weekday(day)].visits.first().map(|&at| Moment::on_day(day, at));
    Some(visit.map_or(first_run, |visit| visit.min(first_run)))
}

/// Every planned filling, the setting up first, in order of time.
#[must_use]
pub fn planned(study: &Study, plan: &Plan) -> Vec<Moment> {
    let Some(line) = &plan.line else { return Vec::new() };
    let Some(first) = set_up(study, plan, line) else { return Vec::new() };
    let mut times = vec![first];
    for day in first.day()..=study.days {
        for (index, &at) in plan.week[study.weekday(day)].visits.iter().enumerate() {
            let at = Moment::on_day(day, at);
            if line.refills.includes(day, index == 0) && at > first {
                times.push(at);
            }
        }
    }
    times
}

/// True when the filling and the runs of a line are amounts that can be, and no run begins before the one before it has
/// ended.
#[must_use]
pub fn is_sound(line: &PlanLine) -> bool {
    let is_amount = |amount: f64| amount.is_finite() && amount >= 0.0;
    let fill = match line.fill {
        Fill::Needed => true,
        Fill::Millilitres(ml) => is_amount(ml),
    };
    let amounts = runs(line).all(|(_, run)| is_amount(run.wanted_ml) && is_amount(run.minutes));
    let ends_before = |(now, next): ((Moment, Run), (Moment, Run))| now.0 + span(&now.1) <= next.0;
    fill && amounts && runs(line).zip(runs(line).skip(1)).all(ends_before)
}

/// Every run of the pump with its moment.
pub fn runs(line: &PlanLine) -> impl Iterator<Item = (Moment, Run)> + '_ {
    let days = line.programme.iter().zip(1..);
    days.flat_map(|(runs, day)| runs.iter().map(move |run| (Moment::on_day(day, run.at), *run)))
}

/// Water with food that is poured in for the runs from one filling to the next, mL: by what the keeper knows, which is
/// the flow that the pump is set to. Where no run is due, and the amount is not fixed, nothing is poured in.
#[must_use]
pub fn fill_ml(study: &Study, line: &PlanLine, from: Moment, until: Moment) -> f64 {
    let reservoir = &study.reservoirs[line.reservoir];
    let flow = study.lines[line.line].numbers.pump_ml_min.likely();
    let holds = reservoir.numbers.volume_ml.likely();
    let wanted = match line.fill {
        Fill::Millilitres(ml) => ml,
        Fill::Needed => {
            let due = runs(line).filter(|(at, _)| (from..until).contains(at));
            let drawn: f64 = due.map(|(_, run)| run.minutes * flow).sum();
            if drawn <= 0.0 {
                return 0.0;
            }
            let unreached = reservoir.numbers.dry_ml.likely().max(reservoir.shape.volume_ml(reservoir.intake_mm));
            drawn * (1.0 + SPARE) + unreached
        }
    };
    wanted.min(holds)
}

/// How long a run lasts.
#[must_use]
pub fn span(run: &Run) -> Span {
    Span::from_minutes(run.minutes)
}
