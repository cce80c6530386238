//! The `[mishaps]` of a scenario: what goes wrong and how often; and what a plan has against it.

use frytub_sim::numbers::MishapNumbers;
use frytub_sim::study::{Mishaps, Owned};
use toml::de::DeValue;

use crate::fields::{self, Fields, Node};
use crate::known::Known;
use crate::mistakes::Findings;

/// What may go wrong, as written.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct MishapText {
    /// Its numbers.
    pub numbers: MishapNumbers<Known>,
    /// The kinds that never happen, by the names of their numbers.
    never: Vec<&'static str>,
}

impl MishapText {
    /// As a study holds it.
    pub fn finished(&self) -> Mishaps {
        let may = |key: &str| !self.never.contains(&key);
        Mishaps {
            numbers: self.numbers.map(|_, known| known.range),
            power_cut: may("power_cut_days"),
            air_stop: may("air_stop_days"),
            clog: may("clog_days"),
            slip: may("slip_days"),
        }
    }
}

/// Name of a number in a file.
fn written_as(key: &str) -> &'static str {
    match key {
        "power_cut_days" => "power_cut",
        "power_cut_h" => "power_cut_length",
        "air_stop_days" => "air_stop",
        "clog_days" => "line_clog",
        "slip_days" => "tube_slip",
        "slips_to_mm" => "tube_slips_to",
        "room_c" => "room",
        _ => "cooling",
    }
}

/// What is taken when the file says nothing of a number.
fn usual(key: &str) -> Known {
    let (range, source) = match key {
        "power_cut_days" => ((10.0, 45.0, 120.0), "estimate: differs from place to place"),
        "power_cut_h" => ((0.3, 1.0, 3.0), "estimate: differs from place to place"),
        "air_stop_days" => ((30.0, 120.0, 400.0), "estimate: a stone clogs or a hose slips off"),
        "clog_days" => ((20.0, 60.0, 200.0), "estimate: sooner with coarse or sticky food"),
        "slip_days" => ((60.0, 200.0, 600.0), "estimate"),
        "slips_to_mm" => ((-40.0, -10.0, 0.0), "estimate"),
        "room_c" => ((17.0, 20.0, 24.0), "estimate"),
        _ => ((0.05, 0.12, 0.3), "estimate: a few litres without cover, heater off"),
    };
    Known::usual(range, source)
}

/// Reads `[mishaps]`; without it nothing goes wrong. The outer `None` means that something is wrong with it.
pub(super) fn read(root: Fields<'_, '_>, findings: &mut Findings) -> Option<Option<MishapText>> {
    let Some(node) = root.get("mishaps") else { return Some(None) };
    let known: Vec<&'static str> = MishapNumbers::<f64>::INFO.iter().map(|info| written_as(info.key)).collect();
    let table = Fields::open(node, "[mishaps]", &known, findings)?;
    let mut never = Vec::new();
    let mut complete = true;
    let numbers = MishapNumbers::try_from_fn(|info| -> Result<Known, std::convert::Infallible> {
        let known = match table.get(written_as(info.key)) {
            Some(node) if info.key.ends_with("_days") && node.get_ref().as_str() == Some("never") => {
                never.push(info.key);
                Some(usual(info.key))
            }
            Some(node) => fields::range(node, info, findings).map(Known::by_file),
            None => Some(usual(info.key)),
        };
        complete &= known.is_some();
        Ok(known.unwrap_or_else(|| usual(info.key)))
    });
    complete.then_some(Some(MishapText { numbers: numbers.ok()?, never }))
}

/// Reads `owns`: what a plan has against mishaps.
pub(super) fn owns(plan: Fields<'_, '_>, findings: &mut Findings) -> Option<Owned> {
    let Some(node) = plan.get("owns") else { return Some(Owned::default()) };
    let expected = "a list is expected, of \"backup air\" and \"battery\"";
    let DeValue::Array(items) = node.get_ref() else {
        fields::wrong_sort(node, expected, findings);
        return None;
    };
    let mut owned = Owned::default();
    let mut complete = true;
    for item in items {
        complete &= own(item, expected, &mut owned, findings).is_some();
    }
    complete.then_some(owned)
}

fn own(item: &Node<'_>, expected: &str, owned: &mut Owned, findings: &mut Findings) -> Option<()> {
    match fields::text(item, expected, findings)?.trim() {
        "backup air" => owned.backup_air = true,
        "battery" => owned.battery = true,
        other => {
            findings.wrong(item.span(), format!("\"{other}\" is nothing that a plan can own"), expected);
            return None;
        }
    }
    Some(())
}
