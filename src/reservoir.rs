//! `frytub reservoir`: each reservoir of a scenario tried without fry, then the brood with each.

use std::path::Path;

use anyhow::{Context, Result, bail};
use frytub_reports::Facts;
use frytub_scenarios::{Scenario, example};
use frytub_sim::feedline::trial::{by_reservoir, trials};

use crate::Done;
use crate::cli::ReservoirOptions;
use crate::compare::{assumptions, deliver, run_facts, simulate, warn};
use crate::show;

/// The example that is tried when no scenario is named.
const EXAMPLE: &str = "box-or-cone";
/// Worlds in which a filling is tried without fry: it costs next to nothing, and settling is known so little that the
/// ends of the ranges need many.
const TRIAL_WORLDS: u32 = 200;

/// Runs the command.
pub fn run(options: &ReservoirOptions) -> Result<Done> {
    let scenario = match options.scenario.as_deref() {
        Some(path) => show::read(Some(path))?,
        None => example(EXAMPLE)?.read()?,
    };
    let plan = plan_with_line(&scenario, options.plan.as_deref())?;
    let options = &options.run;
    let folder = options.out.clone().unwrap_or_else(|| Path::new("out").join(scenario.folder() + "-reservoirs"));
    // Found now rather than after the long run.
    let output = frytub_reports::prepare(&folder, options.force)?;
    warn(&scenario);
    let study = by_reservoir(&scenario.study, plan);
    let tried = trials(&study, options.seed, TRIAL_WORLDS);
    let Some((found, done)) = simulate(&study, options, 0)? else {
        show::note("Interrupted before the first brood was done: nothing was written.");
        return Ok(Done::Partly);
    };

    let words = frytub_reports::reservoir_terminal(&Facts::new(&study, &found), &tried);
    let (assumed, run) = (assumptions(&scenario), run_facts(&scenario));
    let files = || frytub_reports::reservoir_files(&study, &tried, &found, &assumed, &run);
    deliver(&words, files, output, &folder)?;
    Ok(done)
}

/// Index of the plan of that name, or of the first, that feeds through a reservoir.
fn plan_with_line(scenario: &Scenario, name: Option<&str>) -> Result<usize> {
    let plans = &scenario.study.plans;
    let Some(name) = name else {
        let first = plans.iter().position(|plan| plan.line.is_some());
        return first.with_context(|| {
            format!(
                "{}: no plan feeds through a reservoir; describe one with [[reservoir]] and [feed_line] \
                 (frytub example {EXAMPLE} shows how)",
                scenario.file
            )
        });
    };
    let Some(plan) = plans.iter().position(|plan| plan.name == name) else {
        let with_line: Vec<String> =
            plans.iter().filter(|plan| plan.line.is_some()).map(|plan| format!("\"{}\"", plan.name)).collect();
        if with_line.is_empty() {
            bail!("there is no plan called \"{name}\", and none feeds through a reservoir");
        }
        bail!("there is no plan called \"{name}\"; those that feed through a reservoir: {}", with_line.join(", "));
    };
    if plans[plan].line.is_none() {
        bail!("the plan \"{name}\" does not feed through a reservoir");
    }
    Ok(plan)
}
