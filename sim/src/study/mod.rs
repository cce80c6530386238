//! A checked scenario: everything a comparison needs, nothing optional, nothing still text.
//!
//! Made by `frytub-scenarios` from a file, or by hand in tests. Uncertain numbers are [`Range`]s here; a world
//! ([`crate::worlds`]) turns them into plain numbers.

mod line;
mod risks;

use crate::clock::TimeOfDay;
use crate::feedline::refills;
use crate::numbers::{FishNumbers, FoodNumbers, KeeperNumbers, Range, TubNumbers, WaterNumbers};

pub use line::{
    FeedLine, Fill, FloorPart, JarKind, JarTest, MOST_FLOOR_PARTS, Outlet, PlanLine, Reservoir, Run, SPARE, Shape,
    Stone, Timer, Visits,
};
pub use risks::{Culture, Liquid, Mishaps, Owned, StandIn};

/// The most fry one brood may have.
pub const MOST_FRY: u32 = 20_000;
/// The most days one brood may be followed.
pub const MOST_DAYS: u32 = 120;
/// The most plans one comparison may hold.
pub const MOST_PLANS: usize = 60;
/// The most feeds a plan may give in a day.
pub const MOST_FEEDS: usize = 96;

/// A food as the tub sees it.
#[derive(Debug, Clone, PartialEq)]
pub struct Food {
    /// Plain name, for example `microworm`.
    pub name: String,
    /// What sort of thing it is.
    pub sort: FoodSort,
    /// True for prey that darts away, which fry must learn to catch.
    pub lively: bool,
    /// True for newly hatched brine shrimp: eating it is what "weaned" means.
    pub weaning: bool,
    /// Its numbers.
    pub numbers: FoodNumbers<Range>,
}

/// How a food behaves, and which of its numbers count.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FoodSort {
    /// A living animal that keeps to the water while it lives (`mass_ug`, `dead_sink_mm_s`).
    Swimmer,
    /// A living animal that sinks and lives on the bottom (`mass_ug`, `sink_mm_s`).
    Sinker,
    /// A particle that was never alive or no longer is (`dry_kg_m3`, `wet_kg_m3`, `shape_factor`).
    Particle,
}

impl FoodSort {
    /// True for living animals.
    #[must_use]
    pub fn is_alive(self) -> bool {
        !matches!(self, Self::Particle)
    }
}

/// What one dose is made of, in proportion.
#[derive(Debug, Clone, PartialEq)]
pub struct Mix {
    /// Plain name.
    pub name: String,
    /// The foods in it; at least one.
    pub parts: Vec<MixPart>,
    /// Culture liquid in it that was not washed away.
    pub liquid: Option<Liquid>,
}

/// One food in a mix.
#[derive(Debug, Clone, PartialEq)]
pub struct MixPart {
    /// Index into [`Study::foods`].
    pub food: usize,
    /// How much of it one millilitre of the mix holds.
    pub content: Content,
}

/// How much food is in a millilitre of a mix.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Content {
    /// Items per mL.
    Items(Range),
    /// Dry milligrams per mL.
    Milligrams(Range),
}

/// Foods through the days.
#[derive(Debug, Clone, PartialEq)]
pub struct Recipe {
    /// Plain name.
    pub name: String,
    /// In order of day; the first begins on day 1.
    pub stages: Vec<Stage>,
}

impl Recipe {
    /// The stage that holds on a day.
    #[must_use]
    pub fn on_day(&self, day: u32) -> Stage {
        let stage = self.stages.iter().rev().find(|stage| stage.from_day <= day);
        *stage.unwrap_or(&self.stages[0])
    }
}

/// One stretch of days with the same mix.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stage {
    /// First day of the stretch; the first day is day 1.
    pub from_day: u32,
    /// Index into [`Study::mixes`].
    pub mix: usize,
    /// Multiplies every dose in the stretch (growing fry get more).
    pub times: f64,
}

