//! One brood: one random history of one tub under one plan, from first swimming to the last day.
//!
//! This room wires the others: the event list says what happens when, and between two events the tub and its fry are
//! carried forward, by leaps ([`leap`]) or capture by capture ([`exact`]).

mod dangers;
pub mod diary;
pub mod exact;
mod failing;
pub mod fouling;
mod kitchen;
pub mod leap;
mod pumping;
mod visiting;

use crate::chance::{Source, Streams};
use crate::clock::{MS_PER_DAY, Moment, Span, TimeOfDay};
use crate::cultures::Calendar;
use crate::events::EventQueue;
use crate::feedline::refills;
use crate::fry::shoal::{End, Physiology, Shoal, State, Stretch};
use crate::fry::starving::{self, Exposure, FoodFacts};
use crate::keeper;
use crate::mishaps::{self, Mishap};
use crate::outcome::Cause;
use crate::setbacks::{Forced, Setback};
use crate::study::{By, Content, Dose, Feed, Run, Study};
use crate::tub::TubState;
use crate::worlds::World;

use self::dangers::Dangers;
use self::diary::{BroodRecord, Death, Diary};
use self::failing::Failing;
use self::fouling::Fouling;
use self::kitchen::Kitchen;
use self::pumping::{Inflow, Pumped, pump_span};

/// How the time between events is played.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mode {
    /// By leaps whose length follows how fast the food changes.
    Leaps,
    /// Every capture and every move of an item is its own event: the reference, for small broods.
    Exact,
}

/// What to run.
#[derive(Debug, Clone, Copy)]
pub struct BroodSetup<'a> {
    /// The study.
    pub study: &'a Study,
    /// Index of the plan.
    pub plan: usize,
    /// The world.
    pub world: &'a World,
    /// The brood's random streams.
    pub streams: Streams,
    /// How the time between events is played.
    pub mode: Mode,
    /// True to keep the day shown hour by hour.
    pub show_day: bool,
    /// A setback to put the brood through.
    pub forced: Option<Forced>,
}

/// What can happen at a moment.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Event {
    SwimsUp(usize),
    Dies(usize),
    DayBegins(u32),
    Lights(bool),
    Visit {
        day: u32,
        planned: TimeOfDay,
    },
    PumpPours {
        day: u32,
        feed: Feed,
    },
    PumpStarts(Feed),
    PumpStops,
    SetUp,
    /// The timer's clock was so far behind when this was put on the list.
    LineRuns {
        day: u32,
        run: Run,
        behind: Span,
    },
    GoesWrong(Mishap),
    PowerIsBack,
    DayEnds(u32),
}

/// A brood under way.
pub(crate) struct Brood<'a> {
    setup: BroodSetup<'a>,
    physiology: Physiology,
    shoal: Shoal,
    tub: TubState<'a>,
    foods: Vec<FoodFacts>,
    exposure: Exposure,
    diary: Diary,
    kitchen: Kitchen,
    inflows: Vec<Inflow>,
    /// Reservoir, pump and tube, for a plan that has them.
    pumped: Option<Pumped<'a>>,
    dangers: Dangers,
    /// The water, where it is reckoned with.
    fouling: Option<Fouling>,
    /// Share of its searching that a fry does at present: 1 in the light, in good water as warm as by day.
    light: f64,
    is_lit: bool,
    /// True while the light is to be on; a power cut turns it off all the same.
    lights_on: bool,
    failing: Failing,
    cultures: Calendar,
    /// Shares of it that the temperature and the water leave.
    warmth: f64,
    appetite: f64,
    /// What fry burn against what they burn by day, by temperature alone.
    burning: f64,
    /// Temperature of the water at present, °C.
    celsius: f64,
    /// The last day on which the keeper has cleaned.
    cleaned_day: u32,
    now: Moment,
    /// Up to when the fry have been settled with.
    settled: Moment,
}

