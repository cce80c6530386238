//! What a plan's pump draws from and through: reservoir, recipe, refills, and what it changes about the feed line.
//!
//! Knows which thing a plan means; does not know doses or runs.

use frytub_sim::numbers::{NumberInfo, Scale};
use frytub_sim::physics::tubes::hold_up_ml;
use frytub_sim::study::{Fill, Visits};

use crate::fields::{self, Bare, Fields, Node};
use crate::library::Library;
use crate::mistakes::Findings;
use crate::read::keeper;
use crate::read::lines::{self, LineText};
use crate::read::recipes::Recipes;
use crate::read::reservoirs::ReservoirText;
use crate::read::unknown_name;
use crate::words::{self, figure};

/// Limits of what is poured in at a refill.
const FILL: NumberInfo = NumberInfo {
    key: "fill",
    label: "water poured into the reservoir",
    unit: "mL",
    least: 1.0,
    most: 1e5,
    scale: Scale::Even,
};

/// The equipment of a file, as far as it could be read.
#[derive(Clone, Copy)]
pub(super) struct Equipment<'s, 'l> {
    /// Where kinds and timers are looked up.
    pub library: &'l Library,
    /// True if the file has a `[feed_line]`.
    pub has_line: bool,
    /// The feed line, if there is one and it could be read.
    pub line: Option<&'s LineText>,
    /// The reservoirs, if all could be named.
    pub reservoirs: Option<&'s [ReservoirText]>,
}

/// What a plan's pump draws from and through.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Pumping {
    /// Index of the reservoir in the file.
    pub reservoir: usize,
    /// Index of the recipe poured in, if it is not the plan's.
    pub recipe: Option<usize>,
    /// How much is poured in.
    pub fill: Fill,
    /// At which visits.
    pub refills: Visits,
    /// The feed line, with the plan's changes.
    pub line: LineText,
}

/// Where a plan or a family says these things.
#[derive(Clone, Copy)]
pub(super) struct Wording<'t, 'a> {
    /// The group with `reservoir`, `refill` and `fill`.
    pub group: Fields<'t, 'a>,
    /// The plan or family, with `feed_line`.
    pub plan: Fields<'t, 'a>,
    /// How the recipe that is poured in is called in the group.
    pub recipe_key: &'static str,
}

impl<'t, 'a> Wording<'t, 'a> {
    /// Fields that mean nothing without a feed line.
    fn of_the_line(&self) -> impl Iterator<Item = (&'static str, &'t Node<'a>)> {
        let group = self.group;
        let keys = ["reservoir", "refill", "fill", self.recipe_key];
        keys.into_iter().filter_map(move |key| group.get(key).map(|node| (key, node)))
    }
}

/// True if the pump of a plan feeds through a feed line.
pub(super) fn is_through_line(plan: Fields<'_, '_>, equipment: Equipment<'_, '_>) -> bool {
    let without = plan.get("feed_line").is_some_and(|node| node.get_ref().as_str() == Some("none"));
    equipment.has_line && !without
}

/// Reads what a plan's pump feeds through.
///
/// The outer `None` means that something is wrong with it, the inner that its feeds arrive whole and fresh.
pub(super) fn read(
    wording: Wording<'_, '_>,
    equipment: Equipment<'_, '_>,
    recipes: &Recipes<'_>,
    findings: &mut Findings,
) -> Option<Option<Pumping>> {
    if !is_through_line(wording.plan, equipment) {
        return refuse_without_line(wording, equipment, findings).map(|()| None);
    }
    let Wording { group, plan, recipe_key } = wording;
    let line = match (plan.get("feed_line"), equipment.line) {
        (Some(node), Some(base)) => lines::changed(base, node, equipment.library, findings),
        (_, base) => base.cloned(),
    };
    let reservoirs = equipment.reservoirs;
    let reservoir = reservoirs.and_then(|all| named_reservoir(group, all, "this plan does not say which", findings));
    let recipe = match group.get(recipe_key) {
        Some(node) => recipes.named(node, findings).map(Some),
        None => Some(None),
    };
    let refills = match group.get("refill") {
        Some(node) => keeper::occasions(node, keeper::Never::Refused, findings),
        None => Some(Visits::Every),
    };
    let fill = group.get("fill").map_or(Some(Fill::Needed), |node| read_fill(node, findings));
    let (reservoir, line, fill) = (reservoir?, line?, fill?);
    let holds = reservoirs?[reservoir].holds_ml();
    let sound = holds.is_none_or(|holds| fits(group, holds, fill, &line, findings));
    let (recipe, refills) = (recipe?, refills?);
    sound.then_some(Some(Pumping { reservoir, recipe, fill, refills, line }))
}