/// A tub with its numbers.
#[derive(Debug, Clone, PartialEq)]
pub struct Tub {
    /// True when gentle air keeps re-lifting what lands on the bottom; in still water all that lands stays.
    pub air: bool,
    /// Its outlet; without one the water is taken to stand at the same level always.
    pub outlet: Option<Outlet>,
    /// Its water's numbers; without them the water is taken to stay good whatever is fed.
    pub water: Option<WaterNumbers<Range>>,
    /// Its numbers.
    pub numbers: TubNumbers<Range>,
}

/// How much one feed brings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Dose {
    /// Millilitres of the day's mix.
    Millilitres(f64),
    /// Dry milligrams, all foods of the day's mix together.
    Milligrams(f64),
    /// Items, all foods of the day's mix together.
    Items(f64),
}

/// Who or what feeds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum By {
    /// The keeper, who may be late or not come.
    Hand,
    /// The pump, on time.
    Pump,
}

/// One feed of a day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Feed {
    /// When it is planned.
    pub at: TimeOfDay,
    /// Who or what gives it.
    pub by: By,
    /// How much it brings.
    pub dose: Dose,
    /// Minutes over which it enters the tub; 0 for at once.
    pub over_min: f64,
}

/// What is done on one day of the week, in order of time.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct DayPlan {
    /// When the keeper is due. Every hand feed has its visit here.
    pub visits: Vec<TimeOfDay>,
    /// The feeds.
    pub feeds: Vec<Feed>,
}

/// Which way a plan's amounts were given, and so what a comparison with it holds equal.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Matched {
    /// So much food a day, divided among the feeds.
    FoodPerDay,
    /// So much a feed: more feeds bring more food.
    FoodPerFeed,
}

/// A feeding plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// Plain name, unique in the study.
    pub name: String,
    /// Name of the family it came from; plans of one family differ only in feeds a day.
    pub family: Option<String>,
    /// Which way its amounts were given.
    pub matched: Matched,
    /// Index into [`Study::tubs`].
    pub tub: usize,
    /// Index into [`Study::recipes`].
    pub recipe: usize,
    /// No feed is given before this day.
    pub first_feed_day: u32,
    /// True when the keeper siphons the bottom at the day's first visit.
    pub siphon: bool,
    /// When the sponge of the outlet is rinsed; of no effect in a tub without outlet.
    pub rinses: Visits,
    /// What it has against mishaps.
    pub owns: Owned,
    /// What is fed instead of foods whose culture is not ready; a food that is not listed is left out of the feed then.
    pub stand_ins: Vec<StandIn>,
    /// What its pump feeds through; without it, pump feeds arrive whole and fresh.
    pub line: Option<PlanLine>,
    /// Monday to Sunday. Pump feeds are those wanted; what the timer makes of them stands in the line's programme.
    pub week: [DayPlan; 7],
}

impl Plan {
    /// Planned keeper visits a day, mean over a week.
    #[must_use]
    pub fn visits_a_day(&self) -> f64 {
        self.week.iter().map(|day| day.visits.len()).sum::<usize>() as f64 / 7.0
    }

    /// Planned feeds a day, mean over a week.
    #[must_use]
    pub fn feeds_a_day(&self) -> f64 {
        self.week.iter().map(|day| day.feeds.len()).sum::<usize>() as f64 / 7.0
    }

    /// True when a pump gives at least one feed.
    #[must_use]
    pub fn has_pump(&self) -> bool {
        self.week.iter().flat_map(|day| &day.feeds).any(|feed| feed.by == By::Pump)
    }
}

