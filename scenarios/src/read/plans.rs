//! The `[[plan]]` and `[[family]]` entries of a scenario, spelled out into the feeds and visits of a week.

use std::ops::Range as Bytes;

use frytub_sim::study::{self, By, DayPlan, MOST_FEEDS, MOST_PLANS, Matched};
use toml::Spanned;

use crate::fields::{self, Fields, Node};
use crate::mistakes::Findings;
use crate::read::cultures::{self, CultureText, StandInText};
use crate::read::families;
use crate::read::feeders::{self, Feeder, spell_out_day};
use crate::read::keeper::{self, KeeperText, Never, Visits};
use crate::read::mishaps;
use crate::read::pumping::{self, Equipment, Pumping, Wording};
use crate::read::recipes::Recipes;
use crate::read::tubs::{self, TubAndLight, TubText};
use crate::read::{groups, unknown_name};
use crate::times;
use crate::words;

/// Latest day that `first_feed` may name; a day after the last means that the plan never feeds.
const LATEST_FIRST_FEED: u32 = 1000;
/// What plans are set into, as far as it could be read.
#[derive(Clone, Copy)]
pub(super) struct Surroundings<'s, 'l> {
    /// The tub of the file.
    pub tub: Option<&'s TubAndLight>,
    /// The keeper of the file.
    pub keeper: Option<&'s KeeperText>,
    /// The recipes of the file.
    pub recipes: &'s Recipes<'l>,
    /// Cultures of the file.
    pub cultures: &'s [CultureText<'l>],
    /// Reservoirs and feed line of the file.
    pub equipment: Equipment<'s, 'l>,
}

/// A plan as written, spelled out.
#[derive(Debug, Clone)]
pub(super) struct PlanText {
    /// Its name, unique.
    pub name: String,
    /// Where its name stands.
    pub place: Bytes<usize>,
    /// Name of the family it belongs to.
    pub family: Option<String>,
    /// Everything else, if it could be read.
    pub body: Option<Body>,
}

/// What a plan does.
#[derive(Debug, Clone)]
pub(super) struct Body {
    /// Which way its amounts were given.
    pub matched: Matched,
    /// Its tub.
    pub tub: TubText,
    /// Index of its recipe.
    pub recipe: usize,
    /// No feed before this day.
    pub first_feed_day: u32,
    /// True when the bottom is siphoned.
    pub siphon: bool,
    /// When the sponge of the outlet is rinsed.
    pub rinses: study::Visits,
    /// What the plan has against mishaps.
    pub owns: study::Owned,
    /// What is fed instead of foods whose culture is not ready.
    pub stand_ins: Vec<StandInText>,
    /// Where the file says so, if it does.
    pub rinse_place: Option<Bytes<usize>>,
    /// What its pump feeds through, if it does not simply arrive.
    pub pumping: Option<Pumping>,
    /// Where its feeds are written.
    pub feeds_place: Bytes<usize>,
    /// Monday to Friday.
    pub weekday: DayPlan,
    /// Saturday and Sunday.
    pub weekend: DayPlan,
}

/// Fields that plans and families share.
#[derive(Clone)]
pub(super) struct Shared {
    tub: Option<TubText>,
    recipe: Option<usize>,
    first_feed_day: Option<u32>,
    siphon: Option<bool>,
    rinses: Option<study::Visits>,
    owns: Option<study::Owned>,
    stand_ins: Option<Vec<StandInText>>,
    rinse_place: Option<Bytes<usize>>,
    /// When the keeper comes, apart from hand feeds.
    pub visits: Option<Visits>,
}

/// All plans of a file.
pub(super) struct Plans {
    /// Those that could be named, in the order of the study.
    pub list: Vec<PlanText>,
    /// True if all could be named.
    pub complete: bool,
}

