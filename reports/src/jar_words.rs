//! What a keeper's jar tests told, in plain sentences.

use frytub_sim::outcome::{JarFinding, JarLearnt, Spread};
use frytub_sim::study::Study;

use crate::words::{figures, quoted};

/// A finding as names.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Learnt {
    /// The food.
    pub food: String,
    /// What was narrowed, to be read after the food's name.
    pub what: String,
    /// Unit; empty for a share.
    pub unit: &'static str,
}

/// Food, quantity and unit of a finding.
#[must_use]
pub fn learnt(study: &Study, finding: &JarFinding) -> Learnt {
    let food = study.foods.get(finding.food).map_or("food", |food| food.name.as_str()).to_owned();
    match finding.what {
        JarLearnt::SinkingSpeed => Learnt { food, what: "sinking speed".to_owned(), unit: "mm/s" },
        JarLearnt::StayingShare(reservoir) => {
            let vessel = vessel(study, reservoir);
            Learnt { food, what: format!("share of landings in {vessel} that are for good"), unit: "" }
        }
    }
}

/// One sentence: what was known before the tests and what is known after.
#[must_use]
pub fn sentence(study: &Study, finding: &JarFinding) -> String {
    let range = |spread: &Spread, times: f64| {
        let (low, high) = (figures(spread.low * times), figures(spread.high * times));
        if low == high { low } else { format!("{low} to {high}") }
    };
    let Learnt { food, what, unit } = learnt(study, finding);
    let told = |times: f64| (range(&finding.before, times), range(&finding.after, times));
    match finding.what {
        JarLearnt::SinkingSpeed => {
            let (before, after) = told(1.0);
            format!("{food}: {what} {before} {unit} before, {after} after.")
        }
        JarLearnt::StayingShare(reservoir) => {
            let (before, after) = told(100.0);
            format!(
                "{food} in {}: of 100 landings {before} are for good before, {after} after.",
                vessel(study, reservoir)
            )
        }
    }
}

/// A reservoir's name in quotes.
fn vessel(study: &Study, reservoir: usize) -> String {
    study.reservoirs.get(reservoir).map_or_else(|| "the reservoir".to_owned(), |one| quoted(&one.name))
}

/// A warning when the tests disagree with what was thought possible.
#[must_use]
pub fn warning(study: &Study, finding: &JarFinding) -> Option<String> {
    finding.is_surprise.then(|| {
        let learnt = learnt(study, finding);
        format!(
            "The tests with {} disagree with the range that was thought possible, or with each other: hardly any \
             world explains them. Repeat them, and check the height of the water, the minutes and the dilutions, \
             before you trust the results for this food.",
            learnt.food
        )
    })
}
