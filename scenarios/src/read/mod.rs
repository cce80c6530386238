//! From a scenario file to a checked study: opens the file, reads each part, and puts the parts together only when
//! nothing is wrong.
//!
//! The parts know how a breeder writes; none of them knows how a tub is simulated.

mod brood;
mod cases;
mod changes;
mod cultures;
mod doses;
mod families;
mod feeders;
mod files;
mod jar_tests;
mod keeper;
mod lines;
mod liquids;
mod mishaps;
mod numbers;
mod outlets;
mod own;
mod plans;
mod pumping;
mod recipes;
mod reservoirs;
mod sponge;
mod study;
mod tubs;
mod unused;
mod water;

use crate::fields::{self, Fields};
use crate::known::NumberUsed;
use crate::library::Library;
use crate::mistakes::{Findings, Mistakes, Warning, render_warnings};
use crate::syntax;
use crate::words;
use frytub_sim::cases::Case;
use frytub_sim::study::Study;

pub use files::{MOST_BYTES, ReadError, read_file};

/// The parts of a scenario file.
const PARTS: [&str; 21] = [
    "name",
    "about",
    "compare_with",
    "show_day",
    "case",
    "fish",
    "food",
    "brood",
    "tub",
    "keeper",
    "mishaps",
    "culture",
    "mix",
    "recipe",
    "reservoir",
    "feed_line",
    "jar_test",
    "plan",
    "family",
    "change",
    "expected",
];

/// A scenario that can be run.
#[derive(Debug, Clone, PartialEq)]
pub struct Scenario {
    /// What is simulated.
    pub study: Study,
    /// Name of the file, or of the built-in example, it was read from.
    pub file: String,
    /// Its text, exactly.
    pub text: String,
    /// The published trial that it is, if it is one.
    pub case: Option<Case>,
    /// Every number that the study uses, with how it is known.
    pub numbers_used: Vec<NumberUsed>,
    /// What may not work as meant, as far as the file itself shows; [`crate::explain`] finds more.
    pub warnings: Vec<Warning>,
}

impl Scenario {
    /// The name as a folder is called: small letters, figures and hyphens.
    #[must_use]
    pub fn folder(&self) -> String {
        folder_name(&self.study.name)
    }

    /// Warnings as shown to a person, each with its place in the file if it has one.
    #[must_use]
    pub fn render_warnings(&self, warnings: &[Warning], colour: bool) -> String {
        render_warnings(&self.file, &self.text, warnings, colour)
    }
}

/// Letters and figures of a name in small letters, everything else as single hyphens.
fn folder_name(name: &str) -> String {
    let words: Vec<String> =
        name.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()).map(str::to_lowercase).collect();
    words.join("-")
}

/// Reads a scenario from its text; `file` is the name shown in messages.
///
/// # Errors
/// All mistakes in the text at once.
pub fn read_text(file: &str, text: &str) -> Result<Scenario, ReadError> {
    read_with(crate::library::library(), file, text)
}

/// Reads a scenario with a library of one's own.
pub(crate) fn read_with(library: &Library, file: &str, text: &str) -> Result<Scenario, ReadError> {
    if text.trim().is_empty() {
        return Err(ReadError::Empty { file: file.to_string() });
    }
    let mut findings = Findings::default();
    let table = syntax::parse(text, &mut findings);
    let complaints = findings.mistakes.len();
    let found =
        (!table.is_empty()).then(|| read_parts(library, Fields::root(&table, text.len()), &mut findings)).flatten();
    syntax::forget_consequences(text, complaints, &mut findings.mistakes);
    match found {
        Some((study, numbers_used, case)) if findings.mistakes.is_empty() => {
            study.verify().map_err(|error| ReadError::Unsound { file: file.to_string(), error })?;
            let warnings = findings.warnings;
            Ok(Scenario { study, file: file.to_string(), text: text.to_string(), case, numbers_used, warnings })
        }
        _ if findings.mistakes.is_empty() => Err(ReadError::Empty { file: file.to_string() }),
        _ => Err(ReadError::Mistakes(Box::new(Mistakes::new(file, text, findings.mistakes)))),
    }
}

/// What comes of a text without mistakes.
type Parts = (Study, Vec<NumberUsed>, Option<Case>);

