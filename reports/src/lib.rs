//! From results to a table, CSV files, charts and one HTML report.
//!
//! A [`frytub_sim::outcome::Comparison`] and its [`frytub_sim::study::Study`] go in; text and files come out. Nothing
//! is computed here that belongs to the model: only layout, words and the order in which things are told.
//!
//! The life of a report: [`prepare`] the output folder before the long run; afterwards make [`Facts`], print
//! [`terminal`], and [`Output::commit`] the files of [`files`].

mod answer;
mod cases;
mod chart;
mod charts;
mod csv_files;
mod draw;
mod facts;
mod folder;
mod heat_map;
mod jar_words;
mod line_csv;
mod line_tables;
mod look;
mod one_file;
mod page;
mod page_frame;
mod page_words;
mod reservoir;
mod run_file;
mod setbacks;
mod table;
mod tables;
mod water_tables;
mod words;

use frytub_sim::outcome::Comparison;
use frytub_sim::study::Study;

pub use answer::{Answer, BigNumber, Verdict, answer};
pub use cases::{CASES_HEADER, HeldCase, cases_csv, cases_terminal};
pub use chart::Chart;
pub use csv_files::CsvError;
pub use draw::font;
pub use draw::paint::PaintError;
pub use facts::{Facts, Family};
pub use folder::{FolderError, MARKER, Output, prepare};
pub use heat_map::{HeatCell, HeatMap, HeatPanel, heat_map};
pub use look::Format;
pub use one_file::OutputFile;
pub use page_frame::Assumption;
pub use reservoir::{reservoir_charts, reservoir_files, reservoir_terminal};
pub use run_file::{RunFacts, SCENARIO_COPY};
pub use table::{TERMINAL_WIDTH, terminal};

/// Why a report could not be made.
#[derive(Debug, thiserror::Error)]
pub enum ReportError {
    /// A chart could not be drawn.
    #[error(transparent)]
    Paint(#[from] PaintError),
    /// A CSV file could not be made.
    #[error(transparent)]
    Csv(#[from] CsvError),
    /// `run.toml` could not be made.
    #[error("run.toml could not be written: {0}")]
    RunFile(#[from] toml::ser::Error),
}

/// Every chart of a comparison, in the order of the report.
#[must_use]
pub fn charts(facts: &Facts<'_>) -> Vec<Chart> {
    charts::all(facts)
}

/// Every file of the report: its path inside the output folder and its contents.
///
/// # Errors
/// If a chart, a table or `run.toml` cannot be made.
pub fn files(
    study: &Study,
    found: &Comparison,
    assumed: &[Assumption],
    run: &RunFacts,
) -> Result<Vec<(String, Vec<u8>)>, ReportError> {
    let facts = Facts::new(study, found);
    let charts = charts(&facts);
    let page = page::page(&facts, &charts, assumed, run)?;
    files_with(&facts, page, &charts, run)
}

/// The files that every report has: its page, how it was made, CSV files of the comparison, and its charts.
fn files_with(
    facts: &Facts<'_>,
    page: String,
    charts: &[Chart],
    run: &RunFacts,
) -> Result<Vec<(String, Vec<u8>)>, ReportError> {
    let mut files = vec![
        ("report.html".to_owned(), page.into_bytes()),
        ("run.toml".to_owned(), run_file::run_toml(facts, run)?.into_bytes()),
        (SCENARIO_COPY.to_owned(), run.scenario_text.clone().into_bytes()),
    ];
    for (name, contents) in csv_files::all(facts)? {
        files.push((name.to_owned(), contents));
    }
    for chart in charts {
        files.push((format!("charts/{}.svg", chart.id), chart.file_svg()?.into_bytes()));
        files.push((format!("charts/{}.png", chart.id), chart.file_png()?));
    }
    Ok(files)
}
