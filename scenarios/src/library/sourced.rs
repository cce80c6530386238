//! Numbers of a library file: each with its range, unit, kind of source and source.
//!
//! Knows how the library writes a number; does not know what it belongs to.

use std::convert::Infallible;

use frytub_sim::numbers::{NumberInfo, Range};

use crate::fields::{self, Bare, Fields, Node};
use crate::known::{Kind, Known};
use crate::mistakes::Findings;
use crate::units;
use crate::words;

/// What the entry is, in one sentence.
pub(super) fn read_about(entry: Fields<'_, '_>, findings: &mut Findings) -> Option<String> {
    let node = entry.need("about", "about = \"One sentence.\"", findings)?;
    fields::about(node, findings).map(ToString::to_string)
}

/// Other names it goes by.
pub(super) fn read_also(entry: Fields<'_, '_>, findings: &mut Findings) -> Option<Vec<String>> {
    let Some(node) = entry.get("also") else { return Some(Vec::new()) };
    let names = fields::list(node, "a list of other names is expected", findings)?;
    names.into_iter().map(|name| fields::name(name, "\"micro worm\"", findings).map(ToString::to_string)).collect()
}

/// The table of an entry's numbers.
pub(super) fn open_numbers<'t, 'a>(
    entry: Fields<'t, 'a>,
    infos: &[NumberInfo],
    findings: &mut Findings,
) -> Option<Fields<'t, 'a>> {
    let node = entry.need("numbers", "[\"name\".numbers]", findings)?;
    let known: Vec<&'static str> = infos.iter().map(|info| info.key).collect();
    Fields::open(node, "the list of numbers", &known, findings)
}

/// Reads one sourced number; notes what is wrong, clears `complete` and goes on, so that all mistakes come out.
pub(super) fn read_number(
    table: Fields<'_, '_>,
    info: &'static NumberInfo,
    complete: &mut bool,
    findings: &mut Findings,
) -> Result<Known, Infallible> {
    let read = table.need(info.key, "{ likely = 1, unit = \"…\", kind = \"estimate\", source = \"…\" }", findings);
    let known = read.and_then(|node| read_known(node, info, findings));
    *complete &= known.is_some();
    Ok(known.unwrap_or_else(|| Known::by_default(Range::certain(info.least), "")))
}

fn read_known(node: &Node<'_>, info: &'static NumberInfo, findings: &mut Findings) -> Option<Known> {
    let number = Fields::open(node, "a number", &["low", "likely", "high", "unit", "kind", "source"], findings)?;
    let unit = match number.get("unit") {
        Some(unit) => fields::text(unit, "a unit in quotes is expected", findings)?,
        None => "",
    };
    if !units::same(unit, info.unit) {
        let what =
            format!("the {} is held in {}", info.label, if info.unit.is_empty() { "no unit" } else { info.unit });
        findings.wrong(number.get("unit").unwrap_or(node).span(), what, "the unit must be that");
    }
    let kind = number.need("kind", "kind = \"estimate\"", findings).and_then(|kind| read_kind(kind, findings));
    let mut value = |node: &Node<'_>| fields::value(node, info, Bare::InModelUnit, findings);
    let likely = number.get("likely").map(&mut value);
    let low = number.get("low").map(&mut value);
    let high = number.get("high").map(&mut value);
    let Some(likely) = likely else {
        number.need("likely", "likely = 50", findings);
        return None;
    };
    let likely = likely?;
    let (low, high) = (low.unwrap_or(Some(likely))?, high.unwrap_or(Some(likely))?);
    let range = fields::rising(low, likely, high, node.span(), info, findings)?;
    let kind = kind?;
    let source = match number.get("source") {
        Some(source) => fields::about(source, findings)?,
        None => "",
    };
    let must_be_traced = matches!(kind, Kind::Read | Kind::Computed | Kind::Derived);
    if must_be_traced && source.is_empty() {
        findings.wrong(node.span(), format!("a {kind} number needs its source"), "");
    }
    Some(Known { range, kind, source: source.to_string() })
}

/// How an entry came to be known.
pub(super) fn read_kind(node: &Node<'_>, findings: &mut Findings) -> Option<Kind> {
    let labels = Kind::OF_LIBRARY.map(Kind::label);
    let expected = format!("{} is expected", words::list(&labels, "or"));
    let text = fields::text(node, &expected, findings)?;
    let found = Kind::OF_LIBRARY.into_iter().find(|kind| kind.label() == text);
    if found.is_none() {
        let what = format!("there is no kind of source called \"{text}\"");
        findings.wrong_with(node.span(), what, expected, words::hint(text, &labels));
    }
    found
}
