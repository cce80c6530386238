//! From text to a TOML table with places, with the parser's complaints put into plain words.
//!
//! Knows TOML; does not know what the values mean.

use std::collections::BTreeSet;

use toml::de::{DeTable, Error};

use crate::mistakes::{Findings, Mistake};

/// The parser's complaints that leave the rest of the file readable, each with plainer words.
const SOFT: [(&str, &str, &str); 4] = [
    ("string values must be quoted", "words and quantities must stand in quotes", "put quotes around this"),
    ("duplicate key", "this is written twice in the same group", "take one of the two out"),
    ("unexpected leading zero", "a whole number must not begin with 0", "leave the 0 out"),
    ("invalid time", "this is not a time of day", "write it in quotes: \"06:30\""),
];

/// The parser's other complaints, with plainer words.
const HARD: [(&str, &str, &str); 8] = [
    ("invalid basic string", "a quote is opened and not closed", "the closing \" is missing"),
    ("unclosed table", "the heading is not closed", "the closing ] is missing"),
    ("unclosed array", "the list is not closed", "the closing ] is missing"),
    ("unclosed inline table", "the group is not closed", "the closing } is missing"),
    ("key with no value", "this name has no value", "write name = value"),
    ("missing value", "this name has no value", "write name = value"),
    ("extra comma in array", "there is a comma too many in the list", "take it out"),
    ("unquoted keys cannot be empty", "the name before the = is missing", "write name = value"),
];

/// Reads a text as TOML; notes everything that is not TOML.
///
/// After complaints that leave the file readable the table holds all the rest, so that other mistakes can be found
/// too. After any other the table is empty: what follows a lost bracket would only raise false alarms.
pub(crate) fn parse<'t>(text: &'t str, findings: &mut Findings) -> DeTable<'t> {
    let (table, errors) = DeTable::parse_recoverable(text);
    let soft = errors.iter().all(|error| softened(error, &SOFT).is_some());
    let lines = Lines::of(text);
    let mut lines_noted = BTreeSet::new();
    let mut errors: Vec<&Error> = errors.iter().collect();
    errors.sort_by_key(|error| error.span().map_or(0, |span| span.start));
    for error in errors {
        let place = error.span().unwrap_or(text.len()..text.len());
        // One complaint a line: the parser's later ones mostly follow from the first.
        if !lines_noted.insert(lines.line_of(place.start)) {
            continue;
        }
        let (what, expected) = match softened(error, &SOFT).or_else(|| softened(error, &HARD)) {
            Some((what, expected)) => (what.to_string(), expected.to_string()),
            None => match error.message().split_once(", expected ") {
                Some((what, expected)) => (what.to_string(), format!("expected {expected}")),
                None => (error.message().to_string(), String::new()),
            },
        };
        findings.mistakes.push(Mistake { place, what, expected, help: None });
    }
    if soft {
        return table.into_inner();
    }
    if let Some(last) = findings.mistakes.last_mut() {
        last.help = Some("the rest of the file is checked once it can be read".to_string());
    }
    DeTable::new()
}

/// Takes out what was found on lines that already have a complaint of the parser's, the first of the list.
pub(crate) fn forget_consequences(text: &str, complaints: usize, mistakes: &mut Vec<Mistake>) {
    let lines = Lines::of(text);
    let noted: BTreeSet<usize> = mistakes[..complaints].iter().map(|m| lines.line_of(m.place.start)).collect();
    let later = mistakes.split_off(complaints);
    mistakes.extend(later.into_iter().filter(|mistake| !noted.contains(&lines.line_of(mistake.place.start))));
}

/// Where the lines of a text begin.
struct Lines(Vec<usize>);

impl Lines {
    fn of(text: &str) -> Self {
        Self(text.match_indices('\n').map(|(place, _)| place + 1).collect())
    }

    /// The line of a place, counting from 0.
    fn line_of(&self, place: usize) -> usize {
        self.0.partition_point(|start| *start <= place)
    }
}

fn softened(error: &Error, known: &[(&str, &'static str, &'static str)]) -> Option<(&'static str, &'static str)> {
    known.iter().find(|(start, _, _)| error.message().starts_with(start)).map(|(_, what, expected)| (*what, *expected))
}
