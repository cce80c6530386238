//! CSV files on setbacks and on deaths in mishaps; each only when there is something to write.

use csv::Writer;
use frytub_sim::outcome::Cause;
use frytub_sim::setbacks::HARD;

use super::words::name;
use super::{Verdict, cost, tried, verdict};
use crate::csv_files::{CsvError, finish, four, number};
use crate::facts::Facts;

/// The files by name, in a fixed order.
///
/// # Errors
/// If the CSV library refuses a row.
pub fn all(facts: &Facts<'_>) -> Result<Vec<(&'static str, Vec<u8>)>, CsvError> {
    let mut files = Vec::new();
    if !facts.mishaps().is_empty() {
        files.push(("mishap_deaths.csv", mishap_deaths(facts)?));
    }
    if !tried(facts).is_empty() {
        files.push(("setbacks.csv", setbacks(facts)?));
    }
    Ok(files)
}

fn mishap_deaths(facts: &Facts<'_>) -> Result<Vec<u8>, CsvError> {
    let mut writer = Writer::from_writer(Vec::new());
    writer.write_record(["plan", "mishap", "cause", "deaths in or soon after it (fry of 100 at the start)"])?;
    for plan in 0..facts.found.plans.len() {
        for kind in facts.mishaps() {
            let dead = &facts.result(plan).by_mishap[kind.index()];
            for cause in Cause::ALL {
                writer.write_record([facts.name(plan), kind.label(), cause.label(), &number(dead[cause.index()])])?;
            }
        }
    }
    finish(writer)
}

fn setbacks(facts: &Facts<'_>) -> Result<Vec<u8>, CsvError> {
    let mut writer = Writer::from_writer(Vec::new());
    let mut header = ["plan", "setback", "day", "hour of the day (h)", "worlds"].map(str::to_owned).to_vec();
    header.extend(["low", "median", "high", "mean"].map(|end| format!("weaned fry lost, {end} (fry of 100)")));
    header.extend(
        [
            "80 % interval of that mean, low",
            "80 % interval of that mean, high",
            "95 % interval of that mean, low",
            "95 % interval of that mean, high",
            "fry alive lost, mean (fry of 100)",
        ]
        .map(str::to_owned),
    );
    header.push(format!("worlds in which it cost {HARD:.0} or more (of 100)"));
    header.push("what is made of it".to_owned());
    writer.write_record(&header)?;
    for plan in 0..facts.found.plans.len() {
        for setback in tried(facts) {
            let Some(cost) = cost(facts, plan, setback) else { continue };
            let mut row = vec![
                facts.name(plan).to_owned(),
                name(facts.study, setback),
                cost.day.to_string(),
                number(cost.hour),
                cost.worlds.to_string(),
            ];
            row.extend(four(&cost.lost));
            let (eighty, ninety_five) = (cost.mean_80, cost.mean_95);
            row.extend([eighty.low, eighty.high, ninety_five.low, ninety_five.high].map(number));
            row.extend([cost.alive_lost, cost.hard].map(number));
            let told = match verdict(cost) {
                Verdict::Forgives => "forgives",
                Verdict::Costs => "costs",
                Verdict::NotClear => "not clear",
            };
            row.push(told.to_owned());
            writer.write_record(&row)?;
        }
    }
    finish(writer)
}