/// A checked scenario.
///
/// What must hold (checked by [`Study::verify`]): every index points at something; at least one plan, one food, one
/// fry and one day; limits of this file kept.
#[derive(Debug, Clone, PartialEq)]
pub struct Study {
    /// Short name; also the name of the output folder.
    pub name: String,
    /// One or two sentences for the report.
    pub about: String,
    /// Plain name of the fish.
    pub fish_name: String,
    /// Its numbers.
    pub fish: FishNumbers<Range>,
    /// Every food of the study.
    pub foods: Vec<Food>,
    /// Index into [`Study::foods`]: the newly hatched brine shrimp that "weaned" is judged by.
    pub weaning_food: usize,
    /// Fry at the start.
    pub fry: u32,
    /// Days from first swimming to the last count.
    pub days: u32,
    /// Day of the week of day 1: 0 is Monday.
    pub first_weekday: u8,
    /// Lights on.
    pub light_on: TimeOfDay,
    /// Lights off, later than on.
    pub light_off: TimeOfDay,
    /// Tubs; plans point at them.
    pub tubs: Vec<Tub>,
    /// Reservoirs; plans point at them.
    pub reservoirs: Vec<Reservoir>,
    /// Feed lines; plans point at them.
    pub lines: Vec<FeedLine>,
    /// Jar tests that the keeper has made.
    pub jar_tests: Vec<JarTest>,
    /// What may go wrong; nothing, without it.
    pub mishaps: Option<Mishaps>,
    /// Cultures that may not be ready; at most one a food.
    pub cultures: Vec<Culture>,
    /// How punctual the keeper is.
    pub keeper: KeeperNumbers<Range>,
    /// Mixes; recipes point at them.
    pub mixes: Vec<Mix>,
    /// Recipes; plans point at them.
    pub recipes: Vec<Recipe>,
    /// The plans compared, in the order of the file.
    pub plans: Vec<Plan>,
    /// Index into [`Study::plans`]: what the keeper would do anyway; the answer is told against it.
    pub baseline: usize,
    /// The day shown hour by hour in the report.
    pub show_day: u32,
}