/// Reads all plans, then all families.
pub(super) fn read(root: Fields<'_, '_>, around: Surroundings<'_, '_>, findings: &mut Findings) -> Plans {
    let explicit = groups(root, "plan", findings);
    let families = groups(root, "family", findings);
    let written = |key: &str| root.get(key).is_some_and(|node| !node.get_ref().is_array());
    let meant = ["plan", "family"].iter().any(|key| written(key) || findings.was_meant(root.place().start, key));
    if explicit.is_empty() && families.is_empty() && !meant {
        let list = root.get("plan").or(root.get("family"));
        let label = if list.is_some() { "this list is empty" } else { root.missing_label() };
        let place = list.map_or(root.place(), Spanned::span);
        let help = "for instance: [[plan]] with name = \"Two hand feeds\" and by_hand = { at = \"every visit\", dose = \"20 mL\" }";
        findings.wrong_with(place, "there is no [[plan]] to compare", label, Some(help.into()));
    }
    if explicit.len() > MOST_PLANS {
        let what = format!("{} plans are too many: a comparison may hold {MOST_PLANS} at most", explicit.len());
        findings.wrong(explicit[MOST_PLANS].span(), what, "one plan too many");
        return Plans { list: Vec::new(), complete: false };
    }
    let mut complete = true;
    let mut list = Vec::new();
    for node in explicit {
        let plan = read_plan(node, around, findings);
        complete &= plan.is_some();
        list.extend(plan);
    }
    for node in families {
        complete &= families::read(node, around, &mut list, findings).is_some();
    }
    refuse_doubles(&list, findings);
    Plans { list, complete }
}

/// Reads `compare_with`: the plan that the answer is told against; without one, the first.
pub(super) fn baseline(root: Fields<'_, '_>, plans: &Plans, findings: &mut Findings) -> Option<usize> {
    let Some(node) = root.get("compare_with") else { return Some(0) };
    let name = fields::text(node, "the name of a plan is expected", findings)?;
    let found = plans.list.iter().position(|plan| words::fold(&plan.name) == words::fold(name));
    if found.is_none() && plans.complete && !plans.list.is_empty() {
        let names: Vec<&str> = plans.list.iter().map(|plan| plan.name.as_str()).collect();
        unknown_name(node, "plan", name, &names, findings);
    }
    found
}

fn refuse_doubles(plans: &[PlanText], findings: &mut Findings) {
    for (place, plan) in plans.iter().enumerate() {
        if plans[..place].iter().any(|before| words::fold(&before.name) == words::fold(&plan.name)) {
            let what = format!("there is already a plan called \"{}\"", plan.name);
            findings.wrong(plan.place.clone(), what, "give one of the two another name");
        }
    }
}

fn read_plan(node: &Node<'_>, around: Surroundings<'_, '_>, findings: &mut Findings) -> Option<PlanText> {
    let known = [
        "name",
        "by_hand",
        "by_pump",
        "visits",
        "weekend_visits",
        "recipe",
        "tub",
        "first_feed",
        "siphon",
        "feed_line",
        "rinse",
        "owns",
        "instead",
    ];
    let plan = Fields::open(node, "[[plan]]", &known, findings)?;
    let name_node = plan.need("name", "name = \"Two hand feeds\"", findings);
    let name = name_node.and_then(|node| fields::name(node, "name = \"Two hand feeds\"", findings));
    let shared = read_shared(plan, around, findings);
    let hand = plan.get("by_hand").map(|node| {
        let group = Fields::open(node, "by_hand", &["at", "weekend_at", "dose"], findings)?;
        feeders::read(group, By::Hand, false, findings)
    });
    let pump = plan.get("by_pump").map(|node| read_pump(node, plan, around, findings));
    if hand.is_none() && pump.is_none() {
        let help = "give it by_hand = { at = \"every visit\", dose = \"20 mL\" }, or by_pump";
        findings.wrong_with(node.span(), "this plan feeds nothing", "by_hand or by_pump is missing", Some(help.into()));
        return Some(PlanText { name: name?.to_string(), place: name_node?.span(), family: None, body: None });
    }
    if let Some(node) = plan.get("feed_line").filter(|_| pump.is_none()) {
        findings.wrong(
            node.span(),
            "this plan has no pump that could feed through a line",
            "give it by_pump, or take this out",
        );
    }
    let body = match (hand, pump) {
        (Some(None), _) | (_, Some(None)) => None,
        (hand, pump) => {
            let (pump, pumping) = pump.flatten().unzip();
            spell_out(shared, hand.flatten().as_ref(), pump.as_ref(), pumping.flatten(), findings)
        }
    };
    Some(PlanText { name: name?.to_string(), place: name_node?.span(), family: None, body })
}

