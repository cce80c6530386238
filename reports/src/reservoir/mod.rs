//! The report of reservoirs compared: what each delivers of each food between two fillings, and what that does to the
//! brood.
//!
//! The brood's part is an ordinary comparison of one plan run with each reservoir, so that its charts and tables are
//! those of every comparison; what is told of the fillings themselves stands here.

mod answer;
mod balance;
mod csv_files;
mod feeds;
mod outline;
mod page;
mod parts;
mod tables;
mod terminal;
mod trials;
mod vessels;

use frytub_sim::outcome::{Comparison, ReservoirTrial};
use frytub_sim::study::Study;

pub use terminal::reservoir_terminal;

use crate::chart::Chart;
use crate::facts::Facts;
use crate::page_frame::Assumption;
use crate::run_file::RunFacts;
use crate::{ReportError, charts, files_with};
use trials::Trials;

/// The three charts of the fillings, in the order of the report: feeds, balance, vessels.
#[must_use]
pub fn reservoir_charts(facts: &Facts<'_>, trials: &[ReservoirTrial]) -> Vec<Chart> {
    let trials = Trials::new(facts, trials);
    vec![feeds::chart(&trials), balance::chart(&trials), vessels::chart(&trials)]
}

/// Every file of the report on reservoirs: its path inside the output folder and its contents.
///
/// `study` and `found` are those of a comparison of one plan run with each reservoir.
///
/// # Errors
/// If a chart, a table or `run.toml` cannot be made.
pub fn reservoir_files(
    study: &Study,
    trials: &[ReservoirTrial],
    found: &Comparison,
    assumed: &[Assumption],
    run: &RunFacts,
) -> Result<Vec<(String, Vec<u8>)>, ReportError> {
    let facts = Facts::new(study, found);
    let told = Trials::new(&facts, trials);
    let (ours, usual) = (reservoir_charts(&facts, trials), charts(&facts));
    let page = page::page(&told, &ours, &usual, assumed, run)?;
    let mut files = files_with(&facts, page, &[ours, usual].concat(), run)?;
    for (name, contents) in csv_files::all(&told)? {
        files.push((name.to_owned(), contents));
    }
    Ok(files)
}
