//! `docs/model.md` held against the code: the parts of it that are made from the library, the sources and the records
//! must be what is made of them now, and what is written by hand must name every number of the model.
//!
//! `FRYTUB_UPDATE_DOCS=1 cargo test -p frytub --test main model_page` writes the made parts anew. Knows how the page is
//! put together; does not know what the numbers mean.

mod constants;
mod numbers;
mod outside;
mod table;

use std::path::{Path, PathBuf};

/// The page, from the root of the repository.
const PAGE: &str = "docs/model.md";
/// Set to 1 to write the made parts anew.
const UPDATE: &str = "FRYTUB_UPDATE_DOCS";
/// Begins a made part: `<!-- made from the library: fish -->`.
const BEGIN: &str = "<!-- made from ";
/// Ends the marker that begins a part.
const CLOSE: &str = " -->\n";
/// What rounding may change of a constant that the prose tells.
const ROUNDED: f64 = 5e-4;
/// Ends a made part.
const END: &str = "<!-- end of the made part -->";

/// A file of the repository.
fn file(path: impl AsRef<Path>) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

fn read(path: impl AsRef<Path>) -> String {
    let path = file(path);
    std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// Files below a folder whose names end in `.ending`, in order of their paths; none if the folder is not there.
fn files_below(folder: &str, ending: &str) -> Vec<PathBuf> {
    let Ok(entries) = std::fs::read_dir(file(folder)) else { return Vec::new() };
    let mut found = Vec::new();
    for entry in entries {
        let path = entry.expect("a readable folder").path();
        let within = path.strip_prefix(env!("CARGO_MANIFEST_DIR")).expect("inside the repository").to_path_buf();
        if path.is_dir() {
            found.extend(files_below(&within.to_string_lossy(), ending));
        } else if path.extension().is_some_and(|extension| extension == ending) {
            found.push(within);
        }
    }
    found.sort();
    found
}

/// Every made part with what it is made from, as its marker says.
fn parts() -> Vec<(&'static str, String)> {
    let [habits, reckoning] = constants::tables();
    vec![
        ("the library: fish", numbers::fish()),
        ("the library: foods", numbers::foods()),
        ("the library: cultures", numbers::cultures()),
        ("the library: culture liquids", numbers::liquids()),
        ("the library: reservoirs", numbers::reservoirs()),
        ("the library: timers", numbers::timers()),
        ("what is taken when a scenario says nothing", numbers::defaults()),
        ("the code: constants", habits),
        ("the code: how it is reckoned", reckoning),
        ("the records of outside checks", outside::checks()),
        ("the records of published trials", outside::trials()),
    ]
}

/// The page with every made part replaced.
fn with_parts(page: &str, parts: &[(&str, String)]) -> String {
    let mut page = page.to_owned();
    for (what, text) in parts {
        let begin = format!("{BEGIN}{what}{CLOSE}");
        let from = page.find(&begin).unwrap_or_else(|| panic!("{PAGE} has no part \"{}\"", begin.trim())) + begin.len();
        let to = from + page[from..].find(END).unwrap_or_else(|| panic!("the part \"{what}\" of {PAGE} has no end"));
        page.replace_range(from..to, &format!("\n{}\n\n", text.trim()));
    }
    page
}

/// What of the page is written by hand.
fn by_hand(page: &str) -> String {
    let mut pieces = page.split(BEGIN);
    let mut text = pieces.next().unwrap_or_default().to_owned();
    for piece in pieces {
        text.push_str(piece.split_once(END).map_or("", |(_, after)| after));
    }
    text
}

#[test]
fn the_made_parts_of_the_model_page_are_up_to_date() {
    let page = read(PAGE);
    let parts = parts();
    assert_eq!(page.matches(BEGIN).count(), parts.len(), "{PAGE} has a part that nothing makes");
    let made = with_parts(&page, &parts);
    if std::env::var(UPDATE).is_ok_and(|value| value == "1") {
        std::fs::write(file(PAGE), &made).unwrap_or_else(|error| panic!("{PAGE}: {error}"));
        return;
    }
    let stale = page.lines().zip(made.lines()).enumerate().find(|(_, (there, now))| there != now);
    if let Some((line, (there, now))) = stale {
        panic!("{PAGE}:{}:\n{there}\nis now\n{now}\n{UPDATE}=1 writes it anew", line + 1);
    }
    assert_eq!(page, made, "{UPDATE}=1 writes {PAGE} anew");
}

#[test]
fn the_model_page_names_every_number_and_tells_every_constant() {
    // Lines may break anywhere.
    let text = by_hand(&read(PAGE)).split_whitespace().collect::<Vec<_>>().join(" ");
    let words: Vec<&str> = text.split(|c: char| !c.is_alphanumeric() && c != '_').collect();
    let constants = constants::names();
    let wanted = numbers::keys().into_iter().chain(constants.iter().map(|(name, _)| name.as_str()));
    let missing: Vec<&str> = wanted.filter(|name| !words.contains(name)).collect();
    assert!(missing.is_empty(), "{PAGE} says nothing of {missing:?}");
    for (name, value) in constants {
        let Some(value) = value else { continue };
        let told = told(&text, &name);
        let is_right = |told: &f64| (told - value).abs() <= ROUNDED * value.abs();
        assert!(!told.is_empty(), "{PAGE} does not tell `{name}` = {value}");
        assert!(told.iter().all(is_right), "{PAGE} tells `{name}` = {told:?}; it is {value}");
    }
}

/// The values that a text gives for a constant: `NAME` = 0.5.
fn told(text: &str, name: &str) -> Vec<f64> {
    let start = format!("`{name}` = ");
    let after = text.split(&start).skip(1);
    let figures = after.map(|after| after.split(|c: char| !c.is_ascii_digit() && c != '.' && c != '-').next());
    figures.filter_map(|figures| figures?.trim_end_matches('.').parse().ok()).collect()
}

#[test]
fn only_what_stands_between_the_markers_is_replaced() {
    let page = format!("before\n{BEGIN}a{CLOSE}old\n{END}\nbetween\n{BEGIN}b{CLOSE}{END}\nafter\n");
    let made = with_parts(&page, &[("a", "one".into()), ("b", "two".into())]);
    assert_eq!(made, format!("before\n{BEGIN}a{CLOSE}\none\n\n{END}\nbetween\n{BEGIN}b{CLOSE}\ntwo\n\n{END}\nafter\n"));
    assert_eq!(with_parts(&made, &[("a", "one".into()), ("b", "two".into())]), made);
    assert_eq!(by_hand(&made), "before\n\nbetween\n\nafter\n");
}
