//! What a comparison found: the numbers that tables, charts and files are made of.
//!
//! Shares of the brood are given as fry out of 100 of those at the start, unless said. Spreads run over worlds
//! (the broods of one world averaged). This room only describes; [`crate::monte_carlo`] fills it.

mod reservoirs;

use crate::mishaps::Kind;
use crate::setbacks::Setback;

pub use reservoirs::{
    FeedTrial, FillBalance, FoodTrial, JarFinding, JarLearnt, Remedy, RemedyKind, ReservoirTrial, TestWorth,
};

/// Why a fry died.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Cause {
    /// Starved: little of anything was in reach.
    NoFood,
    /// Starved: most of the food in reach was too big for its mouth.
    FoodTooBig,
    /// Starved: the food had become too small to fill it.
    FoodTooSmall,
    /// Starved: food came, but it was past recovery.
    TooWeak,
    /// Went into the end of the feed tube while it was under water.
    FeedTube,
    /// Carried over the rim.
    OverRim,
    /// Fouled water: too little oxygen.
    NoOxygen,
    /// Fouled water: poisoned by ammonia.
    Ammonia,
    /// Deformity, handling and all that is not modelled.
    Background,
    /// Stopped growing (an assumption that is off unless asked for).
    Stalled,
}

impl Cause {
    /// Every cause, in the order in which reports show them.
    pub const ALL: [Self; 10] = [
        Self::NoFood,
        Self::FoodTooBig,
        Self::FoodTooSmall,
        Self::TooWeak,
        Self::FeedTube,
        Self::OverRim,
        Self::NoOxygen,
        Self::Ammonia,
        Self::Background,
        Self::Stalled,
    ];

    /// Its place in [`Cause::ALL`].
    #[must_use]
    pub fn index(self) -> usize {
        self as usize
    }

    /// Plain words.
    #[must_use]
    pub fn label(self) -> &'static str {
        match self {
            Self::NoFood => "starved: no food",
            Self::FoodTooBig => "starved: food too big",
            Self::FoodTooSmall => "starved: food too small",
            Self::TooWeak => "starved: too weak to eat",
            Self::FeedTube => "drawn into the feed tube",
            Self::OverRim => "carried over the rim",
            Self::NoOxygen => "fouled water: too little oxygen",
            Self::Ammonia => "fouled water: ammonia",
            Self::Background => "background losses",
            Self::Stalled => "stopped growing",
        }
    }
}

/// How a figure varies over worlds.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Spread {
    /// Mean.
    pub mean: f64,
    /// A tenth of the worlds lie below.
    pub low: f64,
    /// Half lie below.
    pub median: f64,
    /// A tenth lie above.
    pub high: f64,
}

/// Fry alive at one time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SurvivalPoint {
    /// Hours since midnight of day 1.
    pub hour: f64,
    /// Fry alive (or not yet swimming) out of 100.
    pub alive: Spread,
}

/// Mouths on one day, and what they fit.
#[derive(Debug, Clone, PartialEq)]
pub struct MouthPoint {
    /// Day, at its end.
    pub day: u32,
    /// Gape of the smallest tenth, the middle and the largest tenth of the living, µm; mean over broods.
    pub gape_um: [f64; 3],
    /// Total length of the same, mm.
    pub length_mm: [f64; 3],
    /// Living fry out of 100 living that could take newly hatched brine shrimp.
    pub ready: f64,
}

/// One food's fit, for the chart of mouth and food; likely values.
#[derive(Debug, Clone, PartialEq)]
pub struct FoodBand {
    /// Plain name.
    pub name: String,
    /// Width that a tenth of the items lie below, the middle, and that a tenth lie above, µm (limbs counted).
    pub width_um: [f64; 3],
    /// Days on which the plan offers it, first and last, in runs.
    pub offered: Vec<(u32, u32)>,
}

