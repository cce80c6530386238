//! What reservoirs were found to bring without any fry, and what jar tests told or would tell.

use super::Spread;

/// How far the jar tests of one food narrowed what was not known of it. Ranges are 10 %, middle and 90 % points over
/// worlds.
#[derive(Debug, Clone, PartialEq)]
pub struct JarFinding {
    /// Index of the food in the study.
    pub food: usize,
    /// What was narrowed.
    pub what: JarLearnt,
    /// Before the tests.
    pub before: Spread,
    /// After them.
    pub after: Spread,
    /// True if hardly any world explains the readings: the tests disagree with the ranges, or with each other.
    pub is_surprise: bool,
}

/// What a jar test tells of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum JarLearnt {
    /// The sinking speed of the food, mean by mass, mm/s.
    SinkingSpeed,
    /// The share of landings in a reservoir (index in the study) that are for good, 0 to 1.
    StayingShare(usize),
}

/// What one filling of one reservoir brought without any fry; spreads over worlds.
#[derive(Debug, Clone, PartialEq)]
pub struct ReservoirTrial {
    /// Index of the reservoir in the study.
    pub reservoir: usize,
    /// Index of the plan whose pump, timer and tube were used.
    pub plan: usize,
    /// Day of the filling that is shown.
    pub day: u32,
    /// Poured in, mL, and hours up to the next filling.
    pub filled_ml: f64,
    /// See `filled_ml`.
    pub hours: f64,
    /// The foods poured in.
    pub foods: Vec<FoodTrial>,
    /// Feed by feed, in order of time.
    pub feeds: Vec<FeedTrial>,
    /// Share of the plan area of the floor on which landed food stays for good, at likely values, 0 to 1.
    pub dead_floor: f64,
    /// Share of worlds, 0 to 1, in which the pump drew air, and at likely values the feed (index) at which it first did.
    pub dry_worlds: f64,
    /// See `dry_worlds`.
    pub dry_at: Option<usize>,
    /// What other ways of keeping the food would bring: fresh dry mass of all foods delivered, out of 100 poured in for
    /// the feeds.
    pub remedies: Vec<Remedy>,
    /// Jar tests, most worth doing first.
    pub tests: Vec<TestWorth>,
}

/// One food of a filling: where it was when the next filling was due, out of 100 parts of dry mass that the feeds were
/// to bring (poured in less the planned rest). Spreads over worlds.
#[derive(Debug, Clone, PartialEq)]
pub struct FoodTrial {
    /// Index of the food in the study.
    pub food: usize,
    /// Fresh, delivered to the tub.
    pub delivered_fresh: Spread,
    /// Delivered, but spoiled or dead.
    pub delivered_spoiled: Spread,
    /// Where the whole filling was at the end, out of 100 poured in: means over worlds.
    pub balance: FillBalance,
    /// Wanted of all feeds together, dry mg; mean over worlds.
    pub wanted_mg: f64,
    /// Delivered fresh if settling in the reservoir were the only trouble.
    pub by_settling_alone: Spread,
    /// Delivered fresh if ageing in the reservoir were the only trouble.
    pub by_ageing_alone: Spread,
    /// Delivered fresh if settling and ageing in the tube were the only trouble.
    pub by_tube_alone: Spread,
    /// Delivered fresh if none of these were: what timer and pump make of the doses.
    pub by_none: Spread,
}

/// Where a filling was at its end, out of 100 parts of dry mass poured in (sum 100).
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct FillBalance {
    /// Left the reservoir fresh.
    pub drawn_fresh: f64,
    /// Left the reservoir spoiled.
    pub drawn_spoiled: f64,
    /// Still in suspension.
    pub in_suspension: f64,
    /// Landed, and on its way back.
    pub resting: f64,
    /// Landed for good.
    pub stuck: f64,
}

/// One feed of a filling. Spreads over worlds.
#[derive(Debug, Clone, PartialEq)]
pub struct FeedTrial {
    /// Hours after midnight of the day of the filling.
    pub hour: f64,
    /// Wanted and given volume, mL; given at likely values.
    pub wanted_ml: f64,
    /// See `wanted_ml`.
    pub given_ml: f64,
    /// For each food of the filling, fresh dry mass that reached the tub out of 100 wanted of that feed.
    pub fresh: Vec<Spread>,
    /// The same, spoiled or dead.
    pub spoiled: Vec<Spread>,
}

/// Another way of keeping the food.
#[derive(Debug, Clone, PartialEq)]
pub struct Remedy {
    /// What is changed.
    pub what: RemedyKind,
    /// Fresh dry mass of all foods delivered, out of 100 wanted.
    pub delivered_fresh: Spread,
}

/// Ways of keeping the food.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RemedyKind {
    /// As the scenario has it.
    AsItIs,
    /// Kept at 8 °C.
    Cold,
    /// Filled twice in the same time, with half each.
    FilledTwice,
    /// Filled one hour before the first feed.
    FilledLate,
    /// In a steep cone (60 degrees) of the same volume with stone and intake in the tip.
    SteepCone,
}

/// What a jar test would be worth.
#[derive(Debug, Clone, PartialEq)]
pub struct TestWorth {
    /// Index of the food in the study.
    pub food: usize,
    /// True for a test with air on, in the reservoir; false for one in a still jar.
    pub stirred: bool,
    /// Minutes after which to read it.
    pub after_min: f64,
    /// Water in the jar, mm high (still), or in the reservoir, mL (stirred).
    pub water: f64,
    /// Readings to expect: share in suspension, 0 to 1.
    pub reading: Spread,
    /// Width of the 80 % range of the food's fresh delivery now, out of 100, and as expected after the test.
    pub width_before: f64,
    /// See `width_before`.
    pub width_after: f64,
}
