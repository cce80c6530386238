//! Reading values out of a parsed TOML text while keeping their places, so that every mistake can be shown.
//!
//! Each reader notes what is wrong in [`Findings`] and gives `None`; the caller goes on to the next value, so that
//! all mistakes come out at once. Knows TOML, quantities and limits; does not know what a scenario is.

use std::ops::Range as Bytes;

use frytub_sim::numbers::{NumberInfo, Range};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::mistakes::Findings;
use crate::units::{self, Measure, Trouble};
use crate::words;

/// A value with its place.
pub(crate) type Node<'a> = Spanned<DeValue<'a>>;

/// Longest name accepted, in letters.
const LONGEST_NAME: usize = 80;
/// Longest description accepted, in letters.
const LONGEST_ABOUT: usize = 2000;

/// A table whose fields are being read.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Fields<'t, 'a> {
    /// What the table is, to be read after "in": `[brood]`.
    what: &'static str,
    place: (usize, usize),
    table: &'t DeTable<'a>,
}

impl<'t, 'a> Fields<'t, 'a> {
    /// Opens a table whose fields are all known by name; unknown ones are noted with the nearest right name.
    pub fn open(
        node: &'t Node<'a>,
        what: &'static str,
        known: &[&'static str],
        findings: &mut Findings,
    ) -> Option<Self> {
        let fields = Self::open_any(node, what, findings)?;
        fields.refuse_unknown(known, findings);
        Some(fields)
    }

    /// Opens a table whose fields are named by the writer of the file.
    pub fn open_any(node: &'t Node<'a>, what: &'static str, findings: &mut Findings) -> Option<Self> {
        match node.get_ref() {
            DeValue::Table(table) => Some(Self { what, place: (node.span().start, node.span().end), table }),
            other => {
                let expected = format!("{what} is a group of values: {what} or {{ … }}");
                findings.wrong(node.span(), format!("this is {}", kind(other)), expected);
                None
            }
        }
    }

    /// The whole file.
    pub fn root(table: &'t DeTable<'a>, end: usize) -> Self {
        Self { what: "the file", place: (end, end), table }
    }

    /// Notes fields that are not among the known ones.
    pub fn refuse_unknown(&self, known: &[&'static str], findings: &mut Findings) {
        for (key, _) in self.in_order() {
            if !known.contains(&key.get_ref().as_ref()) {
                let what = format!("{} has no \"{}\"", self.what, key.get_ref());
                findings.wrong_with(key.span(), what, "not known here", words::hint(key.get_ref(), known));
                if let Some(meant) = words::nearest(key.get_ref(), known.iter().copied()) {
                    findings.mean(self.place.0, meant);
                }
            }
        }
    }

    /// Where the table begins.
    pub fn place(&self) -> Bytes<usize> {
        self.place.0..self.place.1
    }

    /// A field that may be left out.
    pub fn get(&self, key: &str) -> Option<&'t Node<'a>> {
        self.table.get(key)
    }

    /// A field that must be there; `example` shows how to write it.
    pub fn need(&self, key: &str, example: &str, findings: &mut Findings) -> Option<&'t Node<'a>> {
        let found = self.get(key);
        if found.is_none() && !findings.was_meant(self.place.0, key) {
            let what = format!("{} needs \"{key}\"", self.what);
            let help = Some(format!("for instance: {example}"));
            findings.wrong_with(self.place(), what, self.missing_label(), help);
        }
        found
    }

    /// What stands at the caret when something is missing in this table.
    pub fn missing_label(&self) -> &'static str {
        if self.place.0 == self.place.1 { "the file ends here without it" } else { "missing here" }
    }

    /// Fields in the order of the file.
    pub fn in_order(&self) -> Vec<(&'t Spanned<std::borrow::Cow<'a, str>>, &'t Node<'a>)> {
        let mut fields: Vec<_> = self.table.iter().collect();
        fields.sort_by_key(|(key, _)| key.span().start);
        fields
    }
}

/// Plain words for what a value is.
fn kind(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "a text in quotes",
        DeValue::Integer(_) | DeValue::Float(_) => "a number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date or time",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a group of values",
    }
}

/// Notes that a value is of the wrong sort.
pub(crate) fn wrong_sort(node: &Node<'_>, expected: impl Into<String>, findings: &mut Findings) {
    findings.wrong(node.span(), format!("this is {}", kind(node.get_ref())), expected);
}

