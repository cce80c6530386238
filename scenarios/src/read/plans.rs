//! The `[[plan]]` and `[[family]]` entries of a scenario, spelled out into the feeds and visits of a week.

use std::ops::Range as Bytes;

use frytub_sim::clock::TimeOfDay;
use frytub_sim::numbers::{NumberInfo, Scale};
use frytub_sim::study::{By, DayPlan, Feed, MOST_FEEDS, MOST_PLANS, Matched};
use toml::Spanned;
use toml::de::DeValue;

use crate::fields::{self, Bare, Fields, Node};
use crate::mistakes::Findings;
use crate::read::doses::{self, DoseText};
use crate::read::keeper::{self, KeeperText, Visits};
use crate::read::recipes::Recipes;
use crate::read::tubs::{self, TubAndLight, TubText};
use crate::read::{groups, unknown_name};
use crate::times::{self, DAY_MINUTES, Timetable};
use crate::words;

/// Latest day that `first_feed` may name; a day after the last means that the plan never feeds.
const LATEST_FIRST_FEED: u32 = 1000;
/// Limits of the time over which a pump feed enters the tub.
const OVER: NumberInfo = NumberInfo {
    key: "over",
    label: "time over which a feed enters",
    unit: "min",
    least: 0.0,
    most: 1440.0,
    scale: Scale::Even,
};
/// Minutes over which a pump feed enters when the file says nothing: a small pump's usual run.
const USUAL_OVER_MIN: f64 = 1.0;

/// What plans are set into, as far as it could be read.
#[derive(Clone, Copy)]
pub(super) struct Surroundings<'s, 'l> {
    /// The tub of the file.
    pub tub: Option<&'s TubAndLight>,
    /// The keeper of the file.
    pub keeper: Option<&'s KeeperText>,
    /// The recipes of the file.
    pub recipes: &'s Recipes<'l>,
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
    /// Monday to Friday.
    pub weekday: DayPlan,
    /// Saturday and Sunday.
    pub weekend: DayPlan,
}

/// Fields that plans and families share.
#[derive(Clone)]
struct Shared {
    tub: Option<TubText>,
    recipe: Option<usize>,
    first_feed_day: Option<u32>,
    siphon: Option<bool>,
    visits: Option<Visits>,
}

/// Times and dose of one feeder, by hand or pump.
struct Feeder {
    weekday: Timetable,
    weekend: Timetable,
    dose: DoseText,
    over_min: f64,
    place: Bytes<usize>,
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
        complete &= read_family(node, around, &mut list, findings).is_some();
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
    let known = ["name", "by_hand", "by_pump", "visits", "weekend_visits", "recipe", "tub", "first_feed", "siphon"];
    let plan = Fields::open(node, "[[plan]]", &known, findings)?;
    let name_node = plan.need("name", "name = \"Two hand feeds\"", findings);
    let name = name_node.and_then(|node| fields::name(node, "name = \"Two hand feeds\"", findings));
    let shared = read_shared(plan, around, findings);
    let hand = plan.get("by_hand").map(|node| read_feeder(node, By::Hand, findings));
    let pump = plan.get("by_pump").map(|node| read_feeder(node, By::Pump, findings));
    if hand.is_none() && pump.is_none() {
        let help = "give it by_hand = { at = \"every visit\", dose = \"20 mL\" }, or by_pump";
        findings.wrong_with(node.span(), "this plan feeds nothing", "by_hand or by_pump is missing", Some(help.into()));
        return Some(PlanText { name: name?.to_string(), place: name_node?.span(), family: None, body: None });
    }
    let body = match (hand, pump) {
        (Some(None), _) | (_, Some(None)) => None,
        (hand, pump) => spell_out(shared, hand.flatten().as_ref(), pump.flatten().as_ref(), findings),
    };
    Some(PlanText { name: name?.to_string(), place: name_node?.span(), family: None, body })
}