/// A moment of the day shown hour by hour; means over all broods.
#[derive(Debug, Clone, PartialEq)]
pub struct DayPoint {
    /// Hour of the day, 0 to 24, middle of the bin.
    pub hour: f64,
    /// Items per mL in the water, one a food in the order of the study.
    pub in_water: Vec<f64>,
    /// Items lying on the bottom per mL of the tub, likewise.
    pub on_bottom: Vec<f64>,
    /// Gut fullness (1 = full) of the worst-fed, middle and best-fed fifth of the living.
    pub gut: [f64; 3],
}

/// Where the food went, as shares of the dry mass put out over the whole brood, into tub and reservoir (sum 1).
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct FoodFate {
    /// Eaten.
    pub eaten: f64,
    /// Washed out by the drip, changed water or siphon while still fresh.
    pub washed_out: f64,
    /// Spoiled or died uneaten in the tub.
    pub spoiled: f64,
    /// Still there, fresh, in the tub on the last day.
    pub left: f64,
    /// Already spoiled when it left the feed tube.
    pub arrived_spoiled: f64,
    /// Never left the reservoir: thrown away at a refill, or there on the last day.
    pub kept_in_reservoir: f64,
    /// In the feed tube on the last day.
    pub in_tube: f64,
}

/// What one pump feed of the day shown brought to the tub; means over all broods.
#[derive(Debug, Clone, PartialEq)]
pub struct DosePoint {
    /// Hour of the day at which it begins.
    pub hour: f64,
    /// What was wanted, mL of the mix.
    pub wanted_ml: f64,
    /// Water that arrived, mL.
    pub arrived_ml: f64,
    /// Dry mass of each food that was wanted, in the order of the study, µg.
    pub wanted_ug: Vec<f64>,
    /// Fresh dry mass of each food that arrived, µg.
    pub fresh_ug: Vec<f64>,
    /// Spoiled dry mass of each food that arrived, µg.
    pub spoiled_ug: Vec<f64>,
}

/// The water level at one time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LevelPoint {
    /// Hours since midnight of day 1.
    pub hour: f64,
    /// Highest level above the still water since the point before, mm.
    pub level_mm: Spread,
}

/// The water at one time; spreads over worlds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WaterPoint {
    /// Hours since midnight of day 1.
    pub hour: f64,
    /// Highest un-ionised ammonia (NH3) since the point before, mg/L.
    pub ammonia_mg_l: Spread,
    /// Lowest oxygen since the point before, mg/L.
    pub oxygen_mg_l: Spread,
    /// Total ammonia nitrogen at the point, mg/L.
    pub nitrogen_mg_l: Spread,
}

/// What became of the water.
#[derive(Debug, Clone, PartialEq)]
pub struct WaterResult {
    /// Through the days, at the hours of the survival curve.
    pub points: Vec<WaterPoint>,
    /// Highest un-ionised ammonia of the whole brood, mg/L.
    pub worst_ammonia_mg_l: Spread,
    /// Lowest oxygen of the whole brood, mg/L.
    pub worst_oxygen_mg_l: Spread,
    /// Un-ionised ammonia below which none die, at likely values, mg/L.
    pub harmless_ammonia_mg_l: f64,
    /// Oxygen below which fry begin to die, at likely values, mg/L.
    pub harmful_oxygen_mg_l: f64,
    /// pH of the water at the end, median world.
    pub ph: f64,
}

/// What the outlet of the tub did.
#[derive(Debug, Clone, PartialEq)]
pub struct OutletResult {
    /// Level through the days, at the hours of the survival curve.
    pub level: Vec<LevelPoint>,
    /// Hours for which the end of the feed tube was under water.
    pub under_water_h: Spread,
    /// Hours for which water went over the rim.
    pub over_rim_h: Spread,
    /// Height of the tube's end above the still water at its likely value, mm; `None` without a feed line.
    pub tube_end_mm: Option<f64>,
    /// Height of the rim above the still water at its likely value, mm.
    pub rim_mm: f64,
}

