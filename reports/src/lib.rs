//! From results to a table, CSV files, charts and one HTML report.
//!
//! A [`frytub_sim::outcome::Comparison`] and its [`frytub_sim::study::Study`] go in; text and files come out. Nothing
//! is computed here that belongs to the model: only layout, words and the order in which things are told.

mod answer;
mod chart;
mod charts;
mod draw;
mod facts;
mod look;
mod table;
mod words;

pub use answer::{Answer, BigNumber, Verdict, answer};
pub use chart::Chart;
pub use facts::{Facts, Family};
pub use look::Format;
pub use table::{TERMINAL_WIDTH, terminal};

pub struct Assumption { pub group: String, pub label: String, pub unit: String, pub low: f64, pub likely: f64, pub high: f64, pub kind: String, pub source: String }
pub struct RunFacts { pub version: String, pub scenario_file: String, pub scenario_text: String }
pub fn charts(facts: &Facts<'_>) -> Vec<Chart> { charts::all(facts) }