fn read_shared(plan: Fields<'_, '_>, around: Surroundings<'_, '_>, findings: &mut Findings) -> Shared {
    let tub = match (plan.get("tub"), around.tub) {
        (Some(node), Some(base)) => tubs::changed(&base.tub, node, findings),
        (_, base) => base.map(|base| base.tub.clone()),
    };
    let recipe = match plan.get("recipe") {
        Some(node) => fields::text(node, "the name of a recipe is expected", findings).and_then(|name| {
            let names = around.recipes.names();
            let found = names.iter().position(|recipe| words::fold(recipe) == words::fold(name));
            if found.is_none() {
                unknown_name(node, "recipe", name, &names, findings);
            }
            found
        }),
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
    Shared { tub, recipe, first_feed_day, siphon, visits }
}

fn read_feeder(node: &Node<'_>, by: By, findings: &mut Findings) -> Option<Feeder> {
    let (what, known): (_, &[&str]) = match by {
        By::Hand => ("by_hand", &["at", "weekend_at", "dose"]),
        By::Pump => ("by_pump", &["at", "weekend_at", "dose", "over"]),
    };
    let feeder = Fields::open(node, what, known, findings)?;
    let example = if by == By::Hand { "at = \"every visit\"" } else { "at = \"every 75 min from 07:30 to 20:00\"" };
    let timetable = |node: &Node<'_>, findings: &mut Findings| times::timetable(node, by == By::Hand, findings);
    let weekday = feeder.need("at", example, findings).and_then(|node| timetable(node, findings));
    let weekend = match feeder.get("weekend_at") {
        Some(node) => timetable(node, findings),
        None => weekday.clone(),
    };
    let dose = feeder.need("dose", "dose = \"20 mL\"", findings).and_then(|node| doses::read(node, findings));
    let over_min = match (feeder.get("over"), by) {
        (Some(node), By::Pump) => fields::value(node, &OVER, Bare::Refused, findings),
        (None, By::Pump) => Some(USUAL_OVER_MIN),
        (_, By::Hand) => Some(0.0),
    };
    let place = feeder.get("over").or(feeder.get("at")).unwrap_or(node).span();
    let feeder = Feeder { weekday: weekday?, weekend: weekend?, dose: dose?, over_min: over_min?, place };
    if by == By::Pump {
        refuse_overlap(&feeder, findings)?;
    }
    Some(feeder)
}

/// Notes pump feeds that would still be running when the next begins, over midnight too.
fn refuse_overlap(feeder: &Feeder, findings: &mut Findings) -> Option<()> {
    let (Timetable::At(weekday), Timetable::At(weekend)) = (&feeder.weekday, &feeder.weekend) else { return Some(()) };
    let gap = |from: TimeOfDay, to: TimeOfDay| i32::from(to.minutes()) - i32::from(from.minutes());
    let within = weekday.windows(2).chain(weekend.windows(2)).map(|pair| gap(pair[0], pair[1]));
    let nights = [(weekday, weekday), (weekday, weekend), (weekend, weekend), (weekend, weekday)];
    let over_night = nights
        .iter()
        .filter_map(|(today, tomorrow)| Some(gap(*today.last()?, *tomorrow.first()?) + i32::from(DAY_MINUTES)));
    let shortest = within.chain(over_night).min()?;
    if feeder.over_min > f64::from(shortest) {
        let over = words::exact(feeder.over_min);
        let what = format!("a feed runs for {over} min, but the next begins after {shortest} min");
        findings.wrong(feeder.place.clone(), what, "a feed must end before the next begins");
        return None;
    }
    Some(())
}

fn spell_out(shared: Shared, hand: Option<&Feeder>, pump: Option<&Feeder>, findings: &mut Findings) -> Option<Body> {
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
        weekday,
        weekend,
    })
}

