//! The `[fish."name"]` and `[food."name"]` tables of a scenario: fish and foods that the library does not have, each
//! described by what is different from one that it has.
//!
//! They are added to a copy of the library for this scenario, so that everything else finds them by name like any other.

use std::borrow::Cow;
use std::ops::Range as Bytes;

use frytub_sim::numbers::{FishNumbers, FoodNumbers, NumberInfo};
use frytub_sim::study::FoodSort;

use crate::fields::{self, Fields};
use crate::library::{FishEntry, FoodEntry, Library, counts_for};
use crate::mistakes::Findings;
use crate::read::changes::{self, Change};
use crate::read::unknown_name;
use crate::words;

/// The library with what a scenario adds to it.
pub(super) struct Own<'l> {
    /// Everything that can be named.
    pub library: Cow<'l, Library>,
    /// Names of the fish that the scenario describes, with their places.
    pub fish: Vec<(String, Bytes<usize>)>,
    /// Names of its foods, likewise.
    pub foods: Vec<(String, Bytes<usize>)>,
}

/// One description as written.
struct Described<'t, 'a> {
    name: String,
    place: Bytes<usize>,
    fields: Fields<'t, 'a>,
}

/// Reads both kinds of table.
pub(super) fn read<'l>(root: Fields<'_, '_>, library: &'l Library, findings: &mut Findings) -> Own<'l> {
    let mut own = Own { library: Cow::Borrowed(library), fish: Vec::new(), foods: Vec::new() };
    for table in described(root, "fish", "[fish.\"name\"]", FishNumbers::<f64>::INFO, findings) {
        refuse_known_name(&table, "fish", library.find_fish(&table.name).is_ok(), "[change.fish]", findings);
        let like = like(table.fields, "fish", &library.fish_names(), findings, |name| library.find_fish(name).ok());
        // A fish whose model is not known is still known by its name, so that it is not complained of twice.
        let Some(mut entry) = like.or(library.fish.first()).cloned() else { continue };
        for Change { key, known, .. } in changes::read_list(table.fields, FishNumbers::<f64>::INFO, |_| true, findings)
        {
            if let Some(number) = entry.numbers.get_mut(key) {
                *number = known;
            }
        }
        let about = about(table.fields, &entry.about, findings);
        own.fish.push((table.name.clone(), table.place));
        let entry = FishEntry { name: table.name, about, also: Vec::new(), ..entry };
        own.library.to_mut().fish.push(entry);
    }
    for table in described(root, "food", "[food.\"name\"]", FoodNumbers::<f64>::INFO, findings) {
        let help = format!("[change.food.\"{}\"]", table.name);
        refuse_known_name(&table, "food", library.find_food(&table.name).is_ok(), &help, findings);
        let like = like(table.fields, "food", &library.food_names(), findings, |name| library.find_food(name).ok());
        let sort = like.map(|entry| entry.sort);
        let Some(mut entry) = like.or(library.foods.first()).cloned() else { continue };
        let counts = |key: &str| sort.is_none_or(|sort: FoodSort| counts_for(sort, key));
        for Change { key, known, .. } in changes::read_list(table.fields, FoodNumbers::<f64>::INFO, counts, findings) {
            if let Some(number) = entry.numbers.get_mut(key) {
                *number = known;
            }
        }
        let about = about(table.fields, &entry.about, findings);
        own.foods.push((table.name.clone(), table.place));
        let entry = FoodEntry { name: table.name, about, also: Vec::new(), ..entry };
        own.library.to_mut().foods.push(entry);
    }
    own
}

/// The tables of one kind in the order of the file, each name once.
fn described<'t, 'a>(
    root: Fields<'t, 'a>,
    key: &str,
    what: &'static str,
    infos: &'static [NumberInfo],
    findings: &mut Findings,
) -> Vec<Described<'t, 'a>> {
    let known: Vec<&'static str> = ["like", "about"].into_iter().chain(infos.iter().map(|info| info.key)).collect();
    let tables = root.get(key).and_then(|node| Fields::open_any(node, what, findings));
    let mut list: Vec<Described<'_, '_>> = Vec::new();
    for (name, node) in tables.map(|tables| tables.in_order()).unwrap_or_default() {
        let place = name.span();
        let name = name.get_ref().trim();
        fields::name_is_fit(name, place.clone(), findings);
        if list.iter().any(|other| words::fold(&other.name) == words::fold(name)) {
            findings.wrong(place.clone(), format!("there are two called \"{name}\""), "give one another name");
        }
        if let Some(fields) = Fields::open(node, what, &known, findings) {
            list.push(Described { name: name.to_string(), place, fields });
        }
    }
    list
}

fn refuse_known_name(table: &Described<'_, '_>, what: &str, is_known: bool, instead: &str, findings: &mut Findings) {
    if is_known {
        let help = Some(format!("to change some of its numbers write {instead}, or choose another name"));
        let trouble = format!("the library has a {what} called \"{}\" already", table.name);
        findings.wrong_with(table.place.clone(), trouble, "another name is expected", help);
    }
}

/// The entry of the library that a description starts from.
fn like<'l, E>(
    table: Fields<'_, '_>,
    what: &str,
    names: &[&str],
    findings: &mut Findings,
    find: impl FnOnce(&str) -> Option<&'l E>,
) -> Option<&'l E> {
    let node = table.need("like", &format!("like = \"{}\"", names.first().unwrap_or(&what)), findings)?;
    let name = fields::text(node, &format!("the name of a {what} of the library is expected"), findings)?;
    let found = find(name);
    if found.is_none() {
        unknown_name(node, &format!("{what} in the library"), name, names, findings);
    }
    found
}

/// What the entry is: its own words, or what it was made from.
fn about(table: Fields<'_, '_>, like: &str, findings: &mut Findings) -> String {
    let own = table.get("about").and_then(|node| fields::about(node, findings));
    own.map_or_else(|| format!("Described in this file. Starts from: {like}"), ToString::to_string)
}

/// Notes what is described and not used.
pub(super) fn warn_of_unused(own: &Own<'_>, fish: &str, foods: &[&FoodEntry], findings: &mut Findings) {
    for (name, place) in own.fish.iter().filter(|(name, _)| name != fish) {
        let what = format!("\"{name}\" is described here, but the brood is of another fish");
        findings.doubt(place.clone(), what, "Name it in [brood], or take it out.");
    }
    for (name, place) in own.foods.iter().filter(|(name, _)| foods.iter().all(|food| food.name != *name)) {
        let what = format!("\"{name}\" is described here, but no plan feeds it");
        findings.doubt(place.clone(), what, "Put it into a mix, or take it out.");
    }
}
