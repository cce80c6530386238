//! The outlet of a tub as written: the sponge that the water leaves through, and the rim above it.

use std::convert::Infallible;

use frytub_sim::numbers::{NumberInfo, OutletNumbers};
use frytub_sim::study::Outlet;

use crate::fields::{Fields, Node};
use crate::known::Known;
use crate::mistakes::Findings;
use crate::read::numbers::{Asked, Reader};

/// How an outlet's number is asked for.
fn asked(key: &str, usual: Option<Known>) -> Asked {
    let (key, example) = match key {
        "face_cm2" => ("sponge_face", "sponge_face = \"8 cm2\""),
        "resistance" => ("resistance", ""),
        "clog_g_m2" => ("clogging", ""),
        "catch_share" => ("keeps", ""),
        "slime_per_day" => ("slime", ""),
        "rinse_leaves" => ("rinse_leaves", ""),
        "rim_mm" => ("rim", "rim = \"30 mm\""),
        "rim_share" => ("rim_share", ""),
        _ => ("float_alarm_at", ""),
    };
    Asked { key, example, usual }
}

/// What is taken when the file says nothing of a number; `None` if it must be said.
fn usual(key: &str) -> Option<Known> {
    let (range, source) = match key {
        "resistance" => (
            (0.67e-5, 1.33e-5, 2.7e-5),
            "computed: Darcy's law for 2 cm of clean foam of 30 pores an inch, a factor of two either way",
        ),
        "clog_g_m2" => ((10.0, 15.0, 20.0), "estimate; slow sand filters clog exponentially too"),
        "catch_share" => ((0.2, 0.6, 1.0), "estimate"),
        "slime_per_day" => ((0.0, 0.3, 1.0), "estimate"),
        "rinse_leaves" => ((0.1, 0.2, 0.3), "estimate: squeezed out in tub water"),
        "rim_share" => ((0.05, 0.2, 1.0), "estimate: fry keep away from the edge as long as they can"),
        "float_mm" => {
            ((8.0, 8.0, 8.0), "estimate: a float set 8 mm above the still water; only for plans that own one")
        }
        _ => return None,
    };
    Some(Known::usual(range, source))
}

/// The outlet as a study holds it.
pub(super) fn finished(numbers: &OutletNumbers<Known>) -> Outlet {
    Outlet { numbers: numbers.map(|_, known| known.range) }
}

/// Reads an outlet, or `"none"`; what is not written is as in `base`, or else as usual.
///
/// The outer `None` means that something is wrong with it.
pub(super) fn read(
    node: &Node<'_>,
    base: Option<&OutletNumbers<Known>>,
    findings: &mut Findings,
) -> Option<Option<OutletNumbers<Known>>> {
    if node.get_ref().as_str() == Some("none") {
        return Some(None);
    }
    let known: Vec<&'static str> = OutletNumbers::<f64>::INFO.iter().map(|info| asked(info.key, None).key).collect();
    let outlet = Fields::open(node, "the outlet", &known, findings)?;
    let mut reader = Reader::new(outlet, findings);
    let mut number = |info: &NumberInfo, usual| reader.number(info, asked(info.key, usual));
    let numbers = match base {
        Some(base) => base.map(|info, before| number(info, Some(before.clone()))),
        None => OutletNumbers::try_from_fn(|info| Ok::<_, Infallible>(number(info, usual(info.key)))).ok()?,
    };
    reader.whole(Some(numbers))
}
