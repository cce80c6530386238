//! The `[mishaps]` of a scenario: what goes wrong and how often; and what a plan has against it.

use std::convert::Infallible;

use frytub_sim::numbers::MishapNumbers;
use frytub_sim::study::{Mishaps, Owned};
use toml::de::DeValue;

use crate::fields::{self, Fields, Node};
use crate::known::Known;
use crate::mistakes::Findings;
use crate::read::numbers::{self, Asked, Reader};

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
        "live_clogs_less" => "clogs_less_with_live_food",
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
        "clog_days" => ((20.0, 60.0, 200.0), "estimate: yolk and powder clump and stick"),
        "live_clogs_less" => ((1.0, 3.0, 10.0), "estimate: live food neither clumps nor sticks"),
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
    let mut reader = Reader::new(table, findings);
    let numbers = MishapNumbers::try_from_fn(|info| {
        let asked = Asked { key: written_as(info.key), example: "", usual: Some(usual(info.key)) };
        let number = reader.number_by(info, asked, |node, info, findings| {
            if info.key.ends_with("_days") && node.get_ref().as_str() == Some("never") {
                never.push(info.key);
                return Some(usual(info.key));
            }
            numbers::plain(node, info, findings)
        });
        Ok::<_, Infallible>(number)
    });
    let numbers = reader.whole(numbers.ok()?)?;
    Some(Some(MishapText { numbers, never }))
}

/// Reads `owns`: what a plan has against mishaps.
pub(super) fn owns(plan: Fields<'_, '_>, findings: &mut Findings) -> Option<Owned> {
    let Some(node) = plan.get("owns") else { return Some(Owned::default()) };
    let expected = "a list is expected, of \"backup air\", \"battery\" and \"float alarm\"";
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
        "float alarm" => owned.float_alarm = true,
        other => {
            findings.wrong(item.span(), format!("\"{other}\" is nothing that a plan can own"), expected);
            return None;
        }
    }
    Some(())
}
