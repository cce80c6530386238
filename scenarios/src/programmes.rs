//! What a timer makes of a plan's pump feeds: doses turned into millilitres, and these into runs of the pump.
//!
//! Doses are reckoned with the most likely content of the day's mix, as a keeper does who sets a timer once.

use frytub_sim::brood::millilitres;
use frytub_sim::clock::TimeOfDay;
use frytub_sim::feedline::timer::{Programme, programme};
use frytub_sim::food::batch::item_mass_ug;
use frytub_sim::study::{By, Content, Dose, Feed, Plan, PlanLine, Study};

/// Minutes in a day.
const DAY_MIN: f64 = 24.0 * 60.0;

/// The timer's programmes of a study.
pub(crate) struct Programmes<'s> {
    study: &'s Study,
    /// Mean dry mass of an item of each food, µg, by the most likely numbers.
    item_mass_ug: Vec<f64>,
}

/// A run that is still going on when the next day's first begins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Overrun {
    /// Day of the run.
    pub day: u32,
    /// When it begins.
    pub at: TimeOfDay,
    /// How long it runs, min.
    pub minutes: f64,
}

impl<'s> Programmes<'s> {
    pub fn new(study: &'s Study) -> Self {
        let mass =
            |food: &frytub_sim::study::Food| item_mass_ug(food.sort, &food.numbers.map(|_, range| range.likely()));
        Self { study, item_mass_ug: study.foods.iter().map(mass).collect() }
    }

    /// Millilitres of a mix that make up a dose.
    fn millilitres(&self, dose: &Dose, mix: usize) -> f64 {
        let in_one_ml = |part: &frytub_sim::study::MixPart| match part.content {
            Content::Items(range) => (part.food, range.likely()),
            Content::Milligrams(range) => (part.food, 1000.0 * range.likely() / self.item_mass_ug[part.food]),
        };
        let foods: Vec<(usize, f64)> = self.study.mixes[mix].parts.iter().map(in_one_ml).collect();
        millilitres(dose, &foods, &self.item_mass_ug)
    }

    /// The pump feeds wanted on a day, with their millilitres of the mix that is in the reservoir.
    pub fn wanted(&self, plan: &Plan, line: &PlanLine, day: u32) -> Vec<(TimeOfDay, f64)> {
        if day < plan.first_feed_day {
            return Vec::new();
        }
        let stage = self.study.recipes[line.recipe].on_day(day);
        let feeds = plan.week[self.study.weekday(day)].feeds.iter().filter(|feed| feed.by == By::Pump);
        feeds.map(|feed| (feed.at, stage.times * self.millilitres(&feed.dose, stage.mix))).collect()
    }

    /// What the timer is set to on a day.
    pub fn of_day(&self, plan: &Plan, line: &PlanLine, day: u32) -> Programme {
        let feed_line = &self.study.lines[line.line];
        programme(&self.wanted(plan, line, day), &feed_line.timer, feed_line.numbers.pump_ml_min.likely())
    }

    /// How long one feed of the recipe's first stage runs, min.
    pub fn minutes(&self, line: &PlanLine, feed: &Feed) -> f64 {
        let feed_line = &self.study.lines[line.line];
        let stage = self.study.recipes[line.recipe].on_day(1);
        let wanted = [(feed.at, stage.times * self.millilitres(&feed.dose, stage.mix))];
        let alone = programme(&wanted, &feed_line.timer, feed_line.numbers.pump_ml_min.likely());
        alone.runs.first().map_or(0.0, |run| run.minutes)
    }

    /// The first run that is still going on when the next day's first begins, or at midnight of the day after.
    pub fn overrun(line: &PlanLine) -> Option<Overrun> {
        let days = line.programme.iter().zip(line.programme.iter().skip(1).map(|day| day.first()).chain([None]));
        days.zip(1..).find_map(|((today, next), day)| {
            let last = today.last()?;
            let next_begins = DAY_MIN + next.map_or(DAY_MIN, |run| f64::from(run.at.minutes()));
            let ends = f64::from(last.at.minutes()) + last.minutes;
            (ends > next_begins).then_some(Overrun { day, at: last.at, minutes: last.minutes })
        })
    }
}
