//! The `[case]` and `[[expected]]` of a scenario that is a published trial: where it was published, what had to be
//! assumed, and the values to hold the model against.

use std::ops::Range as Bytes;

use frytub_sim::cases::{Case, Expected, Kind, Published, Quantity, Versus};
use frytub_sim::numbers::{NumberInfo, Scale};

use crate::fields::{self, Bare, Fields, Node};
use crate::mistakes::Findings;
use crate::read::plans::Plans;
use crate::read::{groups, unknown_name};
use crate::times;
use crate::words;

/// How a case is written, for whoever has left something out.
const CASE: &str = "[case] with kind, source and assumed";
/// Limits of a ratio of two arms.
const RATIO: NumberInfo = NumberInfo {
    key: "published",
    label: "ratio of the two arms",
    unit: "",
    least: 0.0,
    most: 1e4,
    scale: Scale::Even,
};
/// The ways in which two arms are compared.
const COMPARE: [&str; 3] = ["ratio", "difference", "order"];
/// The orders of two arms.
const ORDERS: [&str; 3] = ["more", "less", "no difference"];

/// Reads both parts; the inner `None` for a scenario that is no case.
pub(super) fn read(
    root: Fields<'_, '_>,
    plans: &Plans,
    days: Option<u32>,
    findings: &mut Findings,
) -> Option<Option<Case>> {
    let expected = groups(root, "expected", findings);
    let Some(node) = root.get("case") else {
        if let Some(first) = expected.first().filter(|_| !findings.was_meant(root.place().start, "case")) {
            let what = "there is an expected value, but nothing says where it was published";
            findings.wrong_with(first.span(), what, "", Some(format!("add {CASE}")));
        }
        return expected.is_empty().then_some(None);
    };
    if expected.is_empty() && !findings.was_meant(root.place().start, "expected") {
        let help =
            "for instance: [[expected]] with of = \"Two feeds\", quantity = \"survival\" and published = \"66 %\"";
        findings.wrong_with(node.span(), "this case expects nothing", "", Some(help.into()));
    }
    let case = Fields::open(node, "[case]", &["kind", "source", "assumed"], findings);
    let head = case.and_then(|case| {
        let kind = case.need("kind", "kind = \"validation\"", findings).map(|node| kind(node, findings));
        let source = case.need("source", "source = \"author, year, title\"", findings);
        let source = source.and_then(|node| fields::about(node, findings));
        let assumed = case.need("assumed", "assumed = [\"28 °C; the paper does not say\"]", findings);
        let assumed = assumed.and_then(|node| sentences(node, findings));
        Some((kind??, source?, assumed?))
    });
    // A kind that could not be read must not cost the mistakes of the values.
    let usual = head.as_ref().map_or(Kind::Validation, |(kind, _, _)| *kind);
    let values: Vec<Option<Expected>> =
        expected.iter().map(|node| read_expected(node, plans, days, usual, findings)).collect();
    let (kind, source, assumed) = head?;
    let expected = values.into_iter().collect::<Option<Vec<_>>>()?;
    Some(Some(Case { kind, source: source.to_string(), assumed, expected }))
}

/// The word of a list that a text says, by its place; notes when there is none.
fn one_of(node: &Node<'_>, what: &str, known: &[&str], findings: &mut Findings) -> Option<usize> {
    let quoted: Vec<String> = known.iter().map(|word| format!("\"{word}\"")).collect();
    let quoted: Vec<&str> = quoted.iter().map(String::as_str).collect();
    let text = fields::text(node, &format!("{} is expected", words::list(&quoted, "or")), findings)?;
    let found = known.iter().position(|word| words::fold(word) == words::fold(text));
    if found.is_none() {
        unknown_name(node, what, text, known, findings);
    }
    found
}

fn kind(node: &Node<'_>, findings: &mut Findings) -> Option<Kind> {
    one_of(node, "kind of case", &Kind::ALL.map(Kind::label), findings).map(|place| Kind::ALL[place])
}

fn sentences(node: &Node<'_>, findings: &mut Findings) -> Option<Vec<String>> {
    let list = fields::list(node, "a list of sentences in quotes is expected", findings)?;
    list.into_iter().map(|node| fields::about(node, findings).map(ToString::to_string)).collect()
}

