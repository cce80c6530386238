//! CSV files for whoever wants to reckon on: units in every header, one row a thing, no blanks but missing numbers.
//!
//! Fry are out of 100 of those at the start; "low" and "high" hold 80 % of the worlds between them.

use csv::Writer;
use frytub_sim::outcome::{Cause, Spread};

use crate::facts::Facts;
use crate::line_csv;
use crate::setbacks;
use crate::words::matched;

/// A file that could not be made into text.
#[derive(Debug, thiserror::Error)]
pub enum CsvError {
    /// The CSV library refused a row.
    #[error("a CSV row could not be written: {0}")]
    Row(#[from] csv::Error),
    /// The text could not be completed.
    #[error("a CSV file could not be completed: {0}")]
    Finish(String),
}

/// Every file by name, in a fixed order.
///
/// # Errors
/// If the CSV library refuses a row.
pub fn all(facts: &Facts<'_>) -> Result<Vec<(&'static str, Vec<u8>)>, CsvError> {
    let mut files = vec![
        ("plans.csv", plans(facts)?),
        ("worlds.csv", worlds(facts)?),
        ("survival.csv", survival(facts)?),
        ("deaths.csv", deaths(facts)?),
        ("day.csv", day(facts)?),
    ];
    if !facts.found.pulls.is_empty() {
        files.push(("world_numbers.csv", world_numbers(facts)?));
    }
    files.extend(line_csv::all(facts)?);
    files.extend(setbacks::csv_files::all(facts)?);
    Ok(files)
}

/// A number in full enough precision; nothing when it is missing.
pub fn number(value: f64) -> String {
    if value.is_finite() {
        let text = format!("{value:.6}");
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        String::new()
    }
}

/// A number to six digits, however small; nothing when it is missing.
fn digits(value: f64) -> String {
    let rounded: f64 = format!("{value:.5e}").parse().unwrap_or(f64::NAN);
    if rounded.is_finite() { rounded.to_string() } else { String::new() }
}

/// The bytes of a finished file.
///
/// # Errors
/// If the CSV library could not complete it.
pub fn finish(writer: Writer<Vec<u8>>) -> Result<Vec<u8>, CsvError> {
    writer.into_inner().map_err(|e| CsvError::Finish(e.to_string()))
}

/// Low, middle and high of a spread, then its mean.
pub fn four(spread: &Spread) -> [String; 4] {
    [spread.low, spread.median, spread.high, spread.mean].map(number)
}

fn plans(facts: &Facts<'_>) -> Result<Vec<u8>, CsvError> {
    let mut writer = Writer::from_writer(Vec::new());
    let mut header: Vec<String> =
        ["plan", "family", "matched by", "feeds (per day)", "visits (per day)", "food given (dry mg)"]
            .map(str::to_owned)
            .to_vec();
    for (what, unit) in [
        ("alive", "fry of 100"),
        ("weaned", "fry of 100"),
        ("length of the living", "mm"),
        ("growth of the living", "per day"),
        ("growth of all", "per day"),
        ("half can take brine shrimp", "day"),
        ("nine tenths can take brine shrimp", "day"),
    ] {
        header.extend(["low", "median", "high", "mean"].map(|end| format!("{what}, {end} ({unit})")));
    }
    header.extend(
        [
            "worlds in which half could (of 100)",
            "worlds in which nine tenths could (of 100)",
            "leader less this plan, mean (weaned fry of 100)",
            "95 % interval of that mean, low",
            "95 % interval of that mean, high",
            "leader better (of 100 worlds)",
            "both the same (of 100 worlds)",
            "eaten (share of food given)",
            "washed out (share of food given)",
            "spoiled (share of food given)",
            "left (share of food given)",
            "visits kept (share of planned)",
            "mean lateness (min)",
        ]
        .map(str::to_owned),
    );
    if facts.has_lines() {
        header.extend(
            [
                "spoiled before it arrived (share of food given)",
                "never left the reservoir (share of food given)",
                "in the feed tube at the end (share of food given)",
            ]
            .map(str::to_owned),
        );
    }
    if facts.any_water() {
        for what in ["lowest oxygen (mg/L)", "highest un-ionised ammonia (mg NH3/L)"] {
            header.extend(["low", "median", "high", "mean"].map(|end| format!("{what}, {end}")));
        }
    }
    let fifths = ["worst-fed", "second", "middle", "fourth", "best-fed"];
    header.extend(
        fifths.map(|fifth| format!("eaten on day {}, {fifth} fifth (share of body mass)", facts.study.show_day)),
    );
    writer.write_record(&header)?;
    for plan in 0..facts.found.plans.len() {
        let (p, result) = (facts.plan(plan), facts.result(plan));
        let mut row = vec![
            p.name.clone(),
            p.family.clone().unwrap_or_default(),
            matched(p).to_owned(),
            number(p.feeds_a_day()),
            number(p.visits_a_day()),
            number(result.food_given_mg),
        ];
        for spread in [&result.alive, &result.weaned, &result.length_mm, &result.growth_living, &result.growth_all] {
            row.extend(four(spread));
        }
        for day in [&result.half_ready_day, &result.most_ready_day] {
            row.extend(day.as_ref().map_or_else(Default::default, four));
        }
        row.extend(result.ready_worlds.map(|share| number(share * 100.0)));
        row.extend(facts.pair(plan).map_or_else(Default::default, |pair| {
            [pair.difference.mean, pair.mean_95.low, pair.mean_95.high, pair.better, pair.same].map(number)
        }));
        let fate = &result.fate;
        row.extend([fate.eaten, fate.washed_out, fate.spoiled, fate.left].map(number));
        row.extend([result.visits_kept, result.lateness_min].map(number));
        if facts.has_lines() {
            row.extend([fate.arrived_spoiled, fate.kept_in_reservoir, fate.in_tube].map(number));
        }
        if facts.any_water() {
            row.extend(result.water.as_ref().map_or_else(Default::default, |w| four(&w.worst_oxygen_mg_l)));
            row.extend(result.water.as_ref().map_or_else(Default::default, |w| four(&w.worst_ammonia_mg_l)));
        }
        row.extend(result.intake_fifths.map(number));
        writer.write_record(&row)?;
    }
    finish(writer)
}

fn worlds(facts: &Facts<'_>) -> Result<Vec<u8>, CsvError> {
    let mut writer = Writer::from_writer(Vec::new());
    writer.write_record([
        "world",
        "plan",
        "alive (fry of 100)",
        "weaned (fry of 100)",
        "length of the living (mm)",
        "growth of the living (per day)",
        "eaten per starting fry (dry µg)",
    ])?;
    for row in &facts.found.world_rows {
        writer.write_record([
            row.world.to_string(),
            facts.name(row.plan).to_owned(),
            number(row.alive),
            number(row.weaned),
            number(row.length_mm),
            number(row.growth),
            number(row.eaten_ug),
        ])?;
    }
    finish(writer)
}

/// One row a world, one column an uncertain number, those that matter most first.
fn world_numbers(facts: &Facts<'_>) -> Result<Vec<u8>, CsvError> {
    let mut writer = Writer::from_writer(Vec::new());
    let pulls = &facts.found.pulls;
    let mut header = vec!["world".to_owned()];
    let rival = facts.rival().map(|rival| format!("{} less {}", facts.name(facts.leader()), facts.name(rival)));
    header.extend(rival.map(|difference| format!("{difference}, weaned (fry of 100)")));
    header.extend(pulls.iter().map(|pull| match pull.unit.as_str() {
        "" => pull.label.clone(),
        unit => format!("{} ({unit})", pull.label),
    }));
    writer.write_record(&header)?;
    let rows_of = |plan| facts.found.world_rows.iter().filter(move |row| row.plan == plan);
    for (at, leader) in rows_of(facts.leader()).enumerate() {
        let mut row = vec![leader.world.to_string()];
        if let Some(rival) = facts.rival() {
            let other = rows_of(rival).find(|other| other.world == leader.world);
            row.push(number(other.map_or(f64::NAN, |other| leader.weaned - other.weaned)));
        }
        row.extend(pulls.iter().map(|pull| digits(pull.by_world.get(at).copied().unwrap_or(f64::NAN))));
        writer.write_record(&row)?;
    }
    finish(writer)
}

fn survival(facts: &Facts<'_>) -> Result<Vec<u8>, CsvError> {
    let mut writer = Writer::from_writer(Vec::new());
    writer.write_record([
        "plan",
        "time since midnight of day 1 (h)",
        "alive, low (fry of 100)",
        "alive, median (fry of 100)",
        "alive, high (fry of 100)",
        "alive, mean (fry of 100)",
    ])?;
    for plan in 0..facts.found.plans.len() {
        for point in &facts.result(plan).survival {
            let [low, median, high, mean] = four(&point.alive);
            writer.write_record([facts.name(plan).to_owned(), number(point.hour), low, median, high, mean])?;
        }
    }
    finish(writer)
}

fn deaths(facts: &Facts<'_>) -> Result<Vec<u8>, CsvError> {
    let mut writer = Writer::from_writer(Vec::new());
    writer.write_record(["plan", "day", "cause", "deaths (fry of 100 at the start)"])?;
    for plan in 0..facts.found.plans.len() {
        for (day, by_cause) in facts.result(plan).deaths.iter().enumerate() {
            for cause in Cause::ALL {
                writer.write_record([
                    facts.name(plan),
                    &(day + 1).to_string(),
                    cause.label(),
                    &number(by_cause[cause.index()]),
                ])?;
            }
        }
    }
    finish(writer)
}

fn day(facts: &Facts<'_>) -> Result<Vec<u8>, CsvError> {
    let mut writer = Writer::from_writer(Vec::new());
    let mut header = vec!["plan".to_owned(), "day".to_owned(), "hour of the day (h)".to_owned()];
    for food in &facts.study.foods {
        header.push(format!("{} in the water (items per mL)", food.name));
        header.push(format!("{} on the bottom (items per mL of the tub)", food.name));
    }
    header.extend(["worst-fed", "middle", "best-fed"].map(|fifth| format!("gut of the {fifth} fifth (1 = full)")));
    writer.write_record(&header)?;
    for plan in 0..facts.found.plans.len() {
        for point in &facts.result(plan).day {
            let mut row = vec![facts.name(plan).to_owned(), facts.study.show_day.to_string(), number(point.hour)];
            for food in 0..facts.study.foods.len() {
                for values in [&point.in_water, &point.on_bottom] {
                    row.push(number(values.get(food).copied().unwrap_or(f64::NAN)));
                }
            }
            row.extend(point.gut.map(number));
            writer.write_record(&row)?;
        }
    }
    finish(writer)
}
