//! The library of fish, foods, cultures, reservoirs and timers: every number with its range and source, read from the
//! files built into the program.
//!
//! Knows the library's file format; does not know scenarios.

mod cultures;
mod equipment;
mod sourced;

use std::sync::OnceLock;

use frytub_sim::numbers::{FishNumbers, FoodNumbers, Range};
use frytub_sim::study::FoodSort;
use toml::de::DeTable;

use crate::fields::{self, Fields, Node};
use crate::known::{Known, NumberUsed};
use crate::mistakes::{Findings, Mistakes};
use crate::syntax;
use crate::words;
use sourced::{open_numbers, read_about, read_also, read_number};

pub use cultures::{CultureEntry, LiquidEntry};
pub(crate) use cultures::{culture_numbers_used, is_of_liquid};
pub(crate) use equipment::timer as read_timer;
pub use equipment::{ReservoirEntry, TimerEntry};

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

/// All that is built in.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Library {
    /// The fish, in the order of the file.
    pub fish: Vec<FishEntry>,
    /// The foods, in the order of the file.
    pub foods: Vec<FoodEntry>,
    /// The cultures, each of one of the foods, in the order of the file.
    pub cultures: Vec<CultureEntry>,
    /// The liquids that come with unwashed food, in the order of the file.
    pub liquids: Vec<LiquidEntry>,
    /// The reservoirs, in the order of the file.
    pub reservoirs: Vec<ReservoirEntry>,
    /// The timers, in the order of the file.
    pub timers: Vec<TimerEntry>,
}

