//! The list of checks: one file each in `checks/`, with what is compared against what, how closely and why, and which
//! test does it. Here the list is held to the tests and tables that are really there.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use serde::Deserialize;

/// One check, as its file tells it. Every text is a plain sentence or a name.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Check {
    /// What of the program is compared.
    what: String,
    /// With what: a published source, a library with its version, or "common practice, no source".
    against: String,
    /// How far the two may lie apart.
    tolerance: String,
    /// Why so far.
    why: String,
    /// The tables of this folder that it reads.
    #[serde(default)]
    data: Vec<String>,
    /// The test, by its path in `tests/`.
    test: String,
    /// A fault that was planted and that this test caught.
    planted: String,
    /// What came out, where it is worth telling.
    found: Option<String>,
    /// What was demanded and did not come out.
    missed: Option<String>,
}

fn tests_folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests")
}

/// Names of the files of a folder that end so.
fn files(folder: &Path, ending: &str) -> BTreeSet<String> {
    let names = fs::read_dir(folder).expect("a folder").map(|entry| entry.expect("an entry").file_name());
    names.filter_map(|name| name.into_string().ok()).filter(|name| name.ends_with(ending)).collect()
}

/// Every check by the name of its file.
fn checks() -> Vec<(String, Check)> {
    let folder = tests_folder().join("reference/checks");
    let read = |name: String| {
        let text = fs::read_to_string(folder.join(&name)).expect("a file");
        let check = toml::from_str(&text).unwrap_or_else(|error| panic!("{name}: {error}"));
        (name, check)
    };
    files(&folder, ".toml").into_iter().map(read).collect()
}

/// Whether a test of this path is in the sources: `reference::water::density` is `fn density` in `reference/water.rs`.
fn is_there(test: &str) -> bool {
    let Some((module, name)) = test.rsplit_once("::") else { return false };
    let place = tests_folder().join(module.replace("::", "/"));
    let source = fs::read_to_string(place.with_extension("rs")).or_else(|_| fs::read_to_string(place.join("mod.rs")));
    source.is_ok_and(|source| source.contains(&format!("#[test]\nfn {name}() {{")))
}

#[test]
fn every_check_is_complete_and_its_test_and_table_are_there() {
    let mut wrong = Vec::new();
    for (file, check) in checks() {
        let Check { what, against, tolerance, why, data, test, planted, found, missed } = &check;
        let texts = [what, against, tolerance, why, test, planted].into_iter().chain(data).chain(found).chain(missed);
        if texts.into_iter().any(|text| text.trim().is_empty()) {
            wrong.push(format!("{file}: a field is empty"));
        }
        for table in data.iter().filter(|table| !tests_folder().join("reference").join(table).is_file()) {
            wrong.push(format!("{file}: no table {table}"));
        }
        if !is_there(test) {
            wrong.push(format!("{file}: no test {test}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_table_is_used_by_a_check() {
    let used: BTreeSet<String> = checks().into_iter().flat_map(|(_, check)| check.data).collect();
    let tables = files(&tests_folder().join("reference"), ".csv");
    let idle: Vec<&String> = tables.difference(&used).collect();
    assert!(idle.is_empty(), "tables that no check names: {idle:?}");
}

/// What is compared with the outside and is in no list cannot be found again.
#[test]
fn every_test_of_this_folder_is_a_check() {
    let listed: BTreeSet<String> = checks().into_iter().map(|(_, check)| check.test).collect();
    let folder = tests_folder().join("reference");
    for file in files(&folder, ".rs").into_iter().filter(|file| file != "checks.rs") {
        let source = fs::read_to_string(folder.join(&file)).expect("a file");
        for name in source.split("#[test]\nfn ").skip(1).filter_map(|rest| rest.split('(').next()) {
            let test = format!("reference::{}::{name}", file.trim_end_matches(".rs"));
            assert!(listed.contains(&test), "no check names {test}");
        }
    }
}
