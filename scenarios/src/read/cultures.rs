//! The `[culture]` tables of a scenario: foods that may not be ready on their day; and what plans feed instead.
//!
//! Knows how cultures are written; does not know when they are missing.

use std::convert::Infallible;
use std::ops::Range as Bytes;

use frytub_sim::numbers::{CultureNumbers, NumberInfo, Range};

use crate::fields::{self, Fields, Node};
use crate::known::Known;
use crate::library::{FoodEntry, Library};
use crate::mistakes::Findings;
use crate::read::numbers::{self, Asked, Reader};
use crate::read::recipes::Recipes;
use crate::read::unknown_name;
use crate::words;

/// What is expected in place of a food that is not ready.
const STAND_IN: &str = "the name of a food is expected, or \"nothing\"";

/// A culture as written.
#[derive(Debug, Clone)]
pub(super) struct CultureText<'l> {
    /// Its food.
    pub food: &'l FoodEntry,
    /// Where it is named.
    pub place: Bytes<usize>,
    /// Its numbers, if they could be read.
    pub numbers: Option<CultureNumbers<Known>>,
    /// What every plan feeds instead that does not say otherwise.
    instead: Option<String>,
}

/// A food and what is fed instead, by their names in the library.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct StandInText {
    /// The food that is missing.
    pub food: String,
    /// The food fed instead; `None` for nothing.
    pub instead: Option<String>,
}

/// How a culture's number is asked for.
fn asked(info: &NumberInfo, usual: Option<Known>) -> Asked {
    let (key, example) = match info.key {
        "late_d" => ("late", "late = \"1 day\""),
        "late_spread_d" => ("late_spread", "late_spread = \"1 day\""),
        "crash_days" => ("crash", "crash = \"60 days\", or crash = \"never\""),
        _ => ("restart", "restart = \"5 days\""),
    };
    Asked { key, example, usual }
}

/// Reads every `[culture."food"]`; without one, every food is there whenever it is wanted.
pub(super) fn read<'l>(
    root: Fields<'_, '_>,
    library: &'l Library,
    recipes: &Recipes<'l>,
    findings: &mut Findings,
) -> Vec<CultureText<'l>> {
    let tables = root.get("culture").and_then(|node| Fields::open_any(node, "[culture.\"food\"]", findings));
    let mut cultures: Vec<CultureText<'l>> = Vec::new();
    for (name, node) in tables.map(|tables| tables.in_order()).unwrap_or_default() {
        let Some(food) = fed(name, library, recipes, findings) else { continue };
        if cultures.iter().any(|culture| culture.food.name == food.name) {
            let what = format!("the culture of {} is described twice", food.name);
            findings.wrong(name.span(), what, "take one of the two out");
        }
        let (numbers, instead) = read_one(node, food, library, findings).unwrap_or_default();
        cultures.push(CultureText { food, place: name.span(), numbers, instead });
    }
    cultures
}

/// The food of a culture; notes when no mix holds it.
fn fed<'l>(
    name: &toml::Spanned<std::borrow::Cow<'_, str>>,
    library: &'l Library,
    recipes: &Recipes<'l>,
    findings: &mut Findings,
) -> Option<&'l FoodEntry> {
    let mixed: Vec<&FoodEntry> = recipes.mixes.iter().flat_map(|mix| &mix.parts).map(|part| part.food).collect();
    let found = library.find_food(name.get_ref()).ok().filter(|food| mixed.iter().any(|mixed| mixed.name == food.name));
    // Where a mix could not be read, what is in it is not known.
    if found.is_none() && !mixed.is_empty() {
        let mut names: Vec<&str> = mixed.iter().map(|food| food.name.as_str()).collect();
        names.sort_unstable();
        names.dedup();
        let what = format!("no mix of this file holds \"{}\"", name.get_ref());
        findings.wrong_with(name.span(), what, "a food that is fed is expected", words::hint(name.get_ref(), &names));
    }
    found
}

type Body = (Option<CultureNumbers<Known>>, Option<String>);

fn read_one(node: &Node<'_>, food: &FoodEntry, library: &Library, findings: &mut Findings) -> Option<Body> {
    let infos = CultureNumbers::<f64>::INFO.iter();
    let known: Vec<&'static str> = infos.map(|info| asked(info, None).key).chain(["instead"]).collect();
    let table = Fields::open(node, "a culture", &known, findings)?;
    let mut usual = library.culture_of(&food.name).map(|culture| culture.numbers.iter());
    let mut reader = Reader::new(table, findings);
    let numbers = CultureNumbers::try_from_fn(|info| {
        let usual = usual.as_mut().and_then(Iterator::next).map(|(_, known)| known.clone());
        let number = reader.number_by(info, asked(info, usual), |node, info, findings| {
            if info.key == "crash_days" && node.get_ref().as_str() == Some("never") {
                // Once in so many years that no brood sees it.
                return Some(Known::by_file(Range::certain(info.most)));
            }
            numbers::plain(node, info, findings)
        });
        Ok::<_, Infallible>(number)
    });
    let numbers = reader.whole(numbers.ok()?);
    let instead = table.get("instead").and_then(|node| read_food(node, food, library, findings)).flatten();
    Some((numbers, instead))
}

/// Reads the food that is fed instead of one that is not ready; the inner `None` is nothing.
fn read_food(node: &Node<'_>, food: &FoodEntry, library: &Library, findings: &mut Findings) -> Option<Option<String>> {
    let name = fields::text(node, STAND_IN, findings)?;
    if words::squeeze(name) == "nothing" {
        return Some(None);
    }
    let Ok(instead) = library.find_food(name) else {
        unknown_name(node, "food", name, &library.food_names(), findings);
        return None;
    };
    if instead.name == food.name {
        findings.wrong(node.span(), format!("{} cannot stand in for itself", food.name), STAND_IN);
        return None;
    }
    Some(Some(instead.name.clone()))
}

/// What a plan feeds instead of each food whose culture is described: its own `instead`, or that of the culture.
pub(super) fn of_plan(
    plan: Fields<'_, '_>,
    cultures: &[CultureText<'_>],
    library: &Library,
    findings: &mut Findings,
) -> Option<Vec<StandInText>> {
    let usual =
        |culture: &CultureText<'_>| StandInText { food: culture.food.name.clone(), instead: culture.instead.clone() };
    let mut stand_ins: Vec<StandInText> = cultures.iter().map(usual).collect();
    let Some(node) = plan.get("instead") else { return Some(stand_ins) };
    let own = Fields::open_any(node, "instead", findings)?;
    let mut complete = true;
    for (name, node) in own.in_order() {
        let food = library.find_food(name.get_ref()).ok();
        let place = stand_ins.iter().position(|known| food.is_some_and(|food| food.name == known.food));
        let (Some(food), Some(place)) = (food, place) else {
            let names: Vec<&str> = cultures.iter().map(|culture| culture.food.name.as_str()).collect();
            let what = format!("no [culture.\"{}\"] is described", name.get_ref());
            let expected = "a food whose culture is described is expected";
            findings.wrong_with(name.span(), what, expected, words::hint(name.get_ref(), &names));
            complete = false;
            continue;
        };
        match read_food(node, food, library, findings) {
            Some(instead) => stand_ins[place].instead = instead,
            None => complete = false,
        }
    }
    complete.then_some(stand_ins)
}
