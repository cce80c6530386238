//! The cultures and culture liquids of the library.
//!
//! Knows how they are written there; does not know which food is fed.

use frytub_sim::numbers::{CultureNumbers, LiquidNumbers, NumberInfo, Range};

use super::sourced::{open_numbers, read_about, read_also, read_number};
use crate::fields::{Fields, Node};
use crate::known::{Known, NumberUsed};
use crate::mistakes::Findings;

/// A culture of the library, or a daily hatch.
#[derive(Debug, Clone, PartialEq)]
pub struct CultureEntry {
    /// Name of its food in the library.
    pub food: String,
    /// Its numbers.
    pub numbers: CultureNumbers<Known>,
}

/// A culture liquid of the library.
#[derive(Debug, Clone, PartialEq)]
pub struct LiquidEntry {
    /// Plain name.
    pub name: String,
    /// What it is, in one sentence.
    pub about: String,
    /// Other names it goes by.
    pub also: Vec<String>,
    /// What a mL of it holds; its share of a dose is for a scenario to say, and holds 1 here.
    pub numbers: LiquidNumbers<Known>,
}

impl CultureEntry {
    /// Its numbers as a report lists them.
    #[must_use]
    pub fn numbers_used(&self) -> Vec<NumberUsed> {
        culture_numbers_used(&self.food, &self.numbers)
    }
}

impl LiquidEntry {
    /// Its numbers as a report lists them.
    #[must_use]
    pub fn numbers_used(&self) -> Vec<NumberUsed> {
        let numbers = self.numbers.iter().filter(|(info, _)| is_of_liquid(info));
        numbers.map(|(info, known)| NumberUsed::new(&self.name, "liquid", info, known)).collect()
    }
}

/// A culture's numbers as a report lists them, under the name that the simulator gives it.
pub(crate) fn culture_numbers_used(food: &str, numbers: &CultureNumbers<Known>) -> Vec<NumberUsed> {
    let group = format!("culture of {food}");
    numbers.iter().map(|(info, known)| NumberUsed::new(&group, &group, info, known)).collect()
}

/// True for what belongs to the liquid itself, and not to the dose that it is in.
pub(crate) fn is_of_liquid(info: &NumberInfo) -> bool {
    info.key != "share"
}

/// Reads a culture of the library.
pub(super) fn culture(food: &str, node: &Node<'_>, findings: &mut Findings) -> Option<CultureEntry> {
    let entry = Fields::open(node, "a culture", &["numbers"], findings)?;
    let table = open_numbers(entry, CultureNumbers::<f64>::INFO, findings)?;
    let mut complete = true;
    let numbers = CultureNumbers::try_from_fn(|info| read_number(table, info, &mut complete, findings)).ok()?;
    complete.then_some(CultureEntry { food: food.to_string(), numbers })
}

/// Reads a liquid of the library.
pub(super) fn liquid(name: &str, node: &Node<'_>, findings: &mut Findings) -> Option<LiquidEntry> {
    let entry = Fields::open(node, "a liquid", &["about", "also", "numbers"], findings)?;
    let (about, also) = (read_about(entry, findings), read_also(entry, findings));
    let infos: Vec<NumberInfo> = LiquidNumbers::<f64>::INFO.iter().copied().filter(is_of_liquid).collect();
    let table = open_numbers(entry, &infos, findings)?;
    let mut complete = true;
    let numbers = LiquidNumbers::try_from_fn(|info| {
        if is_of_liquid(info) {
            return read_number(table, info, &mut complete, findings);
        }
        Ok(Known::by_default(Range::certain(1.0), "for a scenario to say"))
    });
    let (name, numbers) = (name.to_string(), numbers.ok()?);
    complete.then_some(LiquidEntry { name, about: about?, also: also?, numbers })
}