/// One day of a plan: hand feeds add their visits, and feeds stand in the order of time, hand before pump.
fn spell_out_day(
    mut visits: Vec<TimeOfDay>,
    hand: Option<(&Timetable, &Feeder)>,
    pump: Option<(&Timetable, &Feeder)>,
) -> DayPlan {
    let mut feeds = Vec::new();
    for (by, feeder) in [(By::Hand, hand), (By::Pump, pump)] {
        let Some((timetable, feeder)) = feeder else { continue };
        let times = match timetable {
            Timetable::EveryVisit => visits.clone(),
            Timetable::At(times) => times.clone(),
        };
        if by == By::Hand {
            visits.extend(&times);
            visits.sort_unstable();
            visits.dedup();
        }
        let dose = feeder.dose.of_one(times.len());
        feeds.extend(times.into_iter().map(|at| Feed { at, by, dose, over_min: feeder.over_min }));
    }
    feeds.sort_by_key(|feed| feed.at);
    DayPlan { visits, feeds }
}

fn read_family(
    node: &Node<'_>,
    around: Surroundings<'_, '_>,
    plans: &mut Vec<PlanText>,
    findings: &mut Findings,
) -> Option<()> {
    let known = [
        "name",
        "feeds",
        "by",
        "between",
        "dose",
        "over",
        "visits",
        "weekend_visits",
        "recipe",
        "tub",
        "first_feed",
        "siphon",
    ];
    let family = Fields::open(node, "[[family]]", &known, findings)?;
    let name_node = family.need("name", "name = \"By pump, same food a day\"", findings);
    let name = name_node.and_then(|node| fields::name(node, "name = \"By pump, same food a day\"", findings));
    let numbers_node = family.need("feeds", "feeds = \"1 to 14\"", findings);
    let numbers = numbers_node.and_then(|node| read_numbers(node, findings));
    let by = family.need("by", "by = \"pump\"", findings).and_then(|node| read_by(node, findings));
    let between_node = family.need("between", "between = [\"07:30\", \"20:30\"]", findings);
    let between = between_node.and_then(|node| read_between(node, findings));
    let dose = family.need("dose", "dose = \"16 mg a day\"", findings).and_then(|node| doses::read(node, findings));
    let over_min = match (family.get("over"), by) {
        (Some(node), Some(By::Hand)) => {
            findings.wrong(node.span(), "a hand feed goes in at once", "\"over\" is for pump feeds; take it out");
            None
        }
        (Some(node), _) => fields::value(node, &OVER, Bare::Refused, findings),
        (None, Some(By::Pump)) => Some(USUAL_OVER_MIN),
        (None, _) => Some(0.0),
    };
    if by == Some(By::Hand) {
        for key in ["visits", "weekend_visits"] {
            if let Some(node) = family.get(key) {
                let what = "a family by hand brings its own visits, one for each feed";
                findings.wrong(node.span(), what, format!("take \"{key}\" out"));
            }
        }
    }
    let before = findings.mistakes.len();
    let shared = read_shared(family, around, findings);
    let shared_is_sound = findings.mistakes.len() == before;
    let (name, name_node, numbers) = (name?, name_node?, numbers?);
    if plans.len() + numbers.len() > MOST_PLANS {
        let what = format!(
            "this family brings {}, which makes {} in all: a comparison may hold {MOST_PLANS} at most",
            words::count(numbers.len(), "plan", "plans"),
            plans.len() + numbers.len()
        );
        findings.wrong(numbers_node?.span(), what, "fewer numbers of feeds are expected");
        return None;
    }
    let feeder = match (by, between, dose, over_min, shared_is_sound) {
        (Some(by), Some(between), Some(dose), Some(over_min), true) => Some((by, between, dose, over_min)),
        _ => None,
    };
    for number in numbers {
        let body = feeder.and_then(|(by, (first, last), dose, over_min)| {
            let Some(times) = times::spaced(number, first, last) else {
                let what = format!("{number} feeds do not fit between {first} and {last}");
                findings.wrong(between_node?.span(), what, "feeds must be a minute apart at least");
                return None;
            };
            let timetable = Timetable::At(times);
            let place = family.get("over").unwrap_or(name_node).span();
            let feeder = Feeder { weekday: timetable.clone(), weekend: timetable, dose, over_min, place };
            let mut shared = shared.clone();
            match by {
                By::Hand => {
                    shared.visits = Some(Visits::default());
                    spell_out(shared, Some(&feeder), None, findings)
                }
                By::Pump => {
                    refuse_overlap(&feeder, findings)?;
                    spell_out(shared, None, Some(&feeder), findings)
                }
            }
        });
        plans.push(PlanText {
            name: format!("{name}: {}", words::count(number, "feed", "feeds")),
            place: name_node.span(),
            family: Some(name.to_string()),
            body,
        });
    }
    Some(())
}

