//! A published trial held against the model: what was published, what the model says of the same arms over many
//! worlds, and whether the two agree.
//!
//! An arm is a plan of the study. This room compares; it does not know where the values were published beyond the words
//! it is given, and nothing in the model is changed by what it finds.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::atomic::AtomicBool;
use std::sync::{Mutex, PoisonError};

use crate::brood::diary::BroodRecord;
use crate::fry::shoal::Physiology;
use crate::monte_carlo::{self, CompareError, Played, Settings, Watcher};
use crate::numbers::{NumberInfo, Scale};
use crate::outcome::{Spread, Stopped};
use crate::statistics::{mean, spread};
use crate::study::Study;
use crate::worlds::BLOCK;

/// Broods for each arm, when nothing is said: one evenly spread block of worlds.
pub const USUAL_BROODS: u32 = BLOCK;
/// Hours over which [`Quantity::GutFedOn`] and [`Quantity::GutEmptying`] are taken.
const GUT_HOURS: f64 = 7.0;
/// Share of the brood whose death ends [`Quantity::DaysNearlyAllDead`].
const NEARLY_ALL: f64 = 0.95;
/// Hour of day 1 by which half of the fry swim: days of life are counted from there.
const SWIM_UP_HOUR: f64 = 12.0;

/// A published trial, beside the study that plays it.
#[derive(Debug, Clone, PartialEq)]
pub struct Case {
    /// What the trial is good for, unless an expected value says otherwise.
    pub kind: Kind,
    /// Where it was published.
    pub source: String,
    /// What had to be assumed, in sentences.
    pub assumed: Vec<String>,
    /// The published values; at least one.
    pub expected: Vec<Expected>,
}

/// What a published value is good for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A test: no number of the model was chosen with it in view.
    Validation,
    /// Some number of the model was chosen with it in view.
    Calibration,
    /// Only a direction was published.
    SignOnly,
}

impl Kind {
    /// Every kind.
    pub const ALL: [Self; 3] = [Self::Validation, Self::Calibration, Self::SignOnly];

    /// Plain words, as case files write them.
    #[must_use]
    pub fn label(self) -> &'static str {
        match self {
            Self::Validation => "validation",
            Self::Calibration => "calibration",
            Self::SignOnly => "sign only",
        }
    }
}

/// One published value.
#[derive(Debug, Clone, PartialEq)]
pub struct Expected {
    /// Index of the arm among the plans of the study.
    pub plan: usize,
    /// The arm it is compared with, and how.
    pub against: Option<(usize, Versus)>,
    /// What was measured.
    pub quantity: Quantity,
    /// Day at whose end it was measured, where that counts.
    pub on_day: u32,
    /// What was published.
    pub published: Published,
    /// What it is good for.
    pub kind: Kind,
}

/// How two arms are compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Versus {
    /// The arm's value divided by the other's; worlds in which the other's is 0 are left out.
    Ratio,
    /// The arm's value less the other's.
    Difference,
}

/// What was published, in the unit of the quantity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Published {
    /// One value, and the error or deviation printed beside it.
    Value(f64, Option<f64>),
    /// From one value to another: the span of several groups, or a bound.
    Span(f64, f64),
    /// The arm had more than the other.
    More,
    /// The arm had less than the other.
    Less,
    /// The two did not differ by more than this.
    Same(f64),
}

/// What was measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quantity {
    /// Share of the brood alive at the end of a day.
    Survival,
    /// Daily growth of the living over the whole brood, difference of logarithms of dry mass, median.
    Growth,
    /// Median length of the living at the end of a day.
    Length,
    /// Median dry mass of the living at the end of a day.
    Mass,
    /// Days from first swimming until half of the brood is dead.
    DaysHalfDead,
    /// Days from first swimming until 95 of 100 are dead.
    DaysNearlyAllDead,
    /// Share of a gut's content that leaves it in 7 h while the fry feeds on.
    GutFedOn,
    /// The same with the food removed.
    GutEmptying,
}

impl Quantity {
    /// Every quantity.
    pub const ALL: [Self; 8] = [
        Self::Survival,
        Self::Growth,
        Self::Length,
        Self::Mass,
        Self::DaysHalfDead,
        Self::DaysNearlyAllDead,
        Self::GutFedOn,
        Self::GutEmptying,
    ];

