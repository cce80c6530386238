//! The `[[jar_test]]` entries of a scenario: half-hour settling tests that a keeper has made.
//!
//! Knows what was read off a jar; does not know what follows from it.

use std::ops::Range as Bytes;

use frytub_sim::numbers::{NumberInfo, Scale};
use frytub_sim::study::JarKind;

use crate::fields::{self, Bare, Fields, Node};
use crate::library::Library;
use crate::mistakes::Findings;
use crate::read::pumping::named_reservoir;
use crate::read::reservoirs::ReservoirText;
use crate::read::{groups, unknown_name};
use crate::words::{self, figure};

/// Reading error when the file gives none: cloudiness judged by eye against a row of dilutions (estimate).
const USUAL_ERROR: f64 = 0.07;
/// Temperature of a jar when the file gives none: that of a room, °C.
const USUAL_CELSIUS: f64 = 24.0;
/// The most jar tests in a file.
const MOST_TESTS: usize = 100;

const fn info(key: &'static str, label: &'static str, unit: &'static str, least: f64, most: f64) -> NumberInfo {
    NumberInfo { key, label, unit, least, most, scale: Scale::Even }
}

const HEIGHT: NumberInfo = info("height", "height of the water in the jar", "mm", 10.0, 1000.0);
const TEMPERATURE: NumberInfo = info("temperature", "temperature of the jar", "°C", 1.0, 36.0);
const VOLUME: NumberInfo = info("volume", "water in the reservoir", "mL", 1.0, 1e5);
const AFTER: NumberInfo = info("after", "time after which it was read", "min", 1.0, 1440.0);
/// Share of the food that is still in suspension.
pub(super) const IN_SUSPENSION: NumberInfo =
    info("in_suspension", "share of the food still in suspension", "", 0.0, 1.0);
/// How far a reading may be off.
pub(super) const READING_ERROR: NumberInfo =
    info("reading_error", "error of the reading (standard deviation)", "", 0.005, 0.5);

/// A jar test as written.
#[derive(Debug, Clone)]
pub(super) struct JarText {
    /// The food's name in the library.
    pub food: String,
    /// Where it is named.
    pub place: Bytes<usize>,
    /// How it was made; the reservoir by its index in the file.
    pub how: JarKind,
    /// Minutes after which it was read.
    pub after_min: f64,
    /// Share still in suspension then.
    pub in_suspension: f64,
    /// How far the reading may be off; the usual error if the file gives none.
    pub reading_error: Option<f64>,
}

impl JarText {
    /// How far the reading may be off, with where that is from.
    pub fn error(&self) -> (f64, bool) {
        (self.reading_error.unwrap_or(USUAL_ERROR), self.reading_error.is_some())
    }
}

/// Reads all jar tests.
pub(super) fn read(
    root: Fields<'_, '_>,
    library: &Library,
    reservoirs: Option<&[ReservoirText]>,
    findings: &mut Findings,
) -> Vec<JarText> {
    let nodes = groups(root, "jar_test", findings);
    if nodes.len() > MOST_TESTS {
        let what = format!("{} jar tests are too many: a file may hold {MOST_TESTS} at most", nodes.len());
        findings.wrong(nodes[MOST_TESTS].span(), what, "one test too many");
        return Vec::new();
    }
    nodes.into_iter().filter_map(|node| read_one(node, library, reservoirs, findings)).collect()
}

