//! The sponge in a tub's water as written, and what its bacteria come to.
//!
//! Knows foam and how it ripens; does not know the rest of the water.

use frytub_sim::numbers::{NumberInfo, Range, Scale};
use frytub_sim::water::{FEW, growth_per_h};

use crate::fields::{self, Fields, Node};
use crate::known::{Kind, Known};
use crate::mistakes::Findings;
use crate::units;
use crate::words;

/// Surface of foam on which bacteria live, m² in a mL (1000 m² in a m³).
const M2_IN_ML: f64 = 1000.0 * 1e-6;
/// Ammonia nitrogen that ripe bacteria turn over at most, mg a day on a m²: low, likely, high. From memory.
const MG_DAY_M2: [f64; 3] = [200.0, 500.0, 1000.0];
/// Days in which half of a new sponge's bacteria have grown: low, likely, high. From memory.
const HALF_RIPE_DAYS: [f64; 3] = [14.0, 28.0, 42.0];
/// Share of its bacteria that a new sponge has: low, likely, high. Estimate: what comes with the water, up to what a
/// handful of gravel or a squeeze from an old sponge brings.
const NEW: [f64; 3] = [FEW, FEW, 0.01];
/// Share of its bacteria that a ripe sponge has: low, likely, high. Estimate.
const RIPE: [f64; 3] = [0.7, 0.9, 1.0];
/// Share of an outlet sponge's work that cleans the tub: low, likely, high. Estimate.
const OUTLET_CREDIT: [f64; 3] = [0.0, 0.2, 1.0];

/// Volume of foam.
const VOLUME: NumberInfo = NumberInfo {
    key: "volume",
    label: "volume of the sponge",
    unit: "mL",
    least: 0.5,
    most: 10_000.0,
    scale: Scale::Even,
};

/// How long a sponge has been at work when the brood begins.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Age {
    New,
    Ripe,
    Days(f64),
}

/// Where a sponge is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Stands {
    InTheTub,
    InTheOutlet,
}

/// A sponge.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Sponge {
    volume_ml: Range,
    age: Age,
    /// `None` if the file does not say: in the outlet if the tub has one.
    stands: Option<Stands>,
}

/// Reads a sponge, or `"none"`; the outer `None` means that something is wrong with it.
pub(super) fn read(node: &Node<'_>, findings: &mut Findings) -> Option<Option<Sponge>> {
    if node.get_ref().as_str() == Some("none") {
        return Some(None);
    }
    let sponge = Fields::open(node, "the sponge", &["volume", "age", "where"], findings)?;
    let volume_ml = sponge.need("volume", "volume = \"50 mL\"", findings);
    let volume_ml = volume_ml.and_then(|node| fields::range(node, &VOLUME, findings));
    let age = sponge.need("age", "age = \"new\", age = \"ripe\" or age = \"3 weeks\"", findings);
    let age = age.and_then(|node| read_age(node, findings));
    let stands = sponge.get("where").map_or(Some(None), |node| read_place(node, findings).map(Some));
    Some(Some(Sponge { volume_ml: volume_ml?, age: age?, stands: stands? }))
}

fn read_age(node: &Node<'_>, findings: &mut Findings) -> Option<Age> {
    let expected = "\"new\", \"ripe\" or an age such as \"3 weeks\" is expected";
    let text = fields::text(node, expected, findings)?;
    match words::squeeze(text).as_str() {
        "new" => return Some(Age::New),
        "ripe" => return Some(Age::Ripe),
        _ => {}
    }
    match units::read(text, "d") {
        Ok(days) if days >= 0.0 => Some(Age::Days(days)),
        _ => {
            let hint = words::nearest(text, ["new", "ripe"]).map(|near| format!("did you mean \"{near}\"?"));
            findings.wrong_with(node.span(), format!("\"{text}\" is not the age of a sponge"), expected, hint);
            None
        }
    }
}

