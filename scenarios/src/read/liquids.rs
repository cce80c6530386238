//! The `liquid` of a mix: culture liquid that comes along with food that was not washed.

use std::convert::Infallible;

use frytub_sim::numbers::{LiquidNumbers, NumberInfo};
use frytub_sim::study::Liquid;

use crate::fields::{self, Fields, Node};
use crate::known::Known;
use crate::library::{Library, is_of_liquid};
use crate::mistakes::Findings;
use crate::read::numbers::{Asked, Reader};
use crate::read::unknown_name;

/// A liquid as written.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct LiquidText {
    /// Its name in the library.
    pub name: String,
    /// Its numbers, and its share of a dose.
    pub numbers: LiquidNumbers<Known>,
}

impl LiquidText {
    /// The liquid as a study holds it.
    pub fn finished(&self) -> Liquid {
        Liquid { name: self.name.clone(), numbers: self.numbers.map(|_, known| known.range) }
    }
}

/// How a liquid's number is asked for.
fn asked(info: &NumberInfo, usual: Option<Known>) -> Asked {
    let (key, example) = match info.key {
        "share" => ("share", "share = \"5 %\""),
        "acid_meq_ml" => ("acid", ""),
        "oxygen_mg_ml" => ("oxygen", ""),
        _ => ("nitrogen", ""),
    };
    Asked { key, example, usual }
}

/// Reads a liquid: its name, its share of a dose, and numbers that replace the library's.
pub(super) fn read(node: &Node<'_>, library: &Library, findings: &mut Findings) -> Option<LiquidText> {
    let infos = LiquidNumbers::<f64>::INFO.iter();
    let known: Vec<&'static str> = ["of"].into_iter().chain(infos.map(|info| asked(info, None).key)).collect();
    let table = Fields::open(node, "the liquid of a mix", &known, findings)?;
    let of = table.need("of", "of = \"vinegar\"", findings);
    let name = of.and_then(|node| fields::text(node, "the name of a culture liquid is expected", findings));
    let entry = name.and_then(|name| library.find_liquid(name).ok());
    if let (Some(node), Some(name), None) = (of, name, entry) {
        unknown_name(node, "culture liquid", name, &library.liquid_names(), findings);
    }
    // Where the liquid is not known, the first lends its numbers so that the rest can be looked at.
    let lender = entry.or_else(|| library.liquids.first())?;
    let mut usual = lender.numbers.iter();
    let mut reader = Reader::new(table, findings);
    let numbers = LiquidNumbers::try_from_fn(|info| {
        let usual = usual.next().filter(|(info, _)| is_of_liquid(info)).map(|(_, known)| known.clone());
        Ok::<_, Infallible>(reader.number(info, asked(info, usual)))
    });
    let numbers = reader.whole(numbers.ok()?);
    Some(LiquidText { name: entry?.name.clone(), numbers: numbers? })
}
