//! The `[keeper]` of a scenario: when visits are due, and how well they are kept.

use std::convert::Infallible;

use frytub_sim::clock::TimeOfDay;
use frytub_sim::numbers::{KeeperNumbers, NumberInfo};
use frytub_sim::study;

use crate::fields::{self, Fields, Node};
use crate::known::Known;
use crate::mistakes::Findings;
use crate::read::numbers::{Asked, Reader};
use crate::times;
use crate::units;
use crate::words;

/// When visits are due.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Visits {
    /// Monday to Friday.
    pub weekday: Vec<TimeOfDay>,
    /// Saturday and Sunday.
    pub weekend: Vec<TimeOfDay>,
}

/// A keeper.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct KeeperText {
    /// When visits are due, unless a plan says otherwise.
    pub visits: Visits,
    /// True if the weekend has visits of its own.
    pub own_weekend: bool,
    /// How well they are kept.
    pub numbers: KeeperNumbers<Known>,
}

/// Name of a keeper's number in a file.
fn written_as(key: &str) -> &'static str {
    match key {
        "late_min" => "late",
        "late_spread" => "late_spread",
        "very_late_chance" => "very_late",
        "missed_chance" => "missed",
        "siphoned_share" => "siphoned",
        _ => "water_change",
    }
}

/// What is taken when the file says nothing of a number.
fn usual(info: &NumberInfo) -> Known {
    let (range, source) = match info.key {
        "late_min" => ((5.0, 10.0, 20.0), "estimate"),
        "late_spread" => ((0.5, 0.8, 1.2), "estimate"),
        "very_late_chance" => ((0.02, 0.04, 0.08), "estimate"),
        "missed_chance" => ((0.01, 0.02, 0.04), "estimate"),
        "siphoned_share" => ((0.5, 0.7, 0.9), "estimate"),
        _ => ((0.0, 0.0, 0.0), "no water change"),
    };
    Known::usual(range, source)
}

/// Reads `[keeper]`.
pub(super) fn read(root: Fields<'_, '_>, findings: &mut Findings) -> Option<KeeperText> {
    let node = root.need("keeper", "[keeper] with visits = [\"07:30\", \"15:30\"]", findings)?;
    let known = ["visits", "weekend_visits", "late", "late_spread", "very_late", "missed", "siphoned", "water_change"];
    let keeper = Fields::open(node, "[keeper]", &known, findings)?;
    let weekday = keeper.need("visits", "visits = [\"07:30\", \"15:30\"]", findings);
    let weekday = weekday.and_then(|node| times::times(node, findings));
    let weekend = keeper.get("weekend_visits").map(|node| times::times(node, findings));
    let mut reader = Reader::new(keeper, findings);
    let numbers = KeeperNumbers::try_from_fn(|info| {
        let asked = Asked { key: written_as(info.key), example: "", usual: Some(usual(info)) };
        Ok::<_, Infallible>(reader.number(info, asked))
    });
    let numbers = reader.whole(numbers.ok()?);
    let own_weekend = weekend.is_some();
    let weekday = weekday?;
    let weekend = weekend.unwrap_or_else(|| Some(weekday.clone()))?;
    Some(KeeperText { visits: Visits { weekday, weekend }, own_weekend, numbers: numbers? })
}

/// Whether something may be done at no visit at all.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Never {
    /// It may.
    Allowed,
    /// It may not.
    Refused,
}

/// Reads at which visits something is done: `every visit`, `daily`, `every 3 days`, or `never` where that is allowed.
pub(super) fn occasions(node: &Node<'_>, never: Never, findings: &mut Findings) -> Option<study::Visits> {
    let expected = match never {
        Never::Allowed => "\"daily\", \"every visit\", \"every 3 days\" or \"never\" is expected",
        Never::Refused => "\"every visit\", \"first visit\" or \"every 2 days\" is expected",
    };
    let text = fields::text(node, expected, findings)?;
    let folded = words::squeeze(text);
    let days = |rest: &str| units::read(rest, "days").ok().filter(|days| days.fract() == 0.0);
    match folded.as_str() {
        "every visit" => return Some(study::Visits::Every),
        "daily" | "every day" | "first visit" | "every first visit" => return Some(study::Visits::First),
        "never" if never == Never::Allowed => return Some(study::Visits::None),
        _ => {}
    }
    match folded.strip_prefix("every ").and_then(days) {
        Some(1.0) => Some(study::Visits::First),
        Some(days) if (1.0..=f64::from(study::MOST_DAYS)).contains(&days) => {
            Some(study::Visits::FirstEvery(days as u32))
        }
        _ => {
            let known: &[&str] = match never {
                Never::Allowed => &["daily", "every visit", "never"],
                Never::Refused => &["every visit", "first visit", "daily"],
            };
            let help = words::nearest(&folded, known.iter().copied()).map(|near| format!("did you mean \"{near}\"?"));
            let what = format!("\"{text}\" does not say at which visits");
            findings.wrong_with(node.span(), what, expected, help);
            None
        }
    }
}

/// The visits of a plan, which may bring its own (`visits`, `weekend_visits`).
///
/// A plan's own `visits` count for the weekend too, unless the file or the plan gives the weekend its own.
pub(super) fn of_plan(plan: Fields<'_, '_>, keeper: &KeeperText, findings: &mut Findings) -> Option<Visits> {
    let own = |key: &str, findings: &mut Findings| match plan.get(key) {
        Some(node) => times::times(node, findings).map(Some),
        None => Some(None),
    };
    let (weekday, weekend) = (own("visits", findings)?, own("weekend_visits", findings)?);
    let usual_weekend = if keeper.own_weekend { Some(&keeper.visits.weekend) } else { weekday.as_ref() };
    let weekend = weekend.unwrap_or_else(|| usual_weekend.unwrap_or(&keeper.visits.weekend).clone());
    Some(Visits { weekday: weekday.unwrap_or_else(|| keeper.visits.weekday.clone()), weekend })
}
