//! A reservoir with its pump and tube at work, from filling to filling. Knows no tub: it tells what leaves the tube.

use super::portion::Portion;
use super::refills::{fill_ml, planned};
use super::trial::Trouble;
use super::tube::{Arrival, Tube};
use super::vessel::{Habits, LIVES_AT_C, Vessel};
use crate::brood::{foods_in_a_millilitre, share_of_mass};
use crate::clock::Moment;
use crate::cultures::Calendar;
use crate::food::batch::FoodClass;
use crate::food::pools::Rates;
use crate::numbers::LineNumbers;
use crate::study::{Plan, PlanLine, Run, Study};
use crate::worlds::World;

/// A feed line in use.
#[derive(Debug, Clone)]
pub struct Rig<'a> {
    study: &'a Study,
    world: &'a World,
    plan: &'a Plan,
    line: &'a PlanLine,
    numbers: &'a LineNumbers<f64>,
    /// The reservoir.
    pub vessel: Vessel<'a>,
    /// The tube.
    pub tube: Tube,
    /// Planned fillings.
    fillings: Vec<Moment>,
    /// Up to when the reservoir has been carried forward.
    now: Moment,
    /// Index of the mix that was filled in last, and the share of its dry mass that was there to be filled in.
    pub mix: usize,
    /// See `mix`.
    pub share_there: f64,
    /// Items poured in so far, by class.
    pub poured: Vec<f64>,
    /// Items that the pump has drawn so far, by class, fresh and stale.
    pub drawn: Vec<Portion>,
}

/// Dry mass of each food that a run is to bring of the mix of a day, µg.
#[must_use]
pub fn wanted_ug(study: &Study, world: &World, line: &PlanLine, day: u32, run: &Run) -> Vec<f64> {
    let mut wanted = vec![0.0; study.foods.len()];
    let mix = study.recipes[line.recipe].on_day(day).mix;
    for (food, per_ml) in foods_in_a_millilitre(study, world, mix) {
        wanted[food] += per_ml * run.wanted_ml * world.larder.item_mass_ug[food];
    }
    wanted
}

impl<'a> Rig<'a> {
    /// The line of a plan, clean and empty; `None` for a plan without one.
    #[must_use]
    pub fn new(study: &'a Study, plan: usize, world: &'a World) -> Option<Self> {
        Self::with_trouble(study, plan, world, Trouble::All)
    }

    /// The same with some troubles only.
    #[must_use]
    pub fn with_trouble(study: &'a Study, plan: usize, world: &'a World, trouble: Trouble) -> Option<Self> {
        let plan = &study.plans[plan];
        let line = plan.line.as_ref()?;
        let place = &world.reservoirs[line.reservoir];
        let classes = &world.larder.classes;
        let habits_with = |settles: bool, ages: bool| -> Vec<Habits> {
            let of_class = |class: &FoodClass| {
                let mut habits = Habits::new(class, &study.foods[class.food], &world.foods[class.food], place);
                if !settles {
                    (habits.fresh_mm_s, habits.stale_mm_s) = (0.0, 0.0);
                }
                if !ages {
                    habits.ageing_per_h = 0.0;
                }
                habits
            };
            classes.iter().map(of_class).collect()
        };
        let is = |one: Trouble| trouble == Trouble::All || trouble == one;
        let in_tube = habits_with(is(Trouble::Tube), false);
        let ageing = classes.iter().map(|class| {
            let rate = Rates::ageing(study.foods[class.food].sort.is_alive(), world.foods[class.food].life_h).0;
            if is(Trouble::Tube) { rate } else { 0.0 }
        });
        let ageing: Vec<f64> = ageing.collect();
        let numbers = &world.lines[line.line];
        Some(Self {
            tube: Tube::new(numbers, place.lift_pa, LIVES_AT_C, &in_tube, &ageing),
            vessel: Vessel::new(
                &study.reservoirs[line.reservoir],
                place,
                habits_with(is(Trouble::Settling), is(Trouble::Ageing)),
            ),
            fillings: planned(study, plan),
            now: Moment(0),
            mix: study.recipes[line.recipe].on_day(1).mix,
            share_there: 1.0,
            poured: vec![0.0; classes.len()],
            drawn: vec![Portion::default(); classes.len()],
            study,
            world,
            plan,
            line,
            numbers,
        })
    }