/// A text in quotes.
pub(crate) fn text<'t>(node: &'t Node<'_>, expected: &str, findings: &mut Findings) -> Option<&'t str> {
    if let DeValue::String(text) = node.get_ref() {
        return Some(text);
    }
    wrong_sort(node, expected, findings);
    None
}

/// A name: one line, not empty, not too long to be printed.
pub(crate) fn name<'t>(node: &'t Node<'_>, example: &str, findings: &mut Findings) -> Option<&'t str> {
    let expected = format!("a name in quotes is expected: {example}");
    let name = text(node, &expected, findings)?.trim();
    name_is_fit(name, node.span(), findings).then_some(name)
}

/// True for a name that can be printed and has at least one letter or figure; notes what is wrong otherwise.
pub(crate) fn name_is_fit(name: &str, place: Bytes<usize>, findings: &mut Findings) -> bool {
    let trouble = if !name.chars().any(char::is_alphanumeric) {
        "a name needs at least one letter or figure".to_string()
    } else if name.chars().any(char::is_control) {
        "a name must stand on one line".to_string()
    } else if name.chars().count() > LONGEST_NAME {
        format!("a name may have {LONGEST_NAME} letters at most")
    } else {
        return true;
    };
    findings.wrong(place, trouble, "");
    false
}

/// A description of one or more sentences.
pub(crate) fn about<'t>(node: &'t Node<'_>, findings: &mut Findings) -> Option<&'t str> {
    let about = text(node, "a sentence in quotes is expected", findings)?.trim();
    if about.chars().count() > LONGEST_ABOUT {
        findings.wrong(node.span(), format!("a description may have {LONGEST_ABOUT} letters at most"), "");
        return None;
    }
    Some(about)
}

/// `true` or `false`.
pub(crate) fn yes_no(node: &Node<'_>, findings: &mut Findings) -> Option<bool> {
    if let DeValue::Boolean(value) = node.get_ref() {
        return Some(*value);
    }
    wrong_sort(node, "true or false is expected, without quotes", findings);
    None
}

/// The items of a list.
pub(crate) fn list<'t, 'a>(node: &'t Node<'a>, expected: &str, findings: &mut Findings) -> Option<Vec<&'t Node<'a>>> {
    if let DeValue::Array(items) = node.get_ref() {
        return Some(items.iter().collect());
    }
    wrong_sort(node, expected, findings);
    None
}

/// A whole number from 1 to a limit.
pub(crate) fn count(node: &Node<'_>, what: &str, most: u32, findings: &mut Findings) -> Option<u32> {
    let expected = format!("a whole number from 1 to {}, without quotes", words::exact(f64::from(most)));
    let written = match node.get_ref() {
        DeValue::Integer(written) => written,
        DeValue::Float(_) => {
            findings.wrong(node.span(), "this is not a whole number", expected);
            return None;
        }
        _ => {
            wrong_sort(node, expected, findings);
            return None;
        }
    };
    // Anything too long for 64 bits is out of every limit too.
    match i64::from_str_radix(written.as_str(), written.radix()) {
        Ok(value) if (1..=i64::from(most)).contains(&value) => u32::try_from(value).ok(),
        Ok(value) if value < 1 => {
            findings.wrong(node.span(), format!("{what} must be 1 or more"), expected);
            None
        }
        _ => {
            let limit = words::exact(f64::from(most));
            findings.wrong(node.span(), format!("{what} may be {limit} at most"), expected);
            None
        }
    }
}

/// A TOML number; `None` without a note if the value is something else.
fn plain_number(node: &Node<'_>) -> Option<f64> {
    match node.get_ref() {
        DeValue::Integer(written) => i64::from_str_radix(written.as_str(), written.radix())
            .ok()
            .map(|value| value as f64)
            .or(Some(f64::INFINITY)),
        DeValue::Float(written) => Some(written.as_str().parse().unwrap_or(f64::NAN)),
        _ => None,
    }
}

/// How a number without a unit is understood.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Bare {
    /// As a mistake, unless the number is a plain ratio.
    Refused,
    /// As being in the model's unit (library files state the unit beside the number).
    InModelUnit,
}

