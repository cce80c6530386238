//! `frytub check-cases`: published trials played by the model, and whether what was published lies inside.

use std::fs;
use std::io::{IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::AtomicBool;

use anyhow::{Context, Result, bail};
use frytub_reports::{CASES_HEADER, HeldCase, OutputFile, cases_csv, cases_terminal};
use frytub_scenarios::{ReadError, Scenario, cases, read_file};
use frytub_sim::cases::{Case, Held, hold};
use frytub_sim::monte_carlo::{CompareError, Settings, Watcher};

use crate::Done;
use crate::cli::CheckCasesOptions;
use crate::compare::play;
use crate::progress::Bar;
use crate::show;

/// Runs the command.
pub fn run(options: &CheckCasesOptions) -> Result<Done> {
    let scenarios = read(options.cases.as_deref())?;
    let cases: Vec<(&Scenario, &Case)> = scenarios.iter().filter_map(|one| Some((one, one.case.as_ref()?))).collect();
    // Found now rather than after the long run.
    let out = options.out.as_deref().map(|path| OutputFile::prepare(path, CASES_HEADER, options.force)).transpose()?;
    let settings = Settings { seed: options.seed, broods: options.broods, precision: None, likely_only: false };
    let held = play(options.threads, |interrupt| hold_all(&cases, &settings, &Bar::new("broods"), interrupt))??;

    let told: Vec<HeldCase<'_>> = cases
        .iter()
        .zip(&held)
        .map(|((scenario, case), held)| HeldCase { file: stem(&scenario.file), study: &scenario.study, case, held })
        .collect();
    let is_whole = told.len() == cases.len();
    if !is_whole {
        show::note(&format!("Interrupted: {} of {} cases were played; no file is written.", told.len(), cases.len()));
    }
    if told.is_empty() {
        return Ok(Done::Partly);
    }
    // A closed screen must not cost the results: they are written first, and then it is told.
    let mut screen = std::io::stdout().lock();
    let words = cases_terminal(&told, options.assumed);
    let shown = write!(screen, "{words}").and_then(|()| screen.flush());
    if let (Some(out), Some(path), true) = (out, &options.out, is_whole) {
        out.commit(&cases_csv(&told)?)?;
        shown?;
        writeln!(screen, "\nTable: {}", path.display())?;
    } else {
        shown?;
    }
    Ok(if is_whole { Done::Whole } else { Done::Partly })
}

/// Plays every case; fewer than all when interrupted.
fn hold_all(
    cases: &[(&Scenario, &Case)],
    settings: &Settings,
    bar: &Bar,
    interrupt: &AtomicBool,
) -> Result<Vec<Vec<Held>>> {
    let broods = |case: &(&Scenario, &Case)| case.0.study.plans.len() as u64 * u64::from(settings.broods);
    let of = cases.iter().map(broods).sum();
    let mut before = 0;
    let mut all = Vec::new();
    for case in cases {
        let (scenario, expected) = case;
        match hold(&scenario.study, expected, settings, &Part { bar, before, of }, interrupt) {
            Ok(held) => all.push(held),
            Err(CompareError::NothingDone) => break,
            Err(error) => return Err(error).with_context(|| scenario.file.clone()),
        }
        before += broods(case);
    }
    Ok(all)
}

/// The progress of one case as a part of all.
struct Part<'a> {
    bar: &'a Bar,
    before: u64,
    of: u64,
}

impl Watcher for Part<'_> {
    fn progress(&self, done: u64, _of: u64) {
        self.bar.progress(self.before + done, self.of);
    }
}

/// Name of a file without folder and ending.
fn stem(file: &str) -> &str {
    Path::new(file).file_stem().and_then(|stem| stem.to_str()).unwrap_or(file)
}

/// The cases of a folder or of one file, or the built-in ones; the mistakes of all files are told at once.
fn read(path: Option<&Path>) -> Result<Vec<Scenario>> {
    let read: Vec<Result<Scenario, ReadError>> = match path {
        None => cases().iter().map(frytub_scenarios::Example::read).collect(),
        Some(path) if path.is_dir() => files(path)?.iter().map(|file| read_file(file)).collect(),
        Some(path) => vec![read_file(path)],
    };
    let colour = std::io::stderr().is_terminal() && show::colour_is_welcome();
    let of = read.len();
    let mut sound = Vec::new();
    for one in read {
        match one {
            Ok(scenario) if scenario.case.is_none() => show::note(&format!(
                "{} is a scenario, but not a case: it has no [case] that says where it was published\n",
                scenario.file
            )),
            Ok(scenario) => sound.push(scenario),
            Err(error) => show::note(&error.render(colour)),
        }
    }
    if sound.len() < of {
        bail!("{} of {of} files cannot be held against the model as they are", of - sound.len());
    }
    Ok(sound)
}

/// Every scenario file of a folder, by name.
fn files(folder: &Path) -> Result<Vec<PathBuf>> {
    let unreadable = || format!("cannot read the folder {}", folder.display());
    let mut files = Vec::new();
    for entry in fs::read_dir(folder).with_context(unreadable)? {
        let path = entry.with_context(unreadable)?.path();
        if path.extension().is_some_and(|ending| ending == "toml") {
            files.push(path);
        }
    }
    if files.is_empty() {
        bail!("{} holds no case: a case is a file whose name ends in .toml", folder.display());
    }
    files.sort();
    Ok(files)
}
