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
            let vessel = study.reservoirs.get(reservoir).map_or("the reservoir", |r| r.name.as_str());
            Learnt { food, what: format!("share of landings in {} that are for good", quoted(vessel)), unit: "" }
        }
    }
}

/// One sentence: what was known before the tests and what is known after.
#[must_use]
pub fn sentence(study: &Study, finding: &JarFinding) -> String {
    let Learnt { food, what, unit } = learnt(study, finding);
    let space = if unit.is_empty() { "" } else { " " };
    let range = |spread: &Spread| {
        let (low, high) = (figures(spread.low), figures(spread.high));
        if low == high { low } else { format!("{low} to {high}") }
    };
    format!("{food}: {what} {}{space}{unit} before, {} after.", range(&finding.before), range(&finding.after))
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
