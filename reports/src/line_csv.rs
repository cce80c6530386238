//! CSV files on pump feeds, the water, its level and jar tests; each only when there is something to write.

use csv::Writer;

use crate::csv_files::{CsvError, finish, four, number};
use crate::facts::Facts;
use crate::jar_words::learnt;

/// The files by name, in a fixed order.
///
/// # Errors
/// If the CSV library refuses a row.
pub fn all(facts: &Facts<'_>) -> Result<Vec<(&'static str, Vec<u8>)>, CsvError> {
    let mut files = Vec::new();
    if facts.found.plans.iter().any(|plan| !plan.doses.is_empty()) {
        files.push(("doses.csv", doses(facts)?));
    }
    if facts.any_water() {
        files.push(("water.csv", water(facts)?));
    }
    if facts.has_outlets() {
        files.push(("level.csv", level(facts)?));
    }
    if !facts.found.jar_tests.is_empty() {
        files.push(("jar_tests.csv", jar_tests(facts)?));
    }
    Ok(files)
}

fn doses(facts: &Facts<'_>) -> Result<Vec<u8>, CsvError> {
    let mut writer = Writer::from_writer(Vec::new());
    writer.write_record([
        "plan",
        "day",
        "feed",
        "hour of the day (h)",
        "water wanted (mL)",
        "water arrived (mL)",
        "food",
        "wanted (dry mg)",
        "arrived fresh (dry mg)",
        "arrived spoiled (dry mg)",
    ])?;
    for plan in 0..facts.found.plans.len() {
        for (feed, dose) in facts.result(plan).doses.iter().enumerate() {
            for (n, food) in facts.study.foods.iter().enumerate() {
                let mg = |amounts: &[f64]| amounts.get(n).map_or(0.0, |ug| ug / 1000.0);
                let [wanted, fresh, spoiled] = [&dose.wanted_ug, &dose.fresh_ug, &dose.spoiled_ug].map(|all| mg(all));
                if wanted + fresh + spoiled <= 0.0 {
                    continue;
                }
                writer.write_record([
                    facts.name(plan).to_owned(),
                    facts.study.show_day.to_string(),
                    (feed + 1).to_string(),
                    number(dose.hour),
                    number(dose.wanted_ml),
                    number(dose.arrived_ml),
                    food.name.clone(),
                    number(wanted),
                    number(fresh),
                    number(spoiled),
                ])?;
            }
        }
    }
    finish(writer)
}

fn water(facts: &Facts<'_>) -> Result<Vec<u8>, CsvError> {
    let mut writer = Writer::from_writer(Vec::new());
    let mut header = vec!["plan".to_owned(), "time since midnight of day 1 (h)".to_owned()];
    for what in [
        "lowest oxygen since the row before (mg/L)",
        "highest un-ionised ammonia since the row before (mg NH3/L)",
        "total ammonia nitrogen (mg/L)",
    ] {
        header.extend(["low", "median", "high", "mean"].map(|end| format!("{what}, {end}")));
    }
    header.extend(["oxygen is harmful below (mg/L)", "ammonia is harmless up to (mg NH3/L)"].map(str::to_owned));
    writer.write_record(&header)?;
    for plan in 0..facts.found.plans.len() {
        let Some(water) = &facts.result(plan).water else { continue };
        for point in &water.points {
            let mut row = vec![facts.name(plan).to_owned(), number(point.hour)];
            for spread in [&point.oxygen_mg_l, &point.ammonia_mg_l, &point.nitrogen_mg_l] {
                row.extend(four(spread));
            }
            row.extend([water.harmful_oxygen_mg_l, water.harmless_ammonia_mg_l].map(number));
            writer.write_record(&row)?;
        }
    }
    finish(writer)
}

fn level(facts: &Facts<'_>) -> Result<Vec<u8>, CsvError> {
    let mut writer = Writer::from_writer(Vec::new());
    writer.write_record([
        "plan",
        "time since midnight of day 1 (h)",
        "highest level since the row before, low (mm above the still water)",
        "the same, median (mm)",
        "the same, high (mm)",
        "the same, mean (mm)",
        "end of the feed tube (mm)",
        "rim (mm)",
    ])?;
    for plan in 0..facts.found.plans.len() {
        let Some(outlet) = &facts.result(plan).outlet else { continue };
        for point in &outlet.level {
            let [low, median, high, mean] = four(&point.level_mm);
            let end = number(outlet.tube_end_mm.unwrap_or(f64::NAN));
            let row = [number(point.hour), low, median, high, mean, end, number(outlet.rim_mm)];
            writer.write_record(std::iter::once(facts.name(plan).to_owned()).chain(row))?;
        }
    }
    finish(writer)
}

fn jar_tests(facts: &Facts<'_>) -> Result<Vec<u8>, CsvError> {
    let mut writer = Writer::from_writer(Vec::new());
    let mut header = ["food", "what", "unit"].map(str::to_owned).to_vec();
    for when in ["before", "after"] {
        header.extend(["low", "median", "high", "mean"].map(|end| format!("{when} the tests, {end}")));
    }
    header.push("a surprise (yes or no)".to_owned());
    writer.write_record(&header)?;
    for finding in &facts.found.jar_tests {
        let learnt = learnt(facts.study, finding);
        let mut row = vec![learnt.food, learnt.what, learnt.unit.to_owned()];
        row.extend(four(&finding.before).into_iter().chain(four(&finding.after)));
        row.push(if finding.is_surprise { "yes" } else { "no" }.to_owned());
        writer.write_record(&row)?;
    }
    finish(writer)
}