/// Reads `by_pump`: the feeder, and what it feeds through.
fn read_pump(
    node: &Node<'_>,
    plan: Fields<'_, '_>,
    around: Surroundings<'_, '_>,
    findings: &mut Findings,
) -> Option<(Feeder, Option<Pumping>)> {
    let known = ["at", "weekend_at", "dose", "over", "reservoir", "recipe", "refill", "fill"];
    let group = Fields::open(node, "by_pump", &known, findings)?;
    let through_line = pumping::is_through_line(plan, around.equipment);
    let feeder = feeders::read(group, By::Pump, through_line, findings);
    let wording = Wording { group, plan, recipe_key: "recipe" };
    let pumping = pumping::read(wording, around.equipment, around.recipes, findings);
    Some((feeder?, pumping?))
}

/// Reads the fields that plans and families share.
pub(super) fn read_shared(plan: Fields<'_, '_>, around: Surroundings<'_, '_>, findings: &mut Findings) -> Shared {
    let tub = match (plan.get("tub"), around.tub) {
        (Some(node), Some(base)) => tubs::changed(&base.tub, node, findings),
        (_, base) => base.map(|base| base.tub.clone()),
    };
    let recipe = match plan.get("recipe") {
        Some(node) => around.recipes.named(node, findings),
        None => {
            let usual = around.recipes.usual();
            if usual.is_none() && !around.recipes.recipes.is_empty() {
                let help = words::hint("", &around.recipes.names());
                let what = "there are several recipes, and this plan does not say which";
                findings.wrong_with(plan.place(), what, "recipe = \"…\" is missing", help);
            }
            usual
        }
    };
    let first_feed_day = plan
        .get("first_feed")
        .map_or(Some(1), |node| times::day(node, "the day of the first feed", LATEST_FIRST_FEED, findings));
    let siphon = plan.get("siphon").map_or(Some(false), |node| fields::yes_no(node, findings));
    let visits = around.keeper.and_then(|keeper| keeper::of_plan(plan, keeper, findings));
    let rinse = plan.get("rinse");
    let rinses = rinse.map_or(Some(study::Visits::First), |node| keeper::occasions(node, Never::Allowed, findings));
    let owns = mishaps::owns(plan, findings);
    let stand_ins = cultures::of_plan(plan, around.cultures, around.equipment.library, findings);
    let rinse_place = rinse.map(Spanned::span);
    Shared { tub, recipe, first_feed_day, siphon, rinses, owns, stand_ins, rinse_place, visits }
}

/// Spells a plan out into the feeds and visits of a week.
pub(super) fn spell_out(
    shared: Shared,
    hand: Option<&Feeder>,
    pump: Option<&Feeder>,
    pumping: Option<Pumping>,
    findings: &mut Findings,
) -> Option<Body> {
    let visits = shared.visits?;
    let weekday = spell_out_day(visits.weekday, hand.map(|f| (&f.weekday, f)), pump.map(|f| (&f.weekday, f)));
    let weekend = spell_out_day(visits.weekend, hand.map(|f| (&f.weekend, f)), pump.map(|f| (&f.weekend, f)));
    let place = pump.or(hand)?.place.clone();
    for day in [&weekday, &weekend] {
        if day.feeds.len() > MOST_FEEDS {
            let what = format!("this makes {} feeds a day; a plan may give {MOST_FEEDS} at most", day.feeds.len());
            findings.wrong(place, what, "");
            return None;
        }
    }
    if pumping.is_some() && weekday.visits.is_empty() && weekend.visits.is_empty() {
        findings.wrong(place, "nobody comes to fill the reservoir of this plan", "at least one visit is expected");
        return None;
    }
    if weekday.feeds.is_empty() && weekend.feeds.is_empty() {
        let what = "this plan never feeds: its timetable is empty, or there is no visit to feed at";
        findings.wrong(place, what, "at least one time is expected");
        return None;
    }
    let a_day = hand.is_none_or(|feeder| feeder.dose.a_day) && pump.is_none_or(|feeder| feeder.dose.a_day);
    Some(Body {
        matched: if a_day { Matched::FoodPerDay } else { Matched::FoodPerFeed },
        tub: shared.tub?,
        recipe: shared.recipe?,
        first_feed_day: shared.first_feed_day?,
        siphon: shared.siphon?,
        rinses: shared.rinses?,
        owns: shared.owns?,
        stand_ins: shared.stand_ins?,
        rinse_place: shared.rinse_place,
        pumping,
        feeds_place: place,
        weekday,
        weekend,
    })
}