fn read_expected(
    node: &Node<'_>,
    plans: &Plans,
    days: Option<u32>,
    usual: Kind,
    findings: &mut Findings,
) -> Option<Expected> {
    let known = [
        "of",
        "against",
        "compare",
        "quantity",
        "on_day",
        "published",
        "give_or_take",
        "from",
        "to",
        "expect",
        "within",
        "kind",
    ];
    let group = Fields::open(node, "[[expected]]", &known, findings)?;
    let plan = group.need("of", "of = \"the name of a plan\"", findings);
    let plan = plan.and_then(|node| plan_named(node, plans, findings));
    let quantity = group.need("quantity", "quantity = \"survival\"", findings).and_then(|node| {
        let place = one_of(node, "quantity", &Quantity::ALL.map(Quantity::label), findings)?;
        Some(Quantity::ALL[place])
    });
    let on_day = match (group.get("on_day"), days) {
        (Some(node), days) => times::day(node, "the day of an expected value", days.unwrap_or(1), findings),
        (None, days) => days,
    };
    let against = group.get("against").map(|node| plan_named(node, plans, findings));
    let compare = group.get("compare").map(|node| one_of(node, "way to compare", &COMPARE, findings));
    match (against, compare) {
        (Some(_), None) => {
            let help = words::hint("", &COMPARE);
            findings.wrong_with(
                group.place(),
                "two arms are named, but not how to compare",
                "compare is missing",
                help,
            );
        }
        (None, Some(_)) => {
            group.need("against", "against = \"the name of another plan\"", findings);
        }
        _ => {}
    }
    let kind = group.get("kind").map_or(Some(usual), |node| kind(node, findings));
    let way = compare.flatten().map(|place| COMPARE[place]);
    if compare.is_some() && way.is_none() {
        return None;
    }
    let quantity = quantity?;
    let published = match way {
        Some("order") => order(group, quantity, findings),
        Some("ratio") => value(group, &RATIO, findings),
        Some(_) => value(group, &difference_of(quantity), findings),
        None => value(group, &quantity.info(), findings),
    };
    let versus = if way == Some("ratio") { Versus::Ratio } else { Versus::Difference };
    let against = match against {
        Some(other) => Some((other?, way.map(|_| versus)?)),
        None if compare.is_some() => return None,
        None => None,
    };
    Some(Expected { plan: plan?, against, quantity, on_day: on_day?, published: published?, kind: kind? })
}

fn plan_named(node: &Node<'_>, plans: &Plans, findings: &mut Findings) -> Option<usize> {
    let name = fields::text(node, "the name of a plan is expected", findings)?;
    let found = plans.list.iter().position(|plan| words::fold(&plan.name) == words::fold(name));
    if found.is_none() && plans.complete && !plans.list.is_empty() {
        let names: Vec<&str> = plans.list.iter().map(|plan| plan.name.as_str()).collect();
        unknown_name(node, "plan", name, &names, findings);
    }
    found
}

/// Limits of a difference: as wide as those of the quantity, to either side.
fn difference_of(quantity: Quantity) -> NumberInfo {
    let info = quantity.info();
    let widest = info.most - info.least;
    NumberInfo { least: -widest, most: widest, ..info }
}

/// Reads `published`, with or without `give_or_take`, or `from` and `to`.
fn value(group: Fields<'_, '_>, info: &NumberInfo, findings: &mut Findings) -> Option<Published> {
    refuse(group, &["expect", "within"], "is for compare = \"order\"", findings)?;
    let mut number = |key: &str, info: &NumberInfo| {
        let node = group.get(key)?;
        Some(fields::value(node, info, Bare::Refused, findings).map(|value| (value, node.span())))
    };
    let beside = NumberInfo { label: "error beside a published value", least: 0.0, ..*info };
    let read = [number("published", info), number("give_or_take", &beside), number("from", info), number("to", info)];
    match read {
        [Some(value), beside, None, None] => {
            let beside = beside.map_or(Some(None), |beside| beside.map(|(value, _)| Some(value)));
            Some(Published::Value(value?.0, beside?))
        }
        [None, None, Some(from), Some(to)] => {
            let ((from, _), (to, place)) = (from?, to?);
            if from > to {
                findings.wrong(place, "\"to\" is less than \"from\"", "the greater of the two is expected here");
                return None;
            }
            Some(Published::Span(from, to))
        }
        _ => {
            let expected = "published = …, or from = … and to = …, is expected";
            let help = "published may have give_or_take = … beside it";
            findings.wrong_with(group.place(), "what was published is not clear here", expected, Some(help.into()));
            None
        }
    }
}

/// Reads `expect` and `within`.
fn order(group: Fields<'_, '_>, quantity: Quantity, findings: &mut Findings) -> Option<Published> {
    refuse(group, &["published", "give_or_take", "from", "to"], "is not for compare = \"order\"", findings)?;
    let node = group.need("expect", "expect = \"more\"", findings)?;
    let place = one_of(node, "order", &ORDERS, findings)?;
    if ORDERS[place] != "no difference" {
        refuse(group, &["within"], "is for expect = \"no difference\"", findings)?;
        return Some(if ORDERS[place] == "more" { Published::More } else { Published::Less });
    }
    let within = group.need("within", "within = \"5 %\", the least that the trial would have seen", findings)?;
    let limits = NumberInfo { label: "least difference that the trial would have seen", ..difference_of(quantity) };
    fields::value(within, &NumberInfo { least: 0.0, ..limits }, Bare::Refused, findings).map(Published::Same)
}

/// Notes fields that say nothing here; `None` if there was one.
fn refuse(group: Fields<'_, '_>, keys: &[&str], why: &str, findings: &mut Findings) -> Option<()> {
    let found: Vec<(&str, Bytes<usize>)> =
        keys.iter().filter_map(|key| group.get(key).map(|node| (*key, node.span()))).collect();
    for (key, place) in &found {
        findings.wrong(place.clone(), format!("\"{key}\" {why}"), "take it out");
    }
    found.is_empty().then_some(())
}