/// Reads every part, whatever was wrong with those before it.
fn read_parts(library: &Library, root: Fields<'_, '_>, findings: &mut Findings) -> Option<Parts> {
    root.refuse_unknown(&PARTS, findings);
    let own = own::read(root, library, findings);
    let library: &Library = &own.library;
    let name = root.need("name", "name = \"My spring brood\"", findings);
    let name = name.and_then(|node| fields::name(node, "name = \"My spring brood\"", findings));
    let about = root.get("about").map_or(Some(""), |node| fields::about(node, findings));
    let brood = brood::read(root, library, findings);
    let days = brood.as_ref().and_then(|brood| brood.days);
    let show_day = brood::show_day(root, days, findings);
    let tub = tubs::read(root, findings);
    let keeper = keeper::read(root, findings);
    let mishaps = mishaps::read(root, findings);
    let recipes = recipes::read(root, library, days, findings);
    let cultures = cultures::read(root, library, &recipes, findings);
    let reservoirs = reservoirs::read(root, library, findings);
    let line = lines::read(root, library, findings);
    refuse_line_without_reservoir(root, reservoirs.as_deref(), findings);
    let equipment = pumping::Equipment {
        library,
        has_line: root.get("feed_line").is_some(),
        line: line.as_ref(),
        reservoirs: reservoirs.as_deref(),
    };
    let jar_tests = jar_tests::read(root, library, reservoirs.as_deref(), findings);
    let (tub_read, keeper_read) = (tub.as_ref(), keeper.as_ref());
    let surroundings =
        plans::Surroundings { tub: tub_read, keeper: keeper_read, recipes: &recipes, cultures: &cultures, equipment };
    let plans = plans::read(root, surroundings, findings);
    let baseline = plans::baseline(root, &plans, findings);
    let changes = changes::read(root, library, findings);
    let case = cases::read(root, &plans, days, findings);
    if !findings.mistakes.is_empty() {
        return None;
    }
    let parts = study::Parts {
        name: name?,
        about: about?,
        brood: brood?.complete()?,
        show_day: show_day?,
        tub: tub?,
        keeper: keeper?,
        mishaps: mishaps?,
        cultures,
        recipes,
        reservoirs: reservoirs?,
        line: root.get("feed_line").map(toml::Spanned::span).zip(line),
        jar_tests,
        plans: plans.list,
        baseline: baseline?,
        changes,
        own: &own,
    };
    let (study, numbers_used) = study::put_together(&parts, findings)?;
    Some((study, numbers_used, case?))
}

fn refuse_line_without_reservoir(
    root: Fields<'_, '_>,
    reservoirs: Option<&[reservoirs::ReservoirText]>,
    findings: &mut Findings,
) {
    let meant = findings.was_meant(root.place().start, "reservoir");
    if let (Some(node), Some([]), false) = (root.get("feed_line"), reservoirs, meant) {
        let help = "for instance: [[reservoir]] with name = \"cone\" and kind = \"steep cone\"";
        let what = "there is a [feed_line], but no [[reservoir]] to feed from";
        findings.wrong_with(node.span(), what, "", Some(help.into()));
    }
}

/// Tables written as `[[part]]`, one or more.
fn groups<'t, 'a>(root: Fields<'t, 'a>, key: &str, findings: &mut Findings) -> Vec<&'t fields::Node<'a>> {
    let Some(node) = root.get(key) else { return Vec::new() };
    match node.get_ref() {
        toml::de::DeValue::Array(items) => items.iter().collect(),
        _ => {
            let expected = format!("write [[{key}]], with two brackets, before each {key}");
            fields::wrong_sort(node, expected, findings);
            Vec::new()
        }
    }
}

/// Notes that a name is not among the known ones.
fn unknown_name(node: &fields::Node<'_>, what: &str, given: &str, known: &[&str], findings: &mut Findings) {
    let hint = words::hint(given, known);
    findings.wrong_with(node.span(), format!("there is no {what} called \"{given}\""), "", hint);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn folders_are_named_in_plain_letters() {
        assert_eq!(folder_name("School biology room"), "school-biology-room");
        assert_eq!(folder_name("../My  2nd brood!"), "my-2nd-brood");
    }
}