fn refuse_without_line(wording: Wording<'_, '_>, equipment: Equipment<'_, '_>, findings: &mut Findings) -> Option<()> {
    let mut sound = true;
    for (key, node) in wording.of_the_line() {
        let what = if equipment.has_line {
            format!("\"{key}\" says nothing where the pump has no feed line")
        } else {
            format!("\"{key}\" needs a [feed_line] to feed through, and there is none")
        };
        let help = "add [feed_line] with pump, timer, tube_length and tube_end, and a [[reservoir]]";
        let help = (!equipment.has_line).then(|| help.to_string());
        findings.wrong_with(node.span(), what, format!("take \"{key}\" out, or give the pump a feed line"), help);
        sound = false;
    }
    if let Some(node) = wording.plan.get("feed_line").filter(|_| !equipment.has_line) {
        findings.wrong(
            node.span(),
            "there is no [feed_line] for this plan to change",
            "add [feed_line], or take this out",
        );
        sound = false;
    }
    sound.then_some(())
}

/// The reservoir that a group names, or the only one; notes when there is none of that name, or several to choose from.
pub(super) fn named_reservoir(
    group: Fields<'_, '_>,
    reservoirs: &[ReservoirText],
    unsaid: &str,
    findings: &mut Findings,
) -> Option<usize> {
    let names: Vec<&str> = reservoirs.iter().map(|reservoir| reservoir.name.as_str()).collect();
    match group.get("reservoir") {
        Some(node) => {
            let name = fields::text(node, "the name of a [[reservoir]] is expected", findings)?;
            let found = names.iter().position(|known| words::fold(known) == words::fold(name));
            // A file without any has been told so already.
            if found.is_none() && !names.is_empty() {
                unknown_name(node, "[[reservoir]]", name, &names, findings);
            }
            found
        }
        None if names.len() == 1 => Some(0),
        None => {
            if !names.is_empty() {
                let what = format!("there are several reservoirs, and {unsaid}");
                findings.wrong_with(group.place(), what, "reservoir = \"…\" is missing", words::hint("", &names));
            }
            None
        }
    }
}

fn read_fill(node: &Node<'_>, findings: &mut Findings) -> Option<Fill> {
    let text = node.get_ref().as_str();
    if text.is_some_and(|text| words::fold(text) == "enough") {
        return Some(Fill::Needed);
    }
    if text.is_some_and(|text| !text.contains(|c: char| c.is_ascii_digit())) {
        let what = format!("\"{}\" does not say how much is poured in", text.unwrap_or_default());
        findings.wrong(node.span(), what, "\"enough\" or a volume such as \"500 mL\" is expected");
        return None;
    }
    fields::value(node, &FILL, Bare::Refused, findings).map(Fill::Millilitres)
}

/// True if a filling fits into the reservoir and fills the tube; notes it otherwise.
fn fits(group: Fields<'_, '_>, holds_ml: f64, fill: Fill, line: &LineText, findings: &mut Findings) -> bool {
    let place = |key: &str| group.get(key).map_or(group.place(), toml::Spanned::span);
    if let Fill::Millilitres(ml) = fill
        && ml > holds_ml
    {
        let what = format!("{} mL are poured in, but the reservoir holds only {} mL", figure(ml), figure(holds_ml));
        findings.wrong(place("fill"), what, "it would run over");
        return false;
    }
    let filling = if let Fill::Millilitres(ml) = fill { ml } else { holds_ml };
    let (bore, length) = (line.numbers.bore_mm.range.likely(), line.numbers.length_m.range.likely());
    let tube = hold_up_ml(bore, length);
    if tube > filling {
        let what = format!(
            "the tube holds {} mL, more than a filling of the reservoir ({} mL): each filling would still be in it when the next is poured",
            figure(tube),
            figure(filling)
        );
        findings.wrong(place("fill"), what, "a shorter or narrower tube is expected");
        return false;
    }
    true
}
