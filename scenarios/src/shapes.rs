//! The inside of a vessel as written: its shape with its lengths, where the stone stands, how high the intake is.
//!
//! Read alike in the library and in scenario files. Knows shapes; does not know what a vessel is used for.

use frytub_sim::numbers::{NumberInfo, Scale};
use frytub_sim::study::{FloorPart, MOST_FLOOR_PARTS, Shape, Stone};

use crate::fields::{self, Bare, Fields, Node};
use crate::mistakes::Findings;
use crate::words;

/// Fields that describe the inside of a vessel.
pub(crate) const KEYS: [&str; 8] = ["shape", "length", "width", "diameter", "slope", "floor", "stone", "intake"];

/// The kinds of shape, as written.
const SHAPES: [&str; 4] = ["box", "cylinder", "cone", "own"];

const fn length(key: &'static str, label: &'static str) -> NumberInfo {
    NumberInfo { key, label, unit: "mm", least: 1.0, most: 2000.0, scale: Scale::Even }
}

/// Limits of the lengths of a vessel.
const LENGTH: NumberInfo = length("length", "length of the floor");
const WIDTH: NumberInfo = length("width", "width of the floor");
const DIAMETER: NumberInfo = length("diameter", "inner diameter");
/// Limits of the slope of a cone.
const CONE_SLOPE: NumberInfo = NumberInfo {
    key: "slope",
    label: "slope of the cone against the level",
    unit: "degrees",
    least: 1.0,
    most: 85.0,
    scale: Scale::Even,
};
/// Limits of the slope of a part of a floor.
const FLOOR_SLOPE: NumberInfo = NumberInfo { label: "slope of the floor", least: 0.0, ..CONE_SLOPE };
/// Limits of a part of a floor.
const FLOOR_AREA: NumberInfo = NumberInfo {
    key: "area",
    label: "area seen from above",
    unit: "cm²",
    least: 0.01,
    most: 40_000.0,
    scale: Scale::Even,
};
/// mm² in a cm².
const MM2_PER_CM2: f64 = 100.0;
/// Limits of the height of the intake.
const INTAKE: NumberInfo = NumberInfo {
    key: "intake",
    label: "height of the intake above the lowest point",
    unit: "mm",
    least: 0.0,
    most: 2000.0,
    scale: Scale::Even,
};

/// The inside of a vessel.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Inside {
    /// Its shape.
    pub shape: Shape,
    /// Where the stone stands.
    pub stone: Stone,
    /// Height of the intake above the lowest point, mm.
    pub intake_mm: f64,
}

/// Reads the inside of a vessel; what is not written is as in `base`.
pub(crate) fn read(fields: Fields<'_, '_>, base: Option<&Inside>, findings: &mut Findings) -> Option<Inside> {
    let shape = read_shape(fields, base.map(|base| &base.shape), findings);
    let stone = match fields.get("stone") {
        Some(node) => read_stone(node, findings),
        None => Some(base.map_or(Stone::Middle, |base| base.stone)),
    };
    let intake_mm = match fields.get("intake") {
        Some(node) => fields::value(node, &INTAKE, Bare::Refused, findings),
        None => Some(base.map_or(0.0, |base| base.intake_mm)),
    };
    let (shape, mut stone) = (shape?, stone?);
    if matches!(shape, Shape::Cone { .. }) && stone == Stone::OneEnd {
        match fields.get("stone") {
            Some(node) => {
                findings.wrong(node.span(), "a cone has no end", "in a cone the stone is in its tip: \"middle\"");
                return None;
            }
            // The box from which this cone was made had its stone at one end.
            None => stone = Stone::Middle,
        }
    }
    Some(Inside { shape, stone, intake_mm: intake_mm? })
}

fn read_stone(node: &Node<'_>, findings: &mut Findings) -> Option<Stone> {
    let expected = "\"middle\" or \"one end\" is expected";
    let text = fields::text(node, expected, findings)?;
    match words::fold(text).as_str() {
        "middle" | "tip" => Some(Stone::Middle),
        "one end" => Some(Stone::OneEnd),
        _ => {
            let help = words::hint(text, &["middle", "one end"]);
            findings.wrong_with(node.span(), format!("\"{text}\" is not a place for the stone"), expected, help);
            None
        }
    }
}

/// The name of a shape, as written.
fn name_of(shape: &Shape) -> &'static str {
    match shape {
        Shape::Box { .. } => "box",
        Shape::Cylinder { .. } => "cylinder",
        Shape::Cone { .. } => "cone",
        Shape::Own { .. } => "own",
    }
}

