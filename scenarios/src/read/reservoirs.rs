//! The `[[reservoir]]` entries of a scenario: vessels from which a pump feeds.
//!
//! Knows vessels; does not know which plan uses which.

use std::ops::Range as Bytes;

use frytub_sim::numbers::{NumberInfo, ReservoirNumbers};
use frytub_sim::study::{Reservoir, Shape};

use crate::fields::{self, Fields, Node};
use crate::known::Known;
use crate::library::{Library, ReservoirEntry};
use crate::mistakes::Findings;
use crate::read::numbers::{self, Asked, Reader};
use crate::read::{groups, unknown_name};
use crate::shapes::{self, Inside};
use crate::words::{self, figure};

/// The most reservoirs in a file.
const MOST_RESERVOIRS: usize = 40;

/// A reservoir as written.
#[derive(Debug, Clone)]
pub(super) struct ReservoirText {
    /// Its name, unique.
    pub name: String,
    /// Where its name stands.
    pub place: Bytes<usize>,
    /// Everything else, if it could be read.
    pub body: Option<Body>,
}

/// A reservoir without its name.
#[derive(Debug, Clone)]
pub(super) struct Body {
    /// Its inside.
    pub inside: Inside,
    /// Its numbers.
    pub numbers: ReservoirNumbers<Known>,
}

impl ReservoirText {
    /// The reservoir as a study holds it.
    pub fn finished(&self) -> Option<Reservoir> {
        let body = self.body.as_ref()?;
        let Inside { shape, stone, intake_mm } = body.inside.clone();
        let numbers = body.numbers.map(|_, known| known.range);
        Some(Reservoir { name: self.name.clone(), shape, stone, intake_mm, numbers })
    }

    /// The most that it holds, mL, by its likely value.
    pub fn holds_ml(&self) -> Option<f64> {
        self.body.as_ref().map(|body| body.numbers.volume_ml.range.likely())
    }
}

/// Name of a reservoir's number in a file.
fn written_as(key: &str) -> &'static str {
    match key {
        "volume_ml" => "holds",
        "air_ml_min" => "air",
        "temperature_c" => "temperature",
        "ageing_q10" => "ageing_rise",
        "dead_floor" => "dead_floor",
        "slide_s" => "slide_time",
        "lift_pa" => "lift_stress",
        "stone_mm" => "stone_radius",
        _ => "dry_volume",
    }
}

/// The reservoir of the library whose numbers a shape borrows when the file names no kind.
fn borrowed<'l>(shape: &Shape, library: &'l Library) -> Option<&'l ReservoirEntry> {
    let name = match shape {
        Shape::Box { .. } => "box",
        Shape::Cone { .. } => "steep cone",
        Shape::Cylinder { .. } | Shape::Own { .. } => "cylinder",
    };
    library.find_reservoir(name).ok()
}

/// Reads all reservoirs; `None` if one could not even be named.
pub(super) fn read(root: Fields<'_, '_>, library: &Library, findings: &mut Findings) -> Option<Vec<ReservoirText>> {
    let nodes = groups(root, "reservoir", findings);
    if nodes.len() > MOST_RESERVOIRS {
        let what = format!("{} reservoirs are too many: a file may hold {MOST_RESERVOIRS} at most", nodes.len());
        findings.wrong(nodes[MOST_RESERVOIRS].span(), what, "one reservoir too many");
        return None;
    }
    let mut list: Vec<ReservoirText> = Vec::new();
    let mut complete = root.get("reservoir").is_none_or(|node| node.get_ref().is_array());
    for node in nodes {
        let reservoir = read_one(node, library, findings);
        complete &= reservoir.is_some();
        let Some(reservoir) = reservoir else { continue };
        if list.iter().any(|before| words::fold(&before.name) == words::fold(&reservoir.name)) {
            let what = format!("there is already a reservoir called \"{}\"", reservoir.name);
            findings.wrong(reservoir.place.clone(), what, "give one of the two another name");
        }
        list.push(reservoir);
    }
    complete.then_some(list)
}