/// One value within its limits, in the unit of `info`.
pub(crate) fn value(node: &Node<'_>, info: &NumberInfo, bare: Bare, findings: &mut Findings) -> Option<f64> {
    let measure = units::measure_of(info.unit);
    let (value, unit) = match node.get_ref() {
        DeValue::String(written) => match units::read(written, info.unit) {
            Ok(value) => (value, units::split(written).map_or(info.unit, |written| written.unit)),
            Err(trouble) => {
                let (what, help) = units::explain(&trouble, info.unit);
                findings.wrong_with(node.span(), what, expectation(info), help);
                return None;
            }
        },
        _ => match plain_number(node) {
            Some(number) if bare == Bare::InModelUnit || measure == Measure::Share => (number, info.unit),
            Some(number) => {
                let (what, help) = units::explain(&Trouble::NoUnit(number), info.unit);
                findings.wrong_with(node.span(), what, expectation(info), help);
                return None;
            }
            None => {
                wrong_sort(node, expectation(info), findings);
                return None;
            }
        },
    };
    if !value.is_finite() {
        findings.wrong(node.span(), "this is not an ordinary number", expectation(info));
        return None;
    }
    if value < info.least || value > info.most {
        // A share written in per cent is best mended in per cent.
        let in_percent = measure == Measure::Share && unit == "%";
        let allowed = if in_percent {
            format!("from {} to {} %", words::figure(100.0 * info.least), words::figure(100.0 * info.most))
        } else {
            limits(info)
        };
        let what = format!("the {} must be {allowed}", info.label);
        let is_as_written = in_percent || unit == info.unit;
        let given = if is_as_written { String::new() } else { format!("this is {}", amount(value, info.unit)) };
        findings.wrong(node.span(), what, given);
        return None;
    }
    Some(value)
}

/// One value or `{ low = …, likely = …, high = … }`, in the unit of `info`.
pub(crate) fn range(node: &Node<'_>, info: &NumberInfo, findings: &mut Findings) -> Option<Range> {
    range_of(node, &["low", "likely", "high"], info, findings)
}

/// The same with a `source = "…"` beside the three values, which may be left out; empty without one.
pub(crate) fn sourced_range<'t>(
    node: &'t Node<'_>,
    info: &NumberInfo,
    findings: &mut Findings,
) -> Option<(Range, &'t str)> {
    let range = range_of(node, &["low", "likely", "high", "source"], info, findings);
    let source = match node.get_ref() {
        DeValue::Table(table) => table.get("source").map_or(Some(""), |source| about(source, findings)),
        _ => Some(""),
    };
    Some((range?, source?))
}

fn range_of(node: &Node<'_>, known: &[&'static str], info: &NumberInfo, findings: &mut Findings) -> Option<Range> {
    if !matches!(node.get_ref(), DeValue::Table(_)) {
        return value(node, info, Bare::Refused, findings).map(Range::certain);
    }
    let fields = Fields::open(node, "a range", known, findings)?;
    let three = ["low", "likely", "high"].map(|key| {
        let node = fields.need(key, "{ low = …, likely = …, high = … }", findings)?;
        value(node, info, Bare::Refused, findings)
    });
    let [Some(low), Some(likely), Some(high)] = three else { return None };
    rising(low, likely, high, fields.place(), info, findings)
}

/// A range of three values already read; notes when they do not rise.
pub(crate) fn rising(
    low: f64,
    likely: f64,
    high: f64,
    place: Bytes<usize>,
    info: &NumberInfo,
    findings: &mut Findings,
) -> Option<Range> {
    let range = Range::new(low, likely, high);
    if range.is_err() {
        let given = format!("low {}, likely {}, high {}", words::exact(low), words::exact(likely), words::exact(high));
        findings.wrong(place, format!("the {} must rise from low over likely to high", info.label), given);
    }
    range.ok()
}

/// What a number's value should look like.
fn expectation(info: &NumberInfo) -> String {
    let measure = units::measure_of(info.unit);
    match measure {
        Measure::Share => format!("the {} is expected: a number {}", info.label, limits(info)),
        _ => format!("the {} is expected, with its unit: {}", info.label, words::list(units::offered(info.unit), "or")),
    }
}

/// The limits of a number in words.
fn limits(info: &NumberInfo) -> String {
    format!("from {} to {}", words::exact(info.least), amount(info.most, info.unit))
}

/// A value with its unit.
pub(crate) fn amount(value: f64, unit: &str) -> String {
    if unit.is_empty() { words::exact(value) } else { format!("{} {unit}", words::exact(value)) }
}