/// Runs one brood to its last day.
#[must_use]
pub fn run(setup: &BroodSetup) -> BroodRecord {
    let mut brood = Brood::new(*setup);
    let end = Moment::start_of_day(setup.study.days + 1);
    let mut queue = brood.schedule(end);
    // The first night is as cool as the others.
    brood.warm();
    brood.relight();
    while let Some((at, event)) = queue.pop() {
        if matches!(event, Event::Dies(i) if brood.shoal.state[i] == State::Dead) {
            continue;
        }
        brood.advance(at);
        if let Some((at, event)) = brood.happens(event)
            && at < end
        {
            queue.schedule(at, event);
        }
    }
    if let Some(fouling) = &brood.fouling {
        brood.diary.nitrogen(fouling);
    }
    let in_tube = brood.pumped.as_ref().map(|pumped| pumped.in_tube(&brood.inflows));
    let pumped = brood.pumped.as_ref().zip(in_tube);
    brood.diary.finish(setup, &brood.shoal, &brood.tub, pumped)
}

impl<'a> Brood<'a> {
    fn new(setup: BroodSetup<'a>) -> Self {
        let BroodSetup { study, world, streams, .. } = setup;
        let plan = &study.plans[setup.plan];
        let late_culture = setup.forced.and_then(|forced| match forced.setback {
            Setback::LateCulture(food) => Some(food),
            _ => None,
        });
        let physiology = Physiology::new(&world.fish, world.tubs[plan.tub].temperature_c);
        let shoal = Shoal::new(&physiology, &streams, study.fry);
        let classes = &world.larder.classes;
        let facts = world.foods.iter().zip(&study.foods);
        let foods: Vec<FoodFacts> =
            facts.map(|(numbers, food)| FoodFacts { worth: numbers.worth, is_lively: food.lively }).collect();
        Self {
            tub: TubState::new(study, world, plan.tub, streams.shared(Source::Tub)),
            exposure: Exposure::new(classes.len()),
            diary: Diary::new(&setup),
            kitchen: Kitchen::new(study, &physiology, classes, &foods, shoal.len()),
            foods,
            inflows: Vec::new(),
            pumped: Pumped::new(&setup),
            dangers: Dangers::new(&setup),
            fouling: Fouling::new(&setup),
            warmth: 1.0,
            burning: 1.0,
            appetite: 1.0,
            celsius: world.tubs[plan.tub].temperature_c,
            light: world.fish.dark_share,
            is_lit: false,
            lights_on: false,
            failing: Failing::default(),
            cultures: Calendar::draw(study, plan, world, &streams, late_culture),
            cleaned_day: 0,
            now: Moment(0),
            settled: Moment(0),
            physiology,
            shoal,
            setup,
        }
    }

    /// Everything that is planned, put on the list. Of one moment, a day begins before the lights change, and
    /// these before anybody feeds.
    fn schedule(&self, end: Moment) -> EventQueue<Event> {
        let BroodSetup { study, world, streams, .. } = self.setup;
        let plan = &study.plans[self.setup.plan];
        let mut queue = EventQueue::with_capacity(self.shoal.len() * 2 + study.days as usize * 64);
        if let Some(at) = self.pumped.as_ref().and_then(|pumped| pumped.set_up) {
            queue.schedule(at, Event::SetUp);
        }
        for day in 1..=study.days {
            let today = &plan.week[study.weekday(day)];
            queue.schedule(Moment::start_of_day(day), Event::DayBegins(day));
            queue.schedule(Moment::on_day(day, study.light_on), Event::Lights(true));
            queue.schedule(Moment::on_day(day, study.light_off), Event::Lights(false));
            for &planned in &today.visits {
                let is_first = Some(&planned) == today.visits.first();
                let at = keeper::arrival(&world.keeper, &streams, day, planned);
                let at = if is_first { self.put_off(day, planned, at) } else { at };
                if let Some(at) = at {
                    queue.schedule(at, Event::Visit { day, planned });
                }
            }
            if let Some(line) = &plan.line {
                for run in &line.programme[day as usize - 1] {
                    let (at, span) = (Moment::on_day(day, run.at), refills::span(run));
                    let event = Event::LineRuns { day, run: *run, behind: Span::default() };
                    queue.schedule(if self.pours(span) { at + Span(span.0 / 2) } else { at }, event);
                }
            } else if day >= plan.first_feed_day {
                for feed in today.feeds.iter().filter(|feed| feed.by == By::Pump) {
                    let (at, span) = (Moment::on_day(day, feed.at), pump_span(feed));
                    if self.pours(span) {
                        queue.schedule(at + Span(span.0 / 2), Event::PumpPours { day, feed: *feed });
                    } else {
                        queue.schedule(at, Event::PumpStarts(*feed));
                        queue.schedule(at + span, Event::PumpStops);
                    }
                }
            }
            queue.schedule(Moment::start_of_day(day + 1), Event::DayEnds(day));
        }
        if let Some((numbers, mishaps)) = world.mishaps.as_ref().zip(study.mishaps.as_ref()) {
            for mishap in mishaps::draw(mishaps, numbers, &streams, study.days) {
                queue.schedule(mishap.at, Event::GoesWrong(mishap));
            }
        }
        if let Some(mishap) = self.setup.forced.as_ref().and_then(Forced::mishap) {
            queue.schedule(mishap.at, Event::GoesWrong(mishap));
        }
        for (i, born) in self.shoal.traits.iter().enumerate() {
            queue.schedule(born.swims, Event::SwimsUp(i));
            queue.schedule(born.background_death, Event::Dies(i));
        }
        queue.until(end)
    }

