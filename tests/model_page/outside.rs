//! What the model was held against that it did not make itself: outside checks and published trials, from their records.

use super::table::table;
use super::{file, files_below, read};

/// Where each outside check has a file of its own.
const CHECKS: &str = "tests/reference/checks";
/// The record of the published trials.
const TRIALS: &str = "cases/outcomes.csv";

/// One row an outside check.
pub fn checks() -> String {
    let files = files_below(CHECKS, "toml");
    if files.is_empty() {
        return format!("No check is on record yet in `{CHECKS}`.");
    }
    let head = ["what", "against", "tolerance", "why", "data", "test", "planted"];
    let row = |path: &std::path::PathBuf| {
        let fields: toml::Table = read(path).parse().unwrap_or_else(|error| panic!("{}: {error}", path.display()));
        let told = |key: &&str| match fields.get(*key) {
            Some(toml::Value::String(text)) => text.trim().to_owned(),
            Some(other) => other.to_string(),
            None => String::new(),
        };
        head.iter().map(told).collect()
    };
    table(&head, &files.iter().map(row).collect::<Vec<Vec<String>>>())
}

/// One row an expected value of a published trial, hits and misses alike.
pub fn trials() -> String {
    if !file(TRIALS).exists() {
        return format!("No trial is on record yet in `{TRIALS}`.");
    }
    let text = read(TRIALS);
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(text.as_bytes());
    let head: Vec<String> = reader.headers().expect("a header").iter().map(|name| name.replace('_', " ")).collect();
    let rows: Vec<Vec<String>> =
        reader.records().map(|row| row.expect("a row").iter().map(str::to_owned).collect()).collect();
    let inside = head.iter().position(|name| name == "inside").expect("a column \"inside\"");
    let hits = rows.iter().filter(|row| row[inside] == "yes").count();
    let head: Vec<&str> = head.iter().map(String::as_str).collect();
    format!("Inside: {hits} of {}.\n\n{}", rows.len(), table(&head, &rows))
}