    /// The plan's side of it.
    #[must_use]
    pub fn line(&self) -> &'a PlanLine {
        self.line
    }

    /// Carries the reservoir forward.
    pub fn wait_until(&mut self, now: Moment) {
        self.vessel.wait((now - self.now).hours());
        self.now = self.now.max(now);
    }

    /// Throws away what is left and fills afresh, at a visit `planned` for some moment, for the runs from then to the next
    /// planned filling. A keeper who comes after that was due fills up to the one after it.
    ///
    /// `cultures` tells what is missing.
    pub fn refill(&mut self, now: Moment, planned: Moment, cultures: &Calendar) {
        let next = self.fillings.iter().copied().find(|&at| at > planned.max(now));
        let end = Moment::start_of_day(self.study.days + 1);
        self.refill_with(now, fill_ml(self.study, self.line, planned, next.unwrap_or(end)), cultures);
    }

    /// Throws away what is left and pours in so many millilitres of the day's mix.
    pub fn refill_with(&mut self, now: Moment, ml: f64, cultures: &Calendar) {
        self.wait_until(now);
        self.now = now;
        self.mix = self.study.recipes[self.line.recipe].on_day(now.day()).mix;
        let foods = foods_in_a_millilitre(self.study, self.world, self.mix);
        self.share_there = cultures.share_there(&foods, &self.world.larder.item_mass_ug, now);
        let mut items = Vec::new();
        for (food, per_ml) in cultures.available(foods, self.plan, &self.world.larder.item_mass_ug, now) {
            let classes = self.world.larder.classes.iter().enumerate().filter(|(_, class)| class.food == food);
            items.extend(classes.map(|(index, class)| (index, per_ml * ml * class.items)));
        }
        for &(class, count) in &items {
            self.poured[class] += count;
        }
        self.vessel.refill(ml, items);
        self.tube.is_handled();
    }

    /// Share of the dry mass of the mix filled in last, 0 to 1, that was never alive: yolk, powder.
    #[must_use]
    pub fn particle_share(&self) -> f64 {
        let foods = foods_in_a_millilitre(self.study, self.world, self.mix);
        let is_particle = |food: usize| !self.study.foods[food].sort.is_alive();
        share_of_mass(&foods, &self.world.larder.item_mass_ug, is_particle).unwrap_or(0.0)
    }

    /// Volume of a run, mL: whole pockets of the pump's rollers, rounded by the lot (0 to 1) that their place on the
    /// tube makes.
    #[must_use]
    pub fn run_ml(&self, run: &Run, lot: f64) -> f64 {
        let ml = run.minutes * self.numbers.pump_ml_min * self.numbers.pump_drift;
        let pocket = self.numbers.pocket_ml;
        if pocket > 0.0 { (ml / pocket + lot).floor() * pocket } else { ml }
    }

    /// Runs the pump from now on for `ml`; gives what leaves the tube's end meanwhile.
    pub fn run(&mut self, now: Moment, run: &Run, ml: f64) -> Arrival {
        self.wait_until(now);
        let draught = self.vessel.draw(ml, run.minutes / 60.0);
        self.now = now + super::refills::span(run);
        for (sum, portion) in self.drawn.iter_mut().zip(&draught.food) {
            sum.fresh += portion.fresh;
            sum.stale += portion.stale;
        }
        // What was drawn has aged to the end of the run already.
        self.tube.push(draught, ml, self.now.hours())
    }
}