    /// Plain words, as case files write them.
    #[must_use]
    pub fn label(self) -> &'static str {
        match self {
            Self::Survival => "survival",
            Self::Growth => "growth",
            Self::Length => "length",
            Self::Mass => "mass",
            Self::DaysHalfDead => "days until half are dead",
            Self::DaysNearlyAllDead => "days until 95 of 100 are dead",
            Self::GutFedOn => "gut emptied in 7 h, fed on",
            Self::GutEmptying => "gut emptied in 7 h, food removed",
        }
    }

    /// Its unit and limits.
    #[must_use]
    pub fn info(self) -> NumberInfo {
        let (unit, least, most) = match self {
            Self::Survival | Self::GutFedOn | Self::GutEmptying => ("", 0.0, 1.0),
            Self::Growth => ("per day", -1.0, 2.0),
            Self::Length => ("mm", 0.5, 200.0),
            Self::Mass => ("mg", 1e-4, 1e5),
            Self::DaysHalfDead | Self::DaysNearlyAllDead => ("d", 0.0, 120.0),
        };
        NumberInfo { key: "published", label: self.label(), unit, least, most, scale: Scale::Even }
    }

    /// Its value in one brood.
    fn of(self, study: &Study, on_day: u32, played: &Played<'_>) -> f64 {
        let record = played.record;
        let end = record.days.get(on_day as usize - 1);
        match self {
            Self::Survival => {
                let dead = record.deaths.partition_point(|death| death.hour <= 24.0 * f64::from(on_day));
                (record.fry - dead) as f64 / record.fry as f64
            }
            Self::Growth => record.growth_living,
            Self::Length => end.map_or(f64::NAN, |day| day.length_mm[1]),
            Self::Mass => end.map_or(f64::NAN, |day| day.mass_ug / 1000.0),
            Self::DaysHalfDead => days_dead(study, record, 0.5),
            Self::DaysNearlyAllDead => days_dead(study, record, NEARLY_ALL),
            Self::GutFedOn | Self::GutEmptying => {
                let tub = &played.world.tubs[study.plans[played.plan].tub];
                let gut = Physiology::new(&played.world.fish, tub.temperature_c).gut;
                let rate = if self == Self::GutFedOn { gut.fast } else { gut.slow };
                1.0 - (-rate * GUT_HOURS).exp()
            }
        }
    }
}

/// Days after first swimming at which a share of the brood was dead; a brood in which that did not come counts as the
/// day after the last.
fn days_dead(study: &Study, record: &BroodRecord, share: f64) -> f64 {
    let rank = (share * record.fry as f64).ceil() as usize;
    let never = 24.0 * f64::from(study.days + 1);
    let hour = record.deaths.get(rank.saturating_sub(1)).map_or(never, |death| death.hour);
    (hour - SWIM_UP_HOUR) / 24.0
}

/// What the model says to one published value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Held {
    /// The model's value over worlds.
    pub predicted: Spread,
    /// Worlds that have a value.
    pub worlds: u32,
    /// Share of these worlds in which a published direction holds; `None` where a value was published.
    pub agreeing: Option<f64>,
    /// True when the published value lies in the predicted range (a tenth of the worlds below, a tenth above), when a
    /// published span and the predicted range overlap, or when the middle world shows the published direction.
    pub inside: bool,
}

