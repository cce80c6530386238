//! The reservoirs and timers of the library, and how a timer is written.
//!
//! Knows what such things are made of; does not know what a plan does with them.

use frytub_sim::numbers::{NumberInfo, ReservoirNumbers, Scale};
use frytub_sim::study::{Reservoir, Timer};

use super::sourced::{open_numbers, read_about, read_also, read_kind, read_number};
use crate::explain;
use crate::fields::{self, Bare, Fields, Node};
use crate::known::{Kind, Known, NumberUsed};
use crate::mistakes::Findings;
use crate::shapes::{self, Inside};

/// The most feeds a day that any timer may hold.
const MOST_PROGRAMMES: u32 = 1440;
/// Limits of the shortest time for which a timer can switch on.
const SLOT: NumberInfo = NumberInfo {
    key: "slot",
    label: "shortest time for which it switches on",
    unit: "s",
    least: 1.0,
    most: 14_400.0,
    scale: Scale::Even,
};
/// Limits of the step of the times at which a timer can begin.
const STARTS_EVERY: NumberInfo = NumberInfo {
    key: "starts_every",
    label: "step of the times at which it can switch on",
    unit: "min",
    least: 1.0,
    most: 720.0,
    scale: Scale::Even,
};

/// A reservoir of the library.
#[derive(Debug, Clone, PartialEq)]
pub struct ReservoirEntry {
    /// Plain name.
    pub name: String,
    /// What it is, in one sentence.
    pub about: String,
    /// Other names it goes by.
    pub also: Vec<String>,
    /// Its inside.
    pub(crate) inside: Inside,
    /// Its numbers.
    pub numbers: ReservoirNumbers<Known>,
}

/// A timer of the library.
#[derive(Debug, Clone, PartialEq)]
pub struct TimerEntry {
    /// What it is, in one sentence.
    pub about: String,
    /// Other names it goes by.
    pub also: Vec<String>,
    /// What it can do, with its name.
    pub timer: Timer,
    /// How that is known.
    pub kind: Kind,
    /// The source in short words; empty when the kind says it all.
    pub source: String,
}

impl ReservoirEntry {
    /// Its numbers as a report lists them.
    #[must_use]
    pub fn numbers_used(&self) -> Vec<NumberUsed> {
        self.numbers.iter().map(|(info, known)| NumberUsed::new(&self.name, "reservoir", info, known)).collect()
    }

    /// The reservoir as a study holds it.
    #[must_use]
    pub fn reservoir(&self) -> Reservoir {
        let Inside { shape, stone, intake_mm } = self.inside.clone();
        let numbers = self.numbers.map(|_, known| known.range);
        Reservoir { name: self.name.clone(), shape, stone, intake_mm, numbers }
    }

    /// Its shape, stone and intake in words.
    #[must_use]
    pub fn described(&self) -> String {
        explain::equipment::vessel(&self.reservoir())
    }

    /// True when it can be filled, and the pump can draw from it.
    #[must_use]
    pub fn is_sound(&self) -> bool {
        let reservoir = self.reservoir();
        let holds = reservoir.numbers.volume_ml.low();
        reservoir.is_sound()
            && reservoir.shape.height_mm(holds) > reservoir.intake_mm
            && holds > reservoir.numbers.dry_ml.high()
    }
}

impl TimerEntry {
    /// What it can do, in words.
    #[must_use]
    pub fn described(&self) -> String {
        explain::equipment::timer(&self.timer)
    }
}

/// Reads a reservoir of the library.
pub(super) fn reservoir(name: &str, node: &Node<'_>, findings: &mut Findings) -> Option<ReservoirEntry> {
    let known: Vec<&'static str> = ["about", "also", "numbers"].into_iter().chain(shapes::KEYS).collect();
    let entry = Fields::open(node, "a reservoir", &known, findings)?;
    let (about, also) = (read_about(entry, findings), read_also(entry, findings));
    let inside = shapes::read(entry, None, findings);
    let table = open_numbers(entry, ReservoirNumbers::<f64>::INFO, findings)?;
    let mut complete = true;
    let numbers = ReservoirNumbers::try_from_fn(|info| read_number(table, info, &mut complete, findings)).ok()?;
    let name = name.to_string();
    complete.then_some(ReservoirEntry { name, about: about?, also: also?, inside: inside?, numbers })
}

/// Reads a timer of the library.
pub(super) fn timer_entry(name: &str, node: &Node<'_>, findings: &mut Findings) -> Option<TimerEntry> {
    let known = ["about", "also", "slot", "programmes", "starts_every", "keeps_clock", "kind", "source"];
    let entry = Fields::open(node, "a timer", &known, findings)?;
    let (about, also) = (read_about(entry, findings), read_also(entry, findings));
    let timer = timer_parts(name, entry, findings);
    let kind = entry.need("kind", "kind = \"common practice\"", findings).and_then(|node| read_kind(node, findings));
    let source = entry.get("source").map_or(Some(""), |node| fields::about(node, findings));
    let source = source?.to_string();
    Some(TimerEntry { about: about?, also: also?, timer: timer?, kind: kind?, source })
}

/// Reads a timer that a scenario describes itself.
pub(crate) fn timer(node: &Node<'_>, findings: &mut Findings) -> Option<Timer> {
    let known = ["slot", "programmes", "starts_every", "keeps_clock"];
    let fields = Fields::open(node, "a timer", &known, findings)?;
    timer_parts("timer of the scenario file", fields, findings)
}

fn timer_parts(name: &str, fields: Fields<'_, '_>, findings: &mut Findings) -> Option<Timer> {
    let slot = fields.need("slot", "slot = \"1 min\"", findings);
    let slot_s = slot.and_then(|node| fields::value(node, &SLOT, Bare::Refused, findings));
    let programmes = fields.need("programmes", "programmes = 16", findings);
    let programmes =
        programmes.and_then(|node| fields::count(node, "the number of programmes", MOST_PROGRAMMES, findings));
    let start_every_min = match fields.get("starts_every") {
        None => Some(1),
        Some(node) => fields::value(node, &STARTS_EVERY, Bare::Refused, findings).and_then(|minutes| {
            if minutes.fract() == 0.0 {
                return Some(minutes as u16);
            }
            findings.wrong(
                node.span(),
                "a timer switches on at whole minutes",
                "a whole number of minutes is expected",
            );
            None
        }),
    };
    let keeps_clock = fields.get("keeps_clock").map_or(Some(true), |node| fields::yes_no(node, findings));
    Some(Timer {
        name: name.to_string(),
        slot_min: slot_s? / 60.0,
        programmes: usize::try_from(programmes?).ok()?,
        start_every_min: start_every_min?,
        keeps_clock: keeps_clock?,
    })
}