fn read_shape(fields: Fields<'_, '_>, base: Option<&Shape>, findings: &mut Findings) -> Option<Shape> {
    let name = match (fields.get("shape"), base) {
        (Some(node), _) => read_name(node, findings)?,
        (None, Some(base)) => name_of(base),
        (None, None) => read_name(fields.need("shape", "shape = \"cone\"", findings)?, findings)?,
    };
    let of_shape: &[&str] = match name {
        "box" => &["length", "width"],
        "cylinder" => &["diameter"],
        "cone" => &["diameter", "slope"],
        _ => &["floor"],
    };
    for key in ["length", "width", "diameter", "slope", "floor"] {
        if let Some(node) = fields.get(key).filter(|_| !of_shape.contains(&key)) {
            let shape = if name == "own" { "a shape of one's own".to_string() } else { format!("a {name}") };
            let verb = if of_shape.len() == 1 { "is" } else { "are" };
            let expected = format!("{} {verb} expected", words::list(of_shape, "and"));
            findings.wrong(node.span(), format!("\"{key}\" says nothing of {shape}"), expected);
        }
    }
    let base = base.filter(|base| name_of(base) == name);
    let mut number = |info: &NumberInfo, example: &str, usual: Option<f64>| match fields.get(info.key) {
        None if usual.is_some() => usual,
        Some(node) => fields::value(node, info, Bare::Refused, findings),
        None => {
            fields.need(info.key, example, findings);
            None
        }
    };
    match name {
        "box" => {
            let (long, wide) = match base {
                Some(Shape::Box { length_mm, width_mm }) => (Some(*length_mm), Some(*width_mm)),
                _ => (None, None),
            };
            let length_mm = number(&LENGTH, "length = \"16 cm\"", long);
            let width_mm = number(&WIDTH, "width = \"9 cm\"", wide);
            Some(Shape::Box { length_mm: length_mm?, width_mm: width_mm? })
        }
        "cylinder" => {
            let usual = if let Some(Shape::Cylinder { diameter_mm }) = base { Some(*diameter_mm) } else { None };
            number(&DIAMETER, "diameter = \"10 cm\"", usual).map(|diameter_mm| Shape::Cylinder { diameter_mm })
        }
        "cone" => {
            let (wide, steep) = match base {
                Some(Shape::Cone { diameter_mm, slope_deg }) => (Some(*diameter_mm), Some(*slope_deg)),
                _ => (None, None),
            };
            let diameter_mm = number(&DIAMETER, "diameter = \"10 cm\"", wide);
            let slope_deg = number(&CONE_SLOPE, "slope = \"60 degrees\"", steep);
            Some(Shape::Cone { diameter_mm: diameter_mm?, slope_deg: slope_deg? })
        }
        _ => match (fields.get("floor"), base) {
            (None, Some(base)) => Some(base.clone()),
            _ => {
                let example = "floor = [ { slope = \"0 degrees\", area = \"20 cm2\" } ]";
                read_floor(fields.need("floor", example, findings)?, findings)
            }
        },
    }
}

fn read_name(node: &Node<'_>, findings: &mut Findings) -> Option<&'static str> {
    let expected = "\"box\", \"cylinder\", \"cone\" or \"own\" is expected";
    let text = fields::text(node, expected, findings)?;
    let found = SHAPES.into_iter().find(|shape| *shape == words::fold(text));
    if found.is_none() {
        let help = words::hint(text, &SHAPES);
        findings.wrong_with(node.span(), format!("\"{text}\" is not a shape known here"), expected, help);
    }
    found
}

fn read_floor(node: &Node<'_>, findings: &mut Findings) -> Option<Shape> {
    let example = "a list such as [ { slope = \"0 degrees\", area = \"20 cm2\" } ] is expected";
    let parts = fields::list(node, example, findings)?;
    if parts.is_empty() || parts.len() > MOST_FLOOR_PARTS {
        let what = match parts.len() {
            0 => "this vessel has no floor".to_string(),
            more => format!("this floor has {more} parts; it may have {MOST_FLOOR_PARTS} at most"),
        };
        findings.wrong(node.span(), what, example);
        return None;
    }
    let read: Vec<Option<FloorPart>> = parts
        .into_iter()
        .map(|part| {
            let part = Fields::open(part, "a part of the floor", &["slope", "area"], findings)?;
            let slope = part.need("slope", "slope = \"0 degrees\"", findings);
            let slope_deg = slope.and_then(|node| fields::value(node, &FLOOR_SLOPE, Bare::Refused, findings));
            let area = part.need("area", "area = \"20 cm2\"", findings);
            let area_cm2 = area.and_then(|node| fields::value(node, &FLOOR_AREA, Bare::Refused, findings));
            Some(FloorPart { slope_deg: slope_deg?, area_mm2: MM2_PER_CM2 * area_cm2? })
        })
        .collect();
    read.into_iter().collect::<Option<Vec<FloorPart>>>().map(|floor| Shape::Own { floor })
}
