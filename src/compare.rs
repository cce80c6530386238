//! `frytub compare`: from a scenario to a table on the screen and a folder of results.

use std::io::{IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use anyhow::{Context, Result};
use frytub_reports::{Assumption, Facts, Output, ReportError, RunFacts};
use frytub_scenarios::{NumberUsed, Scenario, explain};
use frytub_sim::monte_carlo::{self, CompareError, Settings};
use frytub_sim::outcome::{Comparison, Stopped};
use frytub_sim::setbacks::{self, SetbackSettings};
use frytub_sim::study::Study;

use crate::Done;
use crate::cli::{CompareOptions, RunOptions};
use crate::progress::Bar;
use crate::show;

/// Runs the command.
pub fn run(options: &CompareOptions) -> Result<Done> {
    let scenario = show::read(options.scenario.as_deref())?;
    let (setbacks, options) = (options.setbacks, &options.run);
    let folder = options.out.clone().unwrap_or_else(|| Path::new("out").join(scenario.folder()));
    // Found now rather than after the long run.
    let output = frytub_reports::prepare(&folder, options.force)?;
    warn(&scenario);
    let Some((found, done)) = simulate(&scenario.study, options, setbacks)? else {
        show::note("Interrupted before the first brood was done: nothing was written.");
        return Ok(Done::Partly);
    };

    if done == Done::Partly && found.stopped != Stopped::Interrupted {
        show::note("Interrupted while setbacks were tried: they are told for fewer worlds than asked for.");
    }
    let words = frytub_reports::terminal(&Facts::new(&scenario.study, &found));
    let files = || frytub_reports::files(&scenario.study, &found, &assumptions(&scenario), &run_facts(&scenario));
    deliver(&words, files, output, &folder)?;
    Ok(done)
}

/// Tells the answer and writes the files, which take a moment to make.
pub fn deliver(
    words: &str,
    files: impl FnOnce() -> Result<Vec<(String, Vec<u8>)>, ReportError>,
    output: Output,
    folder: &Path,
) -> Result<()> {
    let mut screen = std::io::stdout().lock();
    // A closed screen must not cost the results: they are written first, and then it is told.
    let told = write!(screen, "{words}").and_then(|()| screen.flush());
    output.commit(&files()?)?;
    told?;
    Ok(writeln!(screen, "\nReport: {}", shown(&folder.join("report.html")))?)
}

/// Runs the broods, then tries setbacks in so many worlds, and says how that ended; `None` when interrupted before there
/// was anything to tell.
pub fn simulate(study: &Study, options: &RunOptions, setback_worlds: u32) -> Result<Option<(Comparison, Done)>> {
    let settings = Settings {
        seed: options.seed,
        broods: options.broods,
        precision: options.precision,
        likely_only: options.likely,
    };
    let work = |interrupt: &AtomicBool| {
        let mut found = match monte_carlo::compare(study, &settings, &Bar::new("broods"), interrupt) {
            Ok(found) => found,
            Err(CompareError::NothingDone) => return Ok(None),
            Err(CompareError::Study(error)) => return Err(error.into()),
        };
        // Who has interrupted the broods does not want to wait for setbacks.
        if setback_worlds > 0 && found.stopped != Stopped::Interrupted {
            let settings = SetbackSettings { seed: options.seed, worlds: setback_worlds, likely_only: options.likely };
            found.costs = setbacks::costs(study, &settings, &Bar::new("broods with and without a setback"), interrupt);
        }
        // An interrupt of the setbacks leaves a whole comparison, but not all that was asked for.
        let done = if interrupt.load(Ordering::Relaxed) { Done::Partly } else { Done::Whole };
        Ok(Some((found, done)))
    };
    play(options.threads, work)?
}

/// Does some work on so many threads (all that the machine has, without a number), with Ctrl-C listened to.
pub fn play<R: Send>(threads: Option<u16>, work: impl FnOnce(&AtomicBool) -> R + Send) -> Result<R> {
    let interrupt = Arc::new(AtomicBool::new(false));
    let on_signal = Arc::clone(&interrupt);
    ctrlc::set_handler(move || {
        if !on_signal.swap(true, Ordering::Relaxed) {
            show::note("Stopping after the broods under way; what is finished will be told.");
        }
    })
    .context("cannot listen for Ctrl-C")?;
    let threads = threads.map_or(0, usize::from);
    let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().context("cannot start the threads")?;
    Ok(pool.install(|| work(&interrupt)))
}

/// What may not work as meant is said before the run, in one line each; `check` tells it in full.
pub fn warn(scenario: &Scenario) {
    let warnings = explain(scenario).warnings;
    if !warnings.is_empty() {
        let colour = std::io::stderr().is_terminal() && show::colour_is_welcome();
        show::note(&format!("{}\n", scenario.render_warnings(&warnings, colour).trim_end()));
    }
}

/// Every number of a scenario, for the report.
pub fn assumptions(scenario: &Scenario) -> Vec<Assumption> {
    scenario.numbers_used.iter().map(assumption).collect()
}

/// What the report tells of the run itself.
pub fn run_facts(scenario: &Scenario) -> RunFacts {
    RunFacts {
        version: env!("CARGO_PKG_VERSION").to_owned(),
        scenario_file: scenario.file.clone(),
        scenario_text: scenario.text.clone(),
    }
}

fn assumption(number: &NumberUsed) -> Assumption {
    Assumption {
        group: number.group.clone(),
        label: number.label.clone(),
        unit: number.unit.clone(),
        low: number.range.low(),
        likely: number.range.likely(),
        high: number.range.high(),
        kind: number.kind.label().to_owned(),
        source: number.source.clone(),
    }
}

/// A path as it is best typed again.
fn shown(path: &Path) -> String {
    let here: PathBuf = path.components().collect();
    here.display().to_string()
}
