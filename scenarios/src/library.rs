//! The library of fish and foods: every number with its range and source, read from the files built into the program.
//!
//! Knows the library's file format; does not know scenarios.

use std::sync::OnceLock;

use frytub_sim::numbers::{FishNumbers, FoodNumbers, NumberInfo, Range};
use frytub_sim::study::FoodSort;
use toml::de::DeTable;

use crate::fields::{self, Bare, Fields, Node};
use crate::known::{Kind, Known, NumberUsed};
use crate::mistakes::{Findings, Mistakes};
use crate::syntax;
use crate::units;
use crate::words;

/// A fish of the library.
#[derive(Debug, Clone, PartialEq)]
pub struct FishEntry {
    /// Plain name.
    pub name: String,
    /// What it is, in one sentence.
    pub about: String,
    /// Other names it goes by.
    pub also: Vec<String>,
    /// Its numbers.
    pub numbers: FishNumbers<Known>,
}

/// A food of the library.
#[derive(Debug, Clone, PartialEq)]
pub struct FoodEntry {
    /// Plain name.
    pub name: String,
    /// What it is, in one sentence.
    pub about: String,
    /// Other names it goes by.
    pub also: Vec<String>,
    /// How it behaves.
    pub sort: FoodSort,
    /// True for prey that darts away.
    pub lively: bool,
    /// True for newly hatched brine shrimp.
    pub weaning: bool,
    /// Its numbers; those that do not count for its sort hold a neutral value (see [`counts_for`]).
    pub numbers: FoodNumbers<Known>,
}

impl FishEntry {
    /// Its numbers as a report lists them.
    #[must_use]
    pub fn numbers_used(&self) -> Vec<NumberUsed> {
        self.numbers.iter().map(|(info, known)| NumberUsed::new(&self.name, "fish", info, known)).collect()
    }
}

impl FoodEntry {
    /// Its numbers as a report lists them; only those that count for its sort.
    #[must_use]
    pub fn numbers_used(&self) -> Vec<NumberUsed> {
        food_numbers_used(&self.name, self.sort, &self.numbers)
    }
}

/// A food's numbers as a report lists them; only those that count for its sort.
pub(crate) fn food_numbers_used(name: &str, sort: FoodSort, numbers: &FoodNumbers<Known>) -> Vec<NumberUsed> {
    let counting = numbers.iter().filter(|(info, _)| counts_for(sort, info.key));
    counting.map(|(info, known)| NumberUsed::new(name, name, info, known)).collect()
}

/// True if a number of a food has a meaning for its sort.
///
/// An animal has a mass of its own, a particle a size and two densities; only a sinker sinks while alive, and only
/// a swimmer sinks when it dies.
#[must_use]
pub fn counts_for(sort: FoodSort, key: &str) -> bool {
    match key {
        "mass_ug" => sort.is_alive(),
        "dry_kg_m3" | "wet_kg_m3" | "shape_factor" => sort == FoodSort::Particle,
        "sink_mm_s" => sort == FoodSort::Sinker,
        "dead_sink_mm_s" => sort == FoodSort::Swimmer,
        _ => true,
    }
}

/// Value held where a number does not count: harmless in every formula that might read it.
fn neutral(key: &str) -> f64 {
    match key {
        "dry_kg_m3" => 200.0,
        "wet_kg_m3" => 1050.0,
        "sink_mm_s" | "dead_sink_mm_s" => 0.0,
        _ => 1.0,
    }
}

/// All fish and foods.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Library {
    /// The fish, in the order of the file.
    pub fish: Vec<FishEntry>,
    /// The foods, in the order of the file.
    pub foods: Vec<FoodEntry>,
}

/// A fish or a food found by name.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Entry<'l> {
    /// A fish.
    Fish(&'l FishEntry),
    /// A food.
    Food(&'l FoodEntry),
}

/// A name that stands for nothing built in.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("there is no {what} called \"{given}\"{}", .hint.as_ref().map(|hint| format!("; {hint}")).unwrap_or_default())]
pub struct UnknownName {
    /// What was looked for, such as `fish or food of the library`.
    pub what: &'static str,
    /// The name given.
    pub given: String,
    /// The nearest name, or all of them if they are few.
    pub hint: Option<String>,
}

/// The library that is built into the program, read once.
///
/// # Panics
/// If the built-in files are not sound, which the tests of this crate rule out.
#[must_use]
pub fn library() -> &'static Library {
    static LIBRARY: OnceLock<Library> = OnceLock::new();
    LIBRARY.get_or_init(|| {
        let fish = include_str!("../library/fish.toml");
        let foods = include_str!("../library/foods.toml");
        Library::read(fish, foods).unwrap_or_else(|mistakes| panic!("the built-in library is not sound:\n{mistakes}"))
    })
}

