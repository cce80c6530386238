//! The `[feed_line]` of a scenario, and what a plan changes about it: pump, timer and tube.
//!
//! Knows equipment; does not know doses.

use std::convert::Infallible;

use frytub_sim::numbers::LineNumbers;
use frytub_sim::study::{FeedLine, Timer};
use toml::de::DeValue;

use crate::fields::{self, Fields, Node};
use crate::known::Known;
use crate::library::{Library, read_timer};
use crate::mistakes::Findings;
use crate::read::numbers::{Asked, Reader};
use crate::read::unknown_name;

/// Pump, timer and tube as written.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct LineText {
    /// The timer.
    pub timer: Timer,
    /// The numbers of pump and tube.
    pub numbers: LineNumbers<Known>,
}

impl LineText {
    /// The line as a study holds it.
    pub fn finished(&self) -> FeedLine {
        FeedLine { timer: self.timer.clone(), numbers: self.numbers.map(|_, known| known.range) }
    }
}

/// How a line's number is asked for.
fn asked(key: &str, usual: Option<Known>) -> Asked {
    let (key, example) = match key {
        "pump_ml_min" => ("pump", "pump = \"5 mL/min\""),
        "pump_drift" => ("pump_drift", ""),
        "pocket_ml" => ("roller", ""),
        "bore_mm" => ("tube_bore", ""),
        "length_m" => ("tube_length", "tube_length = \"1.5 m\""),
        "tube_ageing" => ("tube_ageing", ""),
        "end_mm" => ("tube_end", "tube_end = \"40 mm\""),
        "entry_per_h" => ("entry", ""),
        _ => ("above_tub", ""),
    };
    Asked { key, example, usual }
}

/// What is taken when the file says nothing of a number; `None` if it must be said.
fn usual(key: &str) -> Option<Known> {
    let (range, source) = match key {
        "pump_drift" => {
            ((0.90, 0.97, 1.03), "estimate: two to five hundredths in the first hours, then slowly with wear and set")
        }
        "pocket_ml" => {
            ((0.07, 0.16, 0.26), "computed from the shape of a small roller pump with tube of 2, 3 and 4 mm")
        }
        "bore_mm" => ((4.0, 4.0, 4.0), "the usual air-line tube; common practice, no source"),
        "tube_ageing" => ((1.0, 1.5, 3.0), "estimate: little oxygen, and slime on the wall"),
        "entry_per_h" => ((0.002, 0.01, 0.05), "estimate from common practice: tens of a few hundred fry in one night"),
        "above_mm" => ((300.0, 300.0, 300.0), "a shelf above the tub; an estimate"),
        _ => return None,
    };
    Some(Known::usual(range, source))
}

fn known_fields() -> Vec<&'static str> {
    ["timer"].into_iter().chain(LineNumbers::<f64>::INFO.iter().map(|info| asked(info.key, None).key)).collect()
}

/// Reads `[feed_line]`.
pub(super) fn read(root: Fields<'_, '_>, library: &Library, findings: &mut Findings) -> Option<LineText> {
    let line = Fields::open(root.get("feed_line")?, "[feed_line]", &known_fields(), findings)?;
    let timer = line.need("timer", "timer = \"one-minute timer\"", findings);
    let timer = timer.and_then(|node| timer_of(node, library, findings));
    let mut reader = Reader::new(line, findings);
    let numbers =
        LineNumbers::try_from_fn(|info| Ok::<_, Infallible>(reader.number(info, asked(info.key, usual(info.key)))));
    let numbers = reader.whole(numbers.ok()?);
    Some(LineText { timer: timer?, numbers: numbers? })
}

/// Reads what a plan changes about the feed line.
pub(super) fn changed(
    base: &LineText,
    node: &Node<'_>,
    library: &Library,
    findings: &mut Findings,
) -> Option<LineText> {
    let change = Fields::open(node, "the feed line of a plan", &known_fields(), findings)?;
    let timer = change.get("timer").map_or_else(|| Some(base.timer.clone()), |node| timer_of(node, library, findings));
    let mut reader = Reader::new(change, findings);
    let before = &base.numbers;
    let numbers = before.map(|info, before| reader.number(info, asked(info.key, Some(before.clone()))));
    let numbers = reader.whole(numbers);
    Some(LineText { timer: timer?, numbers: numbers? })
}

fn timer_of(node: &Node<'_>, library: &Library, findings: &mut Findings) -> Option<Timer> {
    if matches!(node.get_ref(), DeValue::Table(_)) {
        return read_timer(node, findings);
    }
    let expected = "the name of a timer is expected, or { slot = \"1 min\", programmes = 16 }";
    let name = fields::text(node, expected, findings)?;
    let found = library.find_timer(name).ok().map(|entry| entry.timer.clone());
    if found.is_none() {
        unknown_name(node, "timer", name, &library.timer_names(), findings);
    }
    found
}
