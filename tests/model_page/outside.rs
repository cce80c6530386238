//! What the model was held against that it did not make itself: outside checks and published trials, from their records.

use super::table::table;
use super::{file, files_below, read};

/// Where each outside check has a file of its own.
const CHECKS: &str = "tests/reference/checks";
/// The record of the published trials.
const TRIALS: &str = "cases/outcomes.csv";
/// Column of the worlds that show what a trial with a direction only has shown.
const AGREEING: &str = "worlds with the published direction (of 100)";
/// What a published value can be: a test, a test of a direction only, or one that numbers were chosen by.
const KINDS: [&str; 3] = ["validation", "sign only", "calibration"];

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

/// One row an expected value of a published trial, hits and misses alike, under the shares inside.
pub fn trials() -> String {
    if !file(TRIALS).exists() {
        return format!("No trial is on record yet in `{TRIALS}`.");
    }
    trials_of(&read(TRIALS))
}

fn trials_of(text: &str) -> String {
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(text.as_bytes());
    let columns: Vec<String> = reader.headers().expect("a header").iter().map(str::to_owned).collect();
    let records: Vec<csv::StringRecord> = reader.records().map(|record| record.expect("a row")).collect();
    let cell = |record: &csv::StringRecord, name: &str| {
        let at = columns.iter().position(|column| column == name);
        record[at.unwrap_or_else(|| panic!("{TRIALS} has no column {name:?}"))].to_owned()
    };
    let row = |record: &csv::StringRecord| {
        let cell = |name: &str| cell(record, name);
        let agreeing = cell(AGREEING);
        let agreeing = if agreeing.is_empty() { agreeing } else { format!("; so in {agreeing} of 100 worlds") };
        let predicted = ranged(&cell("predicted middle"), &cell("predicted low"), &cell("predicted high"));
        let mut cells = ["case", "arm or comparison", "quantity", "unit"].map(cell).to_vec();
        cells.push(ranged(&cell("published"), &cell("published low"), &cell("published high")));
        cells.push(format!("{predicted}{agreeing}"));
        cells.extend(["inside", "kind", "source"].map(cell));
        cells
    };
    let mut shares = String::new();
    for kind in KINDS {
        let of_kind = records.iter().filter(|record| cell(record, "kind") == kind);
        let (all, inside) = (of_kind.clone().count(), of_kind.filter(|record| cell(record, "inside") == "yes").count());
        shares.push_str(&format!("- {kind}: {inside} of {all} inside\n"));
    }
    let of_kinds = records.iter().filter(|record| KINDS.contains(&cell(record, "kind").as_str())).count();
    assert_eq!(of_kinds, records.len(), "{TRIALS} has a kind that is not told");
    let head = ["case", "arm", "quantity", "unit", "published", "predicted", "inside", "kind", "source"];
    format!("{shares}\n{}", table(&head, &records.iter().map(row).collect::<Vec<_>>()))
}

/// A value with its range, as far as there are any.
fn ranged(value: &str, low: &str, high: &str) -> String {
    match (value, low) {
        (_, "") => value.to_owned(),
        ("", _) => format!("{low} to {high}"),
        _ => format!("{value} ({low} to {high})"),
    }
}

#[test]
fn trials_are_told_with_the_share_inside() {
    let text = "case,arm or comparison,quantity,unit,published,published low,published high,predicted low,predicted middle,\
                predicted high,inside,worlds with the published direction (of 100),kind,source\n\
                a,four,alive,%,97.5,,,80,93,96,no,,validation,Paper\nb,two / four,growth,ratio,less,,,0.5,0.8,1,yes,90,sign \
                only,Other\n";
    let told = trials_of(text);
    assert!(told.contains("- validation: 0 of 1 inside\n- sign only: 1 of 1 inside\n"), "{told}");
    assert!(told.contains("| a | four | alive | % | 97.5 | 93 (80 to 96) | no | validation | Paper |"), "{told}");
    assert!(told.contains("| less | 0.8 (0.5 to 1); so in 90 of 100 worlds | yes | sign only |"), "{told}");
}