/// What one plan brought.
#[derive(Debug, Clone, PartialEq)]
pub struct PlanResult {
    /// Worlds in which it was run.
    pub worlds: u32,
    /// Alive on the last day, out of 100.
    pub alive: Spread,
    /// Weaned on the last day, out of 100.
    pub weaned: Spread,
    /// Median length of the living on the last day, mm.
    pub length_mm: Spread,
    /// Daily growth (difference of logarithms of mass) of the living, per day.
    pub growth_living: Spread,
    /// Daily growth of all fry that started, the dead counted with their last mass, per day.
    pub growth_all: Spread,
    /// Food eaten per living fry on the day shown, as a share of its mass: worst-fed, 2nd, middle, 4th, best-fed fifth.
    pub intake_fifths: [f64; 5],
    /// Food put in over all days, dry mg; mean.
    pub food_given_mg: f64,
    /// Day by which half of the living could take brine shrimp; a world in which it did not come counts as the day
    /// after the last. `None` if it came in no world.
    pub half_ready_day: Option<Spread>,
    /// Day by which nine tenths could, likewise.
    pub most_ready_day: Option<Spread>,
    /// Share of worlds, 0 to 1, in which half could and in which nine tenths could by the last day.
    pub ready_worlds: [f64; 2],
    /// Through the days, evenly spaced from midnight of day 1.
    pub survival: Vec<SurvivalPoint>,
    /// Deaths out of 100 starting fry, by day (day 1 first), then by [`Cause::ALL`]; mean over broods.
    pub deaths: Vec<[f64; Cause::ALL.len()]>,
    /// Of those, deaths in which a mishap had its part, out of 100 starting fry, by [`Kind::ALL`], then by
    /// [`Cause::ALL`]; a death is counted under one mishap at most.
    pub by_mishap: [[f64; Cause::ALL.len()]; Kind::ALL.len()],
    /// Mouths at the end of each day.
    pub mouths: Vec<MouthPoint>,
    /// The day shown hour by hour.
    pub day: Vec<DayPoint>,
    /// Where the food went.
    pub fate: FoodFate,
    /// The pump feeds of the day shown, in order of time; empty without a feed line.
    pub doses: Vec<DosePoint>,
    /// What the outlet did; `None` for a tub without one.
    pub outlet: Option<OutletResult>,
    /// What became of the water; `None` where it is not reckoned with.
    pub water: Option<WaterResult>,
    /// Visits that happened per planned visit, and the mean lateness of those that happened, min.
    pub visits_kept: f64,
    /// Mean lateness of the visits that happened, min.
    pub lateness_min: f64,
}

impl PlanResult {
    /// Deaths out of 100 by cause over all days, in the order of [`Cause::ALL`].
    #[must_use]
    pub fn deaths_by_cause(&self) -> [f64; Cause::ALL.len()] {
        let mut sum = [0.0; Cause::ALL.len()];
        for day in &self.deaths {
            for (total, dead) in sum.iter_mut().zip(day) {
                *total += dead;
            }
        }
        sum
    }
}

/// An interval for an unknown value.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Interval {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// One plan against the leader, paired world by world.
#[derive(Debug, Clone, PartialEq)]
pub struct Pair {
    /// Index of the other plan.
    pub plan: usize,
    /// Weaned fry out of 100: leader less this plan; over worlds.
    pub difference: Spread,
    /// 80 % interval for the mean difference.
    pub mean_80: Interval,
    /// 95 % interval for the mean difference.
    pub mean_95: Interval,
    /// Worlds out of 100 in which the leader brought more weaned fry.
    pub better: f64,
    /// Worlds out of 100 in which both brought the same.
    pub same: f64,
    /// Wilson 95 % interval for `better`.
    pub better_95: Interval,
}

impl Pair {
    /// Worlds out of 100 in which the leader brought fewer weaned fry.
    #[must_use]
    pub fn worse(&self) -> f64 {
        (100.0 - self.better - self.same).max(0.0)
    }
}