fn read_place(node: &Node<'_>, findings: &mut Findings) -> Option<Stands> {
    let expected = "\"in the tub\" or \"in the outlet\" is expected";
    let text = fields::text(node, expected, findings)?;
    match words::squeeze(text).as_str() {
        "in the tub" => Some(Stands::InTheTub),
        "in the outlet" => Some(Stands::InTheOutlet),
        other => {
            let hint = words::hint(other, &["in the tub", "in the outlet"]);
            findings.wrong_with(node.span(), format!("\"{text}\" is not where a sponge can be"), expected, hint);
            None
        }
    }
}

/// A number of the water that follows from its sponge, by its name in the model.
pub(super) fn number(sponge: Option<&Sponge>, key: &str, has_outlet: bool) -> Known {
    let Some(sponge) = sponge else {
        // Nothing of what follows matters then; certain values keep it out of the uncertain numbers.
        let value = if key == "ripening_days" { HALF_RIPE_DAYS[1] } else { 0.0 };
        return Known::by_default(Range::certain(value), "no sponge is named; the film on the walls is left out");
    };
    match key {
        "ripe_mg_day" => {
            let volume = [sponge.volume_ml.low(), sponge.volume_ml.likely(), sponge.volume_ml.high()];
            let most = [0, 1, 2].map(|place| volume[place] * M2_IN_ML * MG_DAY_M2[place]);
            let source = "0.2 to 1 g of ammonia nitrogen a day on a m², 1000 m² in a m³ of foam; from memory";
            by_file(most, source)
        }
        "ripeness" => sponge.ripeness(),
        "ripening_days" => {
            Known::by_default(range(HALF_RIPE_DAYS), "from memory: a new sponge takes two to six weeks to ripen")
        }
        _ => sponge.credit(has_outlet),
    }
}

impl Sponge {
    /// Share of its bacteria that is there when the brood begins.
    ///
    /// An age in days follows the logistic rise by which the simulator lets it ripen on, half way at the ripening time;
    /// the low value goes with slow ripening, the high one with quick ripening.
    fn ripeness(&self) -> Known {
        let [slow, usual, quick] = [HALF_RIPE_DAYS[2], HALF_RIPE_DAYS[1], HALF_RIPE_DAYS[0]];
        match self.age {
            Age::New => by_file(NEW, "estimate: a new sponge has the few bacteria that come with the water"),
            Age::Ripe => by_file(RIPE, "estimate: a ripe sponge has nearly all of them"),
            Age::Days(days) => {
                let grown = [slow, usual, quick].map(|half| grown(days, half));
                by_file(grown, "computed from its age: logistic rise, half in two to six weeks (from memory)")
            }
        }
    }

    /// Share of its work that cleans the tub.
    fn credit(&self, has_outlet: bool) -> Known {
        let usual = if has_outlet { Stands::InTheOutlet } else { Stands::InTheTub };
        match self.stands.unwrap_or(usual) {
            Stands::InTheTub => by_file([1.0; 3], "the tub's water goes through it and back"),
            Stands::InTheOutlet => {
                by_file(OUTLET_CREDIT, "estimate: a sponge in the outlet treats water that is leaving")
            }
        }
    }
}

/// Share of its bacteria that a sponge has after some days in water.
fn grown(days: f64, half_days: f64) -> f64 {
    let rate = 24.0 * growth_per_h(half_days);
    1.0 / (1.0 + (-rate * (days - half_days)).exp())
}

fn range([low, likely, high]: [f64; 3]) -> Range {
    Range::new(low, likely, high).unwrap_or(Range::certain(likely))
}

/// A number that follows from what the file says.
fn by_file(values: [f64; 3], source: &str) -> Known {
    Known { range: range(values), kind: Kind::ScenarioFile, source: source.to_string() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sponge_begins_new_and_is_half_ripe_in_its_time() {
        assert!((grown(0.0, 28.0) - FEW).abs() < 1e-12);
        assert!((grown(28.0, 28.0) - 0.5).abs() < 1e-12);
        assert!(grown(90.0, 28.0) > 0.99);
    }
}