fn read_one(node: &Node<'_>, library: &Library, findings: &mut Findings) -> Option<ReservoirText> {
    let numbers = ReservoirNumbers::<f64>::INFO.iter().map(|info| written_as(info.key));
    let known: Vec<&'static str> = ["name", "kind"].into_iter().chain(shapes::KEYS).chain(numbers).collect();
    let fields = Fields::open(node, "[[reservoir]]", &known, findings)?;
    let name_node = fields.need("name", "name = \"box\"", findings);
    let name = name_node.and_then(|node| fields::name(node, "name = \"box\"", findings));
    let body = read_body(fields, library, findings);
    Some(ReservoirText { name: name?.to_string(), place: name_node?.span(), body })
}

fn read_body(fields: Fields<'_, '_>, library: &Library, findings: &mut Findings) -> Option<Body> {
    let kind = match fields.get("kind") {
        Some(node) => Some(read_kind(node, library, findings)?),
        None => None,
    };
    if kind.is_none() && fields.get("shape").is_none() {
        let help = Some("for instance: kind = \"steep cone\", or shape = \"cone\" with its diameter and slope".into());
        let what = "this reservoir says neither its kind nor its shape";
        findings.wrong_with(fields.place(), what, fields.missing_label(), help);
        return None;
    }
    let inside = shapes::read(fields, kind.map(|kind| &kind.inside), findings);
    // A broken shape still lets the numbers be looked at.
    let lender = kind.or_else(|| inside.as_ref().and_then(|inside| borrowed(&inside.shape, library)));
    let lender = lender.or_else(|| library.reservoirs.first())?;
    let mut reader = Reader::new(fields, findings);
    let numbers = lender.numbers.map(|info, usual| {
        // What a vessel of one's own holds cannot be borrowed.
        let usual = (info.key != "volume_ml" || kind.is_some()).then(|| usual.clone());
        let asked = Asked { key: written_as(info.key), example: "holds = \"1 L\"", usual };
        reader.number_by(info, asked, number)
    });
    let numbers = reader.whole(numbers);
    let (inside, numbers) = (inside?, numbers?);
    can_be_drawn_from(fields, &inside, &numbers, findings).then_some(Body { inside, numbers })
}

fn read_kind<'l>(node: &Node<'_>, library: &'l Library, findings: &mut Findings) -> Option<&'l ReservoirEntry> {
    let name = fields::text(node, "the name of a reservoir of the library is expected", findings)?;
    let found = library.find_reservoir(name).ok();
    if found.is_none() {
        unknown_name(node, "kind of reservoir", name, &library.reservoir_names(), findings);
    }
    found
}

fn number(node: &Node<'_>, info: &NumberInfo, findings: &mut Findings) -> Option<Known> {
    if info.key == "air_ml_min" && node.get_ref().as_str() == Some("none") {
        return Some(Known::by_file(frytub_sim::numbers::Range::certain(0.0)));
    }
    numbers::plain(node, info, findings)
}

/// True when a full reservoir has water above its intake and more than the pump must leave; notes it otherwise.
fn can_be_drawn_from(
    fields: Fields<'_, '_>,
    inside: &Inside,
    numbers: &ReservoirNumbers<Known>,
    findings: &mut Findings,
) -> bool {
    let holds = numbers.volume_ml.range.low();
    let place = |keys: &[&str]| keys.iter().find_map(|key| fields.get(key)).map_or(fields.place(), toml::Spanned::span);
    let height = inside.shape.height_mm(holds);
    if height <= inside.intake_mm {
        let what = format!(
            "the intake is {} mm above the lowest point, but {} mL stand only {} mm high",
            figure(inside.intake_mm),
            figure(holds),
            figure(height)
        );
        findings.wrong(place(&["intake", "holds"]), what, "the intake must be under water");
        return false;
    }
    let dry = numbers.dry_ml.range.high();
    if dry >= holds {
        let what =
            format!("the pump draws air below {} mL, but the reservoir holds only {} mL", figure(dry), figure(holds));
        findings.wrong(place(&["dry_volume", "holds"]), what, "it must hold more");
        return false;
    }
    true
}