/// How hard an uncertain number pulls on the leading difference.
#[derive(Debug, Clone, PartialEq)]
pub struct Pull {
    /// The number, for example `fish: gape_share`.
    pub name: String,
    /// Plain words, for example `ram: mouth opening at 90° as a share of length`.
    pub label: String,
    /// Unit.
    pub unit: String,
    /// Low, likely and high value.
    pub values: [f64; 3],
    /// Spearman's rank correlation, over worlds, of the number with the difference in weaned fry.
    pub on_difference: f64,
    /// The same with the leader's weaned fry.
    pub on_leader: f64,
    /// Its value as drawn for each world, in order; where tubs, reservoirs or lines differ, that of the first.
    pub by_world: Vec<f64>,
}

/// Why the comparison ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stopped {
    /// All broods asked for were run.
    Broods,
    /// The leading comparison is known to the precision asked for.
    Precision,
    /// It was interrupted; what was finished is here.
    Interrupted,
}

/// One plan in one world, means over its broods.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WorldRow {
    /// World, counting from 1.
    pub world: u32,
    /// Index of the plan.
    pub plan: usize,
    /// Alive on the last day, out of 100.
    pub alive: f64,
    /// Weaned, out of 100.
    pub weaned: f64,
    /// Median length of the living on the last day, mm; NaN when none lives.
    pub length_mm: f64,
    /// Daily growth of the living, per day; NaN when none lives.
    pub growth: f64,
    /// Food eaten per starting fry over the whole brood, dry µg.
    pub eaten_ug: f64,
}

/// Everything a comparison found.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    /// Seed of all random numbers.
    pub seed: u64,
    /// Worlds run. Members of families that only make curves are run in the first of them: see the plans' own counts.
    pub worlds: u32,
    /// Broods run for each plan that stands on its own.
    pub broods: u32,
    /// Why it ended.
    pub stopped: Stopped,
    /// True when every number was held at its most likely value.
    pub likely_only: bool,
    /// Results in the order of the study's plans.
    pub plans: Vec<PlanResult>,
    /// Bands of the foods for each plan's chart of mouth and food, in the order of the plans.
    pub bands: Vec<Vec<FoodBand>>,
    /// Index of the plan with most weaned fry (most alive, when none weans).
    pub leader: usize,
    /// Index of the plan that the answer is told against: the study's baseline, or the next best when that leads.
    pub rival: usize,
    /// Every other plan against the leader, in the order of the plans.
    pub pairs: Vec<Pair>,
    /// Uncertain numbers by how hard they pull on leader less rival, strongest first.
    pub pulls: Vec<Pull>,
    /// A pull below this could be chance (95th percentile of the strongest among shuffled worlds).
    pub pull_threshold: f64,
    /// One row a world and plan, in order.
    pub world_rows: Vec<WorldRow>,
    /// What each jar test told, in the order of the study.
    pub jar_tests: Vec<JarFinding>,
    /// What setbacks cost each plan, by plan, then in the order of [`crate::setbacks::possible`]; empty if none was
    /// tried.
    pub costs: Vec<Cost>,
}

/// What one setback costs one plan: the same broods with it and without it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cost {
    /// Index of the plan.
    pub plan: usize,
    /// What was forced.
    pub setback: Setback,
    /// Day on which it struck, and hour of that day (0 to 24): where it did most harm with every number at its likely
    /// value. For a late culture the day on which it was to be fed first.
    pub day: u32,
    /// See `day`.
    pub hour: f64,
    /// Worlds in which it was tried.
    pub worlds: u32,
    /// Weaned fry out of 100 that it cost (without less with it); over worlds.
    pub lost: Spread,
    /// 80 % interval for the mean.
    pub mean_80: Interval,
    /// 95 % interval for the mean.
    pub mean_95: Interval,
    /// Mean of the fry alive on the last day that it cost, out of 100.
    pub alive_lost: f64,
    /// Worlds out of 100 in which it cost ten weaned fry of 100 or more.
    pub hard: f64,
}
