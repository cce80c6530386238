//! The `[tub]` of a scenario, its light, and the changes that a plan makes to it.

use std::convert::Infallible;

use frytub_sim::clock::TimeOfDay;
use frytub_sim::numbers::{NumberInfo, OutletNumbers, Range, TubNumbers, WaterNumbers};

use crate::fields::{self, Fields, Node};
use crate::known::Known;
use crate::mistakes::Findings;
use crate::read::numbers::{self, Asked, Reader};
use crate::read::outlets;
use crate::read::water::{self, Around, WaterText};
use crate::times;
use crate::units;

/// A tub as a plan has it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct TubText {
    /// True when gentle air runs.
    pub air: bool,
    /// Its outlet, if it has one.
    pub outlet: Option<OutletNumbers<Known>>,
    /// Its water, if that is reckoned with.
    pub water: Option<WaterText>,
    /// Its numbers.
    pub numbers: TubNumbers<Known>,
}

impl TubText {
    /// The numbers of its water, if that is reckoned with.
    pub(super) fn water_numbers(&self) -> Option<WaterNumbers<Known>> {
        let around = Around {
            air: self.air,
            volume_ml: self.numbers.volume_ml.range.likely(),
            has_outlet: self.outlet.is_some(),
        };
        self.water.as_ref().map(|water| water.numbers(around))
    }
}

/// The tub of the file, with its light.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct TubAndLight {
    /// The tub, unless a plan changes it.
    pub tub: TubText,
    /// Lights on.
    pub light_on: TimeOfDay,
    /// Lights off.
    pub light_off: TimeOfDay,
}

/// How a tub's number is asked for.
fn asked(key: &str, usual: Option<Known>) -> Asked {
    let (key, example) = match key {
        "volume_ml" => ("volume", "volume = \"6 L\""),
        "depth_mm" => ("depth", "depth = \"15 cm\""),
        "temperature_c" => ("temperature", "temperature = \"28 C\""),
        "night_cooler_c" => ("night_cooler", "night_cooler = \"2 C\""),
        _ => ("drip", "drip = \"300 mL/h\""),
    };
    Asked { key, example, usual }
}

/// What is taken when the file says nothing of a number; `None` if it must be said.
fn usual(key: &str) -> Option<Known> {
    match key {
        "depth_mm" => Some(Known::by_default(Range::certain(150.0), "a usual depth; common practice, no source")),
        "temperature_c" => Some(Known::by_default(Range::certain(28.0), "the library's reference temperature")),
        "drip_ml_h" => Some(Known::by_default(Range::certain(0.0), "no drip")),
        "night_cooler_c" => Some(Known::by_default(Range::certain(0.0), "as warm by night as by day")),
        _ => None,
    }
}

/// Reads `[tub]`.
pub(super) fn read(root: Fields<'_, '_>, findings: &mut Findings) -> Option<TubAndLight> {
    let node = root.need("tub", "[tub] with its volume", findings)?;
    let known = ["volume", "depth", "temperature", "night_cooler", "drip", "air", "light", "outlet", "water"];
    let tub = Fields::open(node, "[tub]", &known, findings)?;
    let mut reader = Reader::new(tub, findings);
    let numbers = TubNumbers::try_from_fn(|info| {
        Ok::<_, Infallible>(reader.number_by(info, asked(info.key, usual(info.key)), number))
    });
    let numbers = reader.whole(numbers.ok()?);
    let air = tub.get("air").map_or(Some(true), |node| air(node, findings));
    let light = tub.get("light").map_or_else(usual_light, |node| light(node, findings));
    let outlet = tub.get("outlet").map_or(Some(None), |node| outlets::read(node, None, findings));
    // Air that could not be read must not raise a second complaint about the water.
    let airs = air.unwrap_or(true);
    let water = tub.get("water").map_or(Some(None), |node| water::read(node, None, airs, findings));
    let (light_on, light_off) = light?;
    let tub = TubText { air: air?, outlet: outlet?, water: water?, numbers: numbers? };
    Some(TubAndLight { tub, light_on, light_off })
}

/// Reads what a plan changes about the tub.
pub(super) fn changed(base: &TubText, node: &Node<'_>, findings: &mut Findings) -> Option<TubText> {
    let known = ["volume", "depth", "temperature", "night_cooler", "drip", "air", "outlet", "water"];
    let change = Fields::open(node, "the tub of a plan", &known, findings)?;
    let mut reader = Reader::new(change, findings);
    let before = &base.numbers;
    let numbers = before.map(|info, before| reader.number_by(info, asked(info.key, Some(before.clone())), number));
    let numbers = reader.whole(numbers);
    let mut complete = numbers.is_some();
    let mut tub = base.clone();
    tub.numbers = numbers.unwrap_or(tub.numbers);
    if let Some(node) = change.get("air") {
        match air(node, findings) {
            Some(air) => tub.air = air,
            None => complete = false,
        }
    }
    if let Some(node) = change.get("outlet") {
        match outlets::read(node, base.outlet.as_ref(), findings) {
            Some(outlet) => tub.outlet = outlet,
            None => complete = false,
        }
    }
    if let Some(node) = change.get("water") {
        match water::read(node, base.water.as_ref(), tub.air, findings) {
            Some(water) => tub.water = water,
            None => complete = false,
        }
    }
    complete.then_some(tub)
}

fn number(node: &Node<'_>, info: &NumberInfo, findings: &mut Findings) -> Option<Known> {
    if info.key == "drip_ml_h" && node.get_ref().as_str() == Some("none") {
        return Some(Known::by_file(Range::certain(0.0)));
    }
    if info.key == "night_cooler_c" {
        let difference = NumberInfo { label: "cooling of the water by night", unit: units::DIFFERENCE, ..*info };
        return fields::range(node, &difference, findings).map(Known::by_file);
    }
    numbers::plain(node, info, findings)
}

fn air(node: &Node<'_>, findings: &mut Findings) -> Option<bool> {
    let expected = "\"gentle\" or \"none\" is expected";
    match fields::text(node, expected, findings)?.trim() {
        "gentle" => Some(true),
        "none" => Some(false),
        other => {
            findings.wrong(node.span(), format!("\"{other}\" air is not known here"), expected);
            None
        }
    }
}

fn usual_light() -> Option<(TimeOfDay, TimeOfDay)> {
    Some((TimeOfDay::from_minutes(7 * 60)?, TimeOfDay::from_minutes(21 * 60)?))
}

fn light(node: &Node<'_>, findings: &mut Findings) -> Option<(TimeOfDay, TimeOfDay)> {
    let light = Fields::open(node, "the light", &["on", "off"], findings)?;
    let example = "light = { on = \"07:00\", off = \"21:00\" }";
    let [on, off] = ["on", "off"].map(|key| {
        let node = light.need(key, example, findings)?;
        Some((node, times::time(node, findings)?))
    });
    let ((_, on), (off_node, off)) = (on?, off?);
    if on >= off {
        let what = format!("the light goes off at {off}, but on only at {on}");
        findings.wrong(off_node.span(), what, "off must come after on, on the same day");
        return None;
    }
    Some((on, off))
}