    fn advance(&mut self, to: Moment) {
        match self.setup.mode {
            Mode::Leaps => self.leap_to(to),
            Mode::Exact => self.play_to(to),
        }
    }

    /// Gives what follows from it later, if anything does.
    fn happens(&mut self, event: Event) -> Option<(Moment, Event)> {
        // What follows from these reads or changes what the fry are settled by.
        if matches!(
            event,
            Event::SwimsUp(_)
                | Event::Dies(_)
                | Event::Lights(_)
                | Event::DayEnds(_)
                | Event::GoesWrong(_)
                | Event::PowerIsBack
        ) {
            self.settle();
        }
        match event {
            Event::SwimsUp(i) => {
                self.shoal.swims_up(&self.physiology, i, self.now);
                self.dangers.swims_up(i);
            }
            Event::Dies(i) => self.bury(i, self.now.hours(), Cause::Background),
            Event::DayBegins(day) => self.diary.day_begins(day, &self.shoal),
            Event::Lights(on) => {
                self.lights_on = on;
                self.is_lit = on && self.failing.has_power();
                self.warm();
                self.relight();
            }
            Event::Visit { day, planned } => self.visit(day, planned),
            Event::PumpPours { .. } | Event::PumpStarts(_) if !self.pump_works() => {}
            Event::PumpPours { day, feed } => self.pour(&feed, day),
            Event::PumpStarts(feed) => self.pump_starts(&feed),
            Event::PumpStops => {
                let now = self.now;
                self.inflows.retain(|inflow| inflow.to > now);
                self.tub.set_inflow(self.inflow_ml_h());
            }
            Event::SetUp => self.set_up_line(),
            Event::LineRuns { day, run, behind } if behind < self.failing.clock_behind => {
                let at = self.now + Span(self.failing.clock_behind.0 - behind.0);
                if at >= Moment::start_of_day(self.setup.study.days + 1) {
                    self.runs_dry(day, &run);
                }
                return Some((at, Event::LineRuns { day, run, behind: self.failing.clock_behind }));
            }
            Event::LineRuns { day, run, behind } => {
                let stops = self.line_runs(day, &run, behind);
                return stops.map(|at| (at, Event::PumpStops));
            }
            Event::GoesWrong(mishap) => {
                let back = self.goes_wrong(&mishap);
                return back.map(|at| (at, Event::PowerIsBack));
            }
            Event::PowerIsBack => self.power_is_back(),
            Event::DayEnds(day) => {
                if day == self.setup.study.days {
                    self.tube_kills();
                }
                self.diary.day_ends(day, &self.setup, &self.shoal, &self.physiology);
            }
        }
        None
    }

