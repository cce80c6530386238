//! The water of a tub as written: what it is like, what airs it, and the sponge that cleans it.
//!
//! Knows how a keeper describes water; does not know how it is fouled. What a file leaves out has a wide range.

use std::collections::BTreeMap;

use frytub_sim::numbers::{NumberInfo, Range, Scale, WaterNumbers};

use crate::fields::{self, Fields, Node};
use crate::known::{Kind, Known};
use crate::mistakes::Findings;
use crate::read::numbers::Reader;
use crate::read::sponge::{self, Sponge};
use crate::words;

/// How the water of a tub is written.
const EXPECTED: &str = "{ ph = 7.5, … }, \"reckoned\" or \"not reckoned\" is expected";
/// Air that is taken to go through the stone of a tub with gentle air, mL/min.
const USUAL_AIR_ML_MIN: f64 = 100.0;
/// Rate per hour at which 100 mL of air a minute bring oxygen into one litre. Estimate.
const AIR_PER_H: f64 = 2.0;
/// How many times lower or higher that rate may be.
const AIR_FACTOR: f64 = 3.0;
/// How that is known.
const AIR_SOURCE: &str = "estimate: 2 per hour for 100 mL/min in each litre, three times less or more";

/// The air that goes through the stone.
const AIR_FLOW: NumberInfo = NumberInfo {
    key: "air_flow",
    label: "air that goes through the air stone",
    unit: "mL/min",
    least: 1.0,
    most: 20_000.0,
    scale: Scale::Ratio,
};

/// The water of a tub.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct WaterText {
    /// Numbers that the file gives, by their names in the model.
    given: BTreeMap<&'static str, Known>,
    /// Air through the stone, if the file gives it, mL/min.
    air_ml_min: Option<Range>,
    /// The sponge, if there is one.
    sponge: Option<Sponge>,
}

/// What the water must know of its tub.
#[derive(Debug, Clone, Copy)]
pub(super) struct Around {
    /// True when gentle air runs.
    pub air: bool,
    /// Most likely volume, mL.
    pub volume_ml: f64,
    /// True if the water leaves through an outlet.
    pub has_outlet: bool,
}

/// Name in a file of a number that is written as it is; `None` for those that follow from air and sponge.
fn written_as(key: &str) -> Option<&'static str> {
    match key {
        "ph" => Some("ph"),
        "alkalinity_meq_l" => Some("alkalinity"),
        "surface_cm_h" => Some("surface"),
        "decay_oxygen" => Some("decay_oxygen"),
        "decay_nitrogen" => Some("decay_nitrogen"),
        _ => None,
    }
}

/// What is taken when the file says nothing of a number that is written as it is.
fn usual(key: &str) -> Known {
    let (range, source) = match key {
        "ph" => ((6.8, 7.4, 8.0), "estimate: tap water that has stood; common practice, no source"),
        "alkalinity_meq_l" => ((1.0, 2.0, 4.0), "estimate: fairly soft to fairly hard tap water"),
        "surface_cm_h" => {
            ((0.5, 1.5, 4.0), "estimate: smaller figures would suffocate even a lightly stocked still tub")
        }
        "decay_oxygen" => (
            (1.1, 1.3, 1.6),
            "read: 1.3 g/g behind the decay rates of fish food of Aquaculture Science 37(1):27 (1989, abstract); ends an estimate",
        ),
        _ => ((0.5, 0.75, 0.9), "estimate: the rest goes into bacteria"),
    };
    Known::usual(range, source)
}

/// Reads the water of a tub; what is not written is as in `base`, or else as usual.
///
/// `air` is whether gentle air runs in the tub. The outer `None` means that something is wrong with it, the inner one
/// that the water is not reckoned with.
pub(super) fn read(
    node: &Node<'_>,
    base: Option<&WaterText>,
    air: bool,
    findings: &mut Findings,
) -> Option<Option<WaterText>> {
    if let Some(text) = node.get_ref().as_str() {
        return match words::squeeze(text).as_str() {
            "not reckoned" => Some(None),
            "reckoned" => Some(Some(base.cloned().unwrap_or_default())),
            other => {
                let hint = words::hint(other, &["reckoned", "not reckoned"]);
                findings.wrong_with(node.span(), format!("\"{text}\" does not describe water"), EXPECTED, hint);
                None
            }
        };
    }
    let plain = WaterNumbers::<f64>::INFO.iter().filter_map(|info| written_as(info.key));
    let known: Vec<&'static str> = plain.chain(["air_flow", "sponge"]).collect();
    let table = Fields::open(node, "the water", &known, findings)?;
    let mut water = base.cloned().unwrap_or_default();
    let mut reader = Reader::new(table, findings);
    for info in WaterNumbers::<f64>::INFO {
        if let Some(known) = written_as(info.key).and_then(|key| reader.given(info, key)) {
            water.given.insert(info.key, known);
        }
    }
    let mut complete = reader.whole(()).is_some();
    if let Some(node) = table.get("air_flow") {
        if !air {
            let what = "the water has an air_flow, but the tub has no air";
            findings.wrong(node.span(), what, "take this out, or write air = \"gentle\" for the tub");
        }
        let range = fields::range(node, &AIR_FLOW, findings).filter(|_| air);
        complete &= range.is_some();
        water.air_ml_min = range;
    }
    if let Some(node) = table.get("sponge") {
        match sponge::read(node, findings) {
            Some(sponge) => water.sponge = sponge,
            None => complete = false,
        }
    }
    complete.then_some(Some(water))
}

impl WaterText {
    /// Every number of the water, with what follows from the air and the sponge.
    pub(super) fn numbers(&self, around: Around) -> WaterNumbers<Known> {
        let numbers = WaterNumbers::try_from_fn(|info| -> Result<Known, std::convert::Infallible> {
            let plain = || self.given.get(info.key).cloned().unwrap_or_else(|| usual(info.key));
            Ok(match info.key {
                "air_per_h" => self.air_per_h(around, info.most),
                key if written_as(key).is_some() => plain(),
                key => sponge::number(self.sponge.as_ref(), key, around.has_outlet),
            })
        });
        match numbers {
            Ok(numbers) => numbers,
        }
    }

    /// Oxygen that the air stone brings in, per hour; at most `most`, which saturates the water in no time anyway.
    fn air_per_h(&self, around: Around, most: f64) -> Known {
        if !around.air {
            return Known::by_default(Range::certain(0.0), "no air");
        }
        let flow = self.air_ml_min.unwrap_or(Range::certain(USUAL_AIR_ML_MIN));
        let in_each_litre = |flow: f64| flow / 100.0 / (around.volume_ml / 1000.0);
        let of = |flow: f64, factor: f64| (AIR_PER_H * in_each_litre(flow) * factor).min(most);
        let [low, likely, high] =
            [of(flow.low(), 1.0 / AIR_FACTOR), of(flow.likely(), 1.0), of(flow.high(), AIR_FACTOR)];
        let range = Range::new(low, likely, high).unwrap_or(Range::certain(likely));
        match self.air_ml_min {
            Some(_) => {
                let source = format!("from the air_flow of {} mL/min; {AIR_SOURCE}", words::figure(flow.likely()));
                Known { range, kind: Kind::ScenarioFile, source }
            }
            None => {
                let usual = words::figure(USUAL_AIR_ML_MIN);
                Known::by_default(range, &format!("gentle air is taken to be {usual} mL/min; {AIR_SOURCE}"))
            }
        }
    }
}