impl Library {
    /// Reads a library from the texts of its two files.
    ///
    /// # Errors
    /// All mistakes of the first file that has any.
    pub fn read(fish: &str, foods: &str) -> Result<Self, Box<Mistakes>> {
        Ok(Self {
            fish: read_entries("library/fish.toml", fish, read_fish)?,
            foods: read_entries("library/foods.toml", foods, read_food)?,
        })
    }

    /// The fish of a name, in any usual spelling.
    ///
    /// # Errors
    /// If there is none; the error offers the nearest name.
    pub fn find_fish(&self, name: &str) -> Result<&FishEntry, UnknownName> {
        let found = self.fish.iter().find(|fish| called(&fish.name, &fish.also, name));
        found.ok_or_else(|| unknown("fish of the library", name, &self.fish_names()))
    }

    /// The food of a name, in any usual spelling.
    ///
    /// # Errors
    /// If there is none; the error offers the nearest name.
    pub fn find_food(&self, name: &str) -> Result<&FoodEntry, UnknownName> {
        let found = self.foods.iter().find(|food| called(&food.name, &food.also, name));
        found.ok_or_else(|| unknown("food of the library", name, &self.food_names()))
    }

    /// The fish or food of a name.
    ///
    /// # Errors
    /// If there is neither; the error offers the nearest name of both.
    pub fn find(&self, name: &str) -> Result<Entry<'_>, UnknownName> {
        if let Ok(fish) = self.find_fish(name) {
            return Ok(Entry::Fish(fish));
        }
        self.find_food(name).map(Entry::Food).map_err(|_| {
            let names: Vec<&str> = self.fish_names().into_iter().chain(self.food_names()).collect();
            unknown("fish or food of the library", name, &names)
        })
    }

    /// Names of the fish.
    #[must_use]
    pub fn fish_names(&self) -> Vec<&str> {
        self.fish.iter().map(|fish| fish.name.as_str()).collect()
    }

    /// Names of the foods.
    #[must_use]
    pub fn food_names(&self) -> Vec<&str> {
        self.foods.iter().map(|food| food.name.as_str()).collect()
    }
}

fn called(name: &str, also: &[String], given: &str) -> bool {
    let given = words::fold(given);
    words::fold(name) == given || also.iter().any(|other| words::fold(other) == given)
}

fn unknown(what: &'static str, given: &str, names: &[&str]) -> UnknownName {
    UnknownName { what, given: given.to_string(), hint: words::hint(given, names) }
}

