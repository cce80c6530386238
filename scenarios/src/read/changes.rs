//! The `[change]` tables of a scenario: numbers that replace the library's in this scenario only.

use std::ops::Range as Bytes;

use frytub_sim::numbers::{FishNumbers, FoodNumbers, NumberInfo};

use crate::fields::{self, Fields, Node};
use crate::known::Known;
use crate::library::{Library, counts_for};
use crate::mistakes::Findings;
use crate::words;

/// A number that replaces the library's.
pub(super) struct Change {
    /// Name of the number.
    pub key: &'static str,
    /// Where it is written.
    pub place: Bytes<usize>,
    /// Its new value.
    pub known: Known,
}

/// The changes to one food.
pub(super) struct FoodChange {
    /// The food's name in the library.
    pub food: String,
    /// Where it is named.
    pub place: Bytes<usize>,
    /// What changes.
    pub changes: Vec<Change>,
}

/// All changes of a scenario.
#[derive(Default)]
pub(super) struct Changes {
    /// Changes to the fish.
    pub fish: Vec<Change>,
    /// Changes to foods, in the order of the file.
    pub foods: Vec<FoodChange>,
}

/// Reads `[change.fish]` and `[change.food."…"]`.
pub(super) fn read(root: Fields<'_, '_>, library: &Library, findings: &mut Findings) -> Changes {
    let mut changes = Changes::default();
    let Some(node) = root.get("change") else { return changes };
    let Some(change) = Fields::open(node, "[change]", &["fish", "food"], findings) else { return changes };
    if let Some(node) = change.get("fish") {
        changes.fish = open_list(node, "[change.fish]", FishNumbers::<f64>::INFO, |_| true, findings);
    }
    let foods = change.get("food").and_then(|node| Fields::open_any(node, "[change.food.\"name\"]", findings));
    for (name, node) in foods.map(|foods| foods.in_order()).unwrap_or_default() {
        match library.find_food(name.get_ref()) {
            Ok(food) => {
                let counts = |key: &str| counts_for(food.sort, key);
                let list = open_list(node, "[change.food.\"name\"]", FoodNumbers::<f64>::INFO, counts, findings);
                changes.foods.push(FoodChange { food: food.name.clone(), place: name.span(), changes: list });
            }
            Err(_) => {
                let what = format!("there is no food called \"{}\"", name.get_ref());
                let hint = words::hint(name.get_ref(), &library.food_names());
                findings.wrong_with(name.span(), what, "a food of the library is expected", hint);
            }
        }
    }
    changes
}

/// Reads a table that holds nothing but numbers.
fn open_list(
    node: &Node<'_>,
    what: &'static str,
    infos: &'static [NumberInfo],
    counts: impl Fn(&str) -> bool,
    findings: &mut Findings,
) -> Vec<Change> {
    let known: Vec<&'static str> = infos.iter().map(|info| info.key).collect();
    let table = Fields::open(node, what, &known, findings);
    table.map(|table| read_list(table, infos, counts, findings)).unwrap_or_default()
}

/// Reads the numbers that a table replaces; each may say its source.
pub(super) fn read_list(
    table: Fields<'_, '_>,
    infos: &'static [NumberInfo],
    counts: impl Fn(&str) -> bool,
    findings: &mut Findings,
) -> Vec<Change> {
    let mut changes = Vec::new();
    for info in infos {
        let Some(node) = table.get(info.key) else { continue };
        if !counts(info.key) {
            let what = format!("the {} does not count for this sort of food", info.label);
            findings.wrong(node.span(), what, "take it out");
        } else if let Some((range, source)) = fields::sourced_range(node, info, findings) {
            let known = Known { source: source.to_string(), ..Known::by_file(range) };
            changes.push(Change { key: info.key, place: node.span(), known });
        }
    }
    changes
}