/// Reads the numbers of feeds of a family: `"1 to 14"`, a list or one number.
fn read_numbers(node: &Node<'_>, findings: &mut Findings) -> Option<Vec<usize>> {
    let most = u32::try_from(MOST_FEEDS).unwrap_or(u32::MAX);
    let expected = "\"1 to 14\" or a list such as [1, 2, 4, 8] is expected";
    let what = "the number of feeds a day";
    match node.get_ref() {
        DeValue::String(text) => {
            let squeezed = words::squeeze(text);
            let ends = squeezed.split_once(" to ").map(|(from, to)| (from.parse::<u64>(), to.parse::<u64>()));
            let Some((Ok(from), Ok(to))) = ends else {
                findings.wrong(node.span(), format!("\"{text}\" is not understood as numbers of feeds"), expected);
                return None;
            };
            if from < 1 || from > to {
                findings.wrong(node.span(), "the numbers of feeds must begin at 1 or more, and rise", expected);
                return None;
            }
            if to > u64::from(most) {
                findings.wrong(node.span(), format!("{what} may be {most} at most"), expected);
                return None;
            }
            (from..=to).map(|number| usize::try_from(number).ok()).collect()
        }
        DeValue::Array(items) if items.is_empty() => {
            findings.wrong(node.span(), "this list of numbers of feeds is empty", expected);
            None
        }
        DeValue::Array(items) => {
            let mut numbers = Vec::new();
            let mut sound = true;
            for item in items.iter() {
                match fields::count(item, what, most, findings) {
                    Some(number) if numbers.contains(&number) => {
                        findings.wrong(item.span(), format!("{number} stands here twice"), "take one of the two out");
                        sound = false;
                    }
                    Some(number) => numbers.push(number),
                    None => sound = false,
                }
            }
            if !sound {
                return None;
            }
            numbers.into_iter().map(|number| usize::try_from(number).ok()).collect()
        }
        DeValue::Integer(_) => {
            fields::count(node, what, most, findings).and_then(|number| usize::try_from(number).ok()).map(|n| vec![n])
        }
        _ => {
            fields::wrong_sort(node, expected, findings);
            None
        }
    }
}

fn read_by(node: &Node<'_>, findings: &mut Findings) -> Option<By> {
    let expected = "\"hand\" or \"pump\" is expected";
    match fields::text(node, expected, findings)?.trim() {
        "hand" => Some(By::Hand),
        "pump" => Some(By::Pump),
        other => {
            findings.wrong(node.span(), format!("\"{other}\" cannot feed"), expected);
            None
        }
    }
}

/// Reads two times of day, the second after the first.
fn read_between(node: &Node<'_>, findings: &mut Findings) -> Option<(TimeOfDay, TimeOfDay)> {
    let times = times::times(node, findings)?;
    if let [first, last] = times[..] {
        return Some((first, last));
    }
    let what = format!(
        "there {} {} here",
        if times.len() == 1 { "is" } else { "are" },
        words::count(times.len(), "time", "times")
    );
    findings.wrong(node.span(), what, "two times are expected, such as [\"07:30\", \"20:30\"]");
    None
}