/// Reads every entry of one library file; entries are tables named by the plain name.
fn read_entries<E>(
    file: &str,
    text: &str,
    read: impl Fn(&str, &Node<'_>, &mut Findings) -> Option<E>,
) -> Result<Vec<E>, Box<Mistakes>> {
    let mut findings = Findings::default();
    let table: DeTable<'_> = syntax::parse(text, &mut findings);
    let root = Fields::root(&table, text.len());
    let entries: Vec<E> = root
        .in_order()
        .into_iter()
        .filter_map(|(name, node)| {
            fields::name_is_fit(name.get_ref(), name.span(), &mut findings);
            read(name.get_ref(), node, &mut findings)
        })
        .collect();
    if findings.mistakes.is_empty() { Ok(entries) } else { Err(Box::new(Mistakes::new(file, text, findings.mistakes))) }
}

fn read_fish(name: &str, node: &Node<'_>, findings: &mut Findings) -> Option<FishEntry> {
    let entry = Fields::open(node, "a fish", &["about", "also", "numbers"], findings)?;
    let about = read_about(entry, findings);
    let also = read_also(entry, findings);
    let table = open_numbers(entry, FishNumbers::<f64>::INFO, findings)?;
    let mut complete = true;
    let numbers = FishNumbers::try_from_fn(|info| read_number(table, info, &mut complete, findings)).ok()?;
    complete.then_some(FishEntry { name: name.to_string(), about: about?, also: also?, numbers })
}

fn read_food(name: &str, node: &Node<'_>, findings: &mut Findings) -> Option<FoodEntry> {
    let known = ["about", "also", "sort", "lively", "weaning", "numbers"];
    let entry = Fields::open(node, "a food", &known, findings)?;
    let about = read_about(entry, findings);
    let also = read_also(entry, findings);
    let sort = entry.need("sort", "sort = \"sinker\"", findings).and_then(|node| read_sort(node, findings));
    let mut flag = |key| entry.get(key).map_or(Some(false), |node| fields::yes_no(node, findings));
    let (lively, weaning) = (flag("lively"), flag("weaning"));
    let table = open_numbers(entry, FoodNumbers::<f64>::INFO, findings)?;
    let sort = sort?;
    let mut complete = true;
    let read = FoodNumbers::try_from_fn(|info| {
        if counts_for(sort, info.key) {
            return read_number(table, info, &mut complete, findings);
        }
        if let Some(node) = table.get(info.key) {
            findings.wrong(node.span(), format!("the {} does not count for this sort of food", info.label), "");
        }
        Ok(Known::by_default(Range::certain(neutral(info.key)), "does not count for this sort of food"))
    });
    let numbers = read.ok()?;
    let name = name.to_string();
    complete.then_some(FoodEntry {
        name,
        about: about?,
        also: also?,
        sort,
        lively: lively?,
        weaning: weaning?,
        numbers,
    })
}

fn read_sort(node: &Node<'_>, findings: &mut Findings) -> Option<FoodSort> {
    let sorts = [("swimmer", FoodSort::Swimmer), ("sinker", FoodSort::Sinker), ("particle", FoodSort::Particle)];
    let expected = "\"swimmer\", \"sinker\" or \"particle\" is expected";
    let text = fields::text(node, expected, findings)?;
    let found = sorts.iter().find(|(word, _)| *word == text).map(|(_, sort)| *sort);
    if found.is_none() {
        let hint = words::hint(text, &sorts.map(|(word, _)| word));
        findings.wrong_with(node.span(), format!("there is no sort of food called \"{text}\""), expected, hint);
    }
    found
}

fn read_about(entry: Fields<'_, '_>, findings: &mut Findings) -> Option<String> {
    let node = entry.need("about", "about = \"One sentence.\"", findings)?;
    fields::about(node, findings).map(ToString::to_string)
}

fn read_also(entry: Fields<'_, '_>, findings: &mut Findings) -> Option<Vec<String>> {
    let Some(node) = entry.get("also") else { return Some(Vec::new()) };
    let names = fields::list(node, "a list of other names is expected", findings)?;
    names.into_iter().map(|name| fields::name(name, "\"micro worm\"", findings).map(ToString::to_string)).collect()
}

fn open_numbers<'t, 'a>(
    entry: Fields<'t, 'a>,
    infos: &[NumberInfo],
    findings: &mut Findings,
) -> Option<Fields<'t, 'a>> {
    let node = entry.need("numbers", "[\"name\".numbers]", findings)?;
    let known: Vec<&'static str> = infos.iter().map(|info| info.key).collect();
    Fields::open(node, "the list of numbers", &known, findings)
}

/// Reads one sourced number; notes what is wrong, clears `complete` and goes on, so that all mistakes come out.
fn read_number(
    table: Fields<'_, '_>,
    info: &'static NumberInfo,
    complete: &mut bool,
    findings: &mut Findings,
) -> Result<Known, std::convert::Infallible> {
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

fn read_kind(node: &Node<'_>, findings: &mut Findings) -> Option<Kind> {
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_built_in_library_is_sound() {
        let library = library();
        assert!(!library.fish.is_empty() && library.foods.iter().any(|food| food.weaning));
        for food in &library.foods {
            assert_eq!(library.find_food(&food.name), Ok(food), "{} is found by its own name first", food.name);
            assert!(food.numbers_used().iter().all(|number| number.kind != Kind::Default), "{}", food.name);
        }
        for fish in &library.fish {
            assert_eq!(library.find_fish(&fish.name), Ok(fish), "{} is found by its own name first", fish.name);
        }
    }

    #[test]
    fn names_are_found_in_any_usual_spelling() {
        let library = library();
        for name in ["microworm", "Micro_Worm", " MICROWORM ", "micro worm"] {
            assert_eq!(library.find_food(name).unwrap().name, "microworm");
        }
        let missing = library.find("mikroworm").unwrap_err().to_string();
        assert_eq!(
            missing,
            "there is no fish or food of the library called \"mikroworm\"; did you mean \"microworm\"?"
        );
    }

    #[test]
    fn a_library_with_a_wrong_unit_or_limit_is_refused() {
        let fish = "";
        let food = "[\"dust\"]\nabout = \"Dust.\"\nsort = \"particle\"\n[\"dust\".numbers]\n\
                    width_um = { likely = 5, unit = \"mm\", kind = \"read\" }\nworth = { likely = 9, kind = \"guess\" }\n\
                    mass_ug = { likely = 1, unit = \"µg\", kind = \"estimate\" }\n";
        let message = Library::read(fish, food).unwrap_err().to_string();
        for part in [
            "held in µm",
            "needs its source",
            "from 0 to 2",
            "called \"guess\"",
            "does not count",
            "needs \"nitrogen\"",
        ] {
            assert!(message.contains(part), "{part} is missing in\n{message}");
        }
    }
}