/// An entry found by name.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Entry<'l> {
    /// A fish.
    Fish(&'l FishEntry),
    /// A food.
    Food(&'l FoodEntry),
    /// A culture liquid.
    Liquid(&'l LiquidEntry),
    /// A reservoir.
    Reservoir(&'l ReservoirEntry),
    /// A timer.
    Timer(&'l TimerEntry),
}

/// A name that stands for nothing built in.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("there is no {what} called \"{given}\"{}", .hint.as_ref().map(|hint| format!("; {hint}")).unwrap_or_default())]
pub struct UnknownName {
    /// What was looked for, such as `fish of the library`.
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
        let texts = Texts {
            fish: include_str!("../../library/fish.toml"),
            foods: include_str!("../../library/foods.toml"),
            cultures: include_str!("../../library/cultures.toml"),
            liquids: include_str!("../../library/liquids.toml"),
            reservoirs: include_str!("../../library/reservoirs.toml"),
            timers: include_str!("../../library/timers.toml"),
        };
        Library::read(texts).unwrap_or_else(|mistakes| panic!("the built-in library is not sound:\n{mistakes}"))
    })
}

/// The texts of the files of a library; an empty one has no entries.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Texts<'t> {
    /// Fish.
    pub fish: &'t str,
    /// Foods.
    pub foods: &'t str,
    /// Cultures.
    pub cultures: &'t str,
    /// Liquids.
    pub liquids: &'t str,
    /// Reservoirs.
    pub reservoirs: &'t str,
    /// Timers.
    pub timers: &'t str,
}

impl Library {
    /// Reads a library from the texts of its files.
    ///
    /// # Errors
    /// All mistakes of the first file that has any.
    pub fn read(texts: Texts<'_>) -> Result<Self, Box<Mistakes>> {
        Ok(Self {
            fish: read_entries("library/fish.toml", texts.fish, read_fish)?,
            foods: read_entries("library/foods.toml", texts.foods, read_food)?,
            cultures: read_entries("library/cultures.toml", texts.cultures, cultures::culture)?,
            liquids: read_entries("library/liquids.toml", texts.liquids, cultures::liquid)?,
            reservoirs: read_entries("library/reservoirs.toml", texts.reservoirs, equipment::reservoir)?,
            timers: read_entries("library/timers.toml", texts.timers, equipment::timer_entry)?,
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

    /// The culture of a food of the library, named exactly; `None` if the food needs none.
    #[must_use]
    pub fn culture_of(&self, food: &str) -> Option<&CultureEntry> {
        self.cultures.iter().find(|culture| culture.food == food)
    }

    /// The culture liquid of a name, in any usual spelling.
    ///
    /// # Errors
    /// If there is none; the error offers the nearest name.
    pub fn find_liquid(&self, name: &str) -> Result<&LiquidEntry, UnknownName> {
        let found = self.liquids.iter().find(|liquid| called(&liquid.name, &liquid.also, name));
        found.ok_or_else(|| unknown("culture liquid of the library", name, &self.liquid_names()))
    }

    /// The reservoir of a name, in any usual spelling.
    ///
    /// # Errors
    /// If there is none; the error offers the nearest name.
    pub fn find_reservoir(&self, name: &str) -> Result<&ReservoirEntry, UnknownName> {
        let found = self.reservoirs.iter().find(|entry| called(&entry.name, &entry.also, name));
        found.ok_or_else(|| unknown("reservoir of the library", name, &self.reservoir_names()))
    }

    /// The timer of a name, in any usual spelling.
    ///
    /// # Errors
    /// If there is none; the error offers the nearest name.
    pub fn find_timer(&self, name: &str) -> Result<&TimerEntry, UnknownName> {
        let found = self.timers.iter().find(|entry| called(&entry.timer.name, &entry.also, name));
        found.ok_or_else(|| unknown("timer of the library", name, &self.timer_names()))
    }

    /// Whatever goes by a name.
    ///
    /// # Errors
    /// If there is nothing; the error offers the nearest name.
    pub fn find(&self, name: &str) -> Result<Entry<'_>, UnknownName> {
        let fish = self.find_fish(name).map(Entry::Fish);
        let found = fish
            .or_else(|_| self.find_food(name).map(Entry::Food))
            .or_else(|_| self.find_liquid(name).map(Entry::Liquid))
            .or_else(|_| self.find_reservoir(name).map(Entry::Reservoir))
            .or_else(|_| self.find_timer(name).map(Entry::Timer));
        found.map_err(|_| {
            let lists =
                [self.fish_names(), self.food_names(), self.liquid_names(), self.reservoir_names(), self.timer_names()];
            unknown("fish, food, culture liquid, reservoir or timer of the library", name, &lists.concat())
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

    /// Names of the culture liquids.
    #[must_use]
    pub fn liquid_names(&self) -> Vec<&str> {
        self.liquids.iter().map(|liquid| liquid.name.as_str()).collect()
    }

    /// Names of the reservoirs.
    #[must_use]
    pub fn reservoir_names(&self) -> Vec<&str> {
        self.reservoirs.iter().map(|reservoir| reservoir.name.as_str()).collect()
    }

    /// Names of the timers.
    #[must_use]
    pub fn timer_names(&self) -> Vec<&str> {
        self.timers.iter().map(|entry| entry.timer.name.as_str()).collect()
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::known::Kind;

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
        for culture in &library.cultures {
            let food = library.find_food(&culture.food);
            assert!(food.is_ok_and(|food| food.name == culture.food), "{} is the culture of a food", culture.food);
            assert!(culture.numbers_used().iter().all(|number| number.kind != Kind::Default), "{}", culture.food);
        }
        for liquid in &library.liquids {
            assert!(matches!(library.find(&liquid.name), Ok(Entry::Liquid(found)) if found == liquid));
            assert!(liquid.numbers_used().iter().all(|number| number.kind != Kind::Default), "{}", liquid.name);
        }
        for entry in &library.reservoirs {
            assert!(
                matches!(library.find(&entry.name), Ok(Entry::Reservoir(found)) if found == entry),
                "{}",
                entry.name
            );
            assert!(entry.is_sound(), "{} is a vessel that can be filled", entry.name);
            assert!(entry.numbers_used().iter().all(|number| number.kind != Kind::Default), "{}", entry.name);
        }
        for entry in &library.timers {
            let name = &entry.timer.name;
            assert!(matches!(library.find(name), Ok(Entry::Timer(found)) if found == entry), "{name}");
            assert!(entry.timer.slot_min > 0.0 && entry.timer.programmes > 0, "{name}");
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
            "there is no fish, food, culture liquid, reservoir or timer of the library called \"mikroworm\"; did you mean \"microworm\"?"
        );
    }

    #[test]
    fn a_library_with_a_wrong_unit_or_limit_is_refused() {
        let foods = "[\"dust\"]\nabout = \"Dust.\"\nsort = \"particle\"\n[\"dust\".numbers]\n\
                    width_um = { likely = 5, unit = \"mm\", kind = \"read\" }\nworth = { likely = 9, kind = \"guess\" }\n\
                    mass_ug = { likely = 1, unit = \"µg\", kind = \"estimate\" }\n";
        let message = Library::read(Texts { foods, ..Texts::default() }).unwrap_err().to_string();
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