/// Why a study cannot be run.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum StudyError {
    /// A list that must hold something is empty.
    #[error("the study has no {0}")]
    Empty(&'static str),
    /// A number is over its limit.
    #[error("{what}: {given} is more than the {limit} that one study may have")]
    OverLimit {
        /// What there is too much of.
        what: &'static str,
        /// How much was asked for.
        given: u64,
        /// The limit.
        limit: u64,
    },
    /// An index points nowhere.
    #[error("{0} points at something that is not there")]
    Dangling(&'static str),
    /// A dose, a filling or a running time is not a number of zero or more, a run begins before the one before it has
    /// ended, or a hand feed has no visit.
    #[error("plan \"{0}\" has a feed that cannot be given")]
    BadFeed(String),
    /// A reservoir has no inside.
    #[error("the reservoir \"{0}\" has a shape that cannot be")]
    BadShape(String),
    /// Lights go off before they go on, or a stage is out of order.
    #[error("{0} is out of order")]
    OutOfOrder(&'static str),
}

impl Study {
    /// Checks what must hold before a brood is run.
    ///
    /// # Errors
    /// The first thing found wrong.
    pub fn verify(&self) -> Result<(), StudyError> {
        let empty = [
            (self.plans.is_empty(), "plans"),
            (self.foods.is_empty(), "foods"),
            (self.fry == 0, "fry"),
            (self.days == 0, "days"),
        ];
        if let Some((_, what)) = empty.iter().find(|(is_empty, _)| *is_empty) {
            return Err(StudyError::Empty(what));
        }
        let most_feeds = self.plans.iter().flat_map(|plan| &plan.week).map(|day| day.feeds.len()).max().unwrap_or(0);
        let counts = [
            ("fry", u64::from(self.fry), u64::from(MOST_FRY)),
            ("days", u64::from(self.days), u64::from(MOST_DAYS)),
            ("plans", self.plans.len() as u64, MOST_PLANS as u64),
            ("feeds a day", most_feeds as u64, MOST_FEEDS as u64),
        ];
        if let Some(&(what, given, limit)) = counts.iter().find(|(_, given, limit)| given > limit) {
            return Err(StudyError::OverLimit { what, given, limit });
        }
        let foods_found = self
            .mixes
            .iter()
            .all(|mix| !mix.parts.is_empty() && mix.parts.iter().all(|part| part.food < self.foods.len()));
        let found = [
            (self.weaning_food < self.foods.len(), "the weaning food"),
            (foods_found, "a mix"),
            (self.recipes.iter().flat_map(|r| &r.stages).all(|s| s.mix < self.mixes.len()), "a recipe"),
            (self.plans.iter().all(|p| p.tub < self.tubs.len() && p.recipe < self.recipes.len()), "a plan"),
            (self.baseline < self.plans.len(), "the plan to compare with"),
            (self.plans.iter().filter_map(|p| p.line.as_ref()).all(|line| self.is_found(line)), "a feed line"),
            (self.jar_tests.iter().all(|test| self.jar_is_found(test)), "a jar test"),
            (self.cultures.iter().all(|culture| culture.food < self.foods.len()), "a culture"),
            (
                self.plans.iter().flat_map(|p| &p.stand_ins).all(|s| s.food.max(s.instead) < self.foods.len()),
                "a stand-in",
            ),
        ];
        if let Some((_, what)) = found.iter().find(|(ok, _)| !ok) {
            return Err(StudyError::Dangling(what));
        }
        let ordered = |recipe: &Recipe| {
            recipe.stages.first().is_some_and(|s| s.from_day == 1)
                && recipe.stages.windows(2).all(|pair| pair[0].from_day < pair[1].from_day)
        };
        let is_sound = |day: &DayPlan, feed: &Feed| {
            let (Dose::Millilitres(amount) | Dose::Milligrams(amount) | Dose::Items(amount)) = feed.dose;
            let finite = [amount, feed.over_min].iter().all(|v| v.is_finite() && *v >= 0.0);
            finite && (feed.by == By::Pump || day.visits.contains(&feed.at))
        };
        let unsound = |plan: &&Plan| {
            let unsound_line = plan.line.as_ref().is_some_and(|line| !refills::is_sound(line));
            unsound_line || plan.week.iter().any(|day| !day.feeds.iter().all(|feed| is_sound(day, feed)))
        };
        if let Some(plan) = self.plans.iter().find(unsound) {
            return Err(StudyError::BadFeed(plan.name.clone()));
        }
        if let Some(reservoir) = self.reservoirs.iter().find(|reservoir| !reservoir.is_sound()) {
            return Err(StudyError::BadShape(reservoir.name.clone()));
        }
        if !(1..=self.days).contains(&self.show_day) {
            return Err(StudyError::OutOfOrder("the day to be shown"));
        }
        if self.light_on >= self.light_off {
            return Err(StudyError::OutOfOrder("the light"));
        }
        if !self.recipes.iter().all(ordered) {
            return Err(StudyError::OutOfOrder("a recipe"));
        }
        Ok(())
    }

    fn is_found(&self, line: &PlanLine) -> bool {
        line.reservoir < self.reservoirs.len()
            && line.line < self.lines.len()
            && line.recipe < self.recipes.len()
            && line.programme.len() == self.days as usize
    }

    fn jar_is_found(&self, test: &JarTest) -> bool {
        let reservoir = match test.how {
            JarKind::Still { .. } => true,
            JarKind::Stirred { reservoir, .. } => reservoir < self.reservoirs.len(),
        };
        test.food < self.foods.len() && reservoir
    }

    /// Days on which a plan offers a food, first and last, in runs.
    #[must_use]
    pub fn days_offered(&self, plan: &Plan, food: usize) -> Vec<(u32, u32)> {
        let has_own =
            plan.line.is_none() || plan.week.iter().flat_map(|day| &day.feeds).any(|feed| feed.by == By::Hand);
        let recipes = has_own.then_some(plan.recipe).into_iter().chain(plan.line.as_ref().map(|line| line.recipe));
        let mut stretches = Vec::new();
        for recipe in recipes {
            let stages = &self.recipes[recipe].stages;
            for (at, stage) in stages.iter().enumerate() {
                let from = stage.from_day.max(plan.first_feed_day);
                let to = stages.get(at + 1).map_or(self.days, |next| next.from_day - 1).min(self.days);
                if from <= to && self.mixes[stage.mix].parts.iter().any(|part| part.food == food) {
                    stretches.push((from, to));
                }
            }
        }
        stretches.sort_unstable();
        let mut offered: Vec<(u32, u32)> = Vec::new();
        for (from, to) in stretches {
            match offered.last_mut() {
                Some(last) if last.1 + 1 >= from => last.1 = last.1.max(to),
                _ => offered.push((from, to)),
            }
        }
        offered
    }

    /// The day of the week on which a day falls: 0 is Monday.
    #[must_use]
    pub fn weekday(&self, day: u32) -> usize {
        (usize::from(self.first_weekday) + day as usize - 1) % 7
    }
}