    /// A share of what is dissolved has gone, and a share of the water is clean, fresh water now.
    fn renew(&mut self, gone: f64, fresh: f64) {
        if let Some(fouling) = &mut self.fouling {
            fouling.water.change(gone, fresh, self.celsius);
        }
    }

    /// A fry is dead at `hour`.
    fn bury(&mut self, i: usize, hour: f64, cause: Cause) {
        if self.shoal.state[i] != State::Dead {
            self.rots(i);
            self.shoal.dies(i);
            let mishap = self.blame(cause);
            self.diary.died(Death { fry: i, hour, cause, mishap });
        }
    }

    /// Settles with all fry up to now, and buries those whose life ended since.
    fn settle(&mut self) {
        let hours = (self.now - self.settled).hours();
        if hours <= 0.0 {
            return;
        }
        let stretch = Stretch::new(&self.physiology, self.settled.hours(), hours, self.is_lit);
        let stretch = if self.burning == 1.0 { stretch } else { stretch.burning(self.burning) };
        let mut ended = Vec::new();
        for at in 0..self.shoal.swimming.len() {
            let i = self.shoal.swimming[at];
            if let Some(end) = self.shoal.settle(&self.physiology, i, &stretch) {
                ended.push((i, end));
            }
        }
        self.settled = self.now;
        self.kitchen.forget_pulls();
        self.excrete(hours);
        for (i, end) in ended {
            let (hour, cause) = match end {
                End::Starved(hour) => {
                    let classes = &self.setup.world.larder.classes;
                    let (physiology, shoal) = (&self.physiology, &self.shoal);
                    let cause = starving::cause(physiology, shoal, i, classes, &self.foods, &self.exposure, hour);
                    (hour, cause)
                }
                End::Stalled(hour) => (hour, Cause::Stalled),
            };
            self.bury(i, hour, cause);
        }
    }
}

/// Foods of a mix with the items of each in a millilitre.
#[must_use]
pub fn foods_in_a_millilitre(study: &Study, world: &World, mix: usize) -> Vec<(usize, f64)> {
    let contents = &world.mixes[mix];
    let parts = study.mixes[mix].parts.iter().zip(contents);
    parts
        .map(|(part, &amount)| match part.content {
            Content::Items(_) => (part.food, amount),
            Content::Milligrams(_) => (part.food, 1000.0 * amount / world.larder.item_mass_ug[part.food]),
        })
        .collect()
}

/// Share of the dry mass of foods, with the items of each in a millilitre, that some of them make up, 0 to 1; `None` for
/// no mass at all.
#[must_use]
pub fn share_of_mass(foods: &[(usize, f64)], item_mass_ug: &[f64], counts: impl Fn(usize) -> bool) -> Option<f64> {
    let mass = |&(food, per_ml): &(usize, f64)| per_ml * item_mass_ug[food];
    let all: f64 = foods.iter().map(mass).sum();
    let some: f64 = foods.iter().filter(|(food, _)| counts(*food)).map(mass).sum();
    (all > 0.0).then(|| some / all)
}

/// Millilitres of a mix that make up a dose.
#[must_use]
pub fn millilitres(dose: &Dose, foods: &[(usize, f64)], item_mass_ug: &[f64]) -> f64 {
    let per_ml = |of: &dyn Fn(usize) -> f64| foods.iter().map(|&(food, items)| items * of(food)).sum::<f64>();
    let share = |amount: f64, in_one: f64| if in_one > 0.0 { amount / in_one } else { 0.0 };
    match *dose {
        Dose::Millilitres(ml) => ml,
        Dose::Milligrams(mg) => share(1000.0 * mg, per_ml(&|food| item_mass_ug[food])),
        Dose::Items(items) => share(items, per_ml(&|_| 1.0)),
    }
}

/// Milliseconds between the points of the survival curve for a brood of so many days (at most 61 points).
#[must_use]
pub fn survival_step(days: u32) -> i64 {
    let quarter_days = (4 * days).div_ceil(60).max(1);
    i64::from(quarter_days) * MS_PER_DAY / 4
}