/// Plays the arms of a case in many worlds and compares.
///
/// What is given back is in the order of the expected values.
///
/// # Errors
/// Those of [`monte_carlo::compare`]; also [`CompareError::NothingDone`] when it was interrupted before all worlds were
/// done, since a part of the worlds is not the range that was asked for.
pub fn hold(
    study: &Study,
    case: &Case,
    settings: &Settings,
    watcher: &dyn Watcher,
    interrupt: &AtomicBool,
) -> Result<Vec<Held>, CompareError> {
    let notes = Notes { study, expected: &case.expected, watcher, figures: Mutex::default() };
    if monte_carlo::compare(study, settings, &notes, interrupt)?.stopped == Stopped::Interrupted {
        return Err(CompareError::NothingDone);
    }
    let figures = notes.figures.into_inner().unwrap_or_else(PoisonError::into_inner);
    let worlds: BTreeSet<u32> = figures.keys().map(|key| key.2).collect();
    let of_world = |index: usize, plan: usize, world: u32| {
        let broods = figures.range((index, plan, world, 0)..=(index, plan, world, u32::MAX)).map(|(_, value)| *value);
        mean(&broods.filter(|value| !value.is_nan()).collect::<Vec<_>>())
    };
    let held = |(index, expected): (usize, &Expected)| {
        let value = |&world: &u32| {
            let one = of_world(index, expected.plan, world);
            match expected.against {
                None => one,
                Some((other, Versus::Difference)) => one - of_world(index, other, world),
                Some((other, Versus::Ratio)) => match of_world(index, other, world) {
                    0.0 => f64::NAN,
                    other => one / other,
                },
            }
        };
        judge(&expected.published, &worlds.iter().map(value).filter(|value| !value.is_nan()).collect::<Vec<_>>())
    };
    Ok(case.expected.iter().enumerate().map(held).collect())
}

/// Holds one published value against the model's values, one a world.
fn judge(published: &Published, values: &[f64]) -> Held {
    let predicted = spread(values.iter().copied());
    let share = |holds: &dyn Fn(f64) -> bool| {
        Some(values.iter().filter(|value| holds(**value)).count() as f64 / values.len().max(1) as f64)
    };
    let (inside, agreeing) = match *published {
        Published::Value(value, _) => (predicted.low <= value && value <= predicted.high, None),
        Published::Span(from, to) => (predicted.low <= to && from <= predicted.high, None),
        Published::More => (predicted.median > 0.0, share(&|value| value > 0.0)),
        Published::Less => (predicted.median < 0.0, share(&|value| value < 0.0)),
        Published::Same(within) => (predicted.median.abs() <= within, share(&|value| value.abs() <= within)),
    };
    Held { predicted, worlds: values.len() as u32, agreeing, inside }
}

/// Notes what each brood says of each expected value, by expected value, plan, world and brood.
struct Notes<'a> {
    study: &'a Study,
    expected: &'a [Expected],
    watcher: &'a dyn Watcher,
    figures: Mutex<BTreeMap<(usize, usize, u32, u32), f64>>,
}

impl Watcher for Notes<'_> {
    fn progress(&self, done: u64, of: u64) {
        self.watcher.progress(done, of);
    }

    fn played(&self, played: &Played<'_>) {
        let mut figures = self.figures.lock().unwrap_or_else(PoisonError::into_inner);
        for (index, expected) in self.expected.iter().enumerate() {
            let is_arm = expected.plan == played.plan || expected.against.is_some_and(|(plan, _)| plan == played.plan);
            if is_arm {
                let value = expected.quantity.of(self.study, expected.on_day, played);
                figures.insert((index, played.plan, played.number, played.brood), value);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_spans_and_directions_are_judged_as_said() {
        let values: Vec<f64> = (0..=10).map(f64::from).collect();
        let inside = |published: Published| judge(&published, &values).inside;
        assert_eq!(
            (judge(&Published::More, &values).predicted.low, judge(&Published::More, &values).worlds),
            (1.0, 11)
        );
        assert!(inside(Published::Value(1.0, None)) && inside(Published::Value(9.0, None)));
        assert!(!inside(Published::Value(0.99, None)) && !inside(Published::Value(9.01, Some(5.0))));
        assert!(inside(Published::Span(-4.0, 1.0)) && inside(Published::Span(9.0, 20.0)));
        assert!(!inside(Published::Span(-4.0, 0.9)) && !inside(Published::Span(9.1, 20.0)));
        assert!(inside(Published::More) && !inside(Published::Less));
        assert!(inside(Published::Same(5.0)) && !inside(Published::Same(4.9)));
        assert_eq!(judge(&Published::Same(4.0), &values).agreeing, Some(5.0 / 11.0));
        let nobody = judge(&Published::Value(1.0, None), &[]);
        assert!(!nobody.inside && nobody.worlds == 0, "no world, no agreement");
    }
}