fn read_one(
    node: &Node<'_>,
    library: &Library,
    reservoirs: Option<&[ReservoirText]>,
    findings: &mut Findings,
) -> Option<JarText> {
    let known =
        ["food", "air", "height", "temperature", "reservoir", "volume", "after", "in_suspension", "reading_error"];
    let test = Fields::open(node, "[[jar_test]]", &known, findings)?;
    let food = test.need("food", "food = \"egg yolk\"", findings).and_then(|node| {
        let name = fields::text(node, "the name of a food is expected", findings)?;
        let found = library.find_food(name).ok();
        if found.is_none() {
            unknown_name(node, "food", name, &library.food_names(), findings);
        }
        found.map(|food| (food.name.clone(), node.span()))
    });
    let air = test.need("air", "air = \"off\"", findings).and_then(|node| read_air(node, findings));
    let how = air.and_then(|air| if air { stirred(test, reservoirs, findings) } else { still(test, findings) });
    let mut value = |node, info| fields::value(node, info, Bare::Refused, findings);
    let reading_error = match test.get("reading_error") {
        Some(node) => value(node, &READING_ERROR).map(Some),
        None => Some(None),
    };
    let after = test.need("after", "after = \"30 min\"", findings);
    let after_min = after.and_then(|node| fields::value(node, &AFTER, Bare::Refused, findings));
    let share = test.need("in_suspension", "in_suspension = \"35 %\"", findings);
    let in_suspension = share.and_then(|node| fields::value(node, &IN_SUSPENSION, Bare::Refused, findings));
    let (food, place) = food?;
    Some(JarText {
        food,
        place,
        how: how?,
        after_min: after_min?,
        in_suspension: in_suspension?,
        reading_error: reading_error?,
    })
}

/// True for a test with the air on.
fn read_air(node: &Node<'_>, findings: &mut Findings) -> Option<bool> {
    let expected = "\"off\" (a still jar) or \"on\" (in a reservoir) is expected";
    match fields::text(node, expected, findings)?.trim() {
        "on" => Some(true),
        "off" => Some(false),
        other => {
            findings.wrong(node.span(), format!("\"{other}\" does not say whether the air was on"), expected);
            None
        }
    }
}

fn still(test: Fields<'_, '_>, findings: &mut Findings) -> Option<JarKind> {
    refuse(test, &["reservoir", "volume"], "a jar without air has a height and a temperature", findings)?;
    let height = test.need("height", "height = \"10 cm\"", findings);
    let height_mm = height.and_then(|node| fields::value(node, &HEIGHT, Bare::Refused, findings));
    let celsius = match test.get("temperature") {
        Some(node) => fields::value(node, &TEMPERATURE, Bare::Refused, findings),
        None => Some(USUAL_CELSIUS),
    };
    Some(JarKind::Still { height_mm: height_mm?, celsius: celsius? })
}

fn stirred(test: Fields<'_, '_>, reservoirs: Option<&[ReservoirText]>, findings: &mut Findings) -> Option<JarKind> {
    refuse(test, &["height", "temperature"], "a test with air is made in a reservoir, with so much water", findings)?;
    let volume = test.need("volume", "volume = \"500 mL\"", findings);
    let volume_ml = volume.and_then(|node| fields::value(node, &VOLUME, Bare::Refused, findings));
    let reservoirs = reservoirs?;
    if reservoirs.is_empty() {
        findings.wrong(test.place(), "a test with air is made in a reservoir, and there is no [[reservoir]]", "");
        return None;
    }
    let reservoir = named_reservoir(test, reservoirs, "this test does not say in which", findings)?;
    let volume_ml = volume_ml?;
    if let Some(holds) = reservoirs[reservoir].holds_ml().filter(|holds| volume_ml > *holds) {
        let what = format!("{} mL were in the reservoir, which holds only {} mL", figure(volume_ml), figure(holds));
        findings.wrong(volume?.span(), what, "");
        return None;
    }
    Some(JarKind::Stirred { reservoir, volume_ml })
}

/// Notes fields that belong to the other sort of test.
fn refuse(test: Fields<'_, '_>, keys: &[&str], why: &str, findings: &mut Findings) -> Option<()> {
    let found: Vec<&str> = keys.iter().copied().filter(|key| test.get(key).is_some()).collect();
    for key in &found {
        let place = test.get(key).map_or(test.place(), toml::Spanned::span);
        findings.wrong(place, why, format!("take \"{key}\" out"));
    }
    found.is_empty().then_some(())
}

/// Names of the tests in a list of numbers used.
pub(super) fn group_name(test: &JarText) -> String {
    let air = if matches!(test.how, JarKind::Still { .. }) { "still" } else { "with air" };
    words::squeeze(&format!("jar test of {}, {air}", test.food))
}
