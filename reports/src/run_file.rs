//! `run.toml`: what made the results, so that they can be made again.

use frytub_sim::outcome::Stopped;
use serde::Serialize;

use crate::facts::Facts;

/// What the program knows of the run and the results do not.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RunFacts {
    /// Version of frytub.
    pub version: String,
    /// Name of the scenario file, or of the built-in example.
    pub scenario_file: String,
    /// The scenario as it was read, to the byte; written beside the results.
    pub scenario_text: String,
}

/// Name under which the scenario is kept beside the results.
pub const SCENARIO_COPY: &str = "scenario.toml";

#[derive(Serialize)]
struct RunToml<'a> {
    frytub: &'a str,
    study: &'a str,
    scenario_file: &'a str,
    scenario_copy: &'a str,
    partial: bool,
    stopped: &'a str,
    seed: String,
    worlds: u32,
    broods_per_plan: u32,
    setback_worlds: u32,
    numbers: &'a str,
}

/// Why a run ended, in plain words.
#[must_use]
pub fn stop_reason(stopped: Stopped) -> &'static str {
    match stopped {
        Stopped::Broods => "all broods asked for were run",
        Stopped::Precision => "the leading difference is known to the precision asked for",
        Stopped::Interrupted => "it was interrupted",
    }
}

/// The text of `run.toml`.
///
/// # Errors
/// If a text cannot be written as TOML.
pub fn run_toml(facts: &Facts<'_>, run: &RunFacts) -> Result<String, toml::ser::Error> {
    let found = facts.found;
    let text = toml::to_string(&RunToml {
        frytub: &run.version,
        study: &facts.study.name,
        scenario_file: &run.scenario_file,
        scenario_copy: SCENARIO_COPY,
        partial: facts.is_partial(),
        stopped: stop_reason(found.stopped),
        // As text: TOML's whole numbers are signed and end at half of what a seed may be.
        seed: found.seed.to_string(),
        worlds: found.worlds,
        broods_per_plan: found.broods,
        setback_worlds: found.costs.iter().map(|cost| cost.worlds).max().unwrap_or(0),
        numbers: if found.likely_only { "each at its most likely value" } else { "drawn from their ranges" },
    })?;
    Ok(format!(
        "# How these results were made. The same version, scenario, seed and numbers of worlds give them again.\n{text}"
    ))
}
