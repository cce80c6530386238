//! What the model was held against that it did not make itself: outside checks and published trials, from their records.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::PathBuf;

use toml::{Table, Value};

use super::table::{figure, table};
use super::{PAGE, file, files_below, read};

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
    let head = ["what", "against", "tolerance", "why", "found", "missed", "planted", "data", "test"];
    let row = |path: &PathBuf| {
        let fields: Table = read(path).parse().unwrap_or_else(|error| panic!("{}: {error}", path.display()));
        let untold = fields.keys().find(|key| !head.contains(&key.as_str()));
        assert!(untold.is_none(), "{}: {untold:?} is not told in {PAGE}", path.display());
        head.iter().map(|key| fields.get(*key).map_or_else(String::new, words)).collect()
    };
    table(&head, &files.iter().map(row).collect::<Vec<Vec<String>>>())
}

/// A field of a record in words.
fn words(field: &Value) -> String {
    match field {
        Value::String(text) => text.trim().to_owned(),
        Value::Array(list) => list.iter().map(words).collect::<Vec<_>>().join(", "),
        other => other.to_string(),
    }
}

/// One row an expected value of a published trial, hits and misses alike, under the shares inside.
pub fn trials() -> String {
    if !file(TRIALS).exists() {
        return format!("No trial is on record yet in `{TRIALS}`.");
    }
    trials_of(&read(TRIALS))
}

/// One record by the names of its columns.
type Record = BTreeMap<String, String>;

fn trials_of(text: &str) -> String {
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(text.as_bytes());
    let records: Vec<Record> = reader.deserialize().map(|record| record.expect("a row")).collect();
    let mut told = String::new();
    for kind in KINDS {
        let inside = records.iter().filter(|record| record["kind"] == kind).map(|record| record["inside"] == "yes");
        let (all, inside) = (inside.clone().count(), inside.filter(|&inside| inside).count());
        writeln!(told, "- {kind}: {inside} of {all} inside").expect("a string");
    }
    let head = ["case", "arm", "quantity", "unit", "published", "predicted", "inside", "kind", "source"];
    let before = [None].into_iter().chain(records.iter().map(Some));
    let rows: Vec<Vec<String>> = before.zip(&records).map(|(before, record)| row(before, record)).collect();
    format!("{told}\n{}", table(&head, &rows))
}

fn row(before: Option<&Record>, record: &Record) -> Vec<String> {
    assert!(KINDS.contains(&record["kind"].as_str()), "{TRIALS} has a kind that is not told: {record:?}");
    let cell = |name: &str| record[name].clone();
    let agreeing = &record[AGREEING];
    let agreeing = if agreeing.is_empty() { String::new() } else { format!("; so in {agreeing} of 100 worlds") };
    // Told once a case.
    let is_told = before.is_some_and(|before| before["source"] == record["source"]);
    vec![
        format!("[{0}](../cases/{0}.toml)", record["case"]),
        cell("arm or comparison"),
        cell("quantity"),
        cell("unit"),
        ranged(["published", "published low", "published high"].map(|name| &record[name])),
        ranged(["predicted middle", "predicted low", "predicted high"].map(|name| &record[name])) + &agreeing,
        cell("inside"),
        cell("kind"),
        if is_told { String::new() } else { cell("source") },
    ]
}

/// A value with its range, as far as there are any; figures are rounded, a direction stays as it is.
fn ranged(cells: [&String; 3]) -> String {
    let [value, low, high] = cells.map(|cell| cell.parse().map_or_else(|_| cell.clone(), figure));
    match (value.as_str(), low.as_str()) {
        (_, "") => value,
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
    assert!(
        told.contains("| [a](../cases/a.toml) | four | alive | % | 97.5 | 93 (80 to 96) | no | validation | Paper |"),
        "{told}"
    );
    assert!(told.contains("| less | 0.8 (0.5 to 1); so in 90 of 100 worlds | yes | sign only |"), "{told}");
}
